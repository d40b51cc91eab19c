"""The picture of chapter 06: codes of a still temperature on the left, error against number of samples on the right."""

import numpy as np

from tempkit.book import Book, tidy
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, PAPER, Picture

MOST_SAMPLES = 1024
VIEW_V = 0.024  # half of what the histogram shows, at the pin
ERRORS_V = (1e-5, 5e-2)  # of the error axis, at the pin
TALL = 1.45  # height of the histogram in highest bars
MOST_BARS = 1500
TINT = "#c3ddee"
BOXES = {
    False: ((33.6, 67.5, 412.8, 370), (542.4, 67.5, 398.4, 370)),
    True: ((21.6, 96, 464.4, 321.6), (648, 96, 415.8, 321.6)),
}


class Averaging(Picture):
    """Bars: how often each code comes, by the normal distribution. Crosses: a simulated record. Right: the error of
    the mean against the number of samples on log-log axes. Shows a `noise_averaging.Averaged`.

    The axes stand still while a slider is dragged; they follow the sensor's slope, which only a design file changes.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()

    def frame(self, result):
        return float(f"{abs(result.c_per_v):.2g}")

    def _span(self, d_c):
        return self.book.span_from_celsius(d_c)

    # ---- parts that stand still

    def build(self, frame):
        left, right = BOXES[self.look.room]
        self.half = self._span(VIEW_V * frame)
        self.bars = self.chart(left, f"reading − true, {self.book.sign}", "", (-self.half, self.half), (0, TALL))
        self.bars.set_yticks([])
        self.bars.spines["left"].set_visible(False)
        self.limits = tuple(self._span(v * frame) for v in ERRORS_V)
        self.line = self.chart(right, "samples averaged", f"rms error, {self.book.sign}", (0.75, 1450), self.limits)
        self._log_axes()
        corner = {"ha": "right", "va": "top", "zorder": 6}
        self.text(self.line, 0.99, 0.99, "× simulated", transform=self.line.transAxes, **corner)
        self.text(self.bars, 0.0, 0.99, "× simulated", transform=self.bars.transAxes, **{**corner, "ha": "left"})
        self.bars.axvline(0, color=INK, lw=self.look.line * 0.8, zorder=3, ymax=1.06 / TALL)
        self._moving_bars()
        self._moving_lines()

    def _log_axes(self):
        from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

        counts = (1, 16, 256) if self.look.room else (1, 4, 16, 64, 256, 1024)
        decades = [10.0**n for n in range(-6, 7) if self.limits[0] * 0.999 <= 10.0**n <= self.limits[1]]
        self.line.set(xscale="log", yscale="log", xlim=(0.75, 1450), ylim=self.limits)
        for axis, places in ((self.line.xaxis, counts), (self.line.yaxis, decades)):
            axis.set_major_locator(FixedLocator(places))
            axis.set_minor_locator(NullLocator())
            axis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))

    # ---- parts that move

    def _cross(self, axes, zorder):
        size = 3.2 * self.look.line
        return self.plotted(axes, marker="x", ms=size, mew=0.8 * self.look.line, mec=ORANGE, ls="", zorder=zorder)

    def _moving_bars(self):
        look = self.look
        self.shape = self.moving(self.bars.stairs([0], [0, 1], fill=True, color=TINT, zorder=1))
        self.gaps = self.plotted(self.bars, color=BLUE, lw=look.line * 0.7, zorder=1.5)
        self.truth = self.plotted(self.bars, color=INK, lw=look.line * 0.8, zorder=3)
        self.mean = self.plotted(self.bars, color=GREEN, lw=look.line, ls=(0, (4, 2)), zorder=4)
        self.crosses = self._cross(self.bars, 5)
        tint = {"facecolor": TINT, "edgecolor": "none", "pad": 0.5}
        self.codes = [
            self.moving(self.text(self.bars, 0, 0.03, ha="center", va="bottom", zorder=5.5, bbox=tint))
            for _ in range(0 if look.room else 12)
        ]
        self.true_word = self.moving(self.text(self.bars, 0, 1.08, " true ", va="bottom", zorder=6))
        self.mean_word = self.moving(self.text(self.bars, 0, 1.08, " mean ", va="bottom", zorder=6.5))
        place = {"transform": self.bars.transAxes, "va": "bottom", "zorder": 7}
        self.head = self.moving(self.text(self.bars, 0.0, 1.02, size=look.big, bold=True, **place))

    def _moving_lines(self):
        look = self.look
        self.root = self.plotted(self.line, color=INK, lw=look.line * 0.6, ls=(0, (5, 3)), zorder=2)
        self.floor = self.plotted(self.line, color=GREEN, lw=look.line * 0.8, ls=(0, (1, 1.5)), zorder=3)
        self.curve = self.plotted(self.line, color=BLUE, lw=look.line, zorder=4)
        self.marks = self._cross(self.line, 5)
        self.drop = self.plotted(self.line, color=INK, lw=look.line * 0.5, zorder=5.5)
        ring = {"marker": "o", "ms": 4 * look.line, "mfc": PAPER, "mec": INK, "mew": look.line, "ls": ""}
        self.here = self.plotted(self.line, zorder=6, **ring)
        behind = {"facecolor": PAPER, "edgecolor": "none", "pad": 1, "alpha": 0.85}
        self.root_word = self.moving(self.text(self.line, 1, 1, "1/√M", ha="right", va="top", zorder=6.5, bbox=behind))
        self.floor_word = self.moving(self.text(self.line, 0.85, 1, "stays", zorder=7, bbox=behind))
        place = {"transform": self.line.transAxes, "va": "bottom", "ha": "right", "zorder": 7.5}
        self.error = self.moving(self.text(self.line, 1.0, 1.02, size=look.big, bold=True, **place))

    def move(self, result):
        self._move_bars(result)
        self._move_lines(result)

    def _move_bars(self, result):
        shown = result.codes.size > 0
        for artist in (self.shape, self.gaps, self.mean, self.crosses, self.true_word, self.mean_word, *self.codes):
            artist.set_visible(shown)
        self.head.set_text("no code here")
        if not shown:
            return
        width = self._span(result.way.step_c)
        off, height = self._span(result.off_c), result.shares / result.shares.max()
        order = np.argsort(off)[:: max(1, result.codes.size // MOST_BARS)]
        off, height, codes = off[order], height[order], result.codes[order]
        edges = np.append(off, off[-1] + width) - width / 2
        self.shape.set_data(height, edges)
        self._outline(edges, height, width)
        marks = result.counts[order] / 1000 / result.shares.max()
        seen = (marks > 0) & (marks < TALL) & (codes.size < 200)
        self.crosses.set_data(off[seen], marks[seen])
        self._name_codes(codes, off, height, width)
        self._name_mean(self._span(result.mean_c))
        top = int(result.shares.argmax())
        self.head.set_text(f"code {result.codes[top]}: {tidy(100 * result.shares[top], 0)} %")

    def _pixels(self, width):
        return width / (2 * self.half) * BOXES[self.look.room][0][2]

    def _outline(self, edges, height, width):
        """The bars' outlines, down to the axis between bars that are wide enough to be told apart."""
        around = np.concatenate([[0.0], height, [0.0]])
        foot = np.zeros(edges.size) if self._pixels(width) > 3 * self.look.line else np.nan * edges
        x = np.repeat(edges, 4)
        y = np.stack([around[:-1], foot, foot, around[1:]], axis=1).ravel()
        drawn = ~np.isnan(y)
        self.gaps.set_data(x[drawn], y[drawn])

    def _name_codes(self, codes, off, height, width):
        fits = self._pixels(width) > 0.66 * self.look.body * len(str(codes[-1]))
        named = [i for i in range(codes.size) if fits and height[i] > 0.085 and abs(off[i]) < self.half - width / 2]
        for text, i in zip(self.codes, [*named, *[None] * len(self.codes)], strict=False):
            text.set_visible(i is not None)
            if i is not None:
                text.set_x(off[i])
                text.set_text(str(codes[i]))

    def _name_mean(self, mean):
        inside = abs(mean) <= self.half
        self.mean.set_data([mean, mean], [0, 1.06])
        self.mean.set_visible(inside)
        self.mean_word.set_visible(inside)
        self.mean_word.set(x=mean, ha="left" if mean >= 0 else "right")
        self.true_word.set(x=0, ha="right" if mean >= 0 else "left")

    def _move_lines(self, result):
        counts = np.geomspace(1, MOST_SAMPLES, 61)
        errors = self._span(result.error_c(counts))
        self.curve.set_data(counts, errors)
        root = errors[0] / np.sqrt(counts)
        self.root.set_data(counts, root)
        stays, here = self._span(result.stays_c), self._span(result.error_c(result.samples))
        self.floor.set_data([0.75, 1450], [stays, stays])
        self.marks.set_data(4.0 ** np.arange(6), self._span(result.simulated_c))
        self.here.set_data([result.samples], [here])
        self.drop.set_data([result.samples, result.samples], [self.limits[0], here])
        beside = 40 if 64 <= result.samples <= 200 else 200
        self.root_word.set_position((beside, errors[0] / np.sqrt(beside) / 1.4))
        self._name_floor(stays, flat=stays > 0.6 * errors[0])
        unit = "sample" if result.samples == 1 else "samples"
        self.error.set_text(f"{result.samples} {unit}: {tidy(here, 3)} {self.book.sign}")

    def _name_floor(self, stays, flat):
        """Below its line, or above it at the foot of the axis; left out where the line lies beneath the axis."""
        self.floor_word.set(x=1350 if flat else 0.85, ha="right" if flat else "left")
        low, high = self.limits
        place = np.log(stays / low) / np.log(high / low) if stays > 0 else -1.0
        self.floor_word.set_visible(place > 0)
        self.floor.set_visible(place > 0)
        below = place > 0.2
        self.floor_word.set(y=max(stays, low) * (1 / 1.25 if below else 1.25), va="top" if below else "bottom")
