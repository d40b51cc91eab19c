"""A sensor's lag over a record of a million temperatures, and a whole delay budget, beside the bare work."""

import numpy as np

from .measure import Comparison, timed

COUNT = 1_000_000
TAU_S = 40.0


def bare_loop(gaps, values):
    """The same lag as a plain Python loop over lists, for times of any spacing."""
    import math

    shown = [values[0]]
    for gap, before, now in zip(gaps, values[:-1], values[1:], strict=True):
        kept = math.exp(-gap / TAU_S)
        shown.append(now + kept * (shown[-1] - before) - (1 - kept) * TAU_S / gap * (now - before))
    return shown


def comparisons():
    """Rows for an even record, for one with uneven times, and for the delay budget of the bench."""
    from scipy.signal import lfilter

    from tempkit.signal import lagged

    rng = np.random.default_rng(1)
    values, even = 22 + np.cumsum(rng.normal(0.0, 0.01, COUNT)), np.arange(COUNT) * 1.0
    uneven = np.cumsum(rng.uniform(0.5, 1.5, COUNT))
    gaps, listed = np.diff(uneven).tolist(), values.tolist()
    filtered = timed(lambda: lfilter([0.0247], [1.0, -0.9753], values))
    yield Comparison(
        "lag of a record, 10^6 even", timed(lambda: lagged(even, values, TAU_S)), filtered, "the bare filter", aim=10
    )
    loop = timed(lambda: bare_loop(gaps, listed))
    yield Comparison(
        "lag of a record, 10^6 uneven", timed(lambda: lagged(uneven, values, TAU_S)), loop, "a loop", aim=1
    )
    yield budget_row()


def budget_row():
    from tempkit.alarm import alarm_delay
    from tempkit.explorers import north_bench
    from tempkit.explorers.controls import completed
    from tempkit.signal import Ramp

    bench, change = completed(north_bench()), Ramp(22.0, 34.0, 2.0)
    ours = timed(lambda: alarm_delay(bench, change))
    return Comparison("delay budget of the bench", ours, lambda: 0.03, "30 ms", aim=1)
