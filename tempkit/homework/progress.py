"""How far a student is over the book, from the records in the folder."""

from pathlib import Path

from tempkit.homework import keeper as keepers
from tempkit.homework import records
from tempkit.homework.records import Record, RecordError
from tempkit.homework.sheets import SHEETS, standing


def progress(course=None, student=None, where=None):
    """Lines that tell how far a student is on every sheet; without codes, the one who entered them last.

    Raises `ValueError` where no codes were entered, or for codes that cannot be used.

    >>> progress("BENCH-9", "NOBODY").splitlines()[0]
    'h01: 0 of 11 right, 0 answered and not right yet, 11 open'
    """
    if course is None or student is None:
        known = keepers.who(where)
        if known is None:
            raise ValueError("no codes were entered yet: open a sheet and enter course and student code")
        course, student = known.course, known.student
    names = (records.safe_code(course, "the course code"), records.safe_code(student, "the student code"))
    return "\n".join(_line(plan, *names, where) for plan in SHEETS)


def _line(plan, course, student, where):
    empty = Record(course, plan.id, student)
    path = Path(where or keepers.folder()) / empty.name
    try:
        return str(standing(plan, records.read(path) if path.exists() else empty))
    except RecordError as error:
        return f"{plan.id}: the record cannot be read ({error})"
