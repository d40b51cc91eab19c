"""Divider, current source and bridge: against rational arithmetic, published values, and themselves turned round."""

import math
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import (
    Bridge,
    Chain,
    Converter,
    CurrentDrive,
    Direct,
    Divider,
    LinearSensor,
    PlatinumSensor,
    Reference,
    Thermistor,
)

PT100 = PlatinumSensor()
NTC = Thermistor.from_beta(r25_ohm=9100.0, beta_k=3610.0)


def chain(sensor, circuit, nominal_v=5.0, bits=10, **reference_fields):
    return Chain(
        sensor=sensor,
        circuit=circuit,
        reference=Reference(nominal_v=nominal_v, **reference_fields),
        converter=Converter(bits=bits),
    )


# ---- the divider


def test_a_thermistor_to_ground():
    row = reference("divider-ntc")
    bench = chain(NTC, Divider(fixed_ohm=row.inputs["Rfix"]), row.inputs["Vref"])
    t_c = np.array(row.inputs["t_degC"], dtype=float)
    assert bench.volts(t_c) == pytest.approx(row.expected["V"], abs=row.tolerance["V"])
    assert bench.code(t_c).tolist() == row.expected["code10_floor"]
    slope_mv = 1000 * bench.circuit.volts_per_c(NTC, t_c, 5.0)
    assert slope_mv == pytest.approx(row.expected["sens_mV_per_K"], abs=row.tolerance["sens"])


@given(st.integers(1, 10**6), st.integers(1, 10**6), st.integers(0, 1000), st.sampled_from(["bottom", "top"]))
def test_the_divider_in_fractions(r_ohm, fixed_ohm, lead_ohm, sensor_at):
    """Any sensor: a stand-in whose line is its temperature in ohm."""
    circuit = Divider(fixed_ohm=float(fixed_ohm), lead_ohm=float(lead_ohm), sensor_at=sensor_at)
    arm = Fraction(r_ohm + 2 * lead_ohm)
    part = (arm if sensor_at == "bottom" else Fraction(fixed_ohm)) / (arm + fixed_ohm)
    v = circuit.volts(Plain(), float(r_ohm), 3.3)
    assert abs(Fraction(v) - part * Fraction(3.3)) < 1e-15 * Fraction(3.3)
    back = circuit.celsius(Plain(), v, 3.3)
    rounding_ohm = 1e-15 * (fixed_ohm + r_ohm + 2 * lead_ohm) ** 2 / min(fixed_ohm, r_ohm + 2 * lead_ohm)
    assert back == pytest.approx(r_ohm, abs=4 * rounding_ohm)


class Plain:
    """A stand-in: a sensor of one ohm a degree."""

    gives, range_c = "ohms", (0.0, 1e6)

    def line(self, t_c, off=None):
        return t_c

    def inverse(self, r_ohm):
        return r_ohm

    def slope(self, t_c):
        return 1.0 + 0.0 * t_c


def test_the_two_sides_add_up_to_the_feed():
    t_c = np.linspace(-25, 110, 50)
    bottom, top = (Divider(fixed_ohm=4700.0, sensor_at=end).volts(NTC, t_c, 5.0) for end in ("bottom", "top"))
    assert bottom + top == pytest.approx(np.full(50, 5.0), rel=1e-15)
    assert (np.diff(bottom) < 0).all() and (np.diff(top) > 0).all()


def test_fed_from_the_reference_the_reference_cancels():
    t_c = np.linspace(-25, 110, 300)
    for kind in ("supply", "fixed"):
        bench = chain(NTC, Divider(fixed_ohm=9100.0), kind=kind, bits=12)
        first = bench.code(t_c)
        for true_v in (4.4, 4.75, 4.83, 5.25):
            off = bench.with_true_reference(true_v)
            assert (np.abs(off.code(t_c) - first) <= 1).all()  # on an edge of a step, rounding decides
            assert (off.code(t_c) == first).mean() > 0.99
            assert np.abs(off.error_c(t_c)).max() <= (0.51 * off.step_c(t_c)).max()


def test_fed_from_a_supply_of_its_own_it_does_not():
    """25 degC is half the supply: 2.5 V of 5 V. Against a fixed 4 V that is code 640 of 1024."""
    bench = chain(NTC, Divider(fixed_ohm=9100.0, supply_v=5.0), 4.0, kind="fixed")
    assert bench.code(25.0) == 640
    assert bench.circuit.doubts("fixed")["feed"][:2] == (0.0, "%")
    assert replace(bench.circuit, supply_tolerance=0.05).doubts("fixed")["feed"][:2] == (5.0, "%")
    assert replace(bench.circuit, supply_tolerance=0.05).doubts("supply")["feed"][:2] == (0.0, "%")


# ---- lead wires


@pytest.mark.parametrize("index", [0, 1])
def test_a_loop_of_one_ohm(index):
    """Forgotten leads of 0.5 ohm each, two wires: the loop over the slope, and a curve's second order below 2e-3."""
    row = reference("pt-lead-1ohm")
    t_c, expected_k = row.inputs["t_degC"][index], row.expected["error_K"][index]
    assert row.inputs["loop_ohm"] / PT100.ohms_per_c(t_c) == pytest.approx(expected_k, abs=row.tolerance["abs"])
    two = CurrentDrive(current_a=0.001, wires=2, lead_ohm=0.5)
    found_k = two.assumed.celsius(PT100, two.volts(PT100, t_c, None), None) - t_c
    assert found_k == pytest.approx(expected_k, abs=2e-3)


def test_ten_metres_of_thin_copper():
    row = reference("lead-2wire")
    two = CurrentDrive(current_a=0.001, wires=2, lead_ohm=row.expected["loop_ohm"] / 2)
    for r0_ohm, expected_k in ((100.0, row.expected["err_Pt100_K"]), (1000.0, row.expected["err_Pt1000_K"])):
        sensor = PlatinumSensor(r0_ohm=r0_ohm)
        found_k = two.assumed.celsius(sensor, two.volts(sensor, 0.0, None), None)
        assert found_k == pytest.approx(expected_k, rel=0.002)  # the reference is the loop over the slope at 0 degC


def test_three_and_four_wires():
    for wires, loops in ((2, 1.0), (3, 0.0), (4, 0.0)):
        drive = CurrentDrive(current_a=0.001, wires=wires, lead_ohm=0.5, lead_tolerance=0.1)
        assert drive.volts(PT100, 0.0, None) == pytest.approx(0.1 + 0.001 * loops, rel=1e-15)
        assert drive.doubts("fixed")["leads"][:2] == (0.1, "ohm")
        moved = drive.volts(PT100, 0.0, None, {"leads": 0.1}) - drive.volts(PT100, 0.0, None)
        assert moved == pytest.approx(0.0 if wires == 4 else 1e-4, abs=1e-15)
    three = CurrentDrive(current_a=0.001, wires=3, lead_ohm=0.5)
    assert three.volts(PT100, 0.0, None, {"leads": 0.1}) == pytest.approx(0.1001, rel=1e-15)


def test_leads_that_the_program_allows_for():
    known = CurrentDrive(current_a=0.001, wires=2, lead_ohm=0.5, assumed_lead_ohm=0.5)
    assert known.assumed is known and known.unknown == ""
    assert known.assumed.celsius(PT100, known.volts(PT100, 50.0, None), None) == pytest.approx(50.0, abs=1e-10)
    forgotten = replace(known, assumed_lead_ohm=0.0)
    assert forgotten.unknown == "leads other than assumed"
    assert forgotten.assumed.lead_ohm == 0.0
    bench = chain(PT100, replace(forgotten, gain=20.0), bits=16)
    assert bench.error_c(0.0) == pytest.approx(2.56, abs=0.02)  # 1 ohm of 0.39 ohm/degC
    assert bench.celsius_at_pin(bench.volts(50.0)) == pytest.approx(50.0, abs=1e-10)


def test_the_leads_of_a_bridge():
    """Two wires: the loop counts in full. Three: at balance nothing, away from it next to nothing."""
    two, three = (Bridge(top_ohm=2000.0, balance_ohm=100.0, wires=wires, lead_ohm=1.0) for wires in (2, 3))
    at_balance = [each.assumed.celsius(PT100, each.volts(PT100, 0.0, 5.0), 5.0) for each in (two, three)]
    assert at_balance == pytest.approx([2 / 0.39083, 0.0], abs=0.01)
    away_c = three.assumed.celsius(PT100, three.volts(PT100, 100.0, 5.0), 5.0) - 100.0
    assert 0.01 < abs(away_c) < 0.2


def test_four_wires_at_a_divider():
    circuit = Divider(fixed_ohm=1000.0, wires=4, lead_ohm=10.0, assumed_lead_ohm=10.0)
    assert circuit.volts(PT100, 0.0, 1.12) == pytest.approx(0.1, rel=1e-15)  # 100 of 1000 + 100 + 20 ohm
    assert circuit.celsius(PT100, 0.1, 1.12) == pytest.approx(0.0, abs=1e-11)


# ---- current and bridge


def test_a_current_that_the_reference_sets():
    """The reference over 2 kilohm, through 100 ohm, 10 times: half the reference, whatever it is."""
    drive = CurrentDrive(set_ohm=2000.0, gain=10.0)
    for reference_v in (2.0, 2.5, 5.0):
        assert drive.volts(PT100, 0.0, reference_v) == pytest.approx(reference_v / 2, rel=1e-15)
    bench = chain(PT100, drive, bits=16)
    t_c = np.linspace(-100, 200, 100)
    assert np.abs(bench.with_true_reference(4.75).error_c(t_c)).max() < 0.6 * bench.step_c(t_c).max()


@given(st.integers(1, 10**5), st.integers(1, 10**4), st.integers(1, 10**5), st.sampled_from([2, 3]))
def test_the_bridge_in_fractions(top_ohm, balance_ohm, r_ohm, wires):
    bridge = Bridge(top_ohm=float(top_ohm), balance_ohm=float(balance_ohm), wires=wires, lead_ohm=2.0)
    arm = Fraction(r_ohm + (4 if wires == 2 else 2))
    beside = Fraction(balance_ohm + (0 if wires == 2 else 2))
    common = 0 if wires == 2 else 2
    # by nodes: v_low is what the current of both arms leaves across the common lead
    siemens = 1 / (top_ohm + arm) + 1 / (top_ohm + beside)
    low_v = 5 * siemens * common / (1 + siemens * common)
    exact = (5 - low_v) * (arm / (top_ohm + arm) - beside / (top_ohm + beside))
    assert abs(Fraction(bridge.volts(Plain(), float(r_ohm), 5.0)) - exact) < 5e-15


def test_the_common_lead_of_a_bridge():
    """By hand: 2090 and 1990 ohm side by side are 1019.387 ohm, and 10 ohm below them leave 0.990286 of the feed, so of
    5 V (1100 / 2090 - 1000 / 1990) = 119.0161 mV too. Known leads read back exactly, forgotten ones do not."""
    r_c = Plain()
    bridge = Bridge(top_ohm=990.0, balance_ohm=990.0, lead_ohm=10.0, assumed_lead_ohm=10.0)
    assert bridge.volts(r_c, 1090.0, 5.0) == pytest.approx(0.1178600, abs=1e-7)
    assert bridge.celsius(r_c, bridge.volts(r_c, 1090.0, 5.0), 5.0) == pytest.approx(1090.0, rel=1e-12)
    forgotten = replace(bridge, assumed_lead_ohm=0.0).assumed
    assert forgotten.celsius(r_c, bridge.volts(r_c, 1090.0, 5.0), 5.0) < 1089.0
    bare = Bridge(top_ohm=990.0, balance_ohm=990.0, lead_ohm=10.0, wires=2)
    assert bare.volts(r_c, 1090.0, 5.0) == pytest.approx(5 * (1110 / 2100 - 1 / 2), rel=1e-12)


def test_power_in_the_sensor():
    """1 mA in 100 ohm is 0.1 mW; 5 V over 9.1 kilohm and 9.1 kilohm leaves 0.68681 mW in each."""
    assert CurrentDrive(current_a=0.001).power_w(PT100, 0.0, None) == pytest.approx(1e-4)
    assert Divider(fixed_ohm=9100.0).power_w(NTC, 25.0, 5.0) == pytest.approx(6.8681e-4, rel=1e-5)
    assert Bridge(top_ohm=900.0, balance_ohm=100.0).power_w(PT100, 0.0, 1.0) == pytest.approx(1e-4)


# ---- all of the circuits

GAINS = {"gain": st.floats(1.0, 100.0), "bias_v": st.floats(-0.1, 1.0)}
LEADS = {"lead_ohm": st.floats(0.0, 5.0)}
circuits = st.one_of(
    st.builds(Divider, fixed_ohm=st.floats(50, 1e5), sensor_at=st.sampled_from(["bottom", "top"]), **LEADS, **GAINS),
    st.builds(Divider, fixed_ohm=st.floats(50, 1e5), wires=st.just(4), **LEADS, **GAINS),
    st.builds(CurrentDrive, current_a=st.floats(1e-5, 1e-2), wires=st.sampled_from([2, 3, 4]), **LEADS, **GAINS),
    st.builds(CurrentDrive, set_ohm=st.floats(100, 1e5), wires=st.sampled_from([2, 3, 4]), **LEADS, **GAINS),
    st.builds(Bridge, top_ohm=st.floats(500, 1e5), balance_ohm=st.floats(50, 1e4), wires=st.sampled_from([2, 3]),
              **LEADS, **GAINS),
)  # fmt: skip
sensors = st.sampled_from([PT100, PlatinumSensor(r0_ohm=1000.0), NTC])


def rounding_c(circuit, sensor, t_c):
    """A few roundings of the largest voltage there, divided by the slope at the pin [degC]."""
    size_v = abs(circuit.bias_v) + circuit.gain * (5.0 + abs(circuit.volts(sensor, t_c, 5.0)))
    return 1e-15 * size_v / abs(circuit.volts_per_c(sensor, t_c, 5.0)) + 1e-11


@given(circuits, sensors, st.floats(-50, 140))
def test_there_and_back(circuit, sensor, t_c):
    back_c = circuit.celsius(sensor, circuit.volts(sensor, t_c, 5.0), 5.0)
    assert back_c == pytest.approx(t_c, abs=4 * rounding_c(circuit, sensor, t_c))


@given(circuits, sensors, st.floats(-50, 140))
def test_slope_is_the_difference(circuit, sensor, t_c):
    rise = circuit.volts(sensor, t_c + 0.01, 5.0) - circuit.volts(sensor, t_c - 0.01, 5.0)
    slope = circuit.volts_per_c(sensor, t_c, 5.0)
    assert slope == pytest.approx(rise / 0.02, rel=1e-5, abs=abs(slope) * rounding_c(circuit, sensor, t_c) / 0.01)


@given(circuits, sensors, st.lists(st.floats(-50, 140), min_size=2, max_size=12))
def test_shapes_and_one_direction(circuit, sensor, t_c):
    v = circuit.volts(sensor, np.array(sorted(t_c)), 5.0)
    slope = circuit.volts_per_c(sensor, t_c[0], 5.0)
    assert (np.diff(v) * math.copysign(1.0, slope) >= -1e-12 * circuit.gain).all()
    assert v == pytest.approx([circuit.volts(sensor, each, 5.0) for each in sorted(t_c)], rel=1e-12, abs=1e-12)
    assert type(circuit.volts(sensor, 25.0, 5.0)) is type(circuit.celsius(sensor, 0.5, 5.0)) is float


# What may be off, and the same circuit built with that part changed.
OFF = [
    (Divider(fixed_ohm=1000.0), {"fixed": 2.0}, {"fixed_ohm": 1020.0}, 5.0),
    (Divider(fixed_ohm=1000.0), {"leads": 0.4}, {"lead_ohm": 0.2}, 5.0),
    (Divider(fixed_ohm=1000.0, wires=4, lead_ohm=1.0), {"leads": 0.4}, {"lead_ohm": 1.2}, 5.0),
    (Divider(fixed_ohm=1000.0), {"feed": -2.0}, {}, 4.9),
    (CurrentDrive(current_a=1e-3), {"current": 1.0}, {"current_a": 1.01e-3}, 5.0),
    (CurrentDrive(current_a=1e-3, wires=2), {"leads": 1.0}, {"lead_ohm": 0.5}, 5.0),
    (CurrentDrive(current_a=1e-3, gain=10.0), {"amp_gain": 3.0}, {"gain": 10.3}, 5.0),
    (CurrentDrive(current_a=1e-3, gain=10.0), {"amp_offset": 1e-3}, {"bias_v": 1e-2}, 5.0),
    (Bridge(top_ohm=1e3, balance_ohm=90.0), {"balance": 1.0}, {"balance_ohm": 90.9}, 5.0),
    (Bridge(top_ohm=1e3, balance_ohm=90.0), {"top_sensor": 1.0, "top_balance": 1.0}, {"top_ohm": 1010.0}, 5.0),
    (Bridge(top_ohm=1e3, balance_ohm=90.0, wires=2), {"leads": 1.0}, {"lead_ohm": 0.5}, 5.0),
    (Bridge(top_ohm=1e3, balance_ohm=90.0), {"leads": 1.0, "balance": 100 / 90, "common": 1.0}, {"lead_ohm": 1.0}, 5.0),
]  # fmt: skip


@pytest.mark.parametrize(("circuit", "off", "changed", "feed_v"), OFF, ids=lambda each: str(each)[:40])
def test_what_is_off_is_a_part_of_another_value(circuit, off, changed, feed_v):
    found = circuit.volts(PT100, 37.0, 5.0, off)
    assert found == pytest.approx(replace(circuit, **changed).volts(PT100, 37.0, feed_v), rel=1e-14)
    assert found != circuit.volts(PT100, 37.0, 5.0)
    assert set(off) <= set(circuit.doubts("fixed"))


# ---- falling signals, through the whole chain


@given(st.sampled_from(["bottom", "top"]), st.integers(6, 16), st.floats(1000, 1e5), st.floats(-50, 140))
def test_a_chain_that_falls_or_rises(sensor_at, bits, fixed_ohm, t_c):
    bench = chain(NTC, Divider(fixed_ohm=fixed_ohm, sensor_at=sensor_at), bits=bits)
    assert bench.step_c(t_c) > 0
    code = bench.code(t_c)
    ends = sorted((bench.code(-55.0), bench.code(150.0)))
    assert ends[0] <= code <= ends[1]
    reading_c = bench.reading(code, checked=False)
    edges_c = sorted(bench.celsius_at_pin(bench.converter.step_v(5.0) * (code + side)) for side in (0, 1))
    assert edges_c[0] - 1e-9 <= t_c <= edges_c[1] + 1e-9
    assert edges_c[0] <= reading_c <= edges_c[1]
    low_v, top_v = bench.headroom_v()
    assert low_v > 0 and top_v > 0
    assert bench.span_c() == (-55.0, 150.0)
    assert bench.problems() == ()


def test_where_a_falling_signal_is_cut_off():
    """9.1 kilohm above, a supply of 5 V, a fixed reference of 2.5 V: below 25 degC the signal lies above it."""
    bench = chain(NTC, Divider(fixed_ohm=9100.0, supply_v=5.0), 2.5, kind="fixed")
    low, high = bench.span_c()
    assert (low, high) == pytest.approx((25.0, 150.0), abs=1e-9)
    (problem,) = bench.problems()
    assert "below 25.0 degC every code is the top code, 1023" in problem
    top = chain(NTC, Divider(fixed_ohm=9100.0, supply_v=5.0, sensor_at="top"), 2.5, kind="fixed")
    assert "above 25.0 degC every code is the top code, 1023" in top.problems()[0]


def test_codes_that_cannot_be_true():
    bench = chain(NTC, Divider(fixed_ohm=9100.0))
    readings_c = bench.reading(np.arange(1024))
    inside = ~np.isnan(readings_c)
    assert 0 < inside.sum() < 1024
    assert (np.diff(readings_c[inside]) < 0).all()
    for code in (0, 1023):
        with pytest.raises(ValueError, match=rf"code {code} as reading .* is outside -55 to 150 degC"):
            bench.reading(code)
    assert bench.code([math.nan, math.inf, -math.inf, 25.0]).tolist() == [-1, -1, -1, 512]


# ---- what cannot be


@pytest.mark.parametrize(
    ("sensor", "circuit", "words"),
    [
        (
            NTC,
            Direct(),
            "a direct connection does not go with a thermistor: it takes a voltage, and the sensor",
        ),
        (PT100, None, "a direct connection does not go with a platinum sensor"),
        (LinearSensor(), Divider(fixed_ohm=1e4), "a divider does not go with a sensor with a straight line"),
    ],
)
def test_sensors_and_circuits_that_do_not_go_together(sensor, circuit, words):
    with pytest.raises(ValueError) as error:
        chain(sensor, circuit)
    assert words in str(error.value)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Divider(fixed_ohm=0.0), "fixed_ohm 0 ohm must be above 0 ohm"),
        (lambda: Divider(fixed_ohm=1e4, fixed_tolerance=1.0), "fixed_tolerance 1 is outside 0 to 1"),
        (lambda: Divider(fixed_ohm=1e4, sensor_at="left"), "sensor_at 'left' is not one of bottom, top"),
        (lambda: Divider(fixed_ohm=1e4, sensor_at="top", wires=4), "does not go with 4 wires"),
        (lambda: Divider(fixed_ohm=1e4, wires=3), "wires 3 is not one of 2, 4"),
        (lambda: Divider(fixed_ohm=1e4, lead_ohm=-1.0), "lead_ohm -1 ohm must be 0 ohm or more"),
        (lambda: Divider(fixed_ohm=1e4, supply_v=0.0), "supply_v 0 V must be above 0 V"),
        (lambda: Divider(fixed_ohm=1e4, gain=0.0), "gain 0 (ratio) must be above 0"),
        (lambda: Divider(fixed_ohm=1e4, offset_v=-1e-3), "offset_v -0.001 V must be 0 V or more"),
        (lambda: Divider(fixed_ohm=1e4, bias_v=math.nan), "bias_v nan V"),
        (lambda: CurrentDrive(), "current_a or set_ohm must be given, one of them, and 0 are"),
        (lambda: CurrentDrive(current_a=1e-3, set_ohm=1e3), "one of them, and 2 are"),
        (lambda: CurrentDrive(current_a=-1e-3), "current_a -0.001 A must be above 0 A"),
        (lambda: CurrentDrive(current_a=1e-3, wires=5), "wires 5 is not one of 2, 3, 4"),
        (lambda: Bridge(top_ohm=1e3, balance_ohm=0.0), "balance_ohm 0 ohm must be above 0 ohm"),
        (lambda: Bridge(top_ohm=1e3, balance_ohm=1e2, wires=4), "wires 4 is not one of 2, 3"),
    ],
)
def test_a_circuit_that_cannot_be(make, words):
    with pytest.raises(ValueError) as error:
        make()
    assert words in str(error.value)
