"""The thermocouple's amplifier and its cold junction, through the whole chain."""

from dataclasses import replace

import numpy as np
import pytest
import thermocouple_its90
from hypothesis import given
from hypothesis import strategies as st

from tempkit.chain import Chain, ColdJunction, Converter, Divider, Reference, Thermocouple

K = Thermocouple("K", range_c=(0.0, 400.0))
CIRCUIT = ColdJunction(cold_c=25.0, gain=100.0, bias_v=0.25)


def bench(circuit=CIRCUIT, bits=12, true_v=None):
    return Chain(
        sensor=K, circuit=circuit, reference=Reference(2.5, kind="fixed", true_v=true_v), converter=Converter(bits)
    )


def test_by_the_package():
    """0.25 V + 100 (E(t) - E(25 degC)), E of the independent package in mV."""
    emf = thermocouple_its90.get("K").emf
    for t_c in (0.0, 25.0, 100.0, 250.0, 400.0):
        assert bench().volts(t_c) == pytest.approx(0.25 + 0.1 * (emf(t_c) - emf(25.0)), abs=1e-12)


def test_equal_junctions_give_the_bias_alone():
    assert bench().volts(25.0) == 0.25
    assert bench().celsius_at_pin(0.25) == pytest.approx(25.0, abs=1e-10)


@given(st.floats(0, 400), st.floats(-20, 50), st.floats(20, 300))
def test_there_and_back(t_c, cold_c, gain):
    circuit = ColdJunction(cold_c=cold_c, gain=gain, bias_v=0.25)
    assert circuit.celsius(K, circuit.volts(K, t_c, None), None) == pytest.approx(t_c, abs=1e-9)


def test_a_cold_junction_sensor_that_is_off():
    """What the cold junction's sensor adds too much, the reading has too much, times the ratio of the slopes."""
    off = bench(replace(CIRCUIT, measured_cold_c=27.0), bits=20)
    assert off.circuit.unknown == "cold junction misread" and CIRCUIT.unknown == ""
    ratio = K.volts_per_c(26.0) / K.volts_per_c(101.0)
    assert off.error_c(100.0) == pytest.approx(2.0 * ratio, abs=0.01)
    assert off.code(100.0) == bench(bits=20).code(100.0)


def test_forgotten_and_added_as_a_temperature():
    """Taking the terminals for 0 degC loses E(25 degC); adding 25 degC to that is wrong as well."""
    forgotten = bench(replace(CIRCUIT, measured_cold_c=0.0), bits=20)
    shown_c = forgotten.reading(forgotten.code(300.0))
    assert shown_c == pytest.approx(K.celsius(K.volts(300.0, 25.0)), abs=0.01)
    assert abs(shown_c + 25.0 - 300.0) > 0.5


def test_what_is_off_is_a_part_of_another_value():
    changed = replace(CIRCUIT, cold_c=25.5)
    assert CIRCUIT.volts(K, 100.0, None, {"cold": 0.5}) == pytest.approx(changed.volts(K, 100.0, None), abs=1e-16)
    high = CIRCUIT.volts(K, 100.0, None, {"amp_offset": 1e-5, "amp_gain": 1.0})
    assert high == pytest.approx(0.25 + 101.0 * (K.volts(100.0, 25.0) + 1e-5), rel=1e-14)
    assert CIRCUIT.doubts("fixed").keys() == {"feed", "amp_offset", "amp_gain", "cold"}


def test_codes_and_readings_of_a_whole_converter():
    chain = bench()
    codes = np.arange(4096)
    readings_c = chain.reading(codes)
    inside = (readings_c >= 0.0) & (readings_c <= 400.0)
    assert inside.sum() > 2500
    assert chain.code(readings_c[inside]).tolist() == codes[inside].tolist()
    bare_c = chain.reading(codes, checked=False)
    assert (np.diff(bare_c) > 0).all()
    assert chain.reading(1000) == bare_c[1000]


def test_a_wrong_reference_stays_wrong_here():
    """Nothing is ratiometric: a reference 1 % high makes 1 % too little of the voltage at the pin."""
    chain = bench(bits=20, true_v=2.525)
    v = chain.volts(100.0)
    assert chain.reading(chain.code(100.0)) == pytest.approx(chain.celsius_believed(v / 1.01), abs=0.01)
    assert chain.error_c(100.0) < -1.0


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: ColdJunction(cold_c=-300.0), "cold_c -300 degC must be -60 degC or more"),
        (lambda: ColdJunction(measured_cold_c=float("nan")), "measured_cold_c nan degC"),
        (lambda: ColdJunction(cold_accuracy_c=-1.0), "cold_accuracy_c -1 degC must be 0 degC or more"),
        (lambda: ColdJunction(cold_at_0c_v=0.6), "cold_slope_v_per_c None V/degC are one sensor's line: give both"),
        (lambda: ColdJunction(cold_at_0c_v=0.6, cold_slope_v_per_c=0.0), "the slope not 0, or neither"),
        (lambda: bench(Divider(fixed_ohm=1e3)), "a divider does not go with a thermocouple: it takes a resistance"),
    ],
)
def test_what_cannot_be(make, words):
    with pytest.raises(ValueError) as error:
        make()
    assert words in str(error.value)
