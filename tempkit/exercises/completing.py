"""Lines that the reader completes: a value is read, judged, and drawn where it lands."""

import ipywidgets
import numpy as np

from tempkit import book
from tempkit.draw import DrawnCurve, FlatLook, Landed, LowLook, RailPicture, Shown, curve_picture
from tempkit.exercises import reading
from tempkit.exercises.cards import KINDS, STYLE, text_html
from tempkit.exercises.catalogue import Posed, lines
from tempkit.exercises.checking import Verdict, check, digits_text, quantity_text
from tempkit.exercises.figures import cells, columns, figures_at, target
from tempkit.exercises.kinds import Choice, Number, plain
from tempkit.exercises.predicting import LETTERS
from tempkit.exercises.unwritten import SIGN, blank

WRITE = "✎ Write here"
YES_NO = {True: "yes", False: "no"}
SMOOTH = 200


class Lands(Shown):
    """A line of the book with what the reader wrote: `verdict` (None while it is `blank`), and the picture of it.

    `words()` says the same as the picture, and is its alt text.
    """

    def __init__(self, line, value=blank):
        self.line, self.value = line, value
        self.figures = figures_at(line, 0)
        self.left = _left(value)
        self.verdict = None if self.left else judged(line, value)
        self._made, self._page = {}, ipywidgets.HTML()
        super().__init__((ipywidgets.HTML(STYLE), self._page))
        self.add_class("tempkit-practice")

    def size(self, room):
        """Take back-row size (`room` True) or desk size: the picture is drawn again."""
        super().size(room)
        self._page.value = self._html(room)

    def static_html(self):
        """Picture and words for readers without a kernel."""
        return self._html(book.current().room)

    def _repr_mimebundle_(self, **kwargs):
        self.size(book.current().room)  # nothing is drawn before it is shown
        return super()._repr_mimebundle_(**kwargs)

    def _html(self, room):
        """Picture and words in one size, made once."""
        if room not in self._made:
            kind = "" if self.verdict is None else KINDS[self.verdict.headline[0]]
            self._made[room] = self._picture(room) + text_html(self.words(), kind)
        return self._made[room]

    # ---- what is said

    def words(self):
        """The verdict in words: what to write, or what came of it, and what the picture shows."""
        return " ".join(part for part in (self._told(), self._drawn()) if part)

    def _told(self):
        if self.verdict is None:
            asked = (self.line.text(self.figures), digits_text(self.line, self.figures), self._put())
            return f"{WRITE}: {' '.join(filter(None, asked))}"
        if not self.verdict.understood:
            return f"{self.verdict!r} {self._put()}".rstrip()
        way = f" ({slip(self.verdict.way)})" if self._named else ""
        remark = self._departs() if self.line.sketch and self.verdict.attempt else self.verdict.remark
        yours = f" You have {self._yours()}." if isinstance(self.line.answer, Number) and not self.verdict.right else ""
        then = f" {self.line.then}" if self.line.then and self.verdict.right else ""
        return f"{self.verdict.headline}{way}:{yours} {remark}{then}"

    @property
    def _named(self):
        """True where a slip has a name of its own."""
        return self.verdict.way is not None and not isinstance(self.line.answer, Choice)

    def _put(self):
        """What may be written, or how much is left to write, as a sentence; "" where the question says it."""
        answer = self.line.answer
        if isinstance(answer, Choice):
            letters = _lettered(self.line, self.figures)
            offered = " ".join(
                f"{letter}: {text}{'' if text[-1] in '.?!' else '.'}" for letter, (_, text) in letters.items()
            )
            return f"Write {'letters' if answer.several else 'a letter'} in quotes, or the words. {offered}"
        if self.value is blank or not self.left:
            return ""
        return f"{self.left} of {len(columns(answer, self.figures))} are still to be written."

    def _yours(self):
        return quantity_text(self.verdict.value, self.line.answer.unit)

    def _drawn(self):
        """What the picture shows, in a sentence."""
        if self.line.sketch:
            return self._drawn_curve()
        if not self.line.rail:
            return ""
        name, low, high = self.line.rail
        unit = self.line.answer.unit
        ends = f"{plain(low)} to {plain(high)}{'' if unit in ('', 'code') else f' {unit}'}"
        if self.verdict is None or not self.verdict.understood:
            return ""
        if self.verdict.right:
            return f"Full ink at {quantity_text(self._goal, unit)}; yours, dashed, lands on it."
        value = self.verdict.value
        beyond = f"beyond the {'left' if value < low else 'right'} end of" if not low <= value <= high else "on"
        return f"Dashed: yours, {beyond} the {name} rail, {ends}."

    def _drawn_curve(self):
        if self.verdict is None or not self.verdict.understood:
            return ""
        return "Dashed: yours; full: the right curve." if self.verdict.right else "Dashed: yours."

    def _departs(self):
        """Where a drawn curve leaves the right one, and to which side; not by how much."""
        values, goals = (np.ravel(rows) for rows in (self.verdict.value, self._goal))
        (part, *_) = columns(self.line.answer, self.figures)
        rises, unit = goals[-1] > goals[0], self.line.sketch.across[1]
        in_time = reading.find(unit, "time") is not None and goals[-1] != goals[0]
        told = []
        for high in (True, False):
            off = values - goals if high else goals - values
            places = [plain(at) for at, far in zip(self.line.sketch.at, off, strict=True) if far > part.tolerance]
            if places:
                side, where = "high" if high else "low", f"{', '.join(places)} {unit}".rstrip()
                when = f": there it comes too {'early' if high == rises else 'late'}" if in_time else ""
                told.append(f"Too {side} at {where}{when}.")
        way = next((way.remark for way in self.line.answer.wrong if way.key == self.verdict.way), "")
        return " ".join((*told, self.line.say(way, self.figures))).strip()

    # ---- what is drawn

    @property
    def _goal(self):
        return target(self.line, self.figures)

    def _picture(self, room):
        if self.line.sketch:
            return curve_picture(self._curve(), FlatLook(room)).img(self.words())
        if self.line.rail:
            return RailPicture(LowLook(room, empty=self.verdict is None)).show(self._landed()).img(self.words())
        return ""

    def _landed(self):
        answer, (name, low, high), verdict = self.line.answer, self.line.rail, self.verdict
        if verdict is None or not verdict.understood:
            return Landed(name, answer.quantity, low, high, SIGN)
        told = f"yours: {slip(verdict.way)}" if verdict.way else "yours"
        goal = float(self._goal) if verdict.right else None
        value = self._yours().removeprefix("code ")
        return Landed(name, answer.quantity, low, high, value, float(verdict.value), goal, told)

    def _curve(self):
        drawn, verdict = self.line.sketch, self.verdict
        (part, *_), (label, low, high) = columns(self.line.answer, self.figures), drawn.up
        yours, right = (), ((), ())
        if verdict is not None and verdict.understood:
            yours = cells(self.line.answer, verdict.value)
        if verdict is not None and verdict.right:
            places = np.linspace(*drawn.across[2:], SMOOTH)
            right = places, drawn.curve(places)
        return DrawnCurve(drawn.across, (label, part.unit, low, high), drawn.at, yours, right)


def slip(key):
    """The key of a wrong way as its name: "forgot-offset" -> "forgot offset".

    >>> slip("forgot-offset")
    'forgot offset'
    """
    return key.replace("-", " ")


def judged(line, value):
    """The `Verdict` on a value written for a `Line`: a number of Python or numpy, a text with or without its unit,
    words or True and False for a choice, a list or an array for several numbers. A bare number counts in the answer's
    unit. Never an exception.

    >>> (line,) = lines("03-type-code").values()
    >>> judged(line, 172).right, judged(line, "172").right, judged(line, "a lot").understood
    (True, True, False)
    """
    figures, answer = figures_at(line, 0), line.answer
    if isinstance(answer, Choice):
        return check(line, figures, _picked(line, figures, value))
    asked = columns(answer, figures)
    if isinstance(answer, Number):
        return check(line, figures, *_with_unit(value, answer))
    given = value.split(";") if isinstance(value, str) else _several(value)
    if len(given) != len(asked):
        return Verdict(False, f"{len(asked)} numbers are needed, {len(given)} were given.", understood=False)
    typed = [" ".join(filter(None, _with_unit(*pair))) for pair in zip(given, asked, strict=True)]
    return check(line, figures, typed)


def _several(value):
    try:
        return list(np.ravel(np.asarray(value, dtype=object)))
    except ValueError:
        return [value]


def _with_unit(value, part):
    """A value as somebody would type it, and the unit chosen with it: the answer's where none is typed."""
    text = value if isinstance(value, str) else _text(value)
    found = reading.read(text, part.whole)
    return text, None if found.refusal or (found.unit and not reading.bare_degree(found.unit)) else part.unit


def _text(value):
    """A number as text with all its digits, but 23.0 as 23: nobody wrote its zero. What is no number as it prints."""
    if isinstance(value, bool | np.bool_) or np.ndim(value):
        return repr(value)
    if isinstance(value, int | np.integer):
        return str(value)
    try:
        return repr(float(value)).removesuffix(".0")
    except (TypeError, ValueError, OverflowError):
        return repr(value)


def _lettered(line, figures):
    """The options in their order, (key, text) by letter."""
    return dict(zip(LETTERS, Posed(line, figures).options, strict=False))


def _picked(line, figures, value):
    """The options meant by letters, words, True or False, as keys; the words as they are where no option has them."""
    known = {letter.casefold(): key for letter, (key, _) in _lettered(line, figures).items()}
    known |= {key.casefold(): key for key, _ in Posed(line, figures).options}
    known |= {text.casefold().rstrip("."): key for key, text in Posed(line, figures).options}
    given = value if isinstance(value, list | tuple) else [value]
    given = [part for each in given for part in (each.split(";") if isinstance(each, str) else [each])]
    words = [YES_NO.get(each, each) if isinstance(each, bool | np.bool_) else each for each in given]
    keys = [known.get(" ".join(str(word).split()).casefold().rstrip("."), str(word)) for word in words]
    return keys if line.answer.several else "; ".join(keys)


def _left(value):
    """How many numbers are still `blank` in what was written."""
    if value is blank:
        return 1
    several = isinstance(value, list | tuple) or (isinstance(value, np.ndarray) and value.dtype == object)
    return sum(map(_left, value)) if several else 0


def lands(which, value=blank):
    """Show where a value lands that the reader wrote for the line `which`: `lands("03-type-code", code)`.

    A right value is drawn in full ink, any other dashed, with the name of the slip; `blank` says what to write. See
    `judged` for what may be written. Raises `ValueError` that lists the chapter's lines for an id that does not exist.

    >>> lands("03-type-volts", 0.84).words()[:47]
    '≈ Too few digits: You have 0.84 V. Two digits c'
    >>> lands("03-type-code").words()[:12]
    '✎ Write here'
    """
    found = lines(which)
    if which not in found:
        raise ValueError(f"{which!r} is a chapter: choose one of its lines, {', '.join(found)}")
    return Lands(found[which], value)
