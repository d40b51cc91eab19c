"""The circuit of a thermocouple: an amplifier, and a sensor that measures the cold junction."""

from dataclasses import dataclass, replace
from typing import ClassVar

from tempkit.chain.deviations import EXACT, check_from, check_known
from tempkit.chain.resistive import Fed


@dataclass(frozen=True, kw_only=True)
class ColdJunction(Fed):
    """A thermocouple's wires end at terminals of `cold_c` [degC]; an amplifier lifts the voltage to the converter.

    cold_c : true temperature of the terminals [degC]; measured_cold_c : what the sensor there says, None where it is
    right; cold_accuracy_c : limits of that sensor, +- [degC]; cold_at_0c_v [V], cold_slope_v_per_c [V/degC] : its
    straight line, where a second input of the same converter reads it. The program adds the measured cold junction's
    voltage, not its temperature. The other fields are those of `tempkit.chain.Fed`; bias_v keeps the output above 0 V
    where the hot junction is the colder one.

    >>> from tempkit.chain.thermocouple import Thermocouple
    >>> round(ColdJunction(cold_c=25.0, gain=100.0).volts(Thermocouple("K"), 100.0, feed_v=5.0), 4)
    0.3096
    """

    cold_c: float = 25.0
    measured_cold_c: float | None = None
    cold_accuracy_c: float = 0.0
    cold_at_0c_v: float | None = None
    cold_slope_v_per_c: float | None = None

    called: ClassVar[str] = "an amplifier for a thermocouple"
    takes: ClassVar[str] = "emf"

    def __post_init__(self):
        super().__post_init__()
        check_from(self, -60, cold_c="degC")
        check_from(self, 0, cold_accuracy_c="degC")
        if self.measured_cold_c is not None:
            check_from(self, -60, measured_cold_c="degC")
        if (self.cold_at_0c_v is None) != (self.cold_slope_v_per_c is None) or self.cold_slope_v_per_c == 0:
            raise ValueError(
                f"cold_at_0c_v {self.cold_at_0c_v} V and cold_slope_v_per_c {self.cold_slope_v_per_c} V/degC are one "
                "sensor's line: give both, the slope not 0, or neither"
            )

    @property
    def unknown(self):
        """What the program does not know of the circuit, in words; empty where it knows all."""
        return "" if self.measured_cold_c in (None, self.cold_c) else "cold junction misread"

    @property
    def assumed(self):
        """The circuit as the program takes it for granted: the cold junction as measured."""
        return replace(self, cold_c=self.measured_cold_c, measured_cold_c=None) if self.unknown else self

    def feed_v(self, reference_v, kind):
        """The reference [V]; it plays no part, for a thermocouple makes its own voltage.

        >>> ColdJunction().feed_v(2.5, "fixed")
        2.5
        """
        return reference_v

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Hot junction [degC] -> voltage at the converter's pin [V]; `off` may hold "cold" [degC].

        >>> from tempkit.chain.thermocouple import Thermocouple
        >>> ColdJunction(cold_c=25.0, gain=100.0, bias_v=0.5).volts(Thermocouple("K"), 25.0, feed_v=5.0)
        0.5
        """
        if off:
            check_known(off, self.doubts("fixed"))
        return self.at_pin(sensor.line(t_c, self.cold_c + off.get("cold", 0.0)), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> hot junction [degC].

        >>> from tempkit.chain.thermocouple import Thermocouple
        >>> round(ColdJunction(cold_c=25.0, gain=100.0).celsius(Thermocouple("K"), 0.3096, feed_v=5.0), 2)
        100.0
        """
        return sensor.inverse(self.before(v), self.cold_c)

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.thermocouple import Thermocouple
        >>> round(ColdJunction(gain=100.0).volts_per_c(Thermocouple("K"), 25.0, 5.0), 7)
        0.0040518
        """
        return self.gain * sensor.volts_per_c(t_c)

    def doubts(self, kind):
        """Also "cold", the cold junction's sensor [degC].

        >>> ColdJunction(cold_accuracy_c=0.5).doubts("fixed")["cold"]
        (0.5, 'degC')
        """
        return super().doubts(kind) | {"cold": (self.cold_accuracy_c, "degC")}
