"""The answer of every line that the reader completes, worked out a second time: fractions and decimals, no tempkit.

A line gives its one number, a sketch or a table the list of its numbers, in the unit of its answer. A new line is a new
entry under its chapter.
"""

import ctypes
import math
import statistics
from decimal import ROUND_HALF_UP, Decimal
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


ZERO_K, ROOM_K = Decimal("273.15"), Decimal("298.15")


def bead_ohm(t_c):
    """The bench's thermistor by the Beta equation: 9.1 kohm at 25 degC, 3610 K."""
    return 9100 * (3610 * (1 / (ZERO_K + t_c) - 1 / ROOM_K)).exp()


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
    # ---- 00
    "00-first-volts": bench_mv(25) / 1000,
    "00-moved": bench_c((bench_mv(25) // step_mv("5.2") + MIDDLE) * step_mv(5)),
    # ---- 01
    "01-bet": q("1.5"),  # the page of the air sensor, grade P, highest
    "01-type-volts": bench_mv(27),
    "01-type-back": bench_c(744),
    "01-sketch-band": [bench_mv(t + q("1.5")) - bench_mv(t) for t in (0, 25, 50, 100)],
    "01-half-slope": Fraction(1610 - 530, 70 - 10),
    "01-half-start": 1610 - 70 * Fraction(1610 - 530, 70 - 10),
    # ---- 02
    "02-type-step-mv": step_mv(5),
    "02-type-step-c": step_mv(5) / 8,
    "02-type-code": bench_mv(20) // step_mv(5),
    "02-warmest": bench_c(168 * step_mv(5)),
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
    "10-sketch-gap": [q("20.0") + q("1.2") * q(m) / 60 for m in (0, 30, 60, 180, 210, 240)],
    "10-drift-slope": (q("23.39") - q("21.04")) / ((q("237.5") - q("2.5")) / 60),
    "10-worth": 40 * (1 - q("0.9")) / (1 + q("0.9")),
    "10-half-u": (Decimal("0.012") ** 2 + Decimal("0.05") ** 2).sqrt(),
    # ---- 11
    "11-which-supply": 5 * bench_mv(23) / bench_mv("31.5"),
    "11-silent-at": bench_c(bench_mv("26.5") * q("4.6") / 5),
    "11-sketch-latch": [24, 26, *(bench_c(bench_mv(t) * 5 / q("4.6")) for t in (28, 26, 24))],
    "11-error-slope": 5 / q("4.5") - 1,
    "11-of-a-hundred": Fraction(4500, 105),
    "11-half-reference": bench_mv(21) / 1000 / (q("238.9") / 1024),
    # ---- 12
    "12-hot-mv": q("2.469") + q("0.798"),
    "12-kiln-off": q("1172.7") + 25 - 1200,
    "12-kiln-slope": (q("49.202") - q("48.473")) * 1000 / 20,
    "12-sketch-bead": [bead_ohm(t) / 1000 for t in (10, 40, 60)],
    "12-sagging-divider": 1024 * 8395 // (8395 + 9100),
    "12-half-kelvin": 1 / (1 / ROOM_K + (Decimal(6700) / 9100).ln() / 3610),
    "12-half-celsius": 1 / (1 / ROOM_K + (Decimal(6700) / 9100).ln() / 3610) - ZERO_K,
    # ---- 13
    "13-sketch-calls": [1000 * statistics.NormalDist(27, 0.6).cdf(t) for t in (26, 26.5, 27, 27.5, 28)],
    "13-hand-u": together("1.5", "5.1", "1.22", "0.61"),
    "13-hand-guard": statistics.NormalDist().inv_cdf(0.95) * float(together("1.5", "5.1", "1.22", "0.61")),
    "13-hand-late": 40 + 1 / (Decimal("0.2").exp() - 1) + 1 + 2,
    "13-cheapest-linear": 4 + 2 + 2,  # the steep sensor, 2.5 V of 0.2 %, 12 bits
    "13-front-slope": (q("0.612") - q("0.419")) / (6 - q("1.90")),
    "13-half-u": together("0.2", "0.15"),
    "13-half-left": square_root(q("0.152") ** 2 - (q("0.2") ** 2 + q("0.15") ** 2) / 3),
}
