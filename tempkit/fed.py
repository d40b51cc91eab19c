"""What the circuits of the other sensors share: what feeds them, an amplifier behind them, and their lead wires."""

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from tempkit.deviations import EXACT, check_above, check_choice, check_from, check_tolerance, factor, percent


def part_of(ratio_ohm, total_ohm):
    """A quotient of two resistances, kept in 0 to 1; 0/0 and what is not a number stay `nan`.

    >>> part_of(1.0, 2.0), part_of(3.0, 2.0)
    (0.5, 1.0)
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        part = np.clip(np.divide(ratio_ohm, total_ohm), 0.0, 1.0)
    return part if np.ndim(part) else float(part)


def odds(part):
    """part / (1 - part), infinite at 1: a voltage divider turned round.

    >>> odds(0.5), odds(1.0)
    (1.0, inf)
    """
    with np.errstate(divide="ignore"):
        ratio = np.divide(part, np.subtract(1.0, part))
    return ratio if np.ndim(ratio) else float(ratio)


@dataclass(frozen=True, kw_only=True)
class Fed:
    """A circuit that a reference or a supply feeds, with an amplifier behind it where `gain` is not 1.

    supply_v : what feeds the circuit [V]; None: the reference itself does, so that the reading does not depend on it.
    Where the reference is the supply, that feeds the circuit in any case. supply_tolerance : relative, +-.
    gain, gain_tolerance (relative, +-) : of the amplifier; offset_v : its offset at the input, limits, +- [V];
    bias_v : what it adds to its output [V], known to the program. source_ohm : between amplifier and converter [ohm].
    The pin sees bias_v + gain (v + offset). Raises `ValueError` for values that cannot be.
    """

    supply_v: float | None = None
    supply_tolerance: float = 0.0
    gain: float = 1.0
    gain_tolerance: float = 0.0
    offset_v: float = 0.0
    bias_v: float = 0.0
    source_ohm: float = 0.0

    ratiometric_at_v: ClassVar[None] = None
    needs_feed: ClassVar[bool] = True
    unknown: ClassVar[str] = ""

    def __post_init__(self):
        if self.supply_v is not None:
            check_above(self, 0, supply_v="V")
        check_above(self, 0, gain="(ratio)")
        check_from(self, 0, offset_v="V", source_ohm="ohm")
        check_from(self, -1000, bias_v="V")
        check_tolerance(self, "supply_tolerance", "gain_tolerance")

    @property
    def amplified(self):
        """True where an amplifier stands before the converter."""
        return self.gain != 1.0 or self.bias_v != 0.0 or self.offset_v != 0.0 or self.gain_tolerance != 0.0

    @property
    def assumed(self):
        """The circuit as the program takes it for granted."""
        return self

    def feed_v(self, reference_v, kind):
        """Voltage that feeds the circuit [V]: a supply of its own beside a fixed reference, else the reference.

        >>> Fed(supply_v=5.0).feed_v(2.5, "fixed"), Fed(supply_v=5.0).feed_v(4.83, "supply"), Fed().feed_v(2.5, "fixed")
        (5.0, 4.83, 2.5)
        """
        return self.supply_v if self.supply_v is not None and kind == "fixed" else reference_v

    def assumed_feed_v(self, nominal_v, kind):
        """Feed [V] that the program takes for granted.

        >>> Fed().assumed_feed_v(5.0, "supply")
        5.0
        """
        return self.feed_v(nominal_v, kind)

    def doubts(self, kind):
        """What may be off in the circuit: key to (half-width, unit); `kind` is the reference's.

        >>> Fed(offset_v=1e-5).doubts("fixed")["amp_offset"]
        (1e-05, 'V')
        """
        own_supply = self.supply_v is not None and kind == "fixed"
        return {
            "feed": percent(self.supply_tolerance if own_supply else 0.0),
            "amp_offset": (self.offset_v, "V"),
            "amp_gain": percent(self.gain_tolerance),
        }

    def at_pin(self, v, off=EXACT):
        """Amplifier input [V] -> converter's pin [V]; `off` may hold "amp_offset" [V] and "amp_gain" [%].

        >>> Fed(gain=10.0, bias_v=0.5).at_pin(0.1)
        1.5
        """
        return self.bias_v + self.gain * factor(off, "amp_gain") * (v + off.get("amp_offset", 0.0))

    def before(self, v_pin):
        """Converter's pin [V] -> amplifier input [V].

        >>> Fed(gain=10.0, bias_v=0.5).before(1.5)
        0.1
        """
        return (v_pin - self.bias_v) / self.gain


@dataclass(frozen=True, kw_only=True)
class Wired(Fed):
    """A circuit for a sensor of resistance at the end of `wires` lead wires of `lead_ohm` [ohm] each.

    assumed_lead_ohm : what the program takes each lead for [ohm]; 0 where it forgot them. lead_tolerance : relative,
    +-, how far each lead may be from `lead_ohm`.
    """

    wires: int = 2
    lead_ohm: float = 0.0
    assumed_lead_ohm: float = 0.0
    lead_tolerance: float = 0.0

    takes: ClassVar[str] = "ohms"
    possible_wires: ClassVar[tuple] = (2,)

    def __post_init__(self):
        super().__post_init__()
        check_choice(self, wires=self.possible_wires)
        check_from(self, 0, lead_ohm="ohm", assumed_lead_ohm="ohm")
        check_tolerance(self, "lead_tolerance")

    @property
    def unknown(self):
        """What the program does not know of the circuit, in words; empty where it knows all."""
        return "leads other than assumed" if self.lead_ohm != self.assumed_lead_ohm else ""

    @property
    def assumed(self):
        """The circuit as the program takes it for granted: the leads as assumed."""
        return self if self.lead_ohm == self.assumed_lead_ohm else replace(self, lead_ohm=self.assumed_lead_ohm)

    def doubts(self, kind):
        """Also "leads" [ohm]: both leads off to the worse side. Four wires of a current source are not moved by them.

        >>> Wired(lead_ohm=0.5, lead_tolerance=0.1).doubts("fixed")["leads"]
        (0.1, 'ohm')
        """
        return super().doubts(kind) | {"leads": (2 * self.lead_ohm * self.lead_tolerance, "ohm")}
