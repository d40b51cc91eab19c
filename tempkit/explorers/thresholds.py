"""Chapter 07: ten minutes of the bench through its alarm. Raises counted, what is missed and what is false."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.alarm import Alarm, Run, chattering
from tempkit.draw import (
    EDGE,
    INK,
    ORANGE,
    PAPER,
    PINK,
    READING,
    TRUTH,
    Area,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Levels,
    Line,
)
from tempkit.explorers.controls import (
    AIR_SWING,
    BENCH_AT,
    DEADBAND,
    HIGH,
    LEAD,
    LOW,
    NOISE_C,
    OFF_DELAY,
    ON_DELAY,
    completed,
)
from tempkit.explorers.stage import Explorer, Plan, minds, north_bench, warning

SCALE_C = (14.0, 32.0)
SHOWN_S = 600.0
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

    @property
    def raises(self):
        """How often a limit raised the alarm."""
        return int(np.count_nonzero(self.run.events.kinds != 2))

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


def _calls(at):
    """How often it calls, as a sentence."""
    calls = len(at.run.events.of("invalid"))
    chatter = ", and it chatters" if at.spells else ""
    if at.raises:
        invalid = f" and the invalid call {_times(calls)}" if calls else ""
        return f"The alarm is raised {_times(at.raises)}{invalid}{chatter}."
    invalid = f"No limit raises an alarm, but the invalid call comes {_times(calls)}{chatter}."
    return invalid if calls else "No alarm is raised."


def _seconds(mask):
    return lambda at, book: f"{at.seconds(mask(at)):.0f} s"


def _raised(kind):
    return Fact(kind, f"{kind} raised", lambda at, book: f"{len(at.run.events.of(kind))} times")


FACTS = Facts([
    Fact("limits", "limits and deadband", lambda at, book: limits_told(at.alarm, book)),
    Fact(
        "delays",
        "on-delay, off-delay",
        lambda at, book: f"{at.alarm.on_delay} and {at.alarm.off_delay} samples, {at.period_s:g} s each",
    ),
    Fact("noise", "noise of a reading, standard deviation", lambda at, book: book.span(at.noise_c, 2)),
    Fact("shown", "shown", lambda at, book: f"{SHOWN_S:.0f} s"),
    Fact(
        "truth",
        "the truth lies from",
        lambda at, book: f"{book.temperature(at.true_c.min())} to {book.temperature(at.true_c.max())}",
    ),
    Fact("beyond", "truth beyond a limit", _seconds(lambda at: at.truth != 0)),
    *(_raised(kind) for kind in ("low", "high", "invalid")),
    Fact("raised", "low and high raised, together", lambda at, book: f"{at.raises} times"),
    Fact(
        "head",
        "",
        lambda at, book: f"{at.raises}{', chatter' if at.spells else ''}",
        head="times raised",
        short="raised",
        table=False,
    ),
    Fact("missed", "missed", _seconds(lambda at: at.missed), head="missed (filled)", short="missed"),
    Fact("false", "false", _seconds(lambda at: at.false), head="false (hatched)", short="false"),
    Fact("calls", "", lambda at, book: _calls(at), table=False),
])


def words(at, book):
    """What happened, in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    With limits of 18.0 °C and 27.0 °C and a deadband of 0.0 °C, the truth is beyond a limit for 162 s of 600 s. The
    alarm is raised 26 times, and it chatters. 18 s are missed, and 14 s of alarm are false.
    """
    told = FACTS.sentences(
        "With {limits}, the truth is beyond a limit for {beyond} of {shown}. {calls} {missed} are missed, and"
        " {false} of alarm are false."
    )
    return told(at, book) + warning(at.problems())


def facts(at, book):
    """Rows of the number table."""
    chatter = [
        (f"chatter, {each.kind}", f"{each.raises} raises from {each.start_s:.0f} s to {each.end_s:.0f} s")
        for each in at.spells
    ]
    return [*FACTS.rows(at, book), *chatter, *minds(at.problems())]


ROWS = {"high": 2, "low": 1, "invalid": 0}  # of the strip, and their heights in it
BAR, UNDER = (-0.2, 0.35), (-0.45, -0.31)  # foot and top of a bar, and of the ink under it
MISSED = {"facecolor": PINK, "lw": 0}
FALSE = {"facecolor": PAPER, "edgecolor": INK, "hatch": "//////", "lw": 0}


def between(at, mask, side):
    """The area between the limit of a side and the truth, where the mask is true: (x [s], one edge, other edge).

    side : +1 for the high limit, else the low one, for each sample; each sample holds until the next.
    """
    low, high = (at.true_c if limit is None else limit for limit in (at.alarm.low_c, at.alarm.high_c))
    limit = np.where(side > 0, high, low)
    edges = np.append(at.times_s, at.times_s[-1] + at.period_s)
    return np.repeat(edges, 2)[1:-1], np.repeat(limit, 2), np.repeat(np.where(mask, at.true_c, limit), 2)


def bars(at, place, **masks):
    """Bars (from [s], to [s], foot, top) in the rows of the strip, wherever the mask of that name is true."""
    found = []
    for kind, mask in masks.items():
        ends = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8))) * at.period_s
        foot, top = (ROWS[kind] + end for end in place)
        found += [(start, end, foot, top) for start, end in ends.reshape(-1, 2)]
    return found


def _by_side(at, place, side, mask=True):
    return bars(at, place, high=(side > 0) & mask, low=(side < 0) & mask)


def _back(limit, edge):
    """An edge of the deadband where it is not the limit itself."""
    return lambda at: [getattr(at.alarm, edge)] if getattr(at.alarm, edge) != getattr(at.alarm, limit) else []


TIME = Axis(
    "time, min (bars: alarm, ink: truth beyond)", "", (0.0, SHOWN_S), factor=1 / 60, ticks=tuple(range(0, 601, 120))
)
PICTURE = Charts(
    Chart(
        TIME,
        Axis("", scale="temperature", span=SCALE_C),
        (
            Area(lambda at: between(at, at.false, at.run.state), FALSE),
            Area(lambda at: between(at, at.missed, at.truth), MISSED),
            Levels(lambda at: [at.alarm.high_c], most=1, handle="high_c"),
            Levels(lambda at: [at.alarm.low_c], most=1, handle="low_c"),
            Levels(_back("high_c", "high_back_c"), EDGE, most=1, handle="deadband_c"),
            Levels(_back("low_c", "low_back_c"), EDGE, most=1, handle="deadband_c"),
            Line(lambda at: (at.times_s, at.readings_c), READING, dots=".", joined=False),
            Line(lambda at: (at.times_s, at.true_c), TRUTH),
        ),
        tall=2.1,
    ),
    Chart(
        TIME,
        Axis(span=(-0.5, 2.5), ticks=tuple((place, kind) for kind, place in ROWS.items())),
        (
            Bars(lambda at: _by_side(at, UNDER, at.truth), {"facecolor": INK, "lw": 0}),
            Bars(lambda at: _by_side(at, BAR, at.run.state), {"facecolor": ORANGE, "lw": 0}),
            Bars(lambda at: bars(at, BAR, invalid=at.run.invalid), {"facecolor": INK, "lw": 0}),
            Bars(lambda at: _by_side(at, BAR, at.run.state, at.false), FALSE),
            Bars(lambda at: _by_side(at, BAR, at.truth, at.missed), MISSED),
        ),
    ),
    heads=FACTS,
)
PLAN = Plan(
    "Ten minutes of the bench, and what its alarm makes of them",
    (BENCH_AT, AIR_SWING, NOISE_C, LOW, HIGH, DEADBAND, ON_DELAY, OFF_DELAY, LEAD),
    compute,
    PICTURE,
    words,
    facts,
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
    return Explorer(PLAN, design or naive(north_bench()), **start)
