"""The answer of every line that the reader completes, worked out a second time: fractions and decimals, no tempkit.

A line gives its one number, a sketch or a table the list of its numbers, in the unit of its answer. A new line is a new
entry under its chapter.
"""

from decimal import Decimal
from fractions import Fraction


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
    "09-correction": q("40.0") - q("41.3"),
    "09-deeper": q("0.93") ** 2 / 22,
    "09-weather": (Decimal("0.57") ** 2 / 3).sqrt(),
    "09-slope": (q("-1.3") - q("-0.7")) / (q("41.3") - q("0.7")),
    "09-by-two-points": q(40) * (q("26.1") - q("0.7")) / (q("41.3") - q("0.7")),
    "09-sketch-band": [(Decimal((40 - x) ** 2 + x**2) / 200**2).sqrt() for x in (0, 20, 40, 60, 80)],
    "09-half-between": (Decimal("0.15") ** 2 / 3).sqrt(),
    "09-half-point": (Decimal("0.1") ** 2 + Decimal("0.15") ** 2 / 3).sqrt(),
    "09-en": (Decimal("30.4") - 30) / (Decimal("0.3") ** 2 + Decimal("0.2") ** 2).sqrt(),
    # ---- 10
    "10-rows": 2550 - 7 - (7 + 2 + 1),
    "10-missing": len(range(0, 76400, 1032)) - 1 - 1,
    "10-sketch-gap": [q("21.0") + q("0.6") * q(m) / 60 for m in (0, 30, 60, 180, 210, 240)],
    "10-drift-slope": (q("23.39") - q("21.04")) / ((q("237.5") - q("2.5")) / 60),
    "10-worth": 40 * (1 - q("0.9")) / (1 + q("0.9")),
    "10-half-u": (Decimal("0.012") ** 2 + Decimal("0.05") ** 2).sqrt(),
    # ---- 11
    # ---- 12
    # ---- 13
}
