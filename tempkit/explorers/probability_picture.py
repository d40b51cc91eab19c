"""The picture of the odds: probability of alarm above, how often the bench is there and what goes wrong below."""

import numpy as np

from tempkit.book import Book
from tempkit.explorers.spec_lens import DASHES, dot
from tempkit.pictures import BLUE, INK, PAPER, PINK, QUIET, Picture

SCALE_C = (14.0, 32.0)
TALL = 1.12  # height of the lower chart in highest densities
# (left, bottom, width, height) of both charts; x of heads; y of names and values [px]
DESK = ((92, 250, 848, 170), (92, 58, 848, 168), (20, 350, 640), (488, 466))
ROOM = ((138, 268, 914, 150), (138, 88, 914, 150), (14, 380, 730), (None, 472))


class ProbabilityPicture(Picture):
    """Shows an `alarm_probability.Odds`.

    Above: probability of alarm as set, and dashed with bare limits. Below: how often the bench is at each temperature;
    filled the part that is a missed alarm, hatched the part that is a false one; dashed both with bare limits. Ink
    lines stand at the limits.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        self.ends = [float(self.book.from_celsius(end)) for end in SCALE_C]
        self.axes = self.chart(self.boxes[0], "", "P(alarm)", self.ends, (0, 1.04))
        self.axes.set_yticks([0, 0.5, 1])
        self.axes.tick_params(axis="x", labelbottom=False)
        label = f"true temperature, {self.book.sign}"
        self.often = self.chart(self.boxes[1], label, "how often", self.ends, (0, TALL))
        self.often.set_yticks([])
        self._areas()
        self._lines()
        self.lay_heads(self.heads, *self.head_y)

    def _areas(self):
        from matplotlib.patches import Polygon

        nothing = np.zeros((3, 2))
        false = {"facecolor": PAPER, "edgecolor": INK, "hatch": "//////", "lw": 0, "zorder": 2}
        missed = {"facecolor": PINK, "edgecolor": "none", "lw": 0, "zorder": 2.5}
        self.false = self.moving(self.often.add_patch(Polygon(nothing, **false)))
        self.missed = self.moving(self.often.add_patch(Polygon(nothing, **missed)))

    def _lines(self):
        line = self.look.line
        thin = {"color": INK, "lw": 0.5 * line}
        self.limits = [self.plotted(axes, zorder=3, **thin) for axes in (self.axes, self.often) for _ in range(2)]
        self.bare = self.plotted(self.axes, color=QUIET, lw=0.8 * line, ls=DASHES, zorder=4)
        self.set = self.plotted(self.axes, color=BLUE, lw=line, zorder=5)
        self.wrong = self.plotted(self.often, color=QUIET, lw=0.8 * line, ls=DASHES, zorder=3.5)
        self.density = self.plotted(self.often, color=INK, lw=0.8 * line, zorder=4)
        self.drop = self.plotted(self.axes, color=INK, lw=line, zorder=6)
        self.here = self.plotted(self.axes, **dot(self.look))

    # ---- moving

    def move(self, odds):
        x = self.book.from_celsius(odds.true_c)
        self.bare.set_data(x, odds.bare)
        self.set.set_data(x, odds.guarded)
        self.bare.set_visible(bool(odds.level))
        height = odds.density / (odds.density.max() or 1.0)
        self.density.set_data(x, height)
        outside = odds.outside(odds.true_c)
        self.wrong.set_data(x, height * np.where(outside, 1 - odds.bare, odds.bare))
        self.wrong.set_visible(bool(odds.level))
        self.missed.set_xy(_under(x, height * (1 - odds.guarded) * outside))
        self.false.set_xy(_under(x, height * odds.guarded * ~outside))
        for i, limit in enumerate((odds.alarm.low_c, odds.alarm.high_c)):
            for line in (self.limits[i], self.limits[2 + i]):
                line.set_visible(limit is not None)
                if limit is not None:
                    line.set_data([self.book.from_celsius(limit)] * 2, [0, 1.04])
        at = self.book.from_celsius(odds.t_c)
        self.drop.set_data([at, at, self.ends[0]], [0, odds.at, odds.at])
        self.here.set_data([at], [odds.at])
        inside = self.ends[0] <= at <= self.ends[1]
        self.here.set_visible(inside)
        self.drop.set_visible(inside)
        self._move_heads(odds)

    def _move_heads(self, odds):
        chance, missed = f"{100 * odds.at:.1f} %", f"{100 * odds.missed:.2f} %"
        told = (chance, missed, f"{100 * odds.false:.2f} %")
        if self.look.room:
            told = (f"alarm {told[0]}", f"missed {told[1]}", f"false {told[2]}")
        names = f"alarm at {self.book.temperature(odds.t_c)}", "missed (filled)", "false (hatched)"
        for artist, name in zip(self.names, names, strict=False):
            artist.set_text(name)
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


def _under(x, height):
    """Corners of the area under a curve."""
    return np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([height, np.zeros(x.size)])])
