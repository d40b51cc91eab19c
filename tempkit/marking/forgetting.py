"""Delete the data of one student: hand-ins, their page of remarks, and their lines in the tables of results."""

import re
from dataclasses import dataclass
from pathlib import Path

from tempkit import exercises
from tempkit.exercises import RecordError
from tempkit.marking import handed_in
from tempkit.marking.tables import MANIFEST, Results, put, text_of_cell, without

TABLES = ("marks.csv", "answers.csv", "odd.csv")
LARGEST_BYTES = 1_000_000_000


@dataclass(frozen=True)
class Found:
    """A file that holds data of a student: its `path`; `lines` is how many lines of a table are theirs, None where
    the whole file is."""

    path: Path
    student: str
    course: str | None = None
    lines: int | None = None

    def __str__(self):
        path = handed_in.printable(str(self.path))
        return path if self.lines is None else f"{path}: {self.lines} lines"


def found_of(student, folders, course=None):
    """Everything of a student in some folders: answer records with their code, also put-aside ones, other files that
    are named for them, their page of remarks, and their lines in marks.csv, answers.csv and odd.csv.

    A class report with names, hand-outs and class lists hold them too: see `still_holding`. Raises `ValueError` for a
    bad code.
    """
    student = exercises.safe_code(student, "the student code")
    course = exercises.safe_code(course, "the course code") if course else None
    return tuple(item for path in _paths(folders) for item in _in_file(path, student, course))


def _paths(folders):
    """Everything in some folders, once, though a folder lies in another."""
    for folder in map(Path, folders):
        if not folder.is_dir():
            raise ValueError(f"{folder} is not a folder")
    found = (path for folder in folders for path in sorted(Path(folder).rglob("*")))
    return tuple({path.absolute(): path for path in found}.values())


def _in_file(path, student, course):
    if path.name in TABLES:
        _, lines = without(_text(path), lambda row: _theirs(row, student, course))
        return [Found(path, student, course, lines)] if lines else []
    if path.suffix == ".html":
        theirs = path.stem.partition("_")[2] == student and (course is None or path.stem.partition("_")[0] == course)
        return [Found(path, student)] if theirs else []
    if path.suffix == ".json" and path.is_file() and not path.is_symlink():
        try:
            record = exercises.read_record(path)
        except RecordError:
            record = None  # its name tells
        if record:
            theirs = record.student == student and (course is None or record.course == course)
            return [Found(path, student)] if theirs else []
    named = handed_in.named(handed_in.printable(path.name))
    theirs = named[2] == student and (course is None or named[0] == course)
    return [Found(path, student)] if theirs and (path.is_symlink() or not path.is_dir()) else []


def _text(path):
    """The text of a file, as far as there is one; "" for what is no plain file."""
    try:
        data = exercises.read_bytes(path, LARGEST_BYTES)
        return exercises.text_of(data)
    except RecordError:
        return ""
    except UnicodeError:
        return data.decode("latin-1")


def _theirs(row, student, course):
    told = [text_of_cell(row.get(name, "")) for name in ("student", "course")]
    return told[0] == student and course in (None, told[1])


def delete(found):
    """Delete what `found_of` found: whole files are removed, tables lose the student's lines.

    Raises `ValueError` for a file that cannot be deleted or written; those named before it are done.
    """
    for item in found:
        try:
            _delete(item)
        except OSError as error:
            raise ValueError(f"{item.path} cannot be deleted or written ({error.strerror}): may you?") from None


def _delete(item):
    results = Results.around(item.path)
    name = item.path.relative_to(results.folder).as_posix() if results else ""
    if item.lines is None:
        item.path.unlink()
    else:
        kept, _ = without(_text(item.path), lambda row: _theirs(row, item.student, item.course))
        ours = results and results.ours(name)
        (results.put if ours else put)(name if ours else item.path, f"\ufeff{kept}")
    if results:
        results.save()


def still_holding(student, folders):
    """Files in some folders that still name a student after `delete`: a class report, hand-outs, the class list.

    They are found by the student's code in their text or in their place. Archives are not looked into.
    """
    code = re.compile(rf"(?<![A-Z0-9-]){re.escape(exercises.safe_code(student, 'the student code'))}(?![A-Z0-9-])")
    files = (path for path in _paths(folders) if path.name != MANIFEST and (path.is_symlink() or path.is_file()))
    return tuple(path for path in files if code.search(str(path).upper()) or code.search(_text(path)))
