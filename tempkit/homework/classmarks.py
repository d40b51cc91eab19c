"""Mark all that a class handed in: who it belongs to, which of two hand-ins counts, and what was odd."""

from dataclasses import dataclass, field
from datetime import timedelta
from functools import cached_property

from tempkit.homework import handins, records
from tempkit.homework.course import Course
from tempkit.homework.handins import Odd
from tempkit.homework.marking import SheetMark, mark_record
from tempkit.homework.sheets import SHEETS, sheet_plan

CLOCK = timedelta(days=1)


@dataclass(frozen=True)
class ClassMarks:
    """The marks of a class: its `students`, the sheet `plans` that were marked, the `course` settings, `marks` by
    (course, student, sheet), and everything `odd`, in the order of the folder."""

    students: tuple
    plans: tuple
    course: Course
    marks: dict = field(repr=False)
    odd: tuple = field(repr=False)

    def of(self, student, plan):
        """The `SheetMark` of a student for a sheet, or None where nothing was handed in."""
        return self.marks.get((*student.key, plan.id))

    def unreadable(self, student, plan):
        """True where a file with this student's codes in its name could not be read."""
        return (*student.key, plan.id) in self._odd_keys

    @cached_property
    def _odd_keys(self):
        return {(odd.course, odd.student, odd.sheet) for odd in self.odd}

    def handed_in(self, plan):
        """All `SheetMark`s of a sheet, in the order of the class list."""
        return tuple(mark for student in self.students if (mark := self.of(student, plan)))


def mark_class(folder, students, course=None, sheets=None, overrides=None, leave_out=(), tell=None, now=None):
    """Mark a folder of hand-ins for the `students` of a class list (see `read_roster`).

    `sheets` are the ids to mark, None for all that were handed in; `overrides` come from `read_overrides`;
    `tell(done, of)` is called after every file; `now` is the time of marking. No file stops it: what cannot be
    marked is in `odd` with its reason. Raises `ValueError` only where the folder itself cannot be read.
    """
    wanted = tuple(sheet_plan(name) for name in sheets) if sheets else SHEETS
    sorter = _Sorter(students, wanted, course or Course(), (now or records.now()) + CLOCK)
    of = handins.files(folder, leave_out) if tell else 0
    for done, found in enumerate(handins.look(folder, leave_out), 1):
        sorter.take(found)
        if tell:
            tell(done, of)
    marks = {key: kept.mark.overridden(overrides or {}) for key, kept in sorter.kept.items()}
    marks |= _by_hand_alone(overrides or {}, marks, sorter)
    plans = tuple(p for p in wanted if sheets or any(key[2] == p.id for key in marks))
    return ClassMarks(tuple(students), plans, sorter.course, marks, tuple(sorter.odd))


def _by_hand_alone(overrides, marks, sorter):
    """Marks set by hand for sheets that were not handed in at all, on paper for instance."""
    empty = {}
    for course, student, sheet, _ in overrides:
        if (course, student, sheet) not in marks and sheet in {plan.id for plan in sorter.plans}:
            record = records.Record(course, sheet, student)
            mark = mark_record(record, sheet_plan(sheet), sorter.course)
            empty[course, student, sheet] = mark.overridden(overrides)
    return empty


@dataclass(frozen=True)
class _Kept:
    mark: SheetMark
    digest: str
    answers: tuple
    last: object
    named: bool


class _Sorter:
    """Takes what lies in the folder one by one; keeps one hand-in for each student and sheet, and all that is odd."""

    def __init__(self, students, plans, course, latest):
        self.listed = {student.key for student in students}
        self.courses = {}
        for student in students:
            self.courses.setdefault(student.student, []).append(student.course)
        self.plans, self.course, self.latest = plans, course, latest
        self.kept, self.odd = {}, []

    def take(self, found):
        if isinstance(found, Odd):
            self.odd.append(found)
            return
        record = found.record
        if record.sheet not in {plan.id for plan in self.plans}:
            known = ", ".join(plan.id for plan in self.plans)
            self._odd(found, f"sheet {record.sheet} is not among those marked here: {known}")
            return
        mark = mark_record(record, sheet_plan(record.sheet), self.course, found.where, self.latest)
        for reason in (*_name(found), *mark.odd):
            self._odd(found, reason)
        if (record.course, record.student) in self.listed:
            self._keep(found, mark)
        else:
            self._odd(found, f"{self._stranger(record)}; its mark would be {mark.mark:g} of {len(mark.problems)}")

    def _odd(self, found, reason):
        record = found.record
        self.odd.append(Odd(found.where, reason, record.course, record.sheet, record.student))

    def _stranger(self, record):
        others = self.courses.get(record.student)
        if others:
            return f"wrong course: it says {record.course}, the class list has {record.student} in {', '.join(others)}"
        return f"student code {record.student} of course {record.course} is not on the class list"

    def _keep(self, found, mark):
        key = (mark.course, mark.student, mark.sheet)
        answers = found.record.answers
        last = max((answer.at for answer in answers), default=None)
        new = _Kept(
            mark, found.digest, tuple(map(hash, answers)), last, _base(found).casefold() == found.record.name.casefold()
        )
        old = self.kept.get(key)
        if old is None:
            self.kept[key] = new
            return
        winner, loser, reason = _choose(old, new)
        self.kept[key] = winner
        told = f"handed in twice: {winner.mark.where} counts ({winner.mark.mark:g}), this one does not"
        self.odd.append(Odd(loser.mark.where, f"{told} ({loser.mark.mark:g}): {reason}", *key[:1], key[2], key[1]))


def _choose(old, new):
    """Which of two hand-ins of one student counts, and why."""
    if old.digest == new.digest:
        first, second = (new, old) if new.named and not old.named else (old, new)
        return first, second, "the two files are the same"
    if new.answers[: len(old.answers)] == old.answers:
        return new, old, "the other goes on from it"
    if old.answers[: len(new.answers)] == new.answers:
        return old, new, "the other goes on from it"
    if old.last is not None and (new.last is None or old.last > new.last):
        return old, new, "they differ, and the other is the later one"
    return new, old, "they differ, and the other is the later one"


def _base(found):
    return found.where.rpartition("/")[2]


def _name(found):
    """The file's name, where it is of our form and says something else than the codes in the file."""
    name = _base(found)
    if handins.NAMED.fullmatch(name) and name.casefold() != found.record.name.casefold():
        yield f"its name is not that of its codes, {found.record.name}; the codes count"
