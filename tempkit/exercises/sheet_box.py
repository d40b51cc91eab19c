"""A homework sheet in a notebook: who answers, the cards with personal figures, progress, begin again."""

import html
import time
from pathlib import Path

import ipywidgets

from tempkit import book
from tempkit.draw import Keys, Shown
from tempkit.exercises import answers
from tempkit.exercises import course as courses
from tempkit.exercises.answers import Keeper, Record, RecordError
from tempkit.exercises.cards import LATE_S, STYLE, Card, static_card, text_html
from tempkit.exercises.catalogue import Posed
from tempkit.exercises.figures import figures_digest, other_figures, tidy_code
from tempkit.exercises.sheets import SHEETS, Standing, sheet_plan, standing, typed

# Progress


def progress(course=None, student=None, where=None):
    """Lines that tell how far a student is on every sheet; without codes, the one who entered them last.

    Raises `ValueError` where no codes were entered, or for codes that cannot be used.

    >>> progress("BENCH-9", "NOBODY").splitlines()[0]
    'h01: 0 of 11 right, 0 answered and not right yet, 11 open'
    """
    if course is None or student is None:
        known = answers.who(where)
        if known is None:
            raise ValueError("no codes were entered yet: open a sheet and enter course and student code")
        course, student = known.course, known.student
    names = (answers.safe_code(course, "the course code"), answers.safe_code(student, "the student code"))
    return "\n".join(_line(plan, *names, where) for plan in SHEETS)


def _line(plan, course, student, where):
    empty = Record(course, plan.id, student)
    path = Path(where or answers.folder()) / empty.name
    try:
        return str(standing(plan, answers.read_record(path) if path.exists() else empty))
    except RecordError as error:
        return f"{plan.id}: the record cannot be read ({error})"


# Cards


class SheetCard(Card):
    """One problem of a sheet. `keeper` writes its answers down, `course` holds the date of worked solutions,
    `changed` is called after every answer.

    A worked solution opens after a right answer, and not before the instructor's date.
    """

    def __init__(self, posed, label, keeper, course, changed):
        self._keeper, self._course, self._changed = keeper, course, changed
        self._newest = self._unfinished = None
        super().__init__(posed, label)

    def _begin(self):
        super()._begin()
        self._restore()

    def _restore(self):
        """Show again what the record holds: the last answer with its remark, the hints taken."""
        earlier = self._keeper.answers(self.posed.problem.id)
        digest = figures_digest(self.posed.problem, self.posed.figures)
        mine = [answer for answer in earlier if answer.figures == digest]
        self.hints_shown = min(self._keeper.record.hints.get(self.posed.problem.id, 0), len(self.posed.hints))
        for answer in mine:
            if self._how_sure:
                self._how_sure.value = answer.sure or None
            self._judge(self.posed.check(typed(answer), answer.unit))
        if mine:
            self._entry.write(typed(mine[-1]), mine[-1].unit)
        elif earlier:
            told = "This problem has been corrected since you answered it, and its figures are new. Answer it again."
            self._remark.value = text_html(told, "tempkit-not-read", "status")
        self._show_more()

    def _judge(self, verdict):
        self.verdict = verdict
        if verdict.attempt:
            self._tried.add(repr(verdict.value))
        self.solution_open = self.solution_open or verdict.right
        self._remark.value = self._told(verdict)

    def check(self):
        """Check what is entered, write it down, and say what came of it."""
        text, unit = self._entry.read()
        verdict = self.posed.check(text, unit)
        if any(part.strip() for part in ([text] if isinstance(text, str) else text)):
            before = self._keeper.answers()
            newest = self._keeper.add(self.posed, text, unit, verdict, self._unfinished, self.sure)
            self._newest = newest if newest not in before else None
        self._judge(verdict)
        self._show_more()
        self._changed()
        return verdict

    def _late(self):
        """What was judged before the last keys came is not kept in the record either."""
        if time.monotonic() - self._asked_at < LATE_S:
            self._unfinished = self._newest
        try:
            super()._late()
        finally:
            self._unfinished = None

    def answer(self, text, unit=None, sure=None):
        """Enter an answer, as typing would, and check it; returns the verdict."""
        with self._lock:
            self._entry.write(text, unit)
            if self._how_sure:
                self._how_sure.value = sure
            return self.check()

    def hint(self):
        """Show the next hint, and write down that it was taken."""
        super().hint()
        self._keeper.hint(self.posed.problem.id, self.hints_shown)

    def solve(self):
        """Show the worked solution, once it may be seen."""
        self._solved = self.solution_open and not self.held
        self._show_more()

    @property
    def held(self):
        """True while the instructor keeps worked solutions closed."""
        return self._course.holds(self._keeper.record.sheet, answers.now())

    def _show_more(self):
        super()._show_more()
        self._buttons["other"].layout.display = "none"
        if self.held:
            self._buttons["solution"].layout.display = "none"
            if self.solution_open:
                opens = self._course.local(self._course.solutions(self._keeper.record.sheet))
                told = html.escape(f"The worked solution opens on {opens}.")
                self._more.value += text_html(told)


NOBODY = "Enter your course code and your student code first: they decide your figures."


class Sheet(Shown):
    """A sheet to answer. Without codes it asks for them, once for all sheets, and then shows the cards.

    `answer(3, "4.88 mV")` answers a problem by its number or id in plain code, `begin(course, student)` enters
    the codes, `begin_again()` empties the sheet and keeps the old record, `progress()` tells how far you are.
    """

    def __init__(self, plan, course=None, student=None, where=None):
        self.plan, self._where, self.cards, self.keeper = plan, where, (), None
        self.course = courses.current()
        self._fields = {
            "course": self._field("Course code", self.course.course or ""),
            "student": self._field("Student code", ""),
        }
        self._said = ipywidgets.HTML(text_html("", "", "status"))
        self._standing = ipywidgets.HTML()
        self._list = ipywidgets.VBox()
        begin = ipywidgets.HBox((self._button("Begin", self._enter),))
        self._form = ipywidgets.VBox((*self._fields.values(), begin))
        self._asked = ipywidgets.HTML(text_html("", "", "status"))
        self._sure = ipywidgets.HBox(
            (self._button("Yes, begin again", self._begin_again), self._button("No, keep my answers", self._keep)),
            layout={"flex_flow": "row wrap"},
        )
        self._foot = ipywidgets.HBox(
            (self._button("Begin this sheet again", self._ask), self._button("Other codes", self._other)),
            layout={"flex_flow": "row wrap"},
        )
        parts = (self._form, self._said, self._list, self._standing, self._foot, self._asked, self._sure)
        super().__init__((ipywidgets.HTML(STYLE), Keys(), *parts))
        self.add_class("tempkit-practice")
        if book.current().room:
            self.add_class("tempkit-room")
        known = answers.who(where)
        self._show(form=True)
        if course or student:
            self.begin(course, student)
        elif known:
            self._guarded(lambda: self.begin(known.course, known.student))

    def _field(self, name, value):
        field = ipywidgets.Text(
            value=value,
            description=name,
            placeholder="letters, digits, hyphens",
            style={"description_width": "initial"},
            layout={"width": "24em", "max_width": "calc(100% - 4px)"},
        )
        field.on_msg(lambda _, content, __: content.get("event") == "submit" and self._guarded(self._enter))
        return field

    def _button(self, text, action):
        button = ipywidgets.Button(description=text, tooltip=f"{text}: sheet {self.plan.id}")
        button.on_click(lambda _: self._guarded(action))
        return button

    def _guarded(self, action):
        """Run what a button asks; what cannot be done is said in words."""
        try:
            action()
        except ValueError as error:
            self._say(str(error), "tempkit-not-read")

    def _say(self, text, kind=""):
        self._said.value = text_html(text, kind, "status")

    def _show(self, form=False, sure=False):
        for box, seen in ((self._form, form), (self._foot, not form), (self._sure, sure)):
            box.layout.display = None if seen else "none"

    def _enter(self):
        codes = [self._fields[name].value for name in ("course", "student")]
        if not all(code.strip() for code in codes):
            raise ValueError(NOBODY)
        self._refuse_other_course(codes[0])
        answers.enter(*codes, self._where)
        self.begin(*codes)

    def _refuse_other_course(self, code):
        """Answers under another course code than that of the course file here would count for nobody."""
        only = self.course.course
        if only and tidy_code(code) != only:
            raise ValueError(
                f"the course code {str(code).strip()[:40]!r} is not that of the course file beside this notebook,"
                f" which is {only!r}: enter {only}, or ask your instructor which is right"
            )

    def begin(self, course, student):
        """Show the cards of this student, with all that was answered before; without a course code that of the course
        file counts. Raises `ValueError` for bad codes, and for another course than that of the course file."""
        course = course or self.course.course or ""
        self._refuse_other_course(course)
        self.keeper = Keeper(course, self.plan.id, student or "", self._where)
        self._set_out()
        who = self.keeper.record
        told = (f"Course {who.course}, student {who.student}.", self.course.due_told(self.plan.id), self.keeper.note)
        self._say(" ".join(filter(None, told)))
        self._show()

    def _set_out(self):
        old, of = self.cards, len(self.plan.ids)
        record = self.keeper.record
        self.cards = tuple(
            SheetCard(posed, f"problem {number} of {of}", self.keeper, self.course, self._count)
            for number, posed in enumerate(self.plan.posed(record.course, record.student), 1)
        )
        self._list.children = self.cards
        for card in old:
            card.close()
        self._count()

    def _count(self):
        self._standing.value = text_html(f"{self.standing()}. Every answer is in {self.keeper.path}.")

    def standing(self):
        """How far this sheet is answered, from its cards."""
        answered = sum(card.solution_open or card.attempts > 0 for card in self.cards)
        right = sum(card.solution_open for card in self.cards)
        return Standing(self.plan.id, answered, right, len(self.plan.ids))

    def progress(self):
        """How far you are in all sheets of the book, one line each."""
        if not self.keeper:
            return NOBODY
        return progress(self.keeper.record.course, self.keeper.record.student, self._where)

    def answer(self, which, text, unit=None, sure=None):
        """Answer a problem by its number on the sheet or its id, as with its card; returns the verdict. `sure` (1 to 3)
        says how sure one is, where the problem asks it; it is kept beside the answer and never counts.

        Raises `ValueError` without codes, for a problem that is not on the sheet, and for another `sure`.
        """
        if sure not in (None, 1, 2, 3):
            raise ValueError(f"sure {sure!r} must be 1 (a guess), 2 (rather sure) or 3 (sure): or leave it out")
        if not self.cards:
            raise ValueError(f"{NOBODY} In plain code: sheet.begin(course, student)")
        known = {str(key): card for n, card in enumerate(self.cards, 1) for key in (n, card.posed.problem.id)}
        if str(which) not in known:
            raise ValueError(f"{which!r} is not on sheet {self.plan.id}: choose 1 to {len(self.cards)}")
        return known[str(which)].answer(text, unit, sure)

    def begin_again(self):
        """Empty this sheet; the old record is kept in the folder `old`. Returns where, None if there was none."""
        aside = self.keeper.begin_again()
        self._set_out()
        return aside

    def _ask(self):
        self._ask_below(f"Begin sheet {self.plan.id} again? All its answers are taken off the sheet; a copy is kept.")
        self._show(sure=True)

    def _ask_below(self, text):
        self._asked.value = text_html(text, "", "status")

    def _begin_again(self):
        aside = self.begin_again()
        told = f"The sheet is empty again. The old answers are kept in {aside}." if aside else "It was empty before."
        self._ask_below(told)
        self._show()

    def _keep(self):
        self._ask_below("Nothing was changed.")
        self._show()

    def _other(self):
        self._list.children = ()
        self._standing.value = self._asked.value = ""
        self._show(form=True)
        self._say("Enter the other codes. What was answered under the old ones stays in its own record.")

    def words(self):
        """What is here, in lines that do not change while answering."""
        return (
            f"Sheet {self.plan.id}, {self.plan.title}: {len(self.plan.ids)} problems on {self.plan.chapters}.\n"
            "Run this cell to answer with figures of your own."
        )

    def static_html(self):
        """The problems' texts with figures of an example, for readers without a kernel."""
        items = (static_card(Posed(problem, other_figures(problem))) for problem in self.plan.problems)
        told = f"<p>{html.escape(self.words())} The figures here are an example's, not yours.</p>"
        return f"{told}<ol>{''.join(f'<li>{item}</li>' for item in items)}</ol>"


def sheet(which, course=None, student=None):
    """A homework sheet to answer, `sheet("h01")`; it asks for course and student code where they are not given.

    Every answer is written to the folder `answers` beside the notebook at once. Raises `ValueError` that lists
    what there is, for a sheet that does not exist, and for a code that cannot be used.

    >>> sheet("h01").words().splitlines()[0]
    'Sheet h01, From a temperature to a code: 11 problems on chapters 01 and 02.'
    """
    return Sheet(sheet_plan(which), course, student)
