"""Chapter 04: from the code back to degrees. A board's loop line by line, and what one changed line does."""

import html
from dataclasses import dataclass, field

import numpy as np

from tempkit.board import Program, fits, loop_numbers, program, towards_zero
from tempkit.book import tidy
from tempkit.chain import NO_CODE, Walk, walk
from tempkit.draw import INK, ORANGE, PAPER, QUIET, Picture
from tempkit.explorers.controls import ARITHMETIC, CHANGE, LANGUAGE, TEMPERATURE
from tempkit.explorers.stage import Explorer, Plan, warning

# --- The picture of chapter 04: what the loop claims against the true temperature, beside the right line.

MARGIN_C = 15.0
LENS_C = 4.0  # how far the lens reaches from its middle
BELOW, ABOVE = 0.15, 0.35  # how far the chart reaches beyond the sensor's range, as parts of its length
JUMP = 0.015  # a change of this part of the chart's height between neighbours is drawn as a jump


def claimed(book, t_c):
    """What a loop claims [degC], in the reader's scale; unlike a temperature it may lie below absolute zero.

    >>> from tempkit.book import Book
    >>> round(claimed(Book("degF"), -300.0), 1)
    -508.0
    """
    return book.from_celsius(0.0) + book.span_from_celsius(t_c)


class LoopPicture(Picture):
    """Shows a `tempkit.explorers.loop_walk.LoopWalk`.

    Dashed: the line on which a reading is true. Solid: what the loop claims, with gaps where it jumps. The
    ring is the present reading; the thick ink line is its way back to the dashed line, that is its error. At
    the desk a lens shows the same around the ring, so that steps and jumps can be seen.
    """

    def __init__(self, look=None, book=None):
        from tempkit.book import Book

        super().__init__(look)
        self.book = book or Book()
        room = self.look.room
        self.box = (135, 96, 545.4, 364.8) if room else (81.6, 62.5, 552, 422.5)
        self.panel_x = 0.665 if room else 0.70
        self.names = ("temperature", *(() if room else ("code",)), "reading", "off by")

    def frame(self, at):
        return at.way.sensor_c

    def build(self, frame):
        low, high = frame
        length = high - low
        self.x_span = tuple(claimed(self.book, end) for end in (low - MARGIN_C, high + MARGIN_C))
        self.y_span = tuple(claimed(self.book, end) for end in (low - BELOW * length, high + ABOVE * length))
        sign = self.book.sign
        axes = self.axes = self.chart(
            self.box, f"true temperature, {sign}", f"reading, {sign}", self.x_span, self.y_span
        )
        self._beyond(low, high)
        ends = [claimed(self.book, end) for end in (low, high)]
        true = axes.plot(ends, ends, color=INK, lw=self.look.line * 0.7, ls=(0, (5, 3)), zorder=5.5)[0]
        self.moving(true)
        self._movers_of(axes)
        self._panel()
        self.lens = None if self.look.room else self._lens()

    def _beyond(self, low, high):
        """Hatched: where the sensor promises nothing."""
        style = {"facecolor": PAPER, "edgecolor": "#8c8c8c", "hatch": "////", "lw": 0, "zorder": 1.5}
        self.axes.axvspan(self.x_span[0], claimed(self.book, low), **style)
        self.axes.axvspan(claimed(self.book, high), self.x_span[1], **style)

    def _movers_of(self, axes):
        line = self.look.line
        self.curve = self.plotted(axes, color=ORANGE, lw=line, zorder=5)
        self.drop = self.plotted(axes, color=QUIET, lw=line * 0.6, ls=(0, (2, 3)), zorder=3)
        self.gap = self.moving(
            axes.plot([], [], color=INK, lw=line * 1.6, solid_capstyle="butt", zorder=6, clip_on=False)[0]
        )
        style = {"marker": "o", "ms": 4 * line, "mfc": PAPER, "mec": INK, "mew": line, "ls": "", "zorder": 7}
        self.ring = self.plotted(axes, clip_on=False, **style)

    def _panel(self):
        """Key and numbers at the side."""
        width, height = self.look.size
        page = self.figure.add_axes((0, 0, 1, 1), zorder=2)
        page.set(xlim=(0, width), ylim=(0, height), facecolor="none")
        page.axis("off")
        x, y, body, line = self.panel_x * width, height - 14, self.look.body, self.look.line
        styles = ({"ls": (0, (5, 3)), "color": INK, "lw": line * 0.7}, {"color": ORANGE, "lw": line})
        for style, words in zip(styles, ("a true reading", "this loop"), strict=True):
            page.plot([x, x + 2.6 * body], [y - 0.7 * body] * 2, **style)
            self.text(page, x + 3.1 * body, y, words, va="top")
            y -= 1.45 * body
        self.values = {}
        for name in self.names:
            y -= 0.6 * body
            label = self.text(page, x, y, name, va="top")
            if name == "reading":
                self.reading_name = self.moving(label)
            y -= 1.3 * body
            self.values[name] = self.moving(self.text(page, x, y, size=self.look.big, bold=True, va="top"))
            y -= 1.35 * self.look.big

    # ---- moving

    def move(self, at):
        self.curve.set_data(*self._with_gaps(at.curve))
        self._move_point(at)
        if self.lens:
            self._move_lens(at)
        self._move_numbers(at)

    def _with_gaps(self, curve):
        """Where the loop jumps, its line has a gap instead of a wall."""
        x, y = (claimed(self.book, part) for part in curve)
        jumps = np.flatnonzero(np.abs(np.diff(y)) > JUMP * (self.y_span[1] - self.y_span[0])) + 1
        return np.insert(x, jumps, np.nan), np.insert(y, jumps, np.nan)

    def _move_point(self, at):
        x = claimed(self.book, at.way.t_c)
        there = at.code is not None
        for artist in (self.gap, self.ring):
            artist.set_visible(there)
        self.drop.set_data([x, x], [self.y_span[0], x if there else self.y_span[1]])
        if there:
            reading = float(np.clip(claimed(self.book, at.reading_c), *self.y_span))
            self.gap.set_data([x, x], [x, reading])
            self.ring.set_data([x], [reading])

    def _move_numbers(self, at):
        there = at.code is not None
        sign = self.book.sign
        numbers = {
            "temperature": self.book.temperature(at.way.t_c),
            "code": str(at.code) if there else "none",
            "reading": f"{tidy(claimed(self.book, at.reading_c), 1)} {sign}" if there else "none",
            "off by": self._off(at) if there else "none",
        }
        for name, artist in self.values.items():
            artist.set_text(numbers[name])
        off = there and not self.y_span[0] <= claimed(self.book, at.reading_c) <= self.y_span[1]
        away = "off the chart" if self.look.room else "reading, off the chart"
        self.reading_name.set_text(away if off else "reading")

    def _off(self, at):
        return self.book.span(at.error_c, 2 if abs(at.error_c) < 1 else 1, signed=True)

    # ---- the lens

    def _lens(self):
        """Axes that show a few degrees around the ring; the lines keep their styles."""
        reach = self.book.span_from_celsius(LENS_C)
        axes = self.figure.add_axes((self.panel_x, 0.04, 0.28, 0.34))
        axes.set(xlim=(-reach, reach), ylim=(-reach, reach), xticks=[], yticks=[])
        for side in axes.spines.values():
            side.set_zorder(9)
            self.moving(side)
        words = f"lens: {self.book.span(LENS_C, 0)} either way"
        self.text(axes, -reach, 1.08 * reach, words, va="bottom")
        line = self.look.line
        self.lens_true = self.plotted(axes, color=INK, lw=line * 0.7, ls=(0, (5, 3)), zorder=5.5)
        self.lens_curve = self.plotted(axes, color=ORANGE, lw=line, zorder=5)
        style = {"marker": "o", "ms": 4 * line, "mfc": "none", "mec": INK, "mew": line, "ls": "", "zorder": 7}
        self.lens_ring = self.plotted(axes, **style)
        return axes

    def _move_lens(self, at):
        there = at.code is not None
        for artist in (self.lens_true, self.lens_curve, self.lens_ring):
            artist.set_visible(there)
        if not there:
            return
        x0, y0 = claimed(self.book, at.way.t_c), claimed(self.book, at.reading_c)
        x, y = self._with_gaps(at.near)
        ends = [claimed(self.book, end) for end in at.way.sensor_c]
        self.lens_curve.set_data(x - x0, y - y0)
        self.lens_true.set_data([end - x0 for end in ends], [end - y0 for end in ends])
        self.lens_ring.set_data([0], [0])


GRID = 1321  # temperatures of the curve: an eighth of a degree apart over the scenario's sensor
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


def compute(design, t_c, language, arithmetic, change):
    """The loop at one temperature [degC] and over the sensor's range.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0, "c", "integers", "product16")
    >>> at.code, at.now.values(at.code)["product"], at.reading_c, at.right_c
    (153, -21432, -51.8, 25.0)
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


# ---- words


def words(at, book):
    """What the loop prints and why, in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0, "c", "integers", "product16"), Book()))
    At 25.0 °C the code is 153. 153 × 5000 = 765000 does not fit in 16 bits; −21432 is commonly left. The loop
    prints −51.8 degC, −61.2 degF in place of 25.0 degC, 77.0 degF: off by −76.8 °C.
    """
    way = at.way
    if at.code is None:
        return (
            f"At {book.temperature(way.t_c)} there is no code, and the loop has nothing to print."
            + warning(way.problems(book.temperature))
        )
    told = f"At {book.temperature(way.t_c)} the code is {at.code}. {_why(at)}{_prints(at, book)}"
    return told + warning(way.problems(book.temperature))


def _prints(at, book):
    now, right = (_signs(loop.printed(at.code)).replace("  ", ", ") for loop in (at.now, at.right))
    if not at.now.changed:
        return f"The loop prints {now}: off by {gap(at, book)}."
    if now == right:
        return (
            f"The loop still prints {now}: here the print alone shows nothing. It is off by {gap(at, book)}."
        )
    whose = "its °F is " if at.now.change == "span" else ""
    return f"The loop prints {now} in place of {right}: {whose}off by {gap(at, book)}."


def gap(at, book):
    """Reading minus true temperature as text, with a hundredth where it is small."""
    return book.span(at.error_c, 2 if abs(at.error_c) < 1 else 1, signed=True)


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


def facts(at, book):
    """Rows of the number table."""
    n = loop_numbers(at.way.chain)
    there = at.code is not None
    ends_c = np.nanmin(at.curve[1]), np.nanmax(at.curve[1])
    low, high = (f"{tidy(claimed(book, end), 1)} {book.sign}" for end in ends_c)
    found = [
        ("true temperature", book.temperature(at.way.t_c)),
        ("code", str(at.code) if there else "none"),
        ("printed, as it should be", _signs(at.right.printed(at.code)) if there else "none"),
        ("printed, as the loop is", _signs(at.now.printed(at.code)) if there else "none"),
        ("reading minus true temperature", gap(at, book) if there else "none"),
        ("changed line sets", at.now.changed or "nothing: no line is changed"),
        ("readings over the sensor's range", f"{low} to {high}"),
        ("one step", book.span(at.way.step_c, 3)),
        ("highest code whose product fits in 16 bits", str(min(32767 // n.supply_mv, n.count - 1))),
    ]
    return found + [("mind", problem) for problem in at.way.problems(book.temperature)]


PLAN = Plan(
    title="The loop walk: from the code back to degrees",
    controls=(TEMPERATURE, LANGUAGE, ARITHMETIC, CHANGE),
    compute=compute,
    picture=lambda look, book: LoopPicture(look, book),
    words=words,
    facts=facts,
    table=table,
)


def explorer(design=None, **start):
    """The explorer of chapter 04; `design` from a design file, `start` values of controls by name.

    >>> explorer(change="offset").result().now.printed(153)
    '75.0 degC  166.9 degF'
    """
    return Explorer(PLAN, design, **start)
