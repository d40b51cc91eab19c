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


ZERO_K, ROOM_K = Decimal("273.15"), Decimal("298.15")


def bead_ohm(t_c):
    """The bench's thermistor by the Beta equation: 9.1 kohm at 25 degC, 3610 K."""
    return 9100 * (3610 * (1 / (ZERO_K + t_c) - 1 / ROOM_K)).exp()


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
    "11-held-reading": bench_c(bench_mv(23) * 5 / q("4.6")),
    "11-silent-at": bench_c(bench_mv("26.5") * q("4.6") / 5),
    "11-sketch-latch": [24, 26, *(bench_c(bench_mv(t) * 5 / q("4.6")) for t in (28, 26, 24))],
    "11-error-slope": 5 / q("4.6") - 1,
    "11-of-a-hundred": Fraction(4500, 105),
    "11-half-reference": bench_mv(21) / 1000 / (q("238.9") / 1024),
    # ---- 12
    "12-hot-mv": q("3.096") + 1,
    "12-kiln-off": q("1271.5") + 25 - 1300,
    "12-kiln-slope": (q("52.759") - q("52.060")) * 1000 / 20,
    "12-sketch-bead": [bead_ohm(t) / 1000 for t in (10, 40, 60)],
    "12-sagging-divider": 1024 * 8395 // (8395 + 9100),
    "12-half-kelvin": 1 / (1 / ROOM_K + (Decimal(6700) / 9100).ln() / 3610),
    "12-half-celsius": q("305.88") - q("273.15"),
    # ---- 13
}
