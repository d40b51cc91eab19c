"""Chapter 07: how likely an alarm is at a true temperature, and what is missed and false over all that come along."""

from dataclasses import dataclass

import numpy as np

from tempkit.alarm import Alarm, alarm_odds
from tempkit.draw import DASHES, QUIET, TRUTH, Area, Axis, Chart, Charts, Fact, Facts, Levels, Line, Ring, Stroke
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
from tempkit.explorers.stage import Explorer, Plan, minds, north_bench, warning
from tempkit.explorers.thresholds import FALSE, MISSED, SCALE_C, naive
from tempkit.uncertainty import guard_band

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

    @property
    def height(self):
        """How often the bench is at each temperature, as part of the most."""
        return self.density / (self.density.max() or 1.0)

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


def _percent(name, digits=2):
    return lambda odds, book: f"{100 * getattr(odds, name):.{digits}f} %"


def _span(name):
    return lambda odds, book: book.span(getattr(odds, name), 2)


def _guard(odds, book):
    digits, limits = (2 if odds.level else 1), ((odds.alarm.low_c, 1), (odds.alarm.high_c, -1))
    told = " and ".join(
        book.temperature(limit + side * odds.guard_c, digits) for limit, side in limits if limit is not None
    )
    if not odds.level:
        return f"The alarm is set to the bare limits, {told}."
    return f"The guard band is {book.span(odds.guard_c, 2)} wide: the alarm is set to {told}."


FACTS = Facts([
    Fact(
        "true",
        "true temperature",
        lambda odds, book: book.temperature(odds.t_c),
        head="true temperature",
        short=None,
    ),
    Fact(
        "limits",
        "limits",
        lambda odds, book: " and ".join(
            book.temperature(limit) for limit in (odds.alarm.low_c, odds.alarm.high_c) if limit is not None
        ),
    ),
    Fact("guard", "set to", _guard),
    Fact("standard", "standard uncertainty", _span("standard_c")),
    Fact("noise", "noise of a reading", _span("noise_c")),
    Fact(
        "delays", "on-delay, off-delay", lambda odds, book: f"{odds.alarm.on_delay} and {odds.alarm.off_delay} samples"
    ),
    Fact("at", "probability of alarm, as set", _percent("at", 1), head="alarm", short="alarm"),
    Fact("at_bare", "probability of alarm, bare limits", _percent("at_bare", 1)),
    Fact(
        "usual",
        "the bench is at",
        lambda odds, book: f"{book.temperature(odds.usual_c)}, give or take {book.span(odds.spread_c)}",
    ),
    Fact("beyond", "time beyond a limit", _percent("beyond")),
    Fact("missed", "time missed, as set", _percent("missed"), head="missed (filled)", short="missed"),
    Fact("false", "time false, as set", _percent("false"), head="false (hatched)", short="false"),
    Fact("missed_bare", "time missed, bare limits", _percent("missed_bare")),
    Fact("false_bare", "time false, bare limits", _percent("false_bare")),
])


def words(odds, book):
    """The odds in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    At a true 26.5 °C there is an alarm with a probability of 83.0 %, without the guard band 27.9 %. The guard band is
    1.32 °C wide: the alarm is set to 19.32 °C and 25.68 °C. Over all temperatures of the bench 0.12 % of the time is a
    missed alarm and 16.80 % a false one.
    """
    told = FACTS.sentences(
        f"At a true {{true}} there is an alarm with a probability of {{at}}"
        f"{', without the guard band {at_bare}' if odds.level else ''}. {{guard}} Over all temperatures of the bench"
        " {missed} of the time is a missed alarm and {false} a false one."
    )
    return told(odds, book) + warning(odds.problems())


def facts(odds, book):
    """Rows of the number table."""
    return [*FACTS.rows(odds, book), *minds(odds.problems())]


BARE = Stroke(QUIET, DASHES, 0.8)
TRUE = Axis("true temperature", scale="temperature", span=SCALE_C)
LIMITS = (
    Levels(lambda odds: [odds.alarm.low_c], upright=True, most=1, handle="low_c"),
    Levels(lambda odds: [odds.alarm.high_c], upright=True, most=1, handle="high_c"),
)


def _if_guarded(at):
    """A curve with bare limits; there is one of its own only beside that with a guard band."""
    return lambda odds: (odds.true_c, at(odds)) if odds.level else ((), ())


def _here(odds):
    return (odds.t_c, odds.at) if SCALE_C[0] <= odds.t_c <= SCALE_C[1] else None


def _wrong(odds):
    return odds.height * np.where(odds.outside(odds.true_c), 1 - odds.bare, odds.bare)


PLAN = Plan(
    "How likely an alarm is, and what is missed and false",
    (TRUE_AT, DOUBT, NOISE_C, GUARD, LOW, HIGH, ON_DELAY, OFF_DELAY, USUAL, SPREAD),
    compute,
    Charts(
        Chart(
            TRUE,
            Axis("P(alarm)", span=(0, 1.04), ticks=(0, 0.5, 1)),
            (
                *LIMITS,
                Line(_if_guarded(lambda odds: odds.bare), BARE, key="bare limits"),
                Line(lambda odds: (odds.true_c, odds.guarded), key="as set"),
                Ring(_here, handle="t_c"),
            ),
        ),
        Chart(
            TRUE,
            Axis("how often", span=(0, 1.12), ticks=()),
            (
                Area(lambda o: (o.true_c, 0.0, o.height * o.guarded * ~o.outside(o.true_c)), FALSE),
                Area(lambda o: (o.true_c, 0.0, o.height * (1 - o.guarded) * o.outside(o.true_c)), MISSED),
                *LIMITS,
                Line(_if_guarded(_wrong), BARE),
                Line(lambda odds: (odds.true_c, odds.height), TRUTH),
            ),
        ),
        heads=FACTS,
    ),
    words,
    facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 07; `design` from a design file, else the bench with two bare limits.

    >>> round(explorer(level=None).result().guard_c, 3)
    0.0
    """
    return Explorer(PLAN, design or naive(north_bench()), **start)
