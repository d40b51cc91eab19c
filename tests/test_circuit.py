"""The direct circuit: what feeds the sensor, and what a sensor that follows its supply does."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.chain import Direct, LinearSensor

SENSOR = LinearSensor()


@given(st.floats(-25, 110), st.floats(3.0, 5.6))
def test_an_absolute_output_does_not_see_the_supply(t_c, feed_v):
    assert Direct().volts(SENSOR, t_c, feed_v) == SENSOR.volts(t_c)
    assert Direct().volts_per_c(SENSOR, t_c, feed_v) == SENSOR.slope_v_per_c
    assert Direct().celsius(SENSOR, SENSOR.volts(t_c), feed_v) == SENSOR.inverse(SENSOR.volts(t_c))


@given(st.floats(-25, 110), st.floats(3.0, 5.6))
def test_a_ratiometric_output_is_a_fixed_part_of_the_supply(t_c, feed_v):
    circuit = Direct(ratiometric_at_v=5.0)
    rounding = 1e-15  # relative: a product and a quotient
    assert circuit.volts(SENSOR, t_c, feed_v) / feed_v == pytest.approx(SENSOR.volts(t_c) / 5.0, rel=rounding)
    assert circuit.volts_per_c(SENSOR, t_c, feed_v) / feed_v == pytest.approx(0.008 / 5.0, rel=rounding)
    there_and_back_c = 1e-12  # degC: a few half-units of a float near 1 V, at 8 mV/degC
    assert circuit.celsius(SENSOR, circuit.volts(SENSOR, t_c, feed_v), feed_v) == pytest.approx(
        t_c, abs=there_and_back_c
    )


def test_literal_ratiometric_output():
    """800 mV at 5 V is 16 % of the supply: 16 % of 4.75 V is 760 mV."""
    assert Direct(ratiometric_at_v=5.0).volts(SENSOR, 25.0, 4.75) == pytest.approx(0.76, rel=1e-15)


def test_an_array_keeps_its_shape():
    t_c = np.linspace(-25, 110, 12).reshape(3, 4)
    circuit = Direct(ratiometric_at_v=5.0)
    v = circuit.volts(SENSOR, t_c, 4.75)
    back_c, slope = circuit.celsius(SENSOR, v, 4.75), circuit.volts_per_c(SENSOR, t_c, 4.75)
    assert v.shape == back_c.shape == slope.shape == (3, 4)
    assert v.ravel().tolist() == [circuit.volts(SENSOR, float(one), 4.75) for one in t_c.ravel()]


@pytest.mark.parametrize(
    ("supply_v", "kind", "feed_v"),
    [(None, "supply", 4.83), (3.3, "supply", 4.83), (3.3, "fixed", 3.3), (None, "fixed", None)],
)
def test_what_feeds_the_sensor(supply_v, kind, feed_v):
    """Where the supply is the reference, it feeds the sensor; else the named supply does, or nobody knows."""
    assert Direct(supply_v=supply_v).feed_v(4.83, kind) == feed_v


def test_only_a_ratiometric_output_needs_to_know_its_feed():
    assert not Direct().needs_feed
    assert Direct(ratiometric_at_v=5.0).needs_feed


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"source_ohm": -1.0}, "source_ohm -1 ohm must be 0 or more"),
        ({"source_ohm": math.nan}, "source_ohm nan ohm must be 0 or more"),
        ({"supply_v": 0.0}, "supply_v 0 V must be above 0 V"),
        ({"ratiometric_at_v": -5.0}, "ratiometric_at_v -5 V must be above 0 V"),
        ({"ratiometric_at_v": math.nan}, "ratiometric_at_v nan V must be above 0 V"),
    ],
)
def test_a_circuit_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        Direct(**arguments)
    assert words in str(error.value)
