"""The budget of a chain against hand arithmetic, another library's propagation, and Monte Carlo."""

from dataclasses import replace
from math import inf, isclose, sqrt
from pathlib import Path

import numpy as np
import pytest
import uncertainties

from tempkit.chain import Calibration, Converter, Design, Direct, Extras, Noise, Reference, file, scenario
from tempkit.signal import averaged_error_lsb
from tempkit.uncertainty import before_after, chain_budget, monte_carlo, quantisation_limits_lsb

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
PATHS = sorted(CHAINS.glob("*.toml"))
# Sensitivities come from differences, good to about 1e-8 relative.
CLOSE = 1e-7
ONE_DRAW = Design("one sample", scenario(), noise=Noise(0.002, 1))


def north(**changes):
    return replace(file.read(CHAINS / "north-bench.toml"), **changes)


def standards(budget):
    return {row.name: row.standard_c for row in budget.rows}


# By hand, at 25 degC: 0.8 V at the pin, 8 mV/degC, 5 V / 1024 = 4.8828 mV a step, so 0.61035 degC a step.
# Root 3 = 1.73205: 1.5 / 1.73205 = 0.86603; 5 % of 0.8 V = 40 mV = 5 degC, / 1.73205 = 2.8868;
# 2 steps = 1.2207 degC -> 0.70477; gain 2 steps at full scale, 0.16 of it at 0.8 V -> 0.11276;
# INL 1 step -> 0.35239; half a step = 0.30518 degC -> 0.17619; noise 2 mV / sqrt(16) = 0.5 mV = 0.0625 degC.
BY_HAND = {
    "sensor accuracy": 0.866025,
    "reference voltage": 2.886751,
    "converter offset": 0.704773,
    "converter gain, at full scale": 0.112764,
    "converter INL": 0.352387,
    "noise at the pin": 0.0625,
}


def test_the_north_bench_by_hand():
    found = standards(chain_budget(north(), 25.0))
    assert found.pop("quantisation") == pytest.approx(0.044315, abs=1e-6)
    assert found == pytest.approx(BY_HAND, abs=1e-6)


def test_half_a_step_for_a_single_sample():
    budget = chain_budget(ONE_DRAW, 25.0)
    row = budget.row("quantisation")
    assert (row.size, row.unit, row.shape, row.limits) == (0.5, "LSB", "rectangular", True)
    assert row.standard_c == pytest.approx(0.176193, abs=1e-6)
    assert budget.row("noise at the pin").standard_c == pytest.approx(0.25, rel=CLOSE)


def test_the_sums_by_hand():
    """Root of the sum of squares; k of the normal distribution at 95 % (JCGM 100:2008, Table G.1: 1.960)."""
    budget = chain_budget(north(), 25.0)
    squares = sum(u**2 for u in BY_HAND.values()) + 0.044315**2
    assert budget.standard_c == pytest.approx(sqrt(squares), abs=2e-6)
    assert budget.dof == inf
    assert budget.k == pytest.approx(1.960, abs=5e-4)
    assert budget.expanded_c == pytest.approx(1.960 * sqrt(squares), abs=2e-3)
    assert sum(row.share for row in budget.rows) == pytest.approx(1.0)
    # 1.5 + 5 + 1.22070 + 0.19531 + 0.61035 + 0.12576 of a step + 3 * 0.0625
    assert budget.worst_sum_c == pytest.approx(1.5 + 5 + 1.22070 + 0.19531 + 0.61035 + 0.076755 + 0.1875, abs=2e-5)


def test_worst_case_at_the_end_of_the_reference_by_hand():
    """Only the supply off: at 4.75 V 0.8 V reads as 0.8 * 5 / 4.75 V, 30.263 degC; at 5.25 V 20.238 degC."""
    chain = replace(scenario(), sensor=replace(scenario().sensor, accuracy_c=0.0), converter=Converter(24))
    low, high = chain_budget(chain, 25.0).worst_c
    assert (low, high) == pytest.approx((-4.7619048, 5.2631579), abs=2e-5)  # half a step of 24 bits


def test_units_and_signs():
    row = chain_budget(north(), 25.0).row("reference voltage")
    assert (row.size, row.unit, row.sensitivity_unit) == (0.25, "V", "degC/V")
    assert row.sensitivity == pytest.approx(-20.0, rel=CLOSE)
    with pytest.raises(ValueError, match="no row 'supply': there are sensor accuracy"):
        chain_budget(north(), 25.0).row("supply")


# ---- corrections


def test_a_measured_reference_is_a_correction_and_no_doubt():
    """0.8 V of 4.83 V read as of 5 V: 0.8 * 5 / 4.83 = 0.828157 V, 28.5197 degC."""
    budget = chain_budget(file.read(CHAINS / "north-bench-measured.toml"), 25.0)
    assert budget.correction_c == pytest.approx(-3.519669, abs=1e-6)
    assert dict(budget.corrections) == {"reference voltage": pytest.approx(-3.519669, abs=1e-6)}
    assert budget.row("reference voltage").standard_c == 0


def test_the_meter_is_the_doubt_of_a_measured_reference():
    """The meter's 10 mV: 0.8 V / 5 V * 0.01 V = 1.6 mV, 0.2 degC; measured equal to nominal: no correction."""
    chain = replace(scenario(), reference=Reference(5.0, 0.05, true_v=5.0))
    budget = chain_budget(Design("", chain, budget=Extras(meter_u_v=0.01)), 25.0)
    row = budget.row("reference voltage")
    assert (row.shape, row.limits, row.size) == ("normal", False, 0.01)
    assert row.standard_c == pytest.approx(0.2, rel=CLOSE)
    assert budget.correction_c == pytest.approx(0.0, abs=1e-9)


def test_one_sided_quantities_give_a_correction_and_half_a_width():
    """0 to 0.2 degC: -0.1 degC and +-0.1 degC; 0 to 1.6 mV: 0.8 mV = 0.1 degC, the same again."""
    extras = Extras(self_heating_c=0.2, lead_drop_v=0.0016)
    budget = chain_budget(north(budget=extras), 25.0)
    for name in ("self-heating", "lead drop"):
        assert budget.row(name).standard_c == pytest.approx(0.1 / sqrt(3), rel=CLOSE)
        assert dict(budget.corrections)[name] == pytest.approx(-0.1, abs=1e-9)
    assert budget.correction_c == pytest.approx(-0.2, abs=1e-9)


def test_drift_by_hand():
    """50 ppm/degC over 10 degC: 0.05 % of 100 degC above the sensor's zero volts: 0.05 degC."""
    budget = chain_budget(north(budget=Extras(reference_drift_ppm_per_c=50.0, board_swing_c=10.0)), 25.0)
    assert budget.row("reference drift").worst_c == pytest.approx(0.05, rel=CLOSE)


@pytest.mark.parametrize("transfer", ["floor", "round"])
def test_the_middle_of_a_step_needs_no_correction_and_its_lower_edge_half_a_step(transfer):
    """Seen on the real staircase: the mean error of the middle is nothing, that of the lower edge half a step."""
    chain = scenario(transfer=transfer)
    t_c = np.linspace(20.0, 30.0, 200_001)
    codes = chain.code(t_c)
    lower_c = (chain.converter.volts(codes, 5.0, edge="lower") - 0.6) / 0.008
    assert chain_budget(chain, 25.0).correction_c == pytest.approx(0.0, abs=1e-9)
    assert np.mean(chain.reading(codes) - t_c) == pytest.approx(0.0, abs=0.01)
    assert -np.mean(lower_c - t_c) == pytest.approx(chain_budget(chain, 25.0).lower_edge_correction_c, abs=0.01)


# ---- other routes


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
@pytest.mark.parametrize("t_c", [-25.0, 25.0, 110.0])
def test_against_the_uncertainties_package(path, t_c):
    """Independent route: derivatives by operator overloading, not by differences. At the range's ends too.

    A curved sensor takes no overloaded numbers; there the package takes its own differences.
    """
    design = file.read(path)
    if not design.chain.span_c()[0] <= t_c <= design.chain.span_c()[1]:
        with pytest.raises(ValueError, match="saturated"):
            chain_budget(design, t_c)
        return
    budget = chain_budget(design, t_c)
    quantities = [uncertainties.ufloat(each.value, each.standard or 1e-300) for each in budget.inputs]
    curved = design.chain.sensor.gives != "volts"
    other = uncertainties.wrap(lambda *v: budget.function(*v))(*quantities) if curved else budget.function(*quantities)
    assert budget.reading_c == pytest.approx(other.nominal_value, rel=1e-12)
    assert budget.standard_c == pytest.approx(other.std_dev, rel=1e-4 if curved else CLOSE)
    for quantity, row in zip(quantities, budget.rows, strict=True):
        if row.standard_c:
            close = {"rel": 1e-3, "abs": 1e-5} if curved else {"rel": 1e-5, "abs": 1e-7}
            assert row.standard_c == pytest.approx(other.error_components()[quantity], **close)


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_against_monte_carlo(path):
    """4 standard deviations of s from 10^5 trials are 0.9 %; the reference's curve adds 1.5 % at most for 10 %."""
    budget = chain_budget(file.read(path), 25.0)
    simulated = monte_carlo(budget.function, budget.inputs, 100_000, seed=5)
    assert simulated.invalid == 0
    assert budget.standard_c == pytest.approx(simulated.standard, rel=0.025)


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_no_trial_of_bounded_quantities_lies_beyond_the_worst_case(path):
    """The noise, a normal quantity without limits, is left out."""
    budget = chain_budget(replace(file.read(path), noise=None), 25.0)
    values = budget.simulated(200_000, seed=6).values - budget.reading_c
    low, high = budget.worst_c
    assert low <= values.min()
    assert values.max() <= high
    assert values.max() > 0.6 * high


def test_the_model_is_the_chain_itself():
    """Without steps the model reads what the chain's own code and reading give, to half a step."""
    for t_c in (-25.0, 0.0, 25.0, 109.9):
        for true_v in (4.6, 5.0, 5.4):
            chain = scenario(true_v=true_v)
            assert chain_budget(chain, t_c).reading_c == pytest.approx(
                chain.reading(chain.code(t_c), checked=False), abs=0.3052
            )


@pytest.mark.parametrize("sigma", [0.0, 0.1, 0.4096, 2.0])
@pytest.mark.parametrize("samples", [1, 16, 1000])
def test_steps_and_noise_count_once(sigma, samples):
    """Quantisation's part and the averaged noise together are the whole error of the mean."""
    steps = quantisation_limits_lsb(sigma, samples) / sqrt(3)
    assert sqrt(steps**2 + sigma**2 / samples) == pytest.approx(averaged_error_lsb(sigma, samples), rel=1e-12)


# ---- calibration


def test_the_ice_point_by_hand():
    """The supply's 5 % is worth 3.75 degC at 0 degC and 5 at 25: 1.25 is left, / root 3 = 0.72169.

    The sensor's limits and the offset go out; the gain keeps 2 steps * (0.16 - 0.12) = 0.08 step = 0.048828 degC.
    """
    done = before_after(chain_budget(ONE_DRAW, 25.0), Calibration(0.0, 0.05))
    found = standards(done.after)
    assert found["sensor accuracy"] == pytest.approx(0.0, abs=1e-9)
    assert found["reference voltage"] == pytest.approx(0.721688, abs=1e-6)
    assert found["thermometer of the calibration"] == pytest.approx(0.05, rel=CLOSE)
    assert found["readings at the first point"] == pytest.approx(sqrt(0.25**2 + 0.176193**2), abs=1e-6)
    after = standards(before_after(chain_budget(north(), 25.0), Calibration(0.0, 0.05)).after)
    assert after["converter offset"] == pytest.approx(0.0, abs=1e-9)
    assert after["converter gain, at full scale"] == pytest.approx(0.048828 / sqrt(3), abs=1e-6)
    assert after["converter INL"] == pytest.approx(0.352387, abs=1e-6)


def test_two_points_take_the_reference_out_everywhere():
    """A wrong reference stretches the line; two points find it: nothing of it is left at any temperature."""
    for t_c in (-20.0, 10.0, 60.0):
        after = before_after(chain_budget(north(), t_c), Calibration(0.0, 0.05, second_c=40.0)).after
        assert after.row("reference voltage").standard_c == pytest.approx(0.0, abs=1e-6)
        assert after.row("thermometer of the calibration").standard_c == pytest.approx(0.05, rel=1e-5)
        assert after.reading_c == pytest.approx(t_c, abs=1e-9)


def test_readings_at_two_points_weigh_as_on_a_line():
    """At 60 degC from points at 0 and 40: weights -0.5 and 1.5 (straight line through two points)."""
    after = before_after(chain_budget(ONE_DRAW, 60.0), Calibration(0.0, 0.05, second_c=40.0)).after
    one = hypot_of(0.25, 0.176193)
    assert after.row("readings at the first point").standard_c == pytest.approx(0.5 * one, abs=1e-5)
    assert after.row("readings at the second point").standard_c == pytest.approx(1.5 * one, abs=1e-5)


def hypot_of(*parts):
    return sqrt(sum(part**2 for part in parts))


def test_a_calibration_finds_a_wrong_reference_but_not_what_changes():
    design = file.read(CHAINS / "north-bench-measured.toml")
    done = before_after(chain_budget(replace(design, budget=Extras(self_heating_c=0.2)), 0.0), Calibration(0.0, 0.05))
    assert done.before.correction_c == pytest.approx(75 - 75 * 5 / 4.83 - 0.1 * 5 / 4.83, abs=1e-6)
    assert done.after.correction_c == pytest.approx(-0.1 * 5 / 4.83, abs=1e-6)
    assert [name for name, _ in done.after.corrections] == ["self-heating"]


def test_after_a_calibration_first_order_and_monte_carlo_agree():
    design = file.read(CHAINS / "north-bench-ice-point.toml")
    done = before_after(chain_budget(design, 25.0), design.calibration)
    simulated = done.after.simulated(100_000, seed=7)
    assert isclose(done.after.standard_c, simulated.standard, rel_tol=0.025)
    assert done.gain > 2.5
    assert done.after.row("sensor, away from the points").worst_c == pytest.approx(0.5, rel=CLOSE)


# ---- what it refuses


def test_out_of_range():
    with pytest.raises(ValueError, match=r"temperature 200 degC is outside -25 to 110 degC"):
        chain_budget(scenario(), 200.0)
    with pytest.raises(ValueError, match=r"temperature 80 degC gives 1.24 V, outside .* 0 to 1.2 V.*saturated"):
        chain_budget(scenario(nominal_v=1.2, kind="fixed"), 80.0)
    with pytest.raises(ValueError, match=r"calibration point 200 degC is outside -25 to 110 degC"):
        before_after(chain_budget(scenario(), 25.0), Calibration(200.0, 0.05))


@pytest.mark.parametrize("name", ["reference_drift_ppm_per_c", "meter_u_v", "self_heating_c", "lead_drop_v"])
def test_extras_refuse_a_sign(name):
    with pytest.raises(ValueError, match=f"{name} -1 .* must be 0 or more"):
        Extras(**{name: -1.0})


def test_a_drift_needs_a_swing_and_two_points_differ():
    with pytest.raises(ValueError, match="board_swing_c 0 degC"):
        Extras(reference_drift_ppm_per_c=50.0)
    with pytest.raises(ValueError, match="second_c 0 degC is the first point again"):
        Calibration(0.0, 0.05, second_c=0.0)


def test_a_ratiometric_sensor_loses_the_reference():
    chain = replace(scenario(), circuit=Direct(ratiometric_at_v=5.0))
    assert chain_budget(chain, 25.0).row("reference voltage").standard_c == pytest.approx(0.0, abs=1e-9)
