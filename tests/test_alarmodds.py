"""Missed and false alarms: simulated moments, the alarm itself, and the example of JCGM 106."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from references import reference
from tempkit.alarm import Alarm, alarm_odds, alarm_risk, delayed_alarm
from tempkit.uncertainty import guard_band

COUNT = 400_000


def test_the_resistors_as_an_alarm():
    """The worked example of JCGM 106 with two limits: consumer's risk is the missed share, producer's the false one."""
    entry = reference("j106-resistor")
    low, high = entry.inputs["T"]
    risk = alarm_risk(1500.0, 0.12, entry.inputs["u_m"], low, high)
    assert abs(risk.missed - entry.expected["R_C"]) <= entry.tolerance["abs"]
    assert abs(risk.false - entry.expected["R_P"]) <= entry.tolerance["abs"]
    assert abs(risk.beyond - (1 - entry.expected["p_conform_prior"])) <= entry.tolerance["abs"]


@pytest.mark.parametrize("limits", [(18.0, 27.0), (None, 27.0), (18.0, None)])
@pytest.mark.parametrize("guard", [-0.3, 0.0, 0.8])
def test_risks_by_simulated_moments(limits, guard):
    """Seed 7; five standard deviations of a share near a fiftieth."""
    rng = np.random.default_rng(7)
    true = 22.0 + 2.5 * rng.standard_normal(COUNT)
    read = true + 0.5 * rng.standard_normal(COUNT)
    low, high = limits
    guarded = Alarm(None if low is None else low + guard, None if high is None else high - guard)
    beyond, called = Alarm(low, high).run(true).state != 0, guarded.run(read).state != 0
    risk, scatter = alarm_risk(22.0, 2.5, 0.5, low, high, guard), 5 * sqrt(0.08 / COUNT)
    assert risk.missed == pytest.approx(np.mean(beyond & ~called), abs=scatter)
    assert risk.false == pytest.approx(np.mean(called & ~beyond), abs=scatter)
    assert risk.beyond == pytest.approx(np.mean(beyond), abs=scatter)
    assert risk.called == pytest.approx(np.mean(called), abs=scatter)


def test_a_guard_band_trades_missed_for_false():
    bare, guarded = (alarm_risk(22.0, 2.5, 0.5, 18.0, 27.0, guard) for guard in (0.0, guard_band(0.5, 0.95)))
    assert guarded.missed < bare.missed / 5 and guarded.false > 2 * bare.false


def test_at_the_guarded_limit_a_missed_alarm_is_as_rare_as_its_level():
    """A true temperature at the limit itself: with the guard band an alarm comes with the probability of its level."""
    guard = guard_band(0.4, 0.95)
    assert alarm_odds(27.0, 27.0 - guard, 0.4) == pytest.approx(0.95, abs=1e-12)
    assert alarm_odds(18.0, 18.0 + guard, 0.4, side="low") == pytest.approx(0.95, abs=1e-12)


@given(st.floats(20, 34), st.floats(0.05, 3), st.floats(0, 2))
def test_without_delay_both_parts_add_in_squares(t_c, standard, noise):
    ours = alarm_odds(t_c, 27.0, standard, noise)
    assert ours == pytest.approx(norm.cdf((t_c - 27.0) / np.hypot(standard, noise)), abs=1e-12)


@pytest.mark.parametrize("standard, noise", [(0.5, 0.3), (0.02, 0.5), (2.0, 0.05), (0.0, 0.4)])
@pytest.mark.parametrize("delays", [(3, 1), (3, 3), (1, 4)])
def test_delays_by_quadrature(standard, noise, delays):
    """The other way: integrate over the unknown part with scipy."""
    for t_c in (26.2, 27.0, 27.3, 28.0):

        def fraction(e, t_c=t_c):
            return delayed_alarm(float(norm.cdf((t_c + e - 27.0) / noise)), *delays).fraction

        if standard:
            points = [27.0 - t_c + k * noise for k in (-3, -1, 0, 1, 3)]
            inside = [p for p in points if abs(p) < 8 * standard]
            ends = (-8 * standard, 8 * standard)
            expected = quad(lambda e: fraction(e) * norm.pdf(e, 0, standard), *ends, points=inside, limit=400)[0]
        else:
            expected = fraction(0.0)
        ours = alarm_odds(t_c, 27.0, standard, noise, *delays)
        assert ours == pytest.approx(expected, abs=2e-5)


def test_delays_by_running_the_alarm():
    """2000 boards with an unknown offset each, 400 samples on each, seed 5; the low side is the mirror image."""
    rng = np.random.default_rng(5)
    offsets = 0.5 * rng.standard_normal((2000, 1))
    readings = 27.2 + offsets + 0.3 * rng.standard_normal((2000, 400))
    alarm = Alarm(high_c=27.0, on_delay=3, off_delay=2)
    share = np.array([alarm.run(row).state.mean() for row in readings])
    ours = alarm_odds(27.2, 27.0, 0.5, 0.3, 3, 2)
    assert ours == pytest.approx(share.mean(), abs=5 * share.std() / sqrt(2000) + 0.01)  # the first samples are normal
    assert alarm_odds(26.8, 27.0, 0.5, 0.3, 3, 2, side="low") == pytest.approx(ours, abs=1e-9)


def test_shapes():
    t_c = np.linspace(25, 29, 6).reshape(2, 3)
    for delay in (1, 3):
        ours = alarm_odds(t_c, 27.0, 0.4, 0.2, on_delay=delay)
        assert ours.shape == (2, 3) and (np.diff(ours.ravel()) > 0).all()
        assert type(alarm_odds(27.0, 27.0, 0.4, 0.2, on_delay=delay)) is float
    assert np.isnan(alarm_odds([27.0, np.nan], 27.0, 0.4)).tolist() == [False, True]


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: alarm_odds(27.0, 27.0, 0.0), "both 0 degC"),
        (lambda: alarm_odds(27.0, 27.0, -0.1), "standard_c -0.1 degC"),
        (lambda: alarm_odds(27.0, 27.0, 0.1, side="up"), "side 'up' is not one of high, low"),
        (lambda: alarm_odds(27.0, 27.0, 0.1, 0.1, on_delay=0), "on_delay 0 samples"),
        (lambda: alarm_odds(float("nan"), 27.0, 0.1), "temperature nan degC"),
        (lambda: alarm_risk(22.0, 2.5, 0.5), "give at least one limit"),
        (lambda: alarm_risk(22.0, 2.5, 0.5, 18.0, 27.0, 4.5), "guard_c 4.5 degC leaves nothing"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
