"""Answers of chapter 12 worked out a second time: decimals, fractions, scipy and thermocouple-its90; no tempkit."""

from decimal import Decimal, getcontext
from fractions import Fraction
from math import floor

import numpy as np
import pytest
import thermocouple_its90
from scipy import stats
from scipy.optimize import brentq

from references import reference
from tempkit.exercises import Choice, Posed, cells, problem, problems, usable_sets
from tempkit.exercises.kinds import record

getcontext().prec = 40
ZERO_K = Decimal("273.15")
CLASSES = {"A": ("0.15", "0.002"), "B": ("0.3", "0.005"), "C": ("0.6", "0.01")}


def d(value):
    """A figure as the exact decimal of what is printed."""
    return Decimal(str(value))


def q(value):
    return Fraction(str(value))


def beta_ohm(r_ohm, beta_k, from_c, to_c):
    """The Beta equation to 40 digits, from one temperature to another."""
    return d(r_ohm) * (d(beta_k) * (1 / (d(to_c) + ZERO_K) - 1 / (d(from_c) + ZERO_K))).exp()


def beta_c(f):
    """The temperature by halving between -100 and 200 degC."""
    return brentq(lambda t_c: float(beta_ohm(f.r25_ohm, f.beta_k, 25, t_c)) - f.r_ohm, -100, 200, xtol=1e-11)


def pin_mv(f, t_c):
    r_ohm = beta_ohm(f.r_ohm, f.beta_k, f.t_c, t_c)
    return 5000 * r_ohm / (r_ohm + d(f.fixed_ohm))


def slope_mv(f):
    """A central difference of a hundredth of a millionth of a degree; forty digits bear that."""
    step = Decimal("1e-8")
    return (pin_mv(f, d(f.t_c) - step) - pin_mv(f, d(f.t_c) + step)) / (2 * step)


def flat_ohm(f):
    """Where the second difference of the pin's voltage is zero, found by root finding."""

    def bend(fixed_ohm):
        step = Decimal("1e-6")

        def pin(t_c):
            r_ohm = beta_ohm(f.rt_ohm, f.beta_k, f.t_c, t_c)
            return r_ohm / (r_ohm + d(fixed_ohm))

        at = d(f.t_c)
        return float((pin(at - step) - 2 * pin(at) + pin(at + step)) / step**2)

    return brentq(bend, 0.1 * f.rt_ohm, 2.0 * f.rt_ohm, xtol=1e-9, rtol=1e-12)


def hot_c(f):
    emf = thermocouple_its90.get("K").emf
    return brentq(lambda t_c: emf(t_c) - (f.measured_mv + f.cold_mv), -50, 300, xtol=1e-9)


def platinum_ohm(t_c):
    """IEC 60751 to 40 digits, with its third term below 0 degC."""
    t = d(t_c)
    cold = d("-4.183e-12") * (t - 100) * t**3 if t < 0 else 0
    return 100 * (1 + d("0.0039083") * t + d("-5.775e-7") * t**2 + cold)


def bead_c(f):
    """Steinhart and Hart's equation as it is printed in the problem, to 40 digits."""
    log = d(f.r_ohm).ln()
    return 1 / (d("0.0010046") + d("0.00025") * log + d("0.00000006") * log**3) - ZERO_K


def fall_ohm(f):
    """A central difference of a hundredth of a millionth of a degree, to 40 digits."""
    step = Decimal("1e-8")
    below, above = (beta_ohm(f.r25_ohm, f.beta_k, 25, d(f.t_c) + side * step) for side in (-1, 1))
    return (below - above) / (2 * step)


def budget(f):
    """Standard deviations of rectangles by scipy, and their sum in squares: what the half-filled table leaves open."""
    halves = [f.bead_percent / 4.06, f.fixed_percent / 4.06, f.beta_c]
    us = [stats.uniform(-half, 2 * half).std() for half in halves]
    return [us[0], halves[1], us[1], us[2], np.hypot(np.hypot(*us[:2]), us[2])]


SECOND_ROUTE = {
    "12-beta-ohms": lambda f: beta_ohm(f.r25_ohm, f.beta_k, 25, f.t_c),
    "12-beta-back": beta_c,
    "12-divider": lambda f: q(f.feed_v) / (1 + q(f.fixed_ohm) / q(f.r_ohm)),
    "12-ratiometric": lambda f: floor(1024 * q(f.r_ohm) / (q(f.r_ohm) + q(f.fixed_ohm))),
    "12-flat-resistor": flat_ohm,
    "12-sensitivity": slope_mv,
    "12-class-limit": lambda f: d(CLASSES[f.letter][0]) + d(CLASSES[f.letter][1]) * abs(f.t_c),
    "12-bridge": lambda f: 1000 * q(f.feed_v) * (1 - 1 / (2 + q(f.more_percent) / 100) - Fraction(1, 2)),
    "12-cold-junction": hot_c,
    "12-below-zero": lambda f: [platinum_ohm(f.warm_c), platinum_ohm(f.cold_c)],
    "12-two-to-four-wires": lambda f: [
        ohm / q("0.388") for ohm in (q(f.lead_ohm) + q(f.lead_ohm) + q(f.joint_ohm), q(f.joint_ohm), 0)
    ],
    "12-steinhart-hart": bead_c,
    "12-read-the-slope": fall_ohm,
    "12-kiln-volts": lambda f: thermocouple_its90.get("K").emf(f.t_c) - thermocouple_its90.get("K").emf(25),
    "12-half-budget": budget,
    "12-step-of-a-couple": lambda f: q(f.reference_v) / 2**f.bits / (q("0.000041") * f.gain),
}


def test_every_computed_answer_of_the_chapter_has_a_second_route():
    assert {each.id for each in problems("12").values() if not isinstance(each.answer, Choice)} == set(SECOND_ROUTE)


@pytest.mark.parametrize("name", SECOND_ROUTE)
def test_the_second_route_gives_the_same(name):
    (posed,) = problems(name).values()
    for figures in usable_sets(posed):
        expected = SECOND_ROUTE[name](figures)
        expected = expected if isinstance(expected, list) else [expected]
        computed = cells(posed.answer, posed.answer.value(figures))
        assert list(map(float, computed)) == pytest.approx(list(map(float, expected)), rel=1e-6, abs=1e-9)


def test_practice_knows_published_values_and_their_usual_slips():
    """The sources stand with the references: a worked cold-junction case, the platinum table, a Beta table."""
    couple = problem("12-cold-junction").problem
    known = reference("tc-cjc-k1")
    case = Posed(couple, record(couple.names)(3.096, 25, 1.0))
    assert case.check(f"{known.expected['T_degC']} °C").right
    assert case.check(f"{known.expected['wrong_add_temperatures']} °C").way == "temperatures"
    cold = problem("12-below-zero").problem
    case = Posed(cold, record(cold.names)(200, -150))
    ohms = reference("pt100-table").expected["R_ohm_2dp"]
    assert case.check([f"{ohms['200']} ohm", f"{ohms['-150']} ohm"]).right
    beta = problem("12-beta-ohms").problem
    table = reference("ntc-beta-rt")
    for t_c, r_ohm in zip(table.inputs["t_degC"], table.expected["R"], strict=True):
        if t_c in (10, 37, 50):
            case = Posed(beta, record(beta.names)(table.inputs["R25"], table.inputs["beta"], t_c))
            assert case.check(f"{r_ohm} ohm").right
