"""The circuit of a thermocouple: an amplifier, and a sensor that measures the cold junction."""

from dataclasses import dataclass, replace
from typing import ClassVar

from tempkit.chain.deviations import EXACT, Doubt, check_from
from tempkit.chain.parts.bases import Supplied
from tempkit.chain.quantities import AnyVolts, Slope, Span, Temperature
from tempkit.text import millivolts


@dataclass(frozen=True, kw_only=True)
class ColdJunction(Supplied):
    """A thermocouple's wires end at terminals of `cold_c` [degC]; an amplifier lifts the voltage to the converter.

    cold_c : true temperature of the terminals [degC]; measured_cold_c : what the sensor there says, None where it is
    right; cold_accuracy_c : limits of that sensor, +- [degC]; cold_at_0c_v [V], cold_slope_v_per_c [V/degC] : its
    straight line, where a second input of the same converter reads it. The program adds the measured cold junction's
    voltage, not its temperature. The other fields are those of `Supplied`; bias_v keeps the output above 0 V
    where the hot junction is the colder one.

    >>> from tempkit.chain.parts.thermocouple import Thermocouple
    >>> round(ColdJunction(cold_c=25.0, gain=100.0).volts(Thermocouple("K"), 100.0, feed_v=5.0), 4)
    0.3096
    """

    cold_c: Temperature = 25.0
    measured_cold_c: Temperature | None = None
    cold_accuracy_c: Span = 0.0
    cold_at_0c_v: AnyVolts | None = None
    cold_slope_v_per_c: Slope | None = None

    kind: ClassVar[str] = "thermocouple-amplifier"
    called: ClassVar[str] = "an amplifier for a thermocouple"
    takes: ClassVar[str] = "emf"
    compensated: ClassVar[bool] = True
    has_amplifier: ClassVar[bool] = True
    without_effect: ClassVar[tuple] = ("feed",)

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

        >>> from tempkit.chain.parts.thermocouple import Thermocouple
        >>> ColdJunction(cold_c=25.0, gain=90.0, bias_v=0.35).volts(Thermocouple("K"), 25.0, feed_v=5.0)
        0.35
        """
        self.check_off(sensor, t_c, off)
        return self.at_pin(sensor.line(t_c, self.cold_c + off.get("cold", 0.0)), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> hot junction [degC].

        >>> from tempkit.chain.parts.thermocouple import Thermocouple
        >>> round(ColdJunction(cold_c=25.0, gain=100.0).celsius(Thermocouple("K"), 0.3096, feed_v=5.0), 2)
        100.0
        """
        return sensor.inverse(self.before(v), self.cold_c)

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.parts.thermocouple import Thermocouple
        >>> round(ColdJunction(gain=100.0).volts_per_c(Thermocouple("K"), 25.0, 5.0), 7)
        0.0040518
        """
        return self.gain * sensor.volts_per_c(t_c)

    def doubts(self, kind):
        """Also "cold", the cold junction's sensor [degC].

        >>> ColdJunction(cold_accuracy_c=0.5).doubts("fixed")["cold"][:2]
        (0.5, 'degC')
        """
        cold = Doubt(self.cold_accuracy_c, "degC", "cold-junction sensor", "cold_accuracy_c")
        return super().doubts(kind) | {"cold": cold}

    # ---- the sensor at the terminals

    @property
    def second_input(self):
        """What a meter finds at the converter's second input: voltage [V], slope [V/degC], limits [degC]; or None."""
        if self.cold_at_0c_v is None:
            return None
        v = self.cold_at_0c_v + self.cold_slope_v_per_c * self.cold_c
        return v, self.cold_slope_v_per_c, self.cold_accuracy_c

    def cold_line(self):
        """Its straight line, (at 0 degC [V], slope [V/degC]); raises `ValueError` where no sensor is there to be read.

        >>> ColdJunction(cold_at_0c_v=0.6, cold_slope_v_per_c=0.008).cold_line()
        (0.6, 0.008)
        """
        if self.cold_at_0c_v is None:
            raise ValueError(
                "[circuit] has no cold_at_0c_v and cold_slope_v_per_c: the code would take the terminals for "
                f"{self.cold_c:g} degC for ever; put a sensor there, on a second input, and give its line [V, V/degC]"
            )
        return self.cold_at_0c_v, self.cold_slope_v_per_c

    def at_zero(self):
        """The circuit with its terminals at 0 degC.

        >>> ColdJunction(cold_c=25.0).at_zero().cold_c
        0.0
        """
        return replace(self, cold_c=0.0, measured_cold_c=None)

    def in_room(self, room_c):
        """The circuit with its terminals as warm as the room [degC], and misread by as much as before.

        >>> ColdJunction(cold_c=25.0, measured_cold_c=26.0).in_room(20.0).measured_cold_c
        21.0
        """
        known = self.measured_cold_c
        return replace(self, cold_c=room_c, measured_cold_c=None if known is None else room_c + known - self.cold_c)

    def _cold_words(self):
        return f"{millivolts(self.cold_at_0c_v)} at 0 °C, {1000 * self.cold_slope_v_per_c:.4g} mV/°C"

    # ---- in words, drawn, on the bench

    def rows(self, chain):
        cold = f"{self.cold_c:.1f} °C"
        if self.unknown:
            cold += f", measured as {self.measured_cold_c:.1f} °C"
        sensor = f"limits ±{self.cold_accuracy_c:.3g} °C" if self.cold_accuracy_c else "limits not stated"
        rows = [("kind", "amplifier, and a sensor at the cold junction")]
        rows += [("cold junction", cold), ("its sensor", sensor)]
        if self.second_input:
            rows.append(("its input", f"a second one; {self._cold_words()}"))
        return rows + self.amplifier_rows()

    def needs(self, chain):
        return "an amplifier, a sensor at the terminals, a fixed reference"

    def drawn(self, chain, sheet):
        """Two wires from the hot junction to the terminals, and the amplifier behind them."""
        cold = ["cold junction", f"{self.cold_c:.1f} °C"]
        cold += [f"its sensor ±{self.cold_accuracy_c:.3g} °C"] * bool(self.cold_accuracy_c)
        cold += ["on a second input"] * bool(self.second_input)
        return sheet.couple(cold)

    def other_parts(self):
        """The amplifier, and the sensor at the terminals."""
        line = self._cold_words() if self.second_input else "no input yet"
        sensor = ("sensor at the terminals", line, "touches them; a second input of the converter reads it")
        return [*super().other_parts(), sensor]

    def wiring(self, through=""):
        """What to connect, the sensor at the terminals last."""
        step = "Sensor at the terminals: ground, capacitor, and its output to the converter's second input."
        return (*super().wiring(through), *[step] * bool(self.second_input))

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.thermocouple import Thermocouple

        doubtful = {"gain_tolerance": 0.005, "offset_v": 1e-5, "cold_accuracy_c": 1.0}
        yield (
            cls(gain=90.0, bias_v=0.35, cold_at_0c_v=0.6, cold_slope_v_per_c=0.008, **doubtful),
            Thermocouple("K", range_c=(-40.0, 400.0)),
        )
        yield cls(cold_c=22.0, measured_cold_c=23.0, gain=200.0, bias_v=0.5), Thermocouple("T", range_c=(-40.0, 150.0))
