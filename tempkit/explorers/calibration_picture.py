"""The picture of chapter 09: correction against reading, with points, line, band, and the place asked."""

import numpy as np

from tempkit.explorers.spec_lens import DASHES, DOTS, HATCH, dot, rectangle
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, PAPER, QUIET, Picture

TOP_C = 5.0
STRIP_C = 0.4
MARKERS = ("o", "s", "^")
# (left, bottom, width, height) of the chart, x of the three heads, y of their names and of their values [px]
DESK = ((84, 62, 846, 352), (20, 470, 716), (488, 464))
ROOM = ((104, 88, 946, 288), (14, 520, 800), (474, 438))


class CalibrationPicture(Picture):
    """Shows a `tempkit.explorers.calibration_line.Calibrated`.

    Filled marks with bars (two standard uncertainties) are points used, hollow ones are not. The blue line is
    the correction, its shaded band between dashes the expanded uncertainty. The strip at the foot is solid
    between the points used and hatched beyond. The ink line goes from the reading to its correction.
    """

    def __init__(self, look=None, book=None):
        from tempkit.book import Book

        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, at):
        return float(at.line[0][0]), float(at.line[0][-1])

    def build(self, frame):
        self.lay_page()
        self.lay_heads(self.heads, *self.head_y)
        self._chart([self._x(t_c) for t_c in frame])

    def _x(self, t_c):
        return self.book.from_celsius(t_c)

    def _y(self, span_c):
        return self.book.span_from_celsius(span_c)

    def _chart(self, ends):
        top = self._y(TOP_C)
        strip_words = "" if self.look.room else " (foot: solid between the points, hatched beyond)"
        names = f"reading, {self.book.sign}{strip_words}", f"correction, {self.book.sign}"
        axes = self.axes = self.chart(self.box, *names, ends, (-top, top))
        step = 4 if self.book.scale == "degF" else 2
        axes.set_yticks([step * count for count in (-2, -1, 0, 1, 2)])
        self.ends, self.foot, strip = ends, -top, self._y(STRIP_C)
        axes.axhline(0, color=QUIET, lw=1.2, zorder=1.5)
        rectangle(axes, ends[0], -top, ends[1] - ends[0], strip, zorder=1.6, **HATCH)
        self.covered = self.moving(rectangle(axes, 0, -top, 0, strip, facecolor=GREEN, lw=0, zorder=2))
        self._line(axes)
        self._points(axes, top)
        line = self.look.line
        self.way = self.plotted(axes, color=INK, lw=line, zorder=7)
        bar = {"color": INK, "lw": 2 * line, "zorder": 7.2, "solid_capstyle": "butt"}
        self.bar = self.plotted(axes, **bar)
        self.dot = self.plotted(axes, **dot(self.look))

    def _line(self, axes):
        from matplotlib.patches import Polygon

        line = self.look.line
        self.band = self.moving(
            axes.add_patch(Polygon([(0, 0)] * 3, facecolor=BLUE, alpha=0.22, lw=0, zorder=2.5))
        )
        edge = {"color": BLUE, "lw": line * 0.6, "ls": DASHES}
        self.edges = [self.plotted(axes, zorder=3 + i / 10, **edge) for i in range(2)]
        self.line = self.plotted(axes, color=BLUE, lw=line * 1.2, zorder=5)

    def _points(self, axes, top):
        line = self.look.line
        leader = {"color": QUIET, "lw": 1.2, "ls": DOTS}
        self.leaders = [self.plotted(axes, zorder=4 + i / 10, **leader) for i in range(3)]
        bar = {"color": ORANGE, "lw": line}
        self.bars = [self.plotted(axes, zorder=5.2 + i / 10, **bar) for i in range(3)]
        mark = {"ls": "", "ms": 4 * line, "mec": ORANGE, "mew": line}
        self.marks = [
            self.plotted(axes, marker=marker, zorder=6 + i / 10, **mark)
            for i, marker in enumerate(MARKERS)
        ]
        self.labels = [self.moving(self._label(axes, i, top)) for i in range(3)]

    def _label(self, axes, i, top):
        """Warm water is named at the foot, the two others at the top, so that no two names ever meet."""
        y = -0.88 * top if i == 1 else 0.98 * top
        words = ("ice", "warm", "boiling") if self.look.room else ("ice", "warm water", "boiling water")
        place = {"ha": "center", "va": "bottom" if i == 1 else "top", "zorder": 8 + i / 10}
        label = self.text(axes, 0, y, words[i], **place)
        label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})
        return label

    # ---- moving

    def move(self, at):
        self._move_heads(at)
        low, high = (self._x(end) for end in at.span_c)
        self.covered.set(x=low, width=high - low)
        self._move_line(at)
        for i in range(3):
            self._move_point(at, i)
        self._move_way(at)

    def _move_heads(self, at):
        book = self.book
        names = "correction ± U", "corrected", "boiling point"
        if not self.look.room:
            names = f"correction at {book.temperature(at.t_c)}, ± U", "corrected reading"
            names += (f"water boils at {at.altitude_m:.0f} m at",)
        for artist, name in zip(self.names, names, strict=True):
            artist.set_text(name)
        correction = book.span(at.correction_c, 2, signed=True).removesuffix(f" {book.sign}")
        self.values[0].set_text(f"{correction} ± {book.span(at.expanded_c, 2)}")
        self.values[1].set_text(book.temperature(at.corrected_c, 2))
        self.values[2].set_text(book.temperature(at.true_c[2], 2))

    def _move_line(self, at):
        readings, corrections, expanded = at.line
        x = self._x(readings)
        lower, middle, upper = (self._y(corrections + sign * expanded) for sign in (-1, 0, 1))
        self.line.set_data(x, middle)
        for edge, y in zip(self.edges, (lower, upper), strict=True):
            edge.set_data(x, y)
        self.band.set_xy(np.column_stack([np.append(x, x[::-1]), np.append(upper, lower[::-1])]))

    def _move_point(self, at, i):
        x = self._x(at.readings_c[i])
        y, reach = self._y(at.true_c[i] - at.readings_c[i]), self._y(2 * at.u_c[i])
        self.marks[i].set_data([x], [y])
        self.marks[i].set_markerfacecolor(ORANGE if i in at.used else PAPER)
        self.bars[i].set_data([x, x], [y - reach, y + reach])
        self.leaders[i].set_data([x, x], [y, self.labels[i].get_position()[1]])
        self.labels[i].set_x(x)

    def _move_way(self, at):
        """From the reading to its correction and across to the scale; beyond it, ends at the edge."""
        x, y, reach = self._x(at.t_c), self._y(at.correction_c), self._y(at.expanded_c)
        inside = abs(y) <= -self.foot
        across = [self.ends[0], y] if inside else [x, y]
        self.way.set_data([x, x, across[0]], [self.foot, y, across[1]])
        self.bar.set_data([x, x], [y - reach, y + reach])
        self.dot.set_data([x], [y])
        self.dot.set_visible(inside)
