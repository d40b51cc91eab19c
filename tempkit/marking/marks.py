"""Mark one answer record: every figure and every verdict is worked out anew, nothing the file claims is used."""

from dataclasses import dataclass, replace
from datetime import datetime

import msgspec

from tempkit.exercises import LATE, Choice, Posed, Verdict, figures_digest, personal_then, personally, picked, typed
from tempkit.marking.handed_in import NEWER
from tempkit.marking.roster import Override

UNKNOWN_FIGURES = "answered in version {0} of the problem, whose figures are not known any more: mark it by hand"
NEWER_FIGURES = "answered in version {0} of the problem, newer than the one here: update this package"
GIVEN_UP = "answered with figures that are not given out any more, and marked by them"
UNKNOWN, TOO_FEW, TOO_MANY = "figures not known", "too few digits", "too many tries"
OVERRULED, LATE_RIGHT = "contradicted", "right, late"


class Unmarked(Verdict):
    """The verdict on an answer that cannot be marked here, with the reason as its remark."""

    headline = "? Not marked"


@dataclass(frozen=True)
class Try:
    """One answer as marked: the `text` typed, the `verdict`, the time `at`, whether it came `late`, and the word for
    why it does not count ("" where it does)."""

    text: str
    verdict: Verdict
    at: datetime
    late: bool = False
    refused: str = ""


@dataclass(frozen=True)
class ProblemMark:
    """A problem as marked for one student: `posed` with the figures that counted, the `tries` in order, the `mark`
    from 0 to 1, the `note` on what could not be marked, and the `override`, if an instructor set one."""

    posed: Posed
    tries: tuple = ()
    mark: float = 0.0
    note: str = ""
    override: Override | None = None

    @property
    def id(self):
        """The problem's id."""
        return self.posed.problem.id

    @property
    def read(self):
        """The tries that could be read."""
        return tuple(one for one in self.tries if one.verdict.understood)

    @property
    def right(self):
        """True where an answer that counts is right."""
        return any(one.verdict.right and not one.refused for one in self.tries)

    @property
    def ways(self):
        """Keys of the wrong ways taken, each once, in order; "" stands for a wrong answer that no way explains."""
        wrong = (one.verdict.way or "" for one in self.read if one.verdict.attempt)
        return tuple(dict.fromkeys(wrong))

    @property
    def state(self):
        """In a word: "right", "right, late", "not right", "too few digits", "not read", "open", "set by hand", or the
        word for what kept an answer from counting."""
        if self.override:
            return "set by hand"
        right = [one for one in self.tries if one.verdict.right and not one.refused]
        if right:
            return LATE_RIGHT if all(one.late for one in right) else "right"
        lost = [t.refused for t in self.tries if t.refused and (t.verdict.right or isinstance(t.verdict, Unmarked))]
        if lost:
            return lost[-1]
        if any(one.verdict.rounded for one in self.tries):
            return TOO_FEW
        return "not right" if self.read else "not read" if self.tries else "open"


@dataclass(frozen=True)
class SheetMark:
    """A sheet as marked for one student: `problems` in the order of the sheet, the hand-in's place `where`
    ("" for none), what was `odd` in it, places of further files that were merged `also`, and how they contradict."""

    course: str
    student: str
    sheet: str
    problems: tuple
    where: str
    odd: tuple = ()
    also: tuple = ()
    contradictions: tuple = ()

    @property
    def mark(self):
        """The sum of the problems' marks."""
        return sum(problem.mark for problem in self.problems)

    @property
    def answered(self):
        """How many problems have an answer that could be read."""
        return sum(bool(problem.read) for problem in self.problems)

    @property
    def state(self):
        """ "marked", or the word for why none of the answers could be marked."""
        newer = any(one.refused == NEWER for problem in self.problems for one in problem.tries)
        return NEWER if newer and not self.answered else "marked"

    @property
    def reasons(self):
        """Why the mark is less than the answers may deserve, and why it is zero; none where there is nothing to say."""
        words = (NEWER, UNKNOWN, TOO_FEW, TOO_MANY, LATE_RIGHT)
        of = {word: [p.id for p in self.problems if p.state == word and p.mark < 1] for word in words}
        told = [f"{word}: {', '.join(ids)}" for word, ids in of.items() if ids] + list(self.contradictions)
        if self.state == NEWER and not told:
            told = [f"{NEWER}: none of the answers could be marked"]
        if self.mark or told or any(p.override for p in self.problems):
            return tuple(told)
        tries = any(p.tries for p in self.problems)
        return ("no answer is right" if self.answered else f"no answer {'could be read' if tries else 'in it'}",)

    def overridden(self, overrides):
        """The same with the marks that an instructor set by hand."""
        found = [overrides.get((self.course, self.student, self.sheet, p.id)) for p in self.problems]
        if not any(found):
            return self
        problems = [
            replace(p, mark=set_.mark, override=set_) if set_ else p
            for p, set_ in zip(self.problems, found, strict=True)
        ]
        return replace(self, problems=tuple(problems))


def mark_record(record, plan, course, where="", latest=None, overruled=()):
    """The `SheetMark` of a record for a sheet plan, under the settings of a `Course`; `latest` is the time after which
    no honest answer can lie, `overruled` are answers (see `bare`) that a later file takes back.

    >>> from tempkit.exercises import Course, Record, sheet_plan
    >>> mark_record(Record("BENCH-9", "h01", "ROBIN"), sheet_plan("h01"), Course()).mark
    0.0
    """
    odd = list(_odd_order(record, latest))
    by_problem = {name: [] for name in plan.ids}
    strangers = set()
    for answer in record.answers:
        if answer.problem in by_problem:
            by_problem[answer.problem].append(answer)
        else:
            strangers.add(answer.problem)
    odd += [f"answers {name}, which is not on sheet {plan.id}" for name in sorted(strangers)]
    claims = {}
    problems = [
        _mark_problem(problem, by_problem[problem.id], record, plan, course, claims, overruled)
        for problem in plan.problems
    ]
    odd += [f"{claim}: {', '.join(dict.fromkeys(names))}" for claim, names in claims.items()]
    return SheetMark(record.course, record.student, plan.id, tuple(problems), where, tuple(dict.fromkeys(odd)))


def _odd_order(record, latest):
    """What in the order and the times of the answers cannot be as a notebook writes it."""
    if [answer.number for answer in record.answers] != list(range(1, len(record.answers) + 1)):
        yield "its answers are not numbered 1, 2, 3 ...: some are missing, doubled or moved"
    times = [answer.at for answer in record.answers]
    if any(later < earlier for earlier, later in zip(times, times[1:], strict=False)):
        yield "its times run backwards"
    if latest and times and max(times) > latest:
        yield f"it holds an answer of {max(times):%Y-%m-%d %H:%M} UTC, which is still to come"


def bare(answer):
    """An answer without its number: what is the same in two files of one student."""
    return msgspec.structs.replace(answer, number=1)


def _mark_problem(problem, answers, record, plan, course, claims, overruled):
    who = (record.course, plan.id, record.student)
    now = personally(problem, *who)
    tries, notes, used = [], [], now
    read = set()
    for answer in answers:
        posed, note = _posed_then(now, answer, who)
        notes += [note] if note else []
        late = course.due(plan.id) is not None and answer.at > course.due(plan.id)
        if posed is None:
            word = NEWER if answer.version > problem.version else UNKNOWN
            tries.append(Try(_shown(answer, now), Unmarked(False, note, understood=False), answer.at, late, word))
            continue
        used = posed
        verdict = posed.check(typed(answer), answer.unit)
        for claim in _odd_claims(answer, posed, verdict):
            claims.setdefault(claim, []).append(answer.problem)
        if verdict.right or verdict.attempt:
            read.add(repr(verdict.value))
        few = course.tries is None or len(read) <= course.tries
        refused = OVERRULED if overruled and bare(answer) in overruled else "" if few else TOO_MANY
        tries.append(Try(_shown(answer, posed), verdict, answer.at, late, refused))
    worth = [LATE[course.late] if one.late else 1.0 for one in tries if one.verdict.right and not one.refused]
    return ProblemMark(used, tuple(tries), max(worth, default=0.0), "; ".join(dict.fromkeys(notes)))


def _posed_then(now, answer, who):
    """The problem as it was when it was answered, or None with a note where that cannot be known."""
    version = now.problem.version
    if answer.version > version:
        return None, NEWER_FIGURES.format(answer.version)
    if answer.version == version and answer.figures == figures_digest(now.problem, now.figures):
        return now, ""
    figures = personal_then(now.problem, answer.version, answer.figures, *who)
    if figures is None:
        return (now, "") if answer.version == version else (None, UNKNOWN_FIGURES.format(answer.version))
    note = f"answered in version {answer.version}, marked by version {version}"
    return replace(now, figures=figures), GIVEN_UP if answer.version == version else note


def _odd_claims(answer, posed, verdict):
    """Where the file says something else than what comes out anew; a corrected problem may well differ."""
    if answer.version != posed.problem.version:
        return []
    if answer.figures != figures_digest(posed.problem, posed.figures):
        return ["figures that are not those of this course, sheet and student code"]
    if (answer.read, answer.right) != (verdict.understood, verdict.right):
        return [f"it calls an answer {_word(answer)} that is not, worked out again"]
    return []


def _word(answer):
    return "right" if answer.right else "wrong" if answer.read else "unreadable"


def _shown(answer, posed):
    """A recorded answer as one text, with the unit chosen from the list; of options their texts."""
    text = answer.text if isinstance(answer.text, str) else "; ".join(answer.text)
    if isinstance(posed.problem.answer, Choice):
        told = {option.key: posed.problem.say(option.text, posed.figures) for option in posed.problem.answer.options}
        text = "; ".join(told.get(name, name) for name in picked(answer.text))
    return f"{text} [{answer.unit}]" if answer.unit else text
