"""Chapter 12's second explorer: lead errors against references, by resistances alone, and as the budget has them."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.book import Book
from tempkit.chain import PlatinumSensor, file
from tempkit.explorers import lead_error, north_bench
from tempkit.explorers.controls import platinum_bench
from tempkit.explorers.lead_error import LENGTHS_M, compute, errors_c
from tempkit.uncertainty import chain_budget

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
BEND_C = 0.0015  # the references divide by the slope at the start; over an ohm the curve bends by that much
START = {
    "wires": 2, "length_m": 10.0, "gauge": 24, "allowed_ohm": 0.0, "unlike_percent": 5.0, "wire_c": 20.0, "r0_ohm": 0.0
}  # fmt: skip


def led(t_c=25.0, **changed):
    return compute(platinum_bench(), t_c, **{**START, **changed})


def test_the_bench_is_the_one_of_the_chain_file():
    assert platinum_bench().chain == file.read(CHAINS / "north-bench-platinum-4-wire.toml").chain


def test_an_ohm_in_the_loop_is_the_reference():
    known = reference("pt-lead-1ohm")
    for t_c, error in zip(known.inputs["t_degC"], known.expected["error_K"], strict=True):
        assert errors_c(PlatinumSensor(), t_c, 0.5, 0.0, 0.0, 2)[0] == pytest.approx(error, abs=BEND_C)


def test_ten_metres_of_thin_wire_are_the_reference():
    """The thicker the sensor's resistance, the smaller the error: Pt1000 a tenth."""
    known = reference("lead-2wire")
    given_ = {"length_m": known.inputs["length_m"], "gauge": known.inputs["awg"]}
    for r0_ohm, error in ((100.0, known.expected["err_Pt100_K"]), (1000.0, known.expected["err_Pt1000_K"])):
        here = led(0.0, r0_ohm=r0_ohm, **given_)
        assert 2 * here.lead_ohm == pytest.approx(known.expected["loop_ohm"], rel=known.tolerance["rel"])
        assert here.errors_c[2][0] == pytest.approx(error, rel=known.tolerance["rel"])


@given(st.sampled_from([2, 3]), st.floats(-30.0, 120.0), st.floats(0.0, 3.0), st.floats(0.0, 20.0))
def test_the_lines_are_the_circuits_point_for_point(wires, t_c, allowed_ohm, unlike):
    """One route goes through the circuit there and back, the other adds resistances."""
    place = 20
    here = led(t_c, length_m=LENGTHS_M[place], allowed_ohm=allowed_ohm, unlike_percent=unlike)
    assert here.lines_c[wires][place] == pytest.approx(max(map(abs, here.errors_c[wires][1:])), abs=1e-9)


def test_three_like_leads_cancel_and_unlike_ones_leave_their_difference():
    here = led(wires=3, unlike_percent=10.0)
    right, low, high = here.errors_c[3]
    by_hand = 2 * here.lead_ohm * 0.10 / PlatinumSensor().slope(25.0)
    assert right == pytest.approx(0.0, abs=1e-9)
    assert (low, high) == pytest.approx((-by_hand, by_hand), abs=1e-3)


def test_four_wires_have_no_error_at_all():
    assert led(wires=4, length_m=100.0, gauge=32).errors_c[4] == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_a_right_allowance_holds_until_the_leads_warm():
    """Copper at 20 degC: 0.00393 of itself a kelvin (IEC 60028), so 20 degC are 7.9 % of both leads."""
    plain = led()
    allowed = led(allowed_ohm=plain.lead_ohm, unlike_percent=0.0)
    assert allowed.errors_c[2][0] == pytest.approx(0.0, abs=1e-9)
    warm = led(allowed_ohm=plain.lead_ohm, unlike_percent=0.0, wire_c=40.0)
    assert warm.errors_c[2][0] == pytest.approx(0.00393 * 20 * 2 * plain.lead_ohm / 0.3879, rel=0.005)
    assert f"moves the reading by {warm.errors_c[2][0]:.2f} °C" in lead_error.words(allowed, Book())


def test_the_catalogues_two_wires_are_off_by_what_their_budget_corrects():
    design = file.read(CHAINS / "north-bench-platinum-2-wire.toml")
    circuit = design.chain.circuit
    error = errors_c(design.chain.sensor, 25.0, circuit.lead_ohm, 0.0, circuit.lead_tolerance, 2)[0]
    assert -chain_budget(design, 25.0).correction_c == pytest.approx(error, abs=1e-6)


def test_class_is_told_where_it_promises_something():
    assert led(25.0).class_c == pytest.approx(0.3 + 0.005 * 25.0)
    film = PlatinumSensor(tolerance_class="A", element="film", range_c=(-25.0, 110.0))
    design = replace(platinum_bench(), chain=replace(platinum_bench().chain, sensor=film))
    cold = compute(design, -35.0, **START)
    assert cold.class_c is None and dict(lead_error.facts(cold, Book()))["limits of its class"] == "none"
    drawn = {mark.key: mark for mark in lead_error.OVER_LENGTH.marks if hasattr(mark, "key")}["its class"]
    assert drawn.at(cold) == ((), ()) and drawn.at(led(25.0))[1] == [led(25.0).class_c] * 2


def test_another_sensor_is_stood_in_for_and_that_is_told():
    assert "stands in" in lead_error.words(compute(north_bench(), 25.0, **START), Book())
    assert "stands in" not in lead_error.explorer().words()


def test_each_count_of_wires_is_told_and_drawn():
    explorer = lead_error.explorer()
    shown = {}
    for wires in (2, 3, 4):
        told = explorer.move(wires=wires)
        assert f"With {lead_error.NAMES[wires]} wires" in told and "°c" not in told
        lines = explorer._picture.figure.axes[2].lines
        shown[wires] = [line.get_linestyle() for line in lines if len(line.get_xdata()) == 3]
    assert {wires: len(drawn) for wires, drawn in shown.items()} == {2: 2, 3: 3, 4: 4}
    assert [len(set(shown[wires])) for wires in (2, 3, 4)] == [1, 1, 2], "a wire that only measures looks otherwise"


def test_an_allowance_is_for_two_wires_alone():
    plain, allowed = led(wires=3), led(wires=3, allowed_ohm=0.5)
    assert allowed.errors_c[3] == plain.errors_c[3] and allowed.errors_c[4] == plain.errors_c[4]
    assert allowed.errors_c[2][0] < plain.errors_c[2][0]


def test_the_choice_as_designed_can_be_taken_back():
    """A choice whose value is None would stand blank in its list afterwards."""
    explorer = lead_error.explorer()
    before = explorer.words()
    assert explorer.move(r0_ohm=1000.0) != before
    assert explorer.move(r0_ohm=0.0) == before
    assert explorer._inputs["r0_ohm"].label == "as designed"


def test_lines_lie_in_order_of_wires():
    here = led()
    assert (here.lines_c[2] > here.lines_c[3]).all() and np.all(np.diff(here.lines_c[3]) > 0)
