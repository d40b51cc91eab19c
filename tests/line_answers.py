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
    # ---- 00
    "00-first-volts": bench_mv(25) / 1000,
    "00-moved": bench_c((bench_mv(25) // step_mv("5.25") + MIDDLE) * step_mv(5)),
    # ---- 01
    "01-bet": q("1.5"),  # the page of the air sensor, grade P, highest
    "01-type-volts": bench_mv(27),
    "01-type-back": bench_c(744),
    "01-sketch-band": [bench_mv(t + q("1.5")) - bench_mv(t) for t in (0, 25, 50, 100)],
    "01-half-slope": Fraction(1610 - 530, 70 - 10),
    "01-half-start": 1610 - 70 * Fraction(1610 - 530, 70 - 10),
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
}
