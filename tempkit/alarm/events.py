"""What an alarm did, as a list of events; and chattering, the common practice of counting raises."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tempkit.ranges import whole_number

NAMES = {-1: "low", 1: "high", 2: "invalid"}


@dataclass(frozen=True)
class Event:
    """One stay in alarm: `kind` is "low", "high" or "invalid".

    start : index of the sample that raised it; end : index of the sample that returned it, or the count of samples
    where it still stood at the end of the record, then `open` is true. start_s, end_s [s]: the times of these samples
    (of the last sample where open), `nan` for a record without times.

    >>> event = Event("high", 4, 9, 40.0, 90.0)
    >>> event.samples, event.duration_s
    (5, 50.0)
    """

    kind: str
    start: int
    end: int
    start_s: float = np.nan
    end_s: float = np.nan
    open: bool = False

    @property
    def samples(self):
        """How many samples it lasted."""
        return self.end - self.start

    @property
    def duration_s(self):
        """How long it lasted [s]; where it is open: so far."""
        return self.end_s - self.start_s


@dataclass(frozen=True, eq=False)
class Events(Sequence):
    """All events of a run, in the order of their start: a sequence of `Event`, kept as arrays.

    kinds : -1 low, +1 high, 2 invalid; starts, ends : indices; count : samples of the record; times_s : its times or
    None. A record of millions of samples may have as many events; one `Event` is made when it is asked for.

    >>> events = Events(np.array([1]), np.array([4]), np.array([9]), count=20)
    >>> len(events), events[0].kind, events[-1].samples
    (1, 'high', 5)
    """

    kinds: np.ndarray
    starts: np.ndarray
    ends: np.ndarray
    count: int
    times_s: np.ndarray | None = None

    def __len__(self):
        return len(self.starts)

    def __getitem__(self, which):
        if isinstance(which, slice):
            return tuple(self[each] for each in range(*which.indices(len(self))))
        start, end = int(self.starts[which]), int(self.ends[which])
        return Event(NAMES[int(self.kinds[which])], start, end, *self._times(start, end), end == self.count)

    def _times(self, start, end):
        if self.times_s is None:
            return np.nan, np.nan
        return float(self.times_s[start]), float(self.times_s[min(end, self.count - 1)])

    @property
    def start_s(self):
        """Times of all raises [s]. Raises `ValueError` for a record without times."""
        if self.times_s is None:
            raise ValueError("this record has no times: give run(readings_c, times_s) the times of the samples in s")
        return self.times_s[self.starts]

    def of(self, kind):
        """The events of one kind, "low", "high" or "invalid", again as `Events`.

        >>> events = Events(np.array([1, -1]), np.array([4, 9]), np.array([6, 12]), count=20)
        >>> events.of("low")[0].start
        9
        """
        code = {name: number for number, name in NAMES.items()}.get(kind)
        if code is None:
            raise ValueError(f"kind {kind!r} is not one of {', '.join(NAMES.values())}: choose one of these")
        wanted = self.kinds == code
        return Events(self.kinds[wanted], self.starts[wanted], self.ends[wanted], self.count, self.times_s)


@dataclass(frozen=True)
class Chatter:
    """A spell of chattering: one alarm, `kind`, raised `raises` times from `start_s` to `end_s` [s].

    >>> Chatter("high", 0.0, 50.0, 3).raises
    3
    """

    kind: str
    start_s: float
    end_s: float
    raises: int


def chattering(events, raises=3, window_s=60.0):
    """Spells in which one alarm is raised `raises` times or more in less than `window_s` [s]: a tuple of `Chatter`.

    `events` of a run with times, see `Alarm.run`; each kind counts for itself. A spell joins all raises of which any
    `raises` that follow each other lie within the window; exactly `window_s` from the first to the last is not within.
    An empty tuple: no chatter. Raises `ValueError` for events without times, for fewer than 2 raises, or a window
    that is not above 0 s. Source: common practice, three or more raises of one alarm in a minute (see ANSI/ISA-18.2
    and IEC 62682 for the term; the count from a secondary copy).

    >>> events = Events(np.array([1, 1, 1]), np.array([0, 2, 4]), np.array([1, 3, 5]), 6, 10.0 * np.arange(6))
    >>> chattering(events)
    (Chatter(kind='high', start_s=0.0, end_s=40.0, raises=3),)
    """
    raises = whole_number(raises, 2, name="raises", unit="of one alarm", advice="one raise is no chatter")
    if not window_s > 0:
        raise ValueError(f"window_s {window_s:g} s must be above 0 s: 60 s is usual")
    found = []
    for kind in NAMES.values():
        found += _spells(kind, events.of(kind).start_s, raises, window_s)
    return tuple(sorted(found, key=lambda spell: (spell.start_s, spell.kind)))


def _spells(kind, times, raises, window_s):
    """Spells of one kind: `close` raises begin a window with enough of them; the windows that overlap are joined."""
    last = raises - 1
    close = np.flatnonzero(times[last:] - times[: len(times) - last] < window_s) if len(times) > last else np.empty(0)
    groups = np.split(close, np.flatnonzero(np.diff(close) > last) + 1) if len(close) else []
    ends = [(int(group[0]), int(group[-1]) + last) for group in groups]
    return [Chatter(kind, float(times[a]), float(times[b]), b - a + 1) for a, b in ends]
