"""Chapter 12: a thermocouple and its cold junction, added right, as voltages, and wrong, as temperatures."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from tempkit.book import tidy
from tempkit.chain import ColdJunction, Thermocouple, full_range_c, reference_mv
from tempkit.draw import (
    CURVE,
    DASHES,
    DOTS,
    INK,
    ORANGE,
    PINK,
    QUIET,
    READING,
    Axis,
    Chart,
    Charts,
    Fact,
    Facts,
    Levels,
    Line,
    Markers,
    Ring,
    Segment,
    Stroke,
)
from tempkit.explorers.controls import COLD, HOT, LETTER, MISREAD, couple
from tempkit.explorers.stage import Explorer, Plan, minds, warning

SHOWN_C = (-100.0, 400.0)
LEAST_MV = -6.0
MOST_C = {"K": 4.0, "J": 5.0, "T": 15.0}
POINTS = 101


@dataclass(frozen=True)
class Junction:
    """One thermocouple read four ways, from the same voltage.

    `measured_v` is what its two wires give; `hot_v` and `cold_v` what each junction would give against 0 degC.
    `right_c` adds voltages, `added_c` adds temperatures, `forgotten_c` takes the cold junction for 0 degC; all with
    the cold junction as its own sensor reads it, `seen_c`. `over_c` and `wrong_c` : the error of adding temperatures
    over the hot junctions shown; `forgot_c` that of forgetting.
    """

    couple: Thermocouple
    t_c: float
    cold_c: float
    seen_c: float
    hot_v: float
    cold_v: float
    measured_v: float
    right_c: float
    added_c: float
    forgotten_c: float
    over_c: np.ndarray
    wrong_c: np.ndarray

    @property
    def added_error_c(self):
        """By how much adding temperatures reads too much [degC]."""
        return self.added_c - self.t_c

    @property
    def seen_v(self):
        """What the program adds for the cold junction [V]."""
        return float(self.couple.line(self.seen_c))

    @property
    def largest(self):
        """The hot junction shown at which adding temperatures is worst, and its error there [degC]."""
        at = int(np.abs(self.wrong_c).argmax())
        return float(self.over_c[at]), float(self.wrong_c[at])

    def problems(self, book):
        """What does not work, one sentence each."""
        if self.seen_c != self.cold_c:
            off = book.span(self.right_c - self.t_c, 2, signed=True)
            yield f"the cold junction's own sensor is off, and the right way carries that on: off by {off}"
        low, high = full_range_c(self.couple.letter)
        if not low <= self.t_c <= high:
            yield f"type {self.couple.letter} is defined from {book.temperature(low)} to {book.temperature(high)} only"


def added_wrong(sensor, hot_c, cold_c, seen_c=None):
    """What a program reads that adds temperatures [degC]: the voltage turned to degrees alone, plus the cold junction.

    `seen_c` : the cold junction as its sensor reads it, None where that is right. Scalars or arrays.

    >>> round(added_wrong(Thermocouple("K"), 100.0, 25.0), 2)
    100.89
    """
    return sensor.inverse(sensor.line(hot_c, cold_c)) + (cold_c if seen_c is None else seen_c)


def compute(design, t_c, cold_c, letter, misread_c):
    """A thermocouple of a type, its hot junction at `t_c`, its terminals at `cold_c` [degC].

    >>> at = compute(None, 100.0, 25.0, "K", 0.0)
    >>> round(1000 * at.measured_v, 3), round(at.right_c, 6), round(at.added_c, 2), round(at.forgotten_c, 2)
    (3.096, 100.0, 100.89, 75.89)
    """
    sensor, seen_c = couple(letter), cold_c + misread_c
    circuit = ColdJunction(cold_c=float(cold_c), measured_cold_c=float(seen_c))
    measured_v = float(circuit.volts(sensor, t_c, None))
    over = np.linspace(*SHOWN_C, POINTS)
    return Junction(
        couple=sensor,
        t_c=float(t_c),
        cold_c=float(cold_c),
        seen_c=float(seen_c),
        hot_v=float(sensor.line(t_c)),
        cold_v=float(sensor.line(cold_c)),
        measured_v=measured_v,
        right_c=float(circuit.assumed.celsius(sensor, measured_v, None)),
        added_c=float(added_wrong(sensor, t_c, cold_c, seen_c)),
        forgotten_c=float(sensor.inverse(measured_v)),
        over_c=over,
        wrong_c=added_wrong(sensor, over, cold_c, seen_c) - over,
    )


def microvolts(v):
    """A voltage [V] as text in microvolts.

    >>> microvolts(0.0030960)
    '3096 µV'
    """
    return f"{tidy(1e6 * v, 0)} µV"


def _worst(at, book):
    where_c, off_c = at.largest
    return f"{book.span(off_c, 2, signed=True)} at {book.temperature(where_c)}"


FACTS = Facts([
    Fact("letter", "thermocouple of type", lambda at, _: at.couple.letter),
    Fact("hot", "hot junction", lambda at, book: book.temperature(at.t_c)),
    Fact("hot_v", "it would give against ice", lambda at, _: microvolts(at.hot_v)),
    Fact("cold", "cold junction", lambda at, book: book.temperature(at.cold_c)),
    Fact("cold_v", "that would give against ice", lambda at, _: microvolts(at.cold_v)),
    Fact("seen", "cold junction as its sensor reads it", lambda at, book: book.temperature(at.seen_c)),
    Fact("seen_v", "that would give against ice", lambda at, _: microvolts(at.seen_v)),
    Fact("measured", "the wires give", lambda at, _: microvolts(at.measured_v), head="the wires give"),
    Fact("sum", "voltages added", lambda at, _: microvolts(at.measured_v + at.seen_v)),
    Fact("right", "that is", lambda at, book: book.temperature(at.right_c), head="voltages added", short="right"),
    Fact("added", "temperatures added", lambda at, book: book.temperature(at.added_c), head="temperatures added",
         short=None),
    Fact("off", "that is off by", lambda at, book: book.span(at.added_error_c, 2, signed=True), head="that is off by",
         short="added"),
    Fact("forgotten", "cold junction forgotten", lambda at, book: book.temperature(at.forgotten_c)),
    Fact("worst", "adding temperatures is worst", _worst),
    Fact("slope", "at the hot junction 1 degree is",
         lambda at, _: f"{tidy(1e6 * float(at.couple.volts_per_c(at.t_c)), 1)} µV a kelvin"),
])  # fmt: skip
SENTENCES = FACTS.sentences(
    "Between {hot} and terminals of {cold} a thermocouple {letter} gives {measured}. With the {seen_v} of its cold "
    "junction added these are {sum}, and that is {right}. Adding {seen} to what {measured} alone would be gives "
    "{added}, off by {off}; forgetting the cold junction gives {forgotten}."
)


def words(at, book):
    """The four readings in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    Between 100.0 °C and terminals of 25.0 °C a thermocouple K gives 3096 µV. With the 1000 µV of its cold junction
    added these are 4096 µV, and that is 100.0 °C. Adding 25.0 °C to what 3096 µV alone would be gives 100.9 °C, off by
    +0.89 °C; forgetting the cold junction gives 75.9 °C.
    """
    return SENTENCES(at, book) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    return [*FACTS.rows(at, book), *minds(at.problems(book))]


# ---- the picture: left the curve on which voltages are added, right by how much adding temperatures is off


@cache
def _curve(letter):
    over_c = np.linspace(*SHOWN_C, 200)
    return over_c, reference_mv(letter, over_c)


def _shown_mv(at):
    return LEAST_MV, 1.12 * float(reference_mv(at.couple.letter, SHOWN_C[1]))


def _shown_off_c(at):
    most_c = MOST_C[at.couple.letter]
    return -most_c, most_c


def given(at):
    """What the wires give, set on the cold junction's voltage: its top is on the curve at the hot junction."""
    return at.t_c, 1000 * at.cold_v, at.t_c, 1000 * at.hot_v


def alone(at):
    """The same set on 0, as a program has it that turns it to degrees alone."""
    return at.forgotten_c, 0.0, at.forgotten_c, 1000 * at.measured_v


def _level(at, bar, end):
    """From the left across the curve to one end of a bar."""
    x, y = bar[0], bar[end]
    return min(0.0, at.cold_c, x), y, max(at.cold_c, x), y


def now(at):
    """The error of adding temperatures at the hot junction, None where it lies beyond the scale."""
    inside = abs(at.added_error_c) <= MOST_C[at.couple.letter] and SHOWN_C[0] <= at.t_c <= SHOWN_C[1]
    return (at.t_c, at.added_error_c) if inside else None


THIN = Stroke(QUIET, width=0.5)
LEVEL = Stroke(QUIET, DOTS, 0.5)
ZEROS = (Levels(lambda _: [0.0], THIN), Levels(lambda _: [0.0], THIN, upright=True))
CURVES = Chart(
    Axis("temperature", span=SHOWN_C, scale="temperature"),
    Axis("against ice", "mV", _shown_mv),
    (
        *ZEROS,
        Segment(lambda at: _level(at, given(at), 1), LEVEL),
        Segment(lambda at: _level(at, alone(at), 3), LEVEL),
        Line(lambda at: _curve(at.couple.letter), CURVE),
        Segment(given, Stroke(INK, DASHES, 1.6)),
        Segment(alone, Stroke(ORANGE, (0, (1, 1)), 1.6)),
        Markers(lambda at: given(at)[2:], key="hot", handle="t_c"),
        Markers(lambda at: (at.cold_c, 1000 * at.cold_v), "s", PINK, key="cold", handle="cold_c"),
        Markers(lambda at: alone(at)[2:], "^", ORANGE, key="alone"),
    ),
    wide=1.5,
)
ERRORS = Chart(
    Axis("hot junction", span=SHOWN_C, scale="temperature"),
    Axis("added: off", span=_shown_off_c, scale="span"),
    (*ZEROS, Line(lambda at: (at.over_c, at.wrong_c), READING), Ring(now, handle="t_c")),
)
PLAN = Plan(
    title="A thermocouple and its cold junction",
    controls=(HOT, COLD, LETTER, MISREAD),
    compute=compute,
    picture=Charts((CURVES, ERRORS), heads=FACTS),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The third explorer of chapter 12; `start` values of controls by name.

    >>> round(explorer(t_c=100.0).result().added_error_c, 2)
    0.89
    """
    return Explorer(PLAN, design, **start)
