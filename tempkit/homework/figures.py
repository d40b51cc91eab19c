"""Which figures a problem may use, and which a person gets. Only hashlib decides: stable for years."""

import hashlib
import itertools
import math
import re
import unicodedata
from dataclasses import replace
from functools import lru_cache

from tempkit.homework import units
from tempkit.homework.problem import MINUS, Choice, Number, record

SCHEME = "figures 1"
ENUMERATE_BELOW = 100_000
SAMPLE = 2_000
FEWEST_WRONG_WAYS = 2
APART = 2.0
PATIENCE = 20_000
KEPT = 4096
GIVEN = re.compile(rf"(codes? )?(?<![\w.,^])([{MINUS}-]?\d+(?:\.\d+)?)(?![\w.]*\d)(?:[ -]?([^\s,;?)]*[^\s,;?).:]))?")


def count(problem):
    """How many sets of figures the lists of a problem make, usable or not."""
    return math.prod(len(draw.values) for draw in problem.figures)


def figures_at(problem, index):
    """Set number `index` (0 to count - 1); the first list turns fastest, number 0 has all first values."""
    row = []
    for draw in problem.figures:
        index, place = divmod(index, len(draw.values))
        row.extend(draw.rows()[place])
    return record(problem.names)(*row)


def place(part, value, width):
    """The unit of the last digit that a `Number` or `Column` asks for at this value; 0.0 for a whole number.

    >>> from tempkit.homework.problem import Column
    >>> place(Column("reading", "temperature", "°C", 0.06), 24.951, 0.06)
    0.1
    """
    if part.whole:
        return 0.0
    if part.digits and value:
        return power(abs(value)) / 10 ** (part.digits - 1)
    return power(2 * width) if width else 0.0


def power(value):
    """The largest power of ten that is not above a value; one that just misses it counts.

    >>> power(488.0), power(0.02)
    (100.0, 0.01)
    """
    return float(f"1e{math.floor(math.log10(value) + 1e-9)}")


def cells(answer, value):
    """The numbers of a `Number` or `Table` value in one flat tuple."""
    return (value,) if isinstance(answer, Number) else tuple(itertools.chain.from_iterable(value))


def tolerances(answer, figures):
    """The tolerances that belong to `cells`: what is declared, or half a unit of the last digit asked for."""
    declared = [
        part.tolerance(figures) if callable(part.tolerance) else part.tolerance for part in columns(answer, figures)
    ]
    if not any(part.digits for part in _parts(answer)):
        return tuple(declared)
    goal = cells(answer, answer.value(figures))
    rows = zip(columns(answer, figures), goal, declared, strict=True)
    return tuple(max(width, place(part, value, width) / 2) for part, value, width in rows)


def columns(answer, figures):
    """The `Number` or the `Column` that each of `cells` belongs to."""
    return _parts(answer) * (1 if isinstance(answer, Number) else len(answer.rows(figures)))


def _parts(answer):
    return (answer,) if isinstance(answer, Number) else answer.columns


def apart(a, b, tolerance_each):
    """True where two values (flat tuples) lie more than two tolerances from each other in at least one cell.

    An exact tie at two tolerances counts as too near, whatever the last bit of the arithmetic says.
    """
    return any(
        abs(x - y) > APART * tol * (1 + 1e-9) + 1e-9 * max(abs(x), abs(y))
        for x, y, tol in zip(a, b, tolerance_each, strict=True)
    )


@lru_cache(maxsize=KEPT)
def target(problem, figures):
    """The right value of a `Number` or `Table` answer for these figures; kept, since it is asked for often."""
    return problem.answer.value(figures)


@lru_cache(maxsize=KEPT)
def offered(problem, figures):
    """The wrong ways that can be told apart for these figures, as pairs (`Wrong`, value), in the problem's
    order.

    A way is offered only where it lies more than two tolerances from the answer and from every way offered
    before it."""
    answer = problem.answer
    if isinstance(answer, Choice):
        return ()
    width = tolerances(answer, figures)
    taken = [cells(answer, target(problem, figures))]
    found = []
    for way in answer.wrong:
        result = way.value(figures)
        if result is not None and all(apart(cells(answer, result), other, width) for other in taken):
            taken.append(cells(answer, result))
            found.append((way, result))
    return tuple(found)


def given(problem, figures):
    """The numbers of a problem's text that have a unit of the answer's family, as pairs (value, sign)."""
    answer = problem.answer
    for before, number, unit in GIVEN.findall(problem.say(problem.text, figures)):
        plain = "" if not units.family_of(unit) else unit
        known = units.find("code" if before else plain, answer.quantity)
        if known:
            yield float(number.replace(MINUS, "-")), known.sign


def copied(problem, figures):
    """True where a number of the text, typed in its own unit, would be the right answer."""
    answer = problem.answer
    goal, (width,) = target(problem, figures), tolerances(answer, figures)
    return any(
        abs(units.convert(value, sign, answer.unit, answer.quantity) - goal) <= width
        for value, sign in given(problem, figures)
        if sign == answer.unit or not answer.own_unit
    )


def usable(problem, figures):
    """True where the figures are sensible, leave two wrong ways to tell apart (a choice has options), and the
    answer is not a number of the text."""
    answer = problem.answer
    if problem.sensible and not problem.sensible(figures):
        return False
    if isinstance(answer, Choice):
        return True
    return len(offered(problem, figures)) >= FEWEST_WRONG_WAYS and not (
        isinstance(answer, Number) and copied(problem, figures)
    )


def usable_sets(problem):
    """All usable sets of figures, as a tuple; from 100,000 sets on, those among a fixed sample of 2,000."""
    total = count(problem)
    sample = range(total) if total < ENUMERATE_BELOW else sorted({_draw(problem, "sample", n) for n in range(SAMPLE)})
    return tuple(figures for figures in (figures_at(problem, index) for index in sample) if usable(problem, figures))


def other_figures(problem, turn=0):
    """The figures of practice: turn 0 is the first usable set, each further turn another one.

    The walk goes through the lists with a step near the golden section, so that neighbours in a list seldom
    follow each other; the same turn gives the same figures on every machine.
    """
    total = count(problem)
    order = (index * _stride(total) % total for index in range(total))
    good = (figures for figures in (figures_at(problem, index) for index in order) if usable(problem, figures))
    seen = []
    for figures in itertools.islice(good, turn + 1):
        seen.append(figures)
    if not seen:
        raise ValueError(f"problem {problem.id} has no usable set of figures: widen its lists or its wrong ways")
    return seen[turn % len(seen)]


def personal(problem, course, sheet, student):
    """The figures of one student for one sheet: the same for years, whatever the Python version.

    Course, sheet and student code are compared without regard to case and outer spaces. A digest of them, the
    problem's id and its version picks a set; where that set is not usable the next digest picks again.
    """
    who = (tidy_code(course), tidy_code(sheet), tidy_code(student))
    for attempt in range(PATIENCE):
        figures = figures_at(problem, _draw(problem, *who, attempt))
        if usable(problem, figures):
            return figures
    raise ValueError(f"problem {problem.id} has hardly any usable figures: widen its lists or its wrong ways")


def tidy_code(code):
    """A course, sheet or student code without outer spaces, in one case and one spelling of its letters.

    Raises `ValueError` for an empty one.

    >>> tidy_code("  ab-12 ")
    'AB-12'
    """
    tidy = unicodedata.normalize("NFKC", str(code)).strip().upper()
    if not tidy:
        raise ValueError("the code is empty: write the course, sheet or student code as it stands on the sheet")
    return tidy


def _draw(problem, *words):
    text = "\x1f".join((SCHEME, problem.id, str(problem.version), *map(str, words)))
    return int.from_bytes(hashlib.sha256(text.encode()).digest(), "big") % count(problem)


def _stride(total):
    start = max(1, round(total * 0.381966))
    return next(step for step in range(start, total + 2) if math.gcd(step, total) == 1)


def figures_digest(problem, figures):
    """Twelve signs that stand for a problem, its version and one set of figures, for comparing only.

    >>> from tempkit.homework import problems
    >>> figures_digest(problems("02-step-in-mv")[0], other_figures(problems("02-step-in-mv")[0]))
    'ee35c5497e7c'
    """
    text = "\x1f".join((SCHEME, problem.id, str(problem.version), *map(repr, figures)))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def personal_then(problem, version, course, sheet, student):
    """The problem as it was numbered in an earlier `version`, and the figures it gave a student then.

    They are the student's own only if the lists of figures have not changed since: compare `figures_digest`.
    """
    then = problem if version == problem.version else replace(problem, version=version)
    return then, personal(then, course, sheet, student)
