"""Chapter 07: ten minutes of the bench through its alarm. Raises counted, what is missed and what is false."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.alarm import Alarm, Run, chattering
from tempkit.book import Book
from tempkit.draw import BLUE, INK, ORANGE, PAPER, PINK, QUIET, Picture
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
from tempkit.explorers.lens import DASHES, DOTS
from tempkit.explorers.stage import Explorer, Plan, warning

# --- The picture of an alarm at work: truth, readings and limits above; what was raised, and when, below.

SCALE_C = (14.0, 32.0)
SHOWN_S = 600.0
BAR, RAISED = 0.55, 0.08  # height of a bar and how far its middle stands above its row, in rows
ROWS = {"high": 2, "low": 1, "invalid": 0}
# (left, bottom, width, height) of chart and strip; x of heads; y of names and values [px]
DESK = ((92, 142, 848, 268), (92, 58, 848, 76), (20, 350, 640), (488, 466))
ROOM = ((138, 196, 914, 220), (138, 84, 914, 106), (14, 360, 720), (None, 472))


class ThresholdPicture(Picture):
    """Shows a `tempkit.explorers.thresholds.Watched`.

    Above: truth in ink, readings as dots, limits dashed and the edges of the deadband dotted; between truth and limit
    a filled area where an alarm is missed, a hatched one where it is false. Below: a bar for each event, filled or
    hatched in the same way where it is missed or false, and under it an ink line while the truth is beyond that limit.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        scale = [self.book.from_celsius(end) for end in SCALE_C]
        ends = (0.0, SHOWN_S / 60)
        self.axes = self.chart(self.boxes[0], "", self.book.sign, ends, scale)
        self.axes.tick_params(axis="x", labelbottom=False)
        self.strip = self.chart(
            self.boxes[1],
            "time, minutes (bars: alarm; ink under them: truth beyond)" if not self.look.room else "time, minutes",
            "",
            ends,
            (-0.6, 2.6),
        )
        for axes in (self.axes, self.strip):
            axes.set_xticks(range(0, 11, 2))
        self.strip.set_yticks(list(ROWS.values()), list(ROWS))
        self.strip.tick_params(axis="y", length=0)
        self.strip.grid(axis="y", visible=False)
        self._areas()
        self._lines()
        self._heads()

    def _areas(self):
        from matplotlib.patches import Polygon

        nothing = np.zeros((3, 2))
        missed = {"facecolor": PINK, "edgecolor": "none", "lw": 0, "zorder": 2}
        false = {"facecolor": PAPER, "edgecolor": INK, "hatch": "//////", "lw": 0, "zorder": 1.5}
        charts = (self.axes, 0), (self.strip, 5)  # in the strip they cover the bars
        self.missed, self.false = (
            [
                self.moving(axes.add_patch(Polygon(nothing, **{**paint, "zorder": up + paint["zorder"]})))
                for axes, up in charts
            ]
            for paint in (missed, false)
        )

    def _lines(self):
        line = self.look.line
        self.limits = {
            1: self.plotted(self.axes, color=ORANGE, lw=line * 0.8, ls=DASHES, zorder=3),
            -1: self.plotted(self.axes, color=BLUE, lw=line * 0.8, ls=DASHES, zorder=3.1),
        }
        self.edges = {
            1: self.plotted(self.axes, color=ORANGE, lw=line * 0.6, ls=DOTS, zorder=3.2),
            -1: self.plotted(self.axes, color=BLUE, lw=line * 0.6, ls=DOTS, zorder=3.3),
        }
        self.dots = self.plotted(self.axes, color=QUIET, ls="", marker=".", ms=1.4 * line, zorder=4)
        self.true = self.plotted(self.axes, color=INK, lw=line, zorder=5)
        height = self.look.points(BAR * self.boxes[1][3] / 3.2)
        bar = {"lw": height, "solid_capstyle": "butt"}
        colours = {"high": ORANGE, "low": BLUE, "invalid": INK}
        under = {"color": INK, "lw": line, "solid_capstyle": "butt"}
        self.truths = {side: self.plotted(self.strip, zorder=4 + side / 10, **under) for side in (1, -1)}
        self.bars = {
            kind: self.plotted(self.strip, color=colours[kind], zorder=3 + i / 10, **bar) for i, kind in enumerate(ROWS)
        }

    def _heads(self):
        name_y, value_y = self.head_y
        names = () if name_y is None else zip(self.heads, ("raised", "missed (filled)", "false (hatched)"), strict=True)
        for x, name in names:
            self.text(self.page, x, name_y, name, va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    # ---- moving

    def move(self, at):
        minutes = at.times_s / 60
        scale = self.book.from_celsius
        self.dots.set_data(minutes, scale(at.readings_c))
        self.true.set_data(minutes, scale(at.true_c))
        self._move_limits(at.alarm)
        for areas, mask, side in ((self.missed, at.missed, at.truth), (self.false, at.false, at.run.state)):
            areas[0].set_xy(self._area(at, mask, side))
            foot = np.where(side > 0, ROWS["high"], ROWS["low"]) + RAISED - BAR / 2
            areas[1].set_xy(_steps(at, foot, foot + BAR * mask))
        for kind, bar in self.bars.items():
            events = at.run.events.of(kind)
            bar.set_data(*_bars(events.starts, events.ends, at.period_s, ROWS[kind] + RAISED))
        for side, kind in ((1, "high"), (-1, "low")):
            ends = _ends(at.truth == side)
            self.truths[side].set_data(*_bars(*ends, at.period_s, ROWS[kind] - 0.4))
        self._move_heads(at)

    def _move_limits(self, alarm):
        both = {1: (alarm.high_c, alarm.high_back_c), -1: (alarm.low_c, alarm.low_back_c)}
        for side, (limit, edge) in both.items():
            self.limits[side].set_visible(limit is not None)
            self.edges[side].set_visible(limit is not None and edge != limit)
            if limit is not None:
                self.limits[side].set_data([0, SHOWN_S / 60], [self.book.from_celsius(limit)] * 2)
                self.edges[side].set_data([0, SHOWN_S / 60], [self.book.from_celsius(edge)] * 2)

    def _area(self, at, mask, side):
        """Corners of the area between the limit of a side and the truth, where the mask is true."""
        low, high = at.alarm.low_c, at.alarm.high_c
        limit = np.where(side > 0, at.true_c if high is None else high, at.true_c if low is None else low)
        end = np.where(mask, at.true_c, limit)
        return _steps(at, *(self.book.from_celsius(each) for each in (limit, end)))

    def _move_heads(self, at):
        count = sum(event.kind != "invalid" for event in at.run.events)
        chatter = ", chatter" if at.spells else ""
        told = (f"{count} times{chatter}", f"{at.seconds(at.missed):.0f} s", f"{at.seconds(at.false):.0f} s")
        if self.look.room:
            told = (f"raised {count}{chatter}", f"missed {told[1]}", f"false {told[2]}")
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


def _steps(at, lower, upper):
    """Corners of the area between two rows of values, each of which holds for one sample."""
    edges = np.append(at.times_s, at.times_s[-1] + at.period_s) / 60
    x = np.repeat(edges, 2)[1:-1]
    upper, lower = np.repeat(upper, 2), np.repeat(lower, 2)
    return np.column_stack([np.append(x, x[::-1]), np.append(upper, lower[::-1])])


def _ends(mask):
    """Where a row of true and false becomes true, and where it becomes false again."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8)))
    return edges[::2], edges[1::2]


def _bars(starts, ends, period_s, row):
    """Line data with one piece from each start to its end, gaps between; samples become minutes."""
    x = np.column_stack([starts, ends, np.full(starts.size, np.nan)]).ravel() * period_s / 60
    return x, np.full(x.size, float(row))


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
    controls=(BENCH_AT, AIR_SWING, NOISE_C, LOW, HIGH, DEADBAND, ON_DELAY, OFF_DELAY, LEAD),
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
