"""The folder of answer records on the student's side: add an answer, restore, begin again, show progress."""

import contextlib
import os
import threading
from pathlib import Path

import msgspec

from tempkit.homework import records
from tempkit.homework.figures import figures_digest
from tempkit.homework.records import Answer, Record, RecordError, safe_code

FOLDER = "answers"
WHO = "who.json"
OLD = "old"


class Who(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whose answers the notebooks here record: course code and student code.

    >>> Who("BENCH-9", "ROBIN").student
    'ROBIN'
    """

    course: records.Code
    student: records.Code


def folder():
    """The folder of the records: `answers` beside the notebook, or the one that TEMPKIT_ANSWERS names."""
    return Path(os.environ.get("TEMPKIT_ANSWERS", FOLDER))


def who(where=None):
    """Course and student code entered before, or None."""
    try:
        return msgspec.json.decode(records.read_bytes(Path(where or folder()) / WHO), type=Who)
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
        records.write_bytes(place / WHO, msgspec.json.encode(entered) + b"\n")
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
            found = records.read(self.path)
            self.note = f"{why}: what you answered before is shown, and no new answer is kept."
            return found if found.name == self.path.name else self.record
        except RecordError as error:
            self.note = f"{why}, and the answer record could not be read ({error}): no new answer is kept."
            return self.record

    def answers(self, problem=None):
        """All answers in order, or those to one problem id."""
        return tuple(a for a in self.record.answers if problem is None or a.problem == problem)

    def add(self, posed, text, unit, verdict, instead_of=None):
        """Write down an answer and return it; the same answer twice running is one answer.

        `instead_of`: an answer just written, which this one replaces: what fast typing had not yet finished.
        Raises `ValueError` where it cannot be written, with the reason and what to do.
        """
        with self._change():
            kept = [a for a in self.record.answers if a != instead_of]
            kept = [msgspec.structs.replace(a, number=n) for n, a in enumerate(kept, 1)] if instead_of else kept
            answer = self._answer(len(kept) + 1, posed, text, unit, verdict)
            before = [a for a in kept if a.problem == answer.problem][-1:]
            if before and same(before[0], answer):
                answer = before[0]
            else:
                kept.append(answer)
            self.record = msgspec.structs.replace(self.record, answers=tuple(kept))
        return answer

    def _answer(self, number, posed, text, unit, verdict):
        if number > records.MOST_ANSWERS:
            raise ValueError(
                f"this record holds {records.MOST_ANSWERS} answers and takes no more: begin the sheet again"
            )
        return Answer(
            number=number,
            problem=posed.problem.id,
            version=posed.problem.version,
            figures=figures_digest(posed.problem, posed.figures),
            at=records.now(),
            text=writable(text),
            unit=unit,
            read=verdict.understood,
            right=verdict.right,
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
            records.write_bytes(self.path, records.encode(self.record))

    def _current(self):
        """The record in the file; the one known before where the file is damaged, a new one where there is none."""
        if not self.path.exists():
            return msgspec.structs.replace(self.record, answers=(), hints={})
        try:
            found = records.read(self.path)
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
        return text.encode("utf-8", "replace").decode()[: records.LONGEST_ANSWER]
    return tuple(writable(str(part)) for part in text)[: records.MOST_CELLS]


def same(one, other):
    """True for two answers that say the same to the same figures."""
    return (one.text, one.unit, one.version, one.figures) == (other.text, other.unit, other.version, other.figures)
