"""Find problems and lines by chapter or id, and hold a problem together with its figures."""

import importlib
import pkgutil
import re
from dataclasses import dataclass
from functools import cache

from tempkit.exercises.checking import check, digits_text
from tempkit.exercises.figures import cells, columns, other_figures, personal, shuffled, tidy_code
from tempkit.exercises.kinds import Choice, Number, Problem

FOR_ALL = 6


@dataclass(frozen=True, repr=False)
class Posed:
    """A problem with its figures: what is printed, answered and checked. `turn` counts the figures of practice, `who`
    are course, sheet and student code of personal ones.

    >>> posed = problem("02-step-in-degrees")
    >>> posed.check(posed.model_answer()).right
    True
    """

    problem: Problem
    figures: tuple
    turn: int = 0
    who: tuple = ()

    @property
    def text(self):
        """The problem's text with its figures, and how many digits the answer shall have."""
        told = self.problem.text(self.figures)
        return f"{told} {digits_text(self.problem, self.figures)}".rstrip()

    @property
    def listing(self):
        """The lines beneath the text: of a log, of a worked solution, of a list of parts."""
        return self.problem.listed(self.figures)

    @property
    def graph(self):
        """The `Graph` beside the text, or None."""
        return self.problem.picture(self.figures) if self.problem.picture else None

    @property
    def hints(self):
        """The hints with their figures, each more direct than the last."""
        return tuple(self.problem.say(hint, self.figures) for hint in self.problem.hints)

    @property
    def options(self):
        """The options of a choice as pairs (key, text), in the order that the codes or the turn decide; else empty."""
        if not isinstance(self.problem.answer, Choice):
            return ()
        words = map(tidy_code, self.who) if self.who else ("practice", self.turn)
        return tuple((o.key, self.problem.say(o.text, self.figures)) for o in shuffled(self.problem, *words))

    def check(self, text, unit=None):
        """The verdict on a typed answer: `check("0.488 °C")`, or `check("0.488", unit="°C")`."""
        return check(self.problem, self.figures, text, unit)

    def solution(self):
        """The worked solution, as text in lines."""
        return self.problem.solution(self.figures)

    def model_answer(self):
        """The right answer as one would type it: a string, a key, or a list of these."""
        answer = self.problem.answer
        if isinstance(answer, Choice):
            keys = sorted(answer.keys(self.figures))
            return keys if answer.several else keys[0]
        value = answer.value(self.figures)
        rows = zip(cells(answer, value), columns(answer, self.figures), strict=True)
        typed = [f"{cell!r} {part.unit}".strip() for cell, part in rows]
        return typed[0] if isinstance(answer, Number) else typed

    def other(self):
        """The same problem with the next other figures of practice."""
        turn = self.turn + 1
        return Posed(self.problem, other_figures(self.problem, turn), turn)

    def __repr__(self):
        return f"{self.problem.title}. {self.text}"


@cache
def numbered():
    """The chapters that have any content in the package, as numbers in order: from 0 on.

    >>> numbered()[:2]
    (0, 1)
    """
    found = (re.fullmatch(r"chapter(\d\d)", module.name) for module in pkgutil.iter_modules(_package().__path__))
    return tuple(sorted(int(match[1]) for match in found if match))


def chapters():
    """The chapters that have problems, as numbers in order: all but 0, which starts the book."""
    return tuple(number for number in numbered() if number)


def problems(which=None):
    """Problems by their ids: of a chapter ("02" or 2), the one with an id, or all of the book (None).

    Raises `ValueError` that lists what there is, for a chapter or an id that does not exist.

    >>> problems("02-step-in-degrees")["02-step-in-degrees"].chapter
    2
    """
    return _found(which, "PROBLEMS", "problem")


def lines(which=None):
    """Lines that the reader completes, by their ids; the same way as `problems`.

    >>> lines("03-type-code")["03-type-code"].rail
    ('code', 0, 1024)
    """
    return _found(which, "LINES", "line")


def _found(which, tuple_name, word):
    if which is None:
        return {each.id: each for number in numbered() for each in _chapter(number, tuple_name)}
    number = _number(which)
    found = {each.id: each for each in _chapter(number, tuple_name)} if number in numbered() else {}
    if not found:
        listed = ", ".join(f"{chapter:02d}" for chapter in numbered() if _chapter(chapter, tuple_name))
        raise ValueError(f"there are no {word}s for {which!r}: chapters with {word}s are {listed}")
    if re.fullmatch(r"\d{1,2}", str(which).strip()):
        return found
    name = str(which).strip()
    if name not in found:
        raise ValueError(f"there is no {word} {which!r}: chapter {number:02d} has {', '.join(found)}")
    return {name: found[name]}


def problem(which, *, course=None, sheet=None, student=None):
    """The problem with this id and its first figures; with course, sheet and student code, that student's.

    >>> problem("02-step-in-degrees").check("a lot").understood
    False
    """
    if re.fullmatch(r"\d{1,2}", str(which).strip()):
        names = ", ".join(found.id for found in problems(which).values())
        raise ValueError(f"{which!r} is a chapter: choose one of its problems, {names}")
    (found,) = problems(which).values()
    if course is sheet is student is None:
        return Posed(found, other_figures(found))
    return personally(found, course or "", sheet or "", student or "")


def personally(problem, *who):
    """The problem as course, sheet and student code pose it: its figures, and the order of its options."""
    return Posed(problem, personal(problem, *who), who=who)


def _number(which):
    match = re.match(r"\s*(\d{1,2})(?!\d)", str(which))
    return int(match[1]) if match else None


def _chapter(number, tuple_name):
    return getattr(_module(number), tuple_name, ())


def _module(number):
    return importlib.import_module(f"{_package().__name__}.chapter{number:02d}")


def for_all(which):
    """How many of a chapter's problems, the first ones, are for everybody: its `FOR_ALL`, or six."""
    return getattr(_module(_number(which)), "FOR_ALL", FOR_ALL)


def _package():
    return importlib.import_module("tempkit.problems")
