"""Which figures a problem may use, and which a person gets. Only hashlib decides: stable for years."""

import hashlib
import itertools
import math
import re
import unicodedata
from dataclasses import replace
from functools import lru_cache

from tempkit.exercises import reading
from tempkit.exercises.kinds import MINUS, Choice, Number, record

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
    """The unit of the last digit that a `Number` or `Column` asks for at this value; 0.0 for a whole number and for
    an estimate.

    >>> from tempkit.exercises.kinds import Column
    >>> place(Column("reading", "temperature", "°C", 0.06), 24.951, 0.06)
    0.1
    """
    if part.whole or factor_of(part):
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
    """The numbers asked for, of a `Number` or `Table` value, in one flat tuple."""
    if isinstance(answer, Number):
        return (value,)
    rows = (((row, column), cell) for row, numbers in enumerate(value) for column, cell in enumerate(numbers))
    return tuple(cell for place, cell in rows if place not in answer.shown)


def tolerances(answer, figures):
    """The tolerances that belong to `cells`: what is declared, or half a unit of the last digit asked for; for an
    estimate how far it may lie on the nearer side."""
    if factor_of(answer):
        return (abs(answer.value(figures)) * (1 - 1 / factor_of(answer)),)
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
    return (answer,) if isinstance(answer, Number) else tuple(answer.columns[at] for _, at in answer.asked(figures))


def _parts(answer):
    return (answer,) if isinstance(answer, Number) else answer.columns


def factor_of(part):
    """The factor within which a `Number` that is an estimate is right; 0.0 for any other part."""
    return part.within_factor if isinstance(part, Number) else 0.0


def factors(a, b, factor):
    """How many factors lie between two numbers; without end where one of them is 0 or their signs differ.

    >>> factors(90.0, 10.0, 3.0), factors(-1.0, 1.0, 3.0)
    (2.0, inf)
    """
    return abs(math.log(a / b)) / math.log(factor) if a * b > 0 else math.inf


def apart(a, b, tolerance_each, factor=0.0):
    """True where two values (flat tuples) lie more than two tolerances from each other in at least one cell; of an
    estimate, more than twice the factor.

    An exact tie at two tolerances counts as too near, whatever the last bit of the arithmetic says.
    """
    if factor:
        return factors(a[0], b[0], factor) > APART * (1 + 1e-9)
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
    width, factor = tolerances(answer, figures), factor_of(answer)
    taken = [cells(answer, target(problem, figures))]
    found = []
    for way in answer.wrong:
        result = way.value(figures)
        if result is not None and all(apart(cells(answer, result), other, width, factor) for other in taken):
            taken.append(cells(answer, result))
            found.append((way, result))
    return tuple(found)


@lru_cache(maxsize=KEPT)
def usable(problem, figures):
    """True where the figures are sensible, leave two wrong ways to tell apart (a choice has options) and hide no error.

    They hide one where a wrong way that exists for them gives the right answer (a `faint` one may), or where the
    answer is copied from the text (unless the problem `echoes`)."""
    if not sensible(problem, figures):
        return False
    if isinstance(problem.answer, Choice):
        return True
    told_apart = len(offered(problem, figures)) >= FEWEST_WRONG_WAYS and not hidden(problem, figures)
    return told_apart and (problem.echoes or not copied(problem, figures))


def sensible(problem, figures):
    """True where the problem itself takes the figures for sensible."""
    return not problem.sensible or problem.sensible(figures)


def hidden(problem, figures):
    """Keys of the wrong ways that exist for these figures and cannot be told from the right answer."""
    answer = problem.answer
    goal, width = cells(answer, target(problem, figures)), tolerances(answer, figures)
    ways = ((way.key, way.value(figures)) for way in answer.wrong if not way.faint)
    there = ((key, cells(answer, value)) for key, value in ways if value is not None)
    return tuple(key for key, value in there if not apart(value, goal, width, factor_of(answer)))


def copied(problem, figures):
    """True where numbers of the text, typed in their own units, would be the right answer."""
    answer = problem.answer
    goals = cells(answer, target(problem, figures))
    rows = zip(columns(answer, figures), goals, tolerances(answer, figures), strict=True)
    return all(
        any(
            _near(reading.convert(value, sign, part.unit, part.quantity), goal, width, factor_of(part))
            for value, sign in given(problem, figures, part)
            if sign == part.unit or not part.own_unit
        )
        for part, goal, width in rows
    )


def _near(value, goal, width, factor):
    return factors(value, goal, factor) <= 1 if factor else abs(value - goal) <= width


def given(problem, figures, part):
    """The numbers in sight of a problem that one can copy for a `Number` or `Column`, as pairs (value, sign): those
    with a unit of its family, and those with none where the family has only one."""
    alone = reading.signs(part.quantity)[0] if len(reading.signs(part.quantity)) == 1 else None
    for before, number, word in GIVEN.findall(problem.in_sight(figures)):
        known = reading.find("code" if before else word, part.quantity)
        sign = known.sign if known else None if reading.family_of(word) else alone
        if sign is not None:
            yield float(number.replace(MINUS, "-")), sign


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
    for figures in _drawn(problem, course, sheet, student):
        if usable(problem, figures):
            return figures
    raise ValueError(f"problem {problem.id} has hardly any usable figures: widen its lists or its wrong ways")


def _drawn(problem, *who):
    who = [tidy_code(code) for code in who]
    return (figures_at(problem, _draw(problem, *who, attempt)) for attempt in range(PATIENCE))


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


def shuffled(problem, *words):
    """The options of a choice in an order that the words alone decide: by the digest of each key with them."""
    if problem.answer.in_order:
        return problem.answer.options
    return tuple(sorted(problem.answer.options, key=lambda option: _digest(problem, "order", *words, option.key)))


def _draw(problem, *words):
    return int.from_bytes(_digest(problem, *words), "big") % count(problem)


def _digest(problem, *words):
    text = "\x1f".join((SCHEME, problem.id, str(problem.version), *map(str, words)))
    return hashlib.sha256(text.encode()).digest()


def _stride(total):
    start = max(1, round(total * 0.381966))
    return next(step for step in range(start, total + 2) if math.gcd(step, total) == 1)


def figures_digest(problem, figures):
    """Twelve signs that stand for a problem, its version and one set of figures, for comparing only.

    >>> from tempkit.exercises.catalogue import problems
    >>> figures_digest(problems()["02-step-in-mv"], other_figures(problems()["02-step-in-mv"]))
    'ee35c5497e7c'
    """
    text = "\x1f".join((SCHEME, problem.id, str(problem.version), *map(repr, figures)))
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def personal_then(problem, version, digest, course, sheet, student):
    """The figures with this `figures_digest` that an earlier version, or an earlier rule of what is usable, gave a
    student: rules only grow stricter, so that they were drawn before the first ones that are usable now.

    None where there are no such figures: the lists have changed since, or the digest was made up.
    """
    then = problem if version == problem.version else replace(problem, version=version)
    for figures in _drawn(then, course, sheet, student):
        if sensible(then, figures) and figures_digest(then, figures) == digest:
            return figures
        if usable(then, figures):
            return None
    return None
