"""Chapter 07: how likely an alarm is at a true temperature, and what is missed and false over all that come along."""

from dataclasses import dataclass

import numpy as np

from tempkit.alarm import Alarm, alarm_odds
from tempkit.book import Book
from tempkit.draw import BLUE, INK, PAPER, PINK, QUIET, Picture
from tempkit.explorers.controls import (
    DOUBT,
    GUARD,
    HIGH,
    LOW,
    NOISE_C,
    OFF_DELAY,
    ON_DELAY,
    SPREAD,
    TRUE_AT,
    USUAL,
    completed,
)
from tempkit.explorers.lens import DASHES, dot
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.uncertainty import guard_band

# --- The picture of the odds: probability of alarm above, how often the bench is there and what goes wrong below.

SCALE_C = (14.0, 32.0)
TALL = 1.12  # height of the lower chart in highest densities
# (left, bottom, width, height) of both charts; x of heads; y of names and values [px]
DESK = ((92, 250, 848, 170), (92, 58, 848, 168), (20, 350, 640), (488, 466))
ROOM = ((138, 268, 914, 150), (138, 88, 914, 150), (14, 380, 730), (None, 472))


class ProbabilityPicture(Picture):
    """Shows an `alarm_probability.Odds`.

    Above: probability of alarm as set, and dashed with bare limits. Below: how often the bench is at each temperature;
    filled the part that is a missed alarm, hatched the part that is a false one; dashed both with bare limits. Ink
    lines stand at the limits.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        *self.boxes, self.heads, self.head_y = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        self.ends = [float(self.book.from_celsius(end)) for end in SCALE_C]
        self.axes = self.chart(self.boxes[0], "", "P(alarm)", self.ends, (0, 1.04))
        self.axes.set_yticks([0, 0.5, 1])
        self.axes.tick_params(axis="x", labelbottom=False)
        label = f"true temperature, {self.book.sign}"
        self.often = self.chart(self.boxes[1], label, "how often", self.ends, (0, TALL))
        self.often.set_yticks([])
        self._areas()
        self._lines()
        self.lay_heads(self.heads, *self.head_y)

    def _areas(self):
        from matplotlib.patches import Polygon

        nothing = np.zeros((3, 2))
        false = {"facecolor": PAPER, "edgecolor": INK, "hatch": "//////", "lw": 0, "zorder": 2}
        missed = {"facecolor": PINK, "edgecolor": "none", "lw": 0, "zorder": 2.5}
        self.false = self.moving(self.often.add_patch(Polygon(nothing, **false)))
        self.missed = self.moving(self.often.add_patch(Polygon(nothing, **missed)))

    def _lines(self):
        line = self.look.line
        thin = {"color": INK, "lw": 0.5 * line}
        self.limits = [self.plotted(axes, zorder=3, **thin) for axes in (self.axes, self.often) for _ in range(2)]
        self.bare = self.plotted(self.axes, color=QUIET, lw=0.8 * line, ls=DASHES, zorder=4)
        self.set = self.plotted(self.axes, color=BLUE, lw=line, zorder=5)
        self.wrong = self.plotted(self.often, color=QUIET, lw=0.8 * line, ls=DASHES, zorder=3.5)
        self.density = self.plotted(self.often, color=INK, lw=0.8 * line, zorder=4)
        self.drop = self.plotted(self.axes, color=INK, lw=line, zorder=6)
        self.here = self.plotted(self.axes, **dot(self.look))

    # ---- moving

    def move(self, odds):
        x = self.book.from_celsius(odds.true_c)
        self.bare.set_data(x, odds.bare)
        self.set.set_data(x, odds.guarded)
        self.bare.set_visible(bool(odds.level))
        height = odds.density / (odds.density.max() or 1.0)
        self.density.set_data(x, height)
        outside = odds.outside(odds.true_c)
        self.wrong.set_data(x, height * np.where(outside, 1 - odds.bare, odds.bare))
        self.wrong.set_visible(bool(odds.level))
        self.missed.set_xy(_under(x, height * (1 - odds.guarded) * outside))
        self.false.set_xy(_under(x, height * odds.guarded * ~outside))
        for i, limit in enumerate((odds.alarm.low_c, odds.alarm.high_c)):
            for line in (self.limits[i], self.limits[2 + i]):
                line.set_visible(limit is not None)
                if limit is not None:
                    line.set_data([self.book.from_celsius(limit)] * 2, [0, 1.04])
        at = self.book.from_celsius(odds.t_c)
        self.drop.set_data([at, at, self.ends[0]], [0, odds.at, odds.at])
        self.here.set_data([at], [odds.at])
        inside = self.ends[0] <= at <= self.ends[1]
        self.here.set_visible(inside)
        self.drop.set_visible(inside)
        self._move_heads(odds)

    def _move_heads(self, odds):
        chance, missed = f"{100 * odds.at:.1f} %", f"{100 * odds.missed:.2f} %"
        told = (chance, missed, f"{100 * odds.false:.2f} %")
        if self.look.room:
            told = (f"alarm {told[0]}", f"missed {told[1]}", f"false {told[2]}")
        names = f"alarm at {self.book.temperature(odds.t_c)}", "missed (filled)", "false (hatched)"
        for artist, name in zip(self.names, names, strict=False):
            artist.set_text(name)
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


def _under(x, height):
    """Corners of the area under a curve."""
    return np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([height, np.zeros(x.size)])])


POINTS = 721
TAIL = 7.0  # standard deviations of the bench's temperature that the shares are added up over


@dataclass(frozen=True, eq=False)
class Odds:
    """Probability of alarm against true temperature, without and with a guard band.

    `true_c`, `bare` and `guarded` are the curves, `density` how often the bench is there [1/degC]; `at` and `at_bare`
    the probabilities at `t_c`. `missed` and `false` are shares of the time with the guard band, `missed_bare` and
    `false_bare` without; `beyond` the share of the time that the truth is beyond a limit.
    """

    t_c: float
    alarm: Alarm
    level: float | None
    guard_c: float
    standard_c: float
    noise_c: float
    usual_c: float
    spread_c: float
    true_c: np.ndarray
    bare: np.ndarray
    guarded: np.ndarray
    density: np.ndarray
    at: float
    at_bare: float
    missed: float
    false: float
    missed_bare: float
    false_bare: float
    beyond: float

    def outside(self, true_c):
        """Where a true temperature [degC] is beyond a limit."""
        low, high = self.alarm.low_c, self.alarm.high_c
        return (true_c > (np.inf if high is None else high)) | (true_c < (-np.inf if low is None else low))

    def problems(self):
        """What makes the figures worse than they look, one sentence each."""
        if self.alarm.deadband_c:
            yield "the deadband is left out here; it keeps an alarm for longer"
        if None not in (self.alarm.low_c, self.alarm.high_c):
            if 2 * self.guard_c >= self.alarm.high_c - self.alarm.low_c:
                yield "the two guard bands meet, so that there is always an alarm"


def compute(design, t_c, standard_c, noise_c, level, usual_c, spread_c):
    """The odds of a design's alarm for a true temperature `t_c` [degC] that stays.

    standard_c, noise_c [degC]: what stays and what changes from sample to sample; level: of the guard band, one-sided,
    None for none; usual_c, spread_c [degC]: where the bench is, normal.

    >>> from tempkit.explorers.stage import north_bench
    >>> odds = compute(north_bench(), 27.0, 0.5, 0.0, 0.95, 23.5, 2.0)
    >>> round(odds.at, 3), round(odds.at_bare, 3), round(odds.guard_c, 3)
    (0.95, 0.5, 0.822)
    """
    alarm = Alarm.from_limits(completed(design).alarm)
    guard_c = guard_band(standard_c, level) if level else 0.0
    curve = _curve(alarm, standard_c, noise_c)
    bare, guarded = (lambda t, g=g: _either(alarm, curve, t, g) for g in (0.0, guard_c))
    true = np.linspace(*SCALE_C, POINTS)
    shares = _shares(alarm, bare, guarded, usual_c, spread_c)
    density = _density(true, usual_c, spread_c)
    settings = (t_c, alarm, level, guard_c, standard_c, noise_c, usual_c, spread_c)
    return Odds(*settings, true, bare(true), guarded(true), density, float(guarded(t_c)), float(bare(t_c)), *shares)


def _curve(alarm, standard_c, noise_c):
    """Probability of alarm against degrees past a limit, as a table to look up."""
    past = np.linspace(-9, 9, 601) * np.hypot(standard_c, noise_c)
    delays = {"on_delay": alarm.on_delay, "off_delay": alarm.off_delay}
    chance = alarm_odds(past, 0.0, standard_c, noise_c, **delays)
    return lambda asked: np.interp(asked, past, chance, left=0.0, right=1.0)


def _either(alarm, curve, true_c, guard_c):
    """Probability that one of the two limits, each `guard_c` further in, gives an alarm."""
    high = 0.0 if alarm.high_c is None else curve(true_c - (alarm.high_c - guard_c))
    low = 0.0 if alarm.low_c is None else curve((alarm.low_c + guard_c) - true_c)
    return np.minimum(1.0, high + low)


def _density(true_c, usual_c, spread_c):
    return np.exp(-0.5 * ((true_c - usual_c) / spread_c) ** 2) / (spread_c * np.sqrt(2 * np.pi))


def _shares(alarm, bare, guarded, usual_c, spread_c):
    """Missed and false with the guard band, the same without, and the share beyond a limit.

    Added up between the limits and beyond each of them by itself, so that no step lies inside a sum.
    """
    ends = [end for end in (alarm.low_c, alarm.high_c) if end is not None]
    reach = [usual_c - TAIL * spread_c, *ends, usual_c + TAIL * spread_c]
    places = np.sort(reach)
    sums = np.zeros(5)
    for low, high in zip(places[:-1], places[1:], strict=True):
        t = np.linspace(low, high, POINTS)
        weight, middle = _density(t, usual_c, spread_c), (low + high) / 2
        outside = alarm.beyond(middle) != 0
        for number, chance in ((0, guarded(t)), (2, bare(t))):
            sums[number + (not outside)] += np.trapezoid(weight * (1 - chance if outside else chance), t)
        sums[4] += np.trapezoid(weight, t) if outside else 0.0
    return tuple(float(each) for each in sums)


def words(odds, book):
    """The odds in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    At a true 26.5 °C there is an alarm with a probability of 83.0 %, without the guard band 27.9 %. The guard band is
    1.32 °C wide: the alarm is set to 19.32 °C and 25.68 °C. Over all temperatures of the bench 0.12 % of the time is a
    missed alarm and 16.80 % a false one.
    """
    told = (
        f"At a true {book.temperature(odds.t_c)} there is an alarm with a probability of "
        f"{_percent(odds.at)}{_bare(odds)}."
        f" {_guard(odds, book)} Over all temperatures of the bench {_percent(odds.missed, 2)} of the time is a missed"
        f" alarm and {_percent(odds.false, 2)} a false one."
    )
    return told + warning(odds.problems())


def _percent(share, digits=1):
    return f"{100 * share:.{digits}f} %"


def _bare(odds):
    return f", without the guard band {_percent(odds.at_bare)}" if odds.level else ""


def _guard(odds, book):
    limits = [(odds.alarm.low_c, 1), (odds.alarm.high_c, -1)]
    if not odds.level:
        told = " and ".join(book.temperature(limit) for limit, _ in limits if limit is not None)
        return f"The alarm is set to the bare limits, {told}."
    told = " and ".join(book.temperature(limit + side * odds.guard_c, 2) for limit, side in limits if limit is not None)
    return f"The guard band is {book.span(odds.guard_c, 2)} wide: the alarm is set to {told}."


def facts(odds, book):
    """Rows of the number table."""
    limits = [book.temperature(edge) for edge in (odds.alarm.low_c, odds.alarm.high_c) if edge is not None]
    return [
        ("true temperature", book.temperature(odds.t_c)),
        ("limits", " and ".join(limits)),
        ("set to", _guard(odds, book)),
        ("standard uncertainty", book.span(odds.standard_c, 2)),
        ("noise of a reading", book.span(odds.noise_c, 2)),
        ("on-delay, off-delay", f"{odds.alarm.on_delay} and {odds.alarm.off_delay} samples"),
        ("probability of alarm, as set", _percent(odds.at)),
        ("probability of alarm, bare limits", _percent(odds.at_bare)),
        ("the bench is at", f"{book.temperature(odds.usual_c)}, give or take {book.span(odds.spread_c)}"),
        ("beyond a limit", f"{_percent(odds.beyond, 2)} of the time"),
        ("missed, as set", f"{_percent(odds.missed, 2)} of the time"),
        ("false, as set", f"{_percent(odds.false, 2)} of the time"),
        ("missed, bare limits", f"{_percent(odds.missed_bare, 2)} of the time"),
        ("false, bare limits", f"{_percent(odds.false_bare, 2)} of the time"),
        *(("mind", told) for told in odds.problems()),
    ]


PLAN = Plan(
    title="How likely an alarm is, and what is missed and false",
    controls=(TRUE_AT, DOUBT, NOISE_C, GUARD, LOW, HIGH, ON_DELAY, OFF_DELAY, USUAL, SPREAD),
    compute=compute,
    picture=lambda look, book: ProbabilityPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 07; `design` from a design file, else the bench with two bare limits.

    >>> round(explorer(level=None).result().guard_c, 3)
    0.0
    """
    from tempkit.explorers.stage import north_bench
    from tempkit.explorers.thresholds import naive

    return Explorer(PLAN, design or naive(north_bench()), **start)
