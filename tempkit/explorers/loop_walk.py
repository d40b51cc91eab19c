"""Chapter 04: from the code back to degrees. A board's loop line by line, and what one changed line does."""

import html
from dataclasses import dataclass, field

import numpy as np

from tempkit.board import Program, fits, loop_numbers, program, towards_zero
from tempkit.book import tidy
from tempkit.chain import NO_CODE, Walk, walk
from tempkit.draw import (
    DASHES,
    HATCHED,
    INK,
    ORANGE,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Line,
    Named,
    Ring,
    Segment,
    Stroke,
)
from tempkit.explorers.controls import ARITHMETIC, CHANGE, LANGUAGE, TEMPERATURE
from tempkit.explorers.stage import MIND, Explorer, Plan, or_none, warning
from tempkit.scales import ZERO_K

MARGIN_C = 15.0
LENS_C = 4.0  # how far the lens reaches from its middle
BELOW, ABOVE = 0.45, 0.6  # how far the chart reaches beyond the sensor's range, as parts of its length
JUMP = 0.015  # a change of this part of the chart's height between neighbours is drawn as a jump
GRID = 1081  # temperatures of the curve: an eighth of a degree apart over the scenario's sensor
NEAR = 401  # temperatures in the lens


@dataclass(frozen=True)
class LoopWalk:
    """One temperature in the loop as it should be (`right`) and as it is (`now`), and the whole range.

    `curve` is a pair of arrays: temperatures over the sensor's range, and what the loop claims there; `near`
    is the same for a few degrees around the present one. Readings are not rounded, and may lie below absolute
    zero: the loop does not know better. They are None outside the sensor's range.
    """

    way: Walk
    right: Program
    now: Program
    curve: tuple = field(compare=False, repr=False)
    near: tuple = field(compare=False, repr=False)

    @property
    def code(self):
        return self.way.code

    @property
    def right_c(self):
        return None if self.code is None else self.right.reading_c(self.code)

    @property
    def reading_c(self):
        return None if self.code is None else self.now.reading_c(self.code)

    @property
    def error_c(self):
        """Reading minus true temperature [degC]."""
        return None if self.code is None else self.reading_c - self.way.t_c

    @property
    def chart_c(self):
        """The spans (true temperatures, readings) of the chart [degC]; it ends at absolute zero."""
        low, high = self.way.sensor_c
        below, above = low - BELOW * (high - low), high + ABOVE * (high - low)
        return tuple((max(foot, -ZERO_K), top) for foot, top in ((low - MARGIN_C, high + MARGIN_C), (below, above)))

    @property
    def shown_c(self):
        """The reading as far as the chart reaches [degC]."""
        return None if self.code is None else float(np.clip(self.reading_c, *self.chart_c[1]))

    def problems(self, say):
        return self.way.problems(say)

    def gapped(self, curve):
        """A curve with a gap instead of a wall where the loop jumps."""
        t_c, claims_c = curve
        low, high = self.chart_c[1]
        jumps = np.flatnonzero(np.abs(np.diff(claims_c)) > JUMP * (high - low)) + 1
        return np.insert(t_c, jumps, np.nan), np.insert(claims_c, jumps, np.nan)


def compute(design, t_c, language, arithmetic, change):
    """The loop at one temperature [degC] and over the sensor's range.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0, "c", "integers", "product16")
    >>> at.code, at.now.values(at.code)["product"], at.reading_c, at.right_c
    (163, 28568, -71.3, 24.8)
    """
    chain = design.chain
    now = program(chain, language, arithmetic, change)
    curve = _claims(chain, now, np.linspace(*chain.sensor.range_c, GRID))
    near = _claims(chain, now, np.linspace(t_c - LENS_C, t_c + LENS_C, NEAR))
    return LoopWalk(walk(chain, t_c), program(chain, language, arithmetic), now, curve, near)


def _claims(chain, loop, t_c):
    """Temperatures, and what the loop claims there; `nan` outside the sensor's range."""
    codes = chain.code(t_c)
    return t_c, np.where(codes == NO_CODE, np.nan, loop.reading_c(np.maximum(codes, 0)))


def claimed(book, t_c):
    """What a loop claims [degC], in the reader's scale; unlike a temperature it may lie below absolute zero.

    >>> from tempkit.book import Book
    >>> claimed(Book("degF"), -300.0)
    '−508.0 °F'
    """
    return f"{tidy(book.from_celsius(0.0) + book.span_from_celsius(t_c), 1)} {book.sign}"


def _ends(at, book):
    ends_c = np.nanmin(at.curve[1]), np.nanmax(at.curve[1])
    return " to ".join(claimed(book, end_c) for end_c in ends_c)


def _off(d_c, book):
    """An error as text, with a hundredth where it is small."""
    return book.span(d_c, 2 if abs(d_c) < 1 else 1, signed=True)


def _printed(loop, code):
    return or_none(code, lambda code: _signs(loop.printed(code)))


def _fitting(at):
    n = loop_numbers(at.way.chain)
    return min(32767 // n.supply_mv, n.count - 1)


FACTS = Facts([
    Fact("t", "true temperature", lambda at, book: book.temperature(at.way.t_c), head="true temperature"),
    Fact("code", "code", lambda at, book: or_none(at.code, str), head="code", short=None),
    Fact("reading", "reading", lambda at, book: or_none(at.reading_c, lambda t_c: claimed(book, t_c)),
         head="reading", short="reads"),
    Fact("right", "printed, as it should be", lambda at, book: _printed(at.right, at.code)),
    Fact("now", "printed, as the loop is", lambda at, book: _printed(at.now, at.code)),
    Fact("off", "reading minus true temperature", lambda at, book: or_none(at.error_c, lambda d_c: _off(d_c, book)),
         head="off by", short="off by"),
    Fact("changed", "changed line sets", lambda at, book: at.now.changed or "nothing: no line is changed"),
    Fact("ends", "readings over the sensor's range", _ends),
    Fact("step", "one step", lambda at, book: book.span(at.way.step_c, 3)),
    Fact("fits", "highest code whose product fits in 16 bits", lambda at, book: str(_fitting(at))),
    MIND,
])  # fmt: skip


# ---- words


def words(at, book):
    """What the loop prints and why, in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0, "c", "integers", "product16"), Book()))
    At 25.0 °C the code is 163. 163 × 5000 = 815000 does not fit in 16 bits; 28568 is commonly left. The loop
    prints −71.3 degC, −96.3 degF in place of 24.8 degC, 76.6 degF: off by −96.3 °C.
    """
    told, mind = FACTS.told(at, book), warning(at.problems(book.temperature))
    if at.code is None:
        return f"At {told['t']} there is no code, and the loop has nothing to print.{mind}"
    return f"At {told['t']} the code is {told['code']}. {_why(at)}{_prints(at, told)}{mind}"


def _prints(at, told):
    now, right = (told[key].replace("  ", ", ") for key in ("now", "right"))
    if not at.now.changed:
        return f"The loop prints {now}: off by {told['off']}."
    if now == right:
        return f"The loop still prints {now}: here the print alone shows nothing. It is off by {told['off']}."
    whose = "its °F is " if at.now.change == "span" else ""
    return f"The loop prints {now} in place of {right}: {whose}off by {told['off']}."


def _signs(text):
    return text.replace("-", "\N{MINUS SIGN}")


def _why(at):
    """The changed line in a sentence; empty where nothing was changed."""
    if at.now.change == "none":
        return ""
    if not at.now.changed:
        return "This loop has no product of integers, so nothing is changed; choose integers. "
    return WHY[at.now.change](at, loop_numbers(at.way.chain)) + " "


def _divide_first(at, n):
    top = n.supply_top[0] if at.now.arithmetic == "float" else n.supply_mv
    sign = "/" if at.now.language == "c" else "//"
    return f"{top} {sign} {n.count} is a division of integers: only {towards_zero(top, n.count)} is left."


def _count(at, n):
    excess = f"{100 / (n.count - 1):.2g} %"
    return f"Divided by {n.count - 1}, the highest code, every step comes out {excess} too large."


def _supply(at, n):
    return f"The loop takes the reference for {n.wrong_v:g} V; it should take it for {n.supply_v:g} V."


def _product16(at, n):
    product = at.right.values(at.code)["product"]
    sum_ = f"{at.code} × {n.supply_mv} = {product}"
    if fits(product):
        return f"{sum_} fits in 16 bits."
    left = (
        f"{sum_} does not fit in 16 bits; {_signs(str(at.now.values(at.code)['product']))} is commonly left."
    )
    own = (
        " Python's own integers do not wrap; an array of 16-bit integers does."
        if at.now.language == "python"
        else ""
    )
    return left + own


def _offset(at, n):
    return f"The {n.at_0c_mv} mV at 0 °C are not taken away."


def _millivolt(at, n):
    if at.now.arithmetic == "float":
        return "Volts meet constants in millivolts."
    return "The reference is given in volts where the loop counts millivolts."


WHY = {
    "divide_first": _divide_first,
    "count": _count,
    "supply": _supply,
    "product16": _product16,
    "span": lambda at, n: "Without the 32 the °F line treats the temperature as a span.",
    "offset": _offset,
    "millivolt": _millivolt,
}


# ---- tables


@dataclass(frozen=True)
class Row:
    """A line of the loop as it is, its value, and both as they should be."""

    line: str
    meaning: str
    value: str
    right_line: str
    right_value: str


def rows(at):
    """The loop as rows, the print last; values are "none" where there is no code."""
    meanings = [*(line.meaning for line in at.now.lines), "what is printed"]
    columns = (at.now.texts(), meanings, _values(at, at.now), at.right.texts(), _values(at, at.right))
    return tuple(Row(*row) for row in zip(*columns, strict=True))


def _values(at, loop):
    if at.code is None:
        return ["none"] * (len(loop.lines) + 1)
    held = [
        _signs(f"{value:.6g}" if isinstance(value, float) else str(value))
        for value in loop.values(at.code).values()
    ]
    return [*held, _signs(loop.printed(at.code))]


def table(at, book):
    """The loop walk: every line with its meaning and value; what differs is marked in words and by a sign."""
    language, arithmetic = (dict(control.options) for control in (LANGUAGE, ARITHMETIC))
    caption = (
        f"The loop walk at {book.temperature(at.way.t_c)}, in {language[at.now.language]}, "
        f"with {arithmetic[at.now.arithmetic]}"
    )
    head = "".join(f'<th scope="col"{CELL}>{name}</th>' for name in ("line", "meaning", "value"))
    body = "".join(_row_html(row) for row in rows(at))
    whole = f"<table><caption{CELL}>{caption}</caption><tr>{head}</tr>{body}</table>"
    return f'<div class="tempkit-words" style="max-width:75em">{whole}</div>'


CELL = ' style="text-align:left;vertical-align:top"'


def _row_html(row):
    line, value = _code(row.line), html.escape(row.value)
    if row.line != row.right_line:
        line += f"<br>changed; it should be<br>{_code(row.right_line)}"
    if row.value != row.right_value:
        value += f"<br>≠, should be {html.escape(row.right_value)}"
    cells = "".join(f"<td{CELL}>{cell}</td>" for cell in (html.escape(row.meaning), value))
    return f'<tr><th scope="row"{CELL}>{line}</th>{cells}</tr>'


def _code(text):
    return f'<code style="font-size:0.9em;white-space:pre-wrap">{html.escape(text)}</code>'


# ---- the picture


TRUE = Stroke(INK, DASHES, 0.7)
LOOP = Stroke(ORANGE)
ERROR = Stroke(INK, width=1.6)


def _beyond(at):
    """Where the sensor promises nothing."""
    (left, right), (foot, top) = at.chart_c
    low, high = at.way.sensor_c
    return (left, low, foot, top), (high, right, foot, top)


def _ring(at):
    return None if at.code is None else (at.way.t_c, at.shown_c)


def _off_the_chart(at):
    if at.code is None or at.shown_c == at.reading_c:
        return
    (left, right), (foot, top) = at.chart_c
    edge = top if at.reading_c > top else foot
    yield (left + right) / 2, edge + 0.06 * ((foot + top) / 2 - edge), "reading off the chart"


def _around(at, curve):
    """A curve of the chart as the lens shows it, from the ring."""
    if at.code is None:
        return [], []
    t_c, claims_c = curve
    return np.asarray(t_c) - at.way.t_c, np.asarray(claims_c) - at.reading_c


CHARTS = Charts(
    (
        Chart(
            Axis("true temperature", scale="temperature", span=lambda at: at.chart_c[0]),
            Axis("reading", scale="temperature", span=lambda at: at.chart_c[1]),
            (
                Bars(_beyond, HATCHED),
                Segment(lambda at: (at.way.t_c, None, at.way.t_c, at.chart_c[1][1] if at.code is None else at.way.t_c)),
                Line(lambda at: at.gapped(at.curve), LOOP, key="this loop"),
                Line(lambda at: (at.way.sensor_c, at.way.sensor_c), TRUE, key="a true reading"),
                Segment(lambda at: _ring(at) and (at.way.t_c, at.way.t_c, *_ring(at)), ERROR),
                Ring(_ring, drops=False, handle="t_c"),
                Named(_off_the_chart, ha="center", va="center", bold=True, paper=True),
            ),
            wide=2.0,
        ),
        Chart(
            Axis("lens", scale="span", span=(-LENS_C, LENS_C)),
            Axis(scale="span", span=(-LENS_C, LENS_C)),
            (
                Line(lambda at: _around(at, at.gapped(at.near)), LOOP),
                Line(lambda at: _around(at, (at.way.sensor_c, at.way.sensor_c)), TRUE),
                Ring(lambda at: _ring(at) and (0, 0), drops=False, hollow=True),
            ),
            boxed=True,
        ),
    ),
    heads=FACTS,
)


PLAN = Plan(
    title="The loop walk: from the code back to degrees",
    controls=(TEMPERATURE, LANGUAGE, ARITHMETIC, CHANGE),
    compute=compute,
    picture=CHARTS,
    words=words,
    facts=FACTS.rows,
    table=table,
)


def explorer(design=None, **start):
    """The explorer of chapter 04; `design` from a design file, `start` values of controls by name.

    >>> explorer(change="offset").result().now.printed(163)
    '99.8 degC  211.6 degF'
    """
    return Explorer(PLAN, design, **start)
