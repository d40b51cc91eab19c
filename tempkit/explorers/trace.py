"""What has come over a link of late, as data: readings, gaps, lines that are no reading."""

import re
from dataclasses import dataclass

import numpy as np

from tempkit import log
from tempkit.board.logfile import remark, row

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
    """A `Trace` of `tempkit.board.live.Received` entries, which are read as `tempkit.log` reads a log.

    scale_c : ends of the scale [degC], None for one that fits the readings and stays as long as it can.

    >>> from tempkit.board.live import Received
    >>> came = [Received(i, 1.0 * i, b"t=%d code=153 read=24.9" % i) for i in range(4)]
    >>> trace(came, 4.5, 10.0, 4, 0, "PORT").last_c
    24.9
    """
    recent = [each for each in received if each.at_s >= now_s - shown_s]
    record = log.read(b"".join(remark("gap") if each.data is None else row(each.at_s, each.data) for each in recent))
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
