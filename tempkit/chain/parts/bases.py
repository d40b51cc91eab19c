"""What all kinds of sensor and circuit share, and what each must say of itself.

A kind is a frozen dataclass. Its fields have the types of `tempkit.chain.quantities`, and a chain file's table is made
from them. Formulas take no look at a range, the chain does that once; `off` says how far what `doubts` names is off.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from tempkit.chain.deviations import (
    EXACT,
    Doubt,
    check_above,
    check_choice,
    check_from,
    check_known,
    check_tolerance,
    factor,
    percent,
)
from tempkit.chain.quantities import AnyVolts, Gain, NoiseVolts, Ohms, Relative, Volts, Wires
from tempkit.ranges import keep, like, with_rounding
from tempkit.text import DECOUPLING, digits, millivolts, ohms, volts, within

TAKES = {"volts": "a voltage", "ohms": "a resistance", "emf": "a thermocouple's voltage between two junctions"}


class Part(ABC):
    """A sensor or a circuit. `kind` is its word in a chain file, `called` what a sentence calls it."""

    stated: ClassVar[tuple] = ()  # fields that a chain file must give, though the class has a default

    @classmethod
    @abstractmethod
    def examples(cls):
        """One or two of this kind with invented figures and no doubt left out, each with what it goes with: pairs."""


class Sensor(Part):
    """What every sensor says: `line` and `inverse`, its range and limits, and itself in words."""

    role: ClassVar[str] = "sensor"
    must_name: ClassVar[tuple] = ("gives",)
    article: ClassVar[str] = "a "
    supply_v: ClassVar[None] = None  # lowest and highest supply [V], where the sensor needs one
    curve: ClassVar[str] = ""  # which published curve it follows, where sensors of the kind follow different ones
    straight: ClassVar[bool] = False  # the output is at_0c_v + slope_v_per_c * t_c, two constants of a program

    @abstractmethod
    def words(self):
        """The sensor in a few words, for a table or a drawing."""

    @abstractmethod
    def line(self, t_c, off=EXACT):
        """Temperature [degC] -> what the sensor gives."""

    @abstractmethod
    def inverse(self, given):
        """What the sensor gives -> temperature [degC]."""

    @abstractmethod
    def limits_c(self, t_c):
        """Limits of the specification, +- [degC]."""

    def doubts(self, t_c):
        """What may be off besides the limits: key to `Doubt`."""
        return {}

    def tolerances(self):
        """What else may be off, in words; empty where nothing may."""
        told = (f"{each.name} ±{each.half_width:.3g} {each.unit}" for each in self.doubts(25.0).values() if each[0])
        return ", ".join(told)


class ResistiveSensor(Sensor):
    """A sensor of resistance: its formulas with a look at the range, and its slope."""

    abstract: ClassVar[bool] = True
    gives: ClassVar[str] = "ohms"

    @abstractmethod
    def slope(self, t_c):
        """Slope of the resistance [ohm/degC]."""

    def ohms(self, t_c):
        """Temperature [degC] -> resistance [ohm], scalar or array.

        Raises `ValueError` outside `range_c`; an array gives `nan` there.

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> PlatinumSensor(r0_ohm=1000.0).ohms([0.0, 25.0]).round(3)
        array([1000.   , 1097.347])
        """
        return self.line(self._kept(t_c))

    def celsius(self, r_ohm):
        """Resistance [ohm] -> temperature [degC], scalar or array, to the last digits of a float.

        Raises `ValueError` for a resistance that the sensor has not within `range_c`; an array gives `nan` there.

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(PlatinumSensor().celsius(107.7935), 3)
        20.0
        """
        low, high = with_rounding(*sorted(self.line(end) for end in self.range_c))
        advice = "the sensor has not this resistance within its range; look for a broken or shorted lead"
        t_c = self.inverse(keep(r_ohm, low, high, name="resistance", unit="ohm", advice=advice))
        return like(t_c, np.clip(t_c, *self.range_c))

    def ohms_per_c(self, t_c):
        """Slope of the resistance [ohm/degC] at a temperature [degC], scalar or array.

        Raises `ValueError` outside `range_c`; an array gives `nan` there.

        >>> from tempkit.chain.parts.platinum import PlatinumSensor
        >>> round(PlatinumSensor().ohms_per_c(0.0), 5)
        0.39083
        """
        return self.slope(self._kept(t_c))

    def _kept(self, t_c):
        return keep(t_c, *self.range_c, name="temperature", unit="degC", advice="the sensor's own range")


class Circuit(Part):
    """What lies between a sensor and the converter's input pin; `feed_v` is the voltage that feeds it.

    A circuit has a truth and a belief: `volts` is what is there, `assumed` is what the program takes it for.
    """

    role: ClassVar[str] = "circuit"
    must_name: ClassVar[tuple] = ("takes",)
    unknown: ClassVar[str] = ""  # what the program does not know of the circuit, in words
    needs_feed: ClassVar[bool] = False  # the output depends on the feed, so that a chain must know it
    without_effect: ClassVar[tuple] = ()  # doubts that are stated and do nothing in this circuit
    ratiometric_at_v: ClassVar[None] = None
    across_feed: ClassVar[bool] = False  # a fixed reference may feed it, in place of a supply
    amplified: ClassVar[bool] = False
    three_legs: ClassVar[bool] = False  # the sensor has supply, ground and output of its own
    compensated: ClassVar[bool] = False  # a second temperature, that of its terminals, is added by the program
    second_input: ClassVar[None] = None  # what a meter finds there: voltage [V], slope [V/degC], limits [degC]
    giver: ClassVar[str] = "sensor and circuit give"
    fed_at: ClassVar[str] = "the circuit"
    tapped: ClassVar[str] = "The middle"

    @property
    def assumed(self):
        """The circuit as the program takes it for granted."""
        return self

    @property
    def has_amplifier(self):
        """True where an amplifier is drawn: also where a difference must be taken."""
        return self.amplified

    def feed_v(self, reference_v, kind):
        """Voltage that feeds the sensor [V]: the reference where that is the supply, else its own named supply.

        With a fixed reference and no supply named the feed is not known: `None`, and nothing is claimed about it.

        >>> from tempkit.chain.parts.direct import Direct
        >>> Direct().feed_v(4.75, "supply"), Direct(supply_v=3.3).feed_v(2.5, "fixed"), Direct().feed_v(2.5, "fixed")
        (4.75, 3.3, None)
        """
        return reference_v if kind == "supply" else self.supply_v

    def assumed_feed_v(self, nominal_v, kind):
        """Feed [V] that the program takes for granted.

        >>> from tempkit.chain.parts.divider import Divider
        >>> Divider(fixed_ohm=9_100.0).assumed_feed_v(5.0, "supply")
        5.0
        """
        return self.feed_v(nominal_v, kind)

    @abstractmethod
    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V]."""

    @abstractmethod
    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC]."""

    @abstractmethod
    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC]."""

    def doubts(self, kind):
        """What may be off in the circuit: key to `Doubt`; `kind` is the reference's."""
        return {}

    def check_off(self, sensor, t_c, off):
        """Raise `ValueError` for a deviation that neither sensor nor circuit has."""
        if off:
            check_known(off, self.doubts("fixed"), sensor.doubts(t_c))

    def problems(self, sensor, feed_v):
        """What cannot work with this supply [V], one sentence each."""
        return ()

    # ---- in words

    @abstractmethod
    def rows(self, chain):
        """The circuit as rows (label, words), for a table; the first is its kind."""

    @abstractmethod
    def needs(self, chain):
        """What a board needs besides the sensor itself, in words."""

    def told(self, chain):
        """Sentences for a reader who sees no drawing: what `rows` says, and where the output goes."""
        rows = dict(self.rows(chain))
        kind = rows.pop("kind")
        rows.pop("power in sensor", None)
        if rows.get("fed", "").startswith("by the reference"):
            rows["fed"] = "by the reference"
        yield f"{kind}. The sensor is {chain.sensor.article}{chain.sensor.words()}."
        told = "; ".join(f"{label}: {text}" for label, text in rows.items())
        if told:
            yield f"{told[0].upper()}{told[1:]}."
        if chain.reference.kind == "supply":
            yield f"The supply is {chain.reference.words()}; a capacitor of {DECOUPLING} stands beside it."
        what = "The amplifier's output" if self.has_amplifier else self.tapped
        yield f"{what} goes {self._way()} to the input of a {chain.converter.bits}-bit converter."

    def _way(self):
        return f"through {ohms(self.source_ohm)}" if self.source_ohm else "directly"

    @abstractmethod
    def drawn(self, chain, sheet):
        """The drawing, by the verbs of a sheet such as `tempkit.draw.circuits.CircuitSheet`: its finished figure."""

    # ---- on the bench

    def resistors(self):
        """Name, value [ohm] and relative tolerance of the resistors that the circuit measures by."""
        return ()

    def other_parts(self):
        """Rows (part, value, note) of what else has to be there."""
        return [("amplifier", self.amplifier_words(), "as drawn")] if self.amplified else []

    def wiring(self, through=""):
        """What to connect up to the supply, in order, the output `through` a resistor where one is named; sentences."""
        return (
            "Ground: from the board to the circuit and the sensor, wires that nothing else uses.",
            f"Capacitor of {DECOUPLING} between the circuit's supply and ground, legs kept short.",
            "The circuit as drawn, one wire after the other, each ticked off on the drawing.",
            f"Output: from the circuit{through} to the converter's pin.",
        )

    def in_room(self, room_c):
        """The circuit in a room of this temperature [degC]."""
        return self

    # ---- on a board

    def exact_line(self, sensor, feed_v):
        """The pin's voltage as a straight line of temperature, (at 0 degC [V], slope [V/degC]) in fractions.

        None where it is none: a board then has a table.
        """
        return None


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
class Supplied(Circuit):
    """A circuit that a reference or a supply feeds, with an amplifier behind it where `gain` is not 1.

    supply_v : what feeds the circuit [V]; None: the reference itself does, so that the reading does not depend on it.
    Where the reference is the supply, that feeds the circuit in any case. supply_tolerance : relative, +-.
    gain, gain_tolerance (relative, +-) : of the amplifier; offset_v : its offset at the input, limits, +- [V];
    bias_v : what it adds to its output [V], known to the program. source_ohm : between amplifier and converter [ohm].
    The pin sees bias_v + gain (v + offset). Raises `ValueError` for values that cannot be.
    """

    supply_v: Volts | None = None
    supply_tolerance: Relative = 0.0
    gain: Gain = 1.0
    gain_tolerance: Relative = 0.0
    offset_v: NoiseVolts = 0.0
    bias_v: AnyVolts = 0.0
    source_ohm: Ohms = 0.0

    abstract: ClassVar[bool] = True
    needs_feed: ClassVar[bool] = True

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

    def feed_v(self, reference_v, kind):
        """Voltage that feeds the circuit [V]: a supply of its own beside a fixed reference, else the reference.

        >>> from tempkit.chain.parts.divider import Divider
        >>> divider = Divider(fixed_ohm=9_100.0, supply_v=5.0)
        >>> divider.feed_v(2.5, "fixed"), divider.feed_v(4.83, "supply"), Divider(fixed_ohm=1e3).feed_v(2.5, "fixed")
        (5.0, 4.83, 2.5)
        """
        return self.supply_v if self.supply_v is not None and kind == "fixed" else reference_v

    def doubts(self, kind):
        """What may be off in the circuit: key to `Doubt`; `kind` is the reference's.

        >>> from tempkit.chain.parts.divider import Divider
        >>> Divider(fixed_ohm=9_100.0, offset_v=1e-5).doubts("fixed")["amp_offset"][:2]
        (1e-05, 'V')
        """
        feed = percent(self, "supply_tolerance", "supply of the circuit")
        if self.supply_v is None or kind != "fixed":
            feed = feed._replace(half_width=0.0)
        return {
            "feed": feed,
            "amp_offset": Doubt(self.offset_v, "V", "amplifier offset", "offset_v"),
            "amp_gain": percent(self, "gain_tolerance", "amplifier gain"),
        }

    def at_pin(self, v, off=EXACT):
        """Amplifier input [V] -> converter's pin [V]; `off` may hold "amp_offset" [V] and "amp_gain" [%].

        >>> from tempkit.chain.parts.cold_junction import ColdJunction
        >>> ColdJunction(gain=10.0, bias_v=0.5).at_pin(0.1)
        1.5
        """
        return self.bias_v + self.gain * factor(off, "amp_gain") * (v + off.get("amp_offset", 0.0))

    def before(self, v_pin):
        """Converter's pin [V] -> amplifier input [V].

        >>> from tempkit.chain.parts.cold_junction import ColdJunction
        >>> ColdJunction(gain=10.0, bias_v=0.5).before(1.5)
        0.1
        """
        return (v_pin - self.bias_v) / self.gain

    def amplifier_words(self):
        """The amplifier in words: gain, offset, bias; what it has not is not said.

        >>> from tempkit.chain.parts.cold_junction import ColdJunction
        >>> ColdJunction(gain=100.0, gain_tolerance=0.01, offset_v=1e-5, bias_v=0.25).amplifier_words()
        'gain 100 ±1 %, offset up to ±0.0100 mV, bias 250 mV'
        """
        said = [f"gain {within(f'{self.gain:.4g}', self.gain_tolerance)}"]
        said += [f"offset up to ±{millivolts(self.offset_v)}"] * bool(self.offset_v)
        said += [f"bias {millivolts(self.bias_v)}"] * bool(self.bias_v)
        return ", ".join(said)

    def amplifier_rows(self):
        """Rows (label, words) of what stands before the converter."""
        rows = [("amplifier", self.amplifier_words())] if self.amplified else []
        return rows + [("source resistance", ohms(self.source_ohm))] * bool(self.source_ohm)

    def and_amplifier(self):
        """The amplifier as the last of what a board needs."""
        return ", an amplifier" if self.amplified else ""


@dataclass(frozen=True, kw_only=True)
class WithLeads(Supplied):
    """A circuit for a sensor of resistance at the end of `wires` lead wires of `lead_ohm` [ohm] each.

    assumed_lead_ohm : what the program takes each lead for [ohm]; 0 where it forgot them. lead_tolerance : relative,
    +-, how far each lead may be from `lead_ohm`.
    """

    wires: Wires = 2
    lead_ohm: Ohms = 0.0
    assumed_lead_ohm: Ohms = 0.0
    lead_tolerance: Relative = 0.0

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

    @property
    def has_amplifier(self):
        """True where an amplifier is drawn: also where wires of their own take the voltage."""
        return self.amplified or self.wires > 2

    def doubts(self, kind):
        """Also "leads" [ohm]: both leads off to the worse side. Four wires of a current source are not moved by them.

        >>> from tempkit.chain.parts.divider import Divider
        >>> Divider(fixed_ohm=9_100.0, lead_ohm=0.5, lead_tolerance=0.1).doubts("fixed")["leads"][:2]
        (0.1, 'ohm')
        """
        leads = Doubt(2 * self.lead_ohm * self.lead_tolerance, "ohm", "lead resistance", "lead_tolerance")
        return {"leads": leads} | super().doubts(kind)

    @abstractmethod
    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W]."""

    def fed_row(self, chain):
        """What feeds the circuit, and what that means for the reading.

        >>> from tempkit.chain import Chain, Converter, Divider, Reference, Thermistor
        >>> chain = Chain(Thermistor.from_beta(9_100.0, 3610.0), Reference(5.0), Converter(10), Divider(fixed_ohm=1e3))
        >>> chain.circuit.fed_row(chain)
        ('fed', 'by the reference, so that it cancels')
        """
        if self.supply_v is None or chain.reference.kind == "supply":
            return "fed", "by the reference, so that it cancels"
        return "fed", f"by a supply of its own, {within(volts(self.supply_v), self.supply_tolerance)}"

    def around(self, chain):
        """Rows (label, words) of leads, of the most power that warms the sensor, and of the amplifier."""
        rows = [("lead wires", self._lead_words())] if self.lead_ohm or self.assumed_lead_ohm else []
        feed_v = self.feed_v(chain.reference.actual_v, chain.reference.kind)
        power_w = self.power_w(chain.sensor, np.linspace(*chain.sensor.range_c, 200), feed_v)
        return [*rows, ("power in sensor", f"up to {digits(1000 * float(power_w.max()))} mW"), *self.amplifier_rows()]

    def _lead_words(self):
        told = f"{self.wires} of {within(ohms(self.lead_ohm), self.lead_tolerance)} each"
        if self.unknown and self.wires != 4:
            told += f"; the program allows for {ohms(self.assumed_lead_ohm)}"
        return told

    def lead(self, count=1):
        """Lead wires as a part of a drawn column: a resistor with its value, or a bare wire where there is none."""
        if not self.lead_ohm:
            return "wire", []
        value = within(ohms(self.lead_ohm), self.lead_tolerance)
        return "resistor", [f"{count} leads, each" if count > 1 else "lead", value]
