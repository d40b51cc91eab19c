"""Chapter 12's first explorer: the divider by hand, the resistor without a bend, the straightest and the steepest."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.book import Book
from tempkit.chain import Thermistor, file
from tempkit.explorers import divider_choice, north_bench
from tempkit.explorers.controls import thermistor_bench
from tempkit.explorers.divider_choice import compute, inflection_resistor, resistors, stray

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"


def divider_v(t_c, fixed_ohm, r25_ohm=9100.0, beta_k=3610.0, feed_v=5.0):
    """The divider written out, sensor at the bottom, from nothing of the package."""
    r_ohm = r25_ohm * np.exp(beta_k * (1 / (np.asarray(t_c) + 273.15) - 1 / 298.15))
    return feed_v * r_ohm / (r_ohm + fixed_ohm)


def with_sensor(**changed):
    bench = thermistor_bench()
    return replace(bench, chain=replace(bench.chain, sensor=replace(bench.chain.sensor, **changed)))


def test_the_bench_is_the_one_of_the_chain_file():
    assert thermistor_bench().chain == file.read(CHAINS / "north-bench-thermistor.toml").chain


def test_volts_slope_and_code_are_those_of_the_reference():
    bench = thermistor_bench()  # of the same sensor and resistor
    known = reference("divider-ntc")
    for t_c, v, code, mv in zip(
        known.inputs["t_degC"], known.expected["V"], known.expected["code10_floor"], known.expected["sens_mV_per_K"],
        strict=True,
    ):  # fmt: skip
        chosen = compute(bench, t_c, 10.0, 40.0)
        got_v, slope, codes = chosen.at(t_c)
        assert got_v == pytest.approx(v, abs=known.tolerance["V"])
        assert 1000 * slope == pytest.approx(mv, abs=known.tolerance["sens"])
        assert codes == pytest.approx(abs(mv) / (5000 / 1024), rel=1e-4)
        assert chosen.chain.code(t_c) == code


@given(st.floats(-30.0, 110.0), st.floats(2500.0, 5000.0))
def test_the_resistor_without_a_bend_by_differentiating_twice(t_c, beta_k):
    """The second difference of the written-out divider changes its sign between 2 % less and 2 % more."""
    sensor = Thermistor.from_beta(9100.0, beta_k)
    flat_ohm = inflection_resistor(sensor, t_c)

    def bend(fixed_ohm, h=0.5):
        low, middle, high = divider_v([t_c - h, t_c, t_c + h], fixed_ohm, beta_k=beta_k)
        return low - 2 * middle + high

    assert bend(0.98 * flat_ohm) < 0 < bend(1.02 * flat_ohm)


def test_beta_too_small_has_no_such_resistor():
    sensor = Thermistor.from_beta(9100.0, 600.0)
    with pytest.raises(ValueError, match="600 K is not above 646 K"):
        inflection_resistor(sensor, 50.0)
    bench = thermistor_bench()
    weak = replace(bench, chain=replace(bench.chain, sensor=replace(sensor, range_c=(-25.0, 110.0))))
    rows = dict(divider_choice.facts(compute(weak, 50.0, 40.0, 60.0), Book()))
    assert rows["no bend in the middle"] == "none"


@pytest.mark.parametrize("range_c", [(10.0, 40.0), (20.0, 30.0), (0.0, 20.0), (40.0, 60.0)])
def test_the_straightest_lies_at_the_resistor_without_a_bend(range_c):
    """Over a narrow range the series' value next to it, or its neighbour."""
    chosen = compute(thermistor_bench(), 25.0, *range_c)
    places = list(chosen.resistors_ohm)
    nearest = int(np.argmin(np.abs(np.log(places) - math.log(chosen.inflection_ohm))))
    assert abs(places.index(chosen.straightest[0]) - nearest) <= 1


def test_straightest_and_strays_by_a_search_of_its_own():
    """Independent route: the divider written out, the line by the normal equations."""
    t = np.linspace(0.0, 50.0, 61)
    chosen = compute(thermistor_bench(), 25.0, 0.0, 50.0)
    found = []
    for fixed_ohm in chosen.resistors_ohm:
        v = divider_v(t, fixed_ohm)
        slope = ((t - t.mean()) * (v - v.mean())).sum() / ((t - t.mean()) ** 2).sum()
        found.append(np.abs(v - v.mean() - slope * (t - t.mean())).max() / abs(slope))
    assert chosen.strays_c == pytest.approx(found, rel=1e-6)
    assert chosen.straightest[0] == chosen.resistors_ohm[int(np.argmin(found))]


@given(st.floats(-20.0, 100.0))
def test_the_steepest_is_as_large_as_the_thermistor(t_c):
    """d|dV/dT|/dR_fixed = 0 at R_fixed = R: the series' value that is nearest in ratio."""
    sensor = thermistor_bench().chain.sensor
    chosen = compute(thermistor_bench(), t_c, t_c - 5, t_c + 5)
    ratios = np.abs(np.log(resistors(sensor) / sensor.line(chosen.middle_c)))
    assert abs(math.log(chosen.steepest[0] / sensor.line(chosen.middle_c))) <= ratios.min() + 1e-9


def test_upside_down_turns_the_slope_and_keeps_the_rest():
    bottom = compute(thermistor_bench(), 25.0, 10.0, 40.0)
    bench = thermistor_bench()
    top_circuit = replace(bench.chain.circuit, sensor_at="top")
    top = compute(replace(bench, chain=replace(bench.chain, circuit=top_circuit)), 25.0, 10.0, 40.0)
    assert top.at(18.0)[1] == pytest.approx(-bottom.at(18.0)[1])
    assert top.at(18.0)[0] == pytest.approx(5.0 - bottom.at(18.0)[0])
    assert top.strays_c == pytest.approx(bottom.strays_c)


def test_a_straight_line_does_not_stray():
    t = np.linspace(-5.0, 30.0, 50)
    assert stray(t, 2.0 - 0.03 * t)[0] == pytest.approx(0.0, abs=1e-12)


def test_the_slider_takes_the_preferred_value_and_saves_it(tmp_path):
    explorer = divider_choice.explorer(fixed_kohm=9.7)
    assert explorer.result().fixed_ohm == 10_000.0
    explorer.move(fixed_kohm=7.1)
    assert "With 6.80 kΩ" in explorer.words()
    explorer._file.value = str(tmp_path / "mine.toml")
    explorer.save()
    assert file.read(tmp_path / "mine.toml").chain.circuit.fixed_ohm == 6800.0


def test_a_resistor_of_a_finer_series_is_kept_as_long_as_nobody_moves_it():
    bench = thermistor_bench()
    fine = replace(bench, chain=replace(bench.chain, circuit=replace(bench.chain.circuit, fixed_ohm=9760.0)))
    assert divider_choice.explorer(fine).result().fixed_ohm == 9760.0


def test_another_sensor_is_stood_in_for_and_that_is_told():
    told = divider_choice.words(compute(north_bench(), 25.0, 10.0, 40.0), Book())
    assert "a sensor with a straight line" in told and "stands in" in told
    assert "stands in" not in divider_choice.explorer().words()


def test_turned_and_empty_ranges_are_put_right_and_told():
    turned = compute(thermistor_bench(), 25.0, 40.0, 10.0)
    assert turned.range_c == (10.0, 40.0) and "low to high" in divider_choice.words(turned, Book())
    empty = compute(thermistor_bench(), 25.0, 25.0, 25.0)
    assert empty.range_c == (25.0, 27.0) and np.isfinite(empty.strays_c).all()


def test_steinhart_hart_has_its_own_beta():
    """Through three points of a Beta curve it is that curve."""
    beta = Thermistor.from_beta(9100.0, 3610.0, (-25.0, 110.0))
    same = Thermistor.from_points([(t_c, float(beta.line(t_c))) for t_c in (0.0, 25.0, 50.0)], (-25.0, 110.0))
    assert inflection_resistor(same, 30.0) == pytest.approx(inflection_resistor(beta, 30.0), rel=1e-6)


def test_beyond_the_sensors_range_is_told():
    narrow = with_sensor(range_c=(0.0, 60.0))
    assert "range ends at 60.0 °C" in divider_choice.words(compute(narrow, 80.0, 10.0, 40.0), Book())
