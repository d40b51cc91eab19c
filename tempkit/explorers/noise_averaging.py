"""Chapter 06: noise and averaging. Which codes a still temperature gives, and what is left after averaging them."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tempkit import signal
from tempkit.book import Book, tidy
from tempkit.chain import Walk, walk
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, Picture
from tempkit.explorers.controls import NOISE, SAMPLES, SOME_BITS, TEMPERATURE, noise_of
from tempkit.explorers.stage import Explorer, Plan, or_none, warning

# --- The picture of chapter 06: codes of a still temperature on the left, error against number of samples on the right.

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


FAR = 6.0  # standard deviations beyond which no code is counted: 2e-9 of the samples lie there
RECORD = 1000
TRIALS = 300
SEED = 6
POWERS = 4 ** np.arange(6)


@dataclass(frozen=True, eq=False)
class Averaged:
    """Codes of a still temperature under noise, and the error of their average.

    `codes`, `shares` (parts of 1, by the normal distribution), `counts` (of a simulated record of `RECORD` samples)
    and `off_c` (reading of each code less the true temperature [degC]) are empty, and `mean_c` (what the mean of very
    many readings is off by) is None, where the temperature lies outside the sensor's range. Errors are rms [degC]
    over all places of the temperature within its step.
    """

    way: Walk
    sigma_v: float
    stated: bool
    samples: int
    codes: np.ndarray
    shares: np.ndarray
    counts: np.ndarray
    off_c: np.ndarray
    mean_c: float | None
    simulated_c: np.ndarray
    reference_gap: bool

    @property
    def sigma_lsb(self):
        """The noise counted in steps [LSB]."""
        return self.sigma_v / self.way.step_v

    @property
    def c_per_v(self):
        """What a volt at the pin is worth here [degC/V]."""
        return self.way.step_c / self.way.step_v

    def error_c(self, samples):
        """Rms error of the mean of `samples` readings [degC]."""
        return signal.averaged_error_lsb(self.sigma_lsb, samples) * self.way.step_c

    @property
    def stays_c(self):
        """Rms error that no averaging removes [degC]."""
        return signal.averaging_floor_lsb(self.sigma_lsb) * self.way.step_c

    @property
    def bend(self):
        """Number of samples at which the part that falls is as large as the part that stays."""
        ratio = float(self.error_c(1) / self.stays_c) if self.stays_c > 0 else math.inf
        return ratio * ratio - 1  # with much noise inf: what stays is then so small that a power would overflow


def code_shares(converter, volts, sigma_v, reference_v):
    """Codes that a steady voltage [V] gives under normal noise, and the share of samples of each.

    sigma_v : standard deviation at the pin [V], 0 or more. Returns two arrays, codes (int) and shares (sum 1 but for
    what lies beyond 6 standard deviations). Raises `ValueError` for a voltage that is not a number. Source: the normal
    distribution between two code edges; the end codes take all that lies beyond.

    >>> from tempkit.chain import Converter
    >>> codes, shares = code_shares(Converter(bits=10), 0.750, 0.002, 5.0)
    >>> int(codes[shares.argmax()]), round(float(shares.max()), 3)
    (153, 0.764)
    """
    ends = [converter.code(volts + side * FAR * sigma_v, reference_v) for side in (-1, 1)]
    codes = np.arange(ends[0], ends[1] + 1)
    if codes.size == 1:
        return codes, np.ones(1)
    from scipy.special import ndtr

    edges = converter.volts(codes[1:], reference_v, edge="lower")
    below = np.concatenate([[0.0], ndtr((edges - volts) / sigma_v), [1.0]])
    return codes, np.diff(below)


def simulated_counts(converter, volts, sigma_v, reference_v, codes, seed=SEED):
    """How often each of `codes` comes in a simulated record of `RECORD` samples with normal noise.

    >>> from tempkit.chain import Converter
    >>> simulated_counts(Converter(bits=10), 0.750, 0.0, 5.0, np.array([152, 153]))
    array([   0, 1000])
    """
    inputs = volts + sigma_v * np.random.default_rng(seed).standard_normal(RECORD)
    found = converter.code(inputs, reference_v) - codes[0]
    return np.bincount(found[(found >= 0) & (found < codes.size)], minlength=codes.size)


def compute(design, t_c):
    """Codes and averages for a still temperature [degC]; the program knows the reference as it is."""
    reference = design.chain.reference
    true_v = reference.actual_v
    chain = replace(design.chain, reference=replace(reference, nominal_v=true_v, true_v=None))
    way, stated = walk(chain, t_c), noise_of(design)
    codes = shares = counts = off_c = np.array([])
    mean_c = None
    if way.code is not None:
        codes, shares = code_shares(chain.converter, way.volts, stated.input_v, true_v)
        counts = simulated_counts(chain.converter, way.volts, stated.input_v, true_v, codes)
        off_c = chain.celsius_at_pin(chain.converter.volts(codes, true_v)) - t_c
        mean_c = float(shares @ off_c)
    sigma_lsb = stated.input_v / way.step_v
    simulated = [signal.simulated_averaging_error_lsb(sigma_lsb, m, TRIALS, SEED) for m in POWERS]
    gap = reference.actual_v != reference.nominal_v
    simulated_c = np.array(simulated) * way.step_c
    return Averaged(
        way, stated.input_v, design.noise is not None, stated.samples, codes, shares, counts, off_c, mean_c,
        simulated_c, gap,
    )  # fmt: skip


def words(result, book):
    """Codes, averages, and whether more samples would help.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C and with noise of 2.0 mV (0.41 steps), code 153 comes in 76.4 % of the samples, and the mean of very
    many readings is off by −0.003 °C. Wherever a temperature lies in its step, one reading is off by 0.245 °C rms,
    the mean of 16 readings by 0.061 °C. The noise moves the code enough: 4 times the samples halve the error.
    """
    told = f"{_codes(result, book)} {_average(result, book)} {_more(result, book)}"
    return told + warning(problems(result, book))


def problems(result, book):
    """What cannot work, and what this explorer leaves out, one sentence each."""
    found = list(result.way.problems(book.temperature))
    if result.reference_gap:
        found.append("the error of the reference is left out here: averaging does nothing about it")
    if result.way.saturated:
        found.append("at the end of the codes noise is cut off on one side, so the mean is drawn inwards")
    return found


def _noise(result):
    return f"{tidy(1000 * result.sigma_v, 1)} mV ({tidy(result.sigma_lsb, 2)} steps)"


def _codes(result, book):
    at = f"At {book.temperature(result.way.t_c)} and with noise of {_noise(result)}"
    if result.mean_c is None:
        return f"{at} there is no code."
    top = int(result.shares.argmax())
    mean = book.span(result.mean_c, 3, signed=True)
    return (
        f"{at}, code {result.codes[top]} comes in {_percent(result.shares[top])} of the samples, and the mean of very"
        f" many readings is off by {mean}."
    )


def _percent(share):
    return f"{tidy(100 * share, 1)} %"


def _times(result):
    return "1 reading" if result.samples == 1 else f"the mean of {result.samples} readings"


def _average(result, book):
    one, mean = (book.span(result.error_c(m), 3) for m in (1, result.samples))
    if result.samples == 1:
        return f"Wherever a temperature lies in its step, a single reading is off by {one} rms."
    return f"Wherever a temperature lies in its step, one reading is off by {one} rms, {_times(result)} by {mean}."


def _more(result, book):
    stays = book.span(result.stays_c, 3)
    if result.sigma_v == 0:
        return f"Without noise all samples are alike: averaging changes nothing, and {stays} stays."
    if result.bend < 1:
        return f"The noise is too small to move the code: averaging hardly helps, and {stays} stays."
    if result.samples > result.bend:
        return f"The line has bent, at about {result.bend:.0f} samples: more of them hardly help, and {stays} stays."
    if result.bend <= MOST_SAMPLES:
        return f"4 times the samples still halve it, up to about {result.bend:.0f}; {stays} stays in the end."
    return "The noise moves the code enough: 4 times the samples halve the error."


def facts(result, book):
    """Rows of the number table."""
    top = int(result.shares.argmax()) if result.codes.size else None
    rows = [
        ("true temperature", book.temperature(result.way.t_c)),
        ("noise, standard deviation", _noise(result) + ("" if result.stated else ", assumed: the design states none")),
        ("one step", f"{1000 * result.way.step_v:.3f} mV, {book.span(result.way.step_c, 3)}"),
        ("most frequent code", "none" if top is None else f"{result.codes[top]}, {_percent(result.shares[top])}"),
        (
            f"the same in {RECORD} simulated samples",
            "none" if top is None else _percent(result.counts[top] / RECORD),
        ),
        ("mean of very many readings is off by", or_none(result.mean_c, lambda d: book.span(d, 3, signed=True))),
        ("samples averaged", str(result.samples)),
        ("rms error of one reading", book.span(result.error_c(1), 3)),
        ("rms error of the mean", book.span(result.error_c(result.samples), 3)),
        ("rms error that stays", book.span(result.stays_c, 3)),
        ("the line bends at about", "nowhere" if result.bend < 1 else f"{result.bend:.0f} samples"),
    ]
    simulated = zip(POWERS, result.simulated_c, strict=True)
    rows += [(f"simulated, {m} samples", book.span(error, 3)) for m, error in simulated]
    return rows + [("mind", problem) for problem in problems(result, book)]


PLAN = Plan(
    title="Noise, and what averaging does about it",
    controls=(TEMPERATURE, NOISE, SAMPLES, SOME_BITS),
    compute=compute,
    picture=lambda look, book: Averaging(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 06; `design` from a design file, `start` values of controls by name.

    >>> explorer(samples_2n=6).result().samples
    64
    """
    return Explorer(PLAN, design, **start)
