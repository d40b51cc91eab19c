"""The alarm on chains of the other sensors: every code, rising and falling, and where it trips in true temperature."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tempkit.alarm import Alarm, trip_codes, trip_ranges
from tempkit.chain import file

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
OTHERS = ("platinum-2-wire", "platinum-3-wire", "platinum-4-wire", "platinum-bridge", "thermistor", "thermocouple-k")
every_chain = pytest.mark.parametrize("name", OTHERS)


def read(name):
    return file.read(CHAINS / f"north-bench-{name}.toml")


@every_chain
@pytest.mark.parametrize("bits", [8, 10, 12])
def test_every_code_against_the_readings(name, bits):
    """What the codes decide is what the readings in degC decide, code for code, in every state of the alarm."""
    design = read(name)
    chain = replace(design.chain, converter=replace(design.chain.converter, bits=bits))
    alarm = Alarm.from_limits(design.alarm)
    trips = trip_codes(chain, alarm)
    assert trips.rising == (name != "thermistor")
    readings_c = chain.reading(np.arange(2**bits))
    for code in np.flatnonzero(np.isfinite(readings_c)).tolist():
        reading_c = readings_c[code]
        beyond = 1 if reading_c > alarm.high_c else -1 if reading_c < alarm.low_c else 0
        assert trips.beyond(code) == beyond
        assert trips.is_back(code, 1) == (reading_c < alarm.high_c - alarm.deadband_c)
        assert trips.is_back(code, -1) == (reading_c > alarm.low_c + alarm.deadband_c)


@every_chain
def test_where_it_trips_in_true_temperature(name):
    """Just short of the trip the code does not raise the alarm, just past it it does; forgotten leads counted once."""
    design = read(name)
    alarm = Alarm.from_limits(design.alarm)
    trips = trip_codes(design.chain, alarm)
    for found in trip_ranges(design):
        side = 1 if found.kind == "high" else -1
        beside_c = 1e-6
        assert trips.beyond(design.chain.code(found.at_c + side * beside_c)) == side
        assert trips.beyond(design.chain.code(found.at_c - side * beside_c)) == 0
        assert found.low_c < found.at_c < found.high_c


def test_an_alarm_through_a_whole_day():
    """A slow day from 10 to 35 degC and back: low, normal, high, and back, with the deadband's asymmetry."""
    design = read("thermistor")
    true_c = 22.5 + 12.5 * np.sin(np.linspace(-np.pi / 2, 3 * np.pi / 2, 4001))
    readings_c = design.chain.reading(design.chain.code(true_c))
    state = Alarm.from_limits(replace(design.alarm, on_delay_samples=1, off_delay_samples=1)).run(readings_c).state
    changes = state[np.flatnonzero(np.diff(state, prepend=9))].tolist()
    assert changes == [-1, 0, 1, 0, -1]
    raised_c, back_c = (true_c[np.flatnonzero(state == 1)[place]] for place in (0, -1))
    assert raised_c == pytest.approx(27.0, abs=0.15)
    assert back_c == pytest.approx(26.5, abs=0.15)
