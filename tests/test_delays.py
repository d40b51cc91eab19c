"""The delay budget: against loops that are run sample by sample from many moments, and against closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.alarm import alarm_delay
from tempkit.alarm.delays import crossing_s, passed_limit, smoothed_at
from tempkit.chain import Design, Limits, Response, Smoothing, scenario
from tempkit.signal import Ramp, Step, ramp_lag, serial_line, smoothing_factor, smoothing_lag_s, time_to_reach
from tempkit.signal.response import two_lags

MOMENTS = 60
FOUND_S = 1e-6  # s: times are found by halving, to a nanosecond, and added up a few times


def bench(tau_s=40.0, smoothing_s=12.0, on_delay=3, period_s=1.0, low_c=18.0, high_c=27.0):
    """The bench with its alarm and delays; invented."""
    alarm = Limits(low_c=low_c, high_c=high_c, on_delay_samples=on_delay, sample_period_s=period_s)
    smoothing = Smoothing(smoothing_s) if smoothing_s else None
    return Design("bench", scenario(), alarm=alarm, response=Response(tau_s), smoothing=smoothing)


def run(design, change, period_s, first_s):
    """The time of the alarm of a loop that samples every `period_s` from `first_s` on, as a board would do it."""
    alarm, limit_c = design.alarm, passed_limit(design, change)
    factor = smoothing_factor(alarm.sample_period_s, design.smoothing.tau_s) if design.smoothing else 1.0
    old, row, now = change.start_c, 0, first_s
    while True:
        old += factor * (change.sensed_c(now, design.response.tau_s) - old)
        row = row + 1 if (old > limit_c if change.rise_c > 0 else old < limit_c) else 0
        if row >= alarm.on_delay_samples:
            return now - change.passed_s(limit_c)
        now += period_s


BENCHES = {
    "all": {},
    "no smoothing": {"smoothing_s": 0.0},
    "no lag": {"tau_s": 0.0},
    "neither": {"tau_s": 0.0, "smoothing_s": 0.0, "on_delay": 1},
    "slow samples": {"period_s": 20.0, "on_delay": 2},
    "equal lags": {"smoothing_s": 40.0},
}
CHANGES = {
    "step": Step(22.0, 35.0),
    "hardly beyond": Step(22.0, 27.3),
    "cold": Step(22.0, 12.0),
    "ramp": Ramp(22.0, 40.0, 1.0),
    "steep ramp": Ramp(26.0, 60.0, 30.0),
    "falling ramp": Ramp(22.0, 5.0, 2.0),
}


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("name", BENCHES)
def test_mean_and_worst_are_those_of_loops_that_are_run(name, change):
    """Every moment of the period in which the change may begin: the mean exactly, the worst but for one moment."""
    design, change = bench(**BENCHES[name]), CHANGES[change]
    period_s = design.alarm.sample_period_s
    moments = (np.arange(MOMENTS) + 0.5) / MOMENTS * period_s
    late = np.array([run(design, change, period_s, first) for first in moments])
    ours = alarm_delay(design, change)
    assert late.max() <= ours.worst_s + FOUND_S and late.min() >= ours.worst_s - period_s - FOUND_S
    assert late.max() >= ours.worst_s - 1.5 * period_s / MOMENTS
    assert late.mean() == pytest.approx(ours.mean_s, abs=1.5 * period_s / MOMENTS)


@pytest.mark.parametrize("buffer", [None, 64])
def test_a_loop_that_prints_is_later_than_it_believes(buffer):
    """The program's factor is made for the wait alone; the loop takes longer, so its smoothing is slower."""
    design = bench(smoothing_s=3.0, period_s=0.1)
    loop = serial_line.loop((20, 20, 20), 0.1, 9600, "8N1", buffer)
    ours, change = alarm_delay(design, Step(22.0, 35.0), loop), Step(22.0, 35.0)
    moments = (np.arange(100) + 0.5) / 100 * loop.period_s
    late = np.array([run(design, change, loop.period_s, first) for first in moments]) + loop.last_s
    assert late.mean() == pytest.approx(ours.mean_s, abs=0.015 * loop.period_s)
    assert ours.period_s == loop.period_s and ours.part("line").worst_s == loop.last_s
    assert ours.output_worst_s == pytest.approx(ours.worst_s - 0.0625)
    if buffer is None:
        assert ours.part("smoothing").mean_s > 1.5 * alarm_delay(design, change).part("smoothing").mean_s


def test_the_lag_alone_is_the_time_to_reach_the_limit():
    ours = alarm_delay(bench(), Step(22.0, 35.0))
    assert ours.part("lag").mean_s == pytest.approx(time_to_reach(27.0, 40.0, 22.0, 35.0), abs=FOUND_S)
    assert ours.part("on-delay").worst_s == 2.0 and ours.part("sampling").mean_s == 0.5


def test_a_settled_ramp_adds_up_exactly():
    """Long after the start a lag is a shift in time, and shifts add: tau, and dt (1 - f) / f for the smoothing."""
    design, change = bench(low_c=-200.0), Ramp(-150.0, 60.0, 1.0)
    ours, factor = alarm_delay(design, change), smoothing_factor(1.0, 12.0)
    assert ours.part("lag").mean_s == pytest.approx(ramp_lag(1 / 60, 40.0) * 60, abs=FOUND_S)
    assert ours.part("smoothing").mean_s == pytest.approx(smoothing_lag_s(factor, 1.0), abs=FOUND_S)
    assert ours.together_s == pytest.approx(40.0 + smoothing_lag_s(factor, 1.0), abs=FOUND_S)
    assert ours.worst_s == pytest.approx(ours.added_worst_s, abs=FOUND_S)
    assert ours.reached_worst_c == pytest.approx(27.0 + ours.worst_s / 60, abs=FOUND_S)


def test_fast_samples_are_two_lags_one_behind_the_other():
    """With samples that follow each other closely, smoothing is a second lag."""
    factor = smoothing_factor(0.001, 12.0)
    for t in (5.0, 30.0, 90.0):
        assert smoothed_at(Step(22.0, 35.0), t, 40.0, factor, 0.001) == pytest.approx(
            two_lags(t, 40.0, 12.0, 22.0, 35.0), abs=1e-3
        )


def test_together_is_not_the_sum():
    """Half of a jump through two equal lags: 1.678 tau together, 1.386 tau added. Near its end it is the reverse."""
    fast = bench(smoothing_s=40.0, period_s=0.01, on_delay=1)
    half = alarm_delay(fast, Step(22.0, 32.0))
    assert half.together_s == pytest.approx(1.678 * 40.0, abs=0.05)
    assert half.part("lag").mean_s + half.part("smoothing").mean_s == pytest.approx(1.386 * 40.0, abs=0.05)
    far = alarm_delay(fast, Step(22.0, 27.01))
    assert far.worst_s < far.added_worst_s


@given(
    st.just(0.0) | st.floats(1e-3, 100.0), st.sampled_from([0.0, 0.5, 7.0, 60.0]), st.integers(1, 20),
    st.floats(0.05, 30.0), st.sampled_from(list(CHANGES)),
)  # fmt: skip
def test_any_bench(tau_s, smoothing_s, on_delay, period_s, name):
    ours = alarm_delay(bench(tau_s, smoothing_s, on_delay, period_s), CHANGES[name])
    assert all(0 <= part.mean_s <= part.worst_s for part in ours.parts)
    assert ours.worst_s - ours.mean_s == pytest.approx(period_s / 2)
    assert ours.together_s >= max(ours.part("lag").mean_s, ours.part("smoothing").mean_s) - FOUND_S
    assert abs(ours.reached_worst_c - ours.limit_c) >= abs(ours.reached_mean_c - ours.limit_c) - 1e-9


@given(st.just(0.0) | st.floats(1e-3, 200.0), st.floats(0.01, 1.0), st.floats(0.1, 20.0))
def test_crossing_is_where_the_smoothed_reading_passes(tau_s, factor, period_s):
    change = Ramp(22.0, 40.0, 1.0)
    t = crossing_s(change, 27.0, tau_s, factor, period_s)
    assert smoothed_at(change, t, tau_s, factor, period_s) >= 27.0
    assert smoothed_at(change, t - 1e-6, tau_s, factor, period_s) <= 27.0


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: alarm_delay(replace(bench(), alarm=None), Step(22.0, 35.0)), r"no alarm"),
        (lambda: alarm_delay(bench(), Step(22.0, 26.0)), r"from 22 to 26 degC no limit .*18 and 27 degC"),
        (lambda: alarm_delay(bench(), Step(28.0, 35.0)), r"start between the limits"),
        (lambda: alarm_delay(bench(low_c=None), Step(22.0, 5.0)), r"limits: 27 degC"),
        (lambda: crossing_s(Step(20.0, 25.0), 30.0, 5.0, 1.0, 1.0), r"limit 30 degC is not passed"),
        (lambda: crossing_s(Step(20.0, math.nextafter(30.0, 31.0)), 30.0, 1e7, 1.0, 1.0), r"years"),
        (lambda: smoothed_at(Step(20.0, 25.0), 1.0, 5.0, 0.0, 1.0), r"factor 0"),
    ],
)
def test_bad_input_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()
