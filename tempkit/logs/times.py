"""Times of a log: stamps as seconds, which column is the time, and counters that wrap or begin again."""

import re

import numpy as np

from tempkit.ranges import floats

DAY_S = 86_400.0
WRAP = 2.0**32
FAR = 20.0  # periods; a counter that goes on within so many still belongs to the same run
UNIT_S = {"s": 1.0, "sec": 1.0, "ms": 1e-3, "us": 1e-6, "µs": 1e-6, "min": 60.0, "h": 3600.0}
_NAMES = re.compile(
    r"(?i)\W*(time|timestamp|stamp|(?:milli|micro)(?:s|sec\w*)?|seconds|uptime|elapsed|clock|ms|us|s|t|t_s|t_ms|t_us|host_s)\b"
    r"|(?i:time)[_ (]"
)
_DEGREES = re.compile(r"°|(?i:\bdeg|celsius|fahrenheit|kelvin)|[ ([/][CFK]\W*$")  # T/°C is no time
_MILLI, _MICRO = re.compile(r"(?i)milli(s|\b)|(\b|_)ms\b"), re.compile(r"(?i)micro(s|\b)|(\b|_)[uµ]s\b")


def stamp_seconds(kind, parts):
    """Numbers of a time stamp, arrays in the order of the line -> seconds, and where they make a time that exists.

    kind : "number" (the number itself), "clock" (hours, minutes, seconds: since midnight), "date" (year, month, day),
    "datetime" (both), "datetime+" or "datetime-" (with hours and minutes of an offset from UTC): seconds since
    1970-01-01 00:00 UTC, a time without an offset counting as UTC. A leap second is the first of the next minute.

    >>> stamp_seconds("clock", [np.array([1.0]), np.array([2.0]), np.array([3.5])])
    (array([3723.5]), array([ True]))
    """
    if kind == "number":
        return parts[0], np.ones(parts[0].shape, dtype=bool)
    seconds, good = np.zeros(parts[0].shape), np.ones(parts[0].shape, dtype=bool)
    if kind != "clock":
        days, good = _days(*parts[:3])
        seconds += DAY_S * days
    of_day = parts if kind == "clock" else parts[3:6]
    if of_day:
        hour, minute, second = of_day
        good &= _within(hour, 0, 23) & _within(minute, 0, 59) & (second >= 0) & (second < 61)
        seconds += 3600 * hour + 60 * minute + second
    if len(parts) == 8:
        good &= _within(parts[6], 0, 18) & _within(parts[7], 0, 59)
        seconds += (-1 if kind.endswith("+") else 1) * (3600 * parts[6] + 60 * parts[7])
    return seconds, good


def _within(values, low, high):
    return (values >= low) & (values <= high) & (values == np.floor(values))


def _days(year, month, day):
    """Days since 1970-01-01 in the Gregorian calendar, by numpy's calendar, and where the date exists."""
    good = _within(year, 1, 9999) & _within(month, 1, 12) & _within(day, 1, 31)
    months = np.where(good, (year - 1970) * 12 + month - 1, 0).astype("datetime64[M]")
    first = months.astype("datetime64[D]")
    length = ((months + 1).astype("datetime64[D]") - first).astype(float)
    return first.astype(float) + np.where(good, day, 1) - 1, good & (day <= length)


# Which column


def time_column(names, units, kinds, columns, wanted=None):
    """Number of the time column and why, or (None, why). `wanted`: a name, a number, False for none, None to find it.

    The recorder's seconds come first, then a date or clock, then a column called time, t_ms, t or the like, then an
    unnamed first column of several that rises steadily. A column called t, or one that nothing names, must rise
    steadily; a column with a unit must have a unit of time. Raises `ValueError` for a column that is not there.
    """
    if wanted is False:
        return None, "the reader wants no time column"
    if wanted is not None:
        return _asked(names, wanted), "as asked"
    for kind, why in (("host", "the recorder's seconds"), ("date", "a date"), ("clock", "a time of day")):
        for nth, found in enumerate(kinds):
            if found.startswith(kind):
                return nth, why
    for nth, name in enumerate(names):
        called = _NAMES.match(name) and not _DEGREES.search(name) and (not units[nth] or units[nth] in UNIT_S)
        if called and (len(name) > 1 or units[nth] in UNIT_S or rises(columns[nth], 1, 0.6, 0.5)):
            return nth, f"it is called {name}"
    if len(names) > 1 and names[0] == "value 1" and rises(columns[0]):
        return 0, "the first number of each line rises steadily"
    return None, "no column tells the time"


def _asked(names, wanted):
    if wanted in names:
        return names.index(wanted)
    if isinstance(wanted, int) and 0 <= wanted < len(names):
        return wanted
    raise ValueError(f"time {wanted!r} is no column: choose one of {', '.join(names) or 'none'}, or leave it out")


def rises(values, least=9, up=0.9, alike=0.8):
    """True where numbers rise in a share `up` of their steps, a share `alike` of steps near the usual one.

    >>> rises(np.arange(20.0)), rises(np.sin(np.arange(20.0)))
    (True, False)
    """
    steps = np.diff(values[~np.isnan(values)])
    if steps.size < least or not (steps > 0).mean() >= up:
        return False
    usual = np.median(steps)
    return bool((np.abs(steps - usual) <= 0.5 * usual).mean() >= alike)


def unit_of(name, unit, values):
    """Seconds that one of a time column is, and why: its unit, its name, or whole numbers in steps of ten and more.

    >>> unit_of("t_ms", "", np.array([0.0, 500.0]))[0], unit_of("t", "", np.array([0.0, 1.5]))[0]
    (0.001, 1.0)
    """
    if unit in UNIT_S:
        return UNIT_S[unit], f"in {unit}"
    for pattern, seconds in ((_MICRO, 1e-6), (_MILLI, 1e-3)):
        if pattern.search(name):
            return seconds, "in ms by its name" if seconds == 1e-3 else "in µs by its name"
    values = values[np.isfinite(values)]
    if name.endswith("_s") or not values.size or (values != np.floor(values)).any():
        return 1.0, "in s"
    steps = np.diff(values)
    if steps.size and np.median(steps) >= 10:
        return 1e-3, "taken for ms: whole numbers in steps of 10 or more"
    return 1.0, "taken for s"


# Mending


def mended(raw, unit_s, clock=False):
    """Times [s] from a raw column, and what was found: {kind: row numbers}.

    "wrap": a counter of 32 bits, or a clock at midnight, began again: that much is added. "reset": it fell to near 0
    and went on from there: the board began again, and its time goes on one usual step after the last; how long it was
    off cannot be known. "stray": one time fits neither neighbour while they fit each other: the middle is taken.
    "back": any other step back, left as it is. "repeat": the same time twice. "none": a row without a time has the
    one before it. Memory: three more arrays of the same size at most.

    >>> times, found = mended(np.array([4294967000.0, 204.0, 704.0]), 1e-3)
    >>> (times - times[0]).round(3).tolist(), found["wrap"].tolist()
    ([0.0, 0.5, 1.0], [1])
    """
    times = floats(raw, "time") * unit_s
    found = {"none": np.flatnonzero(~np.isfinite(times))}
    if found["none"].size:
        _carry(times)
    steps = np.diff(times)
    found["repeat"] = np.flatnonzero(steps == 0) + 1
    usual = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.0
    falls = np.flatnonzero(steps < 0) + 1
    leaps = np.flatnonzero(steps > FAR * usual) + 1 if usual else falls[:0]
    found |= {"wrap": falls[:0], "stray": falls[:0], "reset": falls[:0], "back": falls}
    if falls.size:
        _mend(times, falls, leaps, usual, DAY_S if clock else WRAP * unit_s, found)
    return times, found


def _carry(times):
    """Put the time before it into a row that has none; the first time into rows before it."""
    here = np.isfinite(times)
    if not here.any():
        times[:] = 0.0
        return
    last = np.maximum.accumulate(np.where(here, np.arange(times.size), -1))
    times[:] = times[np.where(last < 0, np.flatnonzero(here)[0], last)]


def _mend(times, falls, leaps, usual, size, found):
    near = FAR * usual
    stray = _strays(times, np.union1d(falls, leaps), near)
    times[stray] = (times[stray - 1] + times[stray + 1]) / 2
    falls = falls[times[falls] < times[falls - 1]]
    over = times[falls] + size - times[falls - 1]
    wraps = (over > 0) & (over <= max(near, 60.0 if size != DAY_S else DAY_S / 2))
    follows = np.minimum(falls + 1, times.size - 1)
    goes_on = (times[follows] - times[falls] >= 0) & (times[follows] - times[falls] <= max(near, usual))
    resets = ~wraps & goes_on & (times[falls] <= max(10.0, near))
    shift = np.where(wraps, size, 0.0) + np.where(resets, times[falls - 1] - times[falls] + usual, 0.0)
    _shift(times, falls[shift != 0], np.cumsum(shift[shift != 0]))
    found |= {"wrap": falls[wraps], "stray": stray, "reset": falls[resets], "back": falls[~wraps & ~resets]}


def _strays(times, suspects, near):
    """Rows whose time fits neither neighbour while the neighbours fit each other; of two in a row the worse one."""
    rows = np.union1d(suspects, suspects - 1)
    rows = rows[(rows > 0) & (rows < times.size - 1)]
    before, here, after = times[rows - 1], times[rows], times[rows + 1]
    fits = (after >= before) & (after - before <= near) & ((here < before) | (here > after))
    rows, off = rows[fits], np.abs(here - (before + after) / 2)[fits]
    if not rows.size:
        return rows
    close = np.diff(rows) == 1
    worse = np.concatenate([[True], ~close | (off[1:] >= off[:-1])])
    return rows[worse & np.concatenate([~close | (off[:-1] > off[1:]), [True]])]


def _shift(times, rows, shifts):
    """Add to all times from each of `rows` on, up to the next, what is due there."""
    for at, until, by in zip(rows, np.append(rows, times.size)[1:], shifts, strict=True):
        times[at:until] += by
