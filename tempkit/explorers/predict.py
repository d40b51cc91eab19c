"""A prediction: the reader commits a number before the answer is told, and then sees both."""

import html

import ipywidgets

from tempkit.book import current, tidy
from tempkit.explorers.stage import STYLE
from tempkit.homework.reading import read
from tempkit.shown import Shown


class Prediction(Shown):
    """A question with a field; the answer stays untold until a number is committed.

    question : what to predict, with its unit; answer : a number in that unit, or a function of no arguments that
    gives it; unit : as printed; digits : of the printed answer; why : one sentence told with the answer;
    explorer, settings : controls of an explorer that are moved there when the reader has committed.

    >>> guess = Prediction("How many codes has a 10-bit converter?", 1024, unit="codes", digits=0)
    >>> guess.commit("1000")
    'You said 1000 codes; it is 1024 codes. You were 24 codes too low.'
    """

    def __init__(self, question, answer, unit, digits=1, why="", explorer=None, settings=None):
        self.question, self.unit, self.digits, self.why = question, unit, digits, why
        self._answer = answer
        self._explorer, self._settings = explorer, settings or {}
        self._field = ipywidgets.Text(
            description=f"my prediction, {unit}" if unit else "my prediction",
            style={"description_width": "initial"},
            placeholder="a number",
        )
        self._told = ipywidgets.HTML('<div class="tempkit-words" role="status"></div>')
        button = ipywidgets.Button(description="Commit")
        button.on_click(lambda _: self.commit(self._field.value))
        self._field.continuous_update = False
        self._field.observe(lambda change: self.commit(change["new"]) if change["new"] else None, "value")
        asked = ipywidgets.HTML(f'<div class="tempkit-words">{html.escape(question)}</div>')
        row = ipywidgets.HBox([self._field, button], layout={"flex_flow": "row wrap"})
        style = ipywidgets.HTML(STYLE, layout={"display": "none"})
        super().__init__([style, asked, row, self._told])
        self.add_class("tempkit-explorer")
        if current().room:
            self.add_class("tempkit-room")

    def answer(self):
        """The answer as a number in the question's unit."""
        return float(self._answer() if callable(self._answer) else self._answer)

    def commit(self, text):
        """Take the reader's number (as text, decimal comma allowed) and tell both; returns what is told."""
        typed = read(text)
        if typed.value is None:
            return self._tell(typed.refusal)
        if typed.unit not in ("", self.unit):
            return self._tell(f"The unit here is {self.unit}: write your number in it.")
        said = typed.value
        told = f"You said {self._say(said)}; it is {self._say(self.answer())}. {self._how_far(said)}"
        if self._explorer is not None:
            self._explorer.move(**self._settings)
            told += " The explorer now stands there."
        return self._tell(f"{told} {self.why}".strip())

    def _say(self, number):
        return f"{tidy(number, self.digits)} {self.unit}".strip()

    def _how_far(self, said):
        off = round(said - self.answer(), self.digits)
        if off == 0:
            return "You had it."
        return f"You were {self._say(abs(off))} too {'high' if off > 0 else 'low'}."

    def _tell(self, words):
        self._told.value = f'<div class="tempkit-words" role="status">{html.escape(words)}</div>'
        return words

    def words(self):
        return f"Predict first: {self.question}"
