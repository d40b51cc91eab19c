"""The picture of a cold junction: the curve on which voltages are added, and the error of adding temperatures."""

import numpy as np

from tempkit.book import Book, tidy
from tempkit.explorers.spec_lens import DASHES, DOTS, dot
from tempkit.pictures import BLUE, INK, ORANGE, PAPER, PINK, QUIET, Picture
from tempkit.thermocouple import reference_mv

SHOWN_C = (-100.0, 400.0)
LEAST_MV = -6.0
MOST_C = {"K": 4.0, "J": 5.0, "T": 15.0}
# (left, bottom, width, height) of both charts; x of heads, y of names and of values [px]
DESK = ((72, 58, 470, 362), (640, 58, 300, 362), (20, 330, 640), (488, 468))
ROOM = ((104, 88, 470, 296), (690, 88, 340, 296), (14, 400, 720), (None, 470))


class JunctionPicture(Picture):
    """Shows a `tempkit.explorers.junction.Junction`.

    Left: the curve of the thermocouple against 0 degC. The dashed bar is what the wires give, set on the cold
    junction's voltage: its top is on the curve at the hot junction. The dotted bar is the same set on 0, as a program
    has it that turns it to degrees alone. Right: the error of adding temperatures, over the hot junction.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.boxes = ROOM[:2] if self.look.room else DESK[:2]
        self.heads, self.head_y = (ROOM if self.look.room else DESK)[2:]

    def frame(self, at):
        return at.couple.letter

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        ends = [self.book.from_celsius(t_c) for t_c in SHOWN_C]
        self.most_mv = 1.12 * float(reference_mv(frame, SHOWN_C[1]))
        most, hot = self.book.span_from_celsius(MOST_C[frame]), f"hot junction, {self.book.sign}"
        name = f"temperature, {self.book.sign}"
        self.axes = self.chart(self.boxes[0], name, "against 0 °C, mV", ends, (LEAST_MV, self.most_mv))
        if self.book.scale == "degF":
            self.axes.set_ylabel("against 32 °F, mV")
        self.errors = self.chart(self.boxes[1], hot, f"temperatures added: off, {self.book.sign}", ends, (-most, most))
        if self.look.room:
            self.errors.set_ylabel(f"added: off, {self.book.sign}")
        for axes in (self.axes, self.errors):
            axes.axhline(0, color=QUIET, lw=1.2, zorder=1.5)
            axes.axvline(self.book.from_celsius(0.0), color=QUIET, lw=1.2, zorder=1.5)
        curve_c = np.linspace(*SHOWN_C, 200)
        curve = {"color": BLUE, "lw": 1.2 * self.look.line, "zorder": 3}
        self.axes.plot(self.book.from_celsius(curve_c), reference_mv(frame, curve_c), **curve)
        self._movers_made(ends)
        self.lay_heads(self.heads, *self.head_y)

    def _movers_made(self, ends):
        self.ends, line = ends, self.look.line
        plot = self.axes.plot
        thin = {"color": QUIET, "lw": 1.2, "ls": DOTS}
        self.levels = [self.moving(plot([], [], zorder=4 + i / 10, **thin)[0]) for i in range(2)]
        self.bar = self.moving(plot([], [], color=INK, lw=1.6 * line, ls=DASHES, zorder=5)[0])
        self.alone = self.moving(plot([], [], color=ORANGE, lw=1.6 * line, ls=(0, (1, 1)), zorder=5.1)[0])
        mark = {"ls": "", "ms": (2.6 if self.look.room else 3.6) * line, "mew": line, "mfc": PAPER, "clip_on": False}
        self.cold = self.moving(plot([], [], marker="s", mec=PINK, zorder=6, **mark)[0])
        self.alone_end = self.moving(plot([], [], marker="^", mec=ORANGE, zorder=6.1, **mark)[0])
        self.hot = self.moving(plot([], [], **dot(self.look))[0])
        self.labels = [self.moving(self.text(self.axes, 0, 0, name)) for name in ("cold", "hot", "alone")]
        for i, label in enumerate(self.labels):
            label.set(zorder=8 + i / 10, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
        self.wrong = self.plotted(self.errors, color=ORANGE, lw=1.2 * line, zorder=5)
        self.way = self.plotted(self.errors, color=INK, lw=line, zorder=7)
        self.dot = self.plotted(self.errors, **dot(self.look))

    # ---- moving

    def move(self, at):
        x = self.book.from_celsius
        hot, cold, measured = (1000 * v for v in (at.hot_v, at.cold_v, at.measured_v))
        for level, y, to_c in zip(self.levels, (cold, measured), (at.t_c, at.forgotten_c), strict=True):
            level.set_data([x(min(0.0, at.cold_c, to_c)), x(max(at.cold_c, to_c))], [y, y])
        self.bar.set_data([x(at.t_c)] * 2, [cold, hot])
        self.alone.set_data([x(at.forgotten_c)] * 2, [0.0, measured])
        self.cold.set_data([x(at.cold_c)], [cold])
        self.hot.set_data([x(at.t_c)], [hot])
        self.alone_end.set_data([x(at.forgotten_c)], [measured])
        self._move_labels(at, hot, cold, measured)
        y, most = self.book.span_from_celsius(at.added_error_c), self.errors.get_ylim()[1]
        self.wrong.set_data(x(at.over_c), self.book.span_from_celsius(at.wrong_c))
        inside = abs(y) <= most and SHOWN_C[0] <= at.t_c <= SHOWN_C[1]
        self.way.set_data([x(at.t_c), x(at.t_c), self.ends[0]], [0, y, y])
        self.dot.set_data([x(at.t_c)], [y])
        self.dot.set_visible(inside)
        self.way.set_visible(inside)
        self._move_heads(at)

    def _move_labels(self, at, hot, cold, measured):
        """The warmer junction above the curve, the colder one below it; the third at the foot of its bar."""
        x, room = self.book.from_celsius, self.look.room
        up = (self.most_mv - LEAST_MV) * (0.07 if room else 0.05)
        side = 1 if measured >= 0 else -1
        above, below = "bottom", "top"
        if side < 0:
            above, below = below, above
        places = (
            (at.cold_c, cold - side * up, below),
            (at.t_c, hot + side * up, above),
            (at.forgotten_c, -side * up, below),
        )
        edge = 55.0 if room else 25.0
        for i, (label, (t_c, y, va)) in enumerate(zip(self.labels, places, strict=True)):
            t_c = min(max(t_c, SHOWN_C[0] + edge), SHOWN_C[1] - edge)
            label.set(x=x(t_c), y=min(max(y, LEAST_MV + 1.6 * up), self.most_mv - 1.6 * up), va=va, ha="center")
            far = abs(at.forgotten_c - at.cold_c) > 2.6 * edge
            label.set_visible(i < 2 or far)

    def _move_heads(self, at):
        book = self.book
        gives, off = f"{tidy(1e6 * at.measured_v, 0)} µV", book.span(at.added_error_c, 2, signed=True)
        if self.look.room:
            told = gives, f"right {book.temperature(at.right_c)}", f"added {off}"
        else:
            names = "the wires give", "voltages added", "temperatures added; off by"
            for artist, name in zip(self.names, names, strict=True):
                artist.set_text(name)
            told = gives, book.temperature(at.right_c), f"{book.temperature(at.added_c)}; {off}"
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)
