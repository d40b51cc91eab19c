"""Chapter 13: a design held against a requirement, line by line, and among all the combinations of the catalogue."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from html import escape
from math import isfinite, isinf

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
from tempkit.draw import BLUE, INK, LIMIT, QUIET, Axis, Chart, Charts, Fact, Facts, Line, Ring
from tempkit.explorers.controls import DEADBAND, ON_DELAY, SAMPLES, SMOOTHING, TEMPERATURE, Control, completed, noise_of
from tempkit.explorers.stage import Explorer, Plan, minds, warning

# ---- The controls of chapter 13: three parts of the catalogue, and what the program does with their readings.

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


# ---- told


def _part(name, kind):
    """The fact of a part of the design: its name and price in the catalogue."""

    def told_of(held, _):
        place = places_of(PARTS, held.design)[kind]
        rows = (PARTS.front_ends, PARTS.references, PARTS.converters)[kind]
        return "not of the catalogue" if place is None else f"{rows[place].name}, {rows[place].price:.2f}"

    return Fact(name, name, told_of)


def _verdict(held, _):
    of = len(held.lines)
    return f"fails {len(held.fails)} of {of}" if held.fails else f"passes all {of}"


def _guard(held, book):
    return book.span(held.guard_c, 2) if isfinite(held.guard_c) else "none"


def _used(held, book):
    line = binding(held.lines)
    return None if line is None else f"{100 * line.used:.0f} % of {told(line, line.wanted, book)}"


PARTS_CHOSEN = Facts(_part(name, kind) for kind, name in enumerate(("front end", "reference", "converter")))
FACTS = Facts([
    Fact("verdict", "", _verdict, head="of the lines this design", table=False),
    Fact("passed", "lines that pass", lambda held, _: f"{len(held.lines) - len(held.fails)} of {len(held.lines)}"),
    Fact("price", "price (invented)", lambda held, _: "none" if held.price is None else f"{held.price:.2f}",
         head="price (invented)", short="price"),
    Fact("guard", "guard band", _guard, head="guard band", short="guard"),
    Fact("used", "used most of those that pass", _used),
    Fact("at", "a reading at", lambda held, book: book.temperature(held.t_c)),
    Fact("worth", "its standard uncertainty, smoothed",
         lambda held, book: None if held.standard_c is None else book.span(held.standard_c, 2)),
])  # fmt: skip


def words(held, book):
    """How many lines pass and which do not, what binds, and what a reading is worth.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    8 of 10 lines pass, at a price of 3.00 (invented). Fails: guard band at the low limit, margin −3.85 °C; guard
    band at the high limit, margin −4.24 °C. Of those that pass, the line "late by" has used most, 79 % of 60 s. At
    25.0 °C the standard uncertainty of a smoothed reading is 3.12 °C.
    """
    said = FACTS.told(held, book)
    price = "" if held.price is None else ", at a price of {price} (invented)"
    fails = "; ".join(f"{line.name}, margin {margin_told(line, book)}" for line in held.fails)
    most = binding(held.lines)
    used = f' Of those that pass, the line "{most.name}" has used most, {{used}}.' if most else ""
    worth = "the standard uncertainty of a smoothed reading is {worth}" if said["worth"] else "there is no reading"
    failing = f"Fails: {fails}" if fails else "Nothing fails"
    template = f"{{passed}} lines pass{price}. {failing}.{used} At {{at}} {worth}."
    return template.format_map(said) + warning(held.problems())


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
    best, alarm = search(PARTS, held.requirement), held.design.alarm
    return [
        *PARTS_CHOSEN.rows(held, book),
        ("limits", f"{book.temperature(alarm.low_c)} and {book.temperature(alarm.high_c)}"),
        *((f"{line.name}: {'passes' if line.passes else 'fails'}", _fact(line, book)) for line in held.lines),
        *FACTS.rows(held, book),
        ("combinations that pass", f"{best.passes.sum()} of {best.passes.size}"),
        *(
            (f"best that passes at {best.price[n]:.2f}", f"guard band {book.span(best.guard_c[n], 2)}")
            for n in best.best()
        ),
        *minds(held.problems()),
    ]


def _fact(line, book):
    room = "" if line.used is None or isinf(line.used) else f", {100 * line.used:.0f} % used"
    does, margin = told(line, line.does, book), margin_told(line, book)
    return f"{wanted_told(line, book)}; this design {does}; margin {margin}{room}"


# ---- the picture: guard band against price, all combinations, the best that pass, what is allowed, and this design

PRICES = (0.0, 22.0)
GUARDS_C = (0.25, 16.0)


@dataclass(frozen=True)
class Cloud:
    """Combinations by price and guard band, `of()` -> (prices, guard bands [degC]): worked out once, still then."""

    of: Callable
    style: dict
    key: str

    def build(self, panel):
        price, guard_c = self.of()
        style = {"ls": "", "ms": 1.2 * panel.look.line, "lw": 0.7 * panel.look.line, **self.style}
        panel.axes.plot(panel.x(price), panel.y(guard_c), zorder=panel.order(), **style)

    def sample(self, picture, x, y, long):
        """The sample in the key."""
        style = {"ls": "", "ms": 2 * picture.look.line, "lw": 0.7 * picture.look.line, **self.style, "alpha": 1}
        across = [x, x + long] if style["ls"] else [x + long / 2]
        picture.page.plot(across, [y] * len(across), **style)


def _charts(requirement):
    """The picture for a requirement."""

    def combinations(passing):
        price, guard_c, passes = search(PARTS, requirement).points()
        return price[passes == passing], guard_c[passes == passing]

    def best():
        found = search(PARTS, requirement)
        return found.price[found.best()], found.guard_c[found.best()]

    def now(held):
        return (held.price, held.guard_c) if held.price is not None and isfinite(held.guard_c) else None

    stairs = {"color": INK, "marker": "D", "ls": "-", "drawstyle": "steps-post"}
    room_c = min(requirement.room_c)
    return Charts(
        Chart(
            Axis("price (invented)", span=PRICES),
            Axis("guard band", span=GUARDS_C, scale="span", log=True),
            (
                Cloud(lambda: combinations(False), {"color": QUIET, "marker": "x", "mew": 0.6, "alpha": 0.35}, "fails"),
                Cloud(lambda: combinations(True), {"color": BLUE, "marker": "s"}, "passes"),
                Cloud(best, stairs, "best"),
                Line(lambda _: ([requirement.price] * 2, GUARDS_C), LIMIT, "limit"),
                Line(lambda _: (PRICES, [room_c] * 2), LIMIT),
                Ring(now),
            ),
        ),
        heads=FACTS,
    )


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
        picture=_charts(requirement),
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
