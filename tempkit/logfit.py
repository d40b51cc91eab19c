"""A record against the model: offset, slope, noise, drift, a step and a lag, each with its standard uncertainty.

Readings one after the other are seldom independent: smoothing, the sensor's lag and draughts make neighbours alike, and
then n readings are worth fewer. The functions here find that from the readings themselves, by the correlation of
neighbours, and widen the uncertainties; slower wandering than that stays unseen, and no statistics on one record sees
an error that is the same in all its readings.
"""

from dataclasses import dataclass, replace
from math import inf, sqrt

import numpy as np

from tempkit.calibration import fit_line
from tempkit.estimates import FEWEST, Estimate, Spread, pair, row
from tempkit.logsteps import Lag, Step, lag, step
from tempkit.ranges import floats

__all__ = ["Against", "Estimate", "Lag", "Spread", "Step", "against", "drift", "lag", "neighbours", "noise"]
__all__ += ["noise_of_steps", "offset", "step", "worth"]

HOUR_S = 3600.0


@dataclass(frozen=True)
class Against:
    """Readings against a reference: `offset` at the reference's mean `centre`, reading minus reference; `slope`, the
    change of reading for one of reference; `s`, the scatter about the line."""

    centre: float
    offset: Estimate
    slope: Estimate
    s: float


def neighbours(values, trend=1):
    """Correlation of each value with the next, after the mean (trend 0) or a straight line (trend 1) is taken away.

    The estimate is biased low by (1 + 3 r) / n or so, which is added; 0 where it is below 2 / sqrt(n), since
    independent values give as much by chance. Source: Marriott and Pope, Biometrika 41 (1954), from memory.

    >>> neighbours([1.0, -1.0] * 10)
    0.0
    """
    values = row(values, "readings")
    left = values - np.polyval(np.polyfit(np.arange(values.size), values, trend), np.arange(values.size))
    square = float(left @ left)
    if square <= 1e-24 * float(values @ values):
        return 0.0
    found = float(left[1:] @ left[:-1]) / square
    found += (1 + 3 * max(found, 0.0)) / values.size
    return min(found, 0.99) if found > 2 / sqrt(values.size) else 0.0


def worth(values, trend=1):
    """How many independent values these are worth: n (1 - r) / (1 + r), r the correlation of neighbours; at least 2.

    Holds where correlation dies out as after one lag (an autoregressive process of order 1).
    Source: follows from the variance of the mean of such a process; JCGM 100:2008, 4.2.7 warns of the case.

    >>> worth(np.random.default_rng(1).normal(size=100))
    100.0
    """
    count, r = len(values), neighbours(values, trend)
    return max(2.0, count * (1 - r) / (1 + r))


def offset(readings, truth=0.0, u_truth=0.0, step=0.0):
    """Mean of reading minus truth, an `Estimate` in the unit of the readings.

    readings : one row; truth : what the better thermometer says, a number or a row; u_truth : its standard uncertainty,
    the same error in all; step : what one step of the readings is worth, which counts as a rectangular error of half a
    step to each side: readings that never change say nothing about where in the step they are. Raises `ValueError` for
    fewer than 3 readings, or what is masked or not finite. Source: JCGM 100:2008, 4.2 and F.2.2.1, with `worth` for n.

    >>> found = offset([25.1, 25.3, 25.2], 25.0)
    >>> round(found.value, 3), round(found.standard, 4), found.dof
    (0.2, 0.0577, 2.0)
    """
    off = row(floats(readings, "readings") - floats(truth, "truth"), "readings")
    count = worth(off, trend=0)
    s = float(off.std(ddof=1)) * sqrt(count * (off.size - 1) / (off.size * (count - 1)))
    mean = Estimate(float(off.mean()), s / sqrt(count), count - 1)
    return _with(mean, u_truth, step / sqrt(12))


def _with(estimate, *more):
    """An estimate with independent standard uncertainties of infinite degrees of freedom; by Welch-Satterthwaite."""
    total = sqrt(estimate.standard**2 + sum(u**2 for u in more))
    known = estimate.standard > 0
    dof = estimate.dof * (total / estimate.standard) ** 4 if known and estimate.standard > 1e-9 * total else inf
    return replace(estimate, standard=total, dof=dof)


def against(readings, reference):
    """Readings against a reference that was read at the same times: `Against`.

    Two rows of one length. The reference counts as exact: its own error, the same in all, belongs beside the offset.
    Raises `ValueError` for fewer than 3 pairs or a reference that stands still. Source: JCGM 100:2008, H.3.

    >>> found = against([0.5, 10.6, 20.4, 30.5], [0.0, 10.0, 20.0, 30.0])
    >>> round(found.offset.value, 3), round(found.slope.value, 4)
    (0.5, 0.998)
    """
    readings, reference = row(readings, "readings"), row(reference, "reference values")
    centre = float(reference.mean())
    fit = fit_line(reference, readings, x0=centre)
    wider, dof = _wider(fit.residuals)
    return Against(
        centre,
        Estimate(fit.intercept - centre, fit.u_intercept * wider, dof),
        Estimate(fit.slope, fit.u_slope * wider, dof),
        fit.s,
    )


def _wider(residuals):
    """By how much neighbours that are alike widen the uncertainties of a line, and its degrees of freedom."""
    count = worth(residuals, trend=0) if residuals.size >= FEWEST else residuals.size
    return sqrt(residuals.size / count), max(count - 2.0, 1.0)


def noise(readings):
    """Standard deviation of readings about their straight line, a `Spread` in their unit.

    The line takes drift away; a step or a curve stays in: choose a quiet stretch. Where neighbours are alike this is
    still the scatter of single readings, and known less well. Raises `ValueError` for fewer than 4 readings.
    Source: JCGM 100:2008, H.3 (s of a line) and E.4.3 (its own uncertainty, s / sqrt(2 dof)).

    >>> round(noise(np.random.default_rng(1).normal(25.0, 0.2, 10_000)).value, 2)
    0.2
    """
    readings = row(readings, "readings", 4)
    fit = fit_line(np.arange(readings.size), readings, x0=(readings.size - 1) / 2)
    r = neighbours(readings)
    dof = max(1.0, (readings.size - 2) * (1 - r**2) / (1 + r**2))
    return Spread(fit.s, fit.s / sqrt(2 * dof), dof)


def noise_of_steps(readings):
    """Standard deviation of independent readings from the steps between neighbours: sqrt(mean square step / 2).

    Drift, a slow curve and a single step hardly count in it; readings that are alike to their neighbours make it too
    small. Degrees of freedom 2 (n - 1)^2 / (3 n - 4). Source: von Neumann and others, Annals of Mathematical
    Statistics 12 (1941), the variance from memory; checked here by simulation.

    >>> round(noise_of_steps([25.0, 25.2, 25.1, 25.3]).value, 4)
    0.1225
    """
    readings = row(readings, "readings")
    steps, count = np.diff(readings), readings.size
    s = sqrt(float(steps @ steps) / (2 * (count - 1)))
    dof = 2 * (count - 1) ** 2 / (3 * count - 4)
    return Spread(s, s / sqrt(2 * dof), dof)


def drift(times_s, readings):
    """Slope of readings against time, an `Estimate` in their unit an hour.

    times_s [s]: one for each reading, in any steps. A straight line: look at the record before believing it. Raises
    `ValueError` for fewer than 3 readings or times that are all the same. Source: JCGM 100:2008, H.3.

    >>> round(drift([0.0, 1800.0, 3600.0, 5400.0], [20.0, 20.11, 20.19, 20.3]).value, 3)
    0.196
    """
    times, readings = pair(times_s, readings)
    fit = fit_line((times - times.mean()) / HOUR_S, readings)
    wider, dof = _wider(fit.residuals)
    return Estimate(fit.slope, fit.u_slope * wider, dof)
