"""Chapter 12: which sensor for which job. Whole designs by the same error budget, side by side."""

import html
from dataclasses import dataclass

import ipywidgets

from tempkit import book as books
from tempkit.book import Book, tidy
from tempkit.chain import Design
from tempkit.draw import BLUE, INK, ORANGE, PAPER, Look, Picture, Shown
from tempkit.explorers.stage import STYLE, paragraph
from tempkit.uncertainty import chain_budget

# --- The picture of designs side by side: how far a reading may be off, a line for each design.

SPAN_C = (0.2, 20.0)
TICKS = (0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)
# (left, bottom, width, height) of the chart; y of the key and its places [px]
DESK = ((190, 58, 730, 390), (474, (190, 400, 640)))
ROOM = ((320, 88, 740, 322), (450, (14, 340, 690)))


class SidePicture(Picture):
    """Shows rows of `tempkit.explorers.side_by_side`: a scale by tenfolds of the expanded uncertainty.

    The ring is the uncertainty at 25 degC, the bar reaches over all temperatures of the table. A cross stands for what
    the program reads too much because it does not know its circuit: no uncertainty, an error.
    """

    def __init__(self, rows, look=None, book=None):
        super().__init__(look)
        self.rows, self.book = rows, book or Book()
        self.box, self.key = ROOM if self.look.room else DESK

    def build(self, frame):
        from matplotlib.ticker import NullLocator

        self.lay_page()
        span = [self.book.span_from_celsius(c) for c in self._span_c()]
        count = len(self.rows)
        name = f"a reading may be off by, {self.book.sign}"
        axes = self.axes = self.chart(self.box, name, "", span, (-0.6, count - 0.4))
        axes.set_xscale("log")
        ticks = [tick for tick in TICKS if span[0] <= tick <= span[1]]
        shown = [tick for tick in ticks if tick in (0.5, 1, 2, 5, 10)] if self.look.room else ticks
        axes.set_xticks(shown, [f"{tick:g}" for tick in shown])
        axes.xaxis.set_minor_locator(NullLocator())
        axes.set_yticks(range(count), [each.name for each in self.rows[::-1]])
        axes.tick_params(axis="y", length=0)
        for y, each in enumerate(self.rows[::-1]):
            self._row(each, y)
        self._key()

    def _span_c(self):
        """The usual scale, made wide enough for every design."""
        shown = [u for each in self.rows for u in (*each.expanded_c, each.off and abs(each.off_c)) if u]
        return min(SPAN_C[0], *shown), max(SPAN_C[1], *shown)

    def _row(self, each, y):
        line, span = self.look.line, self.book.span_from_celsius
        known = [span(u) for u in each.expanded_c if u is not None]
        self.axes.plot([min(known), max(known)], [y, y], color=BLUE, lw=2.4 * line, solid_capstyle="butt", zorder=3)
        self.axes.plot([span(each.middle_c)], [y], **self._ring())
        if each.off:
            self.axes.plot([span(abs(each.off_c))], [y], **self._cross())

    def _ring(self):
        line = self.look.line
        return {"marker": "o", "ms": 3.2 * line, "mfc": PAPER, "mec": INK, "mew": line, "ls": "", "zorder": 5}

    def _cross(self):
        line = self.look.line
        return {"marker": "X", "ms": 4 * line, "mfc": ORANGE, "mec": INK, "mew": line / 3, "ls": "", "zorder": 6}

    def _key(self):
        y, places = self.key
        line = self.look.line
        names = [self.book.temperature(25.0, 0), self._reach(), "off besides"]
        styles = (self._ring(), {"color": BLUE, "lw": 2.4 * line, "solid_capstyle": "butt"}, self._cross())
        for x, name, style in zip(places, names, styles, strict=True):
            across = [x, x + 40] if "lw" in style else [x + 20]
            self.page.plot(across, [y] * len(across), **style)
            self.text(self.page, x + 50, y, name if name != names[0] else f"U at {name}", va="center")

    def _reach(self):
        low, high = self.rows[0].at_c[0], self.rows[0].at_c[-1]
        return f"U, {self.book.temperature(low, 0)} to {self.book.temperature(high, 0)}"

    def move(self, rows):
        """Nothing moves: the designs are what they are."""


AT_C = (0.0, 25.0, 60.0, 100.0)
MIDDLE_C = 25.0
OWN_STYLE = """<style>
.tempkit-side .widget-html-content { flex: 1; min-width: 0; overflow-x: auto; }
.tempkit-side .tempkit-words td, .tempkit-side .tempkit-words th { padding-right: 0.7em; vertical-align: top; }
</style>"""
SYSTEMATIC_C = 0.5  # what the program does not know counts as a fault from here on


@dataclass(frozen=True)
class Row:
    """One design by its budget: expanded uncertainty [degC] at each temperature, None where it has none.

    `off_c` is what the program reads too much at the middle because it does not know its circuit [degC]; `largest`
    the name of the largest part of the budget there.
    """

    name: str
    design: Design
    at_c: tuple
    expanded_c: tuple
    off_c: float
    largest: str

    @property
    def range_c(self):
        """The sensor's range [degC]."""
        return tuple(self.design.chain.sensor.range_c)

    @property
    def tau_s(self):
        """The sensor's lag [s], None where the design does not say."""
        return self.design.response and self.design.response.tau_s

    @property
    def off(self):
        """True where that error counts as a fault."""
        return abs(self.off_c) >= SYSTEMATIC_C

    @property
    def needs(self):
        """What the board needs besides the sensor, in words."""
        return self.design.chain.circuit.needs(self.design.chain)

    @property
    def middle_c(self):
        """Expanded uncertainty at the middle [degC]."""
        return dict(zip(self.at_c, self.expanded_c, strict=True))[MIDDLE_C]


def row(name, design, at_c=AT_C):
    """A design by its budget at some temperatures [degC]: `Row`.

    >>> from tempkit.explorers.stage import north_bench
    >>> found = row("linear", north_bench())
    >>> round(found.middle_c, 1), found.largest
    (4.8, 'reference voltage')
    """
    budgets = [_budget(design, t_c) for t_c in at_c]
    middle = chain_budget(design, MIDDLE_C)
    return Row(
        name=name,
        design=design,
        at_c=tuple(at_c),
        expanded_c=tuple(each and each.expanded_c for each in budgets),
        off_c=-middle.correction_c,
        largest=max(middle.rows, key=lambda line: line.share).name.replace("degC", "°C"),
    )


def _budget(design, t_c):
    try:
        return chain_budget(design, t_c)
    except ValueError:
        return None


class SideBySide(Shown):
    """A picture and a table of designs, in words too. Make one with `side_by_side`."""

    def __init__(self, rows, book):
        self.rows, self.book = rows, book
        super().__init__([ipywidgets.HTML(layout={"width": "100%"})])
        self.add_class("tempkit-side")
        self.size(book.room)

    def size(self, room):
        """Draw anew in back-row size (`room` True) or desk size."""

        super().size(room)
        self.picture = SidePicture(self.rows, Look(room), self.book)
        self.children[0].value = STYLE + OWN_STYLE + self.static_html()

    def words(self):
        """The best, the worst and what is off, in sentences."""
        ranked = sorted(self.rows, key=lambda each: each.middle_c)
        best, worst = ranked[0], ranked[-1]
        told = (
            f"At {self.book.temperature(MIDDLE_C)} the smallest expanded uncertainty is that of {best.name}, "
            f"±{self.book.span(best.middle_c, 2)}; the largest that of {worst.name}, "
            f"±{self.book.span(worst.middle_c, 2)}."
        )
        for each in self.rows:
            if each.off:
                told += f" Besides, {each.name} is read off by {self.book.span(each.off_c, 2, signed=True)}."
        return told

    def static_html(self):
        picture = self.picture.show(self.rows).img(self.words())
        return picture + paragraph(self.words()) + self._tables()

    def _tables(self):
        """What each is worth, and what it takes."""
        at = [f"U at {self.book.temperature(t_c, 0)}" for t_c in self.rows[0].at_c]
        worth = f"All in {self.book.sign}; U is the expanded uncertainty, ± for 95 %"
        takes = f"Range in {self.book.sign}; the lag is that in air"
        return _table(worth, ("design", *at, "off besides"), map(self._worth, self.rows)) + _table(
            takes, ("design", "range", "lag, s", "needs", "largest part of U"), map(self._takes, self.rows)
        )

    def _worth(self, each):
        known = ["–" if u is None else self._span(u) for u in each.expanded_c]
        return each.name, *known, self._span(each.off_c, signed=True) if each.off else "–"

    def _takes(self, each):
        reach = " to ".join(tidy(self.book.from_celsius(end), 0) for end in each.range_c)
        return each.name, reach, "–" if each.tau_s is None else f"{each.tau_s:g}", each.needs, each.largest

    def _span(self, c, signed=False):
        return tidy(self.book.span_from_celsius(c), 2, signed)


def _table(caption, heads, rows):
    """A table in HTML: each row begins with the design's name."""
    head = "".join(f'<th scope="col">{html.escape(name)}</th>' for name in heads)
    lines = ""
    for name, *cells in rows:
        told = "".join(f"<td>{html.escape(cell)}</td>" for cell in cells)
        lines += f'<tr><th scope="row">{html.escape(name)}</th>{told}</tr>'
    return f'<div class="tempkit-words"><table><caption>{caption}</caption><tr>{head}</tr>{lines}</table></div>'


def side_by_side(designs, at_c=AT_C, book=None):
    """Designs by name, side by side, at temperatures [degC] that include 25 degC: `SideBySide`.

    Raises `ValueError` where 25 degC is not among them, or a design has no budget there.

    >>> from tempkit.explorers.stage import north_bench
    >>> print(side_by_side({"linear": north_bench()}, book=books.Book()).words())
    At 25.0 °C the smallest expanded uncertainty is that of linear, ±4.82 °C; the largest that of linear, ±4.82 °C.
    """
    if MIDDLE_C not in at_c:
        raise ValueError(f"the temperatures {', '.join(map(str, at_c))} degC lack {MIDDLE_C:g} degC: add it")
    rows = tuple(row(name, design, at_c) for name, design in designs.items())
    return SideBySide(rows, book or books.current())
