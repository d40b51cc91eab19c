"""Each fault as a changed bench: what it does to the volts, to the code, and to the lines that are heard."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tempkit.chain import Design, Link, file, scenario
from tempkit.faults import FAULTS, HandTest, fault, heard_lines, points, possible, read_lines, record
from tempkit.faults.evidence import printed

FOLDER = Path(__file__).resolve().parent.parent / "data" / "chains"
NORTH = file.read(FOLDER / "north-bench.toml")
FIXED = file.read(FOLDER / "south-bench-low-reference.toml")
TEST = HandTest(21.0)
QUIET = replace(NORTH, noise=None)  # without noise the figures by hand hold to the digit


def at_rest(key, design=QUIET):
    """Median code and reading of the typical case over the first rest."""
    made = record(fault(key).case(design), TEST)
    rest = made.t_s < TEST.rest_s
    return float(np.median(made.code[rest])), float(np.median(made.reading_c[rest]))


def test_keys_are_unique_and_every_fault_is_there():
    keys = [each.key for each in FAULTS]
    assert len(set(keys)) == len(keys) == 15
    assert all(each.name and each.safety.endswith(".") and each.look[-1] in ".?" for each in FAULTS)
    with pytest.raises(ValueError, match="fault 'gremlin' is not one of healthy, turned"):
        fault("gremlin")


@pytest.mark.parametrize(
    "key, code, reading_c",
    [
        ("healthy", 157, 21.13),  # 768 mV / 4.8828 mV is 157.3; 157.5 steps are 769.0 mV
        ("no supply", 0, -74.69),  # half a step is 2.44 mV, 597.56 mV below the 0 degC line
        ("constant", 157, -11.55),  # 157.5 steps of 3.3 V / 1024 are 507.6 mV
        ("count", 157, 21.22),  # 157.5 * 5 / 1023 V is 769.8 mV
        ("integer", 157, -75.0),  # 5 / 1024 is 0
        ("other supply", 238, 70.57),  # 768 mV / 3.2227 mV is 238.3; 238.5 steps of 4.8828 mV are 1164.6 mV
        ("offset", 157, 96.13),  # 75 degC more: 600 mV not taken off
        ("lamp", 157, 21.13),
        ("sag", 157, 21.13),
        ("leads", 157, 21.13),
    ],
)
def test_codes_and_readings_by_hand(key, code, reading_c):
    design = QUIET
    if key == "leads":  # its pick-up is noise; here only the level counts
        found_code, found_c = at_rest(key)
        assert found_code == pytest.approx(code, abs=1) and found_c == pytest.approx(reading_c, abs=0.5)
        return
    found_code, found_c = at_rest(key, design)
    assert found_code == code
    assert found_c == pytest.approx(reading_c, abs=0.01)


def test_a_turned_sensor_is_hot_and_says_so_first():
    at = points(fault("turned").case(NORTH), 21.0)
    assert at.sensor_w > 1.0 and at.warming_k > 100
    assert fault("turned").safety.startswith("Remove the power at once")
    assert [each.key for each in FAULTS if "hot" in each.safety] == ["turned"]
    cool = [each for each in FAULTS if each.key != "turned"]
    assert all(points(each.case(NORTH), 21.0, lamp=True, buzzer=True).warming_k < 1 for each in cool)


def test_an_open_pin_wanders_with_hum():
    made = record(fault("no signal").case(NORTH), TEST)
    assert made.reading_c.std() > 10
    top = NORTH.chain.converter.codes - 1
    assert made.code.min() >= 0 and made.code.max() <= top
    assert points(fault("no signal").case(NORTH), 21.0).sensor_output_v == pytest.approx(0.768, abs=0.001)


def test_the_buzzer_that_holds_itself():
    """Supply sag of 9 ohm x 45 mA: 0.405 V; at 27 degC 816 mV against 4.595 V read as 36.0 degC: it cannot stop."""
    made = record(fault("sag").case(QUIET), TEST)
    loud = made.reading_c > NORTH.alarm.high_c
    first = int(loud.argmax())
    assert loud[first:].all() and made.sensor_c[-1] < 24
    jump = np.diff(made.reading_c)[first]
    by_hand = 125 * (0.6 + 0.008 * made.sensor_c[first]) * (5.0 / (5.0 - 9.0 * 0.045) - 1)
    assert jump == pytest.approx(by_hand, abs=0.7)  # a step, and the warming within a second
    fixed = record(fault("sag").case(FIXED), TEST)
    assert np.abs(np.diff(fixed.reading_c)).max() < 1.0


def test_noise_of_the_supply_reaches_the_reading_only_through_the_reference():
    """145 mV on 5 V are 2.9 %; of 96 degC's worth of signal that is 2.78 degC."""
    made = record(fault("noisy").case(NORTH), TEST)
    assert made.reading_c[:55].std() == pytest.approx(96.0 * 0.145 / 5.0, rel=0.3)
    assert record(fault("noisy").case(FIXED), TEST).reading_c[:55].std() < 0.2


def test_baud_mismatch_garbles_the_bytes_and_nothing_else():
    case = fault("baud").case(NORTH)
    assert case.heard_baud != 9600
    lines = heard_lines(case, TEST, most=20)
    log = read_lines(lines)
    assert log.reading_c.size == 0 and log.unreadable > 0.3
    right = heard_lines(replace(case, heard_baud=9600.0), TEST, most=20)
    assert right == heard_lines(fault("healthy").case(NORTH), TEST, most=20)


def test_a_line_of_another_speed_is_not_taken_for_a_fault():
    fast = replace(NORTH, link=Link(baud=19200))
    assert all(fault("baud").case(fast, np.random.default_rng(seed)).heard_baud != 19200 for seed in range(20))
    assert read_lines(heard_lines(fault("healthy").case(fast), TEST)).unreadable == 0.0


@pytest.mark.parametrize("key", [each.key for each in FAULTS])
def test_read_back_equals_what_was_simulated(key):
    """Two ways: rounded numbers of the simulation, and its lines written out and read."""
    case = fault(key).case(NORTH, np.random.default_rng(3))
    if key == "baud":
        case = replace(case, heard_baud=9600)
    short, log = printed(record(case, TEST), NORTH.noise.samples), read_lines(heard_lines(case, TEST))
    assert log.reading_c == pytest.approx(short.reading_c, abs=1e-9)
    assert log.code == pytest.approx(short.code, abs=1e-9)
    assert log.t_s == pytest.approx(short.t_s, abs=1e-9)


def test_a_case_repeats_and_benches_differ():
    first, again = (fault("sag").case(NORTH, np.random.default_rng(5)) for _ in range(2))
    assert first == again
    assert heard_lines(first, TEST) == heard_lines(again, TEST)
    other = fault("sag").case(NORTH, np.random.default_rng(6))
    assert other.wires.supply_ohm != first.wires.supply_ohm
    assert other.design.chain.reference.true_v != first.design.chain.reference.true_v


def test_drawn_benches_stay_within_what_the_design_allows():
    for seed in range(50):
        case = fault("healthy").case(NORTH, np.random.default_rng(seed))
        assert 4.75 <= case.design.chain.reference.true_v <= 5.25
        assert case.design.chain.reference.nominal_v == 5.0
    measured = file.read(FOLDER / "north-bench-measured.toml")
    assert fault("healthy").case(measured, np.random.default_rng(1)).design.chain.reference.true_v == 4.83


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.stem)
def test_every_design_file_can_have_its_faults(path):
    design = file.read(path)
    keys = [each.key for each in possible(design)]
    assert keys[0] == "healthy" and "baud" in keys
    assert ("sag" in keys) == (design.alarm.high_c is not None)
    for each in possible(design):
        assert heard_lines(each.case(design, np.random.default_rng(1)), TEST, most=3)


def test_a_bare_chain_has_no_buzzer_and_no_lamp():
    keys = [each.key for each in possible(Design("bench", scenario()))]
    assert not {"sag", "leads", "lamp"} & set(keys)


def test_the_hand_test_refuses_what_shows_nothing():
    with pytest.raises(ValueError, match="hand_c 33 degC must be 35 degC or more"):
        HandTest(30.0)
    with pytest.raises(ValueError, match="hold_s 2 s is outside 10 to 3600 s"):
        HandTest(21.0, hold_s=2)
