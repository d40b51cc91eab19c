"""Thermistors against cases worked out in sixty digits, other root finders and rational arithmetic."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from references import reference
from tempkit.chain import Thermistor

BETA = Thermistor.from_beta(r25_ohm=9100.0, beta_k=3610.0)
LAST_DIGITS_C = 1e-11  # 1/T and ln R in a float, near 300 K

betas = st.builds(Thermistor.from_beta, st.floats(100.0, 1e6), st.floats(2000.0, 5000.0))


@st.composite
def fitted(draw):
    """Steinhart-Hart through three points of a slowly changing beta, as real thermistors have."""
    r25_ohm, beta_k, drift = draw(st.floats(500.0, 1e5)), draw(st.floats(2800.0, 4500.0)), draw(st.floats(0.0, 2.0))
    curve = [Thermistor.from_beta(r25_ohm, beta_k + drift * (t_c - 25.0)).ohms(t_c) for t_c in (0.0, 25.0, 70.0)]
    return Thermistor.from_points(list(zip((0.0, 25.0, 70.0), curve, strict=True)))


sensors = betas | fitted()


@pytest.mark.parametrize("name", ["ntc-sh-fit1", "ntc-sh-fit2"])
def test_three_points(name):
    row = reference(name)
    sensor = Thermistor.from_points(list(zip(row.inputs["T_degC"], row.inputs["R"], strict=True)))
    wanted = (row.expected[key] for key in "ABC")
    assert (sensor.a, sensor.b, sensor.c) == pytest.approx(tuple(wanted), rel=row.tolerance["rel"])
    for t_c, r_ohm in zip(row.inputs["T_degC"], row.inputs["R"], strict=True):
        assert sensor.ohms(t_c) == pytest.approx(r_ohm, rel=1e-11)
        assert sensor.celsius(r_ohm) == pytest.approx(t_c, abs=LAST_DIGITS_C)


@pytest.mark.parametrize("name", ["ntc-sh-fit1", "ntc-sh-fit2"])
def test_readings_of_a_fit(name):
    row = reference(name)
    sensor = Thermistor.from_points(list(zip(row.inputs["T_degC"], row.inputs["R"], strict=True)))
    assert sensor.celsius(7000.0) == pytest.approx(row.expected["T_at_7000_K"] - 273.15, abs=row.tolerance["T"])
    sensor = Thermistor.from_steinhart_hart(*(row.expected[key] for key in "ABC"))
    assert sensor.celsius(7000.0) == pytest.approx(row.expected["T_at_7000_K"] - 273.15, abs=row.tolerance["T"])


def test_resistances_of_coefficients():
    row = reference("ntc-sh-fit2")
    sensor = Thermistor.from_steinhart_hart(*(row.expected[key] for key in "ABC"))
    assert sensor.ohms([10.0, 37.0]) == pytest.approx(row.expected["R_at_10_and_37_degC"], abs=row.tolerance["R"])


def test_beta_equation():
    row = reference("ntc-beta-rt")
    assert BETA.ohms(row.inputs["t_degC"]) == pytest.approx(row.expected["R"], abs=row.tolerance["abs"])
    percent = 100 * BETA.ohms_per_c(25.0) / BETA.ohms(25.0)
    assert percent == pytest.approx(row.expected["alpha25_percent_per_K"], abs=1e-5)


def test_beta_from_two_points():
    """beta = ln(R1 / R2) / (1/T1 - 1/T2), and the sensor of that beta goes through both."""
    row = reference("ntc-beta")
    r1, r2, t1, t2 = (row.inputs[key] for key in ("R1", "R2", "T1_degC", "T2_degC"))
    beta_k = math.log(r1 / r2) / (1 / (t1 + 273.15) - 1 / (t2 + 273.15))
    assert beta_k == pytest.approx(row.expected["beta_K"], abs=row.tolerance["abs"])
    assert Thermistor.from_beta(r1, beta_k).ohms(t2) == pytest.approx(r2, rel=1e-12)


def test_beta_is_steinhart_hart_without_its_cube():
    same = Thermistor.from_steinhart_hart(BETA.a, BETA.b, 0.0)
    t_c = np.linspace(-55, 150, 500)
    assert same.ohms(t_c) == pytest.approx(BETA.ohms(t_c), rel=1e-13)
    assert same.ohms_per_c(t_c) == pytest.approx(BETA.ohms_per_c(t_c), rel=1e-13)


@given(sensors, st.floats(-55, 150))
def test_there_and_back(sensor, t_c):
    back_c = sensor.celsius(sensor.ohms(t_c))
    assert -55 <= back_c <= 150
    assert back_c == pytest.approx(t_c, abs=LAST_DIGITS_C)


@given(sensors, st.floats(-55, 150))
def test_against_another_root_finder(sensor, t_c):
    """The cubic for ln R, solved by bisection and secants instead of by a formula."""
    target = 1 / (t_c + 273.15)
    log = brentq(lambda x: sensor.a + sensor.b * x + sensor.c * x**3 - target, -20, 50, xtol=1e-13, rtol=1e-15)
    assert math.log(sensor.ohms(t_c)) == pytest.approx(log, abs=3e-13)


@given(sensors, st.floats(-54.9, 149.9))
def test_slope_is_the_difference(sensor, t_c):
    rise = sensor.line(t_c + 0.005) - sensor.line(t_c - 0.005)
    assert sensor.ohms_per_c(t_c) == pytest.approx(rise / 0.01, rel=1e-6)


@given(sensors, st.lists(st.floats(-55, 150), min_size=2, max_size=20))
def test_it_falls_everywhere(sensor, t_c):
    assert (np.diff(sensor.ohms(sorted(t_c))) <= 0).all()


def test_scalar_and_array_agree():
    t_c = np.random.default_rng(3).uniform(-55, 150, (4, 5))
    r_ohm = BETA.ohms(t_c)
    assert r_ohm.shape == BETA.celsius(r_ohm).shape == BETA.ohms_per_c(t_c).shape == t_c.shape
    assert r_ohm.ravel() == pytest.approx([BETA.ohms(float(one)) for one in t_c.ravel()], rel=1e-15)
    assert type(BETA.ohms(25)) is type(BETA.celsius(10_000)) is type(BETA.ohms_per_c(25)) is float


def test_a_sensor_with_a_negative_cube():
    """Points of a beta that falls with temperature give c below 0; the way there and back holds all the same."""
    curve = [Thermistor.from_beta(9100.0, 3610.0 - 1.0 * (t_c - 25.0)).ohms(t_c) for t_c in (0.0, 25.0, 70.0)]
    sensor = Thermistor.from_points(list(zip((0.0, 25.0, 70.0), curve, strict=True)), range_c=(-20.0, 90.0))
    assert sensor.c < 0
    t_c = np.linspace(-20, 90, 111)
    assert sensor.celsius(sensor.ohms(t_c)) == pytest.approx(t_c, abs=LAST_DIGITS_C)


# ---- tolerances


def test_tolerances_of_r25_and_beta():
    """R25 1 % high is 1 % more everywhere; beta is without effect at 25 degC and tilts about it."""
    sensor = Thermistor.from_beta(9100.0, 3610.0, r25_tolerance=0.01, beta_tolerance=0.005)
    assert [each[:2] for each in sensor.doubts(25.0).values()] == [(1.0, "%"), (0.5, "%")]
    assert list(sensor.doubts(25.0)) == ["r25", "beta"]
    t_c = np.array([0.0, 25.0, 60.0])
    assert sensor.line(t_c, {"r25": 1.0}) / sensor.line(t_c) == pytest.approx([1.01] * 3, rel=1e-14)
    tilted = sensor.line(t_c, {"beta": 0.5})
    assert tilted == pytest.approx(Thermistor.from_beta(9100.0, 3610.0 * 1.005).ohms(t_c), rel=1e-13)
    assert tilted[1] == pytest.approx(9100.0, rel=1e-14)


# ---- out of range


@pytest.mark.parametrize("t_c", [-55.1, 150.1, math.nan, math.inf])
def test_temperature_out_of_range(t_c):
    for function in (BETA.ohms, BETA.ohms_per_c):
        with pytest.raises(ValueError, match=r"temperature .* degC is outside -55 to 150 degC: the sensor's own range"):
            function(t_c)
        assert np.isnan(function([t_c, 20.0])).tolist() == [True, False]


@pytest.mark.parametrize("r_ohm", [0.0, -1.0, 100.0, 1e7, math.nan, math.inf])
def test_resistance_out_of_range(r_ohm):
    with pytest.raises(ValueError, match=r"resistance .* ohm is outside 254.496 to .* ohm: .*lead"):
        BETA.celsius(r_ohm)
    assert np.isnan(BETA.celsius([r_ohm, 9100.0])).tolist() == [True, False]


def test_the_bare_formula_beyond_the_range():
    """Colder than any at infinite resistance; where 1/T passes 0, near no resistance at all, 5000 degC."""
    got = BETA.inverse(np.array([np.inf, 1e12, 1.0, 1e-3, 0.0, -5.0]))
    assert got[0] == pytest.approx(-273.15, abs=0.01)
    assert (np.diff(got) >= 0).all()
    assert got[3:].tolist() == pytest.approx([5000.0] * 3)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Thermistor.from_beta(0.0, 3610.0), "r25_ohm 0 ohm and beta_k 3610 K must be above 0"),
        (lambda: Thermistor.from_beta(1e4, math.nan), "beta_k nan K must be above 0"),
        (lambda: Thermistor.from_beta(1e4, 3610.0, r25_tolerance=1.0), "r25_tolerance 1 is outside 0 to 1"),
        (lambda: Thermistor.from_beta(1e4, 3610.0, accuracy_c=-1.0), "accuracy_c -1 degC must be 0 degC or more"),
        (lambda: Thermistor.from_steinhart_hart(1e-3, -2e-4, 1e-7), "b -0.0002 1/K must be above 0"),
        (lambda: Thermistor.from_steinhart_hart(math.inf, 2e-4, 1e-7), "no finite number"),
        (lambda: Thermistor.from_steinhart_hart(1e-3, 2e-4, -1e-6), "no resistance that falls all the way"),
        (lambda: Thermistor.from_points([(0.0, 1e4), (25.0, 5e3)]), "2 points are not 3"),
        (lambda: Thermistor.from_points([(0.0, 1e4), (25.0, 5e3), (25.0, 4e3)]), "not three different ones"),
        (lambda: Thermistor.from_points([(0.0, 1e4), (25.0, 5e3), (50.0, 0.0)]), "resistance 0 ohm is outside"),
        (lambda: Thermistor.from_points([(0.0, 1e4), (25.0, 2e4), (50.0, 4e4)]), "must be above 0 1/K"),
        (lambda: Thermistor.from_beta(1e4, 3610.0, range_c=(0.0, 2000.0)), "is not within -200 to 1000 degC"),
    ],
)
def test_a_sensor_that_cannot_be(make, words):
    with pytest.raises(ValueError) as error:
        make()
    assert words in str(error.value)
