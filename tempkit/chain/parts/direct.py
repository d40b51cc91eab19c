"""A sensor whose output goes straight to the converter's pin."""

from dataclasses import dataclass
from typing import ClassVar

from tempkit.chain.deviations import EXACT
from tempkit.chain.parts.bases import Circuit
from tempkit.chain.quantities import Ohms, Volts
from tempkit.ranges import as_written, scalar
from tempkit.text import DECOUPLING, ohms, volts


@dataclass(frozen=True)
class Direct(Circuit):
    """The sensor's output goes straight to the converter's pin.

    source_ohm : resistance that the converter sees [ohm], 0 or more.
    supply_v : supply of the sensor [V] when the reference is not the supply; None: taken as the reference's.
    ratiometric_at_v : None for a sensor with absolute output. Otherwise the supply [V] for which the
    specification holds; the output then follows the supply in proportion, v = v_spec * feed_v / ratiometric_at_v.
    Raises `ValueError` for negative or zero values.

    >>> from tempkit.chain.parts.linear import LinearSensor
    >>> Direct().volts(LinearSensor(), 25.0, feed_v=4.75)
    0.8
    >>> Direct(ratiometric_at_v=5.0).volts(LinearSensor(), 25.0, feed_v=4.75)
    0.76
    """

    source_ohm: Ohms = 0.0
    supply_v: Volts | None = None
    ratiometric_at_v: Volts | None = None

    kind: ClassVar[str] = "direct"
    called: ClassVar[str] = "a direct connection"
    takes: ClassVar[str] = "volts"
    three_legs: ClassVar[bool] = True
    giver: ClassVar[str] = "the sensor gives"
    fed_at: ClassVar[str] = "the sensor's supply leg"

    def __post_init__(self):
        if not scalar(self.source_ohm, "source_ohm") >= 0:
            raise ValueError(f"source_ohm {self.source_ohm:g} ohm must be 0 or more: give the resistance of the source")
        for name in ("supply_v", "ratiometric_at_v"):
            value = getattr(self, name)
            if value is not None and not scalar(value, name) > 0:
                raise ValueError(f"{name} {value:g} V must be above 0 V: give the supply, or leave it out")

    @property
    def needs_feed(self):
        """True when the output depends on the feed, so that a chain must know it."""
        return self.ratiometric_at_v is not None

    def _scaled(self, v, feed_v):
        return v if self.ratiometric_at_v is None else v * (feed_v / self.ratiometric_at_v)

    def _specified(self, v, feed_v):
        return v if self.ratiometric_at_v is None else v * (self.ratiometric_at_v / feed_v)

    def assumed_feed_v(self, nominal_v, kind):
        """Feed [V] that a program takes for granted: its nominal reference, or the supply of the specification.

        >>> Direct().assumed_feed_v(5.0, "supply"), Direct(4.7, 4.75, 5.0).assumed_feed_v(2.5, "fixed")
        (5.0, 5.0)
        """
        return nominal_v if kind == "supply" else self.ratiometric_at_v

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V].

        >>> from tempkit.chain.parts.linear import LinearSensor
        >>> Direct().volts(LinearSensor(), 0.0, feed_v=5.0)
        0.6
        """
        self.check_off(sensor, t_c, off)
        return self._scaled(sensor.line(t_c, off), feed_v)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.parts.linear import LinearSensor
        >>> Direct().celsius(LinearSensor(), 0.6, feed_v=5.0)
        0.0
        """
        return sensor.inverse(self._specified(v, feed_v))

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.parts.linear import LinearSensor
        >>> Direct().volts_per_c(LinearSensor(), 25.0, feed_v=5.0)
        0.008
        """
        return self._scaled(sensor.volts_per_c(t_c), feed_v)

    def exact_line(self, sensor, feed_v):
        """The pin's voltage as a straight line of temperature, in fractions.

        >>> from tempkit.chain.parts.linear import LinearSensor
        >>> Direct().exact_line(LinearSensor(), feed_v=5.0)
        (Fraction(3, 5), Fraction(1, 125))
        """
        if not sensor.straight:
            return None
        scale = as_written(feed_v) / as_written(self.ratiometric_at_v) if self.needs_feed else 1
        return as_written(sensor.at_0c_v) * scale, as_written(sensor.slope_v_per_c) * scale

    def rows(self, chain):
        """The circuit as rows (label, words).

        >>> Direct(source_ohm=470.0).rows(None)
        [('kind', "direct, from the sensor to the converter's pin"), ('source resistance', '470 Ω')]
        """
        rows = [("kind", "direct, from the sensor to the converter's pin")]
        if self.source_ohm:
            rows.append(("source resistance", ohms(self.source_ohm)))
        if self.ratiometric_at_v is not None:
            at_v = volts(self.ratiometric_at_v)
            rows.append(("ratiometric", f"follows the supply; the sensor's figures hold at {at_v}"))
        return rows

    def needs(self, chain):
        fixed = chain.reference.kind == "fixed"
        return "nothing" if self.ratiometric_at_v else f"nothing but a {'fixed' if fixed else 'good'} reference"

    def told(self, chain):
        reference = chain.reference
        feed_v = self.feed_v(reference.actual_v, reference.kind)
        supply = "that is not stated" if feed_v is None else f"of {volts(feed_v)}"
        if reference.kind == "supply":
            supply = f"of {reference.words()}"
        at_v = self.ratiometric_at_v
        ratio = "" if at_v is None else f", whose output follows its supply and is specified at {volts(at_v)}"
        yield f"a supply {supply} feeds the sensor ({chain.sensor.words()}){ratio}."
        yield f"A capacitor of {DECOUPLING} stands between supply and ground, close to the sensor."
        yield f"The sensor's output goes {self._way()} to the input of a {chain.converter.bits}-bit converter."

    def drawn(self, chain, sheet):
        """A block with three legs, its output on the pin."""
        kind, *rest = chain.sensor.words().split(", ")
        at_v = self.ratiometric_at_v
        ratio = [] if at_v is None else [f"ratiometric, at {volts(at_v)}"]
        return sheet.three_legs([f"{kind} sensor", *rest, *ratio])

    def wiring(self, through=""):
        """Wiring of a sensor with three legs, up to its supply."""
        return (
            "Ground: from the board to the sensor's ground leg, a wire that nothing else uses.",
            f"Capacitor of {DECOUPLING} between the sensor's supply and ground legs, legs kept short.",
            f"Output: from the sensor's output leg{through} to the converter's pin.",
        )

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.linear import LinearSensor

        yield cls(source_ohm=470.0, supply_v=4.0), LinearSensor()
        yield cls(ratiometric_at_v=5.0, supply_v=5.0), LinearSensor(slope_v_per_c=-0.005, at_0c_v=2.0)
