"""What a class handed in: every file of a folder is looked at once, answer records are read, the rest is listed.

Files from students are untrusted. Only plain files whose name ends in .json are opened, none larger than a record
can be; links, pipes and devices are not followed, and nothing is ever executed, unpacked or imported.
"""

import hashlib
import os
import re
from dataclasses import dataclass, field
from pathlib import Path

from tempkit.homework import keeper, records
from tempkit.homework.records import Record, RecordError

DEEPEST = 8
MOST_FILES = 500_000
NAMED = re.compile(rf"(?i)({records.SHEET})_({records.CODE})_({records.CODE})\.json")
OURS = (keeper.WHO, ".lock", ".new")


@dataclass(frozen=True)
class HandIn:
    """An answer record that was handed in: `where` it lies in the folder, the `record`, a `digest` of its bytes."""

    where: str
    record: Record
    digest: str = field(repr=False, default="")


@dataclass(frozen=True)
class Odd:
    """Something in the folder that is not as it should be: `where`, the `reason`, and whose it says it is."""

    where: str
    reason: str
    course: str = ""
    sheet: str = ""
    student: str = ""


def look(folder, leave_out=()):
    """Every `HandIn` and every `Odd` of a folder and its folders, in the order of their names.

    `leave_out` are folders not to look into. Raises `ValueError` where the folder itself cannot be read.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise ValueError(f"{folder} is not a folder: name the one with the answer records that were handed in")
    skipped = {Path(path).resolve() for path in leave_out}
    for count, (path, where, reason) in enumerate(_files(folder, "", 0, skipped)):
        if count >= MOST_FILES:
            yield Odd(where, f"more than {MOST_FILES:,} files: this one and all after it were not looked at")
            return
        yield Odd(where, reason) if reason else _look_at(path, where)


def files(folder, leave_out=()):
    """How many entries `look` will come to."""
    return sum(1 for _ in _files(Path(folder), "", 0, {Path(path).resolve() for path in leave_out}))


def _files(folder, above, depth, skipped):
    """Triples of path, printable place and the reason why it is not even opened ("" where it is)."""
    try:
        with os.scandir(folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        yield folder, above or ".", f"folder that cannot be read: {error.strerror}"
        return
    if not found:
        yield folder, above or ".", "empty folder"
    for entry in found:
        path, where = Path(entry.path), above + printable(entry.name)
        if not entry.is_dir(follow_symlinks=False):
            yield path, where, _unopened(entry.name)
        elif path.resolve() in skipped:
            continue
        elif entry.name == keeper.OLD:
            yield path, where, "folder of put-aside answers: passed over"
        elif depth == DEEPEST:
            yield path, where, f"folder more than {DEEPEST} deep: not looked into"
        else:
            yield from _files(path, f"{where}/", depth + 1, skipped)


def _unopened(name):
    if name.endswith(OURS):
        return "belongs to the student's notebook, no answers in it: passed over"
    if not name.lower().endswith(".json"):
        return "not an answer record by its name (.json): not opened"
    return ""


def _look_at(path, where):
    try:
        data = records.read_bytes(path)
        return HandIn(where, records.decode(data), hashlib.sha256(data).hexdigest())
    except RecordError as error:
        return Odd(where, str(error), *_named(where))


def _named(where):
    """Course, sheet and student code as a file's name tells them; nothing where it is not of our form."""
    named = NAMED.fullmatch(where.rpartition("/")[2])
    return (named[2].upper(), named[1].lower(), named[3].upper()) if named else ()


def printable(name):
    """A file name as text that can be printed and written, whatever its bytes.

    >>> printable("a\\nb"), printable("caf\\udce9")
    ('a\\\\nb', 'caf\\\\xe9')
    """
    text = os.fsencode(name).decode("utf-8", "backslashreplace")
    return "".join(sign if sign.isprintable() else sign.encode("unicode_escape").decode() for sign in text)
