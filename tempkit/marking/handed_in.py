"""What a class handed in: every file of a folder is looked at once, answer records are read, the rest is listed.

What lies there but is no mark is named by one of the words below, which marks.csv, report and page print alike.

Files from students are untrusted. Only plain files whose name ends in .json are opened, none larger than a record
can be; links, pipes and devices are not followed, and nothing is ever executed, unpacked or imported.
"""

import os
import re
from dataclasses import dataclass
from pathlib import Path

from tempkit import exercises
from tempkit.exercises import Record, RecordError

DEEPEST = 8
MOST_FILES = 500_000
TOLD = re.compile(rf"(?i)(?<![A-Z0-9-])({exercises.SHEET})_({exercises.CODE})_({exercises.CODE})(?![A-Z0-9-])")
OURS = (exercises.WHO, ".lock", ".new")
ARCHIVES = (".zip", ".7z", ".rar", ".tar", ".gz", ".tgz", ".bz2", ".xz")
ANSWERS = ("book", "notebooks", exercises.FOLDER)  # where a student's answers lie in a home of the class server
UNREADABLE, ZIP, WRONG_NAME, OTHER = "unreadable", "zip", "wrong name", "no answer record"
PUT_ASIDE, WRONG_COURSE, WRONG_CODE = "put aside", "wrong course code", "wrong student code"
FOREIGN, ANOTHERS, OTHER_SHEET = "in another's folder", "another's answers", "another sheet"
NEWER, NOTHING = "newer problem version", "nothing handed in"
ADVICE = {
    UNREADABLE: "A file came that could not be read. Hand in the file as the notebook wrote it.",
    ZIP: "An archive came; archives are not unpacked. Hand in the .json file in it.",
    WRONG_NAME: "A file came under a wrong name. Hand in the .json file under the name that the notebook gave it.",
    OTHER: "A file came that is not an answer record. Hand in the .json file that the sheet names.",
    PUT_ASIDE: "Only answers that were put aside came. Hand in the .json file that the sheet names.",
    WRONG_COURSE: "A file came with the code of another course. Speak with your instructor.",
    WRONG_CODE: "A file came with a student code that is not yours. Speak with your instructor.",
    FOREIGN: "A file with your codes came from another student; it does not count. Speak with your instructor.",
    ANOTHERS: "A file came that holds another student's codes. Speak with your instructor.",
    OTHER_SHEET: "What came is another sheet.",
    NEWER: "Answers came to a newer version of the problems. Your instructor has to update and mark again.",
    NOTHING: "Nothing was handed in.",
}


@dataclass(frozen=True)
class HandIn:
    """An answer record that was handed in: `where` it lies in the folder, and the `record`."""

    where: str
    record: Record


@dataclass(frozen=True)
class Odd:
    """Something in the folder that is not as it should be: `where`, the `reason`, whose it says it is, and the `word`
    for it where it may be what a student meant to hand in ("" where not)."""

    where: str
    reason: str
    course: str = ""
    sheet: str = ""
    student: str = ""
    word: str = ""


def look(folder, leave_out=(), homes=False):
    """Every `HandIn` and every `Odd` of a folder and its folders, in the order of their names.

    `leave_out` are folders not to look into. With `homes` the folder holds a copied home of each student, and only the
    answers in it are looked at. Raises `ValueError` where the folder itself cannot be read.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise ValueError(f"{folder} is not a folder: name the one with the answer records that were handed in")
    for count, (path, where, reason, word) in enumerate(_entries(folder, leave_out, homes)):
        if count >= MOST_FILES:
            yield Odd(where, f"more than {MOST_FILES:,} files: this one and all after it were not looked at")
            return
        yield Odd(where, reason, *named(where), word=word) if reason else _look_at(path, where)


def files(folder, leave_out=(), homes=False):
    """How many entries `look` will come to."""
    return sum(1 for _ in _entries(Path(folder), leave_out, homes))


def _entries(folder, leave_out, homes):
    return (_homes if homes else _files)(folder, "", 0, {Path(path).resolve() for path in leave_out})


def _homes(folder, above, depth, skipped):
    """As `_files`, of the folder of answers in each home; a link on the way there is not followed."""
    for home in sorted(path for path in folder.iterdir() if path.resolve() not in skipped):
        answers = home.joinpath(*ANSWERS)
        where = printable("/".join((home.name, *ANSWERS)))
        try:
            if any(path.is_symlink() for path in (answers, *list(answers.parents)[: len(ANSWERS)])):
                yield answers, where, "reached by a link: not followed", UNREADABLE
            elif answers.is_dir():
                yield from _files(answers, f"{where}/", depth, skipped)
            else:
                yield answers, where, "no such folder: no sheet was begun in this home", ""
        except OSError as error:
            yield answers, where, f"folder that cannot be read: {error.strerror}", UNREADABLE


def _files(folder, above, depth, skipped):
    """Path, printable place, the reason why it is not even opened ("" where it is), and the word for it."""
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        yield folder, above or ".", f"folder that cannot be read: {error.strerror}", UNREADABLE
        return
    if not found:
        yield folder, above or ".", "empty folder", ""
    for entry in found:
        path, where = Path(entry.path), above + printable(entry.name)
        if not entry.is_dir(follow_symlinks=False):
            yield path, where, *_unopened(entry.name)
        elif path.resolve() in skipped:
            continue
        elif entry.name == exercises.OLD:
            yield path, where, "folder of put-aside answers: passed over", PUT_ASIDE
        elif depth == DEEPEST:
            yield path, where, f"folder more than {DEEPEST} deep: not looked into", UNREADABLE
        else:
            yield from _files(path, f"{where}/", depth + 1, skipped)


def _unopened(name):
    if name.endswith(OURS):
        return "belongs to the student's notebook, no answers in it: passed over", ""
    if name.lower().endswith(ARCHIVES):
        return "not an answer record by its name but an archive: not opened; hand in the .json file in it", ZIP
    if not name.lower().endswith(".json"):
        return "not an answer record by its name (.json): not opened", WRONG_NAME if TOLD.search(name) else OTHER
    return "", ""


def _look_at(path, where):
    try:
        return HandIn(where, exercises.read_record(path))
    except RecordError as error:
        return Odd(where, str(error), *named(where), word=ZIP if "zip archive" in str(error) else UNREADABLE)


def named(where):
    """Course, sheet and student code as a file's name tells them, "" for what it does not.

    >>> named("in/copy of h01_BENCH-9_ROBIN (1).json"), named("h02-my-notebook.ipynb")
    (('BENCH-9', 'h01', 'ROBIN'), ('', 'h02', ''))
    """
    name = where.rpartition("/")[2]
    if found := TOLD.search(name):
        return found[2].upper(), found[1].lower(), found[3].upper()
    sheet = re.match(rf"(?i)({exercises.SHEET})(?![A-Z0-9])", name)
    return "", sheet[1].lower() if sheet else "", ""


def printable(name):
    """A file name as text that can be printed and written, whatever its bytes.

    >>> printable("a\\nb"), printable("caf\\udce9")
    ('a\\\\nb', 'caf\\\\xe9')
    """
    text = os.fsencode(name).decode("utf-8", "backslashreplace")
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in text)
