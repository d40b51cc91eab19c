"""Chapter 12's third explorer: voltages added are right everywhere, temperatures added are not."""

import numpy as np
import pytest
import thermocouple_its90
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.book import Book
from tempkit.chain import Thermocouple
from tempkit.explorers import junction
from tempkit.explorers.junction import MOST_C, added_wrong, compute

ROOT_C = 1e-6  # what the inversions of both packages leave


@pytest.mark.parametrize("letter", ["K", "J", "T"])
@given(hot_c=st.floats(-100.0, 380.0), cold_c=st.floats(-20.0, 60.0))
def test_right_and_wrong_by_another_package(letter, hot_c, cold_c):
    """thermocouple-its90 (PyPI) gives the voltages; the law of intermediate temperatures is written out here."""
    table = thermocouple_its90.get(letter)
    measured_mv = table.emf(hot_c) - table.emf(cold_c)
    at = compute(None, hot_c, cold_c, letter, 0.0)
    assert 1000 * at.measured_v == pytest.approx(measured_mv, abs=1e-6)
    assert at.right_c == pytest.approx(hot_c, abs=ROOT_C)
    assert table.emf(at.forgotten_c) == pytest.approx(measured_mv, abs=1e-6)
    assert at.added_c == pytest.approx(at.forgotten_c + cold_c, abs=ROOT_C)


def test_the_case_of_the_reference():
    """3.096 mV with the terminals at 25 degC: 100.0003 degC, and 100.89 degC where temperatures are added."""
    known = reference("tc-cjc-k1")
    couple, cold_c = Thermocouple(known.inputs["type"]), known.inputs["T_ref_degC"]
    hot_c = couple.celsius(known.inputs["E_meas_mV"] / 1000, cold_c)
    assert hot_c == pytest.approx(known.expected["T_degC"], abs=known.tolerance["T"])
    assert added_wrong(couple, hot_c, cold_c) == pytest.approx(
        known.expected["wrong_add_temperatures"], abs=known.tolerance["T"]
    )


def test_at_a_cold_junction_of_0_both_ways_are_right():
    at = compute(None, 150.0, 0.0, "T", 0.0)
    assert at.added_c == pytest.approx(150.0, abs=ROOT_C) and np.abs(at.wrong_c).max() < ROOT_C


def test_with_both_junctions_alike_no_way_can_be_wrong():
    at = compute(None, 25.0, 25.0, "K", 0.0)
    assert at.measured_v == 0.0 and at.right_c == pytest.approx(25.0) and at.added_c == pytest.approx(25.0)


def test_a_misread_cold_junction_goes_on_by_the_slopes():
    """Off by 1 degC at the terminals: off by the ratio of the Seebeck coefficients at the hot junction."""
    couple = Thermocouple("J")
    at = compute(None, 300.0, 25.0, "J", 0.1)
    by_slopes = 0.1 * couple.volts_per_c(25.0) / couple.volts_per_c(300.0)
    assert at.right_c - 300.0 == pytest.approx(by_slopes, rel=1e-3)
    assert "carries that on: off by +0.09 °C" in junction.words(at, Book())


def test_the_line_is_the_single_error_point_for_point():
    at = compute(None, 100.0, 40.0, "K", 1.5)
    for place in (0, 40, 77):
        one = compute(None, float(at.over_c[place]), 40.0, "K", 1.5)
        assert one.added_error_c == pytest.approx(at.wrong_c[place], abs=1e-9)
    assert at.largest[1] == at.wrong_c[np.abs(at.wrong_c).argmax()]


def test_what_lies_beyond_the_scale_is_not_drawn_and_comes_back():
    explorer = junction.explorer(letter="K", cold_c=60.0, t_c=-100.0)
    assert abs(explorer.result().added_error_c) > MOST_C["K"]
    rings = [line for line in explorer._picture.figure.axes[2].lines if line.get_marker() == "o"]
    assert len(rings) == 1 and not rings[0].get_visible()
    explorer.move(t_c=100.0)
    assert rings[0].get_visible()


def test_bars_are_the_same_voltage_set_on_the_cold_junction_and_on_0():
    at = junction.explorer(t_c=300.0, cold_c=30.0).result()
    (_, foot, _, top), (_, alone_foot, _, alone_top) = junction.given(at), junction.alone(at)
    assert foot == pytest.approx(1000 * at.cold_v) and alone_foot == 0.0
    assert top - foot == pytest.approx(alone_top) and alone_top == pytest.approx(1000 * at.measured_v)
    reading_mv = Thermocouple("K").line(np.array([at.t_c, at.forgotten_c])) * 1000
    assert reading_mv == pytest.approx([top, alone_top])


def test_beyond_the_reference_function_is_told():
    told = list(compute(None, 450.0, 25.0, "T", 0.0).problems(Book()))
    assert told == ["type T is defined from −270.0 °C to 400.0 °C only"]
