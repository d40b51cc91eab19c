"""Chapter 13: a design held against a requirement, line by line, and among all the combinations of the catalogue."""

import re
from dataclasses import dataclass, replace
from html import escape
from math import isfinite, isinf

from tempkit.design import Design
from tempkit.explorers.design_controls import (
    CONVERTER,
    DEADBAND,
    FEW_SAMPLES,
    FRONT_END,
    ON_DELAY,
    PARTS,
    READ_AT,
    REFERENCE,
    SHORT_SMOOTHING,
    stated,
)
from tempkit.explorers.design_picture import DesignPicture
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.linewords import margin_told, told, wanted_told
from tempkit.partsearch import Choice, assemble, places_of, price_of, search
from tempkit.requirement import Requirement, binding, check, doubt, noise_left, reach

BENCH = Requirement()


@dataclass(frozen=True)
class Held:
    """A design held against a requirement.

    lines : `tempkit.requirement.Line` each, as `check` gives them; price : of the parts, None where one is not of the
    catalogue; standard_c : standard uncertainty of a smoothed reading at `t_c` [degC], None where there is none.
    """

    design: Design
    requirement: Requirement
    lines: tuple
    price: float | None
    t_c: float
    standard_c: float | None

    @property
    def fails(self):
        """The lines that fail."""
        return tuple(line for line in self.lines if not line.passes)

    @property
    def guard_c(self):
        """The wider guard band of the two limits [degC]."""
        return max(line.does for line in self.lines if line.name.startswith("guard band"))

    def problems(self):
        """What deserves a second look, one sentence each."""
        yield from self.design.chain.supply_problems()
        if self.price is None:
            yield "a part is not of the catalogue, so that there is no price and no place in the picture"
        elif not isfinite(self.guard_c):
            yield "the design cannot read at both limits, so that it has no place in the picture"


def compute(design, t_c, requirement=BENCH):
    """A design against a requirement, and what one of its readings at `t_c` [degC] is worth.

    What the design leaves out is taken from the bench, limits from the requirement.

    >>> from tempkit.explorers.stage import north_bench
    >>> held = compute(north_bench(), 25.0)
    >>> len(held.fails), held.price
    (2, None)
    """
    full = stated(design)
    if design.alarm is None:
        low_c, high_c = requirement.limits_c
        full = replace(full, alarm=replace(full.alarm, low_c=low_c, high_c=high_c))
    price = price_of(PARTS, places_of(PARTS, full))
    return Held(full, requirement, check(full, requirement, price), price, float(t_c), _standard_c(full, t_c))


def _standard_c(design, t_c):
    reads = reach(design.chain)
    if reads is None or not reads[0] <= t_c <= reads[1]:
        return None
    return doubt(design, t_c).smoothed(noise_left(design)).standard_c


def words(held, book):
    """How many lines pass and which do not, what binds, and what a reading is worth.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    8 of 10 lines pass, at a price of 3.00 (invented). Fails: guard band at the low limit, margin −2.92 °C; guard
    band at the high limit, margin −3.28 °C. Of those that pass, the line "late by" has used most, 79 % of 60 s. At
    25.0 °C the standard uncertainty of a smoothed reading is 2.54 °C.
    """
    passed, of = len(held.lines) - len(held.fails), len(held.lines)
    price = "" if held.price is None else f", at a price of {held.price:.2f} (invented)"
    fails = "; ".join(f"{line.name}, margin {margin_told(line, book)}" for line in held.fails)
    return (
        f"{passed} of {of} lines pass{price}. {f'Fails: {fails}.' if fails else 'Nothing fails.'} "
        f"{_binds(held.lines, book)}{_worth(held, book)}"
    ) + warning(held.problems())


def _binds(lines, book):
    line = binding(lines)
    if line is None:
        return ""
    used = f"{100 * line.used:.0f} % of {told(line, line.wanted, book)}"
    return f'Of those that pass, the line "{line.name}" has used most, {used}. '


def _worth(held, book):
    at = book.temperature(held.t_c)
    if held.standard_c is None:
        return f"At {at} there is no reading."
    return f"At {at} the standard uncertainty of a smoothed reading is {book.span(held.standard_c, 2)}."


def table(held, book):
    """Requirement against design as an HTML table: each line with its margin, and passes or fails in words."""
    heads = ("line", "wanted", "this design", "margin", "")
    head = "".join(f'<th scope="col">{each}</th>' if each else "<td></td>" for each in heads)
    rows = "".join(f"<tr>{_row(line, book)}</tr>" for line in held.lines)
    caption = "<caption>Requirement against design</caption>"
    return f'<div class="tempkit-words"><table>{caption}<tr>{head}</tr>{rows}</table></div>'


def _row(line, book):
    cells = (wanted_told(line, book), told(line, line.does, book), margin_told(line, book))
    verdict = "passes" if line.passes else "<strong>fails</strong>"
    told_cells = "".join(f"<td>{_kept_together(escape(each))}</td>" for each in cells)
    return f'<th scope="row">{escape(line.name)}</th>{told_cells}<td>{verdict}</td>'


def _kept_together(text):
    """A number and its unit on one line, however narrow the column; "at most" too."""
    return re.sub(r"(?<=\d) (?=°|s$)|(?<=^at) ", "&nbsp;", text)


def facts(held, book):
    """Rows of the number table: parts and settings, every line, and the best of the catalogue."""
    alarm = held.design.alarm
    rows = [(f"{line.name}: {'passes' if line.passes else 'fails'}", _fact(line, book)) for line in held.lines]
    best = search(PARTS, held.requirement)
    front = [
        (f"best that passes at {best.price[n]:.2f}", f"guard band {book.span(best.guard_c[n], 2)}") for n in best.best()
    ]
    return [
        *_parts(held),
        ("limits", f"{book.temperature(alarm.low_c)} and {book.temperature(alarm.high_c)}"),
        *rows,
        ("a smoothed reading", _worth(held, book)),
        ("combinations that pass", f"{best.passes.sum()} of {best.passes.size}"),
        *front,
        *(("mind", problem) for problem in held.problems()),
    ]


def _fact(line, book):
    room = "" if line.used is None or isinf(line.used) else f", {100 * line.used:.0f} % used"
    does, margin = told(line, line.does, book), margin_told(line, book)
    return f"{wanted_told(line, book)}; this design {does}; margin {margin}{room}"


def _parts(held):
    kinds = (PARTS.front_ends, PARTS.references, PARTS.converters)
    for name, kind, place in zip(("front end", "reference", "converter"), kinds, _places(held), strict=True):
        yield name, "not of the catalogue" if place is None else f"{kind[place].name}, {kind[place].price:.2f}"


def _places(held):
    return places_of(PARTS, held.design)


def plan(requirement):
    """The plan of the explorer for one requirement."""
    return Plan(
        title="Requirement against design",
        controls=(
            FRONT_END,
            REFERENCE,
            CONVERTER,
            FEW_SAMPLES,
            SHORT_SMOOTHING,
            ON_DELAY,
            DEADBAND,
            READ_AT,
        ),
        compute=lambda design, t_c: compute(design, t_c, requirement),
        picture=lambda look, book: DesignPicture(look, book),
        words=words,
        facts=facts,
        table=table,
    )


PLAN = plan(BENCH)


def explorer(design=None, requirement=BENCH, **start):
    """The explorer of chapter 13; `design` from a design file, else the bench's first one; `start` values of controls.

    >>> explorer(front_end=6, converter=2, samples_2n=6).result().fails
    ()
    """
    first, _ = assemble(PARTS, Choice(0, 0, 1), requirement)
    return Explorer(plan(requirement), design or first, **start)
