"""Chapter 08: a temperature changes, and the reading follows late: lag of the sensor, smoothing, sampling."""

import math
from dataclasses import dataclass

import numpy as np

from tempkit import signal
from tempkit.book import tidy
from tempkit.draw import (
    DASHES,
    INK,
    QUIET,
    READING,
    SENSOR,
    TRUTH,
    Axis,
    Chart,
    Charts,
    Fact,
    Facts,
    Levels,
    Line,
    Segment,
    Stroke,
)
from tempkit.explorers.controls import GOES_TO, LAG, PERIOD, RATE, SHAPE, SMOOTHING, SWING, completed
from tempkit.explorers.stage import Explorer, Plan, minds, warning
from tempkit.signal import sine_response, smoothing_factor
from tempkit.text import digits

START_C = 22.0  # invented: the air of the bench on a mild day
SHOWN_S = 600.0
SCALE_C, WIDE_C = (8.0, 42.0), (-90.0, 150.0)
POINTS = 1201
MOST_MARKS = 80  # beyond them the samples are stairs without dots


@dataclass(frozen=True, eq=False)
class Followed:
    """A change and what is seen of it.

    `change` from `tempkit.signal.warming`; `times_s` with `true_c` and `sensed_c` [degC]; `sample_s` with `readings_c`.
    `limit_c` is the limit that is passed, None where none is. `true_s`, `sensed_s` and `reading_s` say when truth,
    sensor and reading first go beyond it [s]; inf where they do not within `SHOWN_S`.
    """

    change: object
    tau_s: float
    smoothing_s: float
    period_s: float
    limits_c: tuple
    limit_c: float | None
    times_s: np.ndarray
    true_c: np.ndarray
    sensed_c: np.ndarray
    sample_s: np.ndarray
    readings_c: np.ndarray
    true_s: float
    sensed_s: float
    reading_s: float

    @property
    def late_s(self):
        """By how much the reading is later than the truth at the limit [s]; inf where it never gets there."""
        return self.reading_s - self.true_s if math.isfinite(self.true_s) else math.inf

    @property
    def reached_c(self):
        """The true temperature when the reading passes the limit [degC]."""
        return self.change.true_c(self.reading_s)

    @property
    def apart_c(self):
        """The furthest that a reading is from the truth of its moment [degC], with its sign."""
        if not self.sample_s.size:
            return 0.0
        apart = self.readings_c - self.change.true_c(self.sample_s)
        return float(apart[np.argmax(np.abs(apart))])

    def problems(self, book):
        """What cannot be seen, or not be trusted, one sentence each."""
        if self.limit_c is not None and self.true_s > SHOWN_S:
            yield "the truth passes the limit only after the time shown"
        elif self.limit_c is not None and not math.isfinite(self.reading_s):
            yield "within the time shown the reading does not notice at all"
        if self.tau_s and self.period_s > self.tau_s:
            yield "the samples lie further apart than the lag of the sensor; what happens between is lost"
        if not SCALE_C[0] <= self.change.end_c <= SCALE_C[1]:
            yield "the change runs beyond the picture's scale"


def compute(design, t_c, shape, rate_c, swing_min):
    """What is seen of a change from 22 degC to `t_c` by a design's lag, smoothing and samples.

    The first sample falls half a period after the beginning; the steps of the converter are left out.

    >>> from tempkit.explorers.stage import north_bench
    >>> seen = compute(north_bench(), 32.0, "ramp", 1.0, 8.0)
    >>> seen.true_s, seen.reading_s, round(seen.sensed_s, 1)
    (300.0, 345.5, 340.0)
    """
    full = completed(design)
    change = _change(shape, t_c, rate_c, swing_min)
    alarm, tau_s, smoothing_s = full.alarm, full.response.tau_s, full.smoothing.tau_s
    times = np.linspace(0.0, SHOWN_S, POINTS)
    sample_s = np.arange(alarm.sample_period_s / 2, SHOWN_S, alarm.sample_period_s)
    factor = smoothing_factor(alarm.sample_period_s, smoothing_s) if smoothing_s else 1.0
    readings = signal.smoothed(change.sensed_c(sample_s, tau_s), factor, change.start_c)
    sensed = change.sensed_c(times, tau_s)
    limit_c = alarm.high_c if change.rise_c > 0 else alarm.low_c
    limit_c = limit_c if limit_c is not None and change.passes(limit_c) else None
    return Followed(
        change,
        tau_s,
        smoothing_s,
        alarm.sample_period_s,
        (alarm.low_c, alarm.high_c),
        limit_c,
        times,
        change.true_c(times),
        sensed,
        sample_s,
        readings,
        math.inf if limit_c is None else change.passed_s(limit_c),
        _between(times, sensed, limit_c, change),
        _first(sample_s, readings, limit_c, change),
    )


def _change(shape, end_c, rate_c, swing_min):
    if shape == "step":
        return signal.Step(START_C, end_c)
    if shape == "ramp":
        return signal.Ramp(START_C, end_c, rate_c)
    return signal.Swing(START_C, end_c, 60.0 * swing_min)


def _beyond(values, limit_c, change):
    """Where values lie beyond the limit, as a mask."""
    return values > limit_c if change.rise_c > 0 else values < limit_c


def _first(times, values, limit_c, change):
    """The time of the first value beyond the limit, inf where there is none."""
    beyond = _beyond(values, limit_c, change) if limit_c is not None else np.zeros(0, bool)
    return float(times[np.argmax(beyond)]) if beyond.any() else math.inf


def _between(times, values, limit_c, change):
    """The time of passing the limit on the straight line between two points, inf where there is none."""
    first = _first(times, values, limit_c, change)
    if first in (0.0, math.inf):
        return first
    i = int(np.searchsorted(times, first))
    part = (limit_c - values[i - 1]) / (values[i] - values[i - 1])
    return float(times[i - 1] + part * (times[i] - times[i - 1]))


# ---- told


def seconds(s):
    """A time [s] as text: to a tenth, below a second to three digits; "not yet" where it does not come.

    >>> seconds(53.24), seconds(0.0625), seconds(math.inf)
    ('53.2 s', '0.0625 s', 'not yet')
    """
    if not math.isfinite(s):
        return "not yet"
    return f"{tidy(s, 1) if abs(s) >= 1 or s == 0 else digits(s)} s"


def limits_told(limits_c, book):
    """The limits [degC] as text, without those that are None.

    >>> from tempkit.book import Book
    >>> limits_told((18.0, 27.0), Book())
    '18.0 °C and 27.0 °C'
    """
    return " and ".join(book.temperature(limit_c) for limit_c in limits_c if limit_c is not None)


def _way(seen, book):
    change = seen.change
    ends = f"{book.temperature(change.start_c)} to {book.temperature(change.end_c)}"
    if isinstance(change, signal.Step):
        return f"{ends} at once"
    if isinstance(change, signal.Ramp):
        return f"{ends} at {book.span(change.rate_c_per_min)} a minute"
    return f"{ends} and back in {seconds(change.period_s)}"


def _sine(seen, _):
    if not isinstance(seen.change, signal.Swing) or not seen.tau_s:
        return None
    answer = sine_response(seen.change.period_s, seen.tau_s)
    return f"{100 * answer.gain:.0f} %, {seconds(answer.delay_s)} late"


def _passing(attribute):
    """The text of a time that counts only where a limit is passed."""
    return lambda seen, _: None if seen.limit_c is None else seconds(getattr(seen, attribute))


def _where_passed(words):
    """Words where a limit is passed, none elsewhere."""
    return lambda seen: "" if seen.limit_c is None else words


FACTS = Facts([
    Fact("way", "the truth goes from", _way),
    Fact("limits", "limits", lambda seen, book: limits_told(seen.limits_c, book)),
    Fact("lag", "lag of the sensor", lambda seen, _: seconds(seen.tau_s)),
    Fact("smoothing", "smoothing", lambda seen, _: seconds(seen.smoothing_s)),
    Fact("period", "sample period", lambda seen, _: seconds(seen.period_s)),
    Fact("limit", "limit passed", lambda seen, book: None if seen.limit_c is None else book.temperature(seen.limit_c)),
    Fact("true", "by the truth after",
         lambda seen, _: "no limit is passed" if seen.limit_c is None else seconds(seen.true_s),
         head=_where_passed("truth passes the limit after"), short=_where_passed("true")),
    Fact("sensed", "by the sensor after", _passing("sensed_s")),
    Fact("reading", "by the reading after", _passing("reading_s"), "reading passes it after", "read"),
    Fact("late", "reading late by", _passing("late_s"), "late by", "late"),
    Fact("reached", "the truth then",
         lambda seen, book: book.temperature(seen.reached_c) if math.isfinite(seen.late_s) else None,
         "the truth is then", "then"),
    Fact("apart", "furthest off", lambda seen, book: book.span(seen.apart_c, 1, signed=True)),
    Fact("sine", "of a sine of this period the sensor shows", _sine),
])  # fmt: skip


def words(seen, book):
    """The change and when it is noticed, in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    From 22.0 °C to 34.0 °C at 2.0 °C a minute. The truth passes 27.0 °C after 150.0 s, the reading after 194.5 s:
    44.5 s late; the truth has then gone on to 28.5 °C. At most the reading is off by −1.5 °C.
    """
    told = FACTS.told(seen, book)
    passing = "The truth passes {limit} after {true}."
    if seen.limit_c is None:
        passing = "No limit is passed; they stand at {limits}."
    elif math.isfinite(seen.late_s):
        passing = (
            "The truth passes {limit} after {true}, the reading after {reading}: {late} late; "
            "the truth has then gone on to {reached}."
        )
    swing = " Of such a swing the sensor shows {sine}." if told["sine"] else ""
    template = f"From {{way}}. {passing} At most the reading is off by {{apart}}.{swing}"
    return template.format_map(told) + warning(seen.problems(book))


def facts(seen, book):
    """Rows of the number table."""
    return [*FACTS.rows(seen, book), *minds(seen.problems(book))]


# ---- the picture: ink is the truth; two uprights where truth and reading pass the limit, a bar for how late it is


def _scale(seen):
    """The usual scale, and a wide one for what a design file or a driving cell asks beyond it."""
    return SCALE_C if SCALE_C[0] <= seen.change.end_c <= SCALE_C[1] else WIDE_C


def _truth(seen):
    return np.r_[0.0, seen.times_s], np.r_[seen.change.start_c, seen.true_c]


def _stairs(seen):
    held = np.r_[seen.change.start_c, seen.readings_c]
    return np.r_[0.0, seen.sample_s, SHOWN_S], np.r_[held, held[-1]]


def _dots(seen):
    few = seen.sample_s.size <= MOST_MARKS
    return (seen.sample_s, seen.readings_c) if few else ((), ())


def _upright(attribute):
    """From the foot to the limit at one of the times, where it comes."""

    def at(seen):
        s = getattr(seen, attribute)
        return (s, None, s, seen.limit_c) if math.isfinite(s) else None

    return at


def _late(seen):
    return (seen.true_s, seen.limit_c, seen.reading_s, seen.limit_c) if math.isfinite(seen.late_s) else None


CHART = Chart(
    Axis("time", "min", (0.0, SHOWN_S), factor=1 / 60),
    Axis("temperature", span=_scale, scale="temperature"),
    (
        Levels(lambda seen: seen.limits_c[::-1], name=lambda limit_c, book: book.temperature(limit_c, 0)),
        Segment(_upright("true_s"), Stroke(QUIET, width=0.6)),
        Segment(_upright("reading_s"), Stroke(QUIET, DASHES, 0.6)),
        Line(_truth, TRUTH, "true"),
        Line(_stairs, READING, "the reading", steps=True),
        Line(_dots, READING, dots="o", joined=False),
        Line(lambda seen: (seen.times_s, seen.sensed_c), SENSOR, "the sensor"),
        Segment(_late, Stroke(INK, width=2.2)),
    ),
)
PLAN = Plan(
    title="The truth, and what is read of it",
    controls=(SHAPE, GOES_TO, RATE, SWING, LAG, SMOOTHING, PERIOD),
    compute=compute,
    picture=Charts(CHART, heads=FACTS),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The first explorer of chapter 08; `design` from a design file, `start` values of controls by name.

    >>> explorer(shape="step", smoothing_s=0).result().reading_s
    22.5
    """
    return Explorer(PLAN, design, **start)
