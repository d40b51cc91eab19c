"""The picture of a live link: readings against time up to now, gaps hatched, lines that are no reading marked below."""

import numpy as np

from tempkit.book import Book
from tempkit.explorers.lag_picture import draw_limits
from tempkit.explorers.trace import WIDE_C
from tempkit.pictures import BLUE, ORANGE, QUIET, Picture

# (left, bottom, width, height) of the chart; x of the heads, y of names and values; y and x of the key [px]
DESK = ((72, 58, 800, 340), (20, 240, 420, 640), (488, 468), (420, (72, 230, 390)))
ROOM = ((132, 88, 832, 276), (14, 300, 640), (None, 474), (392, (104, 400, 640)))
NAMES = ("the latest reading", "that old", "lines since the start", "gaps since the start")
KEYS = ("a reading", "port away", "line that is no reading")
ROOM_KEYS = ("reading", "away", "no reading")
MOST_GAPS, MOST_MARKS = 8, 150


class TracePicture(Picture):
    """Shows a `tempkit.explorers.trace.Trace`: blue dots, and a line between those that no gap parts."""

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y, self.key = ROOM if self.look.room else DESK

    def frame(self, seen):
        low, high = seen.scale_c
        inside = not seen.readings_c.size or (seen.readings_c.min() >= low and seen.readings_c.max() <= high)
        return (*(seen.scale_c if inside else WIDE_C), seen.shown_s, *seen.limits_c)

    # ---- parts that stand still

    def build(self, frame):
        low, high, shown_s, *limits = frame
        self.lay_page()
        ends = [self.book.from_celsius(t_c) for t_c in (low, high)]
        self.axes = self.chart(self.box, "seconds before now", f"reading, {self.book.sign}", (-shown_s, 0), ends)
        places = np.linspace(-shown_s, 0, 4 if self.look.room else 7)
        foot, top = self.axes.get_ylim()  # a label at the foot would meet that of the time
        self.axes.set_yticks([t for t in self.axes.get_yticks() if foot + 0.04 * (top - foot) < t <= top])
        self.axes.set_xticks(places, [f"{abs(place):.0f}" for place in places])
        self.shown_s = shown_s
        draw_limits(self, limits, (low, high), self.box[3])
        self._key()
        self._heads()
        self._movers_of_the_chart()

    def _key(self):
        from matplotlib.patches import Rectangle

        y, places = self.key
        line = self.look.line
        size = 3 * line
        names = ROOM_KEYS if self.look.room else KEYS
        self.page.plot([places[0] + 8], [y], "o", color=BLUE, ms=2.4 * line)
        self.page.add_patch(Rectangle((places[1] - 4, y - 1.6 * size / 2), 24, 1.6 * size, **self._hatched()))
        self.page.plot([places[2] + 8], [y], "x", color=ORANGE, ms=3 * line, mew=line)
        for x, name in zip(places, names, strict=True):
            self.text(self.page, x + (34 if self.look.room else 28), y, name, va="center")

    def _hatched(self):
        return {"facecolor": "#ffffff", "edgecolor": QUIET, "hatch": "///", "lw": 0.8}

    def _heads(self):
        name_y, value_y = self.head_y
        for x, name in zip(self.heads, NAMES, strict=False):
            if name_y is not None:
                self.text(self.page, x, name_y, name, va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    def _movers_of_the_chart(self):
        from matplotlib.patches import Rectangle

        line, plot = self.look.line, self.axes.plot
        across = self.axes.get_xaxis_transform()
        self.away = [
            Rectangle((0, 0), 0, 1, transform=across, zorder=3 + i / 100, **self._hatched()) for i in range(MOST_GAPS)
        ]
        for patch in self.away:
            self.axes.add_patch(patch)
        self.moving(*self.away)
        self.thread = self.moving(plot([], [], zorder=5, color=BLUE, lw=line * 0.6)[0])
        self.dots = self.moving(plot([], [], "o", zorder=6, color=BLUE, ms=1.6 * line)[0])
        odd = {"color": ORANGE, "ms": 2.6 * line, "mew": line, "zorder": 7, "transform": across}
        self.odd = self.moving(plot([], [], "x", **odd)[0])
        self.note = self.moving(
            self.text(self.axes, 0.5, 0.5, ha="center", va="center", zorder=8, transform=self.axes.transAxes)
        )

    # ---- moving

    def move(self, seen):
        ago, values = seen.times_s - seen.now_s, self.book.from_celsius(seen.readings_c)
        broken = (np.insert(np.asarray(each, float), seen.breaks, np.nan) for each in (ago, values))
        self.thread.set_data(*broken)
        few = ago.size <= MOST_MARKS
        self.dots.set_data(ago[: ago.size * few], values[: ago.size * few])
        self.odd.set_data(seen.odd_s - seen.now_s, np.full(seen.odd_s.size, 0.045))
        shown = seen.gaps[-MOST_GAPS:]
        for i, patch in enumerate(self.away):
            start, end = shown[i] if i < len(shown) else (seen.now_s, seen.now_s)
            patch.set_visible(i < len(shown))
            patch.set_bounds(start - seen.now_s, 0, end - start, 1)
        self.note.set_text("" if seen.readings_c.size else "no reading yet")
        for artist, told in zip(self.values, self._told(seen), strict=True):
            artist.set_text(told)

    def _told(self, seen):
        last = "–" if seen.last_c is None else self.book.temperature(seen.last_c)
        age = "–" if seen.age_s is None else f"{seen.age_s:.1f} s"
        if self.look.room:
            return last, f"{age} old", f"{seen.lines} lines"
        return last, age, str(seen.lines), str(seen.gap_count)
