"""Chapter 08's first explorer: what it shows of a change, against a program that is run and against closed forms."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tempkit.alarm.delays import crossing_s
from tempkit.book import Book
from tempkit.chain import Limits, Response, Smoothing
from tempkit.explorers import lag, north_bench
from tempkit.explorers.controls import BENCH_ALARM, completed
from tempkit.explorers.lag import MOST_MARKS, WIDE_C
from tempkit.signal import sine_response, smoothing_factor, time_to_reach

DRAWN_S = 0.5  # between two points of the drawn curve
STRAIGHT_S = 0.02  # s: a crossing taken from the straight line between two drawn points


def design(tau_s=40.0, smoothing_s=5.0, period_s=1.0, **limits):
    alarm = replace(BENCH_ALARM, sample_period_s=period_s, **limits)
    return replace(north_bench(), response=Response(tau_s), smoothing=Smoothing(smoothing_s), alarm=alarm)


def seen(t_c=34.0, shape="ramp", rate_c=2.0, swing_min=8.0, **bench):
    return lag.compute(design(**bench), t_c, shape, rate_c, swing_min)


def test_the_bench_completes_only_what_is_not_stated():
    full = completed(replace(north_bench(), response=Response(7.0)))
    assert full.response.tau_s == 7.0 and full.alarm == BENCH_ALARM and full.smoothing.tau_s == 5.0


@pytest.mark.parametrize("shape", ["step", "ramp", "swing"])
@pytest.mark.parametrize("bench", [{}, {"smoothing_s": 0.0}, {"tau_s": 0.0}, {"period_s": 20.0}])
def test_readings_are_what_a_program_makes(shape, bench):
    here = seen(shape=shape, **bench)
    smoothing_s = bench.get("smoothing_s", 5.0)
    factor = smoothing_factor(here.period_s, smoothing_s) if smoothing_s else 1.0
    old, expected, first = 22.0, [], math.inf
    for t in here.sample_s:
        old += factor * (here.change.sensed_c(float(t), here.tau_s) - old)
        expected.append(old)
        first = min(first, float(t)) if old > 27.0 else first
    assert here.readings_c == pytest.approx(expected, abs=1e-9)
    assert here.reading_s == first and here.sample_s[0] == here.period_s / 2


def test_the_sensor_of_a_jump_passes_when_its_formula_says():
    here = seen(shape="step")
    assert here.true_s == 0.0
    assert here.sensed_s == pytest.approx(time_to_reach(27.0, 40.0, 22.0, 34.0), abs=STRAIGHT_S)


def test_a_settled_ramp_is_late_by_lag_and_smoothing():
    """2 degC a minute up to 34 degC: after 150 s the truth is at 27 degC, the sensor is nearly settled by then."""
    here = seen()
    exact = crossing_s(here.change, 27.0, 40.0, smoothing_factor(1.0, 5.0), 1.0)
    assert here.true_s == pytest.approx(150.0)
    assert exact <= here.reading_s < exact + 1.0
    assert here.reached_c == pytest.approx(27.0 + here.late_s / 30)
    assert here.apart_c == pytest.approx(-2 / 60 * 45, abs=0.05)


def test_falling_is_late_upwards():
    here = seen(t_c=12.0)
    assert here.limit_c == 18.0 and here.reached_c < 18.0 and here.apart_c > 0
    assert "passes 18.0 °C" in lag.words(here, Book())


def test_a_swing_tells_gain_and_lateness_of_the_sensor():
    here = seen(shape="swing", tau_s=120.0)
    answer = sine_response(480.0, 120.0)
    told = lag.words(here, Book())
    assert f"shows {100 * answer.gain:.0f} %, {answer.delay_s:.1f} s late" in told
    assert "Of such a swing" not in lag.words(seen(), Book())


def test_a_quick_swing_is_never_noticed():
    here = seen(t_c=30.0, shape="swing", swing_min=0.5, tau_s=120.0)
    assert math.isfinite(here.true_s) and here.reading_s == here.late_s == math.inf
    told = lag.words(here, Book())
    assert "does not notice at all" in told and "late;" not in told


def test_slow_changes_and_slow_samples_are_warned_of():
    assert "only after the time shown" in lag.words(seen(rate_c=0.2), Book())
    assert "further apart than the lag" in lag.words(seen(period_s=60.0), Book())
    assert "beyond the picture's scale" in lag.words(seen(t_c=90.0), Book())
    assert "Mind" not in lag.words(seen(), Book())


@pytest.mark.parametrize(("t_c", "limits"), [(25.0, {}), (22.0, {}), (12.0, {"low_c": None})])
def test_where_no_limit_is_passed(t_c, limits):
    here = seen(t_c=t_c, **limits)
    assert here.limit_c is None and here.late_s == math.inf
    told = lag.words(here, Book())
    assert "No limit is passed" in told and "27.0 °C" in told and "None" not in told
    assert ("18.0 °C" in told) == (not limits)
    assert not [row for row, _ in lag.facts(here, Book()) if row == "the truth then"]


def drawn(explorer):
    """The numbers of every line that is seen, by what its mark is called here."""
    _, _, true_at, reading_at, _, stairs, dots, _, bar = explorer._picture.panels[0][0].axes.lines
    return {"true_at": true_at, "reading_at": reading_at, "stairs": stairs, "dots": dots, "bar": bar}


def test_picture_shows_what_the_words_say():
    explorer = lag.explorer(room=False)
    explorer.move(shape="step", period_s=10.0)
    picture, here, lines = explorer._picture, explorer.result(), drawn(explorer)
    assert lines["bar"].get_xdata() == pytest.approx([here.true_s / 60, here.reading_s / 60])
    assert lines["reading_at"].get_xdata() == pytest.approx([here.reading_s / 60] * 2)
    assert lines["dots"].get_xdata().size == here.sample_s.size <= MOST_MARKS
    assert [value.get_text() for value in picture.values] == ["0.0 s", "25.0 s", "25.0 s", "34.0 °C"]
    explorer.move(period_s=1.0)
    assert lines["dots"].get_xdata().size == 0 and lines["stairs"].get_xdata()[-1] == 10.0
    explorer.move(t_c=25.0)
    assert not lines["bar"].get_visible() and not lines["true_at"].get_visible()
    for size in (False, True):
        explorer.size(size)
        assert [value.get_text() for value in explorer._picture.values] == ["no limit is passed", "", "", ""]


def test_axes_stand_still_while_the_slider_moves_and_widen_beyond_it():
    explorer = lag.explorer()
    for t_c, span in ((10.0, lag.SCALE_C), (26.9, lag.SCALE_C), (40.0, lag.SCALE_C), (90.0, WIDE_C)):
        explorer.move(t_c=t_c)
        assert explorer._picture.panels[0][0].axes.get_ylim() == span


def test_fahrenheit_turns_rates_and_limits():
    here = seen()
    told = lag.words(here, Book("degF"))
    assert "at 3.6 °F a minute" in told and "passes 80.6 °F" in told
    assert Limits(18.0, 27.0).low_c == here.limits_c[0]
    assert np.isfinite(here.true_c).all() and here.times_s[1] - here.times_s[0] == DRAWN_S
