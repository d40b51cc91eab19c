"""What has come over a link of late, as data: readings, gaps, lines that are no reading."""

import re
from dataclasses import dataclass

import numpy as np

from tempkit.board import remark, row
from tempkit.book import Book
from tempkit.draw import BLUE, ORANGE, QUIET, Picture
from tempkit.explorers.lag import draw_limits
from tempkit.explorers.stage import warning
from tempkit.logs import read

READING = re.compile(r"(?i)read|temp|celsius|deg|^t_?c$")
SPANS_C = (4.0, 10.0, 20.0, 50.0)  # of the scale, where it fits itself to the readings
WIDE_C = (-60.0, 150.0)


@dataclass(frozen=True, eq=False)
class Trace:
    """The last `shown_s` seconds of a link, up to `now_s` [s, host time since its start].

    times_s, readings_c : what was read, and `column`, the name it was found under, "" where none was; odd_s : when
    lines came that are no reading; gaps : pairs (from, to) of host times [s] while the port was away, an open one up
    to now; lines, gap_count : counted since the link began; source : who speaks; state : as in a link's `Status`;
    limits_c : (low, high) of the alarm, None where there is none; scale_c : ends of the picture's scale [degC].
    """

    now_s: float
    shown_s: float
    times_s: np.ndarray
    readings_c: np.ndarray
    column: str
    odd_s: np.ndarray
    gaps: tuple
    lines: int
    gap_count: int
    source: str
    state: str
    limits_c: tuple
    scale_c: tuple

    @property
    def breaks(self):
        """Before which readings the line through them is broken: lines in between were none, or the port was away."""
        steps = np.diff(self.times_s)
        wide = np.flatnonzero(steps > 2.5 * np.median(steps)) + 1 if steps.size else np.zeros(0, int)
        away = [np.searchsorted(self.times_s, start_s, side="right") for start_s, _ in self.gaps]
        return np.union1d(wide, away).astype(int)

    @property
    def last_c(self):
        """The latest reading [degC], None without one."""
        return float(self.readings_c[-1]) if self.readings_c.size else None

    @property
    def age_s(self):
        """How old the latest reading is [s], None without one."""
        return float(self.now_s - self.times_s[-1]) if self.times_s.size else None


def trace(received, now_s, shown_s, lines, gap_count, source, state="open", limits_c=(None, None), scale_c=None):
    """A `Trace` of `tempkit.board.Received` entries, which are read as `tempkit.logs.log` reads a log.

    scale_c : ends of the scale [degC], None for one that fits the readings and stays as long as it can.

    >>> from tempkit.board import Received
    >>> came = [Received(i, 1.0 * i, b"t=%d code=153 read=24.9" % i) for i in range(4)]
    >>> trace(came, 4.5, 10.0, 4, 0, "PORT").last_c
    24.9
    """
    recent = [each for each in received if each.at_s >= now_s - shown_s]
    record = read(b"".join(remark("gap") if each.data is None else row(each.at_s, each.data) for each in recent))
    column = _column(record.names)
    times, readings = record.series(column) if column else (np.zeros(0), np.zeros(0))
    said = np.array([round(each.at_s, 3) for each in recent if each.data is not None and each.data.strip()])
    figures = (times, readings, column, np.setdiff1d(said, times), _gaps(recent, now_s))
    return Trace(
        now_s, shown_s, *figures, lines, gap_count, source, state, limits_c, scale_c or fitting(readings, limits_c)
    )


def _column(names):
    """The column that holds the reading: by its name, else the last; "" where there is none."""
    own = [name for name in names if name != "host_s"]
    return next((name for name in own if READING.search(name)), own[-1] if own else "")


def _gaps(recent, now_s):
    """From the moment a gap was marked to the next line, or to now where none has come yet."""
    found = []
    for i, each in enumerate(recent):
        if each.data is None:
            after = next((later.at_s for later in recent[i + 1 :] if later.data is not None), now_s)
            found.append((each.at_s, after))
    return tuple(found)


def fitting(readings_c, limits_c=(None, None)):
    """Ends of a scale [degC] that holds the readings, and stands still while they move little: steps of a quarter.

    >>> fitting(np.array([22.9, 23.4])), fitting(np.array([-49.8, 23.0]))
    ((21.0, 25.0), (-60.0, 150.0))
    """
    if not readings_c.size:
        known = [limit_c for limit_c in limits_c if limit_c is not None]
        readings_c = np.array(known or [20.0])
    low, high = float(readings_c.min()), float(readings_c.max())
    for span in SPANS_C:
        step = span / 4
        bottom = step * np.floor(((low + high) / 2 - span / 2) / step + 0.5)
        if bottom + 0.02 * span <= low and high <= bottom + 0.98 * span:
            return float(bottom), float(bottom + span)
    return WIDE_C


# --- The picture of a live link: readings against time up to now, gaps hatched, lines that are no reading marked below.

# (left, bottom, width, height) of the chart; x of the heads, y of names and values; y and x of the key [px]
DESK = ((72, 58, 800, 340), (20, 240, 420, 640), (488, 468), (420, (72, 230, 390)))
ROOM = ((132, 88, 832, 276), (14, 300, 640), (None, 474), (392, (104, 400, 640)))
NAMES = ("the latest reading", "that old", "lines since the start", "gaps since the start")
KEYS = ("a reading", "port away", "line that is no reading")
ROOM_KEYS = ("reading", "away", "no reading")
MOST_GAPS, MOST_MARKS = 8, 150


class TracePicture(Picture):
    """Shows a `tempkit.explorers.trace.Trace`: blue dots, and a line between those that no gap parts."""

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y, self.key = ROOM if self.look.room else DESK

    def frame(self, seen):
        low, high = seen.scale_c
        inside = not seen.readings_c.size or (seen.readings_c.min() >= low and seen.readings_c.max() <= high)
        return (*(seen.scale_c if inside else WIDE_C), seen.shown_s, *seen.limits_c)

    # ---- parts that stand still

    def build(self, frame):
        low, high, shown_s, *limits = frame
        self.lay_page()
        ends = [self.book.from_celsius(t_c) for t_c in (low, high)]
        self.axes = self.chart(self.box, "seconds before now", f"reading, {self.book.sign}", (-shown_s, 0), ends)
        places = np.linspace(-shown_s, 0, 4 if self.look.room else 7)
        foot, top = self.axes.get_ylim()  # a label at the foot would meet that of the time
        self.axes.set_yticks([t for t in self.axes.get_yticks() if foot + 0.04 * (top - foot) < t <= top])
        self.axes.set_xticks(places, [f"{abs(place):.0f}" for place in places])
        self.shown_s = shown_s
        draw_limits(self, limits, (low, high), self.box[3])
        self._key()
        self._heads()
        self._movers_of_the_chart()

    def _key(self):
        from matplotlib.patches import Rectangle

        y, places = self.key
        line = self.look.line
        size = 3 * line
        names = ROOM_KEYS if self.look.room else KEYS
        self.page.plot([places[0] + 8], [y], "o", color=BLUE, ms=2.4 * line)
        self.page.add_patch(Rectangle((places[1] - 4, y - 1.6 * size / 2), 24, 1.6 * size, **self._hatched()))
        self.page.plot([places[2] + 8], [y], "x", color=ORANGE, ms=3 * line, mew=line)
        for x, name in zip(places, names, strict=True):
            self.text(self.page, x + (34 if self.look.room else 28), y, name, va="center")

    def _hatched(self):
        return {"facecolor": "#ffffff", "edgecolor": QUIET, "hatch": "///", "lw": 0.8}

    def _heads(self):
        name_y, value_y = self.head_y
        for x, name in zip(self.heads, NAMES, strict=False):
            if name_y is not None:
                self.text(self.page, x, name_y, name, va="top", zorder=3)
        self.lay_values(self.heads, value_y)

    def _movers_of_the_chart(self):
        from matplotlib.patches import Rectangle

        line, plot = self.look.line, self.axes.plot
        across = self.axes.get_xaxis_transform()
        self.away = [
            Rectangle((0, 0), 0, 1, transform=across, zorder=3 + i / 100, **self._hatched()) for i in range(MOST_GAPS)
        ]
        for patch in self.away:
            self.axes.add_patch(patch)
        self.moving(*self.away)
        self.thread = self.moving(plot([], [], zorder=5, color=BLUE, lw=line * 0.6)[0])
        self.dots = self.moving(plot([], [], "o", zorder=6, color=BLUE, ms=1.6 * line)[0])
        odd = {"color": ORANGE, "ms": 2.6 * line, "mew": line, "zorder": 7, "transform": across}
        self.odd = self.moving(plot([], [], "x", **odd)[0])
        self.note = self.moving(
            self.text(self.axes, 0.5, 0.5, ha="center", va="center", zorder=8, transform=self.axes.transAxes)
        )

    # ---- moving

    def move(self, seen):
        ago, values = seen.times_s - seen.now_s, self.book.from_celsius(seen.readings_c)
        broken = (np.insert(np.asarray(each, float), seen.breaks, np.nan) for each in (ago, values))
        self.thread.set_data(*broken)
        few = ago.size <= MOST_MARKS
        self.dots.set_data(ago[: ago.size * few], values[: ago.size * few])
        self.odd.set_data(seen.odd_s - seen.now_s, np.full(seen.odd_s.size, 0.045))
        shown = seen.gaps[-MOST_GAPS:]
        for i, patch in enumerate(self.away):
            start, end = shown[i] if i < len(shown) else (seen.now_s, seen.now_s)
            patch.set_visible(i < len(shown))
            patch.set_bounds(start - seen.now_s, 0, end - start, 1)
        self.note.set_text("" if seen.readings_c.size else "no reading yet")
        for artist, told in zip(self.values, self._told(seen), strict=True):
            artist.set_text(told)

    def _told(self, seen):
        last = "–" if seen.last_c is None else self.book.temperature(seen.last_c)
        age = "–" if seen.age_s is None else f"{seen.age_s:.1f} s"
        if self.look.room:
            return last, f"{age} old", f"{seen.lines} lines"
        return last, age, str(seen.lines), str(seen.gap_count)


# --- A trace of a link told in sentences and as rows of a table.

def words(seen, book):
    """What came, in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.live_trace import explorer
    >>> print(words(explorer(happens="none").result(), Book()))
    Pretend board, invented readings: 117 lines in the last 120 s, each a reading, no gap. The latest is 21.3 °C,
    0.2 s old; the lowest 21.3 °C, the highest 24.1 °C.
    """
    told = f"{seen.source or 'Pretend board, invented readings'}: {count(seen.times_s.size + seen.odd_s.size, 'line')} "
    told += f"in the last {seen.shown_s:.0f} s, {_odd(seen)}, {gaps_told(seen)}. "
    if seen.last_c is None:
        return told + f"No reading has come yet; the port is {seen.state}." + warning(problems(seen, book))
    low, high = (book.temperature(end(seen.readings_c)) for end in (np.min, np.max))
    told += (
        f"The latest is {book.temperature(seen.last_c)}, {seen.age_s:.1f} s old; the lowest {low}, the highest {high}."
    )
    return told + warning(problems(seen, book))


def count(number, what):
    """A count in words.

    >>> count(1, "line"), count(3, "line")
    ('1 line', '3 lines')
    """
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _odd(seen):
    if not seen.odd_s.size:
        return "each a reading" if seen.times_s.size else "none a reading"
    return f"{seen.odd_s.size} of them no reading"


def gaps_told(seen):
    """The gaps shown, with their length.

    >>> from tempkit.explorers.live_trace import explorer
    >>> gaps_told(explorer().result())
    '1 gap of 18.6 s'
    """
    if not seen.gaps:
        return "no gap"
    total = sum(end - start for start, end in seen.gaps)
    return f"{count(len(seen.gaps), 'gap')} of {total:.1f} s" + (" together" if len(seen.gaps) > 1 else "")


def problems(seen, book):
    """What a look at the trace should raise doubts about."""
    if seen.age_s is not None and seen.age_s > 5.0:
        yield f"nothing has come for {seen.age_s:.1f} s; the latest reading is not the present one"
    if seen.readings_c.size > 20 and np.ptp(seen.readings_c[-20:]) == 0:
        yield "the last 20 readings are all the same; a converter that sticks looks so"
    jumps = np.abs(np.diff(seen.readings_c))
    if jumps.size and jumps.max() > 10.0:
        yield f"one reading is more than {book.span(10.0)} from the one before; air does not jump so"


def facts(seen, book):
    """Rows of the number table."""
    rows = [
        ("source", seen.source or "pretend board, invented readings"),
        ("port", seen.state),
        ("time shown", f"{seen.shown_s:.0f} s"),
        ("lines in it", str(seen.times_s.size + seen.odd_s.size)),
        ("lines that are no reading", str(seen.odd_s.size)),
        ("gaps in it", gaps_told(seen)),
        ("lines since the start", str(seen.lines)),
        ("gaps since the start", str(seen.gap_count)),
        ("read from", seen.column or "nothing yet"),
    ]
    if seen.last_c is not None:
        rows += [
            ("latest reading", f"{book.temperature(seen.last_c)}, {seen.age_s:.1f} s old"),
            ("lowest", book.temperature(seen.readings_c.min())),
            ("highest", book.temperature(seen.readings_c.max())),
        ]
    return [*rows, *(("mind", told) for told in problems(seen, book))]
