"""The answer of every line that the reader completes, worked out a second time: fractions and decimals, no tempkit.

A line gives its one number, a sketch or a table the list of its numbers, in the unit of its answer. A new line is a new
entry under its chapter.
"""

import ctypes
from decimal import ROUND_HALF_UP, Decimal
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
    "02-type-step-mv": step_mv(5),
    "02-type-step-c": step_mv(5) / 8,
    "02-type-code": bench_mv(25) // step_mv(5),
    "02-warmest": bench_c(164 * step_mv(5)),
    "02-sketch-codes": [bench_mv(t) // step_mv(5) for t in ("24.4", "24.8", 25, "25.2", "25.6", "25.8")],
    "02-code-slope": 8 / step_mv(5),
    "02-type-middle": bench_c((158 + MIDDLE) * step_mv(5)),
    "02-wrong-half": step_mv(5) / 8 * MIDDLE,
    "02-divisor-added": (163 + MIDDLE) * (q(5000) / 1023 - step_mv(5)) / 8,
    "02-half-bits": len(bin(int(3300 / q("1.6")))) - 2,
    "02-half-code": bench_mv(2) // step_mv("3.3", 12),
    "02-half-reading": bench_c((764 + MIDDLE) * step_mv("3.3", 12)),
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
    "04-way-back": bench_c((152 + MIDDLE) * step_mv(5)),
    "04-digits": next(d for d in range(9) if Fraction(1, 10**d) <= step_mv(5) / 8),
    "04-slash": 0,
    "04-divide-late": divmod(163 * 5000, 1024)[0],
    "04-sketch-claims": [bench_c(bench_mv(t) * 4 / step_mv(5)) for t in (0, 25, 50, 75)],
    "04-claim-slope": 4 / step_mv(5),
    "04-fits": divmod(2**15 - 1, 5000)[0],
    "04-left-over": ctypes.c_int16(152 * 5000).value,
    "04-half-mv": (Decimal(762500) / 1024).quantize(Decimal(1), rounding=ROUND_HALF_UP),
    "04-half-tenths": (Decimal(1450) / 8).quantize(Decimal(1), rounding=ROUND_HALF_UP),
    "04-limits-f": q("1.5") * 9 / 5,
    "04-zero-k": q("273.15") - 273,
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
}
