"""Chapter 06: noise and averaging. Which codes a still temperature gives, and what is left after averaging them."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tempkit import noise
from tempkit.book import tidy
from tempkit.explorers.averaging_picture import MOST_SAMPLES, Averaging
from tempkit.explorers.controls import NOISE, SAMPLES, SOME_BITS, TEMPERATURE, noise_of
from tempkit.explorers.stage import Explorer, Plan, or_none, warning
from tempkit.walk import Walk, walk

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
        return noise.averaged_error_lsb(self.sigma_lsb, samples) * self.way.step_c

    @property
    def stays_c(self):
        """Rms error that no averaging removes [degC]."""
        return noise.averaging_floor_lsb(self.sigma_lsb) * self.way.step_c

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

    >>> from tempkit.converter import Converter
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

    >>> from tempkit.converter import Converter
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
    simulated = [noise.simulated_averaging_error_lsb(sigma_lsb, m, TRIALS, SEED) for m in POWERS]
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
