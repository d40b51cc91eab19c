"""Chapter 13: a design held against a requirement, line by line, and among all the combinations of the catalogue."""

import re
from dataclasses import dataclass, replace
from html import escape
from math import isfinite, isinf

from tempkit.book import Book
from tempkit.chain import Design, Extras, Response
from tempkit.choose import (
    Choice,
    Requirement,
    assemble,
    binding,
    catalogue,
    check,
    doubt,
    margin_told,
    noise_left,
    places_of,
    price_of,
    reach,
    search,
    told,
    wanted_told,
)
from tempkit.draw import BLUE, INK, QUIET, Picture
from tempkit.explorers.controls import DEADBAND, ON_DELAY, SAMPLES, SMOOTHING, TEMPERATURE, Control, completed, noise_of
from tempkit.explorers.lens import DASHES, DOTS, dot
from tempkit.explorers.stage import Explorer, Plan, warning

# --- The controls of chapter 13: three parts of the catalogue, and what the program does with their readings.

PARTS = catalogue()
OWN_PART = -1  # a part of a design file that is not in the catalogue


def stated(design):
    """The design with noise, lag, smoothing and alarm of the bench where it states none."""
    return replace(completed(design), noise=noise_of(design))


def _options(rows):
    named = tuple((place, f"{each.name.replace('degC', '°C')}: {each.price:.2f}") for place, each in enumerate(rows))
    return (*named, (OWN_PART, "not of the catalogue"))


def _place(kind):
    def get(design):
        place = places_of(PARTS, design)[kind]
        return OWN_PART if place is None else place

    return get


def put_front_end(design, place):
    """The design with a front end of the catalogue, and with its noise, its lag and its self-heating."""
    if place == OWN_PART:
        return design
    front = PARTS.front_ends[place]
    return replace(
        design,
        chain=replace(design.chain, sensor=front.sensor, circuit=front.circuit),
        noise=replace(noise_of(design), input_v=front.noise_v),
        response=Response(front.tau_s),
        budget=replace(design.budget or Extras(), self_heating_c=front.self_heating_c),
    )


def _put(part, rows):
    def put(design, place):
        if place == OWN_PART:
            return design
        return replace(design, chain=replace(design.chain, **{part: rows[place].part}))

    return put


FRONT_END = Control(
    "front_end", "front end, price", options=_options(PARTS.front_ends), get=_place(0), put=put_front_end
)
REFERENCE = Control(
    "reference",
    "reference, price",
    options=_options(PARTS.references),
    get=_place(1),
    put=_put("reference", PARTS.references),
)
CONVERTER = Control(
    "converter",
    "converter, price",
    options=_options(PARTS.converters),
    get=_place(2),
    put=_put("converter", PARTS.converters),
)
READ_AT = replace(TEMPERATURE, label="a reading at")
FEW_SAMPLES = replace(SAMPLES, high=8)
SHORT_SMOOTHING = replace(SMOOTHING, high=60.0)
ON_DELAY = replace(ON_DELAY, high=10)
DEADBAND = replace(DEADBAND, high=1.5, step=0.05, digits=2)


# --- The picture of chapter 13: guard band against price, all combinations, the best that pass, and this design.

PRICES = (0.0, 22.0)
GUARDS_C = (0.25, 16.0)
TICKS = (0.25, 0.5, 1, 2, 5, 10, 20)
# (left, bottom, width, height) of the chart, x of the key, its y from the top and its pitch, y of the head [px]
DESK = ((92, 62, 600, 366), 724, 424, 34, 468)
ROOM = ((148, 96, 560, 306), 748, 380, 62, 436)


class DesignPicture(Picture):
    """Shows a `tempkit.explorers.design_project.Held`.

    Each small cross is a combination of parts, samples and smoothing that fails with any delay and deadband; each
    square one that passes with some. The ink stairs join the best: for their price none has a narrower guard band. A
    dashed line stands at the price that is allowed, a dotted one at the room there is for a guard band; the ring is the
    present design.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.key_x, self.key_y, self.pitch, self.head_y = ROOM if self.look.room else DESK

    def frame(self, held):
        return held.requirement

    # ---- parts that stand still

    def build(self, requirement):
        self.lay_page()
        ends = self.book.span_from_celsius(GUARDS_C[0]), self.book.span_from_celsius(GUARDS_C[1])
        self.axes = self.chart(self.box, "price (invented)", f"guard band, {self.book.sign}", PRICES, ends)
        self._scale(ends)
        self._cloud(requirement)
        self._allowed(requirement)
        self._key()
        self._present()

    def _scale(self, ends):
        from matplotlib.ticker import FixedLocator, NullLocator

        self.axes.set_yscale("log")
        ticks = [tick for tick in TICKS if ends[0] <= tick <= ends[1]]
        self.axes.yaxis.set_major_locator(FixedLocator(ticks))
        self.axes.yaxis.set_minor_locator(NullLocator())
        self.axes.set_yticklabels([f"{tick:g}" for tick in ticks])

    def _cloud(self, requirement):
        all_of = search(PARTS, requirement)
        price, guard_c, passes = all_of.points()
        guard = self.book.span_from_celsius(guard_c)
        size = 5 if self.look.room else 3
        fail = {"marker": "x", "ms": size, "mew": 0.6, "color": QUIET, "alpha": 0.35, "ls": ""}
        self.axes.plot(price[~passes], guard[~passes], zorder=2, **fail)
        self.axes.plot(price[passes], guard[passes], marker="s", ms=size, color=BLUE, ls="", zorder=3)
        best = all_of.best()
        front = {"color": INK, "lw": 0.7 * self.look.line, "marker": "D", "ms": 1.6 * size, "zorder": 4}
        steps = self.book.span_from_celsius(all_of.guard_c[best])
        self.axes.plot(all_of.price[best], steps, drawstyle="steps-post", **front)

    def _allowed(self, requirement):
        line = {"color": INK, "lw": 0.6 * self.look.line, "zorder": 3.5}
        self.axes.axvline(requirement.price, ls=DASHES, **line)
        self.axes.axhline(self.book.span_from_celsius(min(requirement.room_c)), ls=DOTS, **line)

    def _key(self):
        names = ("this design", "best that pass", "passes", "fails", "price allowed", "room allowed")
        size = 5 if self.look.room else 3
        styles = (
            {**dot(self.look), "zorder": 3},
            {"color": INK, "lw": 0.7 * self.look.line, "marker": "D", "ms": 1.6 * size},
            {"color": BLUE, "marker": "s", "ms": 1.6 * size, "ls": ""},
            {"color": QUIET, "marker": "x", "ms": 1.6 * size, "ls": ""},
            {"color": INK, "lw": 0.6 * self.look.line, "ls": DASHES},
            {"color": INK, "lw": 0.6 * self.look.line, "ls": DOTS},
        )
        long = 40 if self.look.room else 30
        for place, (name, style) in enumerate(zip(names, styles, strict=True)):
            y = self.key_y - place * self.pitch
            xs = [self.key_x, self.key_x + long] if style.get("ls", "-") != "" else [self.key_x + long / 2]
            self.page.plot(xs, [y] * len(xs), **style)
            self.text(self.page, self.key_x + long + 14, y, name, va="center")

    # ---- moving

    def _present(self):
        drop = {"color": INK, "lw": 0.5 * self.look.line, "zorder": 8}
        self.drop = self.plotted(self.axes, **drop)
        self.here = self.plotted(self.axes, **dot(self.look))
        size = self.look.big if not self.look.room else self.look.gap
        self.head = self.moving(self.text(self.page, self.box[0], self.head_y, size=size, bold=True, va="center"))

    def move(self, held):
        shown = held.price is not None and held.guard_c < float("inf")
        self.head.set_text(self._verdict(held))
        self.here.set_visible(shown)
        self.drop.set_visible(shown)
        if shown:
            y = self.book.span_from_celsius(held.guard_c)
            self.here.set_data([held.price], [y])
            self.drop.set_data([held.price, held.price, PRICES[0]], [self.axes.get_ylim()[0], y, y])

    def _verdict(self, held):
        room = self.look.room
        fails = f"fails {len(held.fails)} of {len(held.lines)}{'' if room else ' lines'}"
        price = "no price" if held.price is None else f"price {held.price:.2f}"
        guard = self.book.span(held.guard_c, 2) if held.guard_c < float("inf") else "none"
        return f"{fails if held.fails else 'passes'}: {price}, guard{'' if room else ' band'} {guard}"


BENCH = Requirement()


@dataclass(frozen=True)
class Held:
    """A design held against a requirement.

    lines : `tempkit.choose.Line` each, as `check` gives them; price : of the parts, None where one is not of the
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
