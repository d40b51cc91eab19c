"""Trip codes against every reading of the chain; the range of true temperatures against simulated boards."""

from dataclasses import replace
from math import nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.alarm import Alarm, TripCodes, trip_codes, trip_ranges
from tempkit.chain import Chain, Converter, Design, Divider, Extras, Limits, Noise, Reference, Thermistor, scenario

BENCH = Alarm(low_c=18.0, high_c=27.0, deadband_c=0.5)


def divider(bits=10, **circuit):
    thermistor = Thermistor.from_beta(r25_ohm=9100.0, beta_k=3610.0)
    return Chain(thermistor, Reference(5.0), Converter(bits), Divider(fixed_ohm=9100.0, **circuit))


CHAINS = {
    "10 bit": scenario(),
    "round": scenario(transfer="round"),
    "16 bit": scenario(nominal_v=2.0, kind="fixed", bits=16),
    "measured": scenario(true_v=4.75),
    "thermistor": divider(),
    "thermistor, 14 bit": divider(14),
}
ALARMS = (
    BENCH,
    Alarm(low_c=18.0),
    Alarm(high_c=27.0),
    Alarm(low_c=18.0, high_c=27.0),
    Alarm(18.0, 27.0, 12.0, 2, 3, 4),
)


@pytest.mark.parametrize("chain", CHAINS.values(), ids=CHAINS)
@pytest.mark.parametrize("alarm", ALARMS)
def test_every_code_acts_as_its_reading(chain, alarm):
    trip, readings = trip_codes(chain, alarm), chain.reading(np.arange(chain.converter.codes))
    seen = 0
    for code in np.flatnonzero(np.isfinite(readings)).tolist():
        assert trip.beyond(code) == alarm.beyond(readings[code])
        for state, edge in ((1, alarm.high_c), (-1, alarm.low_c)):
            if edge is not None:
                assert trip.is_back(code, state) == alarm.is_back(readings[code], state)
        seen += 1
    assert seen > 100
    assert (trip.on_delay, trip.off_delay, trip.invalid_delay) == (alarm.on_delay, alarm.off_delay, alarm.invalid_delay)


@given(st.lists(st.integers(140, 175)), st.sampled_from(["10 bit", "thermistor"]))
def test_a_board_that_compares_codes_gives_the_same_states(codes, name):
    chain, alarm = CHAINS[name], Alarm(18.0, 27.0, 0.5, 2, 3)
    if name == "thermistor":
        codes = [code + 340 for code in codes]
    board = trip_codes(chain, alarm).start()
    assert [board.step(code) for code in codes] == alarm.run(chain.reading(np.array(codes, int))).state.tolist()


def test_the_bench_by_hand():
    """Reading of code k: (k + 0.5) 625/1024 - 75. 167 -> 27.23, 166 -> 26.62, 165 -> 26.01; 151 -> 17.47."""
    assert trip_codes(scenario(), BENCH) == TripCodes(True, 151, 153, 165, 167)
    assert trip_codes(scenario(), Alarm(high_c=27.0)) == TripCodes(True, None, None, 166, 167)


def test_falling_codes():
    """A thermistor at the bottom of its divider: warmer is a lower code."""
    trip = trip_codes(divider(), BENCH)
    assert not trip.rising and trip.high_on < trip.high_off < trip.low_off < trip.low_on


def boards(count, seed):
    """True temperatures at which simulated boards first read 167: sensor and reference anywhere in their limits."""
    rng = np.random.default_rng(seed)
    reference_v = rng.uniform(4.75, 5.25, count)
    sensor_c = rng.uniform(-1.5, 1.5, count)
    return (167 * reference_v / 1024 - 0.6) / 0.008 - sensor_c


def test_the_range_against_simulated_boards():
    """200,000 boards, seed 3; the spread is known to about 0.2 % of itself; the worst boards are the corners."""
    low, high = trip_ranges(Design("bench", scenario()), BENCH)
    true = boards(200_000, 3)
    assert (low.kind, high.kind, low.code, high.code) == ("low", "high", 151, 167)
    assert high.at_c == pytest.approx(167 * 625 / 1024 - 75, abs=1e-9) and high.at_c == pytest.approx(
        true.mean(), abs=0.05
    )
    assert high.standard_c == pytest.approx(true.std(), rel=0.02)
    assert np.mean((true >= high.low_c) & (true <= high.high_c)) > 0.95
    corners = [(167 * v / 1024 - 0.6) / 0.008 + s for v in (4.75, 5.25) for s in (-1.5, 1.5)]
    assert high.worst_c == pytest.approx((min(corners), max(corners)), abs=0.4)  # to first order in a 5 % reference


def test_a_measured_reference_narrows_and_shifts_it():
    measured = Design("bench", scenario(true_v=4.75), budget=Extras(meter_u_v=0.005, self_heating_c=0.4))
    (high,) = trip_ranges(measured, Alarm(high_c=27.0))
    edge_c = (167 * 4.75 / 1024 - 0.6) / 0.008
    assert high.at_c == pytest.approx(edge_c - 0.2, abs=1e-9), "it warms itself by 0.2 degC on average"
    assert measured.chain.code(edge_c + 0.001) == 167 and measured.chain.code(edge_c - 0.001) == 166
    assert high.standard_c < 0.6 * trip_ranges(Design("b", scenario()), Alarm(high_c=27.0))[0].standard_c


def test_the_step_itself_is_no_doubt_unless_codes_are_averaged():
    exact = replace(scenario().sensor, accuracy_c=0.0)
    chain = replace(scenario(), sensor=exact, reference=Reference(5.0, kind="fixed"))
    once = trip_ranges(Design("b", chain, noise=Noise(0.002, 1)), Alarm(high_c=27.0))[0]
    assert once.standard_c == pytest.approx(0.25, rel=1e-6), "2 mV at 8 mV/degC, and nothing else"
    many = trip_ranges(Design("b", chain, noise=Noise(0.002, 16)), Alarm(high_c=27.0))[0]
    assert 0.0625 < many.standard_c < 0.25


def test_the_design_brings_its_own_limits():
    design = Design("bench", scenario(), alarm=Limits(high_c=27.0))
    assert trip_ranges(design) == trip_ranges(design, Alarm(high_c=27.0))
    thermistor = trip_ranges(Design("bench", divider()), BENCH)
    assert thermistor[1].at_c == pytest.approx(27.0, abs=0.1) and thermistor[0].at_c == pytest.approx(18.0, abs=0.1)


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: trip_codes(scenario(), Alarm(high_c=130.0)), "high_on: no reading of this chain is above 130 degC"),
        (lambda: trip_codes(scenario(), Alarm(low_c=-41.0)), "low_on: no reading .* below -41 degC"),
        (lambda: trip_codes(scenario(), Alarm(high_c=27.0, deadband_c=90.0)), "high_off: .* below -63 degC"),
        (lambda: trip_codes(scenario(), Alarm(low_c=18.0, deadband_c=110.0)), "low_off: .* above 128 degC"),
        (lambda: trip_ranges(Design("b", scenario())), r"no \[alarm\]"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_invalid_codes_on_the_board():
    board = trip_codes(scenario(), BENCH).start()
    assert [board.step(code, valid) for code, valid in ((167, True), (1023, False), (nan, True))] == [1, 1, 1]
    assert board.invalid
