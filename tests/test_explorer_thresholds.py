"""Chapter 07's explorers: events, missed and false against plain counting; odds against the closed forms."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tempkit.alarm import alarm_odds, alarm_risk
from tempkit.book import Book
from tempkit.chain import Design, Limits, scenario
from tempkit.draw import QUIET, Look
from tempkit.explorers import Explorer, thresholds
from tempkit.explorers import alarm_probability as odds_of
from tempkit.uncertainty import guard_band

BOOK = Book()


def bench(**limits):
    return Design("test bench (invented)", scenario(), alarm=Limits(**{"low_c": 18.0, "high_c": 27.0, **limits}))


def test_without_noise_the_alarm_is_raised_once_for_each_swing():
    """Truth above 27 degC: 26 + 1.5 sin > 27, sin > 2/3, so 1 - 2 asin(2/3)/pi of half of 600 s: 160.6 s, by hand."""
    at = thresholds.compute(bench(), 26.0, 1.5, 0.0, "whole")
    assert len(at.run.events) == 2 and not at.spells
    assert at.seconds(at.truth > 0) == pytest.approx(300 * (1 - 2 * np.arcsin(2 / 3) / np.pi), abs=3)
    early = 600 / np.pi * (np.arcsin(2 / 3) - np.arcsin((167 * 5000 / 1024 / 8 - 75 - 26) / 1.5))
    assert not at.missed.any()
    assert at.seconds(at.false) == pytest.approx(early, abs=4), "the step that reads 27.23 begins at 26.93 degC"


def test_noise_chatters_and_each_remedy_helps():
    """Bare limits, then a deadband of four standard deviations, then delays too."""
    runs = [
        thresholds.compute(bench(**rest), 26.0, 1.5, 0.3, "whole")
        for rest in ({}, {"deadband_c": 1.2}, {"deadband_c": 1.2, "on_delay_samples": 3, "off_delay_samples": 3})
    ]
    assert [bool(at.spells) for at in runs] == [True, False, False]
    counts = [len(at.run.events) for at in runs]
    assert counts[0] > 10 * counts[1] >= counts[2] == 2


@settings(max_examples=30)
@given(st.floats(14, 31), st.floats(0, 5), st.floats(0, 1.5), st.sampled_from(["whole", "open", "loose"]))
def test_missed_and_false_by_plain_counting(t_c, swing_c, noise_c, lead):
    at = thresholds.compute(bench(deadband_c=0.5, on_delay_samples=2), t_c, swing_c, noise_c, lead)
    missed = false = 0
    for true, state, invalid in zip(at.true_c, at.run.state, at.run.invalid, strict=True):
        truth = 1 if true > 27.0 else -1 if true < 18.0 else 0
        missed += truth != 0 and state != truth and not invalid
        false += state != 0 and state != truth
    assert (missed, false) == (at.seconds(at.missed), at.seconds(at.false))


def test_an_open_lead_is_one_call_and_a_loose_one_many():
    whole, hanging, loose = (thresholds.compute(bench(), 22.0, 1.0, 0.1, lead) for lead in ("whole", "open", "loose"))
    calls = [at.run.events.of("invalid") for at in (whole, hanging, loose)]
    assert [len(events) for events in calls[:2]] == [0, 1] and len(calls[2]) > 5
    assert (calls[1][0].start_s, calls[1][0].duration_s) == (240.0, 60.0)
    assert hanging.seconds(~hanging.run.valid) == 60.0
    assert "the invalid call comes once" in thresholds.words(hanging, BOOK)


def test_what_makes_it_worse_is_said():
    wide = thresholds.compute(bench(deadband_c=10.0), 26.0, 1.5, 0.3, "whole")
    assert "as wide as the window" in thresholds.words(wide, BOOK)
    loose = thresholds.compute(bench(on_delay_samples=3), 26.0, 1.5, 0.3, "loose")
    assert "may never be reached" in thresholds.words(loose, BOOK)
    assert "picture's scale" in thresholds.words(thresholds.compute(bench(), 45.0, 1.5, 0.3, "whole"), BOOK)
    one = thresholds.compute(replace(bench(), alarm=Limits(low_c=3.0)), 22.0, 1.5, 0.3, "whole")
    assert "a limit of 3.0 °C" in thresholds.words(one, BOOK)


def test_readings_outside_the_sensor_are_invalid_not_high():
    at = thresholds.compute(bench(), 109.5, 3.0, 0.3, "whole")
    assert at.run.invalid.any() and not at.run.valid[at.true_c > 111.5].any()


def drawn(plan, at, room):
    """The picture of a result, and what of each kind moves on each of its charts."""
    picture = plan.picture(Look(room), BOOK).show(at)
    return picture, [[artist for artist in picture._movers if artist.axes is panel.axes] for [panel] in picture.panels]


def areas(artists):
    return [artist for artist in artists if hasattr(artist, "get_xy")]


@pytest.mark.parametrize("room", [False, True])
def test_bars_hold_what_they_should(room):
    """Bars add up to the alarm's time; the strip's filled and hatched ones to what is missed and false."""
    at = thresholds.compute(bench(deadband_c=0.5, on_delay_samples=4), 24.0, 5.0, 0.5, "open")
    picture, (_, strip) = drawn(thresholds.PLAN, at, room)
    truth, calls, invalid, false, missed = [artist.get_paths() for artist in strip if hasattr(artist, "get_paths")]
    rows = {kind: at.run.events.of(kind) for kind in ("high", "low", "invalid")}
    for paths, kinds in ((calls, ("high", "low")), (invalid, ("invalid",))):
        ends = [(path.vertices[:, 0].min(), path.vertices[:, 0].max()) for path in paths]
        events = [(e.start * at.period_s / 60, e.end * at.period_s / 60) for kind in kinds for e in rows[kind]]
        assert ends == [pytest.approx(each) for each in events] and ends
    tall = thresholds.BAR[1] - thresholds.BAR[0]
    for paths, mask in ((missed, at.missed), (false, at.false), (calls, at.run.state != 0)):
        area = sum(shoelace(path.vertices) for path in paths)
        assert area * 60 / tall == pytest.approx(at.seconds(mask), abs=1e-6)
        assert mask.any()
    assert sum(np.ptp(path.vertices[:, 0]) for path in truth) * 60 == pytest.approx(at.seconds(at.truth != 0))
    assert picture.frame(at) == picture.frame(thresholds.compute(bench(), 20.0, 0.0, 0.0, "whole"))


def test_areas_above_lie_between_limit_and_truth():
    """Each sample's piece is as tall as the truth is beyond the limit; summed by hand."""
    at = thresholds.compute(bench(on_delay_samples=4, off_delay_samples=4), 24.0, 5.0, 0.5, "whole")
    _, (chart, _) = drawn(thresholds.PLAN, at, room=False)
    false, missed = areas(chart)
    past = np.abs(at.true_c - np.where(at.true_c > 22.5, 27.0, 18.0))
    for area, mask in ((missed, at.missed), (false, at.false)):
        assert shoelace(area.get_xy()) * 60 == pytest.approx(np.sum(past[mask]) * at.period_s) and mask.any()


def test_each_mark_that_can_be_taken_names_its_control():
    for plan in (thresholds.PLAN, odds_of.PLAN):
        names = {control.name for control in plan.controls}
        marks = [mark for row in plan.picture.rows for chart in row for mark in chart.marks]
        handles = {mark.handle for mark in marks if getattr(mark, "handle", "")}
        assert {"high_c", "low_c"} < handles <= names


def shoelace(corners):
    """Area of a polygon, by the formula of the shoelace."""
    x, y = corners.T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


@pytest.mark.parametrize("level", [None, 0.95])
@pytest.mark.parametrize("limits", [{}, {"low_c": None}, {"high_c": None}])
def test_without_delays_the_shares_are_the_risks(level, limits):
    """The quadrature of JCGM 106 in conformity.py, another way to the same shares."""
    odds = odds_of.compute(bench(**limits), 26.0, 0.6, 0.2, level, 24.0, 2.0)
    u, ends = float(np.hypot(0.6, 0.2)), (odds.alarm.low_c, odds.alarm.high_c)
    guard_c = guard_band(0.6, level) if level else 0.0
    bare, guarded = (alarm_risk(24.0, 2.0, u, *ends, guard) for guard in (0.0, guard_c))
    assert odds.guard_c == guard_c
    assert (odds.missed, odds.false) == pytest.approx((guarded.missed, guarded.false), abs=2e-5)
    assert (odds.missed_bare, odds.false_bare) == pytest.approx((bare.missed, bare.false), abs=2e-5)
    assert odds.beyond == pytest.approx(bare.beyond, abs=1e-6)


def test_the_curve_is_the_closed_form_with_delays():
    odds = odds_of.compute(bench(on_delay_samples=3, off_delay_samples=2), 26.7, 0.5, 0.3, None, 24.0, 2.0)
    high = alarm_odds(odds.true_c, 27.0, 0.5, 0.3, 3, 2)
    low = alarm_odds(odds.true_c, 18.0, 0.5, 0.3, 3, 2, side="low")
    assert odds.bare == pytest.approx(high + low, abs=5e-4)  # looked up in a table of steps of 0.02 degC
    assert odds.at == pytest.approx(alarm_odds(26.7, 27.0, 0.5, 0.3, 3, 2), abs=5e-4)


def test_shares_with_delays_by_simulated_days():
    """4000 boards and temperatures, 300 samples each, seed 9: missed and false shares of all samples."""
    rng = np.random.default_rng(9)
    true = 24.0 + 2.0 * rng.standard_normal((4000, 1))
    readings = true + 0.5 * rng.standard_normal((4000, 1)) + 0.3 * rng.standard_normal((4000, 300))
    odds = odds_of.compute(bench(on_delay_samples=3, off_delay_samples=2), 26.0, 0.5, 0.3, None, 24.0, 2.0)
    states = np.array([odds.alarm.run(row).state for row in readings])[:, 20:] != 0
    outside = odds.outside(true)
    assert odds.missed == pytest.approx(np.mean(outside & ~states), abs=0.006)  # four standard deviations
    assert odds.false == pytest.approx(np.mean(states & ~outside), abs=0.006)


def test_what_is_left_out_is_said():
    assert "deadband is left out" in odds_of.words(
        odds_of.compute(bench(deadband_c=0.5), 26.0, 0.5, 0.2, None, 24, 2), BOOK
    )
    met = odds_of.compute(bench(), 26.0, 3.0, 0.2, 0.99, 24, 2)
    assert "always an alarm" in odds_of.words(met, BOOK) and met.guarded.max() <= 1.0


@pytest.mark.parametrize("room", [False, True])
def test_the_areas_are_the_shares(room):
    odds = odds_of.compute(bench(), 26.0, 0.6, 0.0, None, 24.0, 2.0)
    _, (_, often) = drawn(odds_of.PLAN, odds, room)
    false, missed = areas(often)
    for area, share in ((missed, odds.missed), (false, odds.false)):
        assert shoelace(area.get_xy()) * odds.density.max() == pytest.approx(share, abs=0.001)


@pytest.mark.parametrize("level", [None, 0.95])
def test_bare_limits_have_curves_of_their_own_only_beside_a_guard_band(level):
    odds = odds_of.compute(bench(), 26.0, 0.6, 0.0, level, 24.0, 2.0)
    _, charts = drawn(odds_of.PLAN, odds, room=False)
    dashed = [a for chart in charts for a in chart if hasattr(a, "get_xdata") and a.get_color() == QUIET]
    assert [len(line.get_xdata()) > 0 for line in dashed] == [level is not None] * 2


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("plan", [thresholds.PLAN, odds_of.PLAN], ids=["time", "temperature"])
def test_charts_above_one_another_share_their_axis(plan, room):
    """The same ends at the same pixels; numbers and name beneath the lower one alone."""
    upper, lower = (panel.axes for [panel] in Explorer(plan, room=room)._picture.panels)
    assert upper.get_xlim() == lower.get_xlim()
    ends = [(box.x0, box.x1) for box in (upper.get_position(), lower.get_position())]
    assert ends[0] == pytest.approx(ends[1])
    assert not upper.get_xlabel() and not any(label.get_visible() for label in upper.get_xticklabels())
    assert lower.get_xlabel() and all(label.get_visible() for label in lower.get_xticklabels())
