"""What a reader is asked: a practice problem, with figures from finite lists; a line to complete, with the bench's."""

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
    is taken.
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

    def __post_init__(self):
        if self.quantity not in reading.FAMILIES or self.unit not in reading.signs(self.quantity):
            raise ValueError(
                f"unit {self.unit!r} is not one of {self.quantity}: see tempkit.exercises.FAMILIES"
            )
        if not (self.digits or self.whole or (not callable(self.tolerance) and self.tolerance > 0)):
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
    the figures giving it."""

    options: tuple
    right: str | tuple | Callable
    several: bool = False

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
    one column."""

    rows: Callable
    columns: tuple
    value: Callable
    reason: str
    wrong: tuple = ()


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
    the answer, in a table there is one for each cell), `sensible` (function of the figures -> bool, None for
    all), `echoes` (True where a number of the text may be the answer).
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


def sketch(id, goal, asks, unit, tolerance, reason, drawn, wrong=(), quantity="temperature", then=""):
    """A `Line` whose answer is drawn: a value at each place of `drawn`, a `Sketch`.

    `tolerance` in `unit` of the family `quantity`, `reason` says why it is so wide; each `Wrong` gives a curve: a
    function of no figures and the array of places (`lambda f, at: ...`).
    """

    def column(values):
        return tuple((float(value),) for value in values)

    at = np.asarray(drawn.at, dtype=float)
    name, place_unit, *_ = drawn.across
    ways = tuple(replace(way, value=lambda f, way=way: column(way.value(f, at))) for way in wrong)
    rows = tuple(f"{name} {plain(place)} {place_unit}" for place in drawn.at)
    cell = Column(drawn.up[0], quantity, unit, tolerance)
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
