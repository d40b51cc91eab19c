"""The picture of chapter 04: what the loop claims against the true temperature, beside the right line."""

import numpy as np

from tempkit.book import tidy
from tempkit.pictures import INK, ORANGE, PAPER, QUIET, Picture

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
