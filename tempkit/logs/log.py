"""Read a log that a board wrote over its serial line: garbage, gaps, resets and half lines included."""

import io
import os
from dataclasses import dataclass

import numpy as np

from tempkit.logs.reader import REASONS, Reader
from tempkit.logs.times import mended, time_column, unit_of

GAP = 1.5  # usual steps; from here on a sample is missing
MOST_MISSING = 10**15
_KIND_TOLD = {
    "wrap": "the counter wrapped",
    "reset": "the board began again",
    "stray": "a time fits neither neighbour",
    "back": "the time steps back",
    "repeat": "the same time twice",
    "none": "no time in the row",
}


@dataclass(frozen=True)
class Found:
    """Lines that something is the matter with: `reason` (a key of `reader.REASONS`, or of what can happen to times),
    their exact `count`, the first `lines` by number, and what the first one says."""

    reason: str
    count: int
    lines: tuple
    example: str = ""


@dataclass(frozen=True, eq=False)
class Record:
    """A log as arrays, with an account of every line.

    names, units, columns : for each column its name, its unit as written or "", and an array with one entry for each
    row, `nan` where the row says nothing; times_s : time of each row [s]; line_numbers : where each row stood, from 1;
    time_name : the column the times come from, or None for one period a row or skipped line; lines, blank, comments,
    headers : counted lines; skipped : what gave no row, a `Found` for each reason; time_notes : what is the matter with
    times, the same way (these rows stay); marks : numbers of the rows before which a gap is marked; unsure : of those
    that came first once the recorder had begun to listen, each perhaps the end of a longer line; told : how the log was
    understood, a sentence each; decimal : "." or ",".
    """

    names: tuple
    units: tuple
    columns: tuple
    times_s: np.ndarray
    line_numbers: np.ndarray
    time_name: str | None
    lines: int
    blank: int
    comments: int
    headers: int
    skipped: tuple
    time_notes: tuple
    marks: np.ndarray
    unsure: np.ndarray
    decimal: str
    told: tuple

    @property
    def rows(self):
        """How many lines became rows."""
        return int(self.line_numbers.size)

    def account(self):
        """Every line by what became of it; the counts add up to `lines`.

        >>> read(b"25.1\\nboot\\n\\n25.2\\n").account()
        {'rows': 2, 'blank': 1, 'comments': 0, 'headers': 0, 'no number': 1}
        """
        kinds = {"rows": self.rows, "blank": self.blank, "comments": self.comments, "headers": self.headers}
        return kinds | {each.reason: each.count for each in self.skipped}

    @property
    def skipped_count(self):
        """How many lines gave no row though they say something."""
        return sum(each.count for each in self.skipped)

    def column(self, name):
        """The array of a column by its name; raises `ValueError` that lists the names for another one.

        >>> read(b"t=1 code=163\\nt=2 code=164\\n").column("code")
        array([163., 164.])
        """
        if name not in self.names:
            raise ValueError(f"there is no column {name!r}: choose one of {', '.join(self.names) or 'none'}")
        return self.columns[self.names.index(name)]

    def series(self, name):
        """Times [s] and values of a column, only where there is a finite value.

        >>> times, values = read(b"t=1 code=163\\nt=2 code=nan\\nt=3 code=164\\n").series("code")
        >>> times.tolist(), values.tolist()
        ([1.0, 3.0], [163.0, 164.0])
        """
        values = self.column(name)
        there = np.isfinite(values)
        return self.times_s[there], values[there]

    @property
    def period_s(self):
        """The usual time from one row to the next [s]: the median of the steps forward; `nan` without one."""
        steps = np.diff(self.times_s)
        steps = steps[steps > 0]
        return float(np.median(steps)) if steps.size else float("nan")

    def gaps(self, factor=GAP):
        """Where rows are missing: a `Gaps` of all steps of `factor` usual periods and more, and of marked gaps.

        >>> gaps = read(b"t=1 c=1\\nt=2 c=1\\nt=3 c=1\\nt=13 c=1\\n").gaps()
        >>> gaps.rows.tolist(), gaps.seconds.tolist(), gaps.missing.tolist()
        ([3], [10.0], [9])
        """
        steps, period = np.diff(self.times_s), self.period_s
        wide = np.flatnonzero(steps >= factor * period) + 1 if steps.size and period > 0 else np.empty(0, np.intp)
        marks = self.marks[(self.marks > 0) & (self.marks < self.rows)]
        rows = np.union1d(wide, marks).astype(np.intp)
        seconds = steps[rows - 1] if rows.size else np.empty(0)
        lost = np.clip(np.round(seconds / period) - 1, 0, MOST_MISSING) if period > 0 else np.zeros(rows.size)
        return Gaps(rows, seconds, lost.astype(np.int64), np.isin(rows, marks))

    def __str__(self):
        return "\n".join(_told(self))

    def __repr__(self):
        return f"Record({self.rows} rows of {', '.join(self.names) or 'nothing'}; {self.skipped_count} lines skipped)"


@dataclass(frozen=True, eq=False)
class Gaps:
    """Gaps of a record, one entry each: `rows`, the first row behind it; `seconds` from the row before; `missing`,
    how many rows would have fitted in at the usual period; `marked`, whether the recorder marked it."""

    rows: np.ndarray
    seconds: np.ndarray
    missing: np.ndarray
    marked: np.ndarray


def read(source, *, time=None, period_s=1.0, decimal="auto", keep=1000):
    """Read a log: a path, bytes, or an open file -> `Record`.

    It reads one number a line, several, `name=value` or `name: value unit`, comma-separated values with a header,
    text with numbers in it, dates and times of day, and the lines of our own recorder: seconds with three decimals, a
    tab, and what the board sent; a line that begins with "# gap" marks a gap, any other that begins with # is a
    comment. CR LF, LF and CR end a line. A byte order mark, UTF-16, a terminal's colours, a typeset minus, numbers in
    hexadecimal, AM and PM, and the usual ways to write a date are read as what they mean; `told` says which were there.

    time : name or number of the time column, False for none, None to find it; without one each row and each skipped
    line takes one `period_s` [s]. decimal : ".", "," or "auto", see `lines.decimal_sign`. keep : how many line
    numbers of each kind are kept; counts are exact whatever it is.

    The forms of line that the log keeps to are found from some two thousand of its first lines. A line is a row, or
    blank, a comment, the header again, or counted in `skipped` with a reason: `reader.REASONS` has all. A half line
    that still looks whole cannot be told from a whole one: the first line of a log may be one; a recorder's is marked,
    see `Record.unsure`. A last line without its end is skipped, and so is a line that the recorder found torn. Raises
    `ValueError` for a period not above 0 s, an unknown decimal sign, or a time column that is not there; `OSError`
    where the file cannot be opened. What the file holds never raises.

    >>> record = read(b"time_ms,code,temp_c\\n0,163,24.8\\n500,164,25.4\\nBrown-out! restart\\n1000,163,24.8\\n")
    >>> record.names, record.times_s.tolist(), record.column("code").tolist()
    (('time_ms', 'code', 'temp_c'), [0.0, 0.5, 1.0], [163.0, 164.0, 163.0])
    >>> [(found.reason, found.lines) for found in record.skipped]
    [('no number', (4,))]
    """
    if not 0 < period_s < float("inf"):
        raise ValueError(f"period_s {period_s:g} s must be above 0 s: the time from one row to the next")
    if decimal not in (".", ",", "auto"):
        raise ValueError(f"decimal {decimal!r} is none of '.', ',' and 'auto': choose one")
    reader = Reader(keep, decimal)
    if isinstance(source, (bytes, bytearray)):
        reader.read(io.BytesIO(source))
    elif isinstance(source, (str, os.PathLike)):
        with open(source, "rb") as stream:  # noqa: PTH123 - a path of any kind
            reader.read(stream)
    else:
        reader.read(source)
    return _record(reader, time, period_s)


def _record(reader, time, period_s):
    layout = reader.layout
    lines, asides = _joined(reader.line_numbers, np.int64), reader.asides_before()
    columns = tuple(_joined(parts, float) for parts in reader.columns)
    reader.columns = []
    marks, unsure = (np.array(rows, dtype=np.int64) for rows in (reader.marks, reader.unsure))
    if reader.torn:
        torn = np.array(reader.torn, dtype=np.int64)
        reader.cut_short(lines[torn].tolist())
        lines, *columns = (np.delete(each, torn) for each in (lines, *columns))
        asides = np.delete(asides, torn) if np.ndim(asides) else asides
        marks, unsure = (rows - np.searchsorted(torn, rows) for rows in (marks, np.setdiff1d(unsure, torn)))
    nth, why = time_column(layout.names, layout.units, layout.kinds, columns, time)
    if nth is None:
        times, notes, told = _counted(lines, asides, why, period_s, reader)
    else:
        times, notes, told = _times(layout, columns, nth, why, lines, reader)
    skipped = tuple(
        Found(reason, tally.count, tuple(tally.lines), tally.example)
        for reason, tally in sorted(reader.skipped.items(), key=lambda item: -item[1].count)
    )
    return Record(
        names=layout.names,
        units=layout.units,
        columns=tuple(columns),
        times_s=times,
        line_numbers=lines,
        time_name=None if nth is None else layout.names[nth],
        lines=reader.lines,
        blank=reader.blank,
        comments=reader.comments,
        headers=reader.headers,
        skipped=skipped,
        time_notes=notes,
        marks=marks,
        unsure=unsure,
        decimal=layout.decimal,
        told=(*layout.told, told),
    )


def _joined(parts, dtype):
    """One array of many; the many are let go."""
    whole = np.concatenate(parts) if parts else np.empty(0)
    parts.clear()
    return whole.astype(dtype, copy=False)


def _counted(lines, asides, why, period_s, reader):
    """Times of rows without a time column: a period for each row, and for each skipped line between them."""
    times = (lines - asides).astype(float)
    times -= times[:1].copy()
    times *= period_s
    told = f"{why}: times are row number times {period_s:g} s"
    skipped = sum(tally.count for tally in reader.skipped.values())
    if skipped:
        told += f", each of the {skipped} skipped lines counting as a row; how long they really took cannot be known"
    if reader.marks:
        told += f"; nor can how long the {len(reader.marks)} marked gaps were, which count as nothing"
    return times, (), told


def _times(layout, columns, nth, why, lines, reader):
    kind, name = layout.kinds[nth], layout.names[nth]
    if kind == "number":
        unit_s, unit = unit_of(name, layout.units[nth], columns[nth])
    else:
        unit_s, unit = 1.0, "in s" + {"host": "", "clock": " since midnight"}.get(kind, " since 1970-01-01 UTC")
    times, found = mended(columns[nth], unit_s, kind == "clock")
    notes = tuple(
        Found(reason, int(rows.size), tuple(lines[rows[: reader.kept]].tolist()), _KIND_TOLD[reason])
        for reason, rows in found.items()
        if rows.size
    )
    told = f"times come from {name}, {unit}: {why}"
    if reader.clocks:
        told += f"; {reader.clocks} times the computer's clock was set meanwhile, which these seconds do not follow"
    return times, notes, told


def _told(record):
    """The account of a log in lines of text."""
    yield f"{record.lines} lines: " + ", ".join(f"{count} {kind}" for kind, count in record.account().items() if count)
    yield f"columns: {', '.join(_with_units(record)) or 'none'}"
    yield from record.told
    for found in record.skipped:
        yield f"{found.reason} ({REASONS[found.reason]}): {found.count}, {_where(found)}, {found.example!r}"
    for found in record.time_notes:
        yield f"{found.reason} ({found.example}): {found.count}, {_where(found)}"
    if record.unsure.size:
        first = Found("", record.unsure.size, tuple(record.line_numbers[record.unsure[:6]].tolist()))
        yield f"unsure (first once the recorder listened, perhaps half a line): {first.count}, {_where(first)}"
    gaps = record.gaps()
    if gaps.rows.size:
        yield f"{gaps.rows.size} gaps, {gaps.missing.sum()} rows missing at one each {record.period_s:.6g} s"


def _with_units(record):
    return [f"{name} [{unit}]" if unit else name for name, unit in zip(record.names, record.units, strict=True)]


def _where(found):
    first = ", ".join(map(str, found.lines[:5]))
    return f"line {first}" if found.count == 1 else f"lines {first}{', ...' if found.count > 5 else ''}"
