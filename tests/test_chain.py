"""The chain: the running example in literal numbers, a wrong reference and its cures, what cannot work."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import Chain, Converter, Direct, LinearSensor, Reference, scenario

ROUNDING_C = 1e-11  # degC: a few half-units of a float near 5 V, at 10 mV/degC, with room


def exact_code(t_c, true_v, bits=10):
    """degC -> code of a floor converter, in rational numbers."""
    level = (Fraction(1, 2) + Fraction(t_c) / 100) * 2**bits / Fraction(true_v)
    return min(max(math.floor(level), 0), 2**bits - 1)


# ---- the running example


def test_literal_numbers_of_the_running_example():
    chain = scenario()
    assert chain.volts(25.0) == 0.75
    assert chain.converter.step_v(5.0) == 0.0048828125
    assert chain.step_c(25.0) == 0.48828125
    assert [chain.code(t_c) for t_c in (-40.0, 25.0, 125.0)] == [20, 153, 358]
    assert [chain.volts(t_c) for t_c in (-40.0, 125.0)] == pytest.approx([0.1, 1.75], abs=1e-15)
    assert chain.reading(153) == pytest.approx(24.951171875, abs=ROUNDING_C)


# By hand, in whole millivolts, with the program's step of 5000 mV / 1024 = 4.8828125 mV:
#   true 4750 mV: 18 degC 680 * 1024 / 4750 = 146.59; 25 degC 750 * 1024 / 4750 = 161.68; 27 degC 165.996
#   true 5250 mV: 18 degC 680 * 1024 / 5250 = 132.63; 25 degC 750 * 1024 / 5250 = 146.29; 27 degC 150.19
#   reading: ((code + 1/2) * 4.8828125 mV - 500 mV) / 10 mV; code 161: 161.5 * 4.8828125 = 788.574 -> 28.857
@pytest.mark.parametrize(
    ("true_v", "t_c", "code", "reading_c"),
    [
        (4.75, 18.0, 146, 21.533203125),
        (4.75, 25.0, 161, 28.857421875),
        (4.75, 27.0, 165, 30.810546875),
        (5.25, 18.0, 132, 14.697265625),
        (5.25, 25.0, 146, 21.533203125),
        (5.25, 27.0, 150, 23.486328125),
    ],
)
def test_a_wrong_reference_by_hand(true_v, t_c, code, reading_c):
    assert true_v in reference("usb").expected["VBUS_min_max_V"]  # USB 2.0 specification, section 7.2
    chain = scenario().with_true_reference(true_v)
    assert chain.code(t_c) == code
    assert chain.reading(code) == pytest.approx(reading_c, abs=ROUNDING_C)
    assert chain.error_c(t_c) == pytest.approx(reading_c - t_c, abs=ROUNDING_C)


def test_a_wrong_reference_scales_the_voltage():
    """Without steps the reading would be (v * nominal / true - at_0c) / slope; half a step remains."""
    t_c = np.linspace(-40, 125, 1001)
    for true_v in (4.40, 4.75, 4.83, 5.0, 5.25):
        scaled_c = ((0.5 + 0.01 * t_c) * 5.0 / true_v - 0.5) / 0.01
        half_a_step_c = 0.5 * 0.48828125 + ROUNDING_C
        off_c = scenario(true_v=true_v).error_c(t_c) - (scaled_c - t_c)
        assert np.abs(off_c).max() <= half_a_step_c


def test_code_sees_the_true_and_reading_the_nominal_reference():
    chain = scenario().with_true_reference(4.75)
    assert chain.reference == Reference(nominal_v=5.0, tolerance=0.05, true_v=4.75)
    assert chain.reading(153) == scenario().reading(153)
    assert chain.step_c(25.0) == pytest.approx(100 * 4.75 / 1024, rel=1e-15)
    assert chain.with_true_reference(None) == scenario()
    assert scenario().reference.true_v is None  # the first chain is as it was


@pytest.mark.parametrize("true_v", [4.40, 4.75, 4.83, 5.0, 5.25])
def test_codes_of_many_temperatures_in_exact_fractions(true_v):
    t_c = list(range(-40, 126))
    codes = scenario(true_v=true_v).code(t_c).tolist()
    exact = [exact_code(one, Fraction(str(true_v))) for one in t_c]
    step_in_c = Fraction(str(true_v)) / 1024 * 100
    # Exactly on an edge a float may lie on either side.
    on_an_edge = [one for one in t_c if ((50 + one) / step_in_c).denominator == 1]
    off = {one: got - want for one, got, want in zip(t_c, codes, exact, strict=True) if got != want}
    assert set(off) <= set(on_an_edge)
    assert set(off.values()) <= {-1, 1}
    assert len(on_an_edge) < 10


# ---- three cures for a wandering supply


def test_cure_a_ratiometric_sensor():
    """Sensor and converter share the supply: the code does not depend on it, and only the step is left."""
    believed = Direct(ratiometric_at_v=5.0)
    codes = np.arange(21, 358)
    t_c = ((codes + 0.5) * 5.0 / 1024 - 0.5) / 0.01  # the middles of the steps
    for true_v in (4.40, 4.75, 4.83, 5.0, 5.25):
        chain = Chain(LinearSensor(), Reference(5.0, true_v=true_v), Converter(bits=10), believed)
        assert chain.code(t_c).tolist() == codes.tolist()
        assert np.abs(chain.error_c(t_c)).max() < ROUNDING_C
        assert [chain.code(float(one)) for one in t_c[::50]] == codes[::50].tolist()
        assert chain.volts(25.0) == pytest.approx(0.15 * true_v, rel=1e-15)  # 750 mV is 15 % of 5 V
        assert chain.step_c(25.0) == pytest.approx(0.48828125, rel=1e-15)


def test_cure_a_fixed_reference():
    t_c = np.linspace(-40, 125, 1001)
    supplies_v = (4.40, 4.75, 5.0, 5.25)
    first, *others = (scenario(nominal_v=2.5, kind="fixed", supply_v=supply_v) for supply_v in supplies_v)
    for chain in others:
        assert (chain.code(t_c) == first.code(t_c)).all()
        assert chain.problems() == ()
    assert np.abs(first.error_c(t_c)).max() <= 0.5 * first.step_c(25.0) + ROUNDING_C


@given(st.floats(4.4, 5.25), st.floats(-40, 125))
def test_cure_a_measured_supply(supply_v, t_c):
    chain = scenario(nominal_v=supply_v, true_v=supply_v)
    assert abs(chain.error_c(t_c)) <= 0.5 * chain.step_c(t_c) + ROUNDING_C


def test_a_ratiometric_circuit_with_a_fixed_reference_needs_its_supply():
    sensor, fixed, converter = LinearSensor(), Reference(2.5, kind="fixed"), Converter(bits=10)
    with pytest.raises(ValueError, match="supply_v is missing.*in volts"):
        Chain(sensor, fixed, converter, Direct(ratiometric_at_v=5.0))
    chain = Chain(sensor, fixed, converter, Direct(ratiometric_at_v=5.0, supply_v=4.0))
    assert chain.volts(25.0) == pytest.approx(0.6, rel=1e-15)


# ---- what a combination cannot do


def test_no_problem():
    assert scenario().problems() == ()
    assert scenario(true_v=4.75).problems() == ()
    assert scenario().span_c() == (-40.0, 125.0)
    assert scenario().headroom_v() == pytest.approx((0.1, 3.25), abs=1e-15)


def test_supply_below_the_window():
    (problem,) = scenario(true_v=2.5).problems()
    assert problem == (
        "the supply of 2.5 V is below the sensor's window of 2.7 to 5.5 V: its specification does not hold"
    )


def test_supply_above_the_window():
    (problem,) = scenario(nominal_v=5.0, true_v=6.0).problems()
    assert problem.startswith("the supply of 6 V is above the sensor's window of 2.7 to 5.5 V")


def test_reference_above_the_supply():
    (problem,) = scenario(nominal_v=5.0, kind="fixed", supply_v=3.3).problems()
    assert problem == (
        "the reference of 5 V is above the supply of 3.3 V: "
        "a board cannot give a reference higher than its supply"
    )


def test_signal_beyond_the_reference():
    chain = scenario(nominal_v=1.1, kind="fixed")
    (problem,) = chain.problems()
    assert problem == (
        "the signal reaches 1.75 V, above the reference of 1.1 V: "
        "above 60.0 degC every code is the top code, 1023"
    )
    assert chain.span_c() == pytest.approx((-40.0, 60.0), abs=ROUNDING_C)
    assert chain.headroom_v()[1] == pytest.approx(-0.65, abs=1e-15)
    assert chain.code([60.1, 90.0, 125.0]).tolist() == [1023, 1023, 1023]
    assert chain.code(59.8) < 1023


def test_whole_signal_above_the_reference():
    chain = scenario(nominal_v=0.09, kind="fixed")
    assert chain.problems() == ("the whole signal lies above the reference of 0.09 V: every code is 1023",)
    assert chain.code([-40.0, 125.0]).tolist() == [1023, 1023]
    with pytest.raises(ValueError, match=r"0\.1 to 1\.75 V is outside 0 to 0\.09 V.*choose another"):
        chain.span_c()


def of_line(at_0c_v, slope_v_per_c, nominal_v=5.0):
    sensor = LinearSensor(at_0c_v=at_0c_v, slope_v_per_c=slope_v_per_c)
    return Chain(sensor, Reference(nominal_v, kind="fixed"), Converter(bits=10))


def test_whole_signal_below_zero():
    chain = of_line(-2.0, 0.01)
    assert chain.problems() == ("the whole signal lies below 0 V: every code is 0",)
    assert chain.code([-40.0, 125.0]).tolist() == [0, 0]


def test_signal_below_zero():
    (problem,) = of_line(0.0, 0.01).problems()
    assert problem == "the signal falls to -0.4 V, below 0 V: below 0.0 degC every code is 0"


def test_a_falling_signal_is_cut_off_at_the_other_end():
    """1.3 V at 0 degC and -20 mV/degC: 1.1 V at 10 degC, 0 V at 65 degC."""
    chain = of_line(1.3, -0.02, nominal_v=1.1)
    above, below = chain.problems()
    assert "reaches 2.1 V" in above and "below 10.0 degC every code is the top code, 1023" in above
    assert "falls to -1.2 V" in below and "above 65.0 degC every code is 0" in below
    assert chain.code([9.9, 65.1]).tolist() == [1023, 0]
    assert chain.span_c() == pytest.approx((10.0, 65.0), abs=ROUNDING_C)


def test_nothing_is_claimed_of_a_supply_that_nobody_named():
    assert scenario(nominal_v=2.5, kind="fixed").problems() == ()
