"""The picture of an alarm at work: truth, readings and limits above; what was raised, and when, below."""

import numpy as np

from tempkit.book import Book
from tempkit.explorers.spec_lens import DASHES, DOTS
from tempkit.pictures import BLUE, INK, ORANGE, PAPER, PINK, QUIET, Picture

SCALE_C = (14.0, 32.0)
SHOWN_S = 600.0
BAR, RAISED = 0.55, 0.08  # height of a bar and how far its middle stands above its row, in rows
ROWS = {"high": 2, "low": 1, "invalid": 0}
# (left, bottom, width, height) of chart and strip; x of heads; y of names and values [px]
DESK = ((92, 142, 848, 268), (92, 58, 848, 76), (20, 350, 640), (488, 466))
ROOM = ((138, 196, 914, 220), (138, 84, 914, 106), (14, 360, 720), (None, 472))


class ThresholdPicture(Picture):
    """Shows a `tempkit.explorers.thresholds.Watched`.

    Above: truth in ink, readings as dots, limits dashed and the edges of the deadband dotted; between truth and limit
    a filled area where an alarm is missed, a hatched one where it is false. Below: a bar for each event, filled or
    hatched in the same way where it is missed or false, and under it an ink line while the truth is beyond that limit.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        scale = [self.book.from_celsius(end) for end in SCALE_C]
        ends = (0.0, SHOWN_S / 60)
        self.axes = self.chart(self.boxes[0], "", self.book.sign, ends, scale)
        self.axes.tick_params(axis="x", labelbottom=False)
        self.strip = self.chart(
            self.boxes[1],
            "time, minutes (bars: alarm; ink under them: truth beyond)" if not self.look.room else "time, minutes",
            "",
            ends,
            (-0.6, 2.6),
        )
        for axes in (self.axes, self.strip):
            axes.set_xticks(range(0, 11, 2))
        self.strip.set_yticks(list(ROWS.values()), list(ROWS))
        self.strip.tick_params(axis="y", length=0)
        self.strip.grid(axis="y", visible=False)
        self._areas()
        self._lines()
        self._heads()

    def _areas(self):
        from matplotlib.patches import Polygon

        nothing = np.zeros((3, 2))
        missed = {"facecolor": PINK, "edgecolor": "none", "lw": 0, "zorder": 2}
        false = {"facecolor": PAPER, "edgecolor": INK, "hatch": "//////", "lw": 0, "zorder": 1.5}
        charts = (self.axes, 0), (self.strip, 5)  # in the strip they cover the bars
        self.missed, self.false = (
            [
                self.moving(axes.add_patch(Polygon(nothing, **{**paint, "zorder": up + paint["zorder"]})))
                for axes, up in charts
            ]
            for paint in (missed, false)
        )

    def _lines(self):
        line = self.look.line
        self.limits = {
            1: self.plotted(self.axes, color=ORANGE, lw=line * 0.8, ls=DASHES, zorder=3),
            -1: self.plotted(self.axes, color=BLUE, lw=line * 0.8, ls=DASHES, zorder=3.1),
        }
        self.edges = {
            1: self.plotted(self.axes, color=ORANGE, lw=line * 0.6, ls=DOTS, zorder=3.2),
            -1: self.plotted(self.axes, color=BLUE, lw=line * 0.6, ls=DOTS, zorder=3.3),
        }
        self.dots = self.plotted(self.axes, color=QUIET, ls="", marker=".", ms=1.4 * line, zorder=4)
        self.true = self.plotted(self.axes, color=INK, lw=line, zorder=5)
        height = self.look.points(BAR * self.boxes[1][3] / 3.2)
        bar = {"lw": height, "solid_capstyle": "butt"}
        colours = {"high": ORANGE, "low": BLUE, "invalid": INK}
        under = {"color": INK, "lw": line, "solid_capstyle": "butt"}
        self.truths = {side: self.plotted(self.strip, zorder=4 + side / 10, **under) for side in (1, -1)}
        self.bars = {
            kind: self.plotted(self.strip, color=colours[kind], zorder=3 + i / 10, **bar) for i, kind in enumerate(ROWS)
        }

    def _heads(self):
        name_y, value_y = self.head_y
        names = () if name_y is None else zip(self.heads, ("raised", "missed (filled)", "false (hatched)"), strict=True)
        for x, name in names:
            self.text(self.page, x, name_y, name, va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    # ---- moving

    def move(self, at):
        minutes = at.times_s / 60
        scale = self.book.from_celsius
        self.dots.set_data(minutes, scale(at.readings_c))
        self.true.set_data(minutes, scale(at.true_c))
        self._move_limits(at.alarm)
        for areas, mask, side in ((self.missed, at.missed, at.truth), (self.false, at.false, at.run.state)):
            areas[0].set_xy(self._area(at, mask, side))
            foot = np.where(side > 0, ROWS["high"], ROWS["low"]) + RAISED - BAR / 2
            areas[1].set_xy(_steps(at, foot, foot + BAR * mask))
        for kind, bar in self.bars.items():
            events = at.run.events.of(kind)
            bar.set_data(*_bars(events.starts, events.ends, at.period_s, ROWS[kind] + RAISED))
        for side, kind in ((1, "high"), (-1, "low")):
            ends = _ends(at.truth == side)
            self.truths[side].set_data(*_bars(*ends, at.period_s, ROWS[kind] - 0.4))
        self._move_heads(at)

    def _move_limits(self, alarm):
        both = {1: (alarm.high_c, alarm.high_back_c), -1: (alarm.low_c, alarm.low_back_c)}
        for side, (limit, edge) in both.items():
            self.limits[side].set_visible(limit is not None)
            self.edges[side].set_visible(limit is not None and edge != limit)
            if limit is not None:
                self.limits[side].set_data([0, SHOWN_S / 60], [self.book.from_celsius(limit)] * 2)
                self.edges[side].set_data([0, SHOWN_S / 60], [self.book.from_celsius(edge)] * 2)

    def _area(self, at, mask, side):
        """Corners of the area between the limit of a side and the truth, where the mask is true."""
        low, high = at.alarm.low_c, at.alarm.high_c
        limit = np.where(side > 0, at.true_c if high is None else high, at.true_c if low is None else low)
        end = np.where(mask, at.true_c, limit)
        return _steps(at, *(self.book.from_celsius(each) for each in (limit, end)))

    def _move_heads(self, at):
        count = sum(event.kind != "invalid" for event in at.run.events)
        chatter = ", chatter" if at.spells else ""
        told = (f"{count} times{chatter}", f"{at.seconds(at.missed):.0f} s", f"{at.seconds(at.false):.0f} s")
        if self.look.room:
            told = (f"raised {count}{chatter}", f"missed {told[1]}", f"false {told[2]}")
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


def _steps(at, lower, upper):
    """Corners of the area between two rows of values, each of which holds for one sample."""
    edges = np.append(at.times_s, at.times_s[-1] + at.period_s) / 60
    x = np.repeat(edges, 2)[1:-1]
    upper, lower = np.repeat(upper, 2), np.repeat(lower, 2)
    return np.column_stack([np.append(x, x[::-1]), np.append(upper, lower[::-1])])


def _ends(mask):
    """Where a row of true and false becomes true, and where it becomes false again."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8)))
    return edges[::2], edges[1::2]


def _bars(starts, ends, period_s, row):
    """Line data with one piece from each start to its end, gaps between; samples become minutes."""
    x = np.column_stack([starts, ends, np.full(starts.size, np.nan)]).ravel() * period_s / 60
    return x, np.full(x.size, float(row))
