"""Chain files of the other sensors and circuits: exact round trip, errors by key, and described in plain text."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tempkit.book import Book
from tempkit.chain import (
    Bridge,
    Chain,
    ChainFileError,
    ColdJunction,
    Converter,
    CurrentDrive,
    Design,
    Divider,
    PlatinumSensor,
    Reference,
    Thermistor,
    Thermocouple,
    describe,
    file,
)
from tempkit.chain.parts.thermistor import BetaThermistor
from tempkit.uncertainty import budget_table

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"


def text_of(name):
    return (CHAINS / f"{name}.toml").read_text(encoding="utf-8")


def spans(low, high):
    two = st.lists(st.floats(low, high, allow_nan=False), min_size=2, max_size=2, unique=True)
    return two.map(sorted).map(tuple).filter(lambda pair: pair[1] - pair[0] > 1)


PART = st.floats(0, 0.5)
VOLTS = st.floats(0.5, 10)
BETAS = st.builds(
    BetaThermistor, st.floats(100, 1e6), st.floats(1500, 6000), spans(-60, 160), st.floats(0, 5), PART, PART
)
FITTED = st.builds(
    Thermistor.from_steinhart_hart, st.floats(8e-4, 1.2e-3), st.floats(2e-4, 3e-4), st.floats(0, 3e-7),
    spans(-50, 120), PART,
)  # fmt: skip
PLATINUM = st.builds(
    PlatinumSensor, st.floats(10, 1e4), st.sampled_from(["AA", "A", "B", "C"]), st.sampled_from(["wire", "film"]),
    spans(-200, 850),
)  # fmt: skip
COUPLES = st.builds(Thermocouple, st.sampled_from("KJT"), st.none() | spans(-200, 400), st.integers(1, 2))
FED = {"supply_v": st.none() | VOLTS, "supply_tolerance": PART, "gain": st.floats(0.5, 1e4), "gain_tolerance": PART}
FED |= {"offset_v": st.floats(0, 0.1), "bias_v": st.floats(-5, 5), "source_ohm": st.floats(0, 1e6)}
WIRED = FED | {"lead_ohm": st.floats(0, 20), "assumed_lead_ohm": st.floats(0, 20), "lead_tolerance": PART}
ENDS = st.sampled_from(["bottom", "top"])
OHMS = st.floats(1, 1e6)
CIRCUITS = st.one_of(
    st.builds(Divider, fixed_ohm=OHMS, fixed_tolerance=PART, sensor_at=ENDS, **WIRED),
    st.builds(Divider, fixed_ohm=OHMS, wires=st.just(4), **WIRED),
    st.builds(CurrentDrive, current_a=st.floats(1e-6, 0.1), wires=st.integers(2, 4), current_tolerance=PART, **WIRED),
    st.builds(CurrentDrive, set_ohm=OHMS, wires=st.integers(2, 4), **WIRED),
    st.builds(Bridge, top_ohm=OHMS, balance_ohm=OHMS, arm_tolerance=PART, wires=st.integers(2, 3), **WIRED),
)
COLD = st.builds(
    ColdJunction, cold_c=st.floats(-40, 80), measured_cold_c=st.none() | st.floats(-40, 80),
    cold_accuracy_c=st.floats(0, 5), **FED,
) | st.builds(
    ColdJunction, cold_at_0c_v=st.floats(-1, 1), cold_slope_v_per_c=st.floats(-0.1, -1e-4) | st.floats(1e-4, 0.1),
)  # fmt: skip
REFERENCES = st.builds(Reference, VOLTS, PART, st.sampled_from(["supply", "fixed"]), st.none() | VOLTS)
CONVERTERS = st.builds(Converter, st.integers(4, 24), st.sampled_from(["floor", "round"]))
PAIRS = st.tuples(BETAS | FITTED | PLATINUM, CIRCUITS) | st.tuples(COUPLES, COLD)
DESIGNS = st.builds(
    lambda pair, reference, converter: Design("any (invented)", Chain(pair[0], reference, converter, pair[1])),
    PAIRS, REFERENCES, CONVERTERS,
)  # fmt: skip


@given(DESIGNS)
def test_round_trip_is_exact(design):
    assert file.loads(file.dumps(design)) == design


@settings(max_examples=60)
@given(DESIGNS, st.sampled_from(["degC", "degF"]))
def test_every_design_is_described(design, scale):
    text = describe(design, Book(scale))
    for heading in ("SENSOR", "CIRCUIT", "REFERENCE", "CONVERTER", "WHAT CANNOT WORK", "READING MINUS TRUE"):
        assert f"\n{heading}" in text
    assert "None" not in text and "nan" not in text.split()


# ---- our files


OTHERS = ("platinum-2-wire", "platinum-3-wire", "platinum-4-wire", "platinum-bridge", "thermistor", "thermocouple-k")


def read(name):
    return file.read(CHAINS / f"north-bench-{name}.toml")


@pytest.mark.parametrize("name", OTHERS)
def test_our_files_work_over_their_whole_range(name):
    chain = read(name).chain
    assert chain.span_c() == chain.sensor.range_c
    assert chain.problems() == ()
    assert min(chain.headroom_v()) > 0.02


def row(text, label):
    """The rest of the only line that starts with a label."""
    (found,) = [line for line in text.splitlines() if line.strip().startswith(label)]
    return found.strip().removeprefix(label).strip()


def test_what_the_thermistor_says():
    """By hand: 25 degC is 2.5 V; R is 11.47 times as much at -25 degC, code 11.47 / 12.47 * 1024; 2.5 V, 9.1 kilohm."""
    text = describe(read("thermistor"))
    assert "thermistor, 9.10 kΩ at 25 °C, beta 3610 K" in text
    assert row(text, "tolerances") == "±1 % at 25 °C, ±1 % of beta"
    assert row(text, "fixed resistor") == "9.10 kΩ ±1 %"
    assert row(text, "fed") == "by the reference, so that it cancels"
    assert row(text, "power in sensor") == "up to 0.687 mW"
    assert row(text, "codes").startswith("941 at")
    errors = {row(text, start) for start in ("at 5.000 V assumed", "at 4.750 V", "at 5.250 V")}
    assert len(errors) == 1


def test_what_the_leads_of_platinum_do():
    """1 ohm of 0.387 ohm/degC near 22 degC is 2.58 degC; with three and four wires a step, 0.1 degC, is left."""
    for wires, low_c, high_c in ((2, 2.4, 2.8), (3, -0.12, 0.12), (4, -0.12, 0.12)):
        design = read(f"platinum-{wires}-wire")
        assert low_c < design.chain.error_c(22.0) < high_c
        text = describe(design)
        allowed = "; the program allows for 0 Ω" if wires < 4 else ""
        assert row(text, "lead wires") == f"{wires} of 0.500 Ω ±10 % each{allowed}"
        assert row(text, "current") == "the reference over 3.30 kΩ ±0.1 %"
    assert "leads other than assumed" in budget_table(read("platinum-2-wire"))


def test_what_the_thermocouple_says():
    text = describe(read("thermocouple-k"))
    assert row(text, "cold junction") == "25.0 °C"
    assert row(text, "its sensor") == "limits ±1 °C"
    assert row(text, "amplifier") == "gain 90 ±0.5 %, offset up to ±0.0100 mV, bias 350 mV"
    assert row(text, "limits") == "±2.50 °C at −40.0 °C, ±2.50 °C at 25.0 °C, ±3.00 °C at 400.0 °C"
    table = budget_table(read("thermocouple-k"))
    assert "cold-junction sensor" in table and "amplifier offset" in table


def test_the_same_job_side_by_side():
    """The budget of each at 22.5 degC; what the chain files are for: which sensor for which job."""
    from tempkit.uncertainty import chain_budget

    found = {name: chain_budget(read(name), 22.5).standard_c for name in OTHERS}
    assert found["thermistor"] < found["thermocouple-k"]
    assert found["platinum-4-wire"] <= found["platinum-3-wire"] < found["thermocouple-k"]


# ---- what is wrong in a file is said by key


@pytest.mark.parametrize(
    ("name", "old", "new", "words"),
    [
        ("thermistor", "r25_ohm = 9100.0", "r25_ohm = 0", ("sensor.r25_ohm = 0", "0.001 to 1e+12 ohm")),
        ("thermistor", "beta_k = 3610.0", "", ("sensor.beta_k: missing", "1 to 100000 K")),
        ("thermistor", "beta_k = 3610.0", "betta_k = 3610.0", ("did you mean beta_k?",)),
        ("thermistor", "fixed_ohm = 9100.0", 'fixed_ohm = "9k1"', ('circuit.fixed_ohm = "9k1" is a text',)),
        ("thermistor", '"bottom"', '"left"', ('circuit.sensor_at = "left"', '"bottom", "top"')),
        ("thermistor", 'kind = "divider"', 'kind = "splitter"', ('circuit.kind = "splitter"', '"divider"')),
        ("thermistor", "range_c = [-25.0, 110.0]", "range_c = [-25.0, 2000.0]", ("sensor.range_c", "-200 to 1000")),
        ("platinum-4-wire", 'tolerance_class = "B"', 'tolerance_class = "D"', ('"AA", "A", "B", "C"',)),
        ("platinum-4-wire", "wires = 4", "wires = 5", ("circuit.wires = 5", "2 to 4 wires")),
        ("platinum-4-wire", "set_ohm = 3300.0", "", ("circuit.current_a or set_ohm must be given",)),
        ("platinum-bridge", "wires = 3", "wires = 4", ("circuit.wires 4 is not one of 2, 3",)),
        ("platinum-bridge", "gain = 25.0", "gain = 0", ("circuit.gain = 0", "0.001 to 1000000 (ratio)")),
        ("thermocouple-k", 'letter = "K"', 'letter = "X"', ('sensor.letter = "X"', '"K", "J", "T"')),
        ("thermocouple-k", "tolerance_class = 2", "tolerance_class = 4", ("sensor.tolerance_class = 4", "1 to 3")),
        ("thermocouple-k", "400.0]", "1400.0]", ("sensor.range_c (-40, 1400) degC is not within -270 to 1372",)),
    ],
)
def test_an_error_names_the_key_and_what_it_may_hold(name, old, new, words):
    text = text_of(f"north-bench-{name}")
    assert text.count(old) == 1
    with pytest.raises(ChainFileError) as error:
        file.loads(text.replace(old, new))
    for part in words:
        assert part in str(error.value)


def test_a_sensor_in_a_circuit_that_does_not_take_it():
    text = text_of("north-bench").replace('kind = "direct"', 'kind = "divider"\nfixed_ohm = 1e4')
    with pytest.raises(ChainFileError, match="circuit: a divider does not go with a sensor with a straight line"):
        file.loads(text)
