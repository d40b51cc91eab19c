"""The answer of every line that the reader completes, worked out a second time: fractions and decimals, no tempkit.

A line gives its one number, a sketch or a table the list of its numbers, in the unit of its answer. A new line is a new
entry under its chapter.
"""

from decimal import Decimal
from fractions import Fraction
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


def rectangles(*limits):
    """Standard uncertainty of independent rectangles of these half-widths."""
    return (sum(Decimal(limit) ** 2 for limit in limits) / 3).sqrt()


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
    # ---- 06
    # ---- 07
    # ---- 08
    "08-sketch": [30 - 10 * (-Decimal(s) / 40).exp() for s in (0, 20, 40, 60, 80, 120)],
    # ---- 09
    # ---- 10
    # ---- 11
    # ---- 12
    # ---- 13
    "13-sketch-calls": [1000 * NormalDist(27, 0.6).cdf(t) for t in (26, 26.5, 27, 27.5, 28)],
    "13-hand-u": rectangles("1.5", "5.1", "1.22", "0.61"),
    "13-hand-guard": NormalDist().inv_cdf(0.95) * 3.17,
    "13-hand-late": 40 + 1 / (Decimal("0.2").exp() - 1) + 1 + 2,
    "13-cheapest-price": q("1.4") + 0 + q("0.5"),
    "13-front-slope": (q("0.612") - q("0.419")) / (6 - q("1.90")),
    "13-half-u": rectangles("0.2", "0.15"),
    "13-half-left": (Decimal("0.152") ** 2 - Decimal("0.144") ** 2).sqrt(),
}
