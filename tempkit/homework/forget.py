"""Delete the data of one student: hand-ins, their page of remarks, and their lines in the tables of results."""

import csv
import io
from dataclasses import dataclass
from pathlib import Path

from tempkit.homework import handins, records
from tempkit.homework.records import RecordError
from tempkit.homework.tables import put

TABLES = ("marks.csv", "answers.csv", "odd.csv")


@dataclass(frozen=True)
class Found:
    """A file that holds data of a student: its `path`; `lines` is how many lines of a table are theirs, None where
    the whole file is."""

    path: Path
    student: str
    course: str | None = None
    lines: int | None = None

    def __str__(self):
        path = handins.printable(str(self.path))
        return path if self.lines is None else f"{path}: {self.lines} lines"


def found_of(student, folders, course=None):
    """Everything of a student in some folders: answer records with their code, also put-aside ones, their page of
    remarks, and their lines in marks.csv, answers.csv and odd.csv.

    A class report with names holds marks too: mark the class again afterwards. Raises `ValueError` for a bad code.
    """
    student = records.safe_code(student, "the student code")
    course = records.safe_code(course, "the course code") if course else None
    found = []
    for folder in map(Path, folders):
        if not folder.is_dir():
            raise ValueError(f"{folder} is not a folder")
        for path in sorted(folder.rglob("*")):
            found += _in_file(path, student, course)
    return tuple(found)


def _in_file(path, student, course):
    if path.name in TABLES:
        lines = sum(_theirs(row, student, course) for row in _rows(path))
        return [Found(path, student, course, lines)] if lines else []
    if path.suffix == ".html":
        theirs = path.stem.partition("_")[2] == student and (course is None or path.stem.partition("_")[0] == course)
        return [Found(path, student)] if theirs else []
    if path.suffix == ".json" and path.is_file() and not path.is_symlink():
        try:
            record = records.read(path)
        except RecordError:
            named = path.stem.split("_")
            theirs = len(named) >= 3 and named[2] == student and (course is None or named[1] == course)
        else:
            theirs = record.student == student and (course is None or record.course == course)
        return [Found(path, student)] if theirs else []
    return []


def _rows(path):
    try:
        text = records.read_bytes(path, 1_000_000_000).decode("utf-8", "replace")
    except RecordError:
        return []
    return list(csv.DictReader(io.StringIO(text, newline="")))


def _theirs(row, student, course):
    return row.get("student") == student and (course is None or row.get("course") == course)


def delete(found):
    """Delete what `found_of` found: whole files are removed, tables lose the student's lines."""
    for item in found:
        if item.lines is None:
            item.path.unlink()
        else:
            rows = _rows(item.path)
            out = io.StringIO()
            writer = csv.DictWriter(out, list(rows[0]), lineterminator="\r\n")
            writer.writeheader()
            writer.writerows(row for row in rows if not _theirs(row, item.student, item.course))
            put(item.path, out.getvalue())
