"""The answer of every line that the reader completes, worked out a second time: fractions and decimals, no tempkit.

A line gives its one number, a sketch or a table the list of its numbers, in the unit of its answer. A new line is a new
entry under its chapter.
"""

import math
import statistics
from decimal import Decimal
from fractions import Fraction
from math import sqrt
from statistics import NormalDist


def q(figure):
    """A printed figure as the exact fraction: q("4.75")."""
    return Fraction(figure)


def bench_mv(t_c):
    """The bench's air sensor [mV], of its page: 600 mV at 0 degC, 8 mV for each degree."""
    return 600 + 8 * q(t_c)


def bench_c(mv):
    """The temperature [degC] for which the bench's air sensor gives so much."""
    return (mv - 600) / 8


def step_mv(reference_v, bits=10):
    """One step of a converter [mV]."""
    return q(reference_v) * 1000 / 2**bits


def rectangle(limit):
    """The standard uncertainty of limits between which all is alike."""
    return square_root(q(limit) ** 2 / 3)


def square_root(value):
    return (Decimal(value.numerator) / Decimal(value.denominator)).sqrt()


def together(*limits):
    """Rectangles of these half-widths as one standard uncertainty."""
    return square_root(sum(q(limit) ** 2 for limit in limits) / 3)


def below(code, sigma="0.4096"):
    """The part of the samples of 0.800 V that lies below the lower edge of a code."""
    return statistics.NormalDist(163.84, float(sigma)).cdf(code)


def noisy_mean(samples, steps=4096):
    """The rms error of a mean of codes, in steps, noise 0.4096: over all places in a step, by summing over codes."""
    squares = 0.0
    for place in ((k + 0.5) / steps for k in range(steps)):
        noise = statistics.NormalDist(place, 0.4096)
        parts = [(code + 0.5 - place, noise.cdf(code + 1) - noise.cdf(code)) for code in range(-4, 5)]
        mean = sum(off * part for off, part in parts)
        spread = sum(off**2 * part for off, part in parts) - mean**2
        squares += mean**2 + spread / samples
    return math.sqrt(squares / steps)


def expanded(percent, t_c=25):
    """U of the bench by its papers: rectangles, and what noise and steps leave of a mean of 16."""
    step_c, signal_mv = step_mv(5) / 8, bench_mv(t_c)
    gain_c = 2 * step_c * signal_mv / 5000
    limits = together("1.5", q(percent) / 100 * signal_mv / 8, 2 * step_c, gain_c, step_c)
    return statistics.NormalDist().inv_cdf(0.975) * math.hypot(limits, noisy_mean(16) * step_c)


MIDDLE = Fraction(1, 2)

ANSWERS = {
    # ---- 01
    # ---- 02
    # ---- 03
    "03-type-code": bench_mv(25) // step_mv("4.75"),
    "03-type-volts": (172 + MIDDLE) * step_mv(5) / 1000,
    "03-type-reading": bench_c((172 + MIDDLE) * step_mv(5)),
    "03-sketch-error": [bench_mv(t) * (5 / q("4.75") - 1) / 8 for t in (0, 25, 50, 75)],
    "03-error-slope": 5 / q("4.75") - 1,
    "03-inner-step": step_mv("1.2") / 8,
    "03-inner-top": bench_c(1200),
    "03-half-volts": (163 + MIDDLE) * step_mv("4.90") / 1000,
    "03-half-worked": bench_c((163 + MIDDLE) * step_mv("4.90")),
    # ---- 04
    # ---- 05
    "05-lower-edge-add": step_mv(5) / 8 / 2,
    "05-sketch-rectangle": [0, *[Fraction(1000, 6)] * 6, 0],
    "05-sensor-u": rectangle("1.5"),
    "05-reference-slope": -bench_mv(25) / 8 / 5,
    "05-reference-u": rectangle(bench_mv(25) / 20 / 8),
    "05-combined": together("1.5", 5, 2 * step_mv(5) / 8, step_mv(5) / 8),
    "05-sensor-share": 100 * (rectangle("1.5") / together("1.5", 5, 2 * step_mv(5) / 8, step_mv(5) / 8)) ** 2,
    "05-expand": Decimal("1.96") * together("1.5", 5, 2 * step_mv(5) / 8, step_mv(5) / 8),
    "05-after-reference": expanded(1),
    "05-lamp-budget": Decimal("1.96") * together("1.5", bench_mv(18) / 20 / 8, 2 * step_mv(5) / 8, step_mv(5) / 8),
    # ---- 06
    "06-sketch-codes": [1000 * (below(code + 1) - below(code)) for code in range(161, 167)],
    "06-mean-of-16": q("0.25") / 4,
    "06-log-slope": math.log10(noisy_mean(100) / noisy_mean(1)) / 2,
    "06-window": next(ms for ms in range(1, 1000) if 50 * ms % 1000 == 60 * ms % 1000 == 0),
    "06-smooth-once": q("24.8") * q("0.82") + q("25.4") * q("0.18"),
    "06-half-samples": next(m for m in range(999) if m / 400 >= (q("0.512") ** 2 + q(1) / 12) * (step_mv(5) / 8) ** 2),
    "06-half-rate": 64 / q("0.1"),
    # ---- 07
    "07-back-low": 18 + MIDDLE,
    "07-two-sigma": 1000 * q("0.159") / 2,  # a round of two waits as long
    "07-sketch-state": [0, 1, 1, 1, 0],
    "07-back-after": MIDDLE / ((q("27.6") - q("26.8")) / (4 * 60)),
    "07-by-chance": 1000 * q("0.159") * q("0.159") * q("0.159"),
    "07-delay-cost": sum([2] * (5 - 1)),
    "07-real-calls": Fraction(9 * 100, 9 + 20),
    "07-half-u": sqrt(q("0.4") ** 2 + q("0.2") ** 2),
    "07-half-set": NormalDist(27, sqrt(0.2)).inv_cdf(0.05),
    # ---- 08
    "08-past-limit": 40 * (Decimal(30 - 22) / (30 - 27)).ln(),
    "08-start-slope": q(10) / 40,
    "08-climb": q(2) * 40 / 60,
    "08-pass": Fraction(3 * 20 * 10 * 1000, 9600) + 100,
    "08-half-count": 5 // q("1.04"),
    "08-half-late": 40 + 4 * q("1.04"),
    "08-sketch": [30 - 10 * (-Decimal(s) / 40).exp() for s in (0, 20, 40, 60, 80, 120)],
    # ---- 09
    # ---- 10
    # ---- 11
    # ---- 12
    # ---- 13
}
