"""Circuits for sensors of resistance: a divider, a current source with two to four wires, a bridge."""

from dataclasses import dataclass, replace
from typing import ClassVar

import numpy as np

from tempkit.chain.deviations import (
    EXACT,
    check_above,
    check_choice,
    check_from,
    check_known,
    check_tolerance,
    factor,
    percent,
)

# --- What the circuits of the other sensors share: what feeds them, an amplifier behind them, and their lead wires.

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


ENDS = ("bottom", "top")


@dataclass(frozen=True, kw_only=True)
class Divider(Wired):
    """The sensor in series with a fixed resistor, across the feed; the pin sees the middle.

    fixed_ohm [ohm], fixed_tolerance (relative, +-); sensor_at : "bottom", between middle and ground, or "top". The
    other fields are those of `tempkit.chain.Wired`; the two leads are in series with the sensor. With 4 wires, at the
    bottom, the voltage is taken at the sensor itself.

    >>> from tempkit.chain.thermistor import Thermistor
    >>> Divider(fixed_ohm=10_000.0).volts(Thermistor.from_beta(10_000.0, 3950.0), 25.0, feed_v=5.0)
    2.5
    """

    fixed_ohm: float
    fixed_tolerance: float = 0.0
    sensor_at: str = "bottom"

    called: ClassVar[str] = "a divider"
    possible_wires: ClassVar[tuple] = (2, 4)

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

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> Divider(fixed_ohm=100.0).volts(PlatinumSensor(), 0.0, feed_v=3.3)
        1.65
        """
        if off:
            check_known(off, self.doubts("fixed"), sensor.doubts(t_c))
        across, total = self._arms(sensor.line(t_c, off), off)
        return self.at_pin(feed_v * factor(off, "feed") * (across / total), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.platinum import PlatinumSensor
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

        >>> from tempkit.chain.thermistor import Thermistor
        >>> round(Divider(fixed_ohm=10_000.0).volts_per_c(Thermistor.from_beta(10_000.0, 3950.0), 25.0, 5.0), 6)
        -0.055544
        """
        across, total = self._arms(sensor.line(t_c))
        rest = total - across if self.sensor_at == "bottom" else -across
        return self.gain * feed_v * (rest / (total * total)) * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(Divider(fixed_ohm=900.0).power_w(PlatinumSensor(), 0.0, feed_v=1.0), 9)
        0.0001
        """
        r_ohm = sensor.line(t_c)
        return (feed_v / self._arms(r_ohm)[1]) ** 2 * r_ohm

    def doubts(self, kind):
        """Also "fixed", the fixed resistor [%].

        >>> Divider(fixed_ohm=10_000.0, fixed_tolerance=0.01).doubts("supply")["fixed"]
        (1.0, '%')
        """
        return super().doubts(kind) | {"fixed": percent(self.fixed_tolerance)}


@dataclass(frozen=True, kw_only=True)
class CurrentDrive(Wired):
    """A known current through the sensor, which sits at the end of two, three or four wires.

    current_a [A], or set_ohm [ohm]: then the reference over this resistor sets the current, and the reading does not
    depend on the reference. current_tolerance : relative, +-, of the current or of that resistor. Two wires: both
    leads count. Three: two equal currents, so that the drops in two leads cancel as far as the leads are alike. Four:
    no current in the wires that measure. The other fields are those of `tempkit.chain.Wired`.

    >>> from tempkit.chain.platinum import PlatinumSensor
    >>> CurrentDrive(current_a=0.001, wires=2, lead_ohm=0.5).volts(PlatinumSensor(), 0.0, feed_v=5.0)
    0.101
    """

    current_a: float | None = None
    set_ohm: float | None = None
    current_tolerance: float = 0.0
    wires: int = 4

    called: ClassVar[str] = "a current source"
    possible_wires: ClassVar[tuple] = (2, 3, 4)

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
        if self.wires == 4:
            return 0.0
        return (2 * self.lead_ohm if self.wires == 2 else 0.0) + off.get("leads", 0.0)

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V]: current times resistance, amplified.

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> CurrentDrive(set_ohm=2000.0, gain=10.0).volts(PlatinumSensor(), 0.0, feed_v=2.0)
        1.0
        """
        if off:
            check_known(off, self.doubts("fixed"), sensor.doubts(t_c))
        current_a = self._current_a(feed_v) * factor(off, "current")
        return self.at_pin(current_a * (sensor.line(t_c, off) + self._leads(off)), off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> CurrentDrive(current_a=0.001).celsius(PlatinumSensor(), 0.1, feed_v=None)
        0.0
        """
        return sensor.inverse(self.before(v) / self._current_a(feed_v) - self._leads())

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(CurrentDrive(current_a=0.001).volts_per_c(PlatinumSensor(), 0.0, 5.0), 8)
        0.00039083
        """
        return self.gain * self._current_a(feed_v) * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(CurrentDrive(current_a=0.001).power_w(PlatinumSensor(), 0.0, 5.0), 9)
        0.0001
        """
        return self._current_a(feed_v) ** 2 * sensor.line(t_c)

    def doubts(self, kind):
        """Also "current" [%].

        >>> CurrentDrive(current_a=0.001, current_tolerance=0.001).doubts("fixed")["current"]
        (0.1, '%')
        """
        return super().doubts(kind) | {"current": percent(self.current_tolerance)}


@dataclass(frozen=True, kw_only=True)
class Bridge(Wired):
    """Two dividers side by side: the sensor under one upper resistor, `balance_ohm` under the other.

    top_ohm : both upper resistors [ohm]; balance_ohm [ohm] : the output is 0 where the sensor has this resistance;
    arm_tolerance : relative, +-, of each of the three resistors. Two wires: both leads are in the sensor's arm. Three:
    one there and one in the arm beside it, so that they cancel near balance; the third leads both currents from the
    sensor to ground, and takes a little of the feed. The output is sensor side minus balance side. The other fields
    are those of `tempkit.chain.Wired`.

    >>> from tempkit.chain.platinum import PlatinumSensor
    >>> Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0).volts(PlatinumSensor(), 0.0, feed_v=5.0)
    0.0
    """

    top_ohm: float
    balance_ohm: float
    arm_tolerance: float = 0.0
    wires: int = 3

    called: ClassVar[str] = "a bridge"
    possible_wires: ClassVar[tuple] = (2, 3)

    def __post_init__(self):
        super().__post_init__()
        check_above(self, 0, top_ohm="ohm", balance_ohm="ohm")
        check_tolerance(self, "arm_tolerance")

    def _leads(self):
        """Lead resistance in the sensor's arm, in the arm beside it, and common to both [ohm]."""
        return (2 * self.lead_ohm, 0.0, 0.0) if self.wires == 2 else (self.lead_ohm,) * 3

    def _ohms(self, r_ohm, off=EXACT):
        """Of a sensor of `r_ohm`: its low side, its whole arm, the low and whole arm beside it, the common lead [ohm].

        The feed drives a current of feed * beside / (arm * beside + common * (arm + beside)) through the sensor's arm.
        """
        leads = self._leads()
        low = r_ohm + leads[0] + off.get("leads", 0.0)
        low_beside = self.balance_ohm * factor(off, "balance") + leads[1]
        arm = self.top_ohm * factor(off, "top_sensor") + low
        beside = self.top_ohm * factor(off, "top_balance") + low_beside
        return low, arm, low_beside, beside, leads[2] + off.get("common", 0.0)

    def volts(self, sensor, t_c, feed_v, off=EXACT):
        """Temperature [degC] -> voltage at the converter's pin [V].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> bridge = Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0)
        >>> round(bridge.volts(PlatinumSensor(), 25.0, feed_v=2.5), 4)
        1.9936
        """
        if off:
            check_known(off, self.doubts("fixed"), sensor.doubts(t_c))
        low, arm, low_beside, beside, common = self._ohms(sensor.line(t_c, off), off)
        part = (low / arm - low_beside / beside) / (1 + common * (1 / arm + 1 / beside))
        return self.at_pin(feed_v * factor(off, "feed") * part, off)

    def celsius(self, sensor, v, feed_v):
        """Voltage at the converter's pin [V] -> temperature [degC].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=100.0).celsius(PlatinumSensor(), 1.9936, 2.5), 2)
        25.0
        """
        _, _, low_beside, beside, common = self._ohms(0.0)
        feed_v, v = np.asarray(feed_v, dtype=float), self.before(v)
        low_v = low_beside / beside * feed_v + v * (1 + common / beside + common / self.top_ohm)
        part = part_of(low_v, feed_v + v * common / self.top_ohm)
        return sensor.inverse(self.top_ohm * odds(part) - self._leads()[0])

    def volts_per_c(self, sensor, t_c, feed_v):
        """Slope at the converter's pin [V/degC].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=1000.0, balance_ohm=100.0).volts_per_c(PlatinumSensor(), 0.0, 2.5), 6)
        0.000808
        """
        _, arm, _, beside, common = self._ohms(sensor.line(t_c))
        total = arm * beside + common * (arm + beside)
        part_per_ohm = self.top_ohm * beside * (beside + 2 * common) / (total * total)
        return self.gain * feed_v * part_per_ohm * sensor.slope(t_c)

    def power_w(self, sensor, t_c, feed_v):
        """Power that warms the sensor [W].

        >>> from tempkit.chain.platinum import PlatinumSensor
        >>> round(Bridge(top_ohm=900.0, balance_ohm=100.0).power_w(PlatinumSensor(), 0.0, feed_v=1.0), 9)
        0.0001
        """
        r_ohm = sensor.line(t_c)
        _, arm, _, beside, common = self._ohms(r_ohm)
        return (feed_v * beside / (arm * beside + common * (arm + beside))) ** 2 * r_ohm

    def doubts(self, kind):
        """Also the three resistors, each on its own [%], and "common", the lead that both arms share [ohm].

        >>> Bridge(top_ohm=1000.0, balance_ohm=100.0, arm_tolerance=0.001).doubts("fixed")["balance"]
        (0.1, '%')
        """
        arms = dict.fromkeys(("top_sensor", "top_balance", "balance"), percent(self.arm_tolerance))
        return super().doubts(kind) | arms | {"common": (self._leads()[2] * self.lead_tolerance, "ohm")}
