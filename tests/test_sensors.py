"""The linear sensor: its literal numbers, its range, and the way back."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.chain import LinearSensor
from tempkit.ranges import check_span

ROUNDING_C = 1e-11  # degC: a few half-units of a float near 1 V, divided by a slope of 1 mV/degC or more

sensors = st.builds(
    LinearSensor,
    at_0c_v=st.floats(-1.0, 2.0),
    slope_v_per_c=st.floats(0.001, 0.1) | st.floats(-0.1, -0.001),
    range_c=st.tuples(st.floats(-200.0, 0.0), st.floats(1.0, 300.0)),
)


def within(sensor, part):
    """A temperature of the sensor's range: part 0 is its lower end, part 1 its upper end."""
    low, high = sensor.range_c
    return min(max(low + part * (high - low), low), high)


@pytest.mark.parametrize(
    ("t_c", "mv"), [(-25, 400), (0, 600), (18, 744), (25, 800), (27, 816), (100, 1400), (110, 1480)]
)
def test_the_running_example(t_c, mv):
    """600 mV at 0 degC and 8 mV/degC, counted in whole millivolts."""
    assert mv == 600 + 8 * t_c
    rounding_v = 3e-16  # one half-unit of a float near 1.48 V
    assert LinearSensor().volts(t_c) == pytest.approx(mv / 1000, abs=rounding_v)
    assert LinearSensor().celsius(mv / 1000) == pytest.approx(t_c, abs=ROUNDING_C)


def test_the_line_in_exact_fractions():
    sensor = LinearSensor()
    at_0c_v, slope = Fraction(sensor.at_0c_v), Fraction(sensor.slope_v_per_c)
    rounding_v = 5e-16
    for t_c in np.linspace(-25, 110, 331).tolist():
        assert abs(Fraction(sensor.volts(t_c)) - (at_0c_v + slope * Fraction(t_c))) < rounding_v


@given(sensors, st.floats(0, 1))
def test_there_and_back_stays_in_the_range(sensor, part):
    t_c = within(sensor, part)
    back_c = sensor.celsius(sensor.volts(t_c))
    assert sensor.range_c[0] <= back_c <= sensor.range_c[1]
    assert back_c == pytest.approx(t_c, abs=1e-10)  # rounding near 30 V at 1 mV/degC
    assert sensor.celsius(sensor.volts(back_c)) == pytest.approx(t_c, abs=1e-10)


@given(sensors)
def test_the_ends_of_the_range_are_inside(sensor):
    low_v, high_v = sensor.volts_span()
    assert low_v < high_v
    for end_c in sensor.range_c:
        assert low_v <= sensor.volts(end_c) <= high_v
    for end_v in (low_v, high_v):
        assert sensor.range_c[0] <= sensor.celsius(end_v) <= sensor.range_c[1]


@given(sensors, st.lists(st.floats(0, 1), min_size=2, max_size=20))
def test_monotone(sensor, parts):
    rises = np.diff(sensor.volts([within(sensor, part) for part in sorted(parts)]))
    assert (rises * math.copysign(1, sensor.slope_v_per_c) >= 0).all()


def test_scalar_and_array_agree_exactly():
    sensor = LinearSensor()
    t_c = np.random.default_rng(3).uniform(-25, 110, (5, 4, 3))
    v = sensor.volts(t_c)
    assert v.shape == sensor.celsius(v).shape == sensor.volts_per_c(t_c).shape == (5, 4, 3)
    assert v.ravel().tolist() == [sensor.volts(float(one)) for one in t_c.ravel()]
    assert sensor.celsius(v).ravel().tolist() == [sensor.celsius(float(one)) for one in v.ravel()]
    assert type(sensor.volts(25)) is float
    assert type(sensor.celsius(1)) is float


@pytest.mark.parametrize("t_c", [-25.1, 110.1, 1e9, math.nan, math.inf, -math.inf])
def test_temperature_out_of_range(t_c):
    with pytest.raises(ValueError) as error:
        LinearSensor().volts(t_c)
    for part in (f"temperature {t_c:.6g} degC", "-25 to 110 degC", "the sensor's own range"):
        assert part in str(error.value)
    assert np.isnan(LinearSensor().volts([t_c, 25.0])).tolist() == [True, False]


@pytest.mark.parametrize("v", [0.0, 0.3999, 1.4801, 5.0, math.nan, math.inf])
def test_voltage_out_of_range(v):
    with pytest.raises(ValueError) as error:
        LinearSensor().celsius(v)
    for part in (f"sensor output {v:.6g} V", "0.4 to 1.48 V", "wiring fault"):
        assert part in str(error.value)
    assert np.isnan(LinearSensor().celsius([v, 0.8])).tolist() == [True, False]


def test_the_bare_formulas_look_at_no_range():
    assert LinearSensor().line(200.0) == 2.2
    assert LinearSensor().inverse(2.2) == pytest.approx(200.0, abs=ROUNDING_C)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"slope_v_per_c": 0.0}, "slope_v_per_c 0 V/degC must not be zero"),
        ({"slope_v_per_c": 1e-306}, "slope_v_per_c 1e-306 V/degC must not be zero, nor nearer to it than 1e-09"),
        ({"slope_v_per_c": math.nan}, "slope_v_per_c nan V/degC is no finite number"),
        ({"at_0c_v": math.inf}, "at_0c_v inf V is no finite number"),
        ({"accuracy_c": -1.0}, "accuracy_c -1 degC must be 0 or more"),
        ({"accuracy_c": math.nan}, "accuracy_c nan degC must be 0 or more"),
        ({"range_c": (110.0, -25.0)}, "range_c (110, -25) degC is not a range"),
        ({"range_c": (math.nan, 110.0)}, "range_c (nan, 110) degC is not a range"),
        ({"supply_v": (5.6, 5.6)}, "supply_v (5.6, 5.6) V is not a range"),
    ],
)
def test_a_sensor_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        LinearSensor(**arguments)
    assert words in str(error.value)


def test_check_span_accepts_a_range_and_nothing_else():
    assert check_span(-1, 1, "range_c", "degC") is None
    with pytest.raises(ValueError, match="lower value first"):
        check_span(1, 1, "range_c", "degC")
