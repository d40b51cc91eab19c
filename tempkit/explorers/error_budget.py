"""Chapter 05: the error budget. What each contribution is worth, what they come to, and which to improve first."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from tempkit.book import Book
from tempkit.budget import Propagated, compare, numerical_tolerance
from tempkit.budgettable import refusal
from tempkit.chain import Chain
from tempkit.chainbudget import ChainBudget, before_after, chain_budget
from tempkit.explorers.budget_controls import (
    CALIBRATED,
    DRIFT,
    ENOUGH_BITS,
    GAIN,
    HEATING,
    INL,
    LEAD,
    LEFT,
    OFFSET,
    THERMOMETER,
    TOLERANCE,
)
from tempkit.explorers.budget_picture import BudgetPicture
from tempkit.explorers.controls import ACCURACY, NOISE, TEMPERATURE, noise_of
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.quantity import digits

TRIALS, BLOCKS, SEED = 50_000, 10, 1
LEVEL = 0.95
NOTHING_C = 1e-9  # what arithmetic leaves of a contribution that a calibration takes out


@dataclass(frozen=True)
class Part:
    """One contribution: its standard uncertainty [degC], share of the variance (0 to 1), worst case [degC], and
    `gain_c`: by how much the expanded uncertainty falls when this one is halved [degC].

    >>> Part("noise at the pin", 0.05, 0.25, 0.15, 0.02).gain_c
    0.02
    """

    name: str
    standard_c: float
    share: float
    worst_c: float
    gain_c: float


@dataclass(frozen=True, eq=False)
class Budgeted:
    """The budget of a reading at the true temperature `t_c` [degC], with Monte Carlo beside it.

    `parts` has the largest first. `trials_c`: Monte Carlo trials less the reading, an array, and `simulated_c` the
    ends of their interval [degC].
    `apart_c`: how far an end of it lies from that of the first-order interval, known to +-`blur_c` as the blocks of
    the trials scatter [degC]. Where there is no budget, `budget` is None and the rest is empty; `seen_c` has the
    temperatures that must be seen: this one and the points of the calibration.
    """

    t_c: float
    chain: Chain
    seen_c: tuple
    budget: ChainBudget | None = None
    parts: tuple = ()
    trials_c: np.ndarray | None = None
    simulated_c: tuple = ()
    apart_c: float = 0.0
    blur_c: float = 0.0

    @property
    def calibrated(self):
        """True for the budget after a calibration."""
        return len(self.seen_c) > 1

    def allowed(self, book):
        """What one and two digits of u, written in the reader's scale, let the ends be apart, in that scale.

        Source: JCGM 101:2008, 7.9.2 and clause 8.
        """
        return tuple(numerical_tolerance(book.span_from_celsius(self.budget.standard_c), count) for count in (1, 2))

    def holds(self, book):
        """Whether the first-order interval holds to one and to two digits; None where more trials must say."""
        apart, blur = book.span_from_celsius(self.apart_c), book.span_from_celsius(self.blur_c)
        return tuple(None if abs(apart - room) < blur else apart < room for room in self.allowed(book))

    def refusal(self, book):
        """Why there is no budget, as a sentence part; empty where there is one."""
        return next(filter(None, (refusal(self.chain, t_c, book) for t_c in self.seen_c)), "")

    def problems(self):
        """What deserves a second look, one sentence each."""
        if self.chain.reference.true_v is not None and not self.calibrated:
            yield "the reference was measured, so its tolerance plays no part; a correction takes its place"


def gain_c(standard_c, part_c, k):
    """By how much an expanded uncertainty falls when one independent contribution to it is halved [degC].

    standard_c : combined standard uncertainty; part_c : the contribution in it, both [degC] and 0 or more;
    k : coverage factor. u² loses three quarters of part_c². Source: JCGM 100:2008, 5.1.2.

    >>> round(gain_c(5.0, 4.0, 2.0), 3)
    2.789
    """
    return k * (standard_c - sqrt(max(standard_c**2 - 0.75 * part_c**2, 0.0)))


def compute(design, t_c):
    """The budget of a design at a true temperature [degC]; after its calibration, where it has one.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0)
    >>> [part.name for part in at.parts][:2], round(at.budget.expanded_c, 2)
    (['reference voltage', 'sensor accuracy'], 4.81)
    """
    design = replace(design, noise=noise_of(design))
    seen_c = (float(t_c), *(design.calibration.points_c if design.calibration else ()))
    at = Budgeted(float(t_c), design.chain, seen_c)
    if at.refusal(Book()):
        return at
    budget = chain_budget(design, t_c, LEVEL)
    if design.calibration:
        budget = before_after(budget, design.calibration).after
    return replace(at, budget=budget, parts=_parts(budget), **_against_trials(budget))


def _parts(budget):
    """Contributions, largest first; those that come to nothing stay in the budget's order."""
    rows = [replace(row, standard_c=0.0, worst_c=0.0) if row.standard_c < NOTHING_C else row for row in budget.rows]
    gains = [gain_c(budget.standard_c, row.standard_c, budget.k) for row in rows]
    parts = [
        Part(row.name, row.standard_c, row.share, row.worst_c, gain) for row, gain in zip(rows, gains, strict=True)
    ]
    return tuple(sorted(parts, key=lambda part: -part.standard_c))


def _against_trials(budget):
    simulated = budget.simulated(TRIALS, SEED)
    judged = compare(Propagated(budget.reading_c, budget.standard_c, budget.dof, ()), simulated, level=budget.level)
    low, high = (end - budget.reading_c for end in simulated.interval(budget.level))
    own = {"trials_c": simulated.values - budget.reading_c, "simulated_c": (low, high)}
    return {**own, "apart_c": max(judged.d_low, judged.d_high), "blur_c": _blur(simulated.values, budget.level)}


def _blur(trials, level):
    """Twice the standard deviation of the mean of an end of the interval, from blocks (JCGM 101:2008, 7.9.4)."""
    tail = (1 - level) / 2
    ends = np.quantile(trials.reshape(BLOCKS, -1), (tail, 1 - tail), axis=1)
    return 2 * float(ends.std(axis=1, ddof=1).max()) / sqrt(BLOCKS)


def words(at, book):
    """The sums, the verdict of the trials and what to improve first.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()).split(". Monte")[0])
    At 25.0 °C the standard uncertainty is 2.45 °C: expanded ±4.81 °C (k = 1.96), worst case ±5.96 °C
    """
    told = at.refusal(book)
    if told:
        return f"There is no budget: {told}."
    return " ".join([_sums(at, book), _clause_8(at, book), _first(at, book)]) + warning(at.problems())


def _sums(at, book):
    budget, after = at.budget, " after the calibration" if at.calibrated else ""
    return (
        f"At {book.temperature(at.t_c)}{after} the standard uncertainty is {book.span(budget.standard_c, 2)}: "
        f"expanded ±{book.span(budget.expanded_c, 2)} (k = {budget.k:.2f}), "
        f"worst case ±{book.span(budget.worst_sum_c, 2)}."
    )


def _clause_8(at, book):
    """What the comparison of JCGM 101, clause 8, says."""
    low, high = (book.span(end, 2, signed=True) for end in at.simulated_c)
    return (
        f"Monte Carlo finds {low} to {high}; its ends lie up to {book.span(at.apart_c, 3)} from those of ±U: "
        f"{_verdict(at, book)}."
    )


def _verdict(at, book):
    (for_one, for_two), (one, two) = at.holds(book), _allowed(at, book)
    if for_two:
        return f"within the {two} that two digits of u allow"
    if for_one:
        far = "too far" if for_two is False else "perhaps too far"
        return f"{far} for two digits of u ({two}), near enough for one ({one})"
    if for_one is None:
        return f"more trials must say whether that is too far for one digit of u ({one})"
    return f"too far even for one digit of u ({one}); report the Monte Carlo interval"


def _allowed(at, book):
    return (f"{allowed:g} {book.sign}" for allowed in at.allowed(book))


def _first(at, book):
    first, second = at.parts[:2]
    return (
        f"Improve first: {first.name}, {_share(first)} of the variance; half of it takes "
        f"{book.span(first.gain_c, 2)} off ±U. Next: {second.name}, {book.span(second.gain_c, 2)}."
    )


def facts(at, book):
    """Rows of the number table: the sums, then every contribution in the order of what to improve first."""
    if at.budget is None:
        return [("temperature", book.temperature(at.t_c)), ("no budget", at.refusal(book))]
    budget = at.budget
    low, high = (book.span(end, 2, signed=True) for end in at.simulated_c)
    rows = [
        ("temperature", book.temperature(at.t_c)),
        ("combined standard uncertainty", book.span(budget.standard_c, 2)),
        ("coverage factor", f"{budget.k:.2f} for {100 * budget.level:g} %"),
        ("expanded uncertainty U", f"±{book.span(budget.expanded_c, 2)}"),
        ("worst case, sum of the limits", f"±{book.span(budget.worst_sum_c, 2)}"),
        (f"Monte Carlo, {TRIALS} trials", f"{low} to {high}"),
        ("its ends lie from those of ±U", f"up to {book.span(at.apart_c, 3)}, known to ±{book.span(at.blur_c, 3)}"),
        *zip(("allowed for one digit of u", "allowed for two digits of u"), _allowed(at, book), strict=True),
        ("correction to add to a reading", book.span(budget.correction_c, 2, signed=True)),
    ]
    rows += [_fact(place, part, book) for place, part in enumerate(at.parts, 1)]
    return [*rows, *(("mind", told) for told in at.problems())]


def _share(part):
    return f"{100 * part.share:.1f} %"


def _fact(place, part, book):
    return f"{place}. {part.name}", (
        f"u = {_small(part.standard_c, book)}, share {_share(part)}, worst case {_small(part.worst_c, book)}; "
        f"half of it takes {book.span(part.gain_c, 2)} off ±U"
    )


def _small(span_c, book):
    return f"{digits(book.span_from_celsius(span_c))} {book.sign}"


PLAN = Plan(
    title="What each contribution is worth",
    controls=(
        TEMPERATURE,
        ACCURACY,
        TOLERANCE,
        DRIFT,
        OFFSET,
        GAIN,
        INL,
        ENOUGH_BITS,
        NOISE,
        HEATING,
        LEAD,
        CALIBRATED,
        THERMOMETER,
        LEFT,
    ),
    compute=compute,
    picture=lambda look, book: BudgetPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 05; `design` from a design file, `start` values of controls by name.

    >>> explorer(calibrated="two").result().parts[0].name
    'thermometer of the calibration'
    """
    return Explorer(PLAN, design, **start)
