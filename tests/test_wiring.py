"""Voltages at every point of a bench: by hand with Ohm's law, and what must hold for any wiring."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import scenario
from tempkit.faults import Wiring, meter_limits_v, voltages
from tempkit.faults.wiring import RIGHT, SENSOR_STATES, SUPPLY_MOST_A, TURNED_OHM, TURNED_V, source_v
from tempkit.signal import wire_ohms_per_m


def test_a_right_bench_by_hand():
    """21 degC: 600 mV + 168 mV = 768 mV; the sensor's 50 uA through 0.05 ohm lift its ground by 2.5 uV."""
    at = voltages(scenario(), 21.0)
    assert at.supply_v == at.reference_v == 5.0
    assert at.sensor_ground_v == pytest.approx(2.5e-6)
    assert at.pin_v == at.sensor_output_v == pytest.approx(0.768, abs=5e-6)
    assert at.sensor_w == pytest.approx(250e-6, rel=1e-3)
    assert at.warming_k < 0.1


def test_long_leads_by_hand():
    """20 m of gauge 30 (ASTM B258: 338.55 ohm/km) is 6.77 ohm; a buzzer's 30 mA there lift it by 203 mV."""
    entry = reference("awg")
    each_ohm = 20.0 * dict(zip(entry.inputs["awg"], entry.expected["ohm_per_km"], strict=True))[30] / 1000
    wires = Wiring(lead_ohm=20.0 * wire_ohms_per_m(30), shared_ground=True)
    quiet, loud = (voltages(scenario(), 21.0, wires, buzzer=on) for on in (False, True))
    assert loud.pin_v - quiet.pin_v == pytest.approx(0.03 * each_ohm, rel=entry.tolerance["rel"])
    assert loud.sensor_ground_v == pytest.approx(0.203, abs=0.001)
    apart = voltages(scenario(), 21.0, replace(wires, shared_ground=False), buzzer=True)
    assert apart.sensor_ground_v < 0.001


def test_a_sagging_supply_by_hand():
    """10 ohm and 50 mA: 0.5 V; the reference goes with it where it is the supply, and stays where it is fixed."""
    wires = Wiring(supply_ohm=10.0, buzzer_a=0.05)
    assert voltages(scenario(), 21.0, wires, buzzer=True).reference_v == pytest.approx(4.5)
    fixed = scenario(nominal_v=1.2, kind="fixed")
    loud = voltages(fixed, 21.0, wires, buzzer=True)
    assert (loud.supply_v, loud.reference_v) == (pytest.approx(4.5), 1.2)
    near = voltages(scenario(nominal_v=4.8, kind="fixed"), 21.0, wires, buzzer=True)
    assert near.reference_v == pytest.approx(4.5), "no reference stands above the supply that it is made of"


def test_a_turned_sensor_gets_hot():
    """A diode of 0.9 V and 3 ohm behind 0.3 ohm would take 1.24 A; the port gives 500 mA (USB 2.0, 7.2)."""
    assert float(SUPPLY_MOST_A) * 1000 == reference("usb").expected["high_power_mA"]
    at = voltages(scenario(), 21.0, Wiring(sensor="turned"))
    assert at.sensor_a == 0.5
    assert at.supply_v == pytest.approx(float(TURNED_V) + 0.5 * float(TURNED_OHM))
    assert at.sensor_w == pytest.approx(1.2)
    assert at.warming_k > 100
    weak = voltages(scenario(), 21.0, Wiring(sensor="turned", supply_ohm=30.0))
    assert weak.sensor_a == pytest.approx((5.0 - 0.9) / 33.0)
    assert weak.supply_v == pytest.approx(5.0 - 30.0 * weak.sensor_a)


def test_a_lamp_the_wrong_way_takes_all_and_draws_nothing():
    right, turned = (voltages(scenario(), 21.0, Wiring(lamp=state), lamp=True) for state in ("right", "turned"))
    assert right.lamp_v == 2.0 and turned.lamp_v == turned.supply_v == 5.0
    assert right.supply_v < turned.supply_v
    assert voltages(scenario(), 21.0).lamp_v == 0.0


def test_open_legs():
    for state, pin_v in (("no supply", 0.0), ("no signal", 0.0), ("no ground", 4.5)):
        assert voltages(scenario(), 21.0, Wiring(sensor=state)).pin_v == pytest.approx(pin_v)
    open_signal = voltages(scenario(), 21.0, Wiring(sensor="no signal"))
    assert open_signal.sensor_output_v == pytest.approx(0.768, abs=1e-5)


def test_a_ratiometric_sensor_follows_its_feed():
    chain = scenario(ratiometric_at_v=5.0)
    sagged = voltages(chain, 21.0, Wiring(supply_ohm=10.0, buzzer_a=0.05), buzzer=True)
    assert sagged.pin_v == pytest.approx(0.768 * 0.9, rel=1e-4)
    assert source_v(scenario(true_v=4.8, ratiometric_at_v=5.0)) == 4.8


@given(
    st.floats(-25, 110), st.sampled_from(SENSOR_STATES), st.floats(0, 20), st.floats(0, 20), st.booleans(),
    st.booleans(), st.booleans(), st.floats(0, 1),
)  # fmt: skip
def test_every_voltage_lies_between_ground_and_source(t_c, state, supply_ohm, lead_ohm, shared, lamp, buzzer, part):
    wires = Wiring(supply_ohm, lead_ohm, shared, state, part)
    at = voltages(scenario(), t_c, wires, lamp, buzzer)
    for name in ("supply_v", "sensor_supply_v", "sensor_ground_v", "sensor_output_v", "pin_v", "lamp_v"):
        assert -1e-12 <= getattr(at, name) <= 5.0, name
    assert 0 <= at.sensor_a <= 0.5


def test_limits_of_a_meter():
    assert meter_limits_v(1.0) == pytest.approx(0.007)
    assert meter_limits_v([-1.0, 5.0]) == pytest.approx([0.007, 0.045])


def test_refusals():
    for wrong, words in (
        ({"sensor": "upside down"}, "sensor 'upside down' is not one of right, turned"),
        ({"lamp": "off"}, "lamp 'off' is not one of"),
        ({"lead_ohm": -1.0}, "lead_ohm -1 ohm must be 0 ohm or more"),
        ({"buzzer_a": float("nan")}, "buzzer_a nan A"),
        ({"output_part": 1.5}, "output_part 1.5 is outside 0 to 1"),
    ):
        with pytest.raises(ValueError, match=words):
            Wiring(**wrong)
    with pytest.raises(ValueError, match="temperature 200 degC is outside"):
        voltages(scenario(), 200.0, RIGHT)
