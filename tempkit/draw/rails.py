"""The rails: four number lines under each other, and one ink line that drops through them."""

from dataclasses import dataclass

import numpy as np

from tempkit.book import Book, tidy
from tempkit.draw.chart import ON_PAPER
from tempkit.draw.pictures import BLUE, GREEN, INK, ORANGE, PAPER, PINK, QUIET, Picture


@dataclass(frozen=True)
class Rail:
    """A number line: the key of the `fact` that is told at its left, its colour, and on which side its numbers stand.

    `handle` names the control that a reader moves by taking the ring on it, `end_handle` by taking its end.
    """

    fact: str
    color: str
    above: bool
    handle: str = ""
    end_handle: str = ""


# Numbers stand on the side that the ink line leaves straight or not at all.
RAILS = (
    Rail("t", BLUE, True, handle="t_c"),
    Rail("volts", ORANGE, False),
    Rail("code", GREEN, True, end_handle="true_v"),
    Rail("reading", PINK, False),
)
T, VOLTS, CODE, READING = RAILS
GAP = "off"  # the fact told at the sideways gap
MOST_MARKS = 9


class Rails(Picture):
    """Temperature, voltage, code and reading as rails; shows a `tempkit.chain.Walk` with the `facts` told of it.

    The code rail lies under the voltage rail at the same scale, so the ink line drops straight and the true
    reference stretches the code rail. The reading rail has the scale of the temperature rail, so with a rightly
    assumed reference the reading falls under the temperature; any error is the sideways gap. Filled: what the
    sensor uses. Outlined: what the converter sees besides. Hatched: what the next step cannot see. At a desk a lens
    stands at the right.
    """

    def __init__(self, facts, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.facts = {fact.key: fact for fact in facts}
        (width, height), body = self.look.size, self.look.body
        self.left = 14 + 5.5 * self.look.big + 1.2 * body
        self.right = width * (1 if self.look.room else 0.7) - 1.45 * body  # half the last code stands out
        self.thick = 4.2 * self.look.line
        foot = self.thick / 2 + 8 + 1.5 * body
        self.y = dict(zip(RAILS, np.linspace(height - foot, foot, len(RAILS)), strict=True))

    def frame(self, walk):
        return walk.t_rail_c, walk.v_rail

    def build(self, frame):
        self.t_span, self.v_span = frame
        width, height = self.look.size
        axes = self.axes = self.figure.add_axes((0, 0, 1, 1))
        axes.set(xlim=(0, width), ylim=(0, height))
        axes.axis("off")
        self.bars = {rail: self._bars(rail) for rail in RAILS}
        self.values = {rail: self._name(rail) for rail in RAILS}
        marks = self._t_marks()
        for rail in (T, READING):
            places = [self.x_t(self.book.to_celsius(mark)) for mark in marks]
            self._ticks(rail, places, [tidy(mark, 0) for mark in marks])
        volts = np.arange(0, self.v_span[1] + 1e-9, 1.0 if self.v_span[1] < 8 else 2.0)
        self.volt_labels = self._ticks(VOLTS, [self.x_v(v) for v in volts], [f"{v:g}" for v in volts])
        self.moving(*self.volt_labels)
        self._code_marks()
        self._ink()
        self.lens = None if self.look.room else Lens(self)

    # ---- places

    def x_t(self, t_c):
        low, high = self.t_span
        return self.left + (self.right - self.left) * (t_c - low) / (high - low)

    def x_v(self, v):
        low, high = self.v_span
        return self.left + (self.right - self.left) * (v - low) / (high - low)

    def _t_marks(self):
        """Round temperatures in the reader's scale."""
        low, high = (self.book.from_celsius(end) for end in self.t_span)
        step = (50 if high - low < 400 else 100) if self.look.room or self.book.scale == "degF" else 25
        step *= 2 if self.look.room and self.book.scale == "degF" else 1
        while (high - low) / step > MOST_MARKS:
            step *= 2
        return [mark for mark in range(-500, 2500, step) if low <= mark <= high]

    # ---- parts that stand still

    def _name(self, rail):
        """The fact's name above its value, at the left of its rail."""
        y, body = self.y[rail], self.look.body
        self.text(self.axes, 14, y + 0.45 * body, self.facts[rail.fact].head, va="bottom")
        return self.moving(self.text(self.axes, 14, y + 0.1 * body, size=self.look.big, bold=True, va="top"))

    def _label_place(self, rail):
        up = 1 if rail.above else -1
        edge = self.y[rail] + up * self.thick / 2
        return (edge, edge + 6 * up), {"y": edge + 8 * up, "va": "bottom" if up > 0 else "top"}

    def _label(self, rail, x=0.0, words=""):
        place = self._label_place(rail)[1]
        label = self.text(self.axes, x, words=words, ha="center", zorder=5, **place)
        label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.5})
        return label

    def _ticks(self, rail, places, labels):
        for x in places:
            self.axes.plot([x, x], self._label_place(rail)[0], color=INK, lw=1.2)
        return [self._label(rail, x, words) for x, words in zip(places, labels, strict=True)]

    # ---- parts that move

    def _bars(self, rail):
        """Three lots of a rail: filled, outlined, hatched; each a list of two rectangles, left and right."""
        from matplotlib.patches import Rectangle

        styles = {
            "filled": {"facecolor": rail.color, "edgecolor": rail.color},
            "outlined": {"facecolor": PAPER, "edgecolor": rail.color},
            "hatched": {"facecolor": PAPER, "edgecolor": QUIET, "hatch": "////"},
        }
        y = self.y[rail] - self.thick / 2
        bars = {}
        for zorder, (name, style) in enumerate(reversed(styles.items()), 2):
            pair = [Rectangle((0, y), 0, self.thick, lw=1.2, zorder=zorder, visible=False, **style) for _ in range(2)]
            for bar in pair:
                self.axes.add_patch(bar)
            self.moving(*pair)
            bars[name] = pair
        return bars

    def _code_marks(self):
        self.code_lines = self.plotted(self.axes, color=INK, lw=1.2)
        self.code_labels = [self.moving(self._label(CODE)) for _ in range(5)]
        y = self.y[VOLTS] + self.thick / 2 + 5
        self.beyond = self.moving(self.text(self.axes, 0, y, "beyond the reference", ha="right", va="bottom"))

    def _ink(self):
        line = self.look.line
        self.line = self.plotted(self.axes, color=INK, lw=line, zorder=6, solid_joinstyle="round")
        style = {"marker": "o", "ms": 4 * line, "mfc": PAPER, "mec": INK, "mew": line, "ls": "", "zorder": 7}
        self.dots = self.plotted(self.axes, **style)
        y = self.y[READING]
        self.drop = self.plotted(self.axes, color=QUIET, lw=line * 0.6, ls=(0, (2, 3)), zorder=1)
        self.gap = self.plotted(self.axes, color=INK, lw=line * 2, solid_capstyle="butt", zorder=8)
        self.gap_label = self.moving(
            self.text(self.axes, 0, y + self.thick, size=self.look.gap, bold=True, va="bottom")
        )
        self.gap_label.set_zorder(9)
        self.gap_label.set_bbox(ON_PAPER)

    def move(self, walk):
        self._move_bars(walk)
        self._move_code_marks(walk)
        self._move_ink(walk)
        if self.lens:
            self.lens.move(walk)

    def _set(self, rail, name, *spans):
        for bar, (low, high) in zip(self.bars[rail][name], [*spans, (0, 0), (0, 0)], strict=False):
            bar.set(x=low, width=max(high - low, 0), visible=high > low)

    def _move_bars(self, walk):
        low, high = (self.x_t(end) for end in walk.sensor_c)
        for rail in (T, READING):
            self._set(rail, "filled", (low, high))
            self._set(rail, "hatched", (self.left, low), (high, self.right))
        end = min(self.x_v(walk.reference_v), self.right)
        used = [np.clip(self.x_v(v), self.left, end) for v in walk.signal_v]
        for rail in (VOLTS, CODE):
            self._set(rail, "filled", tuple(used))
            self._set(rail, "outlined", (self.left, end))
        self._set(VOLTS, "hatched", (end, self.right))
        self.beyond.set(x=self.right, visible=self.right - end > 12 * self.look.body)

    def _move_code_marks(self, walk):
        top = walk.codes - 1
        end = self.x_v(walk.reference_v)
        parts = (0, 0.25, 0.5, 0.75) if end - self.left > 14 * self.look.body else (0,)
        shown = [(self.x_v(part * walk.reference_v), f"{part * walk.codes:g}") for part in parts] + [(end, f"{top}")]
        if walk.codes < 8:
            shown = [shown[0], shown[-1]]
        low_y, high_y = self._label_place(CODE)[0]
        self.code_lines.set_data(
            [place for x, _ in shown for place in (x, x, np.nan)], [low_y, high_y, np.nan] * len(shown)
        )
        for label in self.code_labels:
            label.set_visible(False)
        for label, (x, words) in zip(self.code_labels, shown, strict=False):
            label.set(x=x, text=words, visible=True)
        self._clear_the_way(walk)

    def _clear_the_way(self, walk):
        """Hide the labels that the straight part of the ink line would strike out."""
        ink_x = -1e9 if walk.volts is None else min(self.x_v(walk.volts), self.x_v(walk.reference_v))
        for label in self.volt_labels:
            label.set_visible(True)
        for label in [*self.volt_labels, *self.code_labels]:
            reach = 4 + 0.33 * self.look.body * len(label.get_text())
            if abs(label.get_position()[0] - ink_x) < reach:
                label.set_visible(False)

    def _move_ink(self, walk):
        places = [self.x_t(walk.t_c)]
        if walk.volts is not None:
            places.append(np.clip(self.x_v(walk.volts), self.left, self.right))
            places.append(min(places[1], self.x_v(walk.reference_v)))
            places.append(np.clip(self.x_t(walk.reading_c), self.left, self.right))
        points = [(x, self.y[rail]) for x, rail in zip(places, RAILS, strict=False)]
        self.line.set_data(*zip(*points, strict=True))
        self.dots.set_data(*zip(*points, strict=True))
        for rail, value in self.values.items():
            value.set_text(self.facts[rail.fact].value(walk, self.book))
        self._move_gap(walk)

    def _move_gap(self, walk):
        for artist in (self.gap, self.gap_label):
            artist.set_visible(walk.volts is not None)
        x_true = self.x_t(walk.t_c)
        self.drop.set_data([x_true, x_true], [self.y[T], self.y[READING]])
        if walk.volts is None:
            return
        x_reading = np.clip(self.x_t(walk.reading_c), self.left, self.right)
        y = self.y[READING]
        self.gap.set_data([x_true, x_reading], [y, y])
        words = f"{self.facts[GAP].head} {self.facts[GAP].value(walk, self.book)}"
        right_side = max(x_true, x_reading) + 14
        fits = right_side + 0.62 * len(words) * self.look.gap < self.right + 20
        x, side = (right_side, "left") if fits else (min(x_true, x_reading) - 14, "right")
        self.gap_label.set(x=x, text=words, ha=side)


class Lens:
    """A few steps of the staircase, enlarged, with the step of the present code in the middle."""

    def __init__(self, rails):
        self.rails = rails
        axes = self.axes = rails.figure.add_axes((0.735, 0.17, 0.25, 0.6))
        axes.set(xlim=(-2.0, 3.0), ylim=(-2.6, 2.6), xticks=[], yticks=[])
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        for side in ("left", "bottom"):
            axes.spines[side].set_color(INK)
            axes.spines[side].set_zorder(9)
            rails.moving(axes.spines[side])
        rails.text(axes, -2.0, 3.3, "lens: single steps", va="bottom", bold=True)
        rails.text(axes, -2.0, 2.75, "code", va="bottom")
        rails.text(axes, 3.0, -3.15, f"temperature, {rails.book.sign}", ha="right", va="top")
        self.stairs = rails.moving(axes.plot([], [], color=GREEN, lw=2.5, zorder=4)[0])
        self.drop = rails.moving(axes.plot([], [], color=INK, lw=1.5, ls=(0, (2, 3)), zorder=3)[0])
        style = {
            "marker": "o",
            "ms": 10,
            "mfc": PAPER,
            "mec": INK,
            "mew": 2.5,
            "ls": "",
            "zorder": 10,
            "clip_on": False,
        }
        self.dot = rails.moving(axes.plot([], [], **style)[0])
        self.codes = [rails.moving(rails.text(axes, -2.1, y, ha="right", va="center")) for y in (-1, 0, 1)]
        sides = ((-0.05, "right"), (1.05, "left"))
        self.edges = [rails.moving(rails.text(axes, x, -2.7, ha=side, va="top")) for x, side in sides]
        self.size = rails.moving(rails.text(axes, 0.5, 2.25, ha="center", va="center"))
        self.none = rails.moving(rails.text(axes, 0.5, 0, "no step here", ha="center", va="center"))

    def move(self, walk):
        there = walk.volts is not None
        self.none.set_visible(not there)
        for artist in (self.stairs, self.drop, self.dot, self.size, *self.codes, *self.edges):
            artist.set_visible(there)
        if there:
            self._move(walk)

    def _move(self, walk):
        falls = walk.edges_c[0] > walk.edges_c[1]  # warmer to the right all the same: the stairs lead down
        place = float(np.clip(1 - walk.place_in_step if falls else walk.place_in_step, -1.9, 2.9))
        levels = np.clip(walk.code + np.arange(-2, 3), 0, walk.codes - 1) - walk.code
        x = np.repeat(np.arange(-2, 4), 2)[1:-1]
        self.stairs.set_data(1 - x if falls else x, np.repeat(levels, 2))
        self.dot.set_data([place], [0])
        self.drop.set_data([place, place], [-2.6, 0])
        for label, offset in zip(self.codes, (-1, 0, 1), strict=True):
            code = walk.code + offset
            label.set(text=f"{code}", visible=0 <= code < walk.codes)
        for label, edge in zip(self.edges, sorted(walk.edges_c), strict=True):
            label.set_text(tidy(self.rails.book.from_celsius(edge), 2))
        self.size.set_text(f"one step: {self.rails.book.span(walk.step_c, digits=3 if walk.step_c < 1 else 1)}")
