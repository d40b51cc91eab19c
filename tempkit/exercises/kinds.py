"""What a reader is asked: a practice problem, with figures from finite lists; a line to complete, with the bench's."""

import itertools
from collections import namedtuple
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from tempkit.exercises import reading

MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True)
class Draw:
    """Figures drawn together: `names` ("t_c", or "at_0c_mv slope_mv_per_c" for figures that belong together)
    and the finite list of `values` (for several names: tuples in their order).

    >>> Draw("t_c", (20, 25)).rows(), Draw("a b", ((1, 2), (3, 4))).rows()
    (((20,), (25,)), ((1, 2), (3, 4)))
    """

    names: str
    values: tuple

    def rows(self):
        """The values as tuples, one entry for each name."""
        return tuple(self.values) if len(self.names.split()) > 1 else tuple((value,) for value in self.values)


@dataclass(frozen=True)
class Wrong:
    """A wrong way: `key`, `value` (a function of the figures; None where the way does not exist for them;
    in an `Amount` of a prediction a function of nothing),
    and a `remark` that points at the idea without giving the answer (text or function of the figures).

    Figures for which it gives the right answer are not drawn, unless it is `faint`: too small a slip to show in the
    digits asked for, whatever the figures, but for a few."""

    key: str
    value: Callable
    remark: str | Callable
    faint: bool = False


@dataclass(frozen=True)
class Number:
    """An answer that is one number: `value` (function of the figures) in `unit` of the family `quantity`.

    `digits` is how many significant digits are asked for; where it is 0, the decimal place asked for follows from
    the tolerance. `tolerance` is in that unit (number, or function of the figures) and never less than half a unit
    of the last digit asked for; `reason` says in a sentence why it is so wide. `whole` is True where only a whole
    number makes sense: a code, a count of bits. `own_unit` is True where the unit is what is asked: no other one
    is taken. With `within_factor` 3 an estimate is asked for: anything from a third of the value to three times it is
    right, the tolerance stays 0 and no digits are asked for.
    """

    value: Callable
    quantity: str
    unit: str
    tolerance: float | Callable
    reason: str
    wrong: tuple = ()
    whole: bool = False
    digits: int = 0
    own_unit: bool = False
    within_factor: float = 0.0

    def __post_init__(self):
        if self.quantity not in reading.FAMILIES or self.unit not in reading.signs(self.quantity):
            raise ValueError(
                f"unit {self.unit!r} is not one of {self.quantity}: see tempkit.exercises.FAMILIES"
            )
        if self.within_factor:
            if not self.within_factor > 1 or self.tolerance or self.digits or self.whole:
                raise ValueError(
                    f"within_factor {self.within_factor:g} must be above 1, with tolerance 0 and no digits: an estimate"
                    " has no last digit; a factor of 2 or 3 is usual"
                )
        elif not (self.digits or self.whole or (not callable(self.tolerance) and self.tolerance > 0)):
            raise ValueError("say how many digits are asked for: digits=3, or a tolerance that is one number above 0")


def code(value, wrong, reason="A code is a whole number: it is right or it is not."):
    """An answer that is a converter code: whole, no tolerance."""
    return Number(value, "code", "code", 0.0, reason, wrong, whole=True)


@dataclass(frozen=True)
class Option:
    """One option of a choice: `key`, `text`, and the `remark` on it (texts or functions of the figures)."""

    key: str
    text: str | Callable
    remark: str | Callable


@dataclass(frozen=True)
class Choice:
    """An answer chosen from `options`. `right` is a key or, with `several`, a tuple of keys; or a function of
    the figures giving it. `in_order` keeps the options as they stand here: steps, parts of a list."""

    options: tuple
    right: str | tuple | Callable
    several: bool = False
    in_order: bool = False

    def keys(self, figures):
        """The keys of the right options, as a set."""
        right = self.right(figures) if callable(self.right) else self.right
        return frozenset(right if self.several else (right,))


@dataclass(frozen=True)
class Column:
    """A column of numbers: `name`, `quantity` and `unit` (see `units`), and the rest as in `Number`."""

    name: str
    quantity: str
    unit: str
    tolerance: float
    whole: bool = False
    digits: int = 0
    own_unit: bool = False


@dataclass(frozen=True)
class Table:
    """An answer of several numbers. `rows` (function of the figures) gives the row labels, `value` (the same)
    a tuple of rows, each a tuple with one number for each of `columns`. A short list of numbers is a table of
    one column. `shown` are the places (row, column), counted from 0, whose numbers stand in the table already (None for
    a place that stays empty): only the others are asked for."""

    rows: Callable
    columns: tuple
    value: Callable
    reason: str
    wrong: tuple = ()
    shown: tuple = ()

    def asked(self, figures):
        """The places (row, column) that are to be filled in, row after row."""
        places = itertools.product(range(len(self.rows(figures))), range(len(self.columns)))
        return tuple(place for place in places if place not in self.shown)


class Asked:
    """What a `Problem` and a `Line` have in common: an `id`, and texts that may hold figures."""

    @property
    def chapter(self):
        """The chapter's number."""
        return int(self.id[:2])

    @property
    def names(self):
        """Names of all figures, in order."""
        return tuple(name for draw in self.figures for name in draw.names.split())

    def sets(self):
        """Every set of figures that this problem may use, as a tuple."""
        from tempkit.exercises.figures import usable_sets

        return usable_sets(self)

    def text(self, f):
        """What is asked, with the figures `f`."""
        return self.say(self.asks, f)

    def listed(self, f):
        """The lines of the listing beneath the text, as a tuple; empty without."""
        return tuple(self.listing(f)) if self.listing else ()

    def in_sight(self, f):
        """Text, listing and the numbers that a table shows already, as one text: what one can copy from."""
        return "\n".join((self.text(f), *self.listed(f), *self._shown_cells(f)))

    def _shown_cells(self, f):
        if not isinstance(self.answer, Table) or not self.answer.shown:
            return ()
        value, columns = self.answer.value(f), self.answer.columns
        there = ((value[row][column], columns[column].unit) for row, column in self.answer.shown)
        return tuple(f"{plain(cell)} {unit}" for cell, unit in there if cell is not None)

    def say(self, template, figures):
        """Text of a template (with {names}) or of a function of the figures."""
        if callable(template):
            return template(figures)
        return template.format(**{name: plain(value) for name, value in figures._asdict().items()})


@dataclass(frozen=True, eq=False)
class Problem(Asked):
    """A practice problem; each is itself only, so that what was worked out for it can be kept.

    `id` like "02-step-in-degrees" (the first two digits are the chapter), `version` (raised when figures,
    text or answer change), `goal` (one sentence), `title`, `asks` (its text) and `hints` (texts with {figures}, or
    functions of the figures), `figures` (a tuple of `Draw`), `answer` (`Number`, `Choice` or `Table`),
    `solution` (function of the figures -> text, written from its own arithmetic; its last "= number unit" is
    the answer, in a table there is one for each cell asked for), `sensible` (function of the figures -> bool, None
    for all), `echoes` (True where a number of the text may be the answer).

    Beside its text it may show a `listing` (function of the figures -> lines of a log, of a worked solution or of a
    list of parts, as texts) and a `picture` (function of the figures -> `Graph`). With `asks_how_sure` it offers to say
    how sure one is, which never counts.
    """

    id: str
    version: int
    title: str
    goal: str
    asks: str | Callable
    figures: tuple
    answer: Number | Choice | Table
    hints: tuple
    solution: Callable
    sensible: Callable | None = None
    echoes: bool = False
    listing: Callable | None = None
    picture: Callable | None = None
    asks_how_sure: bool = False


@dataclass(frozen=True)
class Sketch:
    """A curve that the reader draws: the values at the places `at`, beside `curve` (a function of an array of places).

    `across` is (name, unit, low, high) of the axis of places, `up` (name, low, high) that of the values, whose unit is
    the answer's.
    """

    at: tuple
    curve: Callable
    across: tuple
    up: tuple


@dataclass(frozen=True, eq=False)
class Line(Asked):
    """A line that the reader completes in a notebook, `lands(id, value)`: a problem whose figures are the book's bench.

    `id` like "03-type-code", `goal` (one sentence), `asks` (its text; what to write, and in which unit), `answer` as of
    a `Problem`; its functions get no figures. `rail` is (name, low, high) of the number line that the value lands on,
    in the answer's unit; a `sketch` has a chart instead (see `sketch`). `then` is a sentence for who has it right.

    >>> answer = code(lambda f: 163, (Wrong("next", lambda f: 164, "Too far."), Wrong("half", lambda f: 81, "Half.")))
    >>> Line("03-made", "Make one.", "Which code is it?", answer, ("code", 0, 1024)).chapter
    3
    """

    id: str
    goal: str
    asks: str
    answer: Number | Choice | Table
    rail: tuple = ()
    sketch: Sketch | None = None
    then: str = ""

    version, title, figures, hints, sensible, echoes = 1, "A line to complete", (), (), None, True
    listing = picture = None


def sketch(
    id, goal, asks, unit, tolerance, reason, drawn, wrong=(), quantity="temperature", then="", whole=False
):
    """A `Line` whose answer is drawn: a value at each place of `drawn`, a `Sketch`.

    `tolerance` in `unit` of the family `quantity`, `reason` says why it is so wide; each `Wrong` gives a curve: a
    function of no figures and the array of places (`lambda f, at: ...`). `whole` for codes, with tolerance 0.
    """

    def column(values):
        return tuple((float(value),) for value in values)

    at = np.asarray(drawn.at, dtype=float)
    name, place_unit, *_ = drawn.across
    ways = tuple(replace(way, value=lambda f, way=way: column(way.value(f, at))) for way in wrong)
    rows = tuple(f"{name} {plain(place)} {place_unit}" for place in drawn.at)
    cell = Column(drawn.up[0], quantity, unit, tolerance, whole)
    answer = Table(lambda f: rows, (cell,), lambda f: column(drawn.curve(at)), reason, ways)
    return Line(id, goal, asks, answer, sketch=drawn, then=then)


@cache
def record(names):
    """The named tuple that holds one set of figures with these names."""
    return namedtuple("Figures", names)


def plain(value, digits=6):
    """A figure as text: at most `digits` significant digits, a true minus sign, no power of ten where
    avoidable.

    >>> plain(-40.0), plain(4.8828125, 4), plain(0.00001234), plain("air"), plain(26214400)
    ('−40', '4.883', '0.00001234', 'air', '26214400')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, int) or (float(value).is_integer() and abs(value) < 1e12):
        text = str(int(value))
    else:
        text = f"{value:.{digits}g}"
        if "e" in text and 1e-9 < abs(value) < 1e12:
            text = f"{float(text):.12f}".rstrip("0").rstrip(".")
    return text.replace("-", MINUS)
