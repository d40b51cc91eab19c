"""Linearity of a converter: a worked staircase after IEEE Std 1241, and staircases bent on purpose."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import linearity

EXACT = 1e-12  # LSB: differences of numbers near one, in double precision


def test_worked_staircase():
    entry = reference("adc-inl-dnl")
    expected, tolerance = entry.expected, entry.tolerance["abs"]
    levels = entry.inputs["T"]
    fitted, ideal = linearity(levels), linearity(levels, step=float(entry.inputs["LSB"]))
    assert fitted.fitted_step == pytest.approx(expected["endpoint"]["Q"], abs=tolerance)
    assert fitted.dnl == pytest.approx(expected["endpoint"]["DNL"], abs=tolerance)
    assert fitted.inl == pytest.approx(expected["endpoint"]["INL"], abs=tolerance)
    assert ideal.dnl == pytest.approx(expected["DNL_idealQ"], abs=tolerance)
    assert ideal.inl == pytest.approx(expected["endpoint"]["INL"], abs=tolerance)
    assert fitted.gain == ideal.gain == pytest.approx(expected["gain_IEEE_terminal"], abs=tolerance)
    # gain * T[k] + offset = ideal place of the first transition, half a step
    assert 0.5 - ideal.gain * ideal.first == pytest.approx(expected["Vos_IEEE_terminal"], abs=tolerance)
    assert ideal.first - 0.5 == pytest.approx(expected["offset_LSB"], abs=tolerance)


def test_best_fit_is_least_squares():
    levels = np.array(reference("adc-inl-dnl").inputs["T"])
    result = linearity(levels, fit="best")
    slope, first = np.polyfit(np.arange(levels.size), levels, 1)
    assert (result.fitted_step, result.first) == pytest.approx((slope, first), rel=1e-12)
    assert result.inl.sum() == pytest.approx(0.0, abs=EXACT * 10)
    assert result.inl @ np.arange(levels.size) == pytest.approx(0.0, abs=EXACT * 100)
    assert np.ptp(result.inl) <= np.ptp(linearity(levels).inl) + EXACT or (
        (result.inl**2).sum() < (linearity(levels).inl ** 2).sum()
    )


@pytest.mark.parametrize("fit", ["endpoint", "best"])
@given(st.floats(0.9, 1.1), st.floats(-3.0, 3.0), st.integers(3, 10))
def test_a_straight_staircase_has_gain_only(fit, stretch, shift, bits):
    levels = shift + stretch * (np.arange(1, 2**bits) - 0.5)
    result = linearity(levels, step=1.0, fit=fit)
    assert result.gain == pytest.approx(1 / stretch, rel=1e-9)
    assert result.inl == pytest.approx(0.0, abs=1e-9)
    assert result.dnl == pytest.approx(stretch - 1, abs=1e-9)


@given(st.lists(st.floats(-0.4, 0.4), min_size=7, max_size=7))
def test_endpoint_inl_is_the_running_sum_of_dnl(bends):
    levels = np.arange(7) + np.array(bends)
    result = linearity(levels)
    assert result.inl[[0, -1]] == pytest.approx(0.0, abs=EXACT)
    assert result.inl[1:] == pytest.approx(np.cumsum(result.dnl), abs=EXACT * 10)


def test_a_missing_code_shows():
    levels = np.array([0.5, 1.5, 2.5, 2.5, 4.5, 5.5, 6.5])
    assert linearity(levels, step=1.0).dnl.tolist() == [0, 0, -1, 1, 0, 0]


def test_volts_or_steps_make_no_difference():
    levels = np.array(reference("adc-inl-dnl").inputs["T"])
    volts = linearity(levels * 0.625, step=0.625)
    steps = linearity(levels, step=1.0)
    assert volts.gain == pytest.approx(steps.gain, rel=1e-12)
    assert volts.dnl == pytest.approx(steps.dnl, abs=EXACT)
    assert volts.inl == pytest.approx(steps.inl, abs=EXACT * 10)


@pytest.mark.parametrize(
    "arguments, message",
    [
        (([0.5, 1.5],), "3 or more"),
        (([0.5, 1.5, np.nan],), "3 or more finite"),
        (([[0.5, 1.5, 2.5]],), "3 or more"),
        (([2.5, 1.5, 0.5],), "lowest first"),
        (([0.5, 1.5, 2.5], 0.0), "step 0 "),
        (([0.5, 1.5, 2.5], 1.0, "middle"), "'middle' is unknown"),
    ],
)
def test_bad_calls(arguments, message):
    with pytest.raises(ValueError, match=message):
        linearity(*arguments)


def test_the_converter_offers_it_too():
    from tempkit.chain import converter

    assert converter.linearity is linearity
