"""The picture of designs side by side: how far a reading may be off, a line for each design."""

from tempkit.book import Book
from tempkit.pictures import BLUE, INK, ORANGE, PAPER, Picture

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
