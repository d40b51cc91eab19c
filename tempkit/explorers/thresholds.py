"""Chapter 07: ten minutes of the bench through its alarm. Raises counted, what is missed and what is false."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.alarm import Alarm, Run, chattering
from tempkit.explorers.response_controls import completed
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.explorers.threshold_controls import (
    BENCH_AT,
    DEADBAND,
    HIGH,
    LEAD,
    LOW,
    NOISE_C,
    OFF_DELAY,
    ON_DELAY,
    SWING,
)
from tempkit.explorers.threshold_picture import SCALE_C, SHOWN_S, ThresholdPicture

SWING_S = 300.0  # there and back
OPEN_S = (240.0, 300.0)
SEED = 7


@dataclass(frozen=True, eq=False)
class Watched:
    """Ten minutes of the bench and what its alarm made of them; one value for each sample.

    `truth` is -1, 0 or +1 by the true temperature and the limits; `missed` and `false` are true where no call says what
    the truth is, and where a call says what it is not. `spells` are those of chattering. `noise_c` and `lead` as set.
    """

    alarm: Alarm
    period_s: float
    times_s: np.ndarray
    true_c: np.ndarray
    readings_c: np.ndarray
    run: Run
    spells: tuple
    noise_c: float
    lead: str

    @property
    def truth(self):
        low, high = self.alarm.low_c, self.alarm.high_c
        above = self.true_c > (np.inf if high is None else high)
        return above.astype(int) - (self.true_c < (-np.inf if low is None else low))

    @property
    def missed(self):
        return (self.truth != 0) & (self.run.state != self.truth) & ~self.run.invalid

    @property
    def false(self):
        return (self.run.state != 0) & (self.run.state != self.truth)

    def seconds(self, mask):
        """How long that is true, in all [s]."""
        return float(np.count_nonzero(mask) * self.period_s)

    def problems(self):
        """What makes this alarm worse than it looks, one sentence each."""
        window = None not in (self.alarm.low_c, self.alarm.high_c)
        if window and self.alarm.deadband_c >= self.alarm.high_c - self.alarm.low_c:
            yield "the deadband is as wide as the window, so that an alarm returns only beyond the other limit"
        if self.lead == "loose" and self.alarm.on_delay > 1:
            yield "with a loose lead the samples in a row are broken off, and an on-delay may never be reached"
        if not (SCALE_C[0] <= self.true_c.min() and self.true_c.max() <= SCALE_C[1]):
            yield "the bench leaves the picture's scale"


def compute(design, t_c, swing_c, noise_c, lead):
    """Ten minutes about `t_c` [degC] through the chain and the alarm of a design.

    The truth swings to and fro in five minutes; each reading is one code of it with normal noise, the same noise every
    time (seed 7); a code that cannot be true, and a lead that hangs open, give no valid reading.

    >>> from tempkit.explorers.stage import north_bench
    >>> calm = compute(north_bench(), 22.0, 1.0, 0.1, "whole")
    >>> len(calm.run.events), calm.seconds(calm.missed)
    (0, 0.0)
    """
    limits = completed(design).alarm
    rng = np.random.default_rng(SEED)
    times = np.arange(0.0, SHOWN_S, limits.sample_period_s)
    true = t_c + swing_c * np.sin(2 * np.pi * times / SWING_S)
    noisy = true + noise_c * rng.standard_normal(times.size)
    codes = design.chain.code(noisy)
    readings = design.chain.reading(np.maximum(codes, 0))
    readings[(codes < 0) | _open(lead, times, rng)] = np.nan
    alarm = Alarm.from_limits(limits)
    run = alarm.run(readings, times)
    spells = chattering(run.events)
    return Watched(alarm, limits.sample_period_s, times, true, readings, run, spells, float(noise_c), lead)


def _open(lead, times, rng):
    """Where the lead hangs open: all of a minute, or half of its samples by chance."""
    minute = (times >= OPEN_S[0]) & (times < OPEN_S[1])
    if lead == "whole":
        return np.zeros(times.size, bool)
    return minute if lead == "open" else minute & (rng.random(times.size) < 0.5)


def words(at, book):
    """What happened, in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    With limits of 18.0 °C and 27.0 °C and a deadband of 0.0 °C, the truth is beyond a limit for 162 s of 600 s. The
    alarm is raised 34 times, and it chatters. 49 s are missed, and 5 s of alarm are false.
    """
    told = (
        f"With {limits_told(at.alarm, book)}, the truth is beyond a limit for {at.seconds(at.truth != 0):.0f} s of"
        f" {SHOWN_S:.0f} s. {_raised(at)} {at.seconds(at.missed):.0f} s are missed, and"
        f" {at.seconds(at.false):.0f} s of alarm are false."
    )
    return told + warning(at.problems())


def limits_told(alarm, book):
    """The limits and the deadband as words.

    >>> from tempkit.book import Book
    >>> limits_told(Alarm(high_c=27.0), Book())
    'a limit of 27.0 °C and a deadband of 0.0 °C'
    """
    edges = [book.temperature(edge) for edge in (alarm.low_c, alarm.high_c) if edge is not None]
    limits = f"a limit of {edges[0]}" if len(edges) == 1 else f"limits of {edges[0]} and {edges[1]}"
    return f"{limits} and a deadband of {book.span(alarm.deadband_c)}"


def _times(count):
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _raised(at):
    beyond = sum(event.kind != "invalid" for event in at.run.events)
    calls = len(at.run.events) - beyond
    chatter = ", and it chatters" if at.spells else ""
    if not beyond:
        return (
            f"No limit raises an alarm, but the invalid call comes {_times(calls)}{chatter}."
            if calls
            else "No alarm is raised."
        )
    invalid = f" and the invalid call {_times(calls)}" if calls else ""
    return f"The alarm is raised {_times(beyond)}{invalid}{chatter}."


def facts(at, book):
    """Rows of the number table."""
    events = at.run.events
    rows = [
        ("limits and deadband", limits_told(at.alarm, book)),
        ("on-delay, off-delay", f"{at.alarm.on_delay} and {at.alarm.off_delay} samples, {at.period_s:g} s each"),
        ("noise of a reading, standard deviation", book.span(at.noise_c, 2)),
        ("shown", f"{SHOWN_S:.0f} s"),
        ("the truth lies from", f"{book.temperature(at.true_c.min())} to {book.temperature(at.true_c.max())}"),
        ("truth beyond a limit", f"{at.seconds(at.truth != 0):.0f} s"),
        *((f"{kind} raised", f"{len(events.of(kind))} times") for kind in ("low", "high", "invalid")),
        ("low and high raised, together", f"{sum(event.kind != 'invalid' for event in events)} times"),
        ("missed", f"{at.seconds(at.missed):.0f} s"),
        ("false", f"{at.seconds(at.false):.0f} s"),
    ]
    rows += [
        (f"chatter, {each.kind}", f"{each.raises} raises from {each.start_s:.0f} s to {each.end_s:.0f} s")
        for each in at.spells
    ]
    return [*rows, *(("mind", told) for told in at.problems())]


PLAN = Plan(
    title="Ten minutes of the bench, and what its alarm makes of them",
    controls=(BENCH_AT, SWING, NOISE_C, LOW, HIGH, DEADBAND, ON_DELAY, OFF_DELAY, LEAD),
    compute=compute,
    picture=lambda look, book: ThresholdPicture(look, book),
    words=words,
    facts=facts,
)


def naive(design):
    """A design with two bare limits: no deadband, no delays; the rule a first program has.

    >>> from tempkit.explorers.stage import north_bench
    >>> naive(north_bench()).alarm.on_delay_samples
    1
    """
    bare = {"deadband_c": 0.0, "on_delay_samples": 1, "off_delay_samples": 1}
    return replace(design, alarm=replace(completed(design).alarm, **bare))


def explorer(design=None, **start):
    """The explorer of chapter 07; `design` from a design file, else the bench with two bare limits.

    >>> explorer(deadband_c=0.5).result().alarm.deadband_c
    0.5
    """
    from tempkit.explorers.stage import north_bench

    return Explorer(PLAN, design or naive(north_bench()), **start)
