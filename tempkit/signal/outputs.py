"""What the output pins drive and the supply bears: resistor of a lamp, preferred values, currents, wires."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tempkit.constants import COPPER_OHM_MM2_PER_M, COPPER_PER_K, COPPER_T_C
from tempkit.ranges import keep, positive, scalar, size

# IEC 60063: two digits, from a table; three digits, rounded steps of 10^(1/n), with one exception
_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")


def _room_v(supply_v, forward_v):
    """What is left of the supply for the resistor [V]; raises `ValueError` where nothing is."""
    supply, forward = positive(supply_v, "supply", "V"), size(forward_v, "forward voltage", "V")
    left = supply - forward
    if np.ndim(left):
        return np.where(left > 0, left, np.nan)
    if not left > 0:
        raise ValueError(
            f"forward voltage {forward:g} V must be below the supply {supply:g} V: the lamp does not light"
        )
    return left


def series_resistor(supply_v, forward_v, current_a):
    """Resistance [ohm] that lets `current_a` [A] through a lamp (LED) with `forward_v` [V] across it.

    (supply - forward) / current. All above 0, the forward voltage below `supply_v` [V]; scalars or arrays. Raises
    `ValueError` otherwise (`nan` in an array). Source: Ohm's law.

    >>> series_resistor(5.0, 2.0, 0.010)
    300.0
    """
    return _room_v(supply_v, forward_v) / positive(current_a, "current", "A")


def lamp_resistor(supply_v, forward_v, current_a, tolerance=0.05):
    """The preferred resistor [ohm], E24, of a lamp that gets no more than `current_a` [A], though it be too small.

    supply_v, forward_v : the highest supply and the lowest forward voltage [V]; tolerance : of the resistor, relative,
    +-, 0 to below 1. The smallest preferred value whose lower limit is not below `series_resistor`; a scalar. Raises
    `ValueError` otherwise. Source: Ohm's law; IEC 60063, whose E24 is made for 5 %.

    >>> lamp_resistor(5.5, 1.8, 0.006)
    680.0
    """
    check = keep(tolerance, 0.0, 0.99, name="tolerance", unit="(relative)", advice="5 % is 0.05")
    return preferred_at_least(series_resistor(supply_v, forward_v, current_a) / (1 - check), "E24")


def lamp_current_a(supply_v, forward_v, r_ohm):
    """Current [A] through a lamp and its resistor, which is the current in the pin: (supply - forward) / resistance.

    All above 0, the forward voltage below the supply [V]; scalars or arrays. Raises `ValueError` otherwise (`nan` in
    an array). A pin's own drop, some tenths of a volt, is not in it: the true current is a little less.

    >>> round(1000 * lamp_current_a(5.5, 2.0, 330.0), 3)
    10.606
    """
    return _room_v(supply_v, forward_v) / positive(r_ohm, "resistance", "ohm")


def preferred_values(series="E24"):
    """The numbers of one decade of a series of preferred values, from 1 up to less than 10, as a tuple.

    `series` is E3, E6, E12, E24, E48, E96 or E192; raises `ValueError` otherwise. Source: IEC 60063:2015.

    >>> preferred_values("E6")
    (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)
    """
    if series not in SERIES:
        raise ValueError(f"series {series!r} is not one of {', '.join(SERIES)}: choose one of these")
    count = int(series[1:])
    if count <= 24:
        return tuple(number / 10 for number in _E24[:: 24 // count])
    numbers = (math.floor(100 * 10 ** (k / count) + 0.5) for k in range(count))
    return tuple((920 if number == 919 else number) / 100 for number in numbers)


def _around(value, series):
    """The preferred values next below (or equal) and next above (or equal)."""
    value = keep(scalar(value), 1e-12, 1e12, name="value", unit="(unit of the part)", advice="parts have values here")
    decade = math.floor(math.log10(value))
    numbers = preferred_values(series)
    near = [float(f"{number}e{decade + shift}") for shift in (-1, 0, 1) for number in numbers]
    below = max(number for number in near if number <= value * (1 + 1e-12))
    return value, below, min(number for number in near if number >= value * (1 - 1e-12))


def nearest_preferred(value, series="E24"):
    """The preferred value nearest to `value`, in its own unit; of two equally near the larger one.

    `value` from 1e-12 to 1e12, a scalar; `series` as in `preferred_values`. Raises `ValueError` otherwise.
    Source: IEC 60063:2015.

    >>> nearest_preferred(300.0), nearest_preferred(312.0, "E12"), nearest_preferred(9.9)
    (300.0, 330.0, 10.0)
    """
    value, below, above = _around(value, series)
    return below if value - below < above - value else above


def preferred_at_least(value, series="E24"):
    """The smallest preferred value not below `value`: a resistor that lets no more current through.

    As `nearest_preferred`.

    >>> preferred_at_least(300.0), preferred_at_least(301.0), preferred_at_least(301.0, "E12")
    (300.0, 330.0, 330.0)
    """
    return _around(value, series)[2]


@dataclass(frozen=True)
class SupplyTotal:
    """What all parts draw together: `total_a` [A] against `limit_a` [A]."""

    total_a: float
    limit_a: float

    @property
    def left_a(self):
        """What the supply could still give [A]; below 0 where it is asked for too much."""
        return round(self.limit_a - self.total_a, 12)

    @property
    def enough(self):
        """True where the supply gives what is asked."""
        return self.total_a <= self.limit_a


def supply_total(currents_a, limit_a):
    """Add up what a supply has to give: a `SupplyTotal`.

    `currents_a` : a mapping of names to currents [A], or a list of them, each 0 or more; `limit_a` > 0 [A].
    Raises `ValueError` otherwise. Count each part at its most: lamp lit and buzzer sounding at once.

    >>> supply_total({"board": 0.05, "lamp": 0.009, "buzzer": 0.03}, 0.1).left_a
    0.011
    """
    named = currents_a.items() if isinstance(currents_a, Mapping) else enumerate(currents_a, start=1)
    currents = [size(scalar(current, "current"), f"current of {name}", "A") for name, current in named]
    total = round(math.fsum(currents), 12)
    return SupplyTotal(total, positive(scalar(limit_a, "limit"), "limit", "A"))


def wire_area_mm2(awg):
    """Copper area [mm^2] of a round solid wire of gauge `awg`, -3 (written 0000) to 50.

    Diameter 0.127 mm times 92^((36 - n) / 39). Scalar or array; raises `ValueError` otherwise (`nan` in an array).
    Source: ASTM B258.

    >>> round(wire_area_mm2(24), 4)
    0.2047
    """
    gauge = keep(awg, -3.0, 50.0, name="gauge", unit="AWG", advice="thin wires have large numbers")
    return math.pi / 4 * (0.127 * 92.0 ** ((36 - gauge) / 39)) ** 2


def wire_ohms_per_m(awg, t_c=20.0):
    """Resistance [ohm/m] of one copper wire of gauge `awg`; there and back is twice the length.

    `awg` from -3 (0000) to 50, `t_c` the wire's temperature from -100 to 200 degC; scalars or arrays. Raises
    `ValueError` otherwise (`nan` in an array). Source: ASTM B258 for the area; IEC 60028 for annealed copper.

    >>> round(1000 * wire_ohms_per_m(24), 1)
    84.2
    """
    return copper_ohms_per_m(wire_area_mm2(awg), t_c)


def copper_ohms_per_m(area_mm2, t_c=20.0):
    """Resistance [ohm/m] of a copper conductor of `area_mm2` [mm^2]: (1/58 ohm mm^2/m) / area, at 20 degC.

    Area > 0, `t_c` from -100 to 200 degC; scalars or arrays. Raises `ValueError` otherwise (`nan` in an array).
    A cable's specification allows some per cent more (IEC 60228). Source: IEC 60028.

    >>> round(1000 * copper_ohms_per_m(0.5), 2)
    34.48
    """
    warm = keep(t_c, -100.0, 200.0, name="wire temperature", unit="degC", advice="the straight line ends there")
    per_m = float(COPPER_OHM_MM2_PER_M) / positive(area_mm2, "area", "mm^2")
    return per_m * (1 + float(COPPER_PER_K) * (warm - float(COPPER_T_C)))
