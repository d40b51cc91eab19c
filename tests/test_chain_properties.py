"""The chain there and back: every code of 8, 10 and 12 bits in exact fractions; properties of any chain."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.chain import Chain, Converter, LinearSensor, Reference, scenario
from tempkit.chain.converter import TRANSFERS

HALF = Fraction(1, 2)
ROUNDING_C = 1e-11  # degC: a few half-units of a float near 5 V, at 8 mV/degC, with room

every_converter = pytest.mark.parametrize(
    ("bits", "nominal_v", "transfer"),
    [
        (bits, volts, transfer)
        for bits in (8, 10, 12)
        for volts in (5.0, 3.3, 2.5, 1.2, 4.83)
        for transfer in TRANSFERS
    ],
)


def exact_reading_c(code, nominal_v, bits, transfer):
    """Middle of the code's step -> degC, in rational numbers: 600 mV at 0 degC, 8 mV/degC."""
    middle = (code + (HALF if transfer == "floor" else 0)) * Fraction(nominal_v) / 2**bits
    return (middle - Fraction(3, 5)) * 125


# ---- every code


@every_converter
def test_reading_of_every_code_in_exact_fractions(bits, nominal_v, transfer):
    chain = scenario(nominal_v=nominal_v, bits=bits, transfer=transfer)
    codes = range(2**bits)
    exact = [exact_reading_c(code, nominal_v, bits, transfer) for code in codes]
    bare = chain.reading(list(codes), checked=False)
    assert bare == pytest.approx([float(one) for one in exact], abs=ROUNDING_C)
    half_step_c = Fraction(nominal_v) / 2**bits * Fraction(125, 2)
    touches = [-25 - half_step_c <= one <= 110 + half_step_c for one in exact]
    believed = chain.reading(list(codes))
    assert (~np.isnan(believed)).tolist() == touches
    assert any(touches)
    for code, touch in zip(codes, touches, strict=True):
        if touch:
            assert chain.reading(code) == believed[code]
        else:
            with pytest.raises(ValueError, match=rf"code {code} as reading .* is outside -25 to 110 degC"):
                chain.reading(code)


@every_converter
def test_every_code_comes_from_its_own_reading(bits, nominal_v, transfer):
    chain = scenario(nominal_v=nominal_v, bits=bits, transfer=transfer)
    readings_c = chain.reading(np.arange(2**bits))
    inside = (readings_c >= -25) & (readings_c <= 110)
    assert chain.code(readings_c[inside]).tolist() == np.flatnonzero(inside).tolist()


# ---- properties

chains = st.builds(
    Chain,
    sensor=st.builds(
        LinearSensor,
        at_0c_v=st.floats(0.0, 1.5),
        slope_v_per_c=st.floats(0.002, 0.03) | st.floats(-0.03, -0.002),
        range_c=st.tuples(st.floats(-60.0, 0.0), st.floats(1.0, 150.0)),
    ),
    reference=st.builds(Reference, nominal_v=st.floats(1.0, 5.5)),
    converter=st.builds(Converter, bits=st.integers(6, 16), transfer=st.sampled_from(TRANSFERS)),
)


def within(chain, part):
    low, high = chain.sensor.range_c
    return min(max(low + part * (high - low), low), high)


@given(chains, st.floats(0, 1))
def test_there_and_back_within_half_a_step(chain, part):
    t_c = within(chain, part)
    code = chain.code(t_c)
    assert 0 <= code < chain.converter.codes
    if not chain.converter.saturated(chain.volts(t_c), chain.reference.actual_v):
        assert abs(chain.reading(code) - t_c) <= 0.5 * chain.step_c(t_c) * (1 + 1e-6)


@given(chains, st.lists(st.floats(0, 1), min_size=2, max_size=20))
def test_codes_are_monotone_in_temperature(chain, parts):
    rises = np.diff(chain.code([within(chain, part) for part in sorted(parts)]))
    assert (rises * math.copysign(1, chain.sensor.slope_v_per_c) >= 0).all()


@given(chains, st.lists(st.floats(0, 1), min_size=1, max_size=12))
def test_scalar_and_array_agree_exactly(chain, parts):
    t_c = np.array([within(chain, part) for part in parts]).reshape(1, -1, 1)
    for function in (chain.volts, chain.code, chain.step_c, chain.error_c):
        got = function(t_c)
        assert got.shape == t_c.shape
        assert got.ravel().tolist() == [function(float(one)) for one in t_c.ravel()]
    codes = chain.code(t_c)
    readings_c = [chain.reading(int(code), checked=False) for code in codes.ravel()]
    assert chain.reading(codes, checked=False).ravel().tolist() == readings_c


@given(chains, st.floats(0, 1))
def test_inside_the_span_nothing_is_saturated(chain, part):
    low_v, high_v = sorted(chain.volts(end) for end in chain.sensor.range_c)
    if low_v >= chain.reference.actual_v or high_v <= 0:
        with pytest.raises(ValueError, match=r"V is outside 0 to .* V: every code is saturated"):
            chain.span_c()
        assert len(chain.problems()) >= 1
        return
    low, high = chain.span_c()
    assert chain.sensor.range_c[0] <= low <= high <= chain.sensor.range_c[1]
    t_c = low + (0.001 + 0.998 * part) * (high - low)
    assert 0 <= chain.volts(t_c) <= chain.reference.actual_v
    for outside_c in (low - 0.1, high + 0.1):
        if chain.sensor.range_c[0] <= outside_c <= chain.sensor.range_c[1]:
            assert not 0 <= chain.volts(outside_c) < chain.reference.actual_v


@given(chains, st.floats(allow_nan=True, allow_infinity=True))
def test_never_a_silent_number_out_of_range(chain, t_c):
    low, high = chain.sensor.range_c
    if low <= t_c <= high:
        return
    for function in (chain.volts, chain.code, chain.step_c, chain.error_c):
        with pytest.raises(ValueError) as error:
            function(t_c)
        for part in (f"{t_c:.6g} degC", f"{low:g} to {high:g} degC"):
            assert part in str(error.value)
    mixed = [t_c, low]
    assert chain.code(mixed).tolist() == [-1, chain.code(low)]
    for function in (chain.volts, chain.step_c, chain.error_c):
        assert np.isnan(function(mixed)).tolist() == [True, False]


@pytest.mark.parametrize("code", [-1, 1024, math.nan, math.inf])
def test_a_code_that_the_converter_does_not_have(code):
    for checked in (True, False):
        with pytest.raises(ValueError, match=r"code .* LSB is outside 0 to 1023 LSB"):
            scenario().reading(code, checked=checked)
        got = scenario().reading([[code, 163]], checked=checked)
        assert np.isnan(got).tolist() == [[True, False]]


def test_the_mean_of_codes_has_a_reading():
    mean_code = (163 + 164 + 164 + 164) / 4
    assert scenario().reading(mean_code) == pytest.approx(24.79248046875 + 0.75 * 0.6103515625, abs=ROUNDING_C)


def test_long_arrays_in_every_shape():
    t_c = np.random.default_rng(4).uniform(-60, 140, (3, 50_001))
    chain = scenario(nominal_v=4.83)
    inside = (t_c >= -25) & (t_c <= 110)
    codes = chain.code(t_c)
    assert codes.shape == t_c.shape
    assert codes.dtype == np.int64
    expected = np.floor((0.6 + 0.008 * t_c) * 1024 / 4.83)
    assert (codes == np.where(inside, expected, -1)).all()
    assert (np.isnan(chain.reading(codes)) == ~inside).all()
    assert chain.code(np.empty((0, 3))).shape == chain.reading(np.empty((0, 3))).shape == (0, 3)
