"""The picture of chapter 08: true temperature, sensor and reading against time, and when each passes the limit."""

import math

from tempkit.book import Book, tidy
from tempkit.explorers.spec_lens import DASHES, DOTS
from tempkit.pictures import BLUE, GREEN, INK, ORANGE, QUIET, Picture
from tempkit.quantity import digits

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
