"""The alarm over a long record, beside the bare comparison in numpy and beside a plain loop in Python.

The trace is 10^7 seconds of a bench that swings 5 degC about 22 degC once a day, with 0.1 degC of noise; *chattering*
is noise about the limit itself, where nearly every other sample acts. The loop takes 10^6 of these samples and its
time is counted ten times.
"""

from math import isfinite

import numpy as np

from .measure import Comparison, UnavailableError, peak_mb, timed

COUNT = 10**7
LOW, HIGH, BAND, DELAY = 18.0, 27.0, 0.5, 5


def trace():
    noise = 0.1 * np.random.default_rng(1).standard_normal(COUNT)
    return 22.0 + 5.0 * np.sin(np.arange(COUNT) * (2 * np.pi / 86_400)) + noise


def bare(readings):
    """What one would write with numpy alone: two limits, nothing else."""
    return (readings > HIGH).view(np.int8) - (readings < LOW).view(np.int8)


def plain(readings):
    """What one would write with Python alone: the same alarm, sample by sample, with the same result."""
    states, good, events = [], [], []
    state, above, below, back, began = 0, 0, 0, 0, None
    for index, reading in enumerate(readings):
        good.append(isfinite(reading))
        above = above + 1 if reading > HIGH else 0
        below = below + 1 if reading < LOW else 0
        gone = (state > 0 and reading < HIGH - BAND) or (state < 0 and reading > LOW + BAND)
        back, before = back + 1 if gone else 0, state
        if above >= DELAY:
            state = 1
        elif below >= DELAY:
            state = -1
        elif back >= DELAY:
            state = 0
        if state != before:
            events += [(before, began, index)] * (before != 0)
            began, back = index, 0
        states.append(state)
    return np.array(states, np.int8), np.array(good), events


def comparisons():
    """Rows for the alarm."""
    from tempkit.alarm import Alarm

    alarm = Alarm(LOW, HIGH, BAND, DELAY, DELAY)
    readings = trace()
    part = readings[: COUNT // 10]
    if (alarm.run(part).state != plain(part)[0]).any():
        raise UnavailableError("the alarm and the loop give different states")
    base, loop, run = timed(lambda: bare(readings)), timed(lambda: plain(part)), timed(lambda: alarm.run(readings))
    yield Comparison("alarm, 10^7 samples", run, base, "the bare numpy comparison", aim=10.0)
    yield Comparison("alarm, 10^7 samples", run, lambda: 10 * loop(), "a loop in Python", aim=1 / 50, rounds=3)
    chatter = HIGH + 0.5 * np.random.default_rng(2).standard_normal(COUNT)
    worst, quick = Alarm(LOW, HIGH), timed(lambda: bare(chatter))
    against = "the bare numpy comparison"
    yield Comparison("the same, chattering, delays 5", timed(lambda: alarm.run(chatter)), quick, against, aim=10.0)
    yield Comparison("the same, chattering, at once", timed(lambda: worst.run(chatter)), quick, against, aim=100.0)
    held = readings.nbytes
    peak = peak_mb(lambda: alarm.run(readings), held)
    yield Comparison("its memory with the record", peak, lambda: held / 1e6, "the record", aim=2.0, rounds=1, unit="MB")
