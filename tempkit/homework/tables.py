"""Marks as CSV (RFC 4180): numbers stay numbers, and no text can act as a formula in a spreadsheet."""

import csv
import io
import re
from pathlib import Path

NUMBER = re.compile(r"-?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})")
FORMULA = re.compile(r"[\s\ufeff\u200b\u200e\u200f\u2060]*[=+\-@\uff1d\uff0b\uff0d\uff20|%\u2212]")
MARKS = (
    *("course", "student", "name", "sheet", "state", "mark", "out_of", "right", "answered", "tries", "late"),
    *("set_by_hand", "hand_in", "odd"),
)
ANSWERS = (
    *("course", "student", "sheet", "problem", "version", "state", "mark", "tries", "late"),
    *("wrong_ways", "last_answer", "note"),
)
ODD = ("where", "course", "sheet", "student", "reason")


def cell(value):
    """A value as it stands in a cell: numbers as they are, text made harmless.

    Control signs become spaces; text that a spreadsheet could take for a formula gets an apostrophe in front.

    >>> cell(7.5), cell("=1+1"), cell("-3"), cell("Robin")
    ('7.5', "'=1+1", '-3', 'Robin')
    """
    if isinstance(value, int | float):
        return f"{value:g}"
    text = "".join(sign if sign.isprintable() else " " for sign in str(value))
    return text if NUMBER.fullmatch(text) or not FORMULA.match(text) else f"'{text}"


def as_csv(names, rows):
    """A table with a head line as the text of a CSV file; lines end in CR LF, as RFC 4180 says."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerows([cell(value) for value in row] for row in rows)
    return out.getvalue()


def marks_rows(marks):
    """One row for each student of the class list and each sheet."""
    for student in marks.students:
        for plan in marks.plans:
            who = (student.course, student.student, student.name, plan.id)
            mark = marks.of(student, plan)
            if mark is None:
                state = "not readable, see odd.csv" if marks.unreadable(student, plan) else "nothing handed in"
                yield (*who, state, 0, len(plan.ids), 0, 0, 0, 0, 0, "", "")
            else:
                yield (*who, "marked", mark.mark, len(plan.ids), *_counts(mark), mark.where, "; ".join(mark.odd))


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
    """One row for each problem of each hand-in that counts."""
    for plan in marks.plans:
        for mark in marks.handed_in(plan):
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


def write_tables(marks, folder):
    """Write marks.csv, answers.csv and odd.csv into a folder."""
    files = {
        "marks.csv": as_csv(MARKS, marks_rows(marks)),
        "answers.csv": as_csv(ANSWERS, answers_rows(marks)),
        "odd.csv": as_csv(ODD, odd_rows(marks)),
    }
    for name, text in files.items():
        put(Path(folder) / name, text)


def put(path, text):
    """Write a text file in UTF-8 in place of the old one, whole or not at all; signs that UTF-8 lacks become ?."""
    new = path.with_name(f"{path.name}.new")
    new.write_bytes(text.encode("utf-8", "replace"))
    new.replace(path)
