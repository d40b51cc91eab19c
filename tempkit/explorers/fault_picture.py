"""What both explorers of chapter 11 show: a log of the hand test against time, and one of its lines as text."""

import numpy as np

from tempkit.book import tidy
from tempkit.draw import READING, SHADED, Axis, Bars, Chart, Charts, Fact, Line, Named

VIEWS_C = ((-10.0, 60.0), (-90.0, 130.0), (-90.0, 570.0))
KEEPS = 0.98  # part of the readings that a view must hold


def view_c(logs):
    """The smallest view [degC] that holds nearly all readings of some logs.

    >>> from types import SimpleNamespace
    >>> view_c([SimpleNamespace(reading_c=np.array([21.0, 140.0, 110.0]))])
    (-90.0, 570.0)
    """
    shown_c = np.concatenate([log.reading_c for log in logs])
    for low, high in VIEWS_C:
        if not shown_c.size or ((low <= shown_c) & (shown_c <= high)).mean() >= KEEPS:
            return low, high
    return VIEWS_C[-1]


def readable(line):
    r"""A line's bytes as text: letters, digits and signs as they are, every other character as a dot in the middle.

    >>> readable(b"t=1.0 read=25\xff\r\n")
    't=1.0 read=25·'
    """
    text = "".join(chr(byte) if 32 <= byte < 127 else "·" for byte in line.rstrip(b"\r\n"))
    return text.replace("$", "·")


def _start_of_line(at, book):
    """As much of a line as the head of the picture has room for; the back row sees it without its time."""
    text, most = readable(at.line), 25 if book.room else 30
    if book.room and text.startswith("t="):
        text = text.partition(" ")[2]
    return text if len(text) <= most else f"{text[: most - 1]}…"


def _unreadable(at):
    low, high = view_c(at.logs)
    return [] if at.log.reading_c.size else [(at.test.seconds / 2, low + 0.8 * (high - low), "no line can be read")]


def level(log, test, book):
    """The median of a log's readings before the fingers come as text, None where there are none."""
    rest_c = log.reading_c[log.t_s < test.rest_s]
    return book.temperature(np.median(rest_c)) if rest_c.size else None


def scatter(log, test, book):
    """Their standard deviation as text, None where there are none."""
    rest_c = log.reading_c[log.t_s < test.rest_s]
    return book.span(rest_c.std()) if rest_c.size else None


LOG_FACTS = (
    Fact("line", "a line of the log", lambda at, _: readable(at.line)),
    Fact("line_start", "", _start_of_line, head="a line of the log", table=False, wide=2.0),
    Fact("unreadable", "characters that cannot be read", lambda at, _: f"{tidy(100 * at.log.unreadable, 0)} %"),
    Fact("rest", "the log at rest", lambda at, book: level(at.log, at.test, book)),
    Fact("scatter", "at rest it scatters by", lambda at, book: scatter(at.log, at.test, book)),
)
NO_LINE = "No line can be read, {unreadable} of the characters are none"


def _held(at):
    return [(at.test.rest_s, at.test.rest_s + at.test.hold_s, *view_c(at.logs))]


def log_charts(beside, heads):
    """The picture of a result with a `log`, all `logs` that are seen, its first whole `line` and its hand `test`.

    `beside` is the mark that the log is held against, a healthy log or a ruler.
    """
    held = Bars(_held, SHADED, "between two fingers")
    log = Line(lambda at: (at.log.t_s, at.log.reading_c), READING, "the log")
    time = Axis("time", "s", lambda at: (0.0, at.test.seconds))
    reading = Axis("reading", span=lambda at: view_c(at.logs), scale="temperature")
    return Charts(Chart(time, reading, (held, beside, log, Named(_unreadable, ha="center", bold=True))), heads=heads)
