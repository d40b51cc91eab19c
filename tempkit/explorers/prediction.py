"""A prediction: it is committed before the answer can be seen, then looked at, then told; alone, or by a class.

What is asked stands in `tempkit/problems` under an id; here it becomes a box with buttons.
"""

import html
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import ipywidgets

from tempkit.book import current, tidy
from tempkit.draw import Keys, Shown
from tempkit.exercises import LETTERS, prediction
from tempkit.explorers.panel import number_in
from tempkit.explorers.stage import STYLE, heard, paragraph

# ---- A show of hands: how many of a class predict what, told, drawn, and set beside the answer.

MOST = 1000
HANDS_STYLE = """<style>
.tempkit-hands table { border-collapse: collapse; width: 100%; max-width: 46em; font-size: inherit; }
.tempkit-hands caption { text-align: left; padding: 2px 0; color: inherit; }
.tempkit-hands.tempkit-words th, .tempkit-hands.tempkit-words td { padding: 3px 0.8em 3px 0; background: none;
  font-size: inherit; white-space: nowrap; }
.tempkit-hands.tempkit-long th[scope=row] { white-space: normal; }
.tempkit-hands td.tempkit-bars { width: 60%; padding-right: 0; }
.tempkit-hands .tempkit-bar { display: inline-block; box-sizing: border-box; height: 0.9em; min-width: 3px;
  vertical-align: middle; border: 2px solid currentColor;
  background: repeating-linear-gradient(45deg, currentColor 0 2px, transparent 2px 8px); }
.tempkit-hands tr.tempkit-answer th, .tempkit-hands tr.tempkit-answer td { font-weight: bold;
  border-top: 3px solid currentColor; border-bottom: 3px solid currentColor; }
</style>"""


@dataclass
class Hands:
    """Hands counted for predictions: `votes` maps a number, or an option's place, to how many raised a hand for it.

    read : text -> (prediction, why it is refused); say : prediction -> text; row : the same, as long as a row of the
    table may have it; always : predictions that have a row without hands too, and among which none is "closest".

    >>> hands = Hands(lambda text: number_in(text, "codes"), lambda number: f"{number:.0f} codes")
    >>> hands.count("1023", 12), hands.count("1024", "6"), hands.words(answer=1024)[-58:]
    ('', '', ' 6 for 1024 codes. It is 1024 codes: 6 of 18 hands had it.')
    """

    read: Callable
    say: Callable
    row: Callable | None = None
    always: tuple = ()
    votes: dict = field(default_factory=dict)

    def count(self, predicted, hands):
        """Take a count, both as text or number; the same prediction again replaces its count, 0 takes it away.

        Returns "" or the sentence that says why nothing was taken.
        """
        value, why = self.read(predicted)
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
        if self.always:
            return f"{told}: nobody had it."
        closest = min(self.votes, key=lambda number: abs(number - answer))
        return f"{told}: nobody had it; closest was {self.say(closest)}, with {_hands(self.votes[closest])}."

    def table(self, caption, answer=None):
        """The counts as an HTML table with bars, the answer's row marked in its place among them; "" without any."""
        numbers = {**dict.fromkeys(self.always, 0), **self.votes}
        if answer is not None and not any(self.say(number) == self.say(answer) for number in numbers):
            numbers[answer] = 0
        if not self.votes and answer is None:
            return ""
        rows = "".join(self._row(number, numbers[number], answer) for number in sorted(numbers))
        heads = "".join(f'<th scope="col">{head}</th>' for head in ("prediction", "hands", "drawn"))
        head = f"<caption>{html.escape(caption)}</caption><thead><tr>{heads}</tr></thead>"
        name = "tempkit-words tempkit-hands" + " tempkit-long" * bool(self.always)
        return f'{HANDS_STYLE}<div class="{name}"><table>{head}<tbody>{rows}</tbody></table></div>'

    def _row(self, number, hands, answer):
        right = answer is not None and self.say(number) == self.say(answer)
        part = 100 * hands / max(self.votes.values(), default=1)
        bar = f'<span class="tempkit-bar" style="width:{part * 0.6:.0f}%"></span> ' if hands else ""
        mark = "◀ the answer" if right else ""
        name = ' class="tempkit-answer"' if right else ""
        cells = f'<td>{hands}</td><td class="tempkit-bars">{bar}{mark}</td>'
        return f'<tr{name}><th scope="row">{html.escape((self.row or self.say)(number))}</th>{cells}</tr>'


def _hands(number):
    return f"{number} hand{'' if number == 1 else 's'}"


# ---- The two kinds of answer: what may be said, what may be seen, and what is told in the end.

@dataclass(frozen=True)
class Options:
    """Ideas to choose from: a prediction is the place of one, typed as its letter."""

    asked: object

    @property
    def ideas(self):
        """Texts with their letters, in the order of the screen."""
        return tuple(f"{LETTERS[place]}: {idea.text}" for place, idea in enumerate(self.asked.ideas))

    @property
    def answer(self):
        """The place of the right one."""
        return next(place for place, idea in enumerate(self.asked.ideas) if idea.right)

    @property
    def looks(self):
        """What can have been seen, as pairs of words and what stands for them."""
        told = [text for text, _ in self.asked.seen] if self.asked.looks else [f"I saw {idea}" for idea in self.ideas]
        return tuple((text, place) for place, text in enumerate(told))

    def hands(self):
        """An empty count of hands."""
        return Hands(self.read, self.say, lambda place: self.ideas[place], tuple(range(len(self.ideas))))

    def read(self, text):
        """A letter -> (its place, ""), or (None, why it is refused)."""
        letters = LETTERS[: len(self.ideas)]
        letter = str(text).strip().upper()
        if len(letter) == 1 and letter in letters:
            return letters.index(letter), ""
        return None, f"Choose one of {', '.join(letters)}."

    def say(self, place):
        """The letter."""
        return LETTERS[place]

    def is_so(self, said, seen):
        """True where what was seen is what there is to see."""
        return self.asked.seen[seen][1]

    def told(self, said):
        """The answer beside the prediction."""
        right = self.ideas[self.answer]
        return f"You had it: {right}." if said == self.answer else f"You predicted {self.say(said)}; it is {right}."

    def refuted(self, said):
        """What speaks against a prediction; "" for the right one."""
        against = self.asked.ideas[said].refuted
        return f"About {self.say(said)}: {against}" if against else ""


@dataclass(frozen=True)
class Typed:
    """A number to type, asked and told in the reader's scale; `book` is the reader's choice."""

    asked: object
    book: object
    ideas = ()
    looks = (("Higher than mine", 1), ("As I said", 0), ("Lower than mine", -1))

    @property
    def amount(self):
        """What is asked for."""
        return self.asked.number

    @property
    def unit(self):
        """As printed, and as accepted behind a typed number."""
        return self.book.sign if self.amount.quantity else self.amount.unit

    @cached_property
    def answer(self):
        """The amount, in that unit."""
        return self._shown(self.amount.value())

    def _shown(self, value):
        if self.amount.quantity == "temperature":
            return float(self.book.from_celsius(value))
        return float(self.book.span_from_celsius(value) if self.amount.quantity else value)

    def hands(self):
        """An empty count of hands."""
        return Hands(self.read, self.say)

    def read(self, text):
        """A typed number -> (its value, a note), or (None, why it is refused)."""
        return number_in(text, self.unit, self.amount.quantity or None)

    def say(self, number):
        """The number with its unit."""
        return f"{tidy(number, self.amount.digits)} {self.unit}".strip()

    def _off(self, said):
        return round(self.answer - said, self.amount.digits)

    def is_so(self, said, seen):
        """True where the amount lies on the side that was seen; near the prediction "as I said" is true as well."""
        near = self.book.span_from_celsius(self.amount.near) if self.amount.quantity else self.amount.near
        off = self._off(said)
        return (off > 0) - (off < 0) == seen or (seen == 0 and abs(off) <= near)

    def told(self, said):
        """The answer beside the prediction, and how far off it was."""
        off = self._off(said)
        far = f"You were {self.say(abs(off))} too {'low' if off > 0 else 'high'}." if off else "You had it."
        return f"You said {self.say(said)}; it is {self.say(self.answer)}. {far}"

    def refuted(self, said):
        """The remark on the slip that gives this number, to a hundredth of it; "" where none is known."""
        if self._off(said) == 0:
            return ""
        for slip in self.amount.wrong:
            value = self._shown(slip.value())
            if self.say(said) == self.say(value) or abs(said - value) <= abs(value) / 100:
                return f"About {self.say(said)}: {slip.remark}"
        return ""


# ---- The box

WIDE = {"description_width": "initial"}
HELD = "The answer is held back until it is revealed."
THERE = "The explorer now stands there."
IDEAS_STYLE = """<style>
.tempkit-explorer .tempkit-idea.widget-button.widget-button { white-space: normal; height: auto; line-height: 1.35;
  padding: 4px 10px; text-align: left; width: auto; max-width: calc(100% - 4px); overflow: visible; }
</style>"""


def predict(which, explorer=None, held=None):
    """The prediction with the id `which` as a box to answer: commit, look, say what was seen, then it is told.

    explorer : the explorer on the page that shows it; a button then moves it there. held : True for a class, where
    hands are counted and the answer waits for `reveal()`; None takes the book's choice, True in back-row size.
    Raises `ValueError` that lists the chapter's predictions for an id that does not exist.

    >>> predict("02-step").words()[:53]
    'Predict first: The converter of 10 bits compares with'
    """
    return PredictionBox(prediction(which), explorer, held)


class PredictionBox(Shown):
    """A `Prediction` to answer; nothing on the screen tells the answer until the reader has said what was seen.

    asked : the content; explorer, held : as in `predict`. A button changes between one alone and a class.

    >>> box = predict("01-twice-as-warm")
    >>> box.commit("1.6")[:47]
    'You predict 1.600 V. Now set the temperature to'
    >>> box.saw(1)[:35]
    '“Higher than mine”: look again, the'
    >>> box.saw(-1)[:58]
    'You said 1.600 V; it is 1.000 V. You were 0.600 V too high'
    >>> box.hold()
    >>> box.hands("1.6", 7)
    '7 hands: 7 for 1.600 V. The answer is held back until it is revealed.'
    >>> box.reveal()[:65]
    '7 hands: 7 for 1.600 V. It is 1.000 V: nobody had it; closest was'
    """

    def __init__(self, asked, explorer=None, held=None):
        self.prediction = asked
        self._way = Options(asked) if asked.options else Typed(asked, current())
        self._explorer = explorer if asked.settings else None
        self._check()
        self._hands, self.revealed, self._said = self._way.hands(), False, None
        self._told = ipywidgets.HTML(heard(""))
        self._drawn = ipywidgets.HTML()
        question = ipywidgets.HTML(paragraph(asked.asks))
        self._alone, self._class, self._look = self._box_alone(), self._box_class(), self._box_look()
        style = ipywidgets.HTML(STYLE + IDEAS_STYLE, layout={"display": "none"})
        rows = [self._alone, self._class, self._told, self._look, self._drawn]
        super().__init__([style, Keys(), question, *rows])
        self.add_class("tempkit-explorer")
        self.hold(bool(held))
        self.size(current().room)
        if held is not None:
            self.hold(held)

    def _check(self):
        unknown = sorted(set(self.prediction.settings or {}) - set(self._explorer.settings())) if self._explorer else ()
        if unknown:
            raise ValueError(
                f"this explorer has no control {', '.join(unknown)}: {self.prediction.id} is seen in one made by"
                f" {self.prediction.explorer}.explorer()"
            )

    # ---- making the widgets

    def _box_alone(self):
        more = self._button("Show of hands", lambda: self.hold(True))
        if self._way.ideas:
            return ipywidgets.VBox([*self._column(enumerate(self._way.ideas), self._commit), more])
        self._field = self._entry(self._named("my prediction"), lambda: self._field.value and self._enter())
        return _row(self._field, self._button("Commit", self._enter), more)

    def _enter(self):
        self.commit(self._field.value)

    def _box_class(self):
        buttons = (
            self._button("Count", self._add),
            self._button("Reveal", self.reveal),
            self._button("Count anew", self.clear),
            self._button("One alone", lambda: self.hold(False)),
        )
        if not self._way.ideas:
            self._number = self._entry(self._named("a prediction"), lambda: None)
            self._count = self._entry("hands", lambda: self._count.value and self._add(), "how many")
            return _row(self._number, self._count, *buttons)
        letters = LETTERS[: len(self._way.ideas)]
        self._counts = [self._entry(f"hands for {letter}", self._add, "how many") for letter in letters]
        listed = ipywidgets.HTML("".join(map(paragraph, self._way.ideas)))
        return ipywidgets.VBox([listed, _row(*self._counts), _row(*buttons)])

    def _box_look(self):
        go = [self._button("Move it there", self.go)] if self._explorer else []
        asked = ipywidgets.HTML(paragraph("What did you see?"))
        looks = self._column(((seen, words) for words, seen in self._way.looks), self.saw)
        return ipywidgets.VBox([*go, asked, *looks] if self._way.ideas else [*go, asked, _row(*looks)])

    def _column(self, words, action):
        """A button for each (value, words), which does `action(value)`."""
        buttons = [self._button(told, lambda value=value: action(value)) for value, told in words]
        for button in buttons:
            button.add_class("tempkit-idea")
        return buttons

    def _named(self, name):
        return f"{name}, {self._way.unit}" if self._way.unit else name

    def _entry(self, description, entered, placeholder="a number"):
        """A field that acts on Enter, or when the reader leaves it."""
        entry = ipywidgets.Text(description=description, style=WIDE, placeholder=placeholder, continuous_update=False)
        entry.observe(lambda _: entered(), "value")
        return entry

    def _button(self, words, action):
        button = ipywidgets.Button(description=words)
        button.on_click(lambda _: action())
        return button

    # ---- what the reader and the instructor can do

    def commit(self, text):
        """Take the reader's number (as text, decimal comma allowed) or an option's letter; returns what is told."""
        said, why = self._way.read(text)
        return self._tell(why) if said is None else self._commit(said, why)

    def _commit(self, said, note=""):
        self._said = said
        self._look.layout.display = "flex"
        return self._tell(note, f"You predict {self._way.say(said)}.", self.prediction.move)

    def go(self):
        """Move the explorer to where it can be seen."""
        self._explorer.move(**self.prediction.settings)
        return self._tell(THERE, "What did you see?")

    def saw(self, seen):
        """Take what the reader saw: an option's place, or 1, 0, −1 for higher than, as, lower than the reader's own.

        What is not so leads back to the picture; else the answer is told with its reason. Returns what is told.
        """
        if self._said is None:
            return self._tell("Predict first, then look.")
        if not self._way.is_so(self._said, seen):
            (words,) = (words for words, place in self._way.looks if place == seen)
            return self._tell(f"“{words}”: look again, the picture shows something else.", self.prediction.move)
        return self._tell(self._way.told(self._said), self.prediction.why, self._way.refuted(self._said))

    def hold(self, held=True):
        """For a class: count hands, and hold the answer until `reveal()`. `hold(False)` is for one alone again."""
        self.held, self._said = held, None
        self._alone.layout.display = "none" if held else "flex"
        self._class.layout.display = "flex" if held else "none"
        self._look.layout.display = "none"
        self._tell(self._standing() if held else "")
        self._draw()

    def hands(self, predicted, hands):
        """Count `hands` for a number or a letter, and return the standing; the same again replaces its count."""
        refusal = self._hands.count(predicted, hands)
        if self._way.ideas and not refusal:
            self._counts[self._way.read(predicted)[0]].value = str(hands)
        self._draw()
        return self._tell(refusal or self._standing())

    def reveal(self):
        """Tell the answer beside the hands, with what speaks against the others, and move the explorer there."""
        self.revealed = True
        self._draw()
        there = THERE if self._explorer else ""
        if self._explorer:
            self._explorer.move(**self.prediction.settings)
        return self._tell(self._standing(), there, self.prediction.why, *map(self._way.refuted, self._hands.votes))

    def clear(self):
        """Take all hands away and hold the answer back again."""
        self._hands, self.revealed = self._way.hands(), False
        for entry in self._fields():
            entry.value = ""
        self._draw()
        return self._tell(self._standing())

    # ---- following

    def size(self, room):
        """In back-row size the answer is held."""
        super().size(room)
        if room != self.held:
            self.hold(room)

    def _fields(self):
        return self._counts if self._way.ideas else [self._number, self._count]

    def _add(self):
        """Count what is typed; a number's fields make room for the next, what cannot be taken stays to be mended."""
        typed = [entry.value for entry in self._fields()]
        if not any(text.strip() for text in typed) and not self._hands.votes:
            return
        if self._way.ideas:
            counts = [(letter, text.strip() or 0) for letter, text in zip(LETTERS, typed, strict=False)]
        else:
            counts = [typed] if any(text.strip() for text in typed) else []
        refusals = [refusal for predicted, hands in counts if (refusal := self._hands.count(predicted, hands))]
        if not refusals and not self._way.ideas:
            self._number.value = self._count.value = ""
        self._draw()
        self._tell(*(refusals or [self._standing()]))

    def _standing(self):
        return self._hands.words(self._way.answer) if self.revealed else f"{self._hands.words()} {HELD}"

    def _draw(self):
        self._drawn.value = self._table() if self.held else ""

    def _table(self):
        return self._hands.table(self.prediction.asks, self._way.answer if self.revealed else None)

    def _tell(self, *sentences):
        words = " ".join(filter(None, sentences))
        self._told.value = heard(words)
        return words

    def words(self):
        """The question and its options; once hands are counted, these too."""
        asked = "\n".join((f"Predict first: {self.prediction.asks}", *self._way.ideas))
        return f"{asked}\n{self._standing()}" if self._hands.votes else asked

    def static_html(self):
        """The words, and the hands where some are counted, for readers without a kernel."""
        return "".join(f"<p>{html.escape(line)}</p>" for line in self.words().splitlines()) + self._table()


def _row(*widgets):
    return ipywidgets.HBox(widgets, layout={"flex_flow": "row wrap"})
