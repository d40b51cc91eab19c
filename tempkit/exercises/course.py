"""What an instructor sets for a course: its code, time zone, dates of the sheets, what a late answer is worth.

It is one small file, `my-course.toml`, that lies beside the notebooks and is given to `mark` as well:

    course = "BENCH-9"
    zone = "Europe/Paris"               # or "UTC", or a fixed "+01:00"
    late = "half"                       # "full" (as if in time), "half", "none"
    [sheets.h01]
    due = 2026-12-04T18:00:00           # a date alone is the end of that day
    solutions = 2026-12-05T08:00:00     # worked solutions stay closed until then; a date alone is its beginning
"""

import os
import re
import tomllib
from datetime import UTC, date, datetime, time, timedelta, timezone
from pathlib import Path
from typing import Annotated, Literal
from zoneinfo import ZoneInfo

import msgspec

from tempkit.exercises import answers

FILE = "my-course.toml"
LARGEST_BYTES = 100_000
LATE = {"full": 1.0, "half": 0.5, "none": 0.0}
WORTH = {"full": "counts in full", "half": "counts half", "none": "does not count"}
END_OF_DAY = time(23, 59, 59)
Local = Annotated[datetime, msgspec.Meta(tz=False)]


class Dates(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Local times of a sheet: `due`, and `solutions`, from when worked solutions may be seen; None for no limit."""

    due: Local | None = None
    solutions: Local | None = None


class Course(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The settings of a course; `tries` is how many answers to a problem count, None for all.

    >>> Course(zone="+01:00", sheets={"h01": Dates(due=datetime(2026, 12, 4, 18))}).due("h01").isoformat()
    '2026-12-04T18:00:00+01:00'
    """

    course: answers.Code | None = None
    zone: str = "UTC"
    late: Literal["full", "half", "none"] = "full"
    tries: Annotated[int, msgspec.Meta(ge=1, le=1000)] | None = None
    sheets: dict[Annotated[str, msgspec.Meta(pattern=rf"^{answers.SHEET}\Z")], Dates] = {}

    def __post_init__(self):
        zone(self.zone)

    def due(self, sheet):
        """When a sheet is due, as a time with its zone, or None."""
        return self._time(self.sheets.get(sheet, Dates()).due)

    def solutions(self, sheet):
        """From when worked solutions of a sheet may be seen, as a time with its zone, or None."""
        return self._time(self.sheets.get(sheet, Dates()).solutions)

    def holds(self, sheet, at):
        """True while worked solutions of a sheet stay closed."""
        opens = self.solutions(sheet)
        return opens is not None and at < opens

    def local(self, at):
        """A time in the course's zone, as text with the zone.

        >>> Course(zone="+01:00").local(datetime(2026, 12, 4, 18, tzinfo=UTC))
        '4 December 2026, 19:00 (+01:00)'
        """
        there = at.astimezone(zone(self.zone))
        return f"{there.day} {there:%B %Y, %H:%M} ({self.zone})"

    def due_told(self, sheet):
        """When a sheet is due and what a later answer is worth, in sentences; "" where there is no date.

        >>> Course(late="half", sheets={"h01": Dates(due=datetime(2026, 12, 4, 18))}).due_told("h01")
        'Due on 4 December 2026, 18:00 (UTC). An answer after that counts half.'
        """
        due = self.due(sheet)
        return f"Due on {self.local(due)}. An answer after that {WORTH[self.late]}." if due else ""

    def _time(self, local):
        return None if local is None else local.replace(tzinfo=zone(self.zone))


def zone(name):
    """The time zone of a name like "Europe/Paris", "UTC" or "+01:00". Raises `ValueError` for another.

    >>> zone("-03:30").utcoffset(None)
    datetime.timedelta(days=-1, seconds=73800)
    """
    fixed = re.fullmatch(r"([+-])(\d\d):([0-5]\d)", name)
    if fixed and int(fixed[2]) <= 14:
        span = timedelta(hours=int(fixed[2]), minutes=int(fixed[3]))
        return timezone(-span if fixed[1] == "-" else span)
    try:
        return UTC if name == "UTC" else ZoneInfo(name)
    except (OSError, ValueError, KeyError):
        raise ValueError(
            f"time zone {name[:60]!r} is not known on this machine: write UTC, a name like Europe/Paris,"
            " or a fixed distance from UTC like +01:00"
        ) from None


def read_course(path):
    """The `Course` of a file. Raises `ValueError` that names the file, the place and what is allowed."""
    try:
        found = tomllib.loads(answers.text_of(answers.read_bytes(path, LARGEST_BYTES)))
        sheets = found.get("sheets")
        for dates in sheets.values() if isinstance(sheets, dict) else ():
            for name, at in (("due", END_OF_DAY), ("solutions", time())):
                if isinstance(dates, dict) and type(dates.get(name)) is date:
                    dates[name] = datetime.combine(dates[name], at)
        return msgspec.convert(found, type=Course)
    except (ValueError, msgspec.ValidationError) as error:
        raise ValueError(f"{path} is not a course file as described in README.md: {error}") from None


def current():
    """The course file beside the notebook (or the one that TEMPKIT_COURSE names); without one, no limits."""
    path = Path(os.environ.get("TEMPKIT_COURSE", FILE))
    return read_course(path) if path.is_file() else Course()
