"""The budget of the other sensors and circuits, by hand: resistors, leads, amplifier, cold junction, classes."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest

from tempkit.chain import (
    Bridge,
    Calibration,
    Chain,
    ColdJunction,
    Converter,
    CurrentDrive,
    Direct,
    Divider,
    LinearSensor,
    PlatinumSensor,
    Reference,
    Thermistor,
    Thermocouple,
)
from tempkit.chain.deviations import Doubt
from tempkit.uncertainty import ChainModel, before_after, chain_budget

CLOSE = 2e-5  # sensitivities come from differences of some per cent, so the curve's second order is left
PT100 = PlatinumSensor(range_c=(-100.0, 200.0))
NTC = Thermistor.from_beta(9100.0, 3610.0, accuracy_c=0.1, r25_tolerance=0.01, beta_tolerance=0.01)
K = Thermocouple("K", range_c=(0.0, 400.0))


def bench(sensor, circuit, nominal_v=5.0, bits=16, **fields):
    return Chain(sensor=sensor, circuit=circuit, reference=Reference(nominal_v, **fields), converter=Converter(bits))


def limits_c(budget, name):
    """Half-width of a rectangular row in degC, from its standard uncertainty."""
    return sqrt(3) * budget.row(name).standard_c


def test_a_thermistor_in_a_divider():
    """At 25 degC both resistors are 9.1 kilohm: 1 % of either is 91 ohm, of 369.555 ohm/degC; beta tilts about 25."""
    budget = chain_budget(bench(NTC, Divider(fixed_ohm=9100.0, fixed_tolerance=0.02), tolerance=0.05), 25.0)
    assert limits_c(budget, "thermistor at 25 degC") == pytest.approx(91 / 369.555, rel=1e-4)
    assert limits_c(budget, "fixed resistor") == pytest.approx(2 * 91 / 369.555, rel=1e-3)
    assert budget.row("thermistor's beta").standard_c == pytest.approx(0.0, abs=1e-9)
    assert limits_c(budget, "sensor accuracy") == pytest.approx(0.1)
    assert (budget.row("fixed resistor").size, budget.row("fixed resistor").unit) == (2.0, "%")
    # Ratiometric: the 5 % of the reference move nothing.
    assert budget.row("reference voltage").standard_c == pytest.approx(0.0, abs=1e-9)
    assert budget.correction_c == pytest.approx(0.0, abs=1e-9)


def test_beta_away_from_25_degc():
    """ln R moves by 1 % of beta (1/T - 1/T25), and T by that times T^2 / beta: at 60 degC 0.01 T^2 (1/T25 - 1/T)."""
    t_k = 333.15
    by_hand_c = 0.01 * t_k**2 * (1 / 298.15 - 1 / t_k)
    budget = chain_budget(bench(NTC, Divider(fixed_ohm=2490.0)), 60.0)
    assert limits_c(budget, "thermistor's beta") == pytest.approx(by_hand_c, rel=1e-3)


def test_platinum_with_a_current():
    """At 0 degC 0.39083 ohm/degC: 0.1 % of 100 ohm; 10 uV at 1 mA are 0.01 ohm; class A 0.15 degC."""
    drive = CurrentDrive(current_a=1e-3, current_tolerance=1e-3, gain=20.0, gain_tolerance=2e-3, offset_v=1e-5)
    budget = chain_budget(bench(replace(PT100, tolerance_class="A"), drive), 0.0)
    assert limits_c(budget, "measuring current") == pytest.approx(0.1 / 0.39083, rel=1e-3)
    assert limits_c(budget, "amplifier gain") == pytest.approx(0.2 / 0.39083, rel=1e-3)
    assert limits_c(budget, "amplifier offset") == pytest.approx(0.01 / 0.39083, rel=1e-3)
    assert limits_c(budget, "sensor accuracy") == pytest.approx(0.15)
    assert "lead resistance" not in [row.name for row in budget.rows]


def test_leads_are_a_correction_and_their_tolerance_a_doubt():
    """Two leads of 0.5 ohm +-10 %, forgotten: 1 ohm too much, and +-0.1 ohm of doubt, of 0.39083 ohm/degC."""
    drive = CurrentDrive(current_a=1e-3, gain=20.0, wires=2, lead_ohm=0.5, lead_tolerance=0.1)
    budget = chain_budget(bench(PT100, drive), 0.0)
    assert budget.correction_c == pytest.approx(-1 / 0.39083, abs=2e-3)
    assert dict(budget.corrections) == {"leads other than assumed": pytest.approx(budget.correction_c)}
    assert limits_c(budget, "lead resistance") == pytest.approx(0.1 / 0.39083, rel=2e-3)
    known = chain_budget(bench(PT100, replace(drive, assumed_lead_ohm=0.5)), 0.0)
    assert known.correction_c == pytest.approx(0.0, abs=1e-9) and known.corrections == ()
    four = chain_budget(bench(PT100, replace(drive, wires=4)), 0.0)
    assert four.correction_c == pytest.approx(0.0, abs=1e-9)


def test_a_bridge_has_three_resistors():
    """At balance each arm's 0.1 % moves the same part of the feed: what 0.1 % of 100 ohm would."""
    budget = chain_budget(bench(PT100, Bridge(top_ohm=2000.0, balance_ohm=100.0, arm_tolerance=1e-3, bias_v=0.5)), 0.0)
    for name in ("bridge, above the sensor", "bridge, above the balance", "bridge, balance resistor"):
        assert limits_c(budget, name) == pytest.approx(0.1 / 0.39083, rel=2e-3), name


def test_the_common_lead_of_a_bridge_is_in_its_budget():
    """10 ohm +-50 % below 2100 and 2138.5 ohm beside each other: 5 ohm more of some 1070 take 0.47 % of 100 degC."""
    bridge = Bridge(top_ohm=2000.0, balance_ohm=100.0, lead_ohm=10.0, assumed_lead_ohm=10.0, lead_tolerance=0.5)
    budget = chain_budget(bench(PT100, replace(bridge, bias_v=0.5)), 100.0)
    assert limits_c(budget, "lead common to both arms") == pytest.approx(0.47, abs=0.02)
    two = chain_budget(bench(PT100, replace(bridge, wires=2, bias_v=0.5)), 100.0)
    assert "lead common to both arms" not in [row.name for row in two.rows]


def test_a_supply_beside_a_fixed_reference():
    """25 degC is half of the supply; 5 % of it is 125 mV, of 50.763 mV/degC."""
    divider = Divider(fixed_ohm=9100.0, supply_v=5.0, supply_tolerance=0.05)
    budget = chain_budget(bench(NTC, divider, 4.0, kind="fixed"), 25.0)
    assert limits_c(budget, "supply of the circuit") == pytest.approx(125 / 50.763, rel=3e-3)


def test_a_thermocouple_and_its_cold_junction():
    """+-0.5 degC at the terminals are 0.5 S(25) / S(100); 10 uV of S(100) = 41.37 uV/degC; class 2: 2.5 degC."""
    circuit = ColdJunction(cold_c=25.0, cold_accuracy_c=0.5, gain=100.0, offset_v=1e-5, gain_tolerance=0.01)
    budget = chain_budget(bench(K, circuit, 2.5, kind="fixed"), 100.0)
    s_hot, s_cold = 1e6 * K.volts_per_c(100.0), 1e6 * K.volts_per_c(25.0)
    assert limits_c(budget, "cold-junction sensor") == pytest.approx(0.5 * s_cold / s_hot, rel=1e-4)
    assert limits_c(budget, "amplifier offset") == pytest.approx(10 / s_hot, rel=1e-4)
    assert limits_c(budget, "amplifier gain") == pytest.approx(0.01 * 1e6 * K.volts(100.0, 25.0) / s_hot, rel=1e-3)
    assert limits_c(budget, "sensor accuracy") == pytest.approx(2.5)


def test_a_class_that_promises_nothing_there_is_said():
    with pytest.raises(ValueError, match="class AA .* promises nothing there"):
        chain_budget(bench(replace(PT100, tolerance_class="AA"), CurrentDrive(current_a=1e-3)), -80.0)


@pytest.mark.parametrize(
    ("sensor", "circuit"),
    [
        (NTC, Divider(fixed_ohm=9100.0, fixed_tolerance=0.01, sensor_at="top", lead_ohm=5.0, lead_tolerance=0.2)),
        (PT100, CurrentDrive(set_ohm=2500.0, gain=10.0, current_tolerance=1e-3, wires=2, lead_ohm=0.4, offset_v=1e-5)),
        (PT100, Bridge(top_ohm=2000.0, balance_ohm=60.0, arm_tolerance=1e-3, gain=20.0, gain_tolerance=2e-3)),
        (PT100, Bridge(top_ohm=2000.0, balance_ohm=60.0, lead_ohm=20.0, lead_tolerance=0.1, gain=20.0)),
        (K, ColdJunction(gain=100.0, bias_v=0.5, cold_accuracy_c=0.5, offset_v=1e-5, measured_cold_c=24.0)),
    ],
)  # fmt: skip
def test_monte_carlo_agrees(sensor, circuit):
    """The other route, JCGM 101: the whole formula, 200 000 trials; 1 % for trials and for the curve."""
    budget = chain_budget(bench(sensor, circuit, bits=12, tolerance=0.01), 40.0)
    simulated = budget.simulated(trials=200_000, seed=1)
    assert simulated.standard == pytest.approx(budget.standard_c, rel=0.01)
    assert simulated.value == pytest.approx(budget.reading_c, abs=0.02 * budget.standard_c)
    low, high = budget.worst_c
    assert low < 0 < high and high <= 1.2 * budget.worst_sum_c
    values = budget.function(*(np.array([each.value, each.value]) for each in budget.inputs))
    assert values == pytest.approx([budget.reading_c] * 2)


def test_a_calibration_takes_the_parts_out():
    """Everything that stays the same: the forgotten leads, the fixed resistor, the current."""
    drive = CurrentDrive(current_a=1e-3, gain=20.0, wires=2, lead_ohm=0.5, lead_tolerance=0.1, current_tolerance=1e-3)
    before = chain_budget(bench(PT100, drive), 0.0)
    after = before_after(before, Calibration(first_c=0.0, thermometer_u_c=0.02)).after
    assert after.correction_c == pytest.approx(0.0, abs=1e-9) and after.corrections == ()
    for name in ("lead resistance", "measuring current", "sensor accuracy"):
        assert after.row(name).standard_c == pytest.approx(0.0, abs=1e-6)


# ---- nothing is left out without a word


CIRCUITS = (
    (NTC, Divider(fixed_ohm=9100.0)),
    (PT100, CurrentDrive(current_a=1e-3, gain=20.0)),
    (PT100, Bridge(top_ohm=2000.0, balance_ohm=100.0, bias_v=0.5)),
    (K, ColdJunction(gain=100.0, bias_v=0.5)),
    (LinearSensor(), Direct()),
)


@pytest.mark.parametrize(("sensor", "circuit"), CIRCUITS)
@pytest.mark.parametrize("key", ["fixd", "noise", "heating"])
def test_a_deviation_that_the_circuit_has_not_is_refused(sensor, circuit, key):
    with pytest.raises(ValueError, match=f"deviation '{key}' is none that this circuit has"):
        circuit.volts(sensor, 25.0, 5.0, {key: 1.0})


@pytest.mark.parametrize(("sensor", "circuit"), CIRCUITS)
def test_every_deviation_that_it_has_is_taken(sensor, circuit):
    keys = {**sensor.doubts(25.0), **circuit.doubts("fixed")}
    assert np.isfinite(circuit.volts(sensor, 25.0, 5.0, dict.fromkeys(keys, 0.1)))


def test_the_budget_knows_its_quantities():
    model = ChainModel(bench(PT100, CurrentDrive(current_a=1e-3, gain=20.0)), 25.0, ("sensr",))
    with pytest.raises(ValueError, match="quantity 'sensr' is not one of sensor, reference, .* leads, current"):
        model(1.0)
    with pytest.raises(ValueError, match="quantity 'fixed' is not one of sensor"):
        model.reading(25.0, {"fixed": 1.0})


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("ageing", "doubt 'ageing' of a platinum sensor in a current source is nowhere in their formula"),
        ("noise", "doubt 'noise' has no row of its own in the budget"),
    ],
)
def test_a_doubt_without_a_row_or_an_effect_is_refused(key, words):
    class Aged(CurrentDrive):
        def doubts(self, kind):
            return super().doubts(kind) | {key: Doubt(0.1, "%", "ageing of the source", "current_tolerance")}

    with pytest.raises(ValueError, match=words):
        chain_budget(bench(PT100, Aged(current_a=1e-3, gain=20.0)), 25.0)


@pytest.mark.parametrize(
    ("sensor", "circuit", "row"),
    [
        (replace(NTC, r25_tolerance=0.01), Divider(fixed_ohm=1e4), "thermistor at 25 degC"),
        (replace(NTC, beta_tolerance=0.01), Divider(fixed_ohm=1e4), "thermistor's beta"),
        (NTC, Divider(fixed_ohm=1e4, fixed_tolerance=0.01), "fixed resistor"),
        (NTC, Divider(fixed_ohm=1e4, wires=4, lead_ohm=5.0, lead_tolerance=0.1), "lead resistance"),
        (PT100, CurrentDrive(current_a=1e-3, gain=20.0, lead_ohm=0.5, lead_tolerance=0.1), "lead resistance"),
        (PT100, CurrentDrive(current_a=1e-3, gain=20.0, current_tolerance=1e-3), "measuring current"),
        (PT100, CurrentDrive(current_a=1e-3, gain=20.0, gain_tolerance=1e-3), "amplifier gain"),
        (PT100, CurrentDrive(current_a=1e-3, gain=20.0, offset_v=1e-5), "amplifier offset"),
        (PT100, Bridge(top_ohm=2e3, balance_ohm=100.0, bias_v=0.5, arm_tolerance=1e-3), "bridge, balance resistor"),
        (K, ColdJunction(gain=100.0, bias_v=0.5, cold_accuracy_c=0.5), "cold-junction sensor"),
    ],
)
def test_every_stated_tolerance_has_its_row(sensor, circuit, row):
    assert chain_budget(bench(sensor, circuit), 25.0).row(row).size > 0


def test_four_wires_show_the_leads_and_that_they_do_nothing():
    drive = CurrentDrive(current_a=1e-3, gain=20.0, lead_ohm=0.5, lead_tolerance=0.1)
    assert limits_c(chain_budget(bench(PT100, drive), 25.0), "lead resistance") == 0.0
    divider = Divider(fixed_ohm=1000.0, wires=4, lead_ohm=5.0, lead_tolerance=0.1)
    assert limits_c(chain_budget(bench(PT100, divider), 25.0), "lead resistance") > 0.0


@pytest.mark.parametrize("supply_v", [None, 5.0])
def test_a_tolerance_of_a_supply_that_is_the_reference_is_not_lost(supply_v):
    divider = Divider(fixed_ohm=9100.0, supply_v=supply_v, supply_tolerance=0.05)
    with pytest.raises(ValueError, match="supply_tolerance 0.05 of a divider gives no row of the budget"):
        chain_budget(bench(NTC, divider, kind="supply"), 25.0)
