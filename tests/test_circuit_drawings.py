"""Diagrams of the other circuits: every value is on them, nothing overlaps, nothing is cut off; and their words."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tempkit.chain import (
    Bridge,
    Chain,
    ColdJunction,
    Converter,
    CurrentDrive,
    Divider,
    PlatinumSensor,
    Reference,
    Thermistor,
    Thermocouple,
    file,
)
from tempkit.draw import circuit_diagram, diagram, words
from test_schematics import (
    every_drawing,
    said,
    test_ink_on_white,
    test_no_line_runs_through_a_text,
    test_no_text_overlaps_another,
    test_nothing_is_cut_off,
)

__all__ = [
    "test_ink_on_white", "test_no_line_runs_through_a_text", "test_no_text_overlaps_another", "test_nothing_is_cut_off",
]  # fmt: skip
CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
OTHERS = ("platinum-2-wire", "platinum-3-wire", "platinum-4-wire", "platinum-bridge", "thermistor", "thermocouple-k")
NTC = Thermistor.from_beta(9100.0, 3610.0)
FITTED = Thermistor.from_points([(0.0, 27600.0), (25.0, 9100.0), (50.0, 3570.0)])
PT, K = PlatinumSensor(), Thermocouple("K")
LEADS = {"lead_ohm": 0.5, "lead_tolerance": 0.1}
FIXED = Reference(2.5, 0.002, "fixed", true_v=2.503)
SUPPLY = Reference(5.0, 0.05, true_v=4.83)


def chain(sensor, circuit, reference=SUPPLY, bits=12):
    return Chain(sensor=sensor, circuit=circuit, reference=reference, converter=Converter(bits))


CASES = {name: file.read(CHAINS / f"north-bench-{name}.toml").chain for name in OTHERS} | {
    "divider, top": chain(NTC, Divider(fixed_ohm=4700.0, sensor_at="top", **LEADS)),
    "divider, fixed reference": chain(FITTED, Divider(fixed_ohm=9100.0, source_ohm=470.0), FIXED),
    "divider, own supply": chain(
        FITTED, Divider(fixed_ohm=9100.0, supply_v=5.0, supply_tolerance=0.05, **LEADS), FIXED
    ),
    "divider, amplified": chain(PT, Divider(fixed_ohm=1e3, gain=5.0, bias_v=-0.1, offset_v=1e-4, **LEADS)),
    "divider, 4 wires": chain(PT, Divider(fixed_ohm=1e3, wires=4, **LEADS), FIXED),
    "current, 2 wires bare": chain(PT, CurrentDrive(current_a=1e-3, wires=2), FIXED),
    "current, 2 wires leads": chain(PT, CurrentDrive(current_a=1e-3, wires=2, source_ohm=1e4, **LEADS), FIXED),
    "current, 3 wires bare": chain(PT, CurrentDrive(current_a=1e-3, wires=3)),
    "current, 4 wires": chain(PT, CurrentDrive(set_ohm=2500.0, current_tolerance=0.001), FIXED),
    "bridge, 2 wires": chain(PT, Bridge(top_ohm=1e3, balance_ohm=82.0, wires=2, gain=50.0, **LEADS), FIXED),
    "bridge, bare": chain(PT, Bridge(top_ohm=1e3, balance_ohm=82.0, supply_v=5.0), FIXED),
    "cold junction, supply": chain(K, ColdJunction(gain=90.0, cold_accuracy_c=0.5, source_ohm=100.0)),
    "cold junction, bare": chain(K, ColdJunction(), FIXED, 24),
}
drawn = every_drawing(CASES)


def test_the_values_of_the_chain_are_on_it(drawn):
    figure, chain = drawn
    found = "\n".join(said(figure))
    circuit, reference = chain.circuit, chain.reference
    assert f"{reference.nominal_v:.3f} V" in found and "4.830 V" in found or "2.503 V" in found or not reference.true_v
    assert f"{chain.converter.bits} bit" in found
    assert ("100 nF" in found) == (
        reference.kind == "supply" or circuit.takes == "ohms" and "fixed" not in found or "supply:" in found
    )
    for size, unit in ((getattr(circuit, "lead_ohm", 0), "0.500 Ω"), (circuit.source_ohm, "Ω")):
        assert unit in found or not size
    if circuit.gain != 1:
        assert f"gain {circuit.gain:.4g}" in found
    assert ("bias" in found) == (circuit.bias_v != 0)
    assert {"output", "ground", "reference"} <= set(said(figure)) or "fixed" in found


@pytest.mark.parametrize("name", CASES)
def test_leads_are_drawn_one_by_one(name):
    chain = CASES[name]
    if chain.sensor.gives != "ohms" or not chain.circuit.lead_ohm:
        return
    labels = [text for text in said(diagram(chain)) if text.startswith("lead")]
    two_in_one = any("2 leads" in text for text in said(diagram(chain)))
    drawn_leads = 2 if two_in_one else len(labels)
    wanted = {2: 2, 3: 3, 4: 2}[chain.circuit.wires]  # the two wires that only measure carry no current
    assert drawn_leads == wanted


def zigzag(figure):
    """Most changes of direction, left or right, within one line of the drawing."""
    widths = [np.diff(line.get_xdata()) for line in figure.axes[0].lines]
    steps = [np.sign(each[np.isfinite(each) & (np.abs(each) > 1e-9)]) for each in widths]
    return max(int((np.diff(each) != 0).sum()) for each in steps)


def test_the_styles_differ_as_the_standards_do():
    """IEC 60617: boxes; IEEE 315: zigzags, upright here (from memory)."""
    for name in ("thermistor", "platinum-bridge"):
        assert zigzag(diagram(CASES[name], style="iec")) <= 2 < 5 <= zigzag(diagram(CASES[name], style="ieee"))
    with pytest.raises(ValueError, match="style 'din' is not one of"):
        diagram(CASES["thermistor"], style="din")


@pytest.mark.parametrize("name", CASES)
def test_the_words_say_what_is_drawn(name):
    chain = CASES[name]
    plain = words(chain)
    assert plain.startswith("Circuit diagram: ") and plain.endswith("All parts share one ground.")
    assert f"{chain.converter.bits}-bit converter" in plain and "None" not in plain
    assert ("fixed voltage source" in plain) == (chain.reference.kind == "fixed")
    for sign in (".. ", " .", ";;", "  "):
        assert sign not in plain


def test_words_to_the_letter():
    assert words(CASES["thermistor"]) == (
        "Circuit diagram: divider, the sensor at the bottom. The sensor is a thermistor, 9.10 kΩ at 25 °C, "
        "beta 3610 K. Fixed resistor: 9.10 kΩ ±1 %; fed: by the reference. The supply is 5.000 V ±5 %; a capacitor "
        "of 100 nF stands beside it. The middle goes directly to the input of a 10-bit converter. The converter's "
        "reference is the supply itself. All parts share one ground."
    )
    assert "amplifier: gain 90 ±0.5 %, offset up to ±0.0100 mV, bias 350 mV" in words(CASES["thermocouple-k"])


def test_a_notebook_gets_picture_and_words():
    bundle = circuit_diagram(CASES["platinum-3-wire"])._repr_mimebundle_()
    assert bundle["text/plain"] == words(CASES["platinum-3-wire"])
    assert "<img alt=" in bundle["text/html"]


def test_a_chain_changed_is_a_drawing_changed():
    one = CASES["platinum-4-wire"]
    other = replace(one, circuit=replace(one.circuit, lead_ohm=0.0))
    assert said(diagram(one)) != said(diagram(other))
