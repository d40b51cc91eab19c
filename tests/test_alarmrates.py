"""Rates of a noisy alarm: published chains, a published run length, simulation by the alarm itself, and chattering."""

from math import inf, isnan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from references import reference
from tempkit.alarm import Alarm, chattering, deadband_alarm, delayed_alarm, detection_samples

COUNT = 400_000


def test_delay_timers():
    entry = reference("alarm-delay-fa")
    p, rates = entry.inputs["p_exceed"], [entry.expected["fraction_in_alarm"], entry.expected["raises_per_1000"]]
    for delays, fraction, raises in zip(entry.inputs["cases_n_on,m_off"], *rates, strict=True):
        ours = delayed_alarm(p, *delays)
        assert abs(ours.fraction - fraction) <= entry.tolerance["abs"]
        assert abs(ours.raises_per_1000 - raises) <= 10 * entry.tolerance["abs"]  # printed to 5 decimals only


def test_samples_to_detect():
    entry = reference("alarm-delay-detect")
    for p, samples in zip(entry.inputs["p_exceed"], entry.expected["expected_samples_to_raise"], strict=True):
        assert abs(detection_samples(p, entry.inputs["n_on"]) - samples) <= entry.tolerance["abs"]


def by_chain(p, on, off):
    """The other way: every count of the delays as a state of a Markov chain, its stationary distribution solved."""
    size, q = on + off, 1 - p
    move = np.zeros((size, size))
    for k in range(on):  # k beyond in a row, not in alarm
        move[k, k + 1 if k + 1 < on else on] += p
        move[k, 0] += q
    for k in range(off):  # in alarm, k back in a row
        move[on + k, on + k + 1 if k + 1 < off else 0] += q
        move[on + k, on] += p
    equations = np.vstack([move.T - np.eye(size), np.ones(size)])
    share = np.linalg.lstsq(equations, np.append(np.zeros(size), 1.0), rcond=None)[0]
    return share[on:].sum(), 1000 * share[on - 1] * p


@given(st.floats(0.05, 0.95), st.integers(1, 6), st.integers(1, 6))
def test_closed_form_is_the_markov_chain(p, on, off):
    ours, (fraction, raises) = delayed_alarm(p, on, off), by_chain(p, on, off)
    assert ours.fraction == pytest.approx(fraction, rel=1e-6, abs=1e-9)
    assert ours.raises_per_1000 == pytest.approx(raises, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("p, on, off", [(0.158655, 1, 1), (0.3, 2, 1), (0.5, 3, 3), (0.7, 2, 5)])
def test_delays_by_running_the_alarm(p, on, off):
    """Normal noise about a mean that lies so far from the limit; seed 11; five standard deviations of scatter."""
    readings = 27.0 + norm.ppf(p) + np.random.default_rng(11).standard_normal(COUNT)
    run, ours = Alarm(high_c=27.0, on_delay=on, off_delay=off).run(readings), delayed_alarm(p, on, off)
    raises = len(run.events) / COUNT
    assert raises == pytest.approx(ours.raises_per_1000 / 1000, abs=5 * sqrt(raises / COUNT))
    assert run.state.mean() == pytest.approx(ours.fraction, abs=5 * sqrt((on + off + 8) * ours.fraction / COUNT))


@pytest.mark.parametrize("distance, deadband", [(-1.0, 0.0), (-1.0, 2.0), (0.5, 1.0), (-2.0, 1.0)])
def test_deadband_by_running_the_alarm(distance, deadband):
    """Noise of 0.4 degC about a mean `distance` sigmas above the limit; seed 12."""
    readings = 27.0 + 0.4 * (distance + np.random.default_rng(12).standard_normal(COUNT))
    run, ours = Alarm(high_c=27.0, deadband_c=0.4 * deadband).run(readings), deadband_alarm(distance, deadband)
    low = Alarm(low_c=-27.0, deadband_c=0.4 * deadband).run(-readings)
    assert (low.state == -run.state).all(), "a low limit is the mirror image"
    raises = len(run.events) / COUNT
    assert raises == pytest.approx(ours.raises_per_1000 / 1000, abs=5 * sqrt(raises / COUNT))
    assert run.state.mean() == pytest.approx(ours.fraction, abs=5 * sqrt(40 / COUNT))


@given(st.floats(-6, 6))
def test_without_deadband_and_delay_both_formulas_are_one(distance):
    a, b = deadband_alarm(distance, 0.0), delayed_alarm(norm.cdf(distance), 1, 1)
    assert (a.fraction, a.raises_per_1000) == pytest.approx((b.fraction, b.raises_per_1000), rel=1e-6)


def test_deadband_formula_of_the_house_plan():
    p1, p2 = norm.sf(1.0), norm.cdf(1.0 - 2.5)
    ours = deadband_alarm(-1.0, 2.5)
    assert ours.fraction == pytest.approx(p1 / (p1 + p2), rel=1e-12)
    assert ours.raises_per_1000 == pytest.approx(1000 * p1 * p2 / (p1 + p2), rel=1e-12)


def test_far_from_the_limit_nothing_breaks():
    """Where a probability is below the smallest float, or its complement rounds to 1."""
    assert [delayed_alarm(p, 3, 3).fraction for p in (0.0, 1e-200, 1.0)] == [0.0, 0.0, 1.0]
    assert [delayed_alarm(p, 3, 3).raises_per_1000 for p in (0.0, 1e-200, 1.0)] == [0.0, 0.0, 0.0]
    assert delayed_alarm(0.5, 5000, 5000).fraction == pytest.approx(0.5, rel=1e-9)
    assert delayed_alarm(1e-12, 1, 1).raises_per_1000 == pytest.approx(1e-9, rel=1e-9)
    assert [deadband_alarm(m, 50.0).fraction for m in (-60.0, 60.0)] == [0.0, 1.0]
    assert deadband_alarm(-25.0, 50.0).fraction == pytest.approx(0.5, rel=1e-9)
    assert (detection_samples(0.0, 2), detection_samples(1.0, 7)) == (inf, pytest.approx(7.0))
    assert detection_samples(1 - 1e-12, 3) == pytest.approx(3.0, rel=1e-9)


def test_shapes_and_types():
    rate = delayed_alarm([0.1, 0.5, 1.5], 2, 1)
    assert rate.fraction.shape == (3,) and np.isnan(rate.fraction).tolist() == [False, False, True]
    assert type(delayed_alarm(0.1, 2, 1).fraction) is type(detection_samples(0.1, 2)) is float
    assert type(deadband_alarm(0, 1).raises_per_1000) is float
    assert deadband_alarm(np.zeros((2, 1)), [0.0, 1.0, -1.0]).fraction.shape == (2, 3)
    assert isnan(deadband_alarm(0.0, [-1.0]).fraction[0]) and isnan(detection_samples([2.0], 1)[0])


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: delayed_alarm(1.2, 1, 1), "p_beyond 1.2 .*outside 0 to 1"),
        (lambda: delayed_alarm(0.2, 0, 1), "on_delay 0 samples must be a whole number, 1 or more"),
        (lambda: delayed_alarm(0.2, 1, 2.5), "off_delay 2.5 samples"),
        (lambda: detection_samples(-0.1, 1), "p_beyond -0.1 "),
        (lambda: deadband_alarm(0.0, -1.0), "deadband -1 sigma must be|deadband -1 sigma is outside"),
        (lambda: deadband_alarm(float("nan"), 1.0), "mean nan sigma"),
        (lambda: chattering(Alarm(high_c=1.0).run([2.0]).events), "this record has no times"),
        (lambda: chattering(Alarm(high_c=1.0).run([2.0], [0.0]).events, raises=1), "raises 1 of one alarm"),
        (lambda: chattering(Alarm(high_c=1.0).run([2.0], [0.0]).events, window_s=0), "window_s 0 s must be"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def raised_at(times_s):
    """Events of an alarm that is raised at these whole seconds and returns half a second later."""
    readings = np.full(2 * int(max(times_s)) + 3, 20.0)
    readings[2 * np.array(times_s, int)] = 28.0
    return Alarm(low_c=18.0, high_c=27.0).run(readings, 0.5 * np.arange(readings.size)).events


def test_chattering_is_three_in_a_minute():
    count = reference("alarm-rate").expected["chatter_limit_per_min"]
    assert not chattering(raised_at([20 * k for k in range(count - 1)]))
    (spell,) = chattering(raised_at([20 * k for k in range(count)]))
    assert (spell.kind, spell.start_s, spell.end_s, spell.raises) == ("high", 0.0, 40.0, 3)
    assert not chattering(raised_at([0, 30, 60])), "60 s from first to last is not within a minute"
    assert len(chattering(raised_at([0, 30, 59]))) == 1


def test_spells_are_joined_or_kept_apart():
    spells = chattering(raised_at([0, 10, 20, 70, 75, 79, 300, 310, 320]))
    assert [(s.start_s, s.end_s, s.raises) for s in spells] == [(0.0, 79.0, 6), (300.0, 320.0, 3)]
    spells = chattering(raised_at([0, 10, 20, 100, 110, 120]))
    assert [(s.start_s, s.end_s) for s in spells] == [(0.0, 20.0), (100.0, 120.0)]


def test_each_kind_counts_for_itself():
    run = Alarm(low_c=18.0, high_c=27.0).run([28, 17, 28, 17], [0, 1, 2, 3])
    assert len(run.events) == 4 and not chattering(run.events)
    assert {spell.kind for spell in chattering(run.events, raises=2)} == {"low", "high"}


@given(st.lists(st.integers(0, 400), min_size=1, max_size=40, unique=True), st.integers(2, 5))
def test_chattering_against_counting_every_window(times, raises):
    times = sorted(times)
    spells = chattering(raised_at(times), raises)
    in_spell = {t for t in times for s in spells if s.start_s <= t <= s.end_s}
    windows = [[t for t in times if start <= t < start + 60] for start in times]
    assert in_spell == {t for window in windows if len(window) >= raises for t in window}
    assert sum(spell.raises for spell in spells) == len(in_spell)


def test_starting_values_for_a_temperature_quieten_the_bench():
    """The usual first settings (from memory, unverified: see the entry) on readings of the bench close to its limit.

    1 % of the range, 1.65 degC, and 60 s at a reading a second; noise of 0.3 degC, mean one sigma below; seed 13.
    """
    entry = reference("alarm-start-values")
    place = entry.inputs["signal"].index("temperature")
    band_c = entry.expected["deadband_percent_of_range"][place] / 100 * 165.0
    delay = entry.expected["delay_s"][place]
    readings = 26.7 + 0.3 * np.random.default_rng(13).standard_normal(36_000)
    bare, banded, delayed = (
        len(Alarm(high_c=27.0, deadband_c=band, on_delay=on).run(readings).events)
        for band, on in ((0.0, 1), (band_c, 1), (0.0, delay))
    )
    assert bare > 4000 and banded == 1 and delayed == 0
    assert Alarm(high_c=27.0, on_delay=delay).run(readings + 2.0).events[0].start == delay - 1
