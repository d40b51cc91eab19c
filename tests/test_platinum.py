"""Platinum thermometers against the tables of IEC 60751, another root finder and exact fractions."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from references import reference
from tempkit.chain import PlatinumSensor
from tempkit.chain.parts import platinum

PT100 = PlatinumSensor()
LAST_DIGITS_C = 5e-13  # a rounding of R / R0 near 4, 4e-16, divided by the least slope of 0.0029 / degC


def exact_ohms(t_c, r0=100):
    """IEC 60751, 4.2, in rational numbers, from the decimal coefficients as printed."""
    t, coefficients = Fraction(t_c), reference("pt-coeff").expected
    a, b, c = (Fraction(repr(coefficients[key])) for key in "ABC")
    return r0 * (1 + a * t + b * t**2 + (c * (t - 100) * t**3 if t < 0 else 0))


def test_coefficients():
    expected = reference("pt-coeff").expected
    assert {"A": platinum.A, "B": platinum.B, "C": platinum.C} == {key: expected[key] for key in "ABC"}
    alpha = (PT100.ohms(100.0) - PT100.ohms(0.0)) / 100 / 100
    assert alpha == pytest.approx(expected["alpha"], abs=5e-7)  # printed with four digits


@pytest.mark.parametrize("digits", ["2dp", "4dp"])
def test_the_table(digits):
    row = reference("pt100-table")
    expected = row.expected[f"R_ohm_{digits}"]
    got = PT100.ohms([float(t_c) for t_c in expected])
    assert np.abs(got - list(expected.values())).max() <= row.tolerance[digits] * (1 + 1e-9)


def test_the_table_of_pt1000():
    row = reference("pt1000-table")
    got = PlatinumSensor(r0_ohm=1000.0).ohms(row.inputs["t_degC"])
    assert got == pytest.approx(row.expected["R_ohm"], abs=row.tolerance["abs"])


def test_the_way_back():
    row = reference("pt100-inverse")
    assert PT100.celsius(row.inputs["R_ohm"]) == pytest.approx(row.expected["t_degC"], abs=row.tolerance["abs"])


def test_every_degree_in_exact_fractions_and_back():
    for t_c in range(-200, 851):
        exact = exact_ohms(t_c)
        r_ohm = PT100.ohms(t_c)
        assert abs(Fraction(r_ohm) - exact) < 3e-16 * (100 + exact)  # terms of the size of R0 are summed
        assert PT100.celsius(float(exact)) == pytest.approx(t_c, abs=LAST_DIGITS_C)


def test_against_another_root_finder():
    r_ohm = np.random.default_rng(1).uniform(18.6, 390.0, 300)
    ours = PT100.celsius(r_ohm)
    for one, t_c in zip(r_ohm, ours, strict=True):
        other = brentq(lambda t, r=one: PT100.line(t) - r, -201.0, 851.0, xtol=1e-13, rtol=1e-15)
        assert t_c == pytest.approx(other, abs=LAST_DIGITS_C)


@given(st.floats(-200, 850), st.sampled_from([10.0, 100.0, 500.0, 1000.0]))
def test_there_and_back(t_c, r0_ohm):
    sensor = PlatinumSensor(r0_ohm=r0_ohm)
    back_c = sensor.celsius(sensor.ohms(t_c))
    assert -200 <= back_c <= 850
    assert back_c == pytest.approx(t_c, abs=LAST_DIGITS_C)


@given(st.floats(-199.9, 849.9).filter(lambda t_c: abs(t_c) > 0.1))
def test_slope_is_the_difference(t_c):
    """A central difference of 0.02 degC: rounding 3e-14 / 0.02, curvature of higher order below that."""
    rise = PT100.line(t_c + 0.01) - PT100.line(t_c - 0.01)
    assert PT100.ohms_per_c(t_c) == pytest.approx(rise / 0.02, rel=1e-9)


def test_the_mean_slope_by_which_the_curve_is_known():
    """IEC 60751:2022, scope: 3.851e-3 per degC from 0 to 100 degC, read in a secondary copy."""
    assert round((PT100.ohms(100.0) / 100 - 1) / 100, 6) == round(platinum.ALPHA_PER_C, 6) == 0.003851
    assert "0.003851" in PT100.curve


@pytest.mark.parametrize(
    ("alpha", "off_c"), [(0.003750, -2.65), (0.003902, 1.36), (0.003916, 1.73), (0.003926, 1.99)]
)
def test_platinum_of_another_curve_is_beyond_class_b_in_steam(alpha, off_c):
    """R = 100 ohm (1 + 100 alpha) at 100 degC by definition; the error by hand, over the slope of 0.3793 ohm/degC."""
    other_ohm = 100 * (1 + 100 * alpha)
    off = PT100.celsius(other_ohm) - 100.0
    assert off == pytest.approx(off_c, abs=0.01)
    assert off == pytest.approx((other_ohm - 138.5055) / 0.3793, rel=0.01)
    assert abs(off) > 1.5 * PT100.tolerance_c(100.0)


def test_both_sides_of_zero_meet():
    below, above = -1e-9, 1e-9
    assert PT100.ohms_per_c(below) == pytest.approx(PT100.ohms_per_c(above), rel=1e-11)
    assert PT100.celsius(100.0) == 0.0
    # The C term belongs below 0 degC only: at 100 degC it would vanish, at 200 degC it would take 0.33 ohm.
    assert PT100.ohms(200.0) == pytest.approx(175.8560, abs=5e-5)


def test_scalar_and_array_agree_exactly():
    t_c = np.random.default_rng(3).uniform(-200, 850, (4, 5))
    r_ohm = PT100.ohms(t_c)
    assert r_ohm.shape == PT100.celsius(r_ohm).shape == PT100.ohms_per_c(t_c).shape == t_c.shape
    assert r_ohm.ravel().tolist() == [PT100.ohms(float(one)) for one in t_c.ravel()]
    warm = t_c > 0
    assert PT100.celsius(r_ohm)[warm].tolist() == [PT100.celsius(float(one)) for one in r_ohm[warm]]
    assert PT100.celsius(r_ohm) == pytest.approx(t_c, abs=LAST_DIGITS_C)
    assert type(PT100.ohms(25)) is type(PT100.celsius(100)) is type(PT100.tolerance_c(0)) is float


# ---- classes


@pytest.mark.parametrize("name", ["AA", "A", "B", "C"])
def test_tolerances(name):
    row = reference("pt-tol")
    sensor = PlatinumSensor(tolerance_class=name)
    got = [sensor.tolerance_c(t_c) for t_c in row.inputs["t_degC"]]
    assert got == pytest.approx(row.expected[name], abs=row.tolerance["abs"])


# IEC 60751:2008, read in a secondary copy: where the classes hold, wound wire and film; class C from memory.
@pytest.mark.parametrize(
    ("name", "element", "low_c", "high_c"),
    [
        ("AA", "wire", -50, 250), ("A", "wire", -100, 450), ("B", "wire", -196, 600), ("C", "wire", -196, 600),
        ("AA", "film", 0, 150), ("A", "film", -30, 300), ("B", "film", -50, 500), ("C", "film", -50, 600),
    ],
)  # fmt: skip
def test_a_class_limits_only_its_promise(name, element, low_c, high_c):
    sensor = PlatinumSensor(tolerance_class=name, element=element)
    outside = (low_c - 0.1, high_c + 0.1)
    assert np.isnan(sensor.tolerance_c([low_c, high_c, *outside])).tolist() == [False, False, True, True]
    for t_c in outside:
        with pytest.raises(ValueError, match=rf"{low_c} to {high_c} degC: class {name} .* promises nothing"):
            sensor.tolerance_c(t_c)
        assert sensor.celsius(sensor.ohms(t_c)) == pytest.approx(t_c, abs=LAST_DIGITS_C)


def test_printed_resistances_with_their_class_limits():
    """Class B at 600 degC: 312.65 to 314.77 ohm; at -196 degC: 19.69 to 20.80 ohm. IEC 60751:2008, secondary copy."""
    sensor = PlatinumSensor()
    for t_c, printed in ((600.0, (312.65, 314.77)), (-196.0, (19.69, 20.80)), (100.0, (138.20, 138.81))):
        limits = [sensor.line(t_c + side * sensor.tolerance_c(t_c)) for side in (-1, 1)]
        assert limits == pytest.approx(printed, abs=0.0051)


# ---- out of range


@pytest.mark.parametrize("t_c", [-200.1, 850.1, math.nan, math.inf])
def test_temperature_out_of_range(t_c):
    for function in (PT100.ohms, PT100.ohms_per_c):
        with pytest.raises(ValueError, match=r"temperature .* degC is outside -200 to 850 degC: .*own range"):
            function(t_c)
        assert np.isnan(function([t_c, 20.0])).tolist() == [True, False]


@pytest.mark.parametrize("r_ohm", [18.4, 390.6, 0.0, -5.0, math.nan, math.inf])
def test_resistance_out_of_range(r_ohm):
    with pytest.raises(ValueError, match=r"resistance .* ohm is outside 18.5201 to 390.481 ohm: .*lead"):
        PT100.celsius(r_ohm)
    assert np.isnan(PT100.celsius([r_ohm, 100.0])).tolist() == [True, False]


def test_the_bare_formulas_look_at_no_range():
    assert PT100.inverse(PT100.line(900.0)) == pytest.approx(900.0, abs=1e-9)
    assert PT100.inverse(PT100.line(-230.0)) == pytest.approx(-230.0, abs=1e-9)
    assert np.isfinite(PT100.inverse(np.array([-500.0, 0.0, 1e6]))).all()
    assert PT100.inverse(math.inf) == pytest.approx(3383.81, abs=0.01)  # A / -2B, the top of the parabola


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"r0_ohm": 0.0}, "r0_ohm 0 ohm must be above 0 ohm"),
        ({"r0_ohm": math.nan}, "r0_ohm nan ohm must be above 0 ohm"),
        ({"tolerance_class": "D"}, "tolerance_class 'D' is not one of AA, A, B, C"),
        ({"element": "foil"}, "element 'foil' is not one of wire, film"),
        ({"range_c": (0.0, 900.0)}, "range_c (0, 900) degC is not within -200 to 850 degC"),
        ({"range_c": (100.0, 0.0)}, "range_c (100, 0) degC is not a range"),
    ],
)
def test_a_sensor_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        PlatinumSensor(**arguments)
    assert words in str(error.value)
