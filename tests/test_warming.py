"""Temperatures that change, and what a sensor and a program's smoothing make of them: two routes each."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.signal import Ramp, Step, Swing, lagged, smoothed

TIMES_S = np.arange(0.0, 1500.0, 0.05)
CHANGES = {
    "step": Step(22.0, 35.0),
    "fall": Step(22.0, 12.0),
    "ramp": Ramp(22.0, 35.0, 2.0),
    "falling ramp": Ramp(22.0, 12.0, 0.8),
    "swing": Swing(18.0, 26.0, 600.0),
    "swing down": Swing(22.0, 15.0, 240.0),
}
every_change = pytest.mark.parametrize("name", CHANGES)


@every_change
@pytest.mark.parametrize("tau_s", [0.5, 40.0, 400.0])
def test_sensed_is_the_record_of_the_true_one_behind_a_lag(name, tau_s):
    change = CHANGES[name]
    found = lagged(TIMES_S, change.true_c(TIMES_S), tau_s, start_c=change.start_c)
    # every bend falls on a sample; a swing's record runs straight between samples, which is off by
    # (2 pi dt / period)^2 / 12 of half the swing at most
    assert change.sensed_c(TIMES_S, tau_s) == pytest.approx(found, abs=2e-6)


@every_change
def test_at_rest_before_and_no_lag_is_the_truth(name):
    change = CHANGES[name]
    assert change.true_c(-5.0) == change.sensed_c(-5.0, 40.0) == change.start_c
    assert change.sensed_c(TIMES_S, 0.0) == pytest.approx(change.true_c(TIMES_S))
    assert change.sensed_c(TIMES_S, 1e-6)[1:] == pytest.approx(change.true_c(TIMES_S)[1:], abs=1e-6)


@every_change
@given(part=st.floats(0.01, 0.99))
def test_limit_is_passed_where_the_record_passes_it(name, part):
    change = CHANGES[name]
    limit_c = change.start_c + part * change.rise_c
    beyond = (change.true_c(TIMES_S) - limit_c) * math.copysign(1, change.rise_c) > 0
    first = TIMES_S[np.argmax(beyond)]
    assert first - 0.05 - 1e-9 <= change.passed_s(limit_c) <= first + 1e-9


@every_change
def test_a_limit_off_the_way_is_never_passed(name):
    change = CHANGES[name]
    for limit_c in (change.start_c, change.end_c, change.end_c + change.rise_c, change.start_c - change.rise_c):
        assert not change.passes(limit_c) and change.passed_s(limit_c) == math.inf


@given(st.lists(st.floats(-50, 150), max_size=40), st.floats(0.001, 1.0))
def test_smoothing_as_a_board_does_it(readings, factor):
    old, found = 20.0, []
    for reading in readings:
        old = old + factor * (reading - old)
        found.append(old)
    assert smoothed(readings, factor, 20.0) == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: Step(math.nan, 20.0), r"start_c nan degC"),
        (lambda: Step(20.0, math.inf), r"end_c inf degC"),
        (lambda: Ramp(20.0, 30.0, 0.0), r"rate 0 degC/min"),
        (lambda: Ramp(20.0, 30.0, -1.0), r"rate -1 degC/min .*ends"),
        (lambda: Swing(20.0, 30.0, 0.0), r"period 0 s"),
        (lambda: smoothed([1.0], 0.0, 0.0), r"factor 0"),
        (lambda: smoothed([1.0], 1.1, 0.0), r"factor 1.1"),
        (lambda: Step(20.0, 30.0).sensed_c(1.0, -4.0), r"time constant -4 s"),
    ],
)
def test_bad_input_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()
