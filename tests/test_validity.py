"""Rules for invalid readings: a plain loop as the other way, the windows of a chain, sample by sample."""

from math import isfinite, nan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tempkit.alarm import Rules
from tempkit.alarm.validity import REASONS
from tempkit.chain import scenario


def plain_loop(values, times, rules):
    """Looks back at the record for each sample, and asks the rules in the order of the reasons."""
    found = []
    for index, value in enumerate(values):
        stuck = rules.stuck_samples or 0
        back = values[max(0, index - stuck + 1) : index + 1]
        late = times[index] - times[index - 1] if index else None
        if not isfinite(value):
            reason = "not a number"
        elif rules.stale_s and late is not None and (late <= 0 or late > rules.stale_s):
            reason = "stale"
        elif rules.saturated and (value <= rules.saturated[0] or value >= rules.saturated[1]):
            reason = "saturated"
        elif rules.open and rules.open[0] <= value <= rules.open[1]:
            reason = "open"
        elif rules.short and rules.short[0] <= value <= rules.short[1]:
            reason = "short"
        elif stuck and len(back) == stuck and len(set(back)) == 1:
            reason = "stuck"
        else:
            reason = "fine"
        found.append(reason)
    return found


def windows(low, high):
    return st.none() | st.tuples(st.integers(low, high), st.integers(low, high)).map(lambda pair: tuple(sorted(pair)))


RULES = st.builds(
    Rules,
    open=windows(0, 12),
    short=windows(0, 12),
    saturated=windows(0, 12),
    stuck_samples=st.none() | st.integers(2, 4),
    stale_s=st.none() | st.sampled_from([1.0, 2.0, 5.0]),
)
SAMPLES = st.lists(st.tuples(st.sampled_from([0, 1, 2, 5, 6, 11, 12, nan, np.inf]), st.sampled_from([-1, 0, 1, 2, 6])))


@settings(max_examples=500)
@given(SAMPLES, RULES)
def test_record_steps_and_plain_loop_agree(samples, rules):
    values, times = [each[0] for each in samples], np.cumsum([each[1] for each in samples]).tolist()
    expected = plain_loop(values, times, rules)
    assert rules.names(values, times) == expected
    watch = rules.start()
    assert [REASONS[watch.step(*sample)] for sample in zip(values, times, strict=True)] == expected


def test_windows_of_the_bench():
    """At 0.6 V and 8 mV/degC, -25..110 degC are 0.4..1.48 V: codes 81.92 and 303.1 of 1024 to 5 V."""
    up, down = Rules.for_chain(scenario()), Rules.for_chain(scenario(), pull="down", stale_s=5.0)
    assert (up.short, up.open, up.saturated) == ((0, 80), (304, 1023), None)
    assert (down.open, down.short, down.saturated, down.stale_s) == ((0, 80), None, None, 5.0)
    assert up.names([0, 80, 81, 303, 304, 1023]) == ["short", "short", "fine", "fine", "open", "open"]


def test_a_range_that_reaches_the_top_code_is_saturated_there():
    """With 1.2 V the sensor's 110 degC are beyond the reference: the top code may be anything from 74.9 degC up."""
    rules = Rules.for_chain(scenario(nominal_v=1.2, kind="fixed"))
    assert rules.saturated == (-1, 1023) and rules.open is None
    assert rules.names([1022, 1023]) == ["fine", "saturated"]


@pytest.mark.parametrize("nominal_v, bits", [(5.0, 10), (3.3, 12), (2.0, 16), (1.2, 10)])
def test_windows_are_the_codes_that_the_chain_does_not_believe(nominal_v, bits):
    chain = scenario(nominal_v=nominal_v, kind="fixed", bits=bits)
    codes = np.arange(chain.converter.codes)
    outside = np.isnan(chain.reading(codes))
    reasons = np.array(Rules.for_chain(chain).names(codes))
    assert np.isin(reasons[outside], ["open", "short"]).all()
    assert np.isin(reasons[~outside], ["fine", "saturated"]).all()


def test_a_measured_reference_changes_no_window():
    assert Rules.for_chain(scenario(true_v=4.75)) == Rules.for_chain(scenario())


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: Rules(open=(9, 1)), r"open \(9, 1\) is no window"),
        (lambda: Rules(short=(1, 2, 3)), "short .* is no window"),
        (lambda: Rules(stuck_samples=1), "stuck_samples 1 samples"),
        (lambda: Rules(stale_s=0), "stale_s 0 s must be above 0 s"),
        (lambda: Rules(stale_s=1.0).reasons([1, 2], [0.0]), "does not fit 2 values"),
        (lambda: Rules(stale_s=1.0).reasons([1, 2]), "does not fit 2 values"),
        (lambda: Rules.for_chain(scenario(), pull="free"), "pull 'free' is not one of up, down"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
