"""Marks as CSV (RFC 4180): numbers stay numbers, and no text can act as a formula in a spreadsheet.

Results are written through `Results`, which remembers what it wrote: only that is ever replaced or removed.
"""

import csv
import hashlib
import io
import re
from pathlib import Path

NUMBER = re.compile(r"-?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})")
MONTH = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
# What a spreadsheet takes for another number or for a date: 007, 7,5 or 7.5, 1/2, 3-4, 1E5, MAR-1.
MISREAD = re.compile(rf"(?i)0\d+|\d+[.,:/e+-][\d.,:/e+-]*|(\d+[- ])?({MONTH})([- ]\d+)?")
FORMULA = re.compile(r"[\s\ufeff\u200b\u200e\u200f\u2060]*[=+\-@\uff1d\uff0b\uff0d\uff20|%\u2212]")
MARKS = (
    *("course", "student", "name", "sheet", "state", "reason", "mark", "out_of", "right", "answered", "tries", "late"),
    *("set_by_hand", "hand_in", "odd"),
)
ANSWERS = (
    *("course", "student", "sheet", "problem", "version", "state", "mark", "tries", "late"),
    *("wrong_ways", "last_answer", "note"),
)
ODD = ("where", "course", "sheet", "student", "reason")
SEPARATORS = ",;\t"
MANIFEST = "written.txt"


def cell(value, point="."):
    """A value as it stands in a cell: numbers with their decimal point, text made harmless.

    Control signs become spaces; text that a spreadsheet could take for a formula, a date or another number gets an
    apostrophe in front, which `text_of_cell` takes away.

    >>> cell(7.5), cell("=1+1"), cell("-3"), cell("Robin"), cell("007"), cell("7,5"), cell(7.5, ",")
    ('7.5', "'=1+1", '-3', 'Robin', "'007", "'7,5", '7,5')
    """
    if isinstance(value, int | float):
        return f"{value:g}".replace(".", point)
    text = "".join(sign if sign.isprintable() else " " for sign in str(value))
    plain = NUMBER.fullmatch(text) and not re.match(r"-?0\d", text) and (point == "." or "." not in text)
    return text if plain or not (FORMULA.match(text) or MISREAD.fullmatch(text)) else f"'{text}"


def text_of_cell(text):
    """The text of a cell that `cell` wrote.

    >>> text_of_cell("'007"), text_of_cell("'t Hooft")
    ('007', "'t Hooft")
    """
    return text[1:] if text[:1] == "'" and text in (cell(text[1:]), cell(text[1:], ",")) else text


def as_csv(names, rows, semicolon=False):
    """A table with a head line as the text of a CSV file; lines end in CR LF, as RFC 4180 says.

    With `semicolon` for spreadsheets of countries with a decimal comma: both stand in it then.

    >>> as_csv(("student", "mark"), [("ROBIN", 7.5)], semicolon=True)
    'student;mark\\r\\nROBIN;7,5\\r\\n'
    """
    told = ([cell(value, "," if semicolon else ".") for value in row] for row in rows)
    return _joined([names, *told], ";" if semicolon else ",")


def _joined(rows, separator):
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def separator_of(text):
    """The sign that parts the columns of a CSV file's text: the most frequent in its first line.

    >>> separator_of("student;name;course"), separator_of("student")
    (';', ',')
    """
    head = text.partition("\n")[0]
    return max(SEPARATORS, key=head.count)


def without(text, is_theirs):
    """The text of a CSV file without the rows (column name -> cell) of which `is_theirs` is true, and how many."""
    separator = separator_of(text)
    names, *rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator)) or [[]]
    kept = [row for row in rows if not is_theirs(dict(zip(names, row, strict=False)))]
    return _joined([names, *kept], separator), len(rows) - len(kept)


def marks_rows(marks):
    """One row for each student of the class list and each sheet."""
    for student in marks.students:
        for plan in marks.plans:
            who = (student.course, student.student, student.name, plan.id)
            mark = marks.of(student, plan)
            told = (*who, marks.state(student, plan), marks.reason(student, plan))
            if mark is None:
                yield (*told, 0, len(plan.ids), 0, 0, 0, 0, 0, "", "")
            else:
                where = "; ".join(filter(None, (mark.where, *mark.also)))
                yield (*told, mark.mark, len(plan.ids), *_counts(mark), where, "; ".join(mark.odd))


def _counts(mark):
    tries = [one for problem in mark.problems for one in problem.tries]
    return (
        sum(problem.right for problem in mark.problems),
        mark.answered,
        len(tries),
        sum(one.late for one in tries),
        sum(problem.override is not None for problem in mark.problems),
    )


def answers_rows(marks):
    """One row for each problem of each student's sheet that has a mark."""
    for plan in marks.plans:
        for mark in marks.given(plan):
            for one in mark.problems:
                yield (
                    *(mark.course, mark.student, mark.sheet, one.id, one.posed.problem.version, one.state, one.mark),
                    *(len(one.tries), sum(t.late for t in one.tries), " ".join(key or "other" for key in one.ways)),
                    one.tries[-1].text if one.tries else "",
                    f"set by hand: {one.override.reason}" if one.override else one.note,
                )


def odd_rows(marks):
    """One row for everything odd in the folder."""
    return ((odd.where, odd.course, odd.sheet, odd.student, odd.reason) for odd in marks.odd)


def write_tables(marks, results, semicolon=False):
    """Write marks.csv, answers.csv and odd.csv, in UTF-8 with the mark at the start that spreadsheets look for."""
    tables = (("marks", MARKS, marks_rows), ("answers", ANSWERS, answers_rows), ("odd", ODD, odd_rows))
    for name, names, rows in tables:
        results.put(f"{name}.csv", "\ufeff" + as_csv(names, rows(marks), semicolon))


class Results:
    """A folder of results with a list, written.txt, of what was written there: SHA-256 and name of each file.

    `kept` are new names of files that stood in the way of ours and had been changed, or were never ours.
    """

    def __init__(self, folder):
        self.folder, self.kept, self._now = Path(folder), [], {}
        self.folder.mkdir(parents=True, exist_ok=True)
        path = self.folder / MANIFEST
        lines = path.read_text("utf-8", "replace").splitlines() if path.is_file() else ()
        self._known = {name: digest for digest, _, name in (line.partition("  ") for line in lines)}

    @classmethod
    def around(cls, path):
        """The results that a file belongs to, or None."""
        return next((cls(above) for above in list(path.parents)[:2] if (above / MANIFEST).is_file()), None)

    def ours(self, name):
        """True where this file is as it was written here."""
        path = self.folder / name
        inside = path.resolve().is_relative_to(self.folder.resolve())
        return inside and path.is_file() and _digest(path.read_bytes()) == self._known.get(name)

    def put(self, name, text):
        """Write a text file; what stands in its place and is not ours is kept under another name."""
        path, data = self.folder / name, text.encode("utf-8", "replace")
        path.parent.mkdir(exist_ok=True)
        if path.exists() and not self.ours(name) and path.read_bytes() != data:
            names = (path.with_name(f"{path.stem}-kept-{n}{path.suffix}") for n in range(1, 10_000))
            self.kept.append(path.rename(next(free for free in names if not free.exists())).name)
        put(path, text)
        self._now[name] = _digest(data)

    def sweep(self):
        """Remove what was written here before and not now, and is still as it was written; then `save`."""
        for name in self._known.keys() - self._now.keys():
            if self.ours(name):
                (self.folder / name).unlink()
        self.save()

    def save(self):
        """Write the list of what is here."""
        known = sorted((self._known | self._now).items())
        here = (f"{digest}  {name}\n" for name, digest in known if name and (self.folder / name).is_file())
        put(self.folder / MANIFEST, "".join(here))


def _digest(data):
    return hashlib.sha256(data).hexdigest()


def put(path, text):
    """Write a text file in UTF-8 in place of the old one, whole or not at all; signs that UTF-8 lacks become ?."""
    new = path.with_name(f"{path.name}.new")
    new.write_bytes(text.encode("utf-8", "replace"))
    new.replace(path)
