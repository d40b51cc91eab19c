"""Sensors: what a temperature becomes, before any circuit. Every sensor offers the same few things to a chain.

A sensor has `range_c` (lowest and highest temperature [degC]), `limits_c(t_c)` (limits, +- [degC]), `doubts(t_c)` (what
else may be off: key to half-width and unit), `supply_v` (lowest and highest supply [V], or None where the sensor needs
none), `gives` ("volts", "ohms" or "emf"), functions there and back, and the same as bare formulas, `line`
and `inverse`.
"""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from tempkit import constants
from tempkit.ranges import check_span, keep, like, scalar

SMALLEST_SLOPE_V_PER_C = 1e-9  # far below any sensor, far above where a division overflows


@dataclass(frozen=True)
class LinearSensor:
    """A sensor whose output voltage is a straight line: v = at_0c_v + slope_v_per_c * t_c.

    at_0c_v : output at 0 degC [V]; slope_v_per_c : slope [V/degC], 1e-9 or more in size; range_c : (low, high) [degC];
    supply_v : (low, high) supply at which the specification holds [V]; accuracy_c : limits, +- [degC].
    The defaults are common practice, no source. Raises `ValueError` for a slope near zero, a value that is not
    finite, a range that is not one, or negative limits.

    >>> sensor = LinearSensor()
    >>> sensor.volts(25.0), sensor.celsius(0.75)
    (0.75, 25.0)
    """

    at_0c_v: float = float(constants.SENSOR_AT_0C_V)
    slope_v_per_c: float = float(constants.SENSOR_SLOPE_V_PER_C)
    range_c: tuple = tuple(float(end) for end in constants.SENSOR_RANGE_C)
    supply_v: tuple = tuple(float(end) for end in constants.SENSOR_SUPPLY_V)
    accuracy_c: float = float(constants.SENSOR_ACCURACY_C)

    gives: ClassVar[str] = "volts"
    called: ClassVar[str] = "a sensor with a straight line"

    def __post_init__(self):
        if abs(scalar(self.slope_v_per_c, "slope_v_per_c")) < SMALLEST_SLOPE_V_PER_C:
            raise ValueError(
                f"slope_v_per_c {self.slope_v_per_c:g} V/degC must not be zero, nor nearer to it than "
                f"{SMALLEST_SLOPE_V_PER_C:g} V/degC: the output would not depend on temperature"
            )
        for name, unit in (("at_0c_v", "V"), ("slope_v_per_c", "V/degC")):
            if not math.isfinite(scalar(getattr(self, name), name)):
                value = f"{name} {getattr(self, name)} {unit}"
                raise ValueError(f"{value} is no finite number: take it from the specification")
        if not scalar(self.accuracy_c, "accuracy_c") >= 0:
            raise ValueError(f"accuracy_c {self.accuracy_c:g} degC must be 0 or more: give the limits without a sign")
        check_span(*self.range_c, "range_c", "degC")
        check_span(*self.supply_v, "supply_v", "V")

    def line(self, t_c):
        """The bare formula [degC] -> [V], without a look at the range; scalar or array.

        >>> LinearSensor().line(200.0)
        2.5
        """
        return self.at_0c_v + self.slope_v_per_c * t_c

    def inverse(self, v):
        """The bare formula backwards [V] -> [degC], without a look at the range; scalar or array.

        >>> LinearSensor().inverse(2.5)
        200.0
        """
        return (v - self.at_0c_v) / self.slope_v_per_c

    def volts_span(self):
        """Lowest and highest output [V] over the sensor's range.

        >>> LinearSensor().volts_span()
        (0.09999999999999998, 1.75)
        """
        low, high = sorted(self.line(t_c) for t_c in self.range_c)
        return low, high

    def volts(self, t_c):
        """Temperature [degC] -> output [V], scalar or array: v = at_0c_v + slope_v_per_c t_c.

        Raises `ValueError` outside `range_c`; an array gives `nan` there.

        >>> LinearSensor().volts([0.0, 100.0])
        array([0.5, 1.5])
        """
        return self.line(keep(t_c, *self.range_c, name="temperature", unit="degC", advice="the sensor's own range"))

    def celsius(self, v):
        """Output [V] -> temperature [degC], scalar or array: t_c = (v - at_0c_v) / slope_v_per_c.

        Raises `ValueError` for a voltage that the sensor cannot give within `range_c`; an array gives `nan` there.
        The result lies in `range_c` always: rounding cannot push it beyond.

        >>> LinearSensor().celsius(0.5)
        0.0
        """
        advice = "the sensor does not give this within its range; look for a wiring fault or a wrong reference"
        low, high = self.volts_span()
        t_c = self.inverse(keep(v, low, high, name="sensor output", unit="V", advice=advice))
        return like(t_c, np.clip(t_c, *self.range_c))

    def volts_per_c(self, t_c):
        """Slope [V/degC] at a temperature: the same everywhere for a straight line.

        >>> LinearSensor().volts_per_c(25.0)
        0.01
        """
        return self.slope_v_per_c + 0.0 * t_c

    def limits_c(self, t_c):
        """Limits of the specification, +- [degC]: the same at every temperature.

        >>> LinearSensor().limits_c(25.0)
        2.0
        """
        return self.accuracy_c + 0.0 * t_c

    def doubts(self, t_c):
        """What may be off besides the limits: nothing.

        >>> LinearSensor().doubts(25.0)
        {}
        """
        return {}
