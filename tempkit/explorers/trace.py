"""What has come over a link of late, as data: readings, gaps, lines that are no reading."""

import re
from dataclasses import dataclass

import numpy as np

from tempkit.board import remark, row
from tempkit.draw import HATCHED, ORANGE, QUIET, Axis, Bars, Chart, Charts, Fact, Facts, Levels, Line, Named, Stroke
from tempkit.explorers.lag import WIDE_C
from tempkit.explorers.stage import minds, warning
from tempkit.logs import read

NAMED_SO = re.compile(r"(?i)read|temp|celsius|deg|^t_?c$")
SPANS_C = (4.0, 10.0, 20.0, 50.0)  # of the scale, where it fits itself to the readings
MOST_MARKS = 150  # beyond them the readings are a line without dots


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
    >>> came = [Received(i, 1.0 * i, b"t=%d code=163 read=24.8" % i) for i in range(4)]
    >>> trace(came, 4.5, 10.0, 4, 0, "PORT").last_c
    24.8
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
    return next((name for name in own if NAMED_SO.search(name)), own[-1] if own else "")


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

    >>> fitting(np.array([22.9, 23.4])), fitting(np.array([-74.7, 23.0]))
    ((21.0, 25.0), (-90.0, 150.0))
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


# ---- told


def count(number, what):
    """A count in words.

    >>> count(1, "line"), count(3, "line")
    ('1 line', '3 lines')
    """
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _odd(seen, _):
    if not seen.odd_s.size:
        return "each a reading" if seen.times_s.size else "none a reading"
    return f"{seen.odd_s.size} of them no reading"


def gaps_told(seen, _=None):
    """The gaps shown, with their length.

    >>> from tempkit.explorers.live_trace import explorer
    >>> gaps_told(explorer().result())
    '1 gap of 18.6 s'
    """
    if not seen.gaps:
        return "no gap"
    total = sum(end - start for start, end in seen.gaps)
    return f"{count(len(seen.gaps), 'gap')} of {total:.1f} s" + (" together" if len(seen.gaps) > 1 else "")


def _of_readings(pick):
    """The text of one reading of those shown, None without any."""
    return lambda seen, book: book.temperature(pick(seen.readings_c)) if seen.readings_c.size else None


FACTS = Facts([
    Fact("source", "source", lambda seen, _: seen.source or "Pretend board, invented readings"),
    Fact("state", "port", lambda seen, _: seen.state),
    Fact("shown", "time shown", lambda seen, _: f"{seen.shown_s:.0f} s"),
    Fact("lines", "that came in it", lambda seen, _: count(seen.times_s.size + seen.odd_s.size, "line")),
    Fact("odd", "are they readings", _odd),
    Fact("gaps", "gaps in it", gaps_told),
    Fact("column", "read from", lambda seen, _: seen.column or "nothing yet"),
    Fact("last", "latest reading", _of_readings(lambda each: each[-1]), "the latest reading"),
    Fact("age", "its age", lambda seen, _: f"{seen.age_s:.1f} s" if seen.readings_c.size else None, "that old", "age"),
    Fact("low", "lowest", _of_readings(np.min)),
    Fact("high", "highest", _of_readings(np.max)),
    Fact("all", "lines since the start", lambda seen, _: f"{seen.lines}", "lines since the start", "lines"),
    Fact("cuts", "gaps since the start", lambda seen, _: f"{seen.gap_count}", "gaps since the start", "gaps"),
])  # fmt: skip


def words(seen, book):
    """What came, in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.live_trace import explorer
    >>> print(words(explorer(happens="none").result(), Book()))
    Pretend board, invented readings: 117 lines in the last 120 s, each a reading, no gap. The latest is 21.3 °C,
    0.2 s old; the lowest 21.3 °C, the highest 24.1 °C.
    """
    latest = "No reading has come yet; the port is {state}."
    if seen.readings_c.size:
        latest = "The latest is {last}, {age} old; the lowest {low}, the highest {high}."
    template = f"{{source}}: {{lines}} in the last {{shown}}, {{odd}}, {{gaps}}. {latest}"
    return FACTS.sentences(template)(seen, book) + warning(problems(seen, book))


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
    return [*FACTS.rows(seen, book), *minds(problems(seen, book))]


# ---- the picture: readings against time up to now, gaps hatched, lines that are no reading crossed at the foot


def _scale(seen):
    low, high = seen.scale_c
    inside = not seen.readings_c.size or (seen.readings_c.min() >= low and seen.readings_c.max() <= high)
    return seen.scale_c if inside else WIDE_C


def _seconds(seen):
    """Marks of the time before now, told without a sign."""
    return tuple((place, f"{abs(place):.0f}") for place in np.linspace(-seen.shown_s, 0.0, 7).tolist())


def _away(seen):
    return [(start - seen.now_s, end - seen.now_s, *_scale(seen)) for start, end in seen.gaps]


def _thread(seen):
    """The readings, with a hole wherever the line through them is broken."""
    return tuple(np.insert(each, seen.breaks, np.nan) for each in (seen.times_s - seen.now_s, seen.readings_c))


def _dots(seen):
    few = seen.times_s.size <= MOST_MARKS
    return (seen.times_s - seen.now_s, seen.readings_c) if few else ((), ())


def _crosses(seen):
    low, high = _scale(seen)
    return seen.odd_s - seen.now_s, np.full(seen.odd_s.size, low + 0.045 * (high - low))


def _nothing(seen):
    return [] if seen.readings_c.size else [(-seen.shown_s / 2, sum(_scale(seen)) / 2, "no reading yet")]


PICTURE = Charts(
    Chart(
        Axis("seconds before now", span=lambda seen: (-seen.shown_s, 0.0), ticks=_seconds),
        Axis("reading", span=_scale, scale="temperature"),
        (
            Levels(lambda seen: seen.limits_c[::-1], name=lambda limit_c, book: book.temperature(limit_c, 0)),
            Line(_thread, Stroke(ORANGE, width=0.6)),
            Line(_dots, Stroke(ORANGE), "reading", dots="o", joined=False),
            Bars(_away, HATCHED, "port away"),
            Line(_crosses, Stroke(QUIET), "no reading", dots="x", joined=False, size=2.6),
            Named(_nothing, ha="center", va="center"),
        ),
    ),
    heads=FACTS,
)
