"""A real record through the alarm: half-hourly sea temperatures (package bokeh-sampledata, sea_surface_temperature,
a buoy's record of 13 months) with a gap of 12 hours, a gap of one hour and the same time twice."""

import csv
import gzip
from datetime import datetime
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

import house
from tempkit.alarm import Alarm, Rules, chattering
from tempkit.alarm.validity import STALE
from test_alarm import plain_loop

HALF_HOUR_S = 1800.0


@pytest.fixture(scope="module")
def sea():
    found = find_spec("bokeh_sampledata")
    house.require("sampledata", found, "no bokeh-sampledata: see tests/requirements.txt")
    path = Path(found.origin).parent / "_data" / "sea_surface_temperature.csv.gz"
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        rows = list(csv.reader(lines))[1:]
    return np.array([[datetime.fromisoformat(time).timestamp(), float(t_c)] for time, t_c in rows]).T


def test_what_is_wrong_with_the_times(sea):
    times_s, t_c = sea
    reasons = Rules(stale_s=1.5 * HALF_HOUR_S).reasons(t_c, times_s)
    steps_s = np.diff(times_s)[np.flatnonzero(reasons == STALE) - 1]
    assert steps_s.tolist() == [3600.0, 43_200.0, 0.0]
    assert np.count_nonzero(reasons) == 3


@pytest.mark.parametrize("deadband_c, delay", [(0.0, 1), (0.3, 1), (0.3, 4), (0.0, 4)])
def test_states_against_the_plain_loop(sea, deadband_c, delay):
    times_s, t_c = sea
    valid = Rules(stale_s=1.5 * HALF_HOUR_S).reasons(t_c, times_s) == 0
    run = Alarm(6.0, 18.0, deadband_c, delay, delay).run(t_c, times_s, valid)
    marked = np.where(valid, t_c, np.nan).tolist()
    states, _, raises = plain_loop(marked, 6.0, 18.0, deadband_c, delay, delay, 1)
    assert run.state.tolist() == states
    assert [(event.kind, event.start) for event in run.events] == raises
    assert len(run.events.of("low")) and len(run.events.of("high"))


def test_each_remedy_makes_fewer_raises(sea):
    times_s, t_c = sea
    raises = [len(Alarm(6.0, 18.0, *rest).run(t_c, times_s).events) for rest in ((), (0.3,), (0.3, 4, 4))]
    assert raises[0] >= 2 * raises[1] > 2 * raises[2] > 0


def test_the_gap_is_an_event_of_its_own(sea):
    """12 hours without a sample: the sample after them raises the invalid call, and the next one ends it."""
    times_s, t_c = sea
    after = int(np.argmax(np.diff(times_s))) + 1
    run = Alarm(6.0, 18.0).run(t_c, times_s, Rules(stale_s=1.5 * HALF_HOUR_S).reasons(t_c, times_s) == 0)
    calls = [event for event in run.events.of("invalid") if event.start == after]
    assert [(event.samples, event.duration_s) for event in calls] == [(1, HALF_HOUR_S)]
    assert times_s[after] - times_s[after - 1] == 43_200.0


def test_chatter_by_a_rule_for_slow_records(sea):
    """Three raises in a minute cannot happen at two samples an hour; three in a day do, and the deadband ends most."""
    times_s, t_c = sea
    bare, banded = (Alarm(6.0, 18.0, deadband).run(t_c, times_s).events for deadband in (0.0, 0.3))
    assert not chattering(bare)
    spells = [chattering(events, window_s=86_400.0) for events in (bare, banded)]
    assert len(spells[0]) > len(spells[1])
