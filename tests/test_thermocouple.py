"""Thermocouples against tables, an independent package, another root finder, and the law of their cold junction."""

import math

import numpy as np
import pytest
import thermocouple_its90
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from references import reference
from tempkit.chain import Thermocouple
from tempkit.chain.parts import thermocouple
from tempkit.chain.parts.thermocouple import PIECES

LETTERS = ("K", "J", "T")
every_type = pytest.mark.parametrize("letter", LETTERS)


def last_digits_c(letter, t_c):
    """Roundings of the reference function, its terms taken without sign, divided by its slope [degC].

    2e-14 degC at room, 2e-12 at 1372 degC (K), 2e-8 at -270 degC (T), where terms of 40 mV cancel and the slope is low.
    """
    first, second = PIECES[letter]
    sizes = [
        sum(abs(c) * np.abs(t_c) ** power for power, c in enumerate(piece.coefficients)) for piece in (first, second)
    ]
    return 8 * 2.3e-16 * np.where(t_c > first.high_c, sizes[1], sizes[0]) / thermocouple.slope_mv(letter, t_c) + 1e-13


def within(letter, part):
    low, high = Thermocouple(letter).range_c
    return min(max(low + part * (high - low), low), high)


# ---- the reference functions


@pytest.mark.parametrize("name", ["tc-k", "tc-j"])
def test_tables(name):
    row = reference(name)
    got = 1000 * Thermocouple(row.inputs["type"]).volts(np.array(row.inputs["t_degC"], dtype=float))
    assert got == pytest.approx(row.expected["E_mV"], abs=1e-6)
    if "table_3dp" in row.expected:
        assert got == pytest.approx(row.expected["table_3dp"], abs=row.tolerance["3dp"] * (1 + 1e-9))


def test_the_bump_of_type_k():
    expected = reference("tc-k-gauss").expected
    assert PIECES["K"][1].bump == (expected["a0_mV"], expected["a1"], expected["a2"])
    assert PIECES["K"][0].bump == ()
    assert Thermocouple("K").volts(0.0) == 0.0


@pytest.mark.parametrize("index", range(3))
def test_seebeck_coefficients(index):
    row = reference("tc-seebeck")
    got = 1e6 * Thermocouple(row.inputs["types"][index]).volts_per_c(row.inputs["t_degC"])
    assert got == pytest.approx(row.expected["uV_per_K"][index], abs=row.tolerance["abs"])


@every_type
def test_every_degree_against_an_independent_package(letter):
    """thermocouple-its90 carries NIST's coefficients itself and tests them on NIST's printed tables."""
    other, sensor = thermocouple_its90.get(letter), Thermocouple(letter)
    assert other.range == sensor.range_c
    low, high = (int(end) for end in sensor.range_c)
    t_c = np.arange(low, high + 1.0)
    ours = 1000 * sensor.volts(t_c)
    theirs = [other.emf(one) for one in t_c.tolist()]
    # At a seam of two polynomials the packages may take either: 2e-9 mV for K, 7e-8 mV for J.
    seam_mv = np.where(t_c == PIECES[letter][0].high_c, 1e-7, 2e-13)
    assert (np.abs(ours - theirs) <= seam_mv).all()


@every_type
def test_slope_is_the_difference(letter):
    t_c = np.array([within(letter, part) for part in np.linspace(0.001, 0.999, 400)])
    t_c = t_c[np.abs(t_c - PIECES[letter][0].high_c) > 0.1]
    rise = thermocouple.reference_mv(letter, t_c + 0.005) - thermocouple.reference_mv(letter, t_c - 0.005)
    assert thermocouple.slope_mv(letter, t_c) == pytest.approx(rise / 0.01, rel=3e-6)


@every_type
def test_it_rises_everywhere(letter):
    low, high = Thermocouple(letter).range_c
    assert (np.diff(thermocouple.reference_mv(letter, np.linspace(low, high, 200_001))) > 0).all()


# ---- the way back


@every_type
def test_against_another_root_finder(letter):
    """Bisection and secants on the same function, at 200 places, from the lowest end to the highest."""
    sensor, seam = Thermocouple(letter), PIECES[letter][0].high_c
    for t_c in (within(letter, part) for part in np.linspace(0, 1, 200)):
        mv = thermocouple.reference_mv(letter, t_c)
        piece = PIECES[letter][int(t_c > seam)]
        ends = (piece.low_c - 1e-6, piece.high_c + 1e-6)
        other = brentq(lambda t, mv=mv, piece=piece: float(piece.millivolts(np.float64(t))) - mv, *ends, xtol=1e-13)
        assert sensor.inverse(mv / 1000) == pytest.approx(other, abs=2 * last_digits_c(letter, t_c))


@every_type
def test_against_the_independent_package(letter):
    other, sensor = thermocouple_its90.get(letter), Thermocouple(letter)
    low, high = other.invertible_emf_range
    for mv in np.linspace(low, high, 300)[1:-1].tolist():
        theirs = other.temperature(mv)
        assert sensor.celsius(mv / 1000) == pytest.approx(theirs, abs=1e-9 + 2 * last_digits_c(letter, theirs))


@every_type
def test_there_and_back_everywhere(letter):
    low, high = Thermocouple(letter).range_c
    t_c = np.linspace(low, high, 100_001)
    off_c = np.abs(Thermocouple(letter).celsius(Thermocouple(letter).volts(t_c)) - t_c)
    assert (off_c <= last_digits_c(letter, t_c)).all()
    assert off_c[t_c >= -200].max() < 1e-9


def test_better_than_the_printed_inverse_polynomials():
    """NIST's inverse polynomials are off by up to 0.05 degC; an exact inversion is not (tc-inv-error)."""
    assert max(reference("tc-inv-error").expected["max_abs_err_K"].values()) > 1e7 * 1e-9


@given(st.sampled_from(LETTERS), st.floats(0, 1), st.floats(-20, 60))
def test_there_and_back_with_a_cold_junction(letter, part, cold_c):
    t_c = within(letter, part)
    sensor = Thermocouple(letter)
    back_c = sensor.celsius(sensor.volts(t_c, cold_c), cold_c)
    assert back_c == pytest.approx(t_c, abs=2 * last_digits_c(letter, t_c))


@every_type
def test_a_voltage_in_the_gap_of_two_polynomials(letter):
    """Between the end of one piece and the start of the next the seam itself is the answer."""
    first, second = PIECES[letter]
    end_mv, start_mv = first.millivolts(np.array([first.high_c])), second.millivolts(np.array([second.low_c]))
    assert end_mv <= start_mv
    middle_mv = float(0.5 * (end_mv + start_mv)[0])
    assert thermocouple.celsius_of_mv(letter, middle_mv) == pytest.approx(first.high_c, abs=1e-9)


# ---- the cold junction


def test_adding_voltages_and_the_wrong_way():
    row = reference("tc-cjc-k1")
    sensor, v, cold_c = Thermocouple("K"), row.inputs["E_meas_mV"] / 1000, row.inputs["T_ref_degC"]
    assert sensor.celsius(v, cold_c) == pytest.approx(row.expected["T_degC"], abs=row.tolerance["T"])
    wrong_c = sensor.celsius(v) + cold_c
    assert wrong_c == pytest.approx(row.expected["wrong_add_temperatures"], abs=row.tolerance["T"])


@pytest.mark.parametrize(
    ("hot_c", "by_slope_c", "added_c"), [(100, -0.1, 0.9), (400, -0.1, 1.3), (1000, 6.7, -0.6), (1300, -21.7, -3.5)]
)
def test_straight_line_rules_of_type_k(hot_c, by_slope_c, added_c):
    """Errors of volts over 41 uV/degC, by the independent package, and of temperatures added with terminals of 25 degC.

    Adding 25 degC is off by 25 degC less what 1.000 mV is worth at the hot end, to first order.
    """
    assert thermocouple_its90.get("K").emf(float(hot_c)) / 0.041 - hot_c == pytest.approx(by_slope_c, abs=0.06)
    couple = Thermocouple("K")
    assert couple.volts(hot_c) / 41e-6 - hot_c == pytest.approx(by_slope_c, abs=0.06)
    added = couple.celsius(couple.volts(hot_c, cold_c=25.0)) + 25.0 - hot_c
    assert added == pytest.approx(added_c, abs=0.06)
    assert added == pytest.approx(25.0 - couple.volts(25.0) / couple.volts_per_c(hot_c - 14.0), abs=0.1)


@given(st.sampled_from(LETTERS), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_law_of_intermediate_temperatures(letter, first, second, third):
    sensor, (hot, middle, cold) = Thermocouple(letter), [within(letter, part) for part in (first, second, third)]
    whole = sensor.volts(hot, cold)
    assert sensor.volts(hot, middle) + sensor.volts(middle, cold) == pytest.approx(whole, abs=1e-15)
    assert sensor.volts(cold, hot) == pytest.approx(-whole, abs=1e-17)


def test_against_the_packages_own_cold_junction():
    for letter in LETTERS:
        other = thermocouple_its90.get(letter)
        for cold_c in (-5.0, 21.3, 40.0):
            assert Thermocouple(letter).celsius(0.002, cold_c) == pytest.approx(
                other.temperature(2.0, reference=cold_c), abs=1e-9
            )


def test_shapes():
    sensor, hot, cold = Thermocouple("K"), np.linspace(-200, 1300, 12).reshape(3, 4), np.array([0.0, 20.0, 30.0, 50.0])
    v = sensor.volts(hot, cold)
    assert v.shape == sensor.celsius(v, cold).shape == (3, 4)
    assert sensor.celsius(v, cold) == pytest.approx(hot, abs=1e-9)
    assert v.ravel() == pytest.approx(
        [sensor.volts(float(h), float(c)) for h, c in zip(hot.ravel(), np.tile(cold, 3), strict=True)], abs=1e-17
    )
    assert type(sensor.volts(25)) is type(sensor.celsius(0.001)) is type(sensor.tolerance_c(20)) is float
    assert sensor.celsius(0.001, np.array([0.0, 25.0])).shape == (2,)


# ---- classes: IEC 60584-1:2013, read in a secondary copy


@pytest.mark.parametrize(
    ("letter", "number", "t_c", "limits_c"),
    [
        ("K", 1, 375.0, 1.5), ("K", 1, 1000.0, 4.0), ("K", 2, 333.0, 2.5), ("K", 2, 1200.0, 9.0), ("K", 3, -200.0, 3.0),
        ("J", 1, 750.0, 3.0), ("J", 2, 25.0, 2.5), ("T", 1, 125.0, 0.5), ("T", 2, 350.0, 2.625), ("T", 3, -67.0, 1.005),
    ],
)  # fmt: skip
def test_tolerances(letter, number, t_c, limits_c):
    assert Thermocouple(letter, tolerance_class=number).tolerance_c(t_c) == pytest.approx(limits_c)


def test_a_class_limits_only_its_promise():
    sensor = Thermocouple("K")
    assert np.isnan(sensor.tolerance_c([-41.0, -40.0, 1200.0, 1201.0])).tolist() == [True, False, False, True]
    with pytest.raises(ValueError, match="-40 to 1200 degC: class 2 of type K promises nothing there"):
        sensor.tolerance_c(1300.0)
    assert sensor.celsius(sensor.volts(1300.0)) == pytest.approx(1300.0, abs=1e-10)


# ---- out of range


@every_type
def test_temperature_out_of_range(letter):
    sensor = Thermocouple(letter)
    for t_c in (sensor.range_c[0] - 0.1, sensor.range_c[1] + 0.1, math.nan, math.inf):
        with pytest.raises(ValueError, match=r"temperature .* degC is outside .* degC: the sensor's own range"):
            sensor.volts(t_c)
        with pytest.raises(ValueError, match=r"cold junction .* degC is outside .* degC: .*terminals"):
            sensor.volts(25.0, t_c)
        assert np.isnan(sensor.volts([t_c, 25.0])).tolist() == [True, False]
        assert np.isnan(sensor.celsius(0.001, [t_c, 25.0])).tolist() == [True, False]


@every_type
@pytest.mark.parametrize("v", [-0.02, 0.1, math.nan, math.inf, -math.inf])
def test_voltage_out_of_range(letter, v):
    with pytest.raises(ValueError, match=r"voltage from 0 degC .* mV is outside .* mV: .*wire"):
        Thermocouple(letter).celsius(v)
    assert np.isnan(Thermocouple(letter).celsius([v, 0.001])).tolist() == [True, False]


@every_type
def test_the_bare_formulas_go_straight_on(letter):
    sensor = Thermocouple(letter)
    for end, side in zip(sensor.range_c, (-1, 1), strict=True):
        beyond = end + side * 10.0
        assert sensor.line(beyond) == pytest.approx(sensor.line(end) + side * 10 * sensor.volts_per_c(end), abs=1e-15)
        assert sensor.inverse(sensor.line(beyond)) == pytest.approx(beyond, abs=1e-9)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"letter": "X"}, "letter 'X' is not one of K, J, T"),
        ({"letter": "J", "tolerance_class": 3}, "tolerance_class 3 is not one of 1, 2"),
        ({"letter": "T", "range_c": (0.0, 500.0)}, "range_c (0, 500) degC is not within -270 to 400 degC"),
        ({"letter": "T", "range_c": (math.nan, 100.0)}, "is not a range"),
    ],
)
def test_a_sensor_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        Thermocouple(**arguments)
    assert words in str(error.value)
