"""Chapter 06: noise and averaging. Which codes a still temperature gives, and what is left after averaging them."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tempkit import signal
from tempkit.book import tidy
from tempkit.chain import Walk, walk
from tempkit.draw import (
    BLUE,
    DASHES,
    INK,
    LIMIT,
    ORANGE,
    READING,
    TRUTH,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Line,
    Named,
    Ring,
    Segment,
    Stroke,
)
from tempkit.explorers.controls import NOISE, SAMPLES, SOME_BITS, TEMPERATURE, noise_of
from tempkit.explorers.stage import Explorer, Plan, minds, or_none, warning

MOST_SAMPLES = 1024
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
    def top(self):
        """Place of the most frequent code among `codes`, None where there is none."""
        return int(self.shares.argmax()) if self.codes.size else None

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
    >>> codes, shares = code_shares(Converter(bits=10), 0.800, 0.002, 5.0)
    >>> int(codes[shares.argmax()]), round(float(shares.max()), 3)
    (163, 0.632)
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
    >>> simulated_counts(Converter(bits=10), 0.800, 0.0, 5.0, np.array([162, 163]))
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


def problems(result, book):
    """What cannot work, and what this explorer leaves out, one sentence each."""
    found = list(result.way.problems(book.temperature))
    if result.reference_gap:
        found.append("the error of the reference is left out here: averaging does nothing about it")
    if result.way.saturated:
        found.append("at the end of the codes noise is cut off on one side, so the mean is drawn inwards")
    return found


def _top(say, otherwise="none"):
    """What is said of the most frequent code, where there is one."""
    return lambda result, book=None: otherwise if result.top is None else say(result, result.top)


def _rms(error_c):
    return lambda result, book: book.span(error_c(result), 3)


def _percent(share):
    return f"{tidy(100 * share, 1)} %"


def _noise(result, book):
    return f"{tidy(1000 * result.sigma_v, 1)} mV ({tidy(result.sigma_lsb, 2)} steps)"


def _step(result, book):
    return f"{1000 * result.way.step_v:.3f} mV, {book.span(result.way.step_c, 3)}"


def _bend(result, book):
    if result.bend < 1:
        return "nowhere"
    return f"{result.bend:.0f} samples" if result.bend <= MOST_SAMPLES else f"more than {MOST_SAMPLES} samples"


FACTS = Facts([
    Fact("true", "true temperature", lambda result, book: book.temperature(result.way.t_c)),
    Fact("noise", "noise, standard deviation", _noise),
    Fact("assumed", "this noise is", lambda at, book: None if at.stated else "assumed: the design states none"),
    Fact("step", "one step", _step),
    Fact("code", "most frequent code", _top(lambda result, top: f"{result.codes[top]}")),
    Fact(
        "share",
        "its share of the samples",
        _top(lambda result, top: _percent(result.shares[top]), "no code here"),
        head=_top(lambda result, top: f"share of code {result.codes[top]}", "most frequent code"),
        short=_top(lambda result, top: f"code {result.codes[top]}:", ""),
    ),
    Fact("counted", f"the same in {RECORD} simulated", _top(lambda at, top: _percent(at.counts[top] / RECORD))),
    Fact(
        "off",
        "mean of very many readings is off by",
        lambda result, book: or_none(result.mean_c, lambda d_c: book.span(d_c, 3, signed=True)),
    ),
    Fact("samples", "samples averaged", lambda result, book: str(result.samples)),
    Fact("one", "rms error of one reading", _rms(lambda result: result.error_c(1))),
    Fact(
        "mean",
        "rms error of the mean",
        _rms(lambda result: result.error_c(result.samples)),
        head=lambda result: f"rms error, mean of {result.samples}",
        short=lambda result: f"mean of {result.samples}:",
    ),
    Fact("stays", "rms error that stays", _rms(lambda result: result.stays_c)),
    Fact("bend", "the line bends at about", _bend),
    *(
        Fact(f"simulated {m}", f"simulated, {m} samples", _rms(lambda result, i=i: result.simulated_c[i]))
        for i, m in enumerate(POWERS)
    ),
])


def words(result, book):
    """Codes, averages, and whether more samples would help.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C and with noise of 2.0 mV (0.41 steps), code 163 comes in 63.2 % of the samples, and the mean of very
    many readings is off by −0.006 °C. Wherever a temperature lies in its step, one reading is off by 0.306 °C rms,
    the mean of 16 readings by 0.077 °C. The noise moves the code enough: 4 times the samples halve the error.
    """
    codes = ", code {code} comes in {share} of the samples, and the mean of very many readings is off by {off}."
    mean = "one reading is off by {one} rms, the mean of {samples} readings by {mean}."
    told = FACTS.sentences(
        f"At {{true}} and with noise of {{noise}}{' there is no code.' if result.top is None else codes}"
        " Wherever a temperature lies in its step,"
        f" {mean if result.samples > 1 else 'a single reading is off by {one} rms.'} {_more(result)}"
    )
    return told(result, book) + warning(problems(result, book))


def _more(result):
    if result.sigma_v == 0:
        return "Without noise all samples are alike: averaging changes nothing, and {stays} stays."
    if result.bend < 1:
        return "The noise is too small to move the code: averaging hardly helps, and {stays} stays."
    if result.samples > result.bend:
        return "The line has bent, at about {bend}: more of them hardly help, and {stays} stays."
    if result.bend <= MOST_SAMPLES:
        return "4 times the samples still halve it, up to about {bend}; {stays} stays in the end."
    return "The noise moves the code enough: 4 times the samples halve the error."


def facts(result, book):
    """Rows of the number table."""
    return [*FACTS.rows(result, book), *minds(problems(result, book))]


VIEW_V = 0.024  # half of what the histogram shows, at the pin
ERRORS_V = (1e-5, 5e-2)  # of the error axis, at the pin
TALL = 1.45  # height of the histogram in highest bars
MOST_BARS = 1500
FOR_DIGIT = 0.024  # part of the histogram's width in which a digit of a code has room
COUNTS = np.geomspace(1, MOST_SAMPLES, 61)


def _span(*volts):
    """A span of volts at the pin in degrees; it stands still but for another slope of the sensor."""
    return lambda result: tuple(end * float(f"{abs(result.c_per_v):.2g}") for end in volts)


def _bars(result):
    every = max(1, result.codes.size // MOST_BARS)
    off, half = result.off_c[::every], result.way.step_c * every / 2
    return np.column_stack([off - half, off + half, 0 * off, _heights(result)[::every]])


def _heights(result):
    """Shares in heights of the highest bar."""
    return result.shares / result.shares.max(initial=0)


def _counted(result):
    height = result.counts / RECORD / result.shares.max(initial=0)
    seen = (height > 0) & (height < TALL) & (height.size < 200)
    return result.off_c[seen], height[seen]


def _codes(result):
    """At a desk, the codes that have room in their bars."""
    (half_c,), step_c = _span(VIEW_V)(result), result.way.step_c
    rows = zip(result.off_c, result.codes, _heights(result), strict=True)
    return [
        (off, 0.015, lambda panel, code=code: "" if panel.look.room else str(code))
        for off, code, height in rows
        if height > 0.085 and abs(off) < half_c - step_c / 2 and step_c / (2 * half_c) > FOR_DIGIT * len(str(code))
    ]


def _upright(place, stroke, key=""):
    def ends(result):
        x = place(result)
        return None if x is None else (x, 0, x, 1.06)

    return Segment(ends, stroke, key)


PLAN = Plan(
    "Noise, and what averaging does about it",
    (TEMPERATURE, NOISE, SAMPLES, SOME_BITS),
    compute,
    Charts(
        (
            Chart(
                Axis("reading − true", scale="span", span=_span(-VIEW_V, VIEW_V)),
                Axis(span=(0, TALL), ticks=()),
                (
                    Bars(_bars, {"facecolor": "#c3ddee", "edgecolor": BLUE, "lw": 1.5}),
                    _upright(lambda result: 0, TRUTH),
                    _upright(lambda result: result.mean_c, Stroke(ORANGE, DASHES), "mean"),
                    Named(_codes, most=12, ha="center", paper=True),
                    Line(_counted, READING, key="simulated", dots="x", joined=False, size=3.2),
                    Named(lambda result: [(0, 1.08, "true")], ha="center"),
                ),
            ),
            Chart(
                Axis("samples averaged", "", (0.75, 1450), log=True, ticks=(1, 4, 16, 64, (256, ""), 1024)),
                Axis("rms error", scale="span", span=_span(*ERRORS_V), log=True),
                (
                    Line(lambda at: (COUNTS, at.error_c(1) / np.sqrt(COUNTS)), Stroke(INK, DASHES, 0.6), key="1/√M"),
                    Line(lambda at: ((0.75, 1450), (at.stays_c, at.stays_c)), LIMIT, key="stays"),
                    Line(lambda at: (COUNTS, at.error_c(COUNTS))),
                    Line(lambda at: (POWERS, at.simulated_c), READING, dots="x", joined=False, size=3.2),
                    Ring(lambda at: (at.samples, at.error_c(at.samples)), handle="samples_2n"),
                ),
            ),
        ),
        heads=FACTS,
    ),
    words,
    facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 06; `design` from a design file, `start` values of controls by name.

    >>> explorer(samples_2n=6).result().samples
    64
    """
    return Explorer(PLAN, design, **start)
