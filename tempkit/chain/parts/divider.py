"""The sensor in series with a fixed resistor, across the feed."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from tempkit.chain.deviations import EXACT, check_above, check_choice, check_tolerance, factor, percent
from tempkit.chain.parts.bases import WithLeads, odds, part_of
from tempkit.chain.quantities import Relative, SomeOhms
from tempkit.text import ohms, within

ENDS = ("bottom", "top")


@dataclass(frozen=True, kw_only=True)
class Divider(WithLeads):
    """The sensor in series with a fixed resistor, across the feed; the pin sees the middle.

    fixed_ohm [ohm], fixed_tolerance (relative, +-); sensor_at : "bottom", between middle and ground, or "top". The
    other fields are those of `WithLeads`; the two leads are in series with the sensor. With 4 wires, at the
    bottom, the voltage is taken at the sensor itself.

    >>> from tempkit.chain.parts.thermistor import Thermistor
    >>> Divider(fixed_ohm=9_100.0).volts(Thermistor.from_beta(9_100.0, 3610.0), 25.0, feed_v=5.0)
    2.5
    """

    fixed_ohm: SomeOhms
    fixed_tolerance: Relative = 0.0
    sensor_at: Literal["bottom", "top"] = "bottom"

    kind: ClassVar[str] = "divider"
    called: ClassVar[str] = "a divider"
    possible_wires: ClassVar[tuple] = (2, 4)
    across_feed: ClassVar[bool] = True

    def __post_init__(self):
        super().__post_init__()
        check_above(self, 0, fixed_ohm="ohm")
        check_tolerance(self, "fixed_tolerance")
        check_choice(self, sensor_at=ENDS)
        if self.wires == 4 and self.sensor_at != "bottom":
            raise ValueError("sensor_at 'top' does not go with 4 wires: put the sensor at the bottom")

    def _arms(self, r_ohm, off=EXACT):
        """Resistance that the pin's voltage lies across, and all of it [ohm]."""
        fixed = self.fixed_ohm * factor(off, "fixed")
        leads = 2 * self.lead_ohm + off.get("leads", 0.0)
        across = r_ohm if self.wires == 4 else r_ohm + leads
        total = fixed + r_ohm + leads
        return (across if self.sensor_at == "bottom" else fixed), total

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V]: the feed times a quotient of resistances.

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> Divider(fixed_ohm=100.0).volts(PlatinumSensor(), 0.0, feed_v=3.3)
        1.65
        """
        self.check_off(sensor, t_c, off)
        across, total = self._arms(sensor.line(t_c, off), off)
        return self.at_pin(feed_v * factor(off, "feed") * (across / total), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> Divider(fixed_ohm=100.0).celsius(PlatinumSensor(), 1.65, feed_v=3.3)
        0.0
        """
        part, leads = part_of(self.before(v), feed_v), 2 * self.lead_ohm
        if self.wires == 4:
            return sensor.inverse((self.fixed_ohm + leads) * odds(part))
        across = odds(part if self.sensor_at == "bottom" else 1.0 - part)
        return sensor.inverse(self.fixed_ohm * across - leads)

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC]; below 0 where the voltage falls as the sensor warms.

        >>> from tempkit.chain.parts.thermistor import Thermistor
        >>> round(Divider(fixed_ohm=9_100.0).volts_per_c(Thermistor.from_beta(9_100.0, 3610.0), 25.0, 5.0), 6)
        -0.050763
        """
        across, total = self._arms(sensor.line(t_c))
        rest = total - across if self.sensor_at == "bottom" else -across
        return self.gain * feed_v * (rest / (total * total)) * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(Divider(fixed_ohm=900.0).power_w(PlatinumSensor(), 0.0, feed_v=1.0), 9)
        0.0001
        """
        r_ohm = sensor.line(t_c)
        return (feed_v / self._arms(r_ohm)[1]) ** 2 * r_ohm

    def doubts(self, kind):
        """Also "fixed", the fixed resistor [%].

        >>> Divider(fixed_ohm=9_100.0, fixed_tolerance=0.01).doubts("supply")["fixed"][:2]
        (1.0, '%')
        """
        return {"fixed": percent(self, "fixed_tolerance", "fixed resistor")} | super().doubts(kind)

    def rows(self, chain):
        return [
            ("kind", f"divider, the sensor at the {self.sensor_at}"),
            ("fixed resistor", self._fixed_words()),
            self.fed_row(chain),
            *self.around(chain),
        ]

    def _fixed_words(self):
        return within(ohms(self.fixed_ohm), self.fixed_tolerance)

    def needs(self, chain):
        return f"1 resistor{self.and_amplifier()}"

    def resistors(self):
        """The fixed one."""
        return (("fixed resistor", self.fixed_ohm, self.fixed_tolerance),)

    def drawn(self, chain, sheet):
        """A column of the two, tapped where they meet; with four wires, at the sensor itself."""
        fixed = [("resistor", [self._fixed_words()])]
        if self.wires > 2:
            return sheet.sensed(fixed)
        sensor = [sheet.sensor] if not self.lead_ohm else [self.lead(2), sheet.sensor]
        below, above = (sensor, fixed) if self.sensor_at == "bottom" else (fixed, sensor[::-1])
        return sheet.tapped_column(above, below)

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.thermistor import Thermistor

        sensor = Thermistor.from_beta(9_100.0, 3610.0, (-20.0, 80.0))
        doubtful = {"fixed_tolerance": 0.01, "lead_ohm": 0.5, "lead_tolerance": 0.1, "supply_tolerance": 0.01}
        doubtful |= {"gain": 1.1, "gain_tolerance": 0.01, "offset_v": 1e-4}
        yield cls(fixed_ohm=9_100.0, fixed_tolerance=0.01, sensor_at="top"), sensor
        yield cls(fixed_ohm=12_000.0, wires=4, supply_v=3.0, **doubtful), sensor
