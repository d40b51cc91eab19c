"""Circuits: what lies between a sensor and the converter's input pin.

A circuit offers `volts(sensor, t_c, feed_v)` and `celsius(sensor, v, feed_v)` as bare formulas (no range check; the
chain does that once), where `feed_v` is the voltage that feeds the circuit. `takes` says what its sensor must give,
`assumed` is the circuit as the program believes it, `doubts` what may be off in it.
"""

from dataclasses import dataclass
from typing import ClassVar

from tempkit.chain.deviations import EXACT, check_known
from tempkit.ranges import scalar


@dataclass(frozen=True)
class Direct:
    """The sensor's output goes straight to the converter's pin.

    source_ohm : resistance that the converter sees [ohm], 0 or more.
    supply_v : supply of the sensor [V] when the reference is not the supply; None: taken as the reference's.
    ratiometric_at_v : None for a sensor with absolute output. Otherwise the supply [V] for which the
    specification holds; the output then follows the supply in proportion, v = v_spec * feed_v / ratiometric_at_v.
    Raises `ValueError` for negative or zero values.

    >>> from tempkit.chain.sensors import LinearSensor
    >>> Direct().volts(LinearSensor(), 25.0, feed_v=4.75)
    0.75
    >>> Direct(ratiometric_at_v=5.0).volts(LinearSensor(), 25.0, feed_v=4.75)
    0.7124999999999999
    """

    source_ohm: float = 0.0
    supply_v: float | None = None
    ratiometric_at_v: float | None = None

    called: ClassVar[str] = "a direct connection"
    takes: ClassVar[str] = "volts"
    unknown: ClassVar[str] = ""

    def __post_init__(self):
        if not scalar(self.source_ohm, "source_ohm") >= 0:
            raise ValueError(f"source_ohm {self.source_ohm:g} ohm must be 0 or more: give the resistance of the source")
        for name in ("supply_v", "ratiometric_at_v"):
            value = getattr(self, name)
            if value is not None and not scalar(value, name) > 0:
                raise ValueError(f"{name} {value:g} V must be above 0 V: give the supply, or leave it out")

    @property
    def assumed(self):
        """The circuit as the program takes it for granted: this one."""
        return self

    def doubts(self, kind):
        """What may be off in the circuit: nothing.

        >>> Direct().doubts("supply")
        {}
        """
        return {}

    @property
    def needs_feed(self):
        """True when the output depends on the feed, so that a chain must know it."""
        return self.ratiometric_at_v is not None

    def _scaled(self, v, feed_v):
        return v if self.ratiometric_at_v is None else v * (feed_v / self.ratiometric_at_v)

    def _specified(self, v, feed_v):
        return v if self.ratiometric_at_v is None else v * (self.ratiometric_at_v / feed_v)

    def feed_v(self, reference_v, kind):
        """Voltage that feeds the sensor [V]: the reference where that is the supply, else its own named supply.

        With a fixed reference and no supply named the feed is not known: `None`, and nothing is claimed about it.

        >>> Direct().feed_v(4.75, "supply"), Direct(supply_v=3.3).feed_v(2.5, "fixed"), Direct().feed_v(2.5, "fixed")
        (4.75, 3.3, None)
        """
        if self.supply_v is not None and kind == "fixed":
            return self.supply_v
        return reference_v if kind == "supply" else None

    def assumed_feed_v(self, nominal_v, kind):
        """Feed [V] that a program takes for granted: its nominal reference, or the supply of the specification.

        >>> Direct().assumed_feed_v(5.0, "supply"), Direct(4.7, 4.75, 5.0).assumed_feed_v(2.5, "fixed")
        (5.0, 5.0)
        """
        return nominal_v if kind == "supply" else self.ratiometric_at_v

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V].

        >>> from tempkit.chain.sensors import LinearSensor
        >>> Direct().volts(LinearSensor(), 0.0, feed_v=5.0)
        0.5
        """
        if off:
            check_known(off)
        return self._scaled(sensor.line(t_c), feed_v)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.sensors import LinearSensor
        >>> Direct().celsius(LinearSensor(), 0.5, feed_v=5.0)
        0.0
        """
        return sensor.inverse(self._specified(v, feed_v))

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.sensors import LinearSensor
        >>> Direct().volts_per_c(LinearSensor(), 25.0, feed_v=5.0)
        0.01
        """
        return self._scaled(sensor.volts_per_c(t_c), feed_v)
