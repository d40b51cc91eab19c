"""How a temperature changes: at once, at a steady rate, or to and fro; and what a lag and smoothing make of it."""

import math
from dataclasses import dataclass
from math import inf

import numpy as np

from tempkit.ranges import floats, scalar
from tempkit.signal import response


def _from_rest(t_s, course):
    """`course(t)` for times at and after 0 s, its value at 0 s before."""
    t = floats(t_s, "t_s")
    shown = np.where(np.isnan(t), np.nan, course(np.maximum(t, 0.0)))
    return shown if t.ndim else float(shown)


@dataclass(frozen=True)
class _Change:
    start_c: float
    end_c: float

    def __post_init__(self):
        for name in ("start_c", "end_c"):
            if not math.isfinite(scalar(getattr(self, name), name)):
                raise ValueError(f"{name} {getattr(self, name):g} degC is no finite number: give a temperature")

    @property
    def rise_c(self):
        """From start to end [degC], negative where it falls."""
        return self.end_c - self.start_c

    def passes(self, limit_c):
        """True where the temperature starts short of the limit [degC] and goes beyond it."""
        return min(self.start_c, self.end_c) < limit_c < max(self.start_c, self.end_c)

    def true_c(self, t_s):
        """The temperature [degC] at times [s] from the beginning of the change; before, its start."""
        return self.sensed_c(t_s, 0.0)

    def passed_s(self, limit_c):
        """When the temperature itself goes beyond the limit [s]; inf where it never does."""
        return self._passed_s(abs(limit_c - self.start_c)) if self.passes(limit_c) else inf


@dataclass(frozen=True)
class Step(_Change):
    """From `start_c` to `end_c` [degC] at once, at 0 s.

    >>> round(Step(22.0, 35.0).sensed_c(40.0, tau_s=40.0), 4)
    30.2176
    """

    def sensed_c(self, t_s, tau_s):
        """What a sensor with time constant `tau_s` [s], 0 for none, shows at times [s]; at rest before 0 s [degC]."""
        if tau_s == 0:
            return _from_rest(t_s, lambda t: np.where(floats(t_s, "t_s") >= 0, self.end_c, self.start_c))
        return _from_rest(t_s, lambda t: response.step(t, tau_s, self.start_c, self.end_c))

    def _passed_s(self, way_c):
        return 0.0


@dataclass(frozen=True)
class Ramp(_Change):
    """From `start_c` to `end_c` [degC] at `rate_c_per_min` [degC/min], a size above 0; then it stays.

    >>> Ramp(22.0, 35.0, 2.0).true_c(60.0), Ramp(22.0, 35.0, 2.0).passed_s(27.0)
    (24.0, 150.0)
    """

    rate_c_per_min: float = 1.0

    def __post_init__(self):
        super().__post_init__()
        if not 0 < self.rate_c_per_min < inf:
            raise ValueError(f"rate {self.rate_c_per_min:g} degC/min must be above 0: the ends say which way it goes")

    @property
    def rate_c_per_s(self):
        """The rate with its sign [degC/s]."""
        return math.copysign(self.rate_c_per_min / 60.0, self.rise_c)

    def sensed_c(self, t_s, tau_s):
        """What a sensor with time constant `tau_s` [s], 0 for none, shows at times [s]; at rest before 0 s [degC]."""
        whole_s = abs(self.rise_c) * 60.0 / self.rate_c_per_min

        def course(t):
            if tau_s == 0:
                return self.start_c + self.rate_c_per_s * np.minimum(t, whole_s)
            up = response.ramp(t, tau_s, self.start_c, self.rate_c_per_s)
            return up - response.ramp(np.maximum(t - whole_s, 0.0), tau_s, 0.0, self.rate_c_per_s)

        return _from_rest(t_s, course)

    def _passed_s(self, way_c):
        return way_c * 60.0 / self.rate_c_per_min


@dataclass(frozen=True)
class Swing(_Change):
    """From `start_c` to `end_c` [degC] and back, a sine of period `period_s` [s], beginning at its start.

    >>> Swing(18.0, 26.0, 600.0).true_c(300.0)
    26.0
    """

    period_s: float = 600.0

    def __post_init__(self):
        super().__post_init__()
        if not 0 < self.period_s < inf:
            raise ValueError(f"period {self.period_s:g} s must be above 0 s: give the time from one top to the next")

    def sensed_c(self, t_s, tau_s):
        """What a sensor with time constant `tau_s` [s], 0 for none, shows at times [s]; at rest before 0 s [degC]."""
        turn = 2 * math.pi / self.period_s

        def course(t):
            if tau_s == 0:
                return self.start_c + self.rise_c / 2 * (1 - np.cos(turn * t))
            answer = response.sine_response(self.period_s, tau_s)
            swing = answer.gain * np.cos(turn * t + math.radians(answer.phase_deg))
            rest = (1 - answer.gain**2) * np.exp(-t / tau_s)
            return self.start_c + self.rise_c / 2 * (1 - swing - rest)

        return _from_rest(t_s, course)

    def _passed_s(self, way_c):
        return math.acos(1 - 2 * way_c / abs(self.rise_c)) * self.period_s / (2 * math.pi)


def smoothed(readings_c, factor, start_c):
    """What first-order smoothing, new = old + factor (reading - old), makes of readings [degC], an array.

    `factor` above 0, up to 1 (1: none), `start_c` its value before the first reading [degC]. Raises `ValueError`
    otherwise. From a reading that is `nan` or masked on, all is `nan`. Source: as a board's program does it.

    >>> smoothed([22.0, 30.0, 30.0], 0.25, start_c=22.0)
    array([22. , 24. , 25.5])
    """
    if not 0 < factor <= 1:
        raise ValueError(f"factor {factor:g} must be above 0 and at most 1: 1 is no smoothing")
    readings = floats(readings_c, "readings_c")
    if factor == 1 or readings.size == 0:
        return readings.copy()
    return start_c + response.recurring(factor * (readings - start_c), 1 - factor)
