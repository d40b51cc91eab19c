"""The chain: the running example in literal numbers, a wrong reference and its cures, what cannot work."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit import constants
from tempkit.chain import Chain, Converter, Direct, LinearSensor, Reference, scenario

ROUNDING_C = 1e-11  # degC: a few half-units of a float near 5 V, at 8 mV/degC, with room


def exact_code(t_c, true_v, bits=10):
    """degC -> code of a floor converter, in rational numbers."""
    level = (Fraction(3, 5) + Fraction(t_c) / 125) * 2**bits / Fraction(true_v)
    return min(max(math.floor(level), 0), 2**bits - 1)


# ---- the running example


def test_literal_numbers_of_the_running_example():
    chain = scenario()
    assert chain.volts(25.0) == 0.8
    assert chain.converter.step_v(5.0) == 0.0048828125
    assert chain.step_c(25.0) == 0.6103515625
    assert [chain.code(t_c) for t_c in (-25.0, 25.0, 110.0)] == [81, 163, 303]
    assert [chain.volts(t_c) for t_c in (-25.0, 110.0)] == pytest.approx([0.4, 1.48], abs=1e-15)
    assert chain.reading(163) == pytest.approx(24.79248046875, abs=ROUNDING_C)


# By hand, in whole millivolts, with the program's step of 5000 mV / 1024 = 4.8828125 mV:
#   true 4750 mV: 18 degC 744 * 1024 / 4750 = 160.39; 25 degC 800 * 1024 / 4750 = 172.46; 27 degC 175.91
#   true 5500 mV: 18 degC 744 * 1024 / 5500 = 138.52; 25 degC 800 * 1024 / 5500 = 148.95; 27 degC 151.92
#   reading: ((code + 1/2) * 4.8828125 mV - 600 mV) / 8 mV; code 172: 172.5 * 4.8828125 = 842.285 -> 30.286
@pytest.mark.parametrize(
    ("true_v", "t_c", "code", "reading_c"),
    [
        (4.75, 18.0, 160, 22.96142578125),
        (4.75, 25.0, 172, 30.28564453125),
        (4.75, 27.0, 175, 32.11669921875),
        (5.50, 18.0, 138, 9.53369140625),
        (5.50, 25.0, 148, 15.63720703125),
        (5.50, 27.0, 151, 17.46826171875),
    ],
)
def test_a_wrong_reference_by_hand(true_v, t_c, code, reading_c):
    assert true_v in (constants.USB_SOURCE_MIN_V.value, constants.USB_SOURCE_MAX_V.value)
    chain = scenario().with_true_reference(true_v)
    assert chain.code(t_c) == code
    assert chain.reading(code) == pytest.approx(reading_c, abs=ROUNDING_C)
    assert chain.error_c(t_c) == pytest.approx(reading_c - t_c, abs=ROUNDING_C)


def test_a_wrong_reference_scales_the_voltage():
    """Without steps the reading would be (v * nominal / true - at_0c) / slope; half a step remains."""
    t_c = np.linspace(-25, 110, 1001)
    for true_v in (4.40, 4.75, 4.83, 5.0, 5.25, 5.50):
        scaled_c = ((0.6 + 0.008 * t_c) * 5.0 / true_v - 0.6) / 0.008
        half_a_step_c = 0.5 * 0.6103515625 + ROUNDING_C
        off_c = scenario(true_v=true_v).error_c(t_c) - (scaled_c - t_c)
        assert np.abs(off_c).max() <= half_a_step_c


def test_code_sees_the_true_and_reading_the_nominal_reference():
    chain = scenario().with_true_reference(4.75)
    assert chain.reference == Reference(nominal_v=5.0, tolerance=0.05, true_v=4.75)
    assert chain.reading(163) == scenario().reading(163)
    assert chain.step_c(25.0) == pytest.approx(125 * 4.75 / 1024, rel=1e-15)
    assert chain.with_true_reference(None) == scenario()
    assert scenario().reference.true_v is None  # the first chain is as it was


@pytest.mark.parametrize("true_v", [4.40, 4.75, 4.83, 5.0, 5.25, 5.50])
def test_codes_of_many_temperatures_in_exact_fractions(true_v):
    t_c = list(range(-25, 111))
    codes = scenario(true_v=true_v).code(t_c).tolist()
    exact = [exact_code(one, Fraction(str(true_v))) for one in t_c]
    step_in_c = Fraction(str(true_v)) / 1024 * 125
    # Exactly on an edge a float may lie on either side.
    on_an_edge = [one for one in t_c if ((75 + one) / step_in_c).denominator == 1]
    off = {one: got - want for one, got, want in zip(t_c, codes, exact, strict=True) if got != want}
    assert set(off) <= set(on_an_edge)
    assert set(off.values()) <= {-1, 1}
    assert len(on_an_edge) < 10


# ---- three cures for a wandering supply


def test_cure_a_ratiometric_sensor():
    """Sensor and converter share the supply: the code does not depend on it, and only the step is left."""
    believed = Direct(ratiometric_at_v=5.0)
    codes = np.arange(82, 303)
    t_c = ((codes + 0.5) * 5.0 / 1024 - 0.6) / 0.008  # the middles of the steps
    for true_v in (4.40, 4.75, 4.83, 5.0, 5.25, 5.50):
        chain = Chain(LinearSensor(), Reference(5.0, true_v=true_v), Converter(bits=10), believed)
        assert chain.code(t_c).tolist() == codes.tolist()
        assert np.abs(chain.error_c(t_c)).max() < ROUNDING_C
        assert [chain.code(float(one)) for one in t_c[::50]] == codes[::50].tolist()
        assert chain.volts(25.0) == pytest.approx(0.16 * true_v, rel=1e-15)  # 800 mV is 16 % of 5 V
        assert chain.step_c(25.0) == pytest.approx(0.6103515625, rel=1e-15)


def test_cure_a_fixed_reference():
    t_c = np.linspace(-25, 110, 1001)
    supplies_v = (4.40, 4.75, 5.0, 5.50)
    first, *others = (scenario(nominal_v=2.5, kind="fixed", supply_v=supply_v) for supply_v in supplies_v)
    for chain in others:
        assert (chain.code(t_c) == first.code(t_c)).all()
        assert chain.problems() == ()
    assert np.abs(first.error_c(t_c)).max() <= 0.5 * first.step_c(25.0) + ROUNDING_C


@given(st.floats(4.4, 5.5), st.floats(-25, 110))
def test_cure_a_measured_supply(supply_v, t_c):
    chain = scenario(nominal_v=supply_v, true_v=supply_v)
    assert abs(chain.error_c(t_c)) <= 0.5 * chain.step_c(t_c) + ROUNDING_C


def test_a_ratiometric_circuit_with_a_fixed_reference_needs_its_supply():
    sensor, fixed, converter = LinearSensor(), Reference(2.5, kind="fixed"), Converter(bits=10)
    with pytest.raises(ValueError, match="supply_v is missing.*in volts"):
        Chain(sensor, fixed, converter, Direct(ratiometric_at_v=5.0))
    chain = Chain(sensor, fixed, converter, Direct(ratiometric_at_v=5.0, supply_v=4.0))
    assert chain.volts(25.0) == pytest.approx(0.64, rel=1e-15)


# ---- what a combination cannot do


def test_no_problem():
    assert scenario().problems() == ()
    assert scenario(true_v=4.75).problems() == ()
    assert scenario().span_c() == (-25.0, 110.0)
    assert scenario().headroom_v() == pytest.approx((0.4, 3.52), abs=1e-15)


def test_supply_below_the_window():
    (problem,) = scenario(true_v=2.5).problems()
    assert problem == (
        "the supply of 2.5 V is below the sensor's window of 3 to 5.6 V: its specification does not hold"
    )


def test_supply_above_the_window():
    (problem,) = scenario(nominal_v=5.0, true_v=6.0).problems()
    assert problem.startswith("the supply of 6 V is above the sensor's window of 3 to 5.6 V")


def test_reference_above_the_supply():
    (problem,) = scenario(nominal_v=5.0, kind="fixed", supply_v=3.3).problems()
    assert problem == (
        "the reference of 5 V is above the supply of 3.3 V: "
        "a board cannot give a reference higher than its supply"
    )


def test_signal_beyond_the_reference():
    chain = scenario(nominal_v=1.2, kind="fixed")
    (problem,) = chain.problems()
    assert problem == (
        "the signal reaches 1.48 V, above the reference of 1.2 V: "
        "above 75.0 degC every code is the top code, 1023"
    )
    assert chain.span_c() == pytest.approx((-25.0, 75.0), abs=ROUNDING_C)
    assert chain.headroom_v()[1] == pytest.approx(-0.28, abs=1e-15)
    assert chain.code([75.1, 90.0, 110.0]).tolist() == [1023, 1023, 1023]
    assert chain.code(74.8) < 1023


def test_whole_signal_above_the_reference():
    chain = scenario(nominal_v=0.3, kind="fixed")
    assert chain.problems() == ("the whole signal lies above the reference of 0.3 V: every code is 1023",)
    assert chain.code([-25.0, 110.0]).tolist() == [1023, 1023]
    with pytest.raises(ValueError, match=r"0\.4 to 1\.48 V is outside 0 to 0\.3 V.*choose another"):
        chain.span_c()


def of_line(at_0c_v, slope_v_per_c, nominal_v=5.0):
    sensor = LinearSensor(at_0c_v=at_0c_v, slope_v_per_c=slope_v_per_c)
    return Chain(sensor, Reference(nominal_v, kind="fixed"), Converter(bits=10))


def test_whole_signal_below_zero():
    chain = of_line(-2.0, 0.012)
    assert chain.problems() == ("the whole signal lies below 0 V: every code is 0",)
    assert chain.code([-25.0, 110.0]).tolist() == [0, 0]


def test_signal_below_zero():
    (problem,) = of_line(0.0, 0.012).problems()
    assert problem == "the signal falls to -0.3 V, below 0 V: below 0.0 degC every code is 0"


def test_a_falling_signal_is_cut_off_at_the_other_end():
    """1.3 V at 0 degC and -20 mV/degC: 1.2 V at 5 degC, 0 V at 65 degC."""
    chain = of_line(1.3, -0.02, nominal_v=1.2)
    above, below = chain.problems()
    assert "reaches 1.8 V" in above and "below 5.0 degC every code is the top code, 1023" in above
    assert "falls to -0.9 V" in below and "above 65.0 degC every code is 0" in below
    assert chain.code([4.9, 65.1]).tolist() == [1023, 0]
    assert chain.span_c() == pytest.approx((5.0, 65.0), abs=ROUNDING_C)


def test_nothing_is_claimed_of_a_supply_that_nobody_named():
    assert scenario(nominal_v=2.5, kind="fixed").problems() == ()
