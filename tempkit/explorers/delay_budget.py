"""Chapter 08: how late the alarm is. Lag, smoothing, sampling, on-delay and line, each alone and exactly together."""

from dataclasses import dataclass

from tempkit import serial_link
from tempkit.delays import DelayBudget, alarm_delay
from tempkit.explorers.delay_picture import DelayPicture
from tempkit.explorers.lag import START_C, limits_told
from tempkit.explorers.lag_picture import seconds
from tempkit.explorers.response_controls import (
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
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.serial_link import Loop
from tempkit.warming import Ramp, Step

BUFFER = 64  # characters; common practice, no source


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
    (52.99, 1.0625)
    """
    full = completed(design)
    change = Step(START_C, t_c) if shape == "step" else Ramp(START_C, t_c, rate_c)
    alarm, link = full.alarm, full.link
    buffer = BUFFER if printing == "buffered" else None
    loop = serial_link.loop((round(characters),), alarm.sample_period_s, link.baud, link.frame, buffer)
    limit_c = alarm.high_c if change.rise_c > 0 else alarm.low_c
    passed = limit_c is not None and change.passes(limit_c)
    budget = alarm_delay(full, change, loop) if passed else None
    return Lateness(change, (alarm.low_c, alarm.high_c), loop, alarm.sample_period_s, budget, float(shown_s))


def words(late, book):
    """How late the alarm is and where the temperature has got to, in a few sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    The truth passes 27.0 °C and goes on at 2.0 °C a minute. The alarm is read 53.0 s later at worst, 52.5 s on average;
    it is 28.8 °C by then. Lag and smoothing take 49.7 s together; one by one they would add up to 49.8 s.
    """
    if late.budget is None:
        ends = f"from {book.temperature(late.change.start_c)} to {book.temperature(late.change.end_c)}"
        told = f"On the way {ends} no limit is passed; they stand at {limits_told(late.limits_c, book)}."
        return told + warning(late.problems())
    budget = late.budget
    return (
        f"The truth passes {book.temperature(budget.limit_c)} {_way(late.change, book)}. The alarm is read "
        f"{seconds(budget.worst_s)} later at worst, {seconds(budget.mean_s)} on average; it is "
        f"{book.temperature(budget.reached_worst_c)} by then. Lag and smoothing take {seconds(budget.together_s)} "
        f"together; one by one they would add up to {seconds(late.together_added_s)}."
    ) + warning(late.problems())


def _way(change, book):
    if isinstance(change, Step):
        return f"at once, on its way to {book.temperature(change.end_c)}"
    return f"and goes on at {book.span(change.rate_c_per_min)} a minute"


def facts(late, book):
    """Rows of the number table."""
    rows = [
        ("the truth", f"{book.temperature(late.change.start_c)} to {book.temperature(late.change.end_c)}"),
        ("it changes", _way(late.change, book)),
        ("limits", limits_told(late.limits_c, book)),
    ]
    if late.budget:
        rows += _parts(late.budget, book)
        rows.append(("lag and smoothing, added", seconds(late.together_added_s)))
    rows += [
        ("the loop waits", seconds(late.wait_s)),
        ("a pass of the loop takes", seconds(late.loop.period_s)),
        ("characters on the line take", seconds(late.loop.line_s)),
        ("printing holds it up", seconds(late.loop.held_s)),
    ]
    return [*rows, *(("mind", told) for told in late.problems())]


def _parts(budget, book):
    """Each part at its worst and its mean, and the totals."""
    rows = [
        (f"{part.name} alone", f"{seconds(part.worst_s)} at worst, {seconds(part.mean_s)} on average; {part.why}")
        for part in budget.parts
    ]
    return [
        ("limit passed", book.temperature(budget.limit_c)),
        *rows,
        ("lag and smoothing, exactly", seconds(budget.together_s)),
        ("all, exactly, at worst", seconds(budget.worst_s)),
        ("all, exactly, on average", seconds(budget.mean_s)),
        ("all, added, at worst", seconds(budget.added_worst_s)),
        ("lamp and buzzer, at worst", seconds(budget.output_worst_s)),
        ("the truth then, at worst", book.temperature(budget.reached_worst_c)),
        ("the truth then, on average", book.temperature(budget.reached_mean_c)),
    ]


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
    picture=lambda look, book: DelayPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 08; `design` from a design file, `start` values of controls by name.

    >>> explorer(printing="buffered").result().loop.period_s
    1.0
    """
    return Explorer(PLAN, design, **start)
