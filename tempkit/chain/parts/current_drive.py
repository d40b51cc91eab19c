"""A known current through the sensor, and two to four wires."""

from dataclasses import dataclass
from typing import ClassVar

from tempkit.chain.deviations import EXACT, check_above, check_tolerance, factor, percent
from tempkit.chain.parts.bases import WithLeads
from tempkit.chain.quantities import Current, Relative, SomeOhms, Wires
from tempkit.text import ohms, within


@dataclass(frozen=True, kw_only=True)
class CurrentDrive(WithLeads):
    """A known current through the sensor, which sits at the end of two, three or four wires.

    current_a [A], or set_ohm [ohm]: then the reference over this resistor sets the current, and the reading does not
    depend on the reference. current_tolerance : relative, +-, of the current or of that resistor. Two wires: both
    leads count. Three: two equal currents, so that the drops in two leads cancel as far as the leads are alike. Four:
    no current in the wires that measure. The other fields are those of `WithLeads`.

    >>> from tempkit.chain.parts.platinum import PlatinumSensor
    >>> CurrentDrive(current_a=0.001, wires=2, lead_ohm=0.5).volts(PlatinumSensor(), 0.0, feed_v=5.0)
    0.101
    """

    current_a: Current | None = None
    set_ohm: SomeOhms | None = None
    current_tolerance: Relative = 0.0
    wires: Wires = 4

    kind: ClassVar[str] = "current"
    called: ClassVar[str] = "a current source"
    possible_wires: ClassVar[tuple] = (2, 3, 4)
    without_effect: ClassVar[tuple] = ("feed",)

    def __post_init__(self):
        super().__post_init__()
        given = [name for name in ("current_a", "set_ohm") if getattr(self, name) is not None]
        if len(given) != 1:
            raise ValueError(f"current_a or set_ohm must be given, one of them, and {len(given)} are: correct it")
        check_above(self, 0, **{given[0]: {"current_a": "A", "set_ohm": "ohm"}[given[0]]})
        check_tolerance(self, "current_tolerance")

    def _current_a(self, feed_v):
        return self.current_a if self.set_ohm is None else feed_v / self.set_ohm

    def feed_v(self, reference_v, kind):
        """The reference [V], where that sets the current; else it plays no part.

        >>> CurrentDrive(set_ohm=2000.0).feed_v(2.5, "fixed")
        2.5
        """
        return reference_v

    def _leads(self, off=EXACT):
        """Lead resistance that the measured voltage holds [ohm]."""
        more_ohm = off.get("leads", 0.0)
        return 0.0 if self.wires == 4 else (2 * self.lead_ohm if self.wires == 2 else 0.0) + more_ohm

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V]: current times resistance, amplified.

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> CurrentDrive(set_ohm=2000.0, gain=10.0).volts(PlatinumSensor(), 0.0, feed_v=2.0)
        1.0
        """
        self.check_off(sensor, t_c, off)
        current_a = self._current_a(feed_v) * factor(off, "current")
        return self.at_pin(current_a * (sensor.line(t_c, off) + self._leads(off)), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> CurrentDrive(current_a=0.001).celsius(PlatinumSensor(), 0.1, feed_v=None)
        0.0
        """
        return sensor.inverse(self.before(v) / self._current_a(feed_v) - self._leads())

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(CurrentDrive(current_a=0.001).volts_per_c(PlatinumSensor(), 0.0, 5.0), 8)
        0.00039083
        """
        return self.gain * self._current_a(feed_v) * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(CurrentDrive(current_a=0.001).power_w(PlatinumSensor(), 0.0, 5.0), 9)
        0.0001
        """
        return self._current_a(feed_v) ** 2 * sensor.line(t_c)

    def doubts(self, kind):
        """Also "current" [%].

        >>> CurrentDrive(current_a=0.001, current_tolerance=0.001).doubts("fixed")["current"][:2]
        (0.1, '%')
        """
        own = super().doubts(kind)
        return {"leads": own["leads"], "current": percent(self, "current_tolerance", "measuring current")} | own

    def current_words(self):
        """The measuring current, and what sets it.

        >>> CurrentDrive(current_a=0.001, current_tolerance=0.001).current_words()
        '1 mA ±0.1 %'
        """
        if self.set_ohm is None:
            return within(f"{1000 * self.current_a:.4g} mA", self.current_tolerance)
        return f"the reference over {within(ohms(self.set_ohm), self.current_tolerance)}"

    def rows(self, chain):
        fed = [] if self.set_ohm is None else [("fed", "by the reference, so that it cancels")]
        rows = [("kind", f"a current through the sensor, {self.wires} wires"), ("current", self.current_words())]
        return [*rows, *fed, *self.around(chain)]

    def needs(self, chain):
        return f"a current source, {self.wires} wires{self.and_amplifier()}"

    def resistors(self):
        """The one that sets the current, where one does."""
        return () if self.set_ohm is None else (("resistor of the current", self.set_ohm, self.current_tolerance),)

    def other_parts(self):
        """The source, where no resistor sets it, and the amplifier."""
        source = ("current source", self.current_words(), "the reading depends on it")
        return [source] * (self.set_ohm is None) + super().other_parts()

    def drawn(self, chain, sheet):
        """A column of source and sensor; where wires of their own measure, an amplifier between them."""
        source = [("current", self.current_words().replace(" over ", " over|").split("|"))]
        if self.has_amplifier:
            return sheet.sensed(source)
        return sheet.tapped_column(source, [*([self.lead(2)] if self.lead_ohm else []), sheet.sensor])

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.platinum import PlatinumSensor

        sensor = PlatinumSensor(range_c=(-40.0, 125.0))
        doubtful = {"lead_ohm": 0.5, "lead_tolerance": 0.1, "current_tolerance": 0.001, "gain_tolerance": 0.002}
        yield cls(current_a=0.001, wires=2, gain=20.0, offset_v=1e-5, **doubtful), sensor
        yield cls(set_ohm=3300.0, wires=3, gain=20.0, **doubtful), sensor
