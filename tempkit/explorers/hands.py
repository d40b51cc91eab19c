"""A show of hands: how many of a class predict which number, told, drawn, and set beside the answer."""

import html
from dataclasses import dataclass, field

from tempkit.explorers.slide import number_in

MOST = 1000
STYLE = """<style>
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
        return f'{STYLE}<div class="tempkit-words tempkit-hands"><table>{head}<tbody>{rows}</tbody></table></div>'

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
