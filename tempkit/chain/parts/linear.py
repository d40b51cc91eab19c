"""A sensor whose output voltage is a straight line."""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from tempkit import constants
from tempkit.chain.deviations import EXACT
from tempkit.chain.parts.bases import Sensor
from tempkit.chain.quantities import AnyVolts, Range, Slope, Span, Volts
from tempkit.ranges import check_span, keep, like, scalar

SMALLEST_SLOPE_V_PER_C = 1e-9  # far below any sensor, far above where a division overflows


@dataclass(frozen=True)
class LinearSensor(Sensor):
    """A sensor whose output voltage is a straight line: v = at_0c_v + slope_v_per_c * t_c.

    at_0c_v : output at 0 degC [V]; slope_v_per_c : slope [V/degC], 1e-9 or more in size; range_c : (low, high) [degC];
    supply_v : (low, high) supply at which the specification holds [V]; accuracy_c : limits, +- [degC].
    The defaults are those of the invented catalogue. Raises `ValueError` for a slope near zero, a value that is not
    finite, a range that is not one, or negative limits.

    >>> sensor = LinearSensor()
    >>> sensor.volts(25.0), sensor.celsius(0.6)
    (0.8, 0.0)
    """

    at_0c_v: AnyVolts = float(constants.SENSOR_AT_0C_V)
    slope_v_per_c: Slope = float(constants.SENSOR_SLOPE_V_PER_C)
    range_c: Range = tuple(float(end) for end in constants.SENSOR_RANGE_C)
    supply_v: tuple[Volts, Volts] = tuple(float(end) for end in constants.SENSOR_SUPPLY_V)
    accuracy_c: Span = float(constants.SENSOR_ACCURACY_C)

    kind: ClassVar[str] = "linear"
    stated: ClassVar[tuple] = ("at_0c_v", "slope_v_per_c", "range_c", "supply_v", "accuracy_c")
    straight: ClassVar[bool] = True
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

    def line(self, t_c, off=EXACT):
        """The bare formula [degC] -> [V], without a look at the range; scalar or array.

        >>> LinearSensor().line(110.0)
        1.48
        """
        return self.at_0c_v + self.slope_v_per_c * t_c

    def inverse(self, v):
        """The bare formula backwards [V] -> [degC], without a look at the range; scalar or array.

        >>> LinearSensor().inverse(1.48)
        110.0
        """
        return (v - self.at_0c_v) / self.slope_v_per_c

    def volts_span(self):
        """Lowest and highest output [V] over the sensor's range.

        >>> [round(v, 3) for v in LinearSensor().volts_span()]
        [0.4, 1.48]
        """
        low, high = sorted(self.line(t_c) for t_c in self.range_c)
        return low, high

    def volts(self, t_c):
        """Temperature [degC] -> output [V], scalar or array: v = at_0c_v + slope_v_per_c t_c.

        Raises `ValueError` outside `range_c`; an array gives `nan` there.

        >>> LinearSensor().volts([0.0, 100.0])
        array([0.6, 1.4])
        """
        return self.line(keep(t_c, *self.range_c, name="temperature", unit="degC", advice="the sensor's own range"))

    def celsius(self, v):
        """Output [V] -> temperature [degC], scalar or array: t_c = (v - at_0c_v) / slope_v_per_c.

        Raises `ValueError` for a voltage that the sensor cannot give within `range_c`; an array gives `nan` there.
        The result lies in `range_c` always: rounding cannot push it beyond.

        >>> LinearSensor().celsius(0.6)
        0.0
        """
        advice = "the sensor does not give this within its range; look for a wiring fault or a wrong reference"
        low, high = self.volts_span()
        t_c = self.inverse(keep(v, low, high, name="sensor output", unit="V", advice=advice))
        return like(t_c, np.clip(t_c, *self.range_c))

    def volts_per_c(self, t_c):
        """Slope [V/degC] at a temperature: the same everywhere for a straight line.

        >>> LinearSensor().volts_per_c(25.0)
        0.008
        """
        return self.slope_v_per_c + 0.0 * t_c

    def limits_c(self, t_c):
        """Limits of the specification, +- [degC]: the same at every temperature.

        >>> LinearSensor().limits_c(25.0)
        1.5
        """
        return self.accuracy_c + 0.0 * t_c

    def words(self):
        """The sensor in a few words.

        >>> LinearSensor().words()
        'linear, 600 mV at 0 °C, 8 mV/°C'
        """
        return f"linear, {self.at_0c_v * 1000:.6g} mV at 0 °C, {self.slope_v_per_c * 1000:.6g} mV/°C"

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.direct import Direct

        yield cls(), Direct()
        yield cls(2.0, -0.005, (-30.0, 100.0), (2.5, 6.0), 0.5), Direct(source_ohm=1000.0, supply_v=5.0)
