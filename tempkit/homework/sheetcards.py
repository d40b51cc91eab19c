"""A card of a homework sheet: as in practice, but with personal figures, and every answer written down at once."""

import html
import time

from tempkit.homework import records
from tempkit.homework.cards import KINDS, LATE_S, Card, text_html
from tempkit.homework.figures import figures_digest
from tempkit.homework.sheets import typed


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
        self._remark.value = text_html(repr(verdict), KINDS[verdict.headline[0]], "status")

    def check(self):
        """Check what is entered, write it down, and say what came of it."""
        text, unit = self._entry.read()
        verdict = self.posed.check(text, unit)
        if any(part.strip() for part in ([text] if isinstance(text, str) else text)):
            before = self._keeper.answers()
            newest = self._keeper.add(self.posed, text, unit, verdict, self._unfinished)
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

    def answer(self, text, unit=None):
        """Enter an answer, as typing would, and check it; returns the verdict."""
        with self._lock:
            self._entry.write(text, unit)
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
        return self._course.holds(self._keeper.record.sheet, records.now())

    def _show_more(self):
        super()._show_more()
        self._buttons["other"].layout.display = "none"
        if self.held:
            self._buttons["solution"].layout.display = "none"
            if self.solution_open:
                opens = self._course.local(self._course.solutions(self._keeper.record.sheet))
                told = html.escape(f"The worked solution opens on {opens}.")
                self._more.value += text_html(told)
