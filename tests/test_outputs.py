"""What pins and wires carry: against the standards' figures, and against each other."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import PlatinumSensor
from tempkit.signal import (
    lamp_current_a,
    lamp_resistor,
    nearest_preferred,
    preferred_values,
    series_resistor,
    supply_total,
    wire_area_mm2,
    wire_ohms_per_m,
)
from tempkit.signal.outputs import SERIES, copper_ohms_per_m, preferred_at_least

FOOT_M = 0.3048
VALUES = st.floats(1e-6, 1e9)


def test_two_digit_series_as_in_the_standard():
    entry = reference("e24")
    for name, numbers in entry.expected.items():
        assert [round(10 * value) for value in preferred_values(name)] == numbers


def test_three_digit_series_as_in_the_standard():
    for name, numbers in reference("e192").expected.items():
        assert [round(100 * value) for value in preferred_values(name)] == numbers


@pytest.mark.parametrize(("inner", "outer"), [*pairwise(SERIES[:4]), *pairwise(SERIES[4:])])
def test_each_series_holds_every_second_value_of_the_next(inner, outer):
    step = len(preferred_values(outer)) // len(preferred_values(inner))
    assert preferred_values(inner) == preferred_values(outer)[::step]


def test_resistor_of_a_lamp():
    entry = reference("led")
    given_ = entry.inputs
    for current, r_ohm in zip(given_["I_A"], entry.expected["R"], strict=True):
        assert series_resistor(given_["Vs"], given_["Vf"], current) == pytest.approx(r_ohm, rel=1e-12)
    currents = [round(1000 * lamp_current_a(supply, 2.0, 330.0), 3) for supply in (5.5, 4.75)]
    assert currents == [10.606, 8.333]  # source: the same entry's note


def test_what_a_port_gives():
    """Source: USB 2.0 specification, section 7.2: a unit load and a high-power port."""
    limits = reference("usb").expected
    loads = {"board": 0.050, "lamp": lamp_current_a(5.5, 2.0, 330.0), "buzzer": 0.030}
    low = supply_total(loads, limits["unit_load_mA"] / 1000)
    assert low.enough and low.left_a == pytest.approx(0.0093939, abs=1e-6)
    assert not supply_total({**loads, "second lamp": 0.02}, 0.1).enough
    assert supply_total([0.3, 0.3], limits["high_power_mA"] / 1000).left_a == pytest.approx(-0.1)


def test_wire_gauges():
    entry = reference("awg")
    gauges = np.array(entry.inputs["awg"])
    per_m = wire_ohms_per_m(gauges)
    assert 1000 * per_m == pytest.approx(entry.expected["ohm_per_km"], rel=entry.tolerance["rel"])
    assert 1000 * FOOT_M * per_m == pytest.approx(entry.expected["ohm_per_1000ft"], rel=entry.tolerance["rel"])


def test_cables_may_have_some_per_cent_more_than_bare_copper():
    """The standard's table gives the most that a cable may have; wires are thinner than their name."""
    entry = reference("iec60228")
    copper = 1000 * copper_ohms_per_m(np.array(entry.inputs["mm2"], dtype=float))
    for name, most in (("class1_2_ohm_per_km", 1.08), ("class5_ohm_per_km", 1.17)):
        ratio = np.array(entry.expected[name]) / copper
        assert np.all((ratio > 1.0) & (ratio < most)), (name, ratio)


def test_leads_of_a_two_wire_platinum_sensor():
    entry = reference("lead-2wire")
    loop_ohm = 2 * entry.inputs["length_m"] * wire_ohms_per_m(entry.inputs["awg"])
    assert loop_ohm == pytest.approx(entry.expected["loop_ohm"], rel=entry.tolerance["rel"])
    for name, r0_ohm in (("err_Pt100_K", 100.0), ("err_Pt1000_K", 1000.0)):
        sensor = PlatinumSensor(r0_ohm=r0_ohm)
        straight = loop_ohm / (sensor.ohms_per_c(entry.inputs["t_degC"]))
        assert straight == pytest.approx(entry.expected[name], rel=entry.tolerance["rel"])
    warmer = wire_ohms_per_m(28, 50.0) / wire_ohms_per_m(28, 20.0)
    assert warmer - 1 == pytest.approx(0.118, abs=0.0005)  # source: the same entry's note


def test_three_gauges_halve_the_area():
    """Common practice, no source: three sizes down, half the copper; exactly 92^(6/39) = 2.005."""
    gauges = np.arange(0, 40)
    ratios = wire_area_mm2(gauges) / wire_area_mm2(gauges + 3)
    assert ratios == pytest.approx(2.005, abs=0.0005)


@given(VALUES, st.sampled_from(SERIES))
def test_nothing_in_the_series_is_nearer(value, series):
    found = nearest_preferred(value, series)
    every = [number * 10.0**decade for decade in range(-8, 12) for number in preferred_values(series)]
    assert abs(found - value) <= min(abs(one - value) for one in every) * (1 + 1e-9) + 1e-12 * value
    assert min(abs(one - found) for one in every) <= 1e-9 * found


@given(VALUES, st.sampled_from(SERIES))
def test_at_least_is_the_next_one_up(value, series):
    found = preferred_at_least(value, series)
    assert found >= value * (1 - 1e-11)
    below = [n * 10.0**d for d in range(-8, 12) for n in preferred_values(series) if n * 10.0**d < found * (1 - 1e-9)]
    assert max(below) < value


@given(st.integers(-6, 8), st.sampled_from(SERIES), st.data())
def test_a_preferred_value_is_its_own_nearest(decade, series, data):
    value = float(f"{data.draw(st.sampled_from(preferred_values(series)))}e{decade}")
    assert nearest_preferred(value, series) == preferred_at_least(value, series) == value


@given(st.floats(2.5, 24.0), st.floats(0.0, 2.4), st.floats(1e-4, 1.0))
def test_resistor_and_current_turn_each_other_round(supply_v, forward_v, current_a):
    r_ohm = series_resistor(supply_v, forward_v, current_a)
    assert lamp_current_a(supply_v, forward_v, r_ohm) == pytest.approx(current_a, rel=1e-9)
    assert lamp_current_a(supply_v, forward_v, preferred_at_least(r_ohm)) <= current_a * (1 + 1e-9)
    least_ohm = 0.95 * lamp_resistor(supply_v, forward_v, current_a)
    assert current_a / 1.2 < lamp_current_a(supply_v, forward_v, least_ohm) <= current_a * (1 + 1e-9)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: series_resistor(1.8, 2.0, 0.01), r"forward voltage 2 V must be below the supply 1.8 V"),
        (lambda: series_resistor(5.0, 2.0, 0.0), r"current 0 A"),
        (lambda: series_resistor(5.0, -2.0, 0.01), r"forward voltage -2 V"),
        (lambda: lamp_current_a(5.0, 2.0, 0.0), r"resistance 0 ohm"),
        (lambda: lamp_resistor(5.0, 2.0, 0.01, 1.0), r"tolerance 1 \(relative\)"),
        (lambda: preferred_values("E25"), r"'E25' is not one of E3"),
        (lambda: nearest_preferred(0.0), r"value 0"),
        (lambda: nearest_preferred(math.nan), r"value nan"),
        (lambda: supply_total({"lamp": -0.01}, 0.1), r"current of lamp -0.01 A"),
        (lambda: supply_total([0.01], 0.0), r"limit 0 A"),
        (lambda: wire_ohms_per_m(60), r"gauge 60 AWG is outside -3 to 50"),
        (lambda: wire_ohms_per_m(24, 500.0), r"wire temperature 500 degC"),
        (lambda: copper_ohms_per_m(0.0), r"area 0 mm\^2"),
    ],
)
def test_bad_input_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()


def test_arrays_give_nan_where_a_scalar_raises():
    assert np.isnan(series_resistor(np.array([1.0, 5.0]), 2.0, 0.01)).tolist() == [True, False]
    assert np.isnan(wire_ohms_per_m([60, 24])).tolist() == [True, False]
