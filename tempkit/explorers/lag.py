"""Chapter 08: a temperature changes, and the reading follows late: lag of the sensor, smoothing, sampling."""

import math
from dataclasses import dataclass

import numpy as np

from tempkit import signal
from tempkit.book import Book, tidy
from tempkit.draw import BLUE, GREEN, INK, ORANGE, QUIET, Picture
from tempkit.explorers.controls import GOES_TO, LAG, PERIOD, RATE, SHAPE, SMOOTHING, SWING, completed
from tempkit.explorers.lens import DASHES, DOTS
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.signal import sine_response, smoothing_factor
from tempkit.text import digits

# --- The picture of chapter 08: true temperature, sensor and reading against time, and when each passes the limit.

WIDE_C = (-60.0, 150.0)
# (left, bottom, width, height) of the chart; x of the heads, y of names and values; y and x of the key [px]
DESK = ((72, 58, 800, 340), (20, 350, 660), (488, 468), (420, (72, 250, 470)))
ROOM = ((104, 88, 860, 276), (14, 420, 760), (None, 474), (392, (104, 336, 696)))
KEYS = ("true", "the sensor", "the reading")
MOST_MARKS = 80


def seconds(s):
    """A time [s] as text: to a tenth, below a second to three digits; "not yet" where it does not come.

    >>> seconds(53.24), seconds(0.0625), seconds(math.inf)
    ('53.2 s', '0.0625 s', 'not yet')
    """
    if not math.isfinite(s):
        return "not yet"
    return f"{tidy(s, 1) if abs(s) >= 1 or s == 0 else digits(s)} s"


def draw_limits(picture, limits, span_c, up):
    """Dotted lines at the alarm's limits [degC] within the span of a picture's chart, `up` pixels high.

    Each is named at its right end, where the names have room. A limit of None is left out.
    """
    low, high = span_c
    shown = [limit_c for limit_c in limits if limit_c is not None and low <= limit_c <= high]
    apart = (max(shown) - min(shown)) / (high - low) * up if len(shown) > 1 else up
    axes, look, book = picture.axes, picture.look, picture.book
    for limit_c in shown:
        y = book.from_celsius(limit_c)
        axes.axhline(y, color=GREEN, lw=look.line * 0.8, ls=DOTS, zorder=1.5)
        name = book.temperature(limit_c, 0) if apart > 1.1 * look.body else ""
        picture.text(axes, 1.012, y, name, va="center", transform=axes.get_yaxis_transform(), clip_on=False)


class LagPicture(Picture):
    """Shows a `tempkit.explorers.lag.Followed`.

    Ink is the truth, dashed blue the sensor, the orange stairs with dots the reading. Dotted green lines are the
    limits. Two upright lines stand where truth and reading pass the limit; the bar between them is how late it is.
    """

    def __init__(self, look=None, book=None, shown_s=600.0, scale_c=(8.0, 42.0)):
        super().__init__(look)
        self.book = book or Book()
        self.shown_s, self.scale_c = shown_s, scale_c
        self.box, self.heads, self.head_y, self.key = ROOM if self.look.room else DESK

    def frame(self, seen):
        """The usual scale, and a wide one for what a design file or a driving cell asks beyond it."""
        low, high = self.scale_c
        span = self.scale_c if low <= seen.change.end_c <= high else WIDE_C
        return (*span, *seen.limits_c)

    # ---- parts that stand still

    def build(self, frame):
        low, high, *limits = frame
        self.lay_page()
        ends = [self.book.from_celsius(t_c) for t_c in (low, high)]
        self.axes = self.chart(self.box, "time, min", f"temperature, {self.book.sign}", (0, self.shown_s / 60), ends)
        self.axes.set_xticks([0, 5, 10] if self.look.room else range(0, 11, 2))
        draw_limits(self, limits, (low, high), self.box[3])
        self._key()
        self.lay_heads(self.heads, *self.head_y)
        self._curves()

    def _styles(self):
        line = self.look.line
        return (
            {"color": INK, "lw": line},
            {"color": BLUE, "lw": line, "ls": DASHES},
            {"color": ORANGE, "lw": line * 0.8, "marker": "o", "ms": 1.6 * line},
        )

    def _key(self):
        y, places = self.key
        long = 26 * self.look.line if not self.look.room else 100
        for x, name, style in zip(places, KEYS, self._styles(), strict=True):
            self.page.plot([x, x + long], [y, y], **style)
            self.text(self.page, x + long + 10, y, name, va="center")

    def _curves(self):
        true, sensed, reading = self._styles()
        line = self.look.line
        plot = self.axes.plot
        self.true = self.moving(plot([], [], zorder=4, **true)[0])
        self.sensed = self.moving(plot([], [], zorder=6.5, **sensed)[0])
        self.stairs = self.moving(plot([], [], zorder=6, **{**reading, "marker": ""}, drawstyle="steps-post")[0])
        self.dots = self.moving(plot([], [], zorder=6.2, **{**reading, "ls": ""})[0])
        upright = {"lw": line * 0.6, "color": QUIET}
        self.at_true = self.moving(plot([], [], zorder=3, **upright)[0])
        self.at_reading = self.moving(plot([], [], zorder=3.2, ls=DASHES, **upright)[0])
        bar = {"color": INK, "lw": 2.2 * line, "solid_capstyle": "butt", "zorder": 7}
        self.late = self.moving(plot([], [], **bar)[0])

    # ---- moving

    def move(self, seen):
        convert = self.book.from_celsius
        minutes = seen.times_s / 60
        begun = [[0.0, *minutes], convert(seen.change.start_c)]
        self.true.set_data(begun[0], [begun[1], *convert(seen.true_c)])
        self.sensed.set_data(minutes, convert(seen.sensed_c))
        held = [0.0, *seen.sample_s / 60, self.shown_s / 60]
        readings = convert(seen.readings_c)
        last = readings[-1] if readings.size else begun[1]
        self.stairs.set_data(held, [begun[1], *readings, last])
        few = seen.sample_s.size <= MOST_MARKS
        self.dots.set_data(seen.sample_s[: len(held) * few] / 60, readings[: len(held) * few])
        self._move_marks(seen)
        self._move_heads(seen)

    def _move_marks(self, seen):
        """Upright lines at the two times, from the foot to the limit, and the bar between them."""
        foot = self.axes.get_ylim()[0]
        top = self.book.from_celsius(seen.limit_c) if seen.limit_c is not None else foot
        for artist, s in ((self.at_true, seen.true_s), (self.at_reading, seen.reading_s)):
            artist.set_visible(math.isfinite(s))
            artist.set_data([s / 60, s / 60] if math.isfinite(s) else [0, 0], [foot, top])
        known = math.isfinite(seen.late_s)
        self.late.set_visible(known)
        self.late.set_data([seen.true_s / 60, seen.reading_s / 60] if known else [0, 0], [top, top])

    def _move_heads(self, seen):
        limit = "" if seen.limit_c is None else self.book.temperature(seen.limit_c)
        for artist, name in zip(
            self.names,
            (f"truth passes {limit} after", "reading passes it after", "late by; truth is then"),
            strict=False,
        ):
            artist.set_text(name if limit else "")
        if not limit:
            told = ("no limit is passed", "", "")
        else:
            told = (seconds(seen.true_s), seconds(seen.reading_s), self._late(seen))
        if self.look.room and limit:
            told = (f"true {told[0]}", f"read {told[1]}", f"late {seconds(seen.late_s)}")
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)

    def _late(self, seen):
        return f"{seconds(seen.late_s)}; {self.book.temperature(seen.reached_c)}" if math.isfinite(seen.late_s) else "–"


START_C = 22.0  # invented: the air of the bench on a mild day
SHOWN_S = 600.0
SCALE_C = (8.0, 42.0)
POINTS = 1201


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
    (300.0, 349.5, 340.0)
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


def words(seen, book):
    """The change and when it is noticed, in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    From 22.0 °C to 34.0 °C at 2.0 °C a minute. The truth passes 27.0 °C after 150.0 s, the reading after 199.5 s:
    49.5 s late; the truth has then gone on to 28.6 °C. At most the reading is off by −1.7 °C.
    """
    told = f"From {book.temperature(seen.change.start_c)} {_way(seen.change, book)}. "
    if seen.limit_c is None:
        told += f"No limit is passed; they stand at {limits_told(seen.limits_c, book)}. "
    elif math.isfinite(seen.late_s):
        told += (
            f"The truth passes {book.temperature(seen.limit_c)} after {seconds(seen.true_s)}, the reading after "
            f"{seconds(seen.reading_s)}: {seconds(seen.late_s)} late; the truth has then gone on to "
            f"{book.temperature(seen.reached_c)}. "
        )
    else:
        told += f"The truth passes {book.temperature(seen.limit_c)} after {seconds(seen.true_s)}. "
    told += f"At most the reading is off by {book.span(seen.apart_c, 1, signed=True)}."
    return told + _sine(seen) + warning(seen.problems(book))


def _way(change, book):
    end = f"to {book.temperature(change.end_c)}"
    if isinstance(change, signal.Step):
        return f"{end} at once"
    if isinstance(change, signal.Ramp):
        return f"{end} at {book.span(change.rate_c_per_min)} a minute"
    return f"{end} and back in {seconds(change.period_s)}"


def _sine(seen):
    if not isinstance(seen.change, signal.Swing) or not seen.tau_s:
        return ""
    answer = sine_response(seen.change.period_s, seen.tau_s)
    return f" Of such a swing the sensor shows {100 * answer.gain:.0f} %, {seconds(answer.delay_s)} late."


def limits_told(limits_c, book):
    """The limits [degC] as text, without those that are None.

    >>> from tempkit.book import Book
    >>> limits_told((18.0, 27.0), Book())
    '18.0 °C and 27.0 °C'
    """
    return " and ".join(book.temperature(limit_c) for limit_c in limits_c if limit_c is not None)


def facts(seen, book):
    """Rows of the number table."""
    rows = [
        ("the truth", f"from {book.temperature(seen.change.start_c)} {_way(seen.change, book)}"),
        ("limits", limits_told(seen.limits_c, book)),
        ("lag of the sensor", seconds(seen.tau_s)),
        ("smoothing", seconds(seen.smoothing_s)),
        ("sample period", seconds(seen.period_s)),
    ]
    if seen.limit_c is not None:
        rows += [
            ("limit passed", book.temperature(seen.limit_c)),
            ("by the truth after", seconds(seen.true_s)),
            ("by the sensor after", seconds(seen.sensed_s)),
            ("by the reading after", seconds(seen.reading_s)),
            ("reading late by", seconds(seen.late_s)),
        ]
    if math.isfinite(seen.late_s):
        rows.append(("the truth then", book.temperature(seen.reached_c)))
    rows.append(("furthest off", book.span(seen.apart_c, 1, signed=True)))
    if _sine(seen):
        rows.append(("a sine of this period", _sine(seen).strip()))
    return [*rows, *(("mind", told) for told in seen.problems(book))]


PLAN = Plan(
    title="The truth, and what is read of it",
    controls=(SHAPE, GOES_TO, RATE, SWING, LAG, SMOOTHING, PERIOD),
    compute=compute,
    picture=lambda look, book: LagPicture(look, book, SHOWN_S, SCALE_C),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The first explorer of chapter 08; `design` from a design file, `start` values of controls by name.

    >>> explorer(shape="step", smoothing_s=0).result().reading_s
    22.5
    """
    return Explorer(PLAN, design, **start)
