"""Answer records: one JSON file for each sheet and student, and the keeper that adds to it on the student's side.

A record holds every answer in order, never only the last, and an answer is in it before the remark shows. It is written
to a new file, forced to the disk and then put in place of the old one, so that a crash at any moment leaves either the
old record or the new one. Reading takes any bytes: what is not a record is a `RecordError` with the reason, and nothing
in a file is ever executed.
"""

import contextlib
import json
import os
import re
import stat
import threading
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import msgspec

from tempkit.exercises.figures import figures_digest, tidy_code

FORMAT = 1
LARGEST_BYTES = 2_000_000
LONGEST_ANSWER = 240
MOST_ANSWERS = 2_000
MOST_CELLS = 100
YEARS = (2020, 2120)
CODE = r"[A-Z0-9](?:[A-Z0-9-]{0,22}[A-Z0-9])?"
SHEET = r"[a-z][0-9]{2}"

Text = Annotated[str, msgspec.Meta(max_length=LONGEST_ANSWER)]
Code = Annotated[str, msgspec.Meta(pattern=rf"^{CODE}\Z")]
ProblemId = Annotated[str, msgspec.Meta(pattern=r"^[0-9]{2}(-[a-z0-9]+){1,12}\Z", max_length=80)]
Small = Annotated[int, msgspec.Meta(ge=1, le=1_000_000)]


class RecordError(ValueError):
    """Why some bytes or a file are not an answer record, in words for the one who has to act on it."""


class Answer(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One answer as it was typed: its running `number` in the record, the `problem` id and `version`, a digest
    of the `figures` shown, the time `at`, the `text` (several for a table or for several choices), the `unit`
    chosen; and what the notebook made of it: whether it could be `read`, and whether it was `right`. `sure`, 1 to 3,
    is how sure the student said to be; it stands only in answers where it was said, and counts for nothing."""

    number: Small
    problem: ProblemId
    version: Small
    figures: Annotated[str, msgspec.Meta(pattern=r"^[0-9a-f]{12}\Z")]
    at: Annotated[datetime, msgspec.Meta(tz=True)]
    text: Text | Annotated[tuple[Text, ...], msgspec.Meta(max_length=MOST_CELLS)]
    read: bool
    right: bool
    unit: Annotated[str, msgspec.Meta(max_length=20)] | None = None
    sure: Annotated[int, msgspec.Meta(ge=1, le=3)] | msgspec.UnsetType = msgspec.UNSET

    def __post_init__(self):
        if not YEARS[0] <= self.at.year <= YEARS[1]:
            raise ValueError(f"the year {self.at.year} lies outside {YEARS[0]} to {YEARS[1]}")


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The answers of one student to one sheet, and how many `hints` were taken for each problem.

    >>> Record("BENCH-9", "h01", "ROBIN").name
    'h01_BENCH-9_ROBIN.json'
    """

    course: Code
    sheet: Annotated[str, msgspec.Meta(pattern=rf"^{SHEET}\Z")]
    student: Code
    answers: Annotated[tuple[Answer, ...], msgspec.Meta(max_length=MOST_ANSWERS)] = ()
    hints: Annotated[dict[ProblemId, Annotated[int, msgspec.Meta(ge=0, le=9)]], msgspec.Meta(max_length=200)] = {}
    format: Annotated[int, msgspec.Meta(ge=1, le=1_000)] = FORMAT

    @property
    def name(self):
        """The file name that belongs to it."""
        return f"{self.sheet}_{self.course}_{self.student}.json"


def safe_code(code, what="code"):
    """A course or student code in its one spelling; it can stand in a file name on every system.

    Raises `ValueError` for one that is empty, longer than 24 characters or not of A to Z, 0 to 9 and hyphens.

    >>> safe_code(" robin-07 ")
    'ROBIN-07'
    """
    tidy = tidy_code(code)
    if not re.fullmatch(CODE, tidy):
        raise ValueError(
            f"{what} {str(code)[:40]!r} cannot be used: 1 to 24 of the letters A to Z, the digits and hyphens,"
            " with a letter or digit at both ends. Take the code that your instructor gave you."
        )
    return tidy


def now():
    """The time in UTC, to the second."""
    return datetime.now(UTC).replace(microsecond=0)


def encode(record):
    """A record as the bytes of its file: UTF-8, one value a line, so that a person can read it."""
    return msgspec.json.format(msgspec.json.encode(record), indent=1) + b"\n"


def decode(data):
    """Bytes of a file -> `Record`. Raises `RecordError` for anything else, and no other error.

    >>> decode(encode(Record("BENCH-9", "h01", "ROBIN"))).student
    'ROBIN'
    >>> decode(b'{"format": 1, "course": true}')
    Traceback (most recent call last):
    ...
    tempkit.exercises.answers.RecordError: not an answer record: Expected `str`, got `bool` - at `$.course`
    """
    if len(data) > LARGEST_BYTES:
        raise RecordError(f"larger than {LARGEST_BYTES:,} bytes, which no answer record is")
    if not data.strip():
        raise RecordError("empty file")
    if data.startswith(b"PK\x03\x04"):
        raise RecordError("a zip archive and not an answer record: not unpacked; hand in the .json file in it")
    with contextlib.suppress(UnicodeError):
        data = text_of(data).encode()
    try:
        record = msgspec.json.decode(data, type=Record)
        json.loads(data, object_pairs_hook=_unique)
    except UnicodeDecodeError:
        raise RecordError("not text in UTF-8 or UTF-16") from None
    except msgspec.ValidationError as error:
        raise RecordError(f"not an answer record: {str(error)[:200]}") from None
    except (msgspec.DecodeError, RecursionError) as error:
        raise RecordError(f"not JSON, or cut off: {str(error)[:200]}") from None
    if record.format != FORMAT:
        raise RecordError(f"format {record.format} is not known here, only {FORMAT}: update this package")
    return record


def text_of(data):
    """Bytes of a text file as text: UTF-8 or UTF-16, with or without a mark at the start that says which.

    Raises `UnicodeError` for other bytes.

    >>> text_of("5 °C".encode("utf-16")), text_of(b"5")
    ('5 °C', '5')
    """
    encoding = json.detect_encoding(data[:4]) if data else "utf-8"
    return data.decode("utf-8" if "32" in encoding else encoding)


def _unique(pairs):
    names = [name for name, _ in pairs]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise RecordError(f"not an answer record: {twice[:40]!r} stands twice in one object")
    return dict(pairs)


def read_bytes(path, largest=LARGEST_BYTES):
    """The bytes of a plain file. A link, folder, pipe or device is not followed, opened or waited for.

    Raises `RecordError` for these, for a file that is too large, and where the system refuses."""
    flags = (getattr(os, name, 0) for name in ("O_RDONLY", "O_NOFOLLOW", "O_NONBLOCK", "O_NOCTTY", "O_BINARY"))
    try:
        if not stat.S_ISREG(os.lstat(path).st_mode):
            raise RecordError(f"not a plain file but {_kind(os.lstat(path).st_mode)}: not opened")
        handle = os.open(path, sum(flags))
        with os.fdopen(handle, "rb") as file:
            found = os.fstat(handle)
            if not stat.S_ISREG(found.st_mode):
                raise RecordError("not a plain file: not opened")
            if found.st_size > largest:
                raise RecordError(f"{found.st_size:,} bytes: larger than {largest:,}, which no answer record is")
            return file.read(largest + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, RecordError):
            raise
        raise RecordError(f"cannot be opened: {getattr(error, 'strerror', None) or error}") from None


def _kind(mode):
    kinds = ((stat.S_ISLNK, "a link"), (stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"))
    return next((name for test, name in kinds if test(mode)), "a device")


def read_record(path):
    """The record in a file. Raises `RecordError` with the reason where there is none."""
    return decode(read_bytes(path))


def write_bytes(path, data):
    """Put a file with these bytes in place of what was there, whole or not at all, and force it to the disk."""
    path = Path(path)
    new = path.with_name(f"{path.name}.new")
    with new.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)
    _force_folder(path.parent)


def _force_folder(folder):
    """Force the entry of a renamed file to the disk; Windows has no such call for folders and needs none."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


FOLDER = "answers"
WHO = "who.json"
OLD = "old"


class Who(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whose answers the notebooks here record: course code and student code.

    >>> Who("BENCH-9", "ROBIN").student
    'ROBIN'
    """

    course: Code
    student: Code


def folder():
    """The folder of the records: `answers` beside the notebook, or the one that TEMPKIT_ANSWERS names."""
    return Path(os.environ.get("TEMPKIT_ANSWERS", FOLDER))


def who(where=None):
    """Course and student code entered before, or None."""
    try:
        return msgspec.json.decode(read_bytes(Path(where or folder()) / WHO), type=Who)
    except (RecordError, msgspec.DecodeError, UnicodeDecodeError):
        return None


def enter(course, student, where=None):
    """Keep the course and student code for all sheets. Raises `ValueError` for a code that cannot be used."""
    entered = Who(safe_code(course, "the course code"), safe_code(student, "the student code"))
    place = Path(where or folder())
    if who(place) == entered:
        return entered
    try:
        place.mkdir(parents=True, exist_ok=True)
        write_bytes(place / WHO, msgspec.json.encode(entered) + b"\n")
    except OSError as error:
        raise ValueError(f"the codes cannot be kept in the folder {place} ({error.strerror})") from None
    return entered


class Keeper:
    """Keeps the record of one sheet and student in a file; `record` is what is in it now.

    Every change reads the file anew, changes it and writes it, under a lock: two notebooks open on one sheet
    lose nothing. A file that cannot be read is put aside, never overwritten; `note` then says so.
    """

    def __init__(self, course, sheet, student, where=None):
        self.folder = Path(where or folder())
        self.record = Record(safe_code(course, "the course code"), sheet, safe_code(student, "the student code"))
        self.path, self.note = self.folder / self.record.name, ""
        self._threads = threading.RLock()
        if self.path.exists():
            self.record = self._opened()

    def _opened(self):
        """The record that is there; where nothing can be written it is read all the same, and `note` says so."""
        try:
            with self._alone():
                return self._current()
        except OSError as error:
            why = f"Nothing can be written in the folder {self.folder} ({error.strerror})"
        try:
            found = read_record(self.path)
            self.note = f"{why}: what you answered before is shown, and no new answer is kept."
            return found if found.name == self.path.name else self.record
        except RecordError as error:
            self.note = f"{why}, and the answer record could not be read ({error}): no new answer is kept."
            return self.record

    def answers(self, problem=None):
        """All answers in order, or those to one problem id."""
        return tuple(a for a in self.record.answers if problem is None or a.problem == problem)

    def add(self, posed, text, unit, verdict, instead_of=None, sure=None):
        """Write down an answer and return it; the same answer twice running is one answer.

        `instead_of`: an answer just written, which this one replaces: what fast typing had not yet finished.
        Raises `ValueError` where it cannot be written, with the reason and what to do.
        """
        with self._change():
            kept = [a for a in self.record.answers if a != instead_of]
            kept = [msgspec.structs.replace(a, number=n) for n, a in enumerate(kept, 1)] if instead_of else kept
            answer = self._answer(len(kept) + 1, posed, text, unit, verdict, sure)
            before = [a for a in kept if a.problem == answer.problem][-1:]
            if before and same(before[0], answer):
                answer = before[0]
            else:
                kept.append(answer)
            self.record = msgspec.structs.replace(self.record, answers=tuple(kept))
        return answer

    def _answer(self, number, posed, text, unit, verdict, sure):
        if number > MOST_ANSWERS:
            raise ValueError(
                f"this record holds {MOST_ANSWERS} answers and takes no more: begin the sheet again"
            )
        return Answer(
            number=number,
            problem=posed.problem.id,
            version=posed.problem.version,
            figures=figures_digest(posed.problem, posed.figures),
            at=now(),
            text=writable(text),
            unit=unit,
            read=verdict.understood,
            right=verdict.right,
            sure=int(sure) if sure else msgspec.UNSET,
        )

    def hint(self, problem, shown):
        """Write down how many hints of a problem were shown."""
        with self._change():
            hints = self.record.hints | {problem: max(shown, self.record.hints.get(problem, 0))}
            self.record = msgspec.structs.replace(self.record, hints=hints)

    def begin_again(self):
        """Put the record of this sheet aside, into the folder `old`, and begin a new one; returns where it is."""
        with self._said("begin again"), self._alone():
            aside = self._put_aside("before") if self.path.exists() else None
            self.record = msgspec.structs.replace(self.record, answers=(), hints={})
        return aside

    @contextlib.contextmanager
    def _said(self, again):
        """What the system refuses becomes a `ValueError` that says what to do; the record is then as it was."""
        known = self.record
        try:
            yield
        except OSError as error:
            self.record = known
            raise ValueError(
                f"{self.path} cannot be written ({error.strerror}): make room or ask for the right to write"
                f" there, then {again}"
            ) from None

    @contextlib.contextmanager
    def _change(self):
        with self._said("press Check again"), self._alone():
            self.record = self._current()
            yield
            write_bytes(self.path, encode(self.record))

    def _current(self):
        """The record in the file; the one known before where the file is damaged, a new one where there is none."""
        if not self.path.exists():
            return msgspec.structs.replace(self.record, answers=(), hints={})
        try:
            found = read_record(self.path)
            if found.name != self.path.name:
                raise RecordError(f"it belongs to {found.name}")
            return found
        except RecordError as error:
            aside = self._put_aside("unreadable")
            self.note = f"The answer record could not be read ({error}). It was kept as {aside}; a new one is begun."
            return self.record

    def _put_aside(self, why):
        old = self.folder / OLD
        old.mkdir(exist_ok=True)
        names = (old / f"{self.path.stem}_{why}-{n}.json" for n in range(1, 10_000))
        aside = next(name for name in names if not os.path.lexists(name))
        self.path.rename(aside)
        return aside

    @contextlib.contextmanager
    def _alone(self):
        """Let nobody else change the record meanwhile: no thread of ours and, where the system can, no process."""
        with self._threads:
            try:
                self.folder.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise ValueError(f"the folder {self.folder} cannot be made ({error.strerror})") from None
            with (self.folder / f"{self.path.stem}.lock").open("ab") as file:
                _lock(file)
                yield


def _lock(file):
    """Wait for the lock of an open file; it is given back when the file is closed, or its process dies."""
    with contextlib.suppress(ImportError):
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX)


def writable(text):
    """An answer as it is written down: a text or a tuple of texts, not longer than a record takes.

    >>> writable("4.88 mV"), writable(["1", "2"])
    ('4.88 mV', ('1', '2'))
    """
    if isinstance(text, str):
        return text.encode("utf-8", "replace").decode()[: LONGEST_ANSWER]
    return tuple(writable(str(part)) for part in text)[: MOST_CELLS]


def same(one, other):
    """True for two answers that say the same to the same figures."""
    return (one.text, one.unit, one.version, one.figures) == (other.text, other.unit, other.version, other.figures)
