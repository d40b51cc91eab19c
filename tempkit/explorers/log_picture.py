"""The picture of a recorded log: all of it above, with the window; the window below, beside truth and model."""

import numpy as np

from tempkit.book import Book
from tempkit.explorers.spec_lens import DASHES
from tempkit.pictures import BLUE, INK, ORANGE, QUIET, Picture

WINDOW_TINT, MODEL_TINT, GAP_TINT = "#c3ddee", "#f3e3d6", "#ececec"
KEY = "ink: truth; dashed, tinted: model ± U; hatched: gap; ×: skipped line"
KEY_ROOM = "minutes (ink: truth; dashed: model; ×: skipped)"
# (left, bottom, width, height) of the whole log and of the window [px]; x and y of the values at the top
DESK = ((64, 318, 880, 92), (64, 62, 880, 204), (64, 380, 640), (490, 468))
ROOM = ((124, 330, 926, 76), (124, 88, 926, 212), (14, 400, 730), (None, 474))


class LogPicture(Picture):
    """Shows a `tempkit.explorers.log_scrub.Scrubbed`.

    Above: the outline of all readings, the window as a tinted band. Below: the readings of the window as dots, the
    truth as an ink line, the model's reading dashed, with its expanded uncertainty as a band. Gaps are hatched, skipped
    lines are crosses at the foot.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, result):
        return result.loaded.duration_min, result.window_min, result.loaded.scale_c

    # ---- parts that stand still

    def build(self, frame):
        duration, window, scale_c = frame
        self.lay_page()
        self.scale = [self.book.from_celsius(end) for end in scale_c]
        room = self.look.room
        over, under = ("", KEY_ROOM) if room else ("minutes of the log", "minutes of the window")
        self.whole = self.chart(self.boxes[0], "", self.book.sign, (0, duration), self.scale)
        self.whole.set_xlabel(over, fontsize=self.look.points(self.look.body), color=INK, loc="left", labelpad=1)
        self.near = self.chart(self.boxes[1], under, self.book.sign, (0, window), self.scale)
        for axes in (self.whole, self.near):
            axes.locator_params(axis="y", nbins=3 if axes is self.whole or room else 5, integer=True)
            axes.locator_params(axis="x", nbins=5 if room else 10, integer=True)
        if room:
            low, high = self.scale
            self.whole.set_yticks([round(low + part * (high - low)) for part in (0.2, 0.8)])
            self.whole.tick_params(axis="x", labelbottom=False)
        self._moving_whole()
        self._moving_near()
        self._moving_heads()

    def _collection(self, axes, zorder, **style):
        from matplotlib.collections import PolyCollection

        return self.moving(axes.add_collection(PolyCollection([], zorder=zorder, **style), autolim=False))

    def _both(self, axes):
        """What both charts show: gaps and skipped lines."""
        look = self.look
        gap = {"facecolor": GAP_TINT, "edgecolor": QUIET, "hatch": "////", "lw": 0}
        cross = {"marker": "x", "ms": 3 * look.line, "mew": 0.8 * look.line, "mec": ORANGE, "ls": "", "clip_on": False}
        return self._collection(axes, 2, **gap), self.plotted(axes, zorder=7, **cross)

    def _moving_whole(self):
        self.band = self._collection(self.whole, 1, facecolor=WINDOW_TINT, edgecolor=BLUE, lw=0.6 * self.look.line)
        self.outline = self._collection(self.whole, 3, facecolor=BLUE, edgecolor=BLUE, lw=0.4 * self.look.line)
        self.whole_gaps, self.whole_skips = self._both(self.whole)

    def _moving_near(self):
        line = self.look.line
        self.model_band = self._collection(self.near, 1, facecolor=MODEL_TINT, edgecolor="none", lw=0)
        self.near_gaps, self.near_skips = self._both(self.near)
        self.dots = self.plotted(self.near, color=BLUE, ls="", marker=".", ms=2 * line, zorder=4)
        self.truth = self.plotted(self.near, color=INK, lw=line, zorder=5)
        self.model = self.plotted(self.near, color=ORANGE, lw=line, ls=DASHES, zorder=6)

    def _moving_heads(self):
        name_y, value_y = self.head_y
        names = ("offset, reading minus truth", "noise", "drift, an hour")
        for x, name in zip(self.heads, names, strict=True) if name_y else ():
            self.text(self.page, x, name_y, name, va="top", zorder=3)
        if name_y:
            self.text(self.page, 944, 285, KEY, ha="right", va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    # ---- moving

    def move(self, result):
        loaded, scale = result.loaded, self.book.from_celsius
        low, high = self.scale
        minutes, lowest, highest = loaded.outline
        self.outline.set_verts(_strips(minutes, scale(lowest), scale(highest), loaded.duration_min / lowest.size))
        self.band.set_verts(_boxes(np.array([[result.start_min, result.end_min]]), low, high))
        foot = low + 0.04 * (high - low)
        for gaps, skips, zero in ((self.whole_gaps, self.whole_skips, 0), (self.near_gaps, self.near_skips, result)):
            start = 0.0 if zero == 0 else result.start_min
            length = loaded.duration_min if zero == 0 else result.window_min
            gaps.set_verts(_boxes(np.clip(loaded.gaps - start, 0, length), low, high))
            at = loaded.skipped - start
            at = at[(at >= 0) & (at <= length)]
            skips.set_data(at, np.full(at.size, foot))
        self.dots.set_data(result.minutes - result.start_min, scale(result.readings_c))
        self._move_lines(result)
        self._move_heads(result)

    def _move_lines(self, result):
        scale, ends = self.book.from_celsius, [0, result.window_min]
        expected = result.found.expected
        self.truth.set_data(ends, [scale(result.t_c)] * 2)
        self.model.set_visible(expected is not None)
        self.model_band.set_visible(expected is not None)
        if expected is not None:
            self.model.set_data(ends, [scale(expected.reading_c)] * 2)
            reach = (expected.reading_c + side * expected.expanded_c for side in (-1, 1))
            self.model_band.set_verts(_boxes(np.array([ends]), *(scale(end) for end in reach)))

    def _move_heads(self, result):
        found = result.found
        texts = ("too few readings", "", "")
        if found.offset_c is not None:
            values = (found.offset_c, found.noise_c, found.drift_c)
            texts = tuple(self._figure(each, digits) for each, digits in zip(values, (2, 3, 2), strict=True))
            if self.look.room:
                texts = tuple(f"{n} {t}" for n, t in zip(("offset", "noise", "drift"), texts, strict=True))
                texts = (*texts[:2], f"{texts[2]}/h")
        for artist, text in zip(self.values, texts, strict=True):
            artist.set_text(text)

    def _figure(self, estimate, digits):
        """An estimate as text; at desk size with its expanded uncertainty."""
        value = self.book.span(estimate.value, digits, signed=digits == 2)
        if self.look.room:
            return value
        return f"{value.rpartition(' ')[0]} ± {self.book.span(estimate.expanded(), digits)}"


def _boxes(spans, low, high):
    """Corners of rectangles over spans (from, to), between two heights."""
    return [[(start, low), (end, low), (end, high), (start, high)] for start, end in spans if end > start]


def _strips(starts, lowest, highest, width):
    """Corners of a narrow rectangle for each piece of an outline."""
    return np.stack(
        [
            np.column_stack([starts, lowest]),
            np.column_stack([starts + width, lowest]),
            np.column_stack([starts + width, highest]),
            np.column_stack([starts, highest]),
        ],
        axis=1,
    )
