"""How late an alarm is: lag, smoothing, sampling, on-delay and line, each alone and exactly together."""

import math
from dataclasses import dataclass

import numpy as np

from tempkit.signal import smoothing_factor

FORGOTTEN = 1e-17  # the part of the first value that smoothing still holds when nothing of it can be seen
LONGEST_S = 1e8  # three years: later counts as never


@dataclass(frozen=True)
class Delay:
    """One part of the time by which an alarm is late: mean and worst case [s], and why they are so."""

    name: str
    mean_s: float
    worst_s: float
    why: str


@dataclass(frozen=True)
class DelayBudget:
    """From the moment when the true temperature passes `limit_c` [degC] to the alarm.

    `parts` : a `Delay` each for lag, smoothing, sampling, on-delay and line, as if each were alone. `together_s` : lag
    and smoothing one behind the other, exactly [s]. `reached_mean_c`, `reached_worst_c` : where the true temperature is
    when the alarm is told [degC]. `period_s` : the true time between samples [s].
    """

    limit_c: float
    parts: tuple
    together_s: float
    period_s: float
    reached_mean_c: float
    reached_worst_c: float

    def part(self, name):
        """The `Delay` of that name."""
        return next(part for part in self.parts if part.name == name)

    def _rest(self, case, *names):
        return sum(getattr(part, case) for part in self.parts if part.name in names)

    @property
    def mean_s(self):
        """Mean time until the alarm is told over the line [s], exact: any moment of the period alike."""
        return self.together_s + self._rest("mean_s", "sampling", "on-delay", "line")

    @property
    def worst_s(self):
        """The longest time until the alarm is told over the line [s], exact."""
        return self.together_s + self._rest("worst_s", "sampling", "on-delay", "line")

    @property
    def output_worst_s(self):
        """The longest time until the board's own lamp or buzzer acts [s]: without the line."""
        return self.worst_s - self.part("line").worst_s

    @property
    def added_worst_s(self):
        """All parts added, each at its worst [s]: close, but not exact."""
        return sum(part.worst_s for part in self.parts)


def smoothed_at(change, t_s, tau_s, factor, period_s):
    """What the program holds [degC] at a sample that falls on the time `t_s` [s] after a change began.

    `change` from `tempkit.signal.warming`; `tau_s` the sensor's lag [s]; `factor` of the smoothing, 1 for none; earlier
    samples lie `period_s` [s] apart before it. The sum of factor (1 - factor)^j times what the sensor showed j
    periods ago. Raises `ValueError` for a factor that is not above 0 and at most 1.

    >>> from tempkit.signal import Step
    >>> smoothed_at(Step(20.0, 30.0), 2.5, 0.0, 0.5, 1.0)
    28.75
    """
    if not 0 < factor <= 1:
        raise ValueError(f"factor {factor:g} must be above 0 and at most 1: 1 is no smoothing")
    kept = 1 - factor
    enough = math.log(FORGOTTEN) / math.log(kept) if kept > 0 else 0.0
    back = np.arange(int(min(max(t_s, 0.0) / period_s, enough)) + 1)
    seen = change.sensed_c(t_s - back * period_s, tau_s)
    return float(factor * (kept**back) @ seen + kept**back.size * change.start_c)


def crossing_s(change, limit_c, tau_s, factor, period_s):
    """When the smoothed reading goes beyond the limit [s after the change began], could a sample fall on any time.

    The first real sample beyond it comes up to one period later, any moment of the period alike. `change` is a `Step`
    or a `tempkit.signal.Ramp` that passes `limit_c` [degC]; the rest as in `smoothed_at`. Raises `ValueError`
    where the limit is not passed, or only after years.

    >>> from tempkit.signal import Step
    >>> round(crossing_s(Step(20.0, 80.0), 79.5, 12.0, 1.0, 1.0), 4)
    57.4499
    """
    if not change.passes(limit_c):
        raise ValueError(
            f"from {change.start_c:g} to {change.end_c:g} degC the limit {limit_c:g} degC is not passed: "
            "start on its near side and end beyond it"
        )

    def beyond(t):
        return (smoothed_at(change, t, tau_s, factor, period_s) - limit_c) * math.copysign(1.0, change.rise_c)

    first = change.passed_s(limit_c)
    if beyond(first) > 0:
        return first
    far = max(first, period_s)
    while beyond(far) <= 0:
        far *= 2
        if far > LONGEST_S:
            raise ValueError(f"the end {change.end_c:g} degC lies so close to {limit_c:g} degC that it takes years")
    return _first_beyond(beyond, first, far)


def _first_beyond(beyond, low, high):
    """The time between `low` and `high` from which `beyond` is above 0, to a nanosecond or so."""
    while high - low > 1e-9 + 1e-14 * high:
        middle = (low + high) / 2
        low, high = (low, middle) if beyond(middle) > 0 else (middle, high)
    return high


def alarm_delay(design, change, loop=None):
    """The `DelayBudget` of a design's alarm for a temperature that changes.

    `design` : a `tempkit.chain.Design` with an alarm; of `response` and `smoothing` it takes the time constants, none
    where they are not stated. `change` : a `Step` or `Ramp`, `loop` : a `Loop` of `tempkit.signal`
    with what printing really takes: then the true time between samples is its period, whatever the program believes,
    and a line of text has to leave before anybody reads it; None: samples come as the design says, nothing is printed.

    The steps of the converter are left out: they add up to the time of one step at the rate of the change.
    Raises `ValueError` where the design has no alarm, or no limit that the change passes.

    >>> from dataclasses import replace
    >>> from tempkit.chain import Design, Limits, Response, scenario
    >>> from tempkit.signal import Ramp
    >>> bench = Design("bench", scenario(), alarm=Limits(high_c=27.0, on_delay_samples=3), response=Response(40.0))
    >>> late = alarm_delay(bench, Ramp(22.0, 40.0, 1.0))
    >>> round(late.mean_s, 1), round(late.worst_s, 1), round(late.reached_worst_c, 2)
    (42.5, 43.0, 27.72)
    """
    limit_c = passed_limit(design, change)
    alarm = design.alarm
    tau_s = design.response.tau_s if design.response else 0.0
    believed_s, true_s = alarm.sample_period_s, loop.period_s if loop else alarm.sample_period_s
    smoothing_s = design.smoothing.tau_s if design.smoothing else 0.0
    factor = smoothing_factor(believed_s, smoothing_s) if smoothing_s else 1.0
    passed = change.passed_s(limit_c)

    def late(tau, share):
        return crossing_s(change, limit_c, tau, share, true_s) - passed

    parts = (
        _fixed("lag", late(tau_s, 1.0), "the sensor follows its surroundings late"),
        _fixed("smoothing", late(0.0, factor), "the program follows its readings late"),
        Delay("sampling", true_s / 2, true_s, "until the next sample: nothing to a whole period"),
        _fixed("on-delay", (alarm.on_delay_samples - 1) * true_s, "n samples in a row are n - 1 periods"),
        _fixed("line", loop.last_s if loop else 0.0, "until the last character has left"),
    )
    together = late(tau_s, factor)
    rest = [sum(getattr(part, case) for part in parts[2:]) for case in ("mean_s", "worst_s")]
    reached = [change.true_c(passed + together + more) for more in rest]
    return DelayBudget(limit_c, parts, together, true_s, *reached)


def passed_limit(design, change):
    """The limit of a design's alarm [degC] that a change passes; raises `ValueError` where there is none.

    >>> from tempkit.chain import Design, Limits, scenario
    >>> from tempkit.signal import Step
    >>> passed_limit(Design("bench", scenario(), alarm=Limits(18.0, 27.0)), Step(22.0, 15.0))
    18.0
    """
    if design.alarm is None:
        raise ValueError("the design has no alarm: give it limits first")
    limit_c = design.alarm.high_c if change.rise_c > 0 else design.alarm.low_c
    if limit_c is None or not change.passes(limit_c):
        limits = " and ".join(f"{limit:g}" for limit in (design.alarm.low_c, design.alarm.high_c) if limit is not None)
        raise ValueError(
            f"from {change.start_c:g} to {change.end_c:g} degC no limit is passed (limits: {limits} degC): "
            "start between the limits and end beyond one"
        )
    return limit_c


def _fixed(name, seconds, why):
    return Delay(name, seconds, seconds, why)
