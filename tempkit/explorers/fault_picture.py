"""What both explorers of chapter 11 show: a log of the hand test against time, and one of its lines as text."""

import numpy as np

from tempkit.book import tidy
from tempkit.draw import READING, SHADED, Axis, Bars, Chart, Charts, Fact, Line, Named

VIEWS_C = ((-10.0, 60.0), (-60.0, 130.0), (-60.0, 460.0))
KEEPS = 0.98  # part of the readings that a view must hold


def view_c(at):
    """The smallest view [degC] that holds nearly all readings of a log, and of all others that are shown with it.

    >>> from types import SimpleNamespace
    >>> import numpy as np
    >>> view_c(SimpleNamespace(shown_c=np.array([21.0, 140.0, 125.0])))
    (-60.0, 460.0)
    """
    for low, high in VIEWS_C:
        if not at.shown_c.size or ((low <= at.shown_c) & (at.shown_c <= high)).mean() >= KEEPS:
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
    low, high = view_c(at)
    return [] if at.reading_c.size else [(at.end_s / 2, low + 0.8 * (high - low), "no line can be read")]


def rest_c(at):
    """The readings of the first rest [degC], before the fingers come."""
    return at.reading_c[at.t_s < at.held_s[0]]


def level(readings_c, book):
    """The median of some readings as text, None where there are none."""
    return book.temperature(np.median(readings_c)) if readings_c.size else None


def scatter(readings_c, book):
    """The standard deviation of some readings as text, None where there are none."""
    return book.span(readings_c.std()) if readings_c.size else None


LOG_FACTS = (
    Fact("line", "a line of the log", lambda at, _: readable(at.line)),
    Fact("line_start", "", _start_of_line, head="a line of the log", table=False, wide=2.0),
    Fact("unreadable", "characters that cannot be read", lambda at, _: f"{tidy(100 * at.unreadable, 0)} %"),
    Fact("rest", "the log at rest", lambda at, book: level(rest_c(at), book)),
    Fact("scatter", "at rest it scatters by", lambda at, book: scatter(rest_c(at), book)),
)
NO_LINE = "No line can be read, {unreadable} of the characters are none"


def log_charts(beside, heads):
    """The log of a result with `t_s`, `reading_c`, `shown_c` (all readings shown), `held_s`, `end_s` and `line`.

    `beside` is the mark that it is held against, a healthy log or a ruler.
    """
    held = Bars(lambda at: [(*at.held_s, *view_c(at))], SHADED, "between two fingers")
    log = Line(lambda at: (at.t_s, at.reading_c), READING, "the log")
    time = Axis("time", "s", lambda at: (0.0, at.end_s))
    reading = Axis("reading", span=view_c, scale="temperature")
    return Charts(Chart(time, reading, (held, beside, log, Named(_unreadable, ha="center", bold=True))), heads=heads)
