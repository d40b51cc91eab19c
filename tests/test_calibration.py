"""Calibration: the published fits, the water of IAPWS, and the air of ISO 2533."""

from math import hypot, isnan, nan, sqrt

import numpy as np
import pytest
import uncertainties
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.uncertainty import (
    Input,
    boiling_point_at_altitude,
    boiling_point_c,
    en_number,
    fit_line,
    fit_polynomial,
    ice_point,
    monte_carlo,
    one_point,
    pressure_at_altitude_pa,
    two_points,
)
from tempkit.uncertainty.water import melting_point_c

ZERO_K = 273.15
SAME_EQUATION = 1e-6  # K: rounding only
AIR_PRESSURE_AGREEMENT = (
    0.0003  # K from 50 to 110 kPa: IAPWS-95 and IF97 are two equations and differ by this
)
WIDE_AGREEMENT = 0.01  # K from 1 kPa to 20 MPa: they differ by up to 0.008 K at 1 MPa
LIBRARY = 1e-9  # relative: the same algebra in double precision


def test_thermometer_line():
    entry = reference("gum-h3-fit")
    line = fit_line(entry.inputs["t_k_degC"], entry.inputs["b_k_degC"], x0=entry.inputs["t0_degC"])
    ours = {
        "y1": line.intercept,
        "u_y1": line.u_intercept,
        "y2": line.slope,
        "u_y2": line.u_slope,
        "r": line.correlation,
        "s": line.s,
    }
    for name, printed in entry.expected.items():
        assert abs(ours[name] - printed) <= entry.tolerance[name], name
    assert line.dof == len(entry.inputs["t_k_degC"]) - 2


def test_thermometer_line_at_30_degrees():
    fit, entry = reference("gum-h3-fit").inputs, reference("gum-h3-b30")
    t_c = entry.inputs["t_degC"]
    for x0 in (20.0, 24.0085, 0.0):  # where the powers are counted from changes nothing
        line = fit_line(fit["t_k_degC"], fit["b_k_degC"], x0=x0)
        assert abs(line.predict(t_c) - entry.expected["b"]) <= entry.tolerance["b"]
        assert abs(line.u_predict(t_c) - entry.expected["u_b"]) <= entry.tolerance["u_b"]
        assert line.dof == entry.expected["dof"]


def test_line_residuals_and_arrays():
    line = fit_line([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0])
    assert line.residuals == pytest.approx([-0.03, 0.09, -0.09, 0.03])
    assert line.s == pytest.approx(sqrt((line.residuals**2).sum() / 2))
    assert line.predict([[0.0, 1.0]]).shape == line.u_predict([[0.0, 1.0]]).shape == (1, 2)
    assert type(line.predict(1)) is type(line.u_predict(1)) is type(line.slope) is float
    at_mean = fit_line([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0], x0=1.5)
    assert at_mean.correlation == pytest.approx(0.0, abs=1e-12)


def test_thermistor_against_platinum():
    entry = reference("prt-thermistor-cal")
    fit = fit_polynomial(entry.inputs["tau_PRT"], entry.inputs["t_thermistor"], 3)
    assert fit.coefficients == pytest.approx(entry.expected["b"], rel=entry.tolerance["b_rel"])
    assert abs(fit.s - entry.expected["s_resid_dof8"]) <= entry.tolerance["s"]
    assert round(fit.s, 3) == entry.expected["paper_s"]
    assert fit.dof == 8


@given(
    st.lists(st.floats(-2, 2), min_size=8, max_size=8),
    st.integers(1, 4),
    st.floats(-50, 50),
    st.floats(-10, 60),
)
def test_fit_is_that_of_numpy(noise, degree, x0, at):
    x = np.linspace(0.0, 50.0, 8)
    y = 2 * x + np.array(noise)
    fit = fit_polynomial(x, y, degree, x0=x0)
    centre = np.polynomial.Polynomial.fit(x, y, degree)
    assert fit.predict(at) == pytest.approx(centre(at), abs=1e-6)
    if degree < 3:
        covariance = np.polyfit(x - x0, y, degree, cov=True)[1][::-1, ::-1]
        assert fit.covariance == pytest.approx(covariance, rel=1e-6, abs=1e-12)


def test_two_points_fit_exactly_and_say_nothing_about_themselves():
    line = fit_line([0.0, 100.0], [0.6, 99.0])
    assert line.predict(50.0) == pytest.approx(49.8)
    assert line.dof == 0 and isnan(line.s) and isnan(line.u_slope) and isnan(line.u_predict(50.0))


def test_one_point_shifts():
    correction = one_point(0.6, 0.0, u_reading=0.03, u_reference=0.04)
    assert correction.correct([0.6, 20.6]) == pytest.approx([0.0, 20.0])
    assert correction.u_correct(99.0) == pytest.approx(0.05)
    assert correction.u_correct([[0.0, 1.0]]).shape == (1, 2)


@given(st.floats(-50, 150), st.floats(0.001, 0.5), st.floats(0.001, 0.5), st.floats(0.001, 0.5))
def test_two_points_against_linear_propagation(reading, u_x, u_low, u_high):
    correction = two_points((0.6, 98.9), (0.0, 98.3), (u_x, u_x), (u_low, u_high))
    x1, x2 = uncertainties.ufloat(0.6, u_x), uncertainties.ufloat(98.9, u_x)
    y1, y2 = uncertainties.ufloat(0.0, u_low), uncertainties.ufloat(98.3, u_high)
    expected = y1 + (y2 - y1) / (x2 - x1) * (reading - x1)
    assert correction.correct(reading) == pytest.approx(expected.nominal_value, rel=LIBRARY, abs=1e-9)
    assert correction.u_correct(reading) == pytest.approx(expected.std_dev, rel=LIBRARY, abs=1e-9)


def test_two_points_against_monte_carlo():
    correction = two_points((0.6, 98.9), (0.0, 98.3), (0.05, 0.05), (0.06, 0.3))
    inputs = [Input(0.6, standard=0.05), Input(98.9, standard=0.05), Input(0.0, standard=0.06)]
    inputs += [Input(98.3, standard=0.3)]
    for reading in (0.6, 40.0, 120.0):
        result = monte_carlo(
            lambda x1, x2, y1, y2, at=reading: y1 + (y2 - y1) / (x2 - x1) * (at - x1), inputs, 200_000, seed=1
        )
        # 0.8 %: five standard deviations of a standard deviation from 200,000 trials
        assert correction.u_correct(reading) == pytest.approx(result.standard, rel=0.008)


def test_uncertainty_between_two_points_and_beyond():
    correction = two_points((0.0, 100.0), (0.0, 100.0), u_references=(0.1, 0.3))
    assert correction.u_correct([0.0, 100.0]) == pytest.approx([0.1, 0.3])
    assert correction.u_correct(np.linspace(0, 100, 51)).max() == pytest.approx(0.3)
    assert correction.u_correct(200.0) > 0.5


def test_boiling_points_of_iapws_95():
    entry = reference("boil")
    ours = boiling_point_c(np.array(entry.inputs["p_Pa"], dtype=float))
    assert ours == pytest.approx(entry.expected["t_degC"], abs=AIR_PRESSURE_AGREEMENT)


def test_boiling_points_of_the_release():
    entry = reference("if97-table36")
    ours = [boiling_point_c(p) + ZERO_K for p in entry.inputs["p_Pa"]]
    assert ours == pytest.approx(entry.expected["T_K"], abs=entry.tolerance["abs"])


@pytest.mark.parametrize("pressure", [1e3, 1e4, 5e4, 7e4, 9e4, 101325.0, 1.1e5, 1e6, 2e6, 1e7, 2e7])
def test_boiling_points_of_an_independent_library(pressure):
    same, other = (PropsSI("T", "P", pressure, "Q", 0, name) - ZERO_K for name in ("IF97::Water", "Water"))
    assert boiling_point_c(pressure) == pytest.approx(same, abs=SAME_EQUATION)
    tolerance = AIR_PRESSURE_AGREEMENT if 5e4 <= pressure <= 1.1e5 else WIDE_AGREEMENT
    assert boiling_point_c(pressure) == pytest.approx(other, abs=tolerance)


def test_ends_of_the_boiling_curve():
    assert boiling_point_c(611.213) == pytest.approx(0.0, abs=0.001)
    assert boiling_point_c(22.064e6) == pytest.approx(647.096 - ZERO_K, abs=0.001)
    assert np.isnan(boiling_point_c([611.0, 1e5, 23e6])).tolist() == [True, False, True]
    assert type(boiling_point_c(1e5)) is float


def test_standard_atmosphere():
    entry = reference("isa")
    heights = entry.inputs["h_geopotential_m"]
    pressure = pressure_at_altitude_pa(heights)
    assert pressure == pytest.approx(entry.expected["p_Pa"], abs=entry.tolerance["p"])
    assert boiling_point_c(pressure) == pytest.approx(
        entry.expected["boil_degC"], abs=entry.tolerance["boil"]
    )
    points = [boiling_point_at_altitude(h).value for h in heights]
    assert points == pytest.approx(entry.expected["boil_degC"], abs=entry.tolerance["boil"])


def test_geometric_altitude():
    """H = r h / (r + h), r = 6,356,766 m (ISO 2533:1975, 2.3): 3,000 m stand for 2,998.585 m."""
    assert pressure_at_altitude_pa(3000.0, "geometric") == pytest.approx(
        pressure_at_altitude_pa(2998.585), abs=0.01
    )
    assert pressure_at_altitude_pa(0.0, "geometric") == pressure_at_altitude_pa(0.0) == 101325.0
    assert np.isnan(pressure_at_altitude_pa([-3000.0, 0.0, 12_000.0])).tolist() == [True, False, True]


def test_weather_moves_the_boiling_point_by_a_third_of_a_degree():
    """Slope of the saturation curve by the independent library, times the limits of 2,000 Pa, as a rectangle."""
    for altitude in (0.0, 1500.0, 3000.0):
        pressure = pressure_at_altitude_pa(altitude)
        high, low = (PropsSI("T", "P", pressure + d, "Q", 0, "Water") for d in (500.0, -500.0))
        point = boiling_point_at_altitude(altitude)
        assert point.standard == pytest.approx(2 * (high - low) / sqrt(3), rel=0.001)
        assert 0.3 < point.standard < 0.45
    barometer = boiling_point_at_altitude(0.0, pressure_limits_pa=100.0)
    assert barometer.standard == pytest.approx(0.016, abs=0.0005)


def test_ice():
    entry = reference("ice")
    tolerance = entry.tolerance["abs"]
    assert abs(melting_point_c(entry.inputs["p"]) - entry.expected["T_melt_degC_pure_airfree"]) <= tolerance
    assert melting_point_c(611.657) == pytest.approx(entry.expected["triple_point"], abs=1e-9)
    # the depression by dissolved air is known to 0.0001 K only
    assert ice_point().value == pytest.approx(entry.expected["ice_point_air_saturated"], abs=0.0002)
    assert ice_point().standard == pytest.approx(0.1 / sqrt(3))
    assert abs(ice_point(pressure_at_altitude_pa(3000.0)).value) < 0.003


def test_melting_pressure_of_an_independent_library():
    """The melting curve of the library, turned round: pressure at our temperature."""
    from CoolProp.CoolProp import AbstractState, iP, iT

    water = AbstractState("HEOS", "Water")
    for pressure in (1e5, 1e6, 1e7):
        kelvin = melting_point_c(pressure) + ZERO_K
        # it has an older melting curve: the two differ by 0.3 mK at 10 MPa
        assert water.melting_line(iT, iP, pressure) == pytest.approx(kelvin, abs=0.001)


def test_en_number():
    """ISO 13528:2022, 9.7, by hand: 0.3 / 0.5."""
    assert en_number(20.3, 0.4, 20.0, 0.3) == pytest.approx(0.6)
    assert en_number(20.0, 0.3, 20.3, 0.4) == pytest.approx(-0.6)
    assert type(en_number(1, 1, 2, 1)) is float
    assert en_number([1.0, 2.0], 0.3, 1.0, 0.4) == pytest.approx([0.0, 2.0])
    assert np.isnan(en_number([1.0, 2.0], [0.0, 0.1], 1.0, 0.0)).tolist() == [True, False]
    assert en_number(1.0, 0.3, 0.0, 0.4) == pytest.approx(1 / hypot(0.3, 0.4))


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: fit_line([1.0], [1.0]), "1 different x for 2 parameters"),
        (lambda: fit_line([1.0, 1.0, 1.0], [1.0, 1.1, 0.9]), "1 different x for 2 parameters"),
        (lambda: fit_polynomial([0.0, 1.0, 2.0], [0.0, 1.0, 2.0], 3), "3 different x for 4 parameters"),
        (lambda: fit_line([0.0, 1.0], [0.0, 1.0, 2.0]), "equal length"),
        (lambda: fit_line([0.0, 1.0, 2.0], [0.0, nan, 2.0]), "not finite"),
        (lambda: fit_polynomial([0.0, 1.0], [0.0, 1.0], 1.5), "degree 1.5"),
        (lambda: two_points((0.0, 100.0), (20.0, 20.0)), "both references are 20"),
        (lambda: two_points((5.0, 5.0), (0.0, 20.0)), "both readings are 5"),
        (
            lambda: two_points((0.0, 1.0), (0.0, 1.0), u_references=(-0.1, 0.1)),
            "uncertainty of a reference -0.1",
        ),
        (lambda: one_point(0.0, 0.0, u_reading=-1.0), "uncertainty of the reading -1"),
        (lambda: boiling_point_c(600.0), "pressure 600 Pa is outside 611.213 to 2.2064e[+]07 Pa"),
        (lambda: boiling_point_c(1013.25e6), "critical point"),
        (lambda: pressure_at_altitude_pa(12_000.0), "altitude 12000 m is outside -2000 to 11000 m"),
        (lambda: pressure_at_altitude_pa(-6_400_000.0, "geometric"), "altitude .* outside"),
        (lambda: pressure_at_altitude_pa(0.0, "barometric"), "'barometric' is unknown"),
        (lambda: boiling_point_at_altitude(0.0, pressure_limits_pa=-1.0), "pressure limits -1 Pa"),
        (lambda: melting_point_c(100.0), "pressure 100 Pa"),
        (lambda: ice_point(bath_limits_c=-0.1), "bath limits -0.1 degC"),
        (lambda: en_number(1.0, -0.1, 1.0, 0.1), "expanded uncertainty -0.1"),
        (lambda: en_number(1.0, 0.0, 1.0, 0.0), "must be above 0"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
