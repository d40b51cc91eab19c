"""Mark all that a class handed in: who it belongs to, how several files of one student go together, what was odd."""

import re
from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import NamedTuple

import msgspec

from tempkit import exercises
from tempkit.exercises import SHEETS, Course, Record, sheet_plan
from tempkit.marking import handed_in as handins
from tempkit.marking.handed_in import ANOTHERS, FOREIGN, NOTHING, OTHER_SHEET, WRONG_CODE, WRONG_COURSE, Odd
from tempkit.marking.marks import SheetMark, bare, mark_record

CLOCK = timedelta(days=1)
MOST_MERGED = 5 * exercises.MOST_ANSWERS


@dataclass(frozen=True)
class ClassMarks:
    """The marks of a class: its `students`, the sheet `plans` that were marked, the `course` settings, `marks` by
    (course, student, sheet), everything `odd`, in the order of the folder, and by (course, student) what of it was
    `lost`: what a student may have meant to hand in."""

    students: tuple
    plans: tuple
    course: Course
    marks: dict = field(repr=False)
    odd: tuple = field(repr=False)
    lost: dict = field(repr=False, default_factory=dict)

    def of(self, student, plan):
        """The `SheetMark` of a student for a sheet, or None where there is no mark."""
        return self.marks.get((*student.key, plan.id))

    def state(self, student, plan):
        """In a word: "marked", or why not; a mark set by hand changes nothing here."""
        mark, lost = self.of(student, plan), self._lost(student, plan)
        return mark.state if mark and mark.where else lost[0].word if lost else NOTHING

    def reason(self, student, plan):
        """Why a mark is missing, zero or less than it may be, in words; "" where there is nothing to say."""
        mark = self.of(student, plan)
        if mark and mark.where:
            told = [*mark.reasons, *(f"besides, {odd.word}: {odd.where}" for odd in self.besides(student, plan))]
        else:
            told = [f"{odd.where}: {odd.reason}" for odd in self._lost(student, plan)] or [NOTHING]
        return "; ".join(dict.fromkeys(told))

    def besides(self, student, plan):
        """What came for this sheet and could not count, as `Odd`."""
        return tuple(odd for odd in self._lost(student, plan) if odd.sheet)

    def _lost(self, student, plan):
        found = [odd for odd in self.lost.get(student.key, ()) if odd.sheet in ("", plan.id)]
        return sorted(found, key=lambda odd: (odd.sheet == "", odd.word in (OTHER_SHEET, handins.PUT_ASIDE)))

    def handed_in(self, plan):
        """All `SheetMark`s of files that were handed in for a sheet, in the order of the class list."""
        return tuple(mark for mark in self.given(plan) if mark.where)

    def given(self, plan):
        """All `SheetMark`s of a sheet, also those that are set by hand alone, in the order of the class list."""
        return tuple(mark for student in self.students if (mark := self.of(student, plan)))


def mark_class(
    folder, students, course=None, sheets=None, overrides=None, leave_out=(), tell=None, now=None, homes=False
):
    """Mark a folder of hand-ins for the `students` of a class list (see `read_roster`).

    `sheets` are the ids to mark, None for all that were handed in; `overrides` come from `read_overrides`;
    `tell(done, of)` is called after every file; `now` is the time of marking; with `homes` the folder holds a copied
    home of each student. No file stops it: what cannot be marked is in `odd` with its reason. Raises `ValueError`
    only where the folder itself cannot be read.
    """
    wanted = tuple(sheet_plan(name) for name in sheets) if sheets else SHEETS
    sorter = _Sorter(students, wanted, course or Course(), (now or exercises.now()) + CLOCK, homes)
    of = handins.files(folder, leave_out, homes) if tell else 0
    for done, found in enumerate(handins.look(folder, leave_out, homes), 1):
        sorter.take(found)
        if tell:
            tell(done, of)
    marks = {key: mark.overridden(overrides or {}) for key, mark in sorter.marks()}
    for key in {key[:3] for key in overrides or {} if key[2] in {plan.id for plan in wanted}} - marks.keys():
        record = Record(key[0], key[2], key[1])  # on paper, for instance, or of a file that cannot be marked
        marks[key] = mark_record(record, sheet_plan(key[2]), sorter.course).overridden(overrides)
    lost = {odd.sheet for all_of in sorter.lost.values() for odd in all_of}
    plans = tuple(p for p in wanted if sheets or p.id in lost or any(key[2] == p.id for key in marks))
    return ClassMarks(tuple(students), plans, sorter.course, marks, tuple(sorter.odd), dict(sorter.lost))


class _File(NamedTuple):
    """A record that belongs to its student, marked alone; `name` is 0 for its right name, 2 for another student's."""

    found: object
    mark: SheetMark
    name: int

    def answers(self, problem=None):
        return {bare(answer) for answer in self.found.record.answers if problem in (None, answer.problem)}

    def last(self):
        times = [answer.at for answer in self.found.record.answers]
        return bool(times), max(times, default=None), len(times), -self.name


class _Sorter:
    """Takes what lies in the folder one by one: whose it is, which files belong together, and all that is odd.

    A folder whose name begins with the code or the name of one student is that student's: nothing in it decides the
    mark of another. Among folders in folders the outermost that tells a student counts.
    """

    def __init__(self, students, plans, course, latest, homes):
        self.plans, self.course, self.latest, self.homes = plans, course, latest, homes
        self.by_code, self.by_word = {}, defaultdict(set)
        for student in students:
            self.by_code.setdefault(student.student, []).append(student.key)
            for word in filter(None, (student.student, student.name)):
                self.by_word[word.casefold()].add(student.student)
        self.files, self.odd, self.lost = defaultdict(list), [], defaultdict(list)
        self._owners, self._answers = {}, defaultdict(int)

    def take(self, found):
        owner = self._owner(found.where)
        if isinstance(found, Odd):
            keys = self.by_code.get(owner or found.student, ())
            course = keys[0][0] if len(keys) == 1 else found.course
            self._list(replace(found, course=course, student=owner or found.student), keys)
            return
        record, keys = found.record, self.by_code.get(found.record.student, ())
        key, foreign = (record.course, record.student), owner not in ("", record.student)
        if record.sheet not in {plan.id for plan in self.plans}:
            known = ", ".join(plan.id for plan in self.plans)
            odd = self._of(found, f"sheet {record.sheet} is not among those marked here: {known}", OTHER_SHEET)
            self._list(replace(odd, sheet=""), () if foreign else keys)
            return
        mark = mark_record(record, sheet_plan(record.sheet), self.course, found.where, self.latest)
        worth = f"its mark would be {mark.mark:g} of {len(mark.problems)}"
        for reason in (*_named(found), *mark.odd):
            self.odd.append(self._of(found, reason))
        if foreign and keys:
            reason = f"lies in the folder of {owner} and holds the codes of {record.student}: it decides no mark"
            self._list(self._of(found, reason, FOREIGN), keys)
            self._lose(self._of(found, reason, ANOTHERS), self.by_code.get(owner, ()))
        elif key in keys:
            self._keep(found, mark)
        elif keys:
            courses = ", ".join(course for course, _ in keys)
            reason = f"wrong course: it says {record.course}, the class list has {record.student} in {courses}; {worth}"
            self._list(self._of(found, reason, WRONG_COURSE), keys)
        else:
            reason = f"student code {record.student} of course {record.course} is not on the class list; {worth}"
            self._list(self._of(found, reason, WRONG_CODE), self.by_code.get(owner, ()))

    def _owner(self, where):
        """The student code that the folders of a place tell, "" for none; a home is never nobody's."""
        folders = where.split("/")[:-1]
        told = next(filter(None, map(self._folder_of, folders)), "")
        return told or (folders[0] if self.homes and folders else "")

    def _folder_of(self, name):
        if name not in self._owners:
            codes = {word for word in re.findall(r"[A-Z0-9-]+", name.upper()) if word in self.by_code}
            ends = (end.start() for end in re.finditer(r"[^\w-]|_|$", name))
            told = set().union(*(self.by_word.get(name[:end].casefold(), ()) for end in ends))
            self._owners[name] = told.pop() if len(told) == 1 and len(codes) < 2 else ""
        return self._owners[name]

    def _of(self, found, reason, word=""):
        return Odd(found.where, reason, found.record.course, found.record.sheet, found.record.student, word)

    def _list(self, odd, keys):
        self.odd.append(odd)
        self._lose(odd, keys)

    def _lose(self, odd, keys):
        for key in keys if odd.word else ():
            self.lost[key].append(odd)

    def _keep(self, found, mark):
        key = (mark.course, mark.student, mark.sheet)
        self._answers[key] += max(1, len(found.record.answers))
        if self._answers[key] > MOST_MERGED:
            reason = f"more than {MOST_MERGED:,} answers of one student to one sheet: this file was not counted"
            self._list(self._of(found, reason, handins.UNREADABLE), [key[:2]])
            return
        _, sheet, student = handins.named(found.where)
        others = self.by_code.get(student, ()) if (student, sheet) != (mark.student, mark.sheet) else ()
        other_name = found.where.rpartition("/")[2].casefold() != found.record.name.casefold()
        self.files[key].append(_File(found, mark, 2 if others and student != mark.student else int(other_name)))
        for reason in _named(found):
            self._lose(replace(self._of(found, reason, handins.WRONG_NAME), sheet=sheet), others)

    def marks(self):
        """Pairs of (course, student, sheet) and `SheetMark`; says of every file but one what became of it."""
        for key, files in self.files.items():
            own = [file for file in files if file.name < 2] or files
            mark = own[0].mark if len(own) == 1 else self._merged(own)
            for file in files:
                if file not in own:
                    self._beside(file, mark, "it has the name of another student and does not count")
            yield key, mark

    def _merged(self, files):
        """The mark of several files: each answer once, in the order of their times, marked as one record."""
        latest, plan = max(files, key=_File.last), sheet_plan(files[0].mark.sheet)
        rest = [file for file in files if file is not latest]
        answers = {bare(answer): answer for file in (latest, *rest) for answer in file.found.record.answers}
        ordered = enumerate(sorted(answers.values(), key=lambda answer: answer.at), 1)
        numbered = tuple(msgspec.structs.replace(answer, number=number) for number, answer in ordered)
        record = msgspec.structs.replace(latest.found.record, answers=numbered)
        overruled, told = set(), []
        for place, problem in enumerate(plan.ids):
            taken_back, said = _contradiction(files, place, problem)
            overruled, told = overruled | taken_back, told + said
        mark = mark_record(record, plan, self.course, latest.mark.where, self.latest, overruled)
        odd = tuple(dict.fromkeys(reason for file in files for reason in file.mark.odd))
        held, also = latest.answers(), []
        for file in rest:
            mine, merged = file.answers(), "the two are merged, answer by answer"
            same = "the two files are the same" if mine == held else "the other goes on from it"
            self._beside(file, mark, same if mine <= held else merged)
            also += [] if mine <= held else [file.mark.where]
        return replace(mark, odd=odd, also=tuple(also), contradictions=tuple(told))

    def _beside(self, file, mark, why):
        told = f"handed in twice, with {mark.where}, which counts ({mark.mark:g})"
        self.odd.append(self._of(file.found, f"{told}; this one alone would give {file.mark.mark:g}: {why}"))


def _contradiction(files, place, problem):
    """Answers to a problem that a later file takes back, and sentences that tell where two files contradict."""
    read = [(max(one.at for one in tries), n) for n, f in enumerate(files) if (tries := f.mark.problems[place].read)]
    if len(read) < 2:
        return set(), []
    later = files[max(read)[1]]
    counting, right = later.answers(problem), _right(later, place)
    overruled, told = set(), []
    for file in (files[n] for _, n in sorted(read)):
        mine = file.answers(problem)
        if not (mine <= counting or counting <= mine or _right(file, place) == right):
            overruled |= set() if right else mine - counting
            one, other = ("right", "not right") if right else ("not right", "right")
            words = f"{one} in {later.mark.where}, {other} in {file.mark.where}; the later one counts"
            told.append(f"contradiction in {problem}: {words}")
    return overruled, told


def _right(file, place):
    return any(one.verdict.right for one in file.mark.problems[place].read)


def _named(found):
    """The file's name, where it holds other codes than the file."""
    record, told = found.record, handins.named(found.where)
    if told[2] and told != (record.course, record.sheet, record.student):
        return (f"its name is not that of its codes, {record.name}; the codes count",)
    return ()
