"""Chapter 08: how late the alarm is. Lag, smoothing, sampling, on-delay and line, each alone and exactly together."""

from dataclasses import dataclass

from tempkit import signal
from tempkit.alarm import DelayBudget, alarm_delay
from tempkit.book import tidy
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, PINK, Axis, Bars, Chart, Charts, Fact, Facts
from tempkit.explorers.controls import (
    CHARACTERS,
    GOES_TO,
    LAG,
    ON_DELAY,
    PRINTING,
    RATE,
    SECONDS,
    SMOOTHING,
    SPEED,
    STEP_OR_RAMP,
    WAIT,
    completed,
)
from tempkit.explorers.lag import START_C, limits_told, seconds
from tempkit.explorers.stage import Explorer, Plan, minds, warning
from tempkit.signal import Loop, Ramp, Step

BUFFER = 48  # characters; invented, as the board is


@dataclass(frozen=True)
class Lateness:
    """A change, the loop that watches it, and the delay budget of its alarm, None where no limit is passed."""

    change: Step | Ramp
    limits_c: tuple
    loop: Loop
    wait_s: float
    budget: DelayBudget | None
    shown_s: float

    @property
    def together_added_s(self):
        """Lag and smoothing, added one by one [s]."""
        return self.budget.part("lag").worst_s + self.budget.part("smoothing").worst_s

    def problems(self):
        """What makes it later than it looks, one sentence each."""
        if self.loop.period_s > 1.1 * self.wait_s:
            yield (
                f"a pass of the loop takes {seconds(self.loop.period_s)}, not {seconds(self.wait_s)}, so that delays "
                "counted in samples and the smoothing are longer than the program believes"
            )
        if self.loop.full:
            yield "the line never rests; the buffer stands full, and what is read there is old"
        if self.budget and max(self.budget.worst_s, self.budget.added_worst_s) > self.shown_s:
            yield "the bars run out of the picture; let it show a longer time"


def compute(design, t_c, shape, rate_c, characters, printing, shown_s):
    """The delay budget of a design's alarm for a change from 22 degC to `t_c`, with what printing takes.

    >>> from tempkit.explorers.stage import north_bench
    >>> late = compute(north_bench(), 34.0, "ramp", 2.0, 60, "waits", 120)
    >>> round(late.budget.worst_s, 2), late.loop.period_s
    (49.82, 1.0625)
    """
    full = completed(design)
    change = Step(START_C, t_c) if shape == "step" else Ramp(START_C, t_c, rate_c)
    alarm, link = full.alarm, full.link
    buffer = BUFFER if printing == "buffered" else None
    loop = signal.loop((round(characters),), alarm.sample_period_s, link.baud, link.frame, buffer)
    limit_c = alarm.high_c if change.rise_c > 0 else alarm.low_c
    passed = limit_c is not None and change.passes(limit_c)
    budget = alarm_delay(full, change, loop) if passed else None
    return Lateness(change, (alarm.low_c, alarm.high_c), loop, alarm.sample_period_s, budget, float(shown_s))


# ---- told


def _change(late, book):
    if isinstance(late.change, Step):
        return f"at once, on its way to {book.temperature(late.change.end_c)}"
    return f"and goes on at {book.span(late.change.rate_c_per_min)} a minute"


def _of_budget(tell):
    """The text of what only a budget has."""
    return lambda late, book: tell(late.budget, book) if late.budget else None


def _seconds_of(field):
    return _of_budget(lambda budget, _: seconds(getattr(budget, field)))


def _temperature_of(field):
    return _of_budget(lambda budget, book: book.temperature(getattr(budget, field)))


def _alone(name):
    """A part at its worst and its mean, with what makes it so."""

    def tell(budget, _):
        part = budget.part(name)
        return f"{seconds(part.worst_s)} at worst, {seconds(part.mean_s)} on average; {part.why}"

    return Fact(name, f"{name} alone", _of_budget(tell))


EXACT = ("both", "on-delay", "sampling", "line")
ADDED = ("lag", "smoothing", "on-delay", "sampling", "line")
FACTS = Facts([
    Fact("way", "the truth goes from",
         lambda late, book: f"{book.temperature(late.change.start_c)} to {book.temperature(late.change.end_c)}"),
    Fact("change", "it changes", _change),
    Fact("limits", "limits", lambda late, book: limits_told(late.limits_c, book)),
    Fact("limit", "limit passed", _temperature_of("limit_c")),
    *(_alone(name) for name in ADDED),
    Fact("together", "lag and smoothing, exactly", _seconds_of("together_s")),
    Fact("apart", "lag and smoothing, added", lambda late, _: seconds(late.together_added_s) if late.budget else None),
    Fact("worst", "all, exactly, at worst",
         lambda late, _: seconds(late.budget.worst_s) if late.budget else "no limit is passed",
         head=lambda late: "late at worst" if late.budget else "", short=lambda late: "worst" if late.budget else ""),
    Fact("mean", "all, exactly, on average", _seconds_of("mean_s"), "late on average", "mean"),
    Fact("sum", "all, added, at worst", _seconds_of("added_worst_s")),
    Fact("output", "lamp and buzzer, at worst", _seconds_of("output_worst_s")),
    Fact("reached", "the truth then, at worst", _temperature_of("reached_worst_c"), "the truth is then", "then"),
    Fact("reached_mean", "the truth then, on average", _temperature_of("reached_mean_c")),
    Fact("wait", "the loop waits", lambda late, _: seconds(late.wait_s)),
    Fact("pass", "a pass of the loop takes", lambda late, _: seconds(late.loop.period_s)),
    Fact("characters", "characters on the line take", lambda late, _: seconds(late.loop.line_s)),
    Fact("held", "printing holds it up", lambda late, _: seconds(late.loop.held_s)),
])  # fmt: skip
NONE_PASSED = FACTS.sentences("On the way from {way} no limit is passed; they stand at {limits}.")
PASSED = FACTS.sentences(
    "The truth passes {limit} {change}. The alarm is read {worst} later at worst, {mean} on average; it is {reached} "
    "by then. Lag and smoothing take {together} together; one by one they would add up to {apart}."
)


def words(late, book):
    """How late the alarm is and where the temperature has got to, in a few sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    The truth passes 27.0 °C and goes on at 2.0 °C a minute. The alarm is read 49.6 s later at worst, 49.1 s on average;
    it is 28.7 °C by then. Lag and smoothing take 44.4 s together; one by one they would add up to 44.4 s.
    """
    return (PASSED if late.budget else NONE_PASSED)(late, book) + warning(late.problems())


def facts(late, book):
    """Rows of the number table."""
    return [*FACTS.rows(late, book), *minds(late.problems())]


# ---- the picture: two bars are exact, the third adds the parts, each alone and at its worst


def _worst(budget, name):
    return budget.together_s if name == "both" else budget.part(name).worst_s


def _mean(budget, name):
    return budget.together_s if name == "both" else budget.part(name).mean_s


# fill, edge and hatch of each part: told apart without colour too
PAINT = {
    "lag": ("#c3ddee", BLUE, ""),
    "smoothing": ("#f1dce8", PINK, "//"),
    "both": ("#dfe6ec", INK, "\\\\"),
    "on-delay": ("#fbe0cf", ORANGE, "--"),
    "sampling": ("#cfeae0", GREEN, "xx"),
    "line": (PAPER, INK, "||||"),
}
BARS = {"at worst": (2, EXACT, _worst), "average": (1, EXACT, _mean), "added": (0, ADDED, _worst)}
HALF = 0.31  # of a bar's breadth


def _pieces(name):
    """One part in each bar that has it, behind those before it; what lies beyond the picture ends at its edge."""

    def at(late):
        for y, names, length in BARS.values() if late.budget else ():
            if name in names:
                start = sum(length(late.budget, before) for before in names[: names.index(name)])
                end = min(start + length(late.budget, name), late.shown_s)
                if end > start:
                    yield start, end, y - HALF, y + HALF

    return lambda late: list(at(late))


def _part(name):
    """The pieces of one part, named with its time at worst."""
    fill, edge, hatch = PAINT[name]

    def tell(budget, _):
        worst_s = _worst(budget, name)
        return f"{tidy(worst_s, 1 if worst_s >= 1 else 2)} s"

    paint = {"facecolor": fill, "edgecolor": edge, "hatch": hatch, "lw": 1.5}
    full = "lag + smoothing" if name == "both" else name
    return Bars(_pieces(name), paint, Fact(name, full, _of_budget(tell), short=name))


CHART = Chart(
    Axis("time since the truth passed the limit", "s", span=lambda late: (0.0, late.shown_s)),
    Axis(span=(-0.5, 2.5), ticks=tuple((y, name) for name, (y, _, _) in BARS.items())),
    tuple(_part(name) for name in PAINT),
)
PLAN = Plan(
    title="How late the alarm is",
    controls=(
        STEP_OR_RAMP,
        GOES_TO,
        RATE,
        LAG,
        SMOOTHING,
        ON_DELAY,
        WAIT,
        CHARACTERS,
        SPEED,
        PRINTING,
        SECONDS,
    ),
    compute=compute,
    picture=Charts(CHART, heads=FACTS),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 08; `design` from a design file, `start` values of controls by name.

    >>> explorer(printing="buffered").result().loop.period_s
    1.0
    """
    return Explorer(PLAN, design, **start)
