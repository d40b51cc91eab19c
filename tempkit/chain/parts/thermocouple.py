"""Thermocouples K, J and T: voltage between two junctions, and the hot junction's temperature from it, exactly.

A thermocouple measures a difference: E(hot, cold) = E(hot, 0 degC) - E(cold, 0 degC), the law of intermediate
temperatures. Its way back adds voltages, never temperatures.
"""

from dataclasses import dataclass
from functools import cache
from typing import ClassVar, Literal

import numpy as np

from tempkit.chain.deviations import EXACT, check_choice
from tempkit.chain.parts.bases import Sensor
from tempkit.chain.quantities import ClassNumber, Range
from tempkit.ranges import check_within, floats, in_blocks, keep, like, nan_outside

# ---- Reference functions of thermocouples: voltage [mV] of a hot junction at t [degC], cold junction at 0 degC.
#
#     E = sum of c_i t^i, and for type K above 0 degC also a0 exp(a1 (t - a2)^2). The coefficients are those of NIST
#     Monograph 175 (ITS-90), as NIST Standard Reference Database 60 gives them; read in a secondary copy.

SOURCE = "NIST Monograph 175 (ITS-90), coefficients as in NIST Standard Reference Database 60; read in a secondary copy"


@dataclass(frozen=True)
class Piece:
    """One polynomial of a reference function: from `low_c` to `high_c` [degC]; `bump` is (a0, a1, a2) or empty.

    >>> PIECES["K"][1].millivolts(np.array([25.0, 100.0])).round(4)
    array([1.0002, 4.0962])
    """

    low_c: float
    high_c: float
    coefficients: tuple
    bump: tuple = ()

    def millivolts(self, t_c):
        """Voltage [mV], scalar or array, without a look at the range.

        >>> PIECES["J"][0].millivolts(np.array([0.0, 100.0])).round(3)
        array([0.   , 5.269])
        """
        e = np.full_like(t_c, self.coefficients[-1], dtype=float)
        for c in self.coefficients[-2::-1]:
            e *= t_c
            e += c
        return e + self._bump(t_c) if self.bump else e

    def with_slope(self, t_c):
        """Voltage [mV] and slope [mV/degC], both in one pass; scalar or array, without a look at the range.

        >>> [each.round(4) for each in PIECES["K"][1].with_slope(np.array([25.0]))]
        [array([1.0002]), array([0.0405])]
        """
        e = np.full_like(t_c, self.coefficients[-1], dtype=float)
        slope = np.zeros_like(e)
        for c in self.coefficients[-2::-1]:
            slope *= t_c
            slope += e
            e *= t_c
            e += c
        if self.bump:
            bump = self._bump(t_c)
            return e + bump, slope + bump * (2 * self.bump[1]) * (t_c - self.bump[2])
        return e, slope

    def _bump(self, t_c):
        a0, a1, a2 = self.bump
        away = np.subtract(t_c, a2)
        return a0 * np.exp(a1 * (away * away))


PIECES = {
    "K": (
        Piece(-270.0, 0.0, (
            0.0, 0.394501280250e-01, 0.236223735980e-04, -0.328589067840e-06, -0.499048287770e-08,
            -0.675090591730e-10, -0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16,
            -0.198892668780e-19, -0.163226974860e-22,
        )),
        Piece(0.0, 1372.0, (
            -0.176004136860e-01, 0.389212049750e-01, 0.185587700320e-04, -0.994575928740e-07,
            0.318409457190e-09, -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18,
            0.971511471520e-22, -0.121047212750e-25,
        ), (0.118597600000e00, -0.118343200000e-03, 0.126968600000e03)),
    ),
    "J": (
        Piece(-210.0, 760.0, (
            0.0, 0.503811878150e-01, 0.304758369300e-04, -0.856810657200e-07, 0.132281952950e-09,
            -0.170529583370e-12, 0.209480906970e-15, -0.125383953360e-18, 0.156317256970e-22,
        )),
        Piece(760.0, 1200.0, (
            0.296456256810e03, -0.149761277860e01, 0.317871039240e-02, -0.318476867010e-05,
            0.157208190040e-08, -0.306913690560e-12,
        )),
    ),
    "T": (
        Piece(-270.0, 0.0, (
            0.0, 0.387481063640e-01, 0.441944343470e-04, 0.118443231050e-06, 0.200329735540e-07,
            0.901380195590e-09, 0.226511565930e-10, 0.360711542050e-12, 0.384939398830e-14,
            0.282135219250e-16, 0.142515947790e-18, 0.487686622860e-21, 0.107955392700e-23,
            0.139450270620e-26, 0.797951539270e-30,
        )),
        Piece(0.0, 400.0, (
            0.0, 0.387481063640e-01, 0.332922278800e-04, 0.206182434040e-06, -0.218822568460e-08,
            0.109968809280e-10, -0.308157587720e-13, 0.454791352900e-16, -0.275129016730e-19,
        )),
    ),
}  # fmt: skip


LETTERS = tuple(PIECES)
# Limits: the larger of a and b |t| [degC], and where the class holds. IEC 60584-1:2013, read in a secondary copy.
TOLERANCE = {
    "K": {1: (1.5, 0.004, (-40.0, 1000.0)), 2: (2.5, 0.0075, (-40.0, 1200.0)), 3: (2.5, 0.015, (-200.0, 40.0))},
    "J": {1: (1.5, 0.004, (-40.0, 750.0)), 2: (2.5, 0.0075, (-40.0, 750.0))},
    "T": {1: (0.5, 0.004, (-40.0, 350.0)), 2: (1.0, 0.0075, (-40.0, 350.0)), 3: (1.0, 0.015, (-200.0, 40.0))},
}
CELLS = 1024  # of equal voltage in each piece: the cubic start is then good to about 1e-9 degC for most of it
ROUNDING_MV = 1e-13


def full_range_c(letter):
    """Lowest and highest temperature [degC] of the reference function.

    >>> full_range_c("K")
    (-270.0, 1372.0)
    """
    return PIECES[letter][0].low_c, PIECES[letter][-1].high_c


def reference_mv(letter, t_c):
    """The reference function [degC] -> [mV], cold junction at 0 degC; scalar or array. Straight on beyond its ends.

    >>> round(reference_mv("J", 100.0), 6)
    5.268916
    """
    if np.ndim(t_c):
        return in_blocks(lambda block: _forward(letter, block), t_c, float)
    return float(_forward(letter, np.array([t_c], dtype=float))[0])


def _forward(letter, t_c):
    low, high = full_range_c(letter)
    inside = np.clip(t_c, low, high)
    first, second = PIECES[letter]
    warm = inside > first.high_c
    e = second.millivolts(inside) if warm.all() else first.millivolts(inside)
    if warm.any() and not warm.all():
        e[warm] = second.millivolts(inside[warm])
    beyond = inside != t_c
    if beyond.any():
        e[beyond] += slope_mv(letter, inside[beyond]) * (t_c - inside)[beyond]
    return e


def slope_mv(letter, t_c):
    """Slope of the reference function, the Seebeck coefficient [mV/degC]; scalar or array; at an end beyond it.

    >>> round(slope_mv("K", 25.0), 6)
    0.040518
    """
    t = np.clip(floats(t_c, "t_c"), *full_range_c(letter))
    first, second = PIECES[letter]
    return like(t_c, np.where(t > first.high_c, second.with_slope(t)[1], first.with_slope(t)[1]))


# ---- the way back


def celsius_of_mv(letter, mv):
    """The exact inverse of `reference_mv` [mV] -> [degC], scalar or array; straight on beyond its ends.

    A start from a table of cubics, then Newton steps kept between two temperatures that enclose the root.

    >>> round(celsius_of_mv("T", reference_mv("T", -200.0)), 9)
    -200.0
    """
    if np.ndim(mv):
        return in_blocks(lambda block: _backward(letter, block), mv, float)
    return float(_backward(letter, np.array([mv], dtype=float))[0])


def _backward(letter, mv):
    seam = _table(letter, 0)[1]
    warm = mv > seam
    if warm.all() or not warm.any():
        return _from_piece(letter, int(warm.all()), mv)
    t = np.empty_like(mv)
    for number, part in enumerate((~warm, warm)):
        t[part] = _from_piece(letter, number, mv[part])
    return t


def _from_piece(letter, number, mv):
    low_mv, high_mv, cubics, nodes_c = _table(letter, number)
    inside = np.clip(mv, low_mv, high_mv)
    place = (inside - low_mv) * (CELLS / (high_mv - low_mv))
    cell = np.minimum(np.nan_to_num(place).astype(np.int64), CELLS - 1)
    part = place - cell
    low_c, high_c = nodes_c[cell], nodes_c[cell + 1]
    start = cubics[3][cell]
    for row in cubics[2::-1]:
        start = start * part + row[cell]
    t = _newton(PIECES[letter][number], inside, start, low_c, high_c)
    beyond = mv < low_mv if number == 0 else mv > high_mv  # between the pieces the seam itself is the answer
    if beyond.any():
        t[beyond] += (mv - inside)[beyond] / slope_mv(letter, t[beyond])
    return t


def _newton(piece, mv, t, low_c, high_c):
    """Newton steps between two temperatures that enclose the root; a step that would leave them is a halving."""
    for _ in range(100):
        e, slope = piece.with_slope(t)
        e -= mv
        low_c, high_c = np.where(e <= 0, t, low_c), np.where(e >= 0, t, high_c)
        new = t - e / slope
        outside = (new < low_c) | (new > high_c)
        if outside.any():
            new[outside] = 0.5 * (low_c + high_c)[outside]
        step = np.nan_to_num(np.abs(new - t)).max(initial=0.0)
        t = new
        if step <= 1e-7:  # the next step would be of the order of its square
            break
    return t


@cache
def _table(letter, number):
    """Ends [mV] of a piece, and for cells of equal voltage between them: cubics for t, and temperatures that enclose.

    Cubic k of a cell stands for t = c0 + c1 s + c2 s^2 + c3 s^3, s from 0 to 1 across the cell.
    """
    piece = PIECES[letter][number]
    grid_c = np.linspace(piece.low_c, piece.high_c, 8 * CELLS + 1)
    grid_mv = piece.millivolts(grid_c)
    mv = np.linspace(grid_mv[0], grid_mv[-1], CELLS + 1)
    right = np.clip(np.searchsorted(grid_mv, mv), 1, 8 * CELLS)
    low_c, high_c = grid_c[right - 1], grid_c[right]
    t = _newton(piece, mv, 0.5 * (low_c + high_c), low_c, high_c)
    t[0], t[-1] = piece.low_c, piece.high_c
    rise = (mv[1] - mv[0]) / piece.with_slope(t)[1]
    across, first, last = np.diff(t), rise[:-1], rise[1:]
    cubics = (t[:-1], first, 3 * across - 2 * first - last, first + last - 2 * across)
    return float(mv[0]), float(mv[-1]), cubics, t


@dataclass(frozen=True)
class Thermocouple(Sensor):
    """A thermocouple of type "K", "J" or "T".

    range_c : where it is used [degC], within its reference function; None is all of that. tolerance_class : 1, 2 or
    3 of IEC 60584-1. Raises `ValueError` for anything else. One slope is no way back: type K's volts over 41 uV/degC
    are right to 0.1 degC at 100 and 400 degC, 7 degC too warm at 1,000 and 22 degC too cold at 1,300 degC.
    Source: NIST Monograph 175, ITS-90 reference functions.

    >>> couple = Thermocouple("K")
    >>> round(couple.volts(100.0) * 1000, 4), round(couple.celsius(0.003096, cold_c=25.0), 4)
    (4.0962, 100.0003)
    """

    letter: Literal["K", "J", "T"]
    range_c: Range | None = None
    tolerance_class: ClassNumber = 2

    kind: ClassVar[str] = "thermocouple"
    gives: ClassVar[str] = "emf"
    called: ClassVar[str] = "a thermocouple"

    def __post_init__(self):
        check_choice(self, letter=LETTERS)
        check_choice(self, tolerance_class=tuple(TOLERANCE[self.letter]))
        if self.range_c is None:
            object.__setattr__(self, "range_c", full_range_c(self.letter))
        limits = full_range_c(self.letter)
        check_within(*self.range_c, limits, "range_c", "degC", f"type {self.letter} is defined there only")

    def volts(self, hot_c, cold_c=0.0):
        """Temperatures of both junctions [degC] -> voltage [V]; scalars or arrays of shapes that go together.

        Raises `ValueError` for a hot junction outside `range_c` or a cold one outside the reference function; an
        array gives `nan` there.

        >>> round(1000 * Thermocouple("K").volts(25.0, cold_c=100.0), 3)
        -3.096
        """
        advice = "the sensor's own range"
        hot_c = keep(hot_c, *self.range_c, name="temperature", unit="degC", advice=advice)
        return self.line(hot_c, self._cold(cold_c))

    def celsius(self, v, cold_c=0.0):
        """Voltage [V] and the cold junction's temperature [degC] -> the hot junction's temperature [degC].

        Adds the cold junction's voltage, not its temperature, and inverts the reference function to the last digits.
        Raises `ValueError` for a voltage that cannot be within `range_c`; an array gives `nan` there.

        >>> round(Thermocouple("K").celsius(0.004096), 2), round(Thermocouple("K").celsius(0.0, 25.0), 9)
        (99.99, 25.0)
        """
        total = np.multiply(floats(v, "voltage"), 1000.0) + reference_mv(self.letter, self._cold(cold_c))
        low, high = (reference_mv(self.letter, end) for end in self.range_c)
        if np.ndim(total):
            total = nan_outside(np.array(total), low - ROUNDING_MV, high + ROUNDING_MV)
        else:
            advice = "no voltage of this thermocouple within its range; look for a broken or a reversed wire"
            keep(total, low - ROUNDING_MV, high + ROUNDING_MV, name="voltage from 0 degC", unit="mV", advice=advice)
        t_c = celsius_of_mv(self.letter, total)
        return like(total, np.clip(t_c, *self.range_c))

    def _cold(self, cold_c):
        limits = full_range_c(self.letter)
        return keep(cold_c, *limits, name="cold junction", unit="degC", advice="give the temperature of the terminals")

    def line(self, hot_c, cold_c=0.0, off=EXACT):
        """The bare formula: temperatures of both junctions [degC] -> [V], without a look at the range.

        >>> Thermocouple("T").line(0.0)
        0.0
        """
        return 1e-3 * (reference_mv(self.letter, hot_c) - reference_mv(self.letter, cold_c))

    def inverse(self, v, cold_c=0.0):
        """The bare formula backwards [V] -> [degC], without a look at the range.

        >>> Thermocouple("T").inverse(0.0)
        0.0
        """
        return celsius_of_mv(self.letter, np.multiply(v, 1000.0) + reference_mv(self.letter, cold_c))

    def volts_per_c(self, t_c):
        """Slope at the hot junction, the Seebeck coefficient [V/degC]; scalar or array.

        >>> round(1e6 * Thermocouple("J").volts_per_c(25.0), 3)
        51.752
        """
        return 1e-3 * slope_mv(self.letter, t_c)

    def tolerance_c(self, t_c):
        """Limits of the class, +- [degC], at a temperature [degC]; scalar or array: the larger of a and b |t|.

        Raises `ValueError` where the class does not hold; an array gives `nan` there.

        >>> Thermocouple("K").tolerance_c([100.0, 500.0])
        array([2.5 , 3.75])
        """
        least, part, held = TOLERANCE[self.letter][self.tolerance_class]
        advice = f"class {self.tolerance_class} of type {self.letter} promises nothing there; take another class"
        t_c = keep(t_c, *held, name="temperature", unit="degC", advice=advice)
        return like(t_c, np.maximum(least, part * np.abs(t_c)))

    limits_c = tolerance_c  # what a chain asks of every sensor

    def words(self):
        """The sensor in a few words.

        >>> Thermocouple("K").words()
        'thermocouple, type K, class 2'
        """
        return f"thermocouple, type {self.letter}, class {self.tolerance_class}"

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.cold_junction import ColdJunction

        for letter, number in (("K", 2), ("J", 1)):
            yield (
                cls(letter, (-40.0, 400.0), number),
                ColdJunction(gain=90.0, bias_v=0.35, cold_at_0c_v=0.6, cold_slope_v_per_c=0.008),
            )
