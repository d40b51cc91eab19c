"""What a prediction is: a question, three ideas or an amount to foretell, the reason; and one found by its id."""

import hashlib
import importlib
import re
from collections.abc import Callable
from dataclasses import dataclass

from tempkit.exercises.catalogue import numbered
from tempkit.exercises.kinds import Wrong

LETTERS = "ABCD"
SPANS = ("temperature", "temperature span")


@dataclass(frozen=True)
class Idea:
    """One option of a prediction: its `text`, and `right=True` for the one that is.

    Every other is an idea that people really have: `refuted` says in one or two sentences what speaks against it,
    `source` where it is documented, or "ours" where we know of no study. Raises `ValueError` where one of these is
    missing.

    >>> Idea("The sensor gives more volts", refuted="A meter finds 0.800 V before and after.", source="ours").right
    False
    """

    text: str
    right: bool = False
    refuted: str = ""
    source: str = ""

    def __post_init__(self):
        if self.right and (self.refuted or self.source):
            raise ValueError(f"idea {self.text!r} is right and refuted: leave one of the two out")
        if not self.right and not (self.refuted and self.source):
            raise ValueError(f"idea {self.text!r} needs `refuted` and `source`: what speaks against it, and where it"
                             ' is documented, or "ours"')  # fmt: skip


@dataclass(frozen=True)
class Amount:
    """A number to foretell: `value`, a function of nothing, in `unit`, printed with `digits` after the point.

    quantity : "temperature" or "temperature span" where the unit is °C, so that it is asked and told in the reader's
    scale; empty for all else. near : how far off [unit] one may still say "as I said" of it. wrong : known slips, as
    in a problem, but that the value is a function of nothing, and the remark is told once the number is.
    Raises `ValueError` for a unit of °C without quantity.

    >>> Amount(lambda: 155, "", 0).value()
    155
    """

    value: Callable
    unit: str
    digits: int = 1
    quantity: str = ""
    near: float = 0.0
    wrong: tuple[Wrong, ...] = ()

    def __post_init__(self):
        if (self.quantity in SPANS) != (self.unit == "°C"):
            raise ValueError(f"quantity {self.quantity!r} does not go with {self.unit!r}: °C is a temperature or a"
                             " temperature span, all else has no quantity")  # fmt: skip


@dataclass(frozen=True, eq=False)
class Prediction:
    """A question that is answered before the answer can be seen: content only, `tempkit.explorers.predict` asks it.

    id : like "03-new-socket", the first two digits are the chapter; asks : the question, whole sentences.
    options : three `Idea`, one of them right; or number : an `Amount`.
    move : sentences that say what to do after the commitment, so that it can be seen; they give nothing away.
    why : the reason, at most 60 words. fourth : why there are four options.
    looks : what can be seen, the right one first, where the options are causes that nobody sees; else the options.
    explorer, settings : the file in `tempkit/explorers` and the values of its controls (degC) that show it;
    saw : function of that explorer's result that gives the amount, in its unit.
    Raises `ValueError` for an id or for options that are not of this form.

    >>> prediction("01-twice-as-warm").number.value()
    1.0
    """

    id: str
    asks: str
    move: str
    why: str
    options: tuple[Idea, ...] = ()
    number: Amount | None = None
    fourth: str = ""
    looks: tuple[str, ...] = ()
    explorer: str = ""
    settings: dict | None = None
    saw: Callable | None = None

    def __post_init__(self):
        if not re.fullmatch(r"\d\d(-[a-z0-9]+)+", self.id):
            raise ValueError(f'id {self.id!r} is not like "03-new-socket": two digits of the chapter, then words')
        if bool(self.options) == (self.number is not None):
            raise ValueError(f"prediction {self.id} needs either options or a number")
        if self.options and len(self.options) != (4 if self.fourth else 3):
            raise ValueError(f"prediction {self.id} has {len(self.options)} options: three, or four with a reason in"
                             " `fourth`")  # fmt: skip
        if self.options and sum(idea.right for idea in self.options) != 1:
            raise ValueError(f"prediction {self.id} has {sum(idea.right for idea in self.options)} right options: one")
        if len(self.looks) == 1 or (self.looks and self.number):
            raise ValueError(f"prediction {self.id}: what can be seen has two answers or more, and goes with options")
        if self.saw and not (self.explorer and self.number):
            raise ValueError(f"prediction {self.id} says what is seen, so it needs an explorer and a number")

    @property
    def ideas(self):
        """The options in the order in which they are shown: their digests decide, so that none stands first for long.

        >>> sorted(LETTERS[:3]) == [letter for letter, _ in zip(LETTERS, prediction("03-new-socket").ideas)]
        True
        """
        return tuple(sorted(self.options, key=lambda idea: self._place(idea.text)))

    @property
    def seen(self):
        """What can be seen, as pairs (text, whether it is so), in an order that their digests decide."""
        pairs = [(text, text == self.looks[0]) for text in self.looks]
        pairs = pairs or [(idea.text, idea.right) for idea in self.options]
        return tuple(sorted(pairs, key=lambda pair: self._place(pair[0])))

    def _place(self, text):
        return hashlib.sha256(f"{self.id}{text}".encode()).digest()


def predictions(chapter=None):
    """The predictions of a chapter by their ids (its number, or None for all of the book).

    >>> list(predictions(1))
    ['01-sent-back', '01-twice-as-warm']
    """
    numbers = numbered() if chapter is None else (chapter,)
    return {each.id: each for number in numbers for each in _content(number)}


def prediction(which):
    """The prediction with this id. Raises `ValueError` that lists the chapter's, or the chapters that have any.

    >>> prediction("02-step").number.unit
    '°C'
    """
    match = re.match(r"\s*(\d{1,2})(?!\d)", str(which))
    if match is None or int(match[1]) not in numbered():
        listed = ", ".join(f"{chapter:02d}" for chapter in numbered())
        raise ValueError(f"there is no prediction {which!r}: its first two digits are a chapter, one of {listed}")
    found = predictions(int(match[1]))
    if str(which).strip() not in found:
        raise ValueError(f"there is no prediction {which!r}: chapter {int(match[1]):02d} has {', '.join(found)}")
    return found[str(which).strip()]


def _content(number):
    return importlib.import_module(f"tempkit.problems.chapter{number:02d}").PREDICTIONS
