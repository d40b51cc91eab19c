"""A value found from readings, with its standard uncertainty."""

from dataclasses import dataclass
from math import inf, sqrt

import numpy as np

from tempkit.budget import coverage_factor
from tempkit.ranges import floats

FEWEST = 3


@dataclass(frozen=True)
class Estimate:
    """A value found from readings, its standard uncertainty, both in one unit, and the degrees of freedom.

    >>> low, high = Estimate(0.5, 0.1, 9.0).interval()
    >>> round(low, 3), round(high, 3)
    (0.274, 0.726)
    """

    value: float
    standard: float
    dof: float = inf

    def expanded(self, level=0.95):
        """Expanded uncertainty: the standard one times the t factor. Source: JCGM 100:2008, G.3."""
        return coverage_factor(self.dof, level) * self.standard

    def interval(self, level=0.95):
        """The interval (low, high) that holds the true value with probability `level`."""
        reach = self.expanded(level)
        return self.value - reach, self.value + reach


@dataclass(frozen=True)
class Spread(Estimate):
    """A standard deviation found from readings; its own interval is not symmetric.

    >>> low, high = Spread(1.0, 0.24, 9.0).interval()
    >>> round(low, 3), round(high, 3)
    (0.688, 1.826)
    """

    def interval(self, level=0.95):
        """The interval that holds the true standard deviation, for normal noise: by the chi-square distribution."""
        from scipy.special import chdtri

        tail = (1 - level) / 2
        return tuple(self.value * sqrt(self.dof / chdtri(self.dof, p)) for p in (tail, 1 - tail))


def row(values, name, fewest=FEWEST):
    """One row of finite numbers, none masked, as an array; raises `ValueError` that says what else it is.

    >>> row([1, 2, 3], "readings")
    array([1., 2., 3.])
    """
    values = floats(values, "values")
    if values.ndim != 1 or not np.isfinite(values).all():
        raise ValueError(f"{name} of shape {values.shape} must be one row of finite numbers: take `Record.series`")
    if values.size < fewest:
        raise ValueError(f"{values.size} {name} are too few: give {fewest} or more")
    return values


def pair(times_s, readings, fewest=FEWEST):
    """Times [s] and readings as arrays; raises `ValueError` unless they are rows of one length with differing times.

    >>> pair([0, 1, 2], [20.0, 20.1, 20.2])[0]
    array([0., 1., 2.])
    """
    times, readings = row(times_s, "times", fewest), row(readings, "readings", fewest)
    if times.size != readings.size:
        raise ValueError(f"{times.size} times do not fit {readings.size} readings: give one time for each")
    if np.ptp(times) == 0:
        raise ValueError(f"all times are {times[0]:g} s: nothing can be told against time")
    return times, readings
