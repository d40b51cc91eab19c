"""The alarm over a record: a plain loop as the other way, random traces, every boundary case, a real record."""

from math import isfinite, nan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from references import reference
from tempkit.alarm import Alarm, rule
from tempkit.chain import Limits


def plain_loop(readings, low, high, deadband, on, off, wrong):
    """The rule as the design plan says it, written as first-year code: no counts are kept, rows are looked back at.

    Returns states, whether the invalid call stands, and the (kind, start) of every raise.
    """
    states, calls, raises = [], [], []
    state, called = 0, False
    for index, _ in enumerate(readings):

        def row(test, length, index=index):
            here = readings[max(0, index - length + 1) : index + 1]
            return len(here) == length and all(test(each) for each in here)

        before, called_before = state, called
        if row(lambda x: not isfinite(x), wrong):
            called = True
        elif row(isfinite, off):
            called = False
        if high is not None and row(lambda x: isfinite(x) and x > high, on):
            state = 1
        elif low is not None and row(lambda x: isfinite(x) and x < low, on):
            state = -1
        elif (state == 1 and row(lambda x: isfinite(x) and x < high - deadband, off)) or (
            state == -1 and row(lambda x: isfinite(x) and x > low + deadband, off)
        ):
            state = 0
        if called and not called_before:
            raises.append(("invalid", index))
        if state != before and state:
            raises.append(("high" if state > 0 else "low", index))
        states.append(state)
        calls.append(called)
    return states, calls, raises


# Few different values, so that equality with limits and edges is met often, and sevenths, which round when subtracted.
READINGS = st.one_of(
    st.lists(st.sampled_from([10.0, 17.5, 18.0, 18.5, 19.0, 22.0, 26.0, 26.5, 27.0, 27.5, 40.0, nan, np.inf])),
    st.lists(st.integers(-20, 320).map(lambda k: k / 7)),
)
LIMITS = st.sampled_from([(18.0, 27.0), (18.0, None), (None, 27.0), (130 / 7, 131 / 7)])
DELAYS = st.integers(1, 5)
DEADBANDS = st.sampled_from([0.0, 0.5, 1 / 7, 3.0, 20.0])


@settings(max_examples=600)
@given(READINGS, LIMITS, DEADBANDS, DELAYS, DELAYS, DELAYS, st.integers(1, 9))
def test_record_steps_and_plain_loop_agree(readings, limits, deadband, on, off, wrong, block):
    alarm = Alarm(*limits, deadband, on, off, wrong)
    kept, rule.BLOCK = rule.BLOCK, block
    try:
        run = alarm.run(readings)
    finally:
        rule.BLOCK = kept
    states, calls, raises = plain_loop(readings, *limits, deadband, on, off, wrong)
    assert run.state.tolist() == states
    assert run.invalid.tolist() == calls
    assert [(event.kind, event.start) for event in run.events] == raises
    bench = alarm.start()
    seen = [(bench.step(each), bench.invalid, bench.valid, bench.known, *bench.outputs()) for each in readings]
    rows = (run.state, run.invalid, run.valid, run.known, run.lamp, run.buzzer)
    assert seen == list(zip(*(row.tolist() for row in rows), strict=True))


@settings(max_examples=200)
@given(READINGS, st.randoms(use_true_random=False))
def test_a_marked_reading_is_as_good_as_none(readings, random):
    alarm = Alarm(18.0, 27.0, 0.5, 2, 3, 2)
    valid = [random.random() < 0.7 for _ in readings]
    marked = alarm.run(readings, valid=valid)
    gone = alarm.run([each if good else nan for each, good in zip(readings, valid, strict=True)])
    assert marked.state.tolist() == gone.state.tolist() and marked.invalid.tolist() == gone.invalid.tolist()
    assert marked.valid.tolist() == gone.valid.tolist()
    bench = alarm.start()
    assert [bench.step(*each) for each in zip(readings, valid, strict=True)] == gone.state.tolist()


@given(READINGS, LIMITS, DEADBANDS, DELAYS, DELAYS)
def test_events_tell_the_states(readings, limits, deadband, on, off):
    times = 10.0 * np.arange(len(readings))
    run = Alarm(*limits, deadband, on, off).run(readings, times)
    again, called = np.zeros(len(readings), int), np.zeros(len(readings), bool)
    for event in run.events:
        place = slice(event.start, event.end)
        if event.kind == "invalid":
            called[place] = True
        else:
            assert not again[place].any(), "two states at once"
            again[place] = {"low": -1, "high": 1}[event.kind]
        assert event.start_s == times[event.start] and event.open == (event.end == len(readings))
        assert event.samples >= 1 and event.duration_s == 10.0 * (event.samples - event.open)
    assert again.tolist() == run.state.tolist() and called.tolist() == run.invalid.tolist()


def test_a_long_record_across_blocks():
    """More samples than one block holds, against the loop; with seed 4 the trace crosses both limits often."""
    rng = np.random.default_rng(4)
    readings = 22.5 + 5.0 * np.sin(np.arange(200_000) / 900) + rng.standard_normal(200_000)
    run = Alarm(18.0, 27.0, 0.5, 3, 4).run(readings)
    states, _, raises = plain_loop(readings.tolist(), 18.0, 27.0, 0.5, 3, 4, 1)
    assert len(raises) > 100 and run.state.tolist() == states


def test_the_words_of_the_trade():
    """Deadband, on-delay, off-delay as the entry says them, one sample before and at the moment."""
    words = reference("alarm-terms").expected
    assert words["deadband"].endswith("only when value < limit - deadband")
    assert Alarm(high_c=27.0, deadband_c=0.5).run([27.1, 26.5, 26.49]).state.tolist() == [1, 1, 0]
    assert "persist for the on-delay" in words["on_delay"]
    assert Alarm(high_c=27.0, on_delay=3).run([28, 28, 20, 28, 28, 28]).state.tolist() == [0, 0, 0, 0, 0, 1]
    assert "held for off-delay after condition clears" in words["off_delay"]
    assert Alarm(high_c=27.0, off_delay=3).run([28, 20, 20, 28, 20, 20, 20]).state.tolist() == [1] * 6 + [0]


def test_from_the_limits_of_a_design():
    limits = Limits(18.0, 27.0, 0.5, on_delay_samples=5, off_delay_samples=4)
    assert Alarm.from_limits(limits) == Alarm(18.0, 27.0, 0.5, 5, 4)
    assert Alarm.from_limits(Limits(high_c=27.0)).low_c is None


def test_an_empty_record_and_types():
    run = Alarm(low_c=18.0).run([])
    assert run.state.size == run.valid.size == run.known.size == len(run.events) == 0
    run = Alarm(low_c=18.0).run([17, 19])
    assert (run.state.dtype, run.valid.dtype, run.invalid.dtype) == (np.int8, bool, bool)


def test_times_and_kinds_of_events():
    run = Alarm(18.0, 27.0).run([28, 20, 17, nan, 20], [0, 5, 5, 20, 21])
    assert [(e.kind, e.start_s, e.end_s, e.open) for e in run.events] == [
        ("high", 0.0, 5.0, False),
        ("low", 5.0, 21.0, False),
        ("invalid", 20.0, 21.0, False),
    ]
    assert run.events.of("low")[0] == run.events[1] == run.events[1:][0] and len(run.events.of("high")) == 1
    assert np.isnan(Alarm(18.0, 27.0).run([28.0]).events[0].duration_s)


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: Alarm(), "give at least one limit"),
        (lambda: Alarm(low_c=27.0, high_c=18.0), "low_c 27 degC must be below high_c 18 degC"),
        (lambda: Alarm(low_c=18.0, high_c=18.0), "must be below"),
        (lambda: Alarm(low_c=nan), "low_c nan degC is no finite number"),
        (lambda: Alarm(low_c=1.0, deadband_c=-0.5), "deadband_c -0.5 degC must be 0 degC or more"),
        (lambda: Alarm(low_c=1.0, on_delay=0), "on_delay 0 samples must be a whole number, 1 or more"),
        (lambda: Alarm(low_c=1.0, off_delay=1.5), "off_delay 1.5 samples"),
        (lambda: Alarm(low_c=1.0, invalid_delay=nan), "invalid_delay nan samples"),
        (lambda: Alarm(low_c=1.0).run([[1.0]]), r"shape \(1, 1\) are no record"),
        (lambda: Alarm(low_c=1.0).run(1.0), "no record"),
        (lambda: Alarm(low_c=1.0).run([1.0], [1.0, 2.0]), "does not fit 1 readings"),
        (lambda: Alarm(low_c=1.0).run([1.0, 2.0], valid=[True]), "does not fit 2 readings"),
        (lambda: Alarm(low_c=1.0).run([1.0, 2.0], [5.0, 4.0]), "4 s at sample 1 runs backwards"),
        (lambda: Alarm(low_c=1.0).run([1.0, 2.0], [5.0, nan]), "nan s at sample 1"),
        (lambda: Alarm(low_c=1.0).run([1.0], [nan]), "nan s at sample 0"),
        (lambda: Alarm(low_c=1.0).run([1.0]).events.of("cold"), "kind 'cold' is not one of low, high, invalid"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
