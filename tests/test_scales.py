"""Temperature scales against SP 811 and the fixed points of ITS-90; spans are not temperatures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit import scales

A_FEW_ROUNDINGS = 4e-13  # degC or K: four half-units of a float near 1400
PRINTED_DIGITS = 5e-7  # K: the published equivalents are given to six decimals

FUNCTIONS = (
    (scales.celsius_to_fahrenheit, -273.15, "degC"),
    (scales.fahrenheit_to_celsius, -459.67, "degF"),
    (scales.celsius_to_kelvin, -273.15, "degC"),
    (scales.kelvin_to_celsius, 0.0, "K"),
)
temperatures = st.floats(-273.15, 2000.0)


def test_fahrenheit_as_in_sp_811():
    """Source: NIST SP 811 (2008) App. B."""
    units = reference("temp-units")
    got = scales.celsius_to_fahrenheit(np.array(units.inputs["C"]))
    assert got == pytest.approx(units.expected["F"], abs=PRINTED_DIGITS)
    assert scales.fahrenheit_to_celsius(np.array(units.expected["F"])) == pytest.approx(
        units.inputs["C"], abs=PRINTED_DIGITS
    )


def test_kelvin_of_fahrenheit_as_in_sp_811():
    """Source: NIST SP 811 (2008) App. B."""
    units = reference("temp-units")
    got = scales.celsius_to_kelvin(scales.fahrenheit_to_celsius(np.array(units.inputs["F"])))
    assert got == pytest.approx(units.expected["K_of_F"], abs=PRINTED_DIGITS)


@pytest.mark.parametrize("point", reference("its90").expected)
def test_fixed_points_of_its90(point):
    """Source: ITS-90, Metrologia 27 (1990) 3-10, Table 1, which prints each point in both scales."""
    t_k, t_c = reference("its90").expected[point]
    assert scales.kelvin_to_celsius(t_k) == pytest.approx(t_c, abs=A_FEW_ROUNDINGS)
    assert scales.celsius_to_kelvin(t_c) == pytest.approx(t_k, abs=A_FEW_ROUNDINGS)


def test_a_span_has_no_offset():
    """Source: NIST SP 811 (2008) App. B: 1 degC of interval is 1.8 degF, exactly."""
    assert scales.celsius_span_to_fahrenheit(10.0) == 18.0
    assert scales.celsius_span_to_fahrenheit(-40.0) == -72.0
    assert scales.celsius_span_to_fahrenheit(0.0) == 0.0
    assert scales.celsius_span_to_fahrenheit(-300.0) == -540.0  # a fall may be larger than 273.15 degC


@given(temperatures, temperatures)
def test_a_span_is_the_difference_of_two_temperatures(first_c, second_c):
    difference_f = scales.celsius_to_fahrenheit(second_c) - scales.celsius_to_fahrenheit(first_c)
    rounding_f = 3e-12  # a few half-units of a float near 4000
    span_f = scales.celsius_span_to_fahrenheit(second_c - first_c)
    assert span_f == pytest.approx(difference_f, abs=rounding_f)


@given(temperatures)
def test_there_and_back(t_c):
    there_and_back = scales.fahrenheit_to_celsius(scales.celsius_to_fahrenheit(t_c))
    assert there_and_back == pytest.approx(t_c, abs=2 * A_FEW_ROUNDINGS)
    assert scales.kelvin_to_celsius(scales.celsius_to_kelvin(t_c)) == pytest.approx(t_c, abs=A_FEW_ROUNDINGS)


def test_absolute_zero_is_allowed_in_every_scale():
    assert scales.celsius_to_kelvin(-273.15) == 0.0
    assert scales.kelvin_to_celsius(0.0) == -273.15
    assert scales.fahrenheit_to_celsius(-459.67) == -273.15
    assert scales.celsius_to_fahrenheit(-273.15) == pytest.approx(-459.67, abs=A_FEW_ROUNDINGS)
    assert scales.fahrenheit_to_celsius(scales.celsius_to_fahrenheit(-273.15)) == -273.15


@pytest.mark.parametrize(("function", "lowest", "unit"), FUNCTIONS)
def test_below_absolute_zero(function, lowest, unit):
    with pytest.raises(ValueError) as error:
        function(lowest - 1)
    for part in (f"{lowest - 1:.6g} {unit}", f"{lowest:g} {unit} or more", "absolute zero"):
        assert part in str(error.value)
    got = function(np.array([[lowest - 1, 300.0], [np.nan, lowest]]))
    assert np.isnan(got).tolist() == [[True, False], [True, False]]


@pytest.mark.parametrize(("function", "lowest", "unit"), FUNCTIONS)
def test_scalar_and_array_agree_exactly(function, lowest, unit):
    values = np.random.default_rng(1).uniform(lowest, 2000.0, (7, 11))
    got = function(values)
    assert got.shape == (7, 11)
    assert got.tolist() == [[function(float(value)) for value in row] for row in values]
    assert isinstance(function(25), float)


@pytest.mark.parametrize("span", [np.nan, np.inf, -np.inf])
def test_a_span_must_be_finite(span):
    with pytest.raises(ValueError, match="temperature span .* degC .* finite"):
        scales.celsius_span_to_fahrenheit(span)
    assert np.isnan(scales.celsius_span_to_fahrenheit([span, 1.0])).tolist() == [True, False]
