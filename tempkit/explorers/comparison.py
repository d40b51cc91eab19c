"""Chapter 12: which sensor for which job. Whole designs by the same error budget, side by side."""

import html
from dataclasses import dataclass

import ipywidgets

from tempkit import book as books
from tempkit.book import tidy
from tempkit.chain import Design
from tempkit.draw import BLUE, ORANGE, Axis, Bars, Chart, Charts, Look, Markers, Shown
from tempkit.explorers.stage import STYLE, paragraph
from tempkit.uncertainty import chain_budget

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
    (5.9, 'reference voltage')
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


# ---- the picture: for each design a line; a ring at 25 degC, a bar over all temperatures, a cross for what is an error

SPAN_C = (0.2, 20.0)


def _known(each):
    return [u for u in each.expanded_c if u is not None]


def _span_c(rows):
    """The usual scale, made wide enough for every design."""
    shown = [u for each in rows for u in (*_known(each), abs(each.off_c) if each.off else 1.0)]
    return min(SPAN_C[0], *shown), max(SPAN_C[1], *shown)


def _bars(rows):
    up = 0.016 * len(rows)
    return [(min(_known(each)), max(_known(each)), y - up, y + up) for y, each in enumerate(rows[::-1])]


def _middles(rows):
    return [each.middle_c for each in rows[::-1]], range(len(rows))


def _errors(rows):
    off = [(abs(each.off_c), y) for y, each in enumerate(rows[::-1]) if each.off]
    return [c for c, _ in off], [y for _, y in off]


def _charts(at_c, book):
    low, high, middle = tidy(book.from_celsius(at_c[0]), 0), *(book.temperature(t_c, 0) for t_c in (at_c[-1], MIDDLE_C))
    names = Axis(
        span=lambda rows: (-0.6, len(rows) - 0.4),
        ticks=lambda rows: tuple((y, each.name) for y, each in enumerate(rows[::-1])),
    )
    marks = (
        Bars(_bars, {"facecolor": BLUE, "lw": 0}, f"{low} to {high}"),
        Markers(_middles, key=middle),
        Markers(_errors, "X", face=ORANGE, key="off besides"),
    )
    return Charts(Chart(Axis("U: a reading may be off by", span=_span_c, scale="span", log=True), names, marks))


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
        self.picture = _charts(self.rows[0].at_c, self.book)(Look(room), self.book)
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
    At 25.0 °C the smallest expanded uncertainty is that of linear, ±5.92 °C; the largest that of linear, ±5.92 °C.
    """
    if MIDDLE_C not in at_c:
        raise ValueError(f"the temperatures {', '.join(map(str, at_c))} degC lack {MIDDLE_C:g} degC: add it")
    rows = tuple(row(name, design, at_c) for name, design in designs.items())
    return SideBySide(rows, book or books.current())
