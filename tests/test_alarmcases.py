"""Boundary cases, the operator's silence and test, and the audit of rules: each against a table written by hand."""

from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.alarm import Alarm, Branch, audit, cases, number_line, table
from tempkit.chain import scenario

# The state after the last reading, in the order of the table, reasoned by hand from the sentences of the rule.
ENDS = "0 1 0 -1 1 0 -1 0 0 1 1 1 -1 -1 -1 1 0 0 0 0 1 1 0 1 0 1 0 0 0 1 0 1"
CALLED = {"not a number, normal before": 1, "not a number, high before": 1, "not a number at power-on": 0}


def test_every_row_ends_as_reasoned():
    assert [case.state[-1] for case in cases()] == [int(each) for each in ENDS.split()]
    assert len({case.what for case in cases()}) >= len(cases()) - 1, "two rows with one name"


def test_rows_of_invalid_readings():
    rows = {case.what: case for case in cases()}
    for what, where in CALLED.items():
        assert np.flatnonzero(rows[what].invalid).tolist() == [where]
    assert rows["invalid-delay 2: one is not enough"].invalid == (False, False, False, False, True)
    assert rows["off-delay 2: invalid does not return it"].invalid == (False, False, True, True, False)
    assert rows["the same, stale after 5 s"].invalid == (False, False, True, False)
    assert rows["the same time twice, stale after 5 s"].invalid == (False, True)


def test_steps_give_the_same_rows():
    for case in cases():
        bench = case.alarm.start()
        reasons = (
            [0] * len(case.readings_c) if case.rules is None else case.rules.reasons(case.readings_c, case.times_s)
        )
        states = [bench.step(each, not reason) for each, reason in zip(case.readings_c, reasons, strict=True)]
        assert tuple(states) == case.state


def test_the_table_in_words():
    lines = table().splitlines()
    assert len(lines) == len(cases()) and max(map(len, lines)) <= 95
    assert lines[-1].endswith("high, high!") and "| ?!" in table()


def test_power_on():
    bench = Alarm(18.0, 27.0).start()
    assert (bench.state, bench.known, bench.outputs()) == (0, False, (False, False))
    assert bench.outputs(test=True) == (True, True)
    bench.silence()
    assert not bench.silenced, "nothing stands, nothing is silenced"
    assert (bench.step(nan), bench.known, bench.outputs()) == (0, False, (True, True))
    assert (bench.step(22.0), bench.known, bench.outputs()) == (0, True, (False, False))


def silenced_high():
    bench = Alarm(18.0, 27.0, invalid_delay=2).start()
    bench.step(28.0)
    bench.silence()
    assert (bench.state, bench.outputs()) == (1, (True, False))
    return bench


def test_silence_does_not_clear_and_ends_with_the_call():
    bench = silenced_high()
    assert (bench.step(28.0), bench.outputs()) == (1, (True, False))
    assert (bench.step(22.0), bench.silenced, bench.outputs()) == (0, False, (False, False))
    assert (bench.step(28.0), bench.outputs()) == (1, (False, True))


def test_a_new_call_ends_the_silence():
    bench = silenced_high()
    assert (bench.step(17.0), bench.silenced, bench.outputs()) == (-1, False, (True, False))
    bench = silenced_high()
    assert (bench.step(nan), bench.silenced) == (1, True), "one invalid sample of two is no call yet"
    assert (bench.step(nan), bench.silenced, bench.outputs()) == (1, False, (True, True))


def test_a_silence_outlasts_the_first_of_two_calls():
    bench = Alarm(18.0, 27.0).start()
    for reading in (28.0, nan):
        bench.step(reading)
    bench.silence()
    assert (bench.step(28.0), bench.invalid, bench.silenced) == (1, False, True)


def test_the_lamp_test_changes_nothing():
    bench, other = silenced_high(), silenced_high()
    assert bench.outputs(test=True) == (True, True)
    assert vars(bench) == vars(other)


NAIVE = (Branch("lamp", ("<", 18.0)), Branch("quiet", (">", 18.0), ("<", 27.0)), Branch("buzzer", (">", 27.0)))
GREEDY = (Branch("lamp", ("<=", 18.0)), Branch("quiet", (">=", 18.0), ("<=", 27.0)), Branch("buzzer", (">=", 27.0)))


def test_the_naive_rule_is_silent_at_equality():
    silent = [place.where for place in number_line(NAIVE) if not place.says]
    assert silent == ["exactly 18", "exactly 27", "not a number"]
    assert [p.where for p in number_line(GREEDY) if len(p.says) > 1] == ["exactly 18", "exactly 27"]
    two = NAIVE[::2]
    assert [p.where for p in number_line(two) if not p.says][:3] == ["exactly 18", "between 18 and 27", "exactly 27"]
    assert number_line([Branch("always")])[0].says == ("always",)


def test_codes_at_equality():
    """A chain of 0.5 degC a step whose codes fall on the limits: by hand, 4 mV a step, reading = code / 2 - 75.

    In floating point 136 comes out at 18.000000000000004, so a program that rounds meets equality and one that does
    not may miss it.
    """
    exact = scenario(nominal_v=4.096, kind="fixed", transfer="round").reading(np.arange(110, 360))
    readings = np.round(exact, 2)
    found = audit(NAIVE, readings)
    assert found.silent == pytest.approx([18.0, 27.0]) and (found.silent_at + 110).tolist() == [186, 204]
    assert audit(GREEDY, readings).double_at.tolist() == found.silent_at.tolist()
    assert audit(GREEDY, [18.0, nan]).double.tolist() == [18.0]


RULES = st.lists(
    st.builds(
        lambda conditions: Branch("x", *conditions),
        st.lists(st.tuples(st.sampled_from(["<", "<=", ">", ">=", "==", "!="]), st.integers(17, 19)), max_size=2),
    ),
    min_size=1,
    max_size=4,
)


@given(RULES, st.one_of(st.floats(16, 20), st.sampled_from([17.0, 18.0, 19.0, nan, inf, -inf])))
def test_audit_against_python_itself(branches, reading):
    expressions = [" and ".join(f"x {test} {limit}" for test, limit in b.conditions) or "True" for b in branches]
    taken = sum(bool(eval(each, {"x": reading})) for each in expressions)
    assert audit(branches, reading).count.tolist() == [taken]


def test_bad_operator():
    with pytest.raises(ValueError, match="operator '=>' is not one of < <= > >= == !="):
        Branch("x", ("=>", 1.0))
