"""A prediction: a number is committed before the answer is told; alone, or by a class that raises hands."""

import html
from dataclasses import dataclass, field

import ipywidgets

from tempkit.book import current, tidy
from tempkit.draw import Keys, Shown
from tempkit.explorers.panel import number_in
from tempkit.explorers.stage import STYLE, heard, paragraph

# ---- A show of hands: how many of a class predict which number, told, drawn, and set beside the answer.

MOST = 1000
HANDS_STYLE = """<style>
.tempkit-hands table { border-collapse: collapse; width: 100%; max-width: 46em; font-size: inherit; }
.tempkit-hands caption { text-align: left; padding: 2px 0; color: inherit; }
.tempkit-hands.tempkit-words th, .tempkit-hands.tempkit-words td { padding: 3px 0.8em 3px 0; background: none;
  font-size: inherit; white-space: nowrap; }
.tempkit-hands td.tempkit-bars { width: 60%; padding-right: 0; }
.tempkit-hands .tempkit-bar { display: inline-block; box-sizing: border-box; height: 0.9em; min-width: 3px;
  vertical-align: middle; border: 2px solid currentColor;
  background: repeating-linear-gradient(45deg, currentColor 0 2px, transparent 2px 8px); }
.tempkit-hands tr.tempkit-answer th, .tempkit-hands tr.tempkit-answer td { font-weight: bold;
  border-top: 3px solid currentColor; border-bottom: 3px solid currentColor; }
</style>"""


@dataclass
class Hands:
    """Hands counted for predicted numbers: `votes` maps a number to how many raised a hand for it.

    unit : as printed and as accepted behind a typed number; say : number -> text with its unit.

    >>> hands = Hands("codes", lambda number: f"{number:.0f} codes")
    >>> hands.count("1023", 12), hands.count("1024", "6"), hands.words(answer=1024)[-58:]
    ('', '', ' 6 for 1024 codes. It is 1024 codes: 6 of 18 hands had it.')
    """

    unit: str
    say: object
    votes: dict = field(default_factory=dict)

    def count(self, number, hands):
        """Take a count, both as text or number; the same number again replaces its count, 0 takes it away.

        Returns "" or the sentence that says why nothing was taken.
        """
        value, why = number_in(number, self.unit)
        if value is None:
            return f"Prediction: {why}"
        counted, _ = number_in(hands, "hands")
        if counted is None or counted != int(counted) or not 0 <= counted <= MOST:
            return f"Hands: {str(hands).strip()!r} is no count. Write a whole number from 0 to {MOST}."
        self._put(value, int(counted))
        return ""

    def _put(self, number, hands):
        """Numbers that are printed alike are one."""
        same = next((known for known in self.votes if self.say(known) == self.say(number)), number)
        self.votes[same] = hands
        self.votes = {number: self.votes[number] for number in sorted(self.votes) if self.votes[number]}

    @property
    def total(self):
        """All hands."""
        return sum(self.votes.values())

    def words(self, answer=None):
        """The counts as sentences, smallest number first; with an answer, how many had it or came closest."""
        counted = ", ".join(f"{hands} for {self.say(number)}" for number, hands in self.votes.items())
        told = f"{_hands(self.total)}: {counted}." if counted else "No hands are counted yet."
        return told if answer is None else f"{told} {self._beside(answer)}"

    def _beside(self, answer):
        told = f"It is {self.say(answer)}"
        if not self.votes:
            return f"{told}."
        had = sum(hands for number, hands in self.votes.items() if self.say(number) == self.say(answer))
        if had:
            return f"{told}: {had} of {_hands(self.total)} had it."
        closest = min(self.votes, key=lambda number: abs(number - answer))
        return f"{told}: nobody had it; closest was {self.say(closest)}, with {_hands(self.votes[closest])}."

    def table(self, caption, answer=None):
        """The counts as an HTML table with bars, the answer's row marked in its place among them; "" without any."""
        numbers = dict(self.votes)
        if answer is not None and not any(self.say(number) == self.say(answer) for number in numbers):
            numbers[answer] = 0
        if not numbers:
            return ""
        rows = "".join(self._row(number, numbers[number], answer) for number in sorted(numbers))
        heads = "".join(f'<th scope="col">{head}</th>' for head in ("prediction", "hands", "drawn"))
        head = f"<caption>{html.escape(caption)}</caption><thead><tr>{heads}</tr></thead>"
        return f'{HANDS_STYLE}<div class="tempkit-words tempkit-hands"><table>{head}<tbody>{rows}</tbody></table></div>'

    def _row(self, number, hands, answer):
        right = answer is not None and self.say(number) == self.say(answer)
        part = 100 * hands / max(self.votes.values(), default=1)
        bar = f'<span class="tempkit-bar" style="width:{part * 0.6:.0f}%"></span> ' if hands else ""
        mark = "◀ the answer" if right else ""
        name = ' class="tempkit-answer"' if right else ""
        cells = f'<td>{hands}</td><td class="tempkit-bars">{bar}{mark}</td>'
        return f'<tr{name}><th scope="row">{html.escape(self.say(number))}</th>{cells}</tr>'


def _hands(number):
    return f"{number} hand{'' if number == 1 else 's'}"


WIDE = {"description_width": "initial"}
HELD = "The answer is held back until it is revealed."


class Prediction(Shown):
    """A question with a field; the answer stays untold until a number is committed.

    question : what to predict, with its unit; answer : a number in that unit, or a function of no arguments that
    gives it; unit : as printed; digits : of the printed answer; why : one sentence told with the answer;
    explorer, settings : controls of an explorer that are moved there when the answer is told; held : True for a
    class, where hands are counted and the answer waits for `reveal()`; None takes the book's choice, True in
    back-row size. A button changes between the two.

    >>> guess = Prediction("How many codes has a 10-bit converter?", 1024, unit="codes", digits=0)
    >>> guess.commit("1000")
    'You said 1000 codes; it is 1024 codes. You were 24 codes too low.'
    >>> guess.hold()
    >>> guess.hands("1000", 7)
    '7 hands: 7 for 1000 codes. The answer is held back until it is revealed.'
    >>> guess.reveal()[-52:]
    'nobody had it; closest was 1000 codes, with 7 hands.'
    """

    def __init__(self, question, answer, unit, digits=1, why="", explorer=None, settings=None, held=None):
        self.question, self.unit, self.digits, self.why = question, unit, digits, why
        self._answer = answer
        self._explorer, self._settings = explorer, settings or {}
        self._hands, self.revealed = Hands(unit, self._say), False
        self._told = ipywidgets.HTML(heard(""))
        self._drawn = ipywidgets.HTML()
        asked = ipywidgets.HTML(paragraph(question))
        self._alone, self._class = self._row_alone(), self._row_class()
        style = ipywidgets.HTML(STYLE, layout={"display": "none"})
        super().__init__([style, Keys(), asked, self._alone, self._class, self._told, self._drawn])
        self.add_class("tempkit-explorer")
        self.hold(bool(held))
        self.size(current().room)
        if held is not None:
            self.hold(held)

    # ---- making the widgets

    def _row_alone(self):
        name = f"my prediction, {self.unit}" if self.unit else "my prediction"
        self._field = self._entry(name, "a number", lambda: self._field.value and self.commit(self._field.value))
        commit = self._button("Commit", lambda: self.commit(self._field.value))
        return _row(self._field, commit, self._button("Show of hands", lambda: self.hold(True)))

    def _row_class(self):
        name = f"a prediction, {self.unit}" if self.unit else "a prediction"
        self._number = self._entry(name, "a number", lambda: None)
        self._count = self._entry("hands", "how many", lambda: self._count.value and self._add())
        buttons = (
            self._button("Count", self._add),
            self._button("Reveal", self.reveal),
            self._button("Count anew", self.clear),
            self._button("One alone", lambda: self.hold(False)),
        )
        return _row(self._number, self._count, *buttons)

    def _entry(self, description, placeholder, entered):
        """A field that acts on Enter, or when the reader leaves it."""
        field = ipywidgets.Text(description=description, style=WIDE, placeholder=placeholder, continuous_update=False)
        field.observe(lambda _: entered(), "value")
        return field

    def _button(self, words, action):
        button = ipywidgets.Button(description=words)
        button.on_click(lambda _: action())
        return button

    # ---- what the reader and the instructor can do

    def answer(self):
        """The answer as a number in the question's unit."""
        return float(self._answer() if callable(self._answer) else self._answer)

    def commit(self, text):
        """Take the reader's number (as text, decimal comma allowed) and tell both; returns what is told."""
        said, why = number_in(text, self.unit)
        if said is None:
            return self._tell(why)
        told = f"{why} You said {self._say(said)}; it is {self._say(self.answer())}. {self._how_far(said)}"
        return self._tell(f"{told}{self._go_there()} {self.why}".strip())

    def hold(self, held=True):
        """For a class: count hands, and hold the answer until `reveal()`. `hold(False)` is for one alone again."""
        self.held = held
        self._alone.layout.display = "none" if held else "flex"
        self._class.layout.display = "flex" if held else "none"
        self._tell(self._standing() if held else "")
        self._draw()

    def hands(self, number, hands):
        """Count `hands` for a predicted number, and return the standing; the same number again replaces its count."""
        refusal = self._hands.count(number, hands)
        self._draw()
        return self._tell(refusal or self._standing())

    def reveal(self):
        """Tell the answer beside the hands, and move the explorer there; returns what is told."""
        self.revealed = True
        self._draw()
        return self._tell(f"{self._standing()}{self._go_there()} {self.why}".strip())

    def clear(self):
        """Take all hands away and hold the answer back again."""
        self._hands, self.revealed = Hands(self.unit, self._say), False
        self._draw()
        return self._tell(self._standing())

    # ---- following

    def size(self, room):
        """In back-row size the answer is held."""
        super().size(room)
        if room != self.held:
            self.hold(room)

    def _add(self):
        """Count what is typed, and make room for the next; what cannot be taken stays to be mended."""
        number, hands = self._number.value, self._count.value
        if not number.strip() and not hands.strip():
            return
        if self._hands.count(number, hands) == "":
            self._number.value = self._count.value = ""
            self._draw()
            self._tell(self._standing())
        else:
            self._tell(self._hands.count(number, hands))

    def _standing(self):
        return self._hands.words(self.answer()) if self.revealed else f"{self._hands.words()} {HELD}"

    def _draw(self):
        self._drawn.value = self._table() if self.held else ""

    def _table(self):
        return self._hands.table(self.question, self.answer() if self.revealed else None)

    def _go_there(self):
        if self._explorer is None:
            return ""
        self._explorer.move(**self._settings)
        return " The explorer now stands there."

    def _say(self, number):
        return f"{tidy(number, self.digits)} {self.unit}".strip()

    def _how_far(self, said):
        off = round(said - self.answer(), self.digits)
        if off == 0:
            return "You had it."
        return f"You were {self._say(abs(off))} too {'high' if off > 0 else 'low'}."

    def _tell(self, words):
        self._told.value = heard(words)
        return words

    def words(self):
        """The question; once hands are counted, these too."""
        asked = f"Predict first: {self.question}"
        return f"{asked} {self._standing()}" if self._hands.votes else asked

    def static_html(self):
        """The words, and the hands where some are counted, for readers without a kernel."""
        return super().static_html() + self._table()


def _row(*widgets):
    return ipywidgets.HBox(widgets, layout={"flex_flow": "row wrap"})


predict = Prediction  # a verb, as a notebook calls it
