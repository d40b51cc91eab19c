"""Chapter 11, second: a log is given, the reader names the cause, and only then sees the ranking and the best check."""

import hashlib
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from tempkit.book import tidy
from tempkit.explorers.controls import GUESS, LOG, PRINTS, RULER, SHORT, UNDECIDED
from tempkit.explorers.fault_log import furnished
from tempkit.explorers.fault_picture import FaultPicture, readable
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.faults import HandTest, Ranking, fault, heard_lines, possible, rank, read_lines, tell_apart

TEST = HandTest(21.0)
LEAST = 0.005  # scores below are not told


@dataclass(frozen=True)
class Given:
    """A log with its number, as heard, under a ruler at `ruler_c` [degC]; and, once the reader has named a cause
    (`guess` is not "none"), what the log itself says of all causes (`ranking`), and the `true` one."""

    number: int
    t_s: np.ndarray
    reading_c: np.ndarray
    code: np.ndarray
    line: bytes
    ruler_c: float
    unreadable: float
    guess: str
    true: object
    ranking: Ranking
    check: str
    held_s: tuple = (TEST.rest_s, TEST.rest_s + TEST.hold_s)
    end_s: float = TEST.seconds
    healthy_s: np.ndarray = field(default_factory=lambda: np.array([]))
    healthy_c: np.ndarray = field(default_factory=lambda: np.array([]))

    @property
    def told(self):
        """True once the reader has named a cause."""
        return self.guess != UNDECIDED

    @property
    def above(self):
        """How many readings lie above the ruler."""
        return int((self.reading_c > self.ruler_c).sum())

    def code_at_rest(self):
        """Median code of the first rest; None where none is printed."""
        still = self.code[self.t_s < self.held_s[0]]
        return float(np.median(still)) if still.size and not np.isnan(still).any() else None

    def heads(self, book, room):
        """Names and values above the chart."""
        above = f"{self.above} of {self.reading_c.size}"
        return (("readings above the ruler", above), ("my cause", SHORT.get(self.guess, "not yet")))

    def problems(self, book):
        """What the reader should mind, once all is told."""
        if self.told and self.ranking.alike:
            names = ", ".join(each.name for each in self.ranking.alike)
            yield f"by such a log alone {self.ranking.best.fault.name} cannot be told from {names}"


def true_key(number, keys):
    """The cause of log `number`: each cause once in a round, in an order that no one can guess and no year changes.

    >>> keys = ("a", "b", "c")
    >>> sorted(true_key(number, keys) for number in (1, 2, 3))
    ['a', 'b', 'c']
    """
    turn, place = divmod(int(number) - 1, len(keys))
    return sorted(keys, key=lambda key: hashlib.sha256(f"hunt {turn} {key}".encode()).hexdigest())[place]


def compute(design, t_c, log, prints, guess):
    """Log number `log` of benches of this design, with the ruler at `t_c` [degC] and the reader's `guess`.

    >>> from tempkit.explorers.stage import north_bench
    >>> compute(north_bench(), 25.0, 1, "both", "none").told
    False
    """
    lines, true, ranking, check = _judged(furnished(design), int(log), prints == "both")
    heard = read_lines(lines)
    line = lines[1]
    return Given(
        int(log),
        heard.t_s,
        heard.reading_c,
        heard.code,
        line,
        float(t_c),
        heard.unreadable,
        guess,
        true,
        ranking,
        check,
    )


@lru_cache(maxsize=128)
def _judged(design, number, with_code):
    """The lines of a log, its true cause, its ranking, and the check that tells the two likeliest apart."""
    true = fault(true_key(number, tuple(each.key for each in possible(design))))
    lines = tuple(heard_lines(true.case(design, np.random.default_rng([number, 7])), TEST))
    if not with_code:
        lines = tuple(b" ".join(part for part in line.split(b" ") if not part.startswith(b"code=")) for line in lines)
    ranking = rank(lines, design, TEST)
    return lines, true, ranking, _check(ranking, design)


def _check(ranking, design):
    """The best check: of the two likeliest where the second has a share, else of the first against its like."""
    causes = [cause for cause in ranking.causes if cause.fault.key != "else"]
    first, second = causes[0].fault.key, causes[1].fault.key
    if causes[1].score >= LEAST:
        return f"To tell the two likeliest apart: {tell_apart(first, second, design, TEST).words}"
    other = ranking.alike[0].key if ranking.alike else "healthy" if first != "healthy" else second
    return f"To make sure: {tell_apart(first, other, design, TEST).words}"


def words(at, book):
    """The log in figures; then, once a cause is named, the ranking, the truth, and the check.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()).split(". ")[-1])
    Name a cause, and the log is judged.
    """
    start = f"Log {at.number}, room {book.temperature(TEST.room_c)}. {_seen(at, book)}."
    if not at.told:
        return f"{start} Name a cause, and the log is judged."
    scores = ", ".join(f"{cause.fault.name} {_percent(cause.score)}" for cause in _told(at))
    verdict = "You found it" if at.guess == at.true.key else f"You said: {fault(at.guess).name}"
    best = f"The log speaks for: {scores}. It was: {at.true.name}. {verdict}."
    return f"{start} {best} {at.check} {at.true.safety}" + warning(at.problems(book))


def _seen(at, book):
    if not at.reading_c.size:
        return f"No line can be read, {tidy(100 * at.unreadable, 0)} % of the characters are none"
    still = at.reading_c[at.t_s < at.held_s[0]]
    code = at.code_at_rest()
    beside = "" if code is None else f", the code is {tidy(code, 1)}"
    told = f"At rest it reads {book.temperature(np.median(still))}, scatters by {book.span(still.std())}{beside}"
    return f"{told}; {at.above} of {at.reading_c.size} readings lie above the ruler at {book.temperature(at.ruler_c)}"


def _told(at):
    causes = [cause for cause in at.ranking.causes if cause.score >= LEAST]
    return causes[:4]


def _percent(score):
    return f"{100 * score:.0f} %"


def facts(at, book):
    """Rows of the number table."""
    rows = [
        ("log", str(at.number)),
        ("room", book.temperature(TEST.room_c)),
        ("fingers", book.temperature(TEST.hand_c)),
        ("a line of the log", readable(at.line)),
        ("the log at rest", _seen(at, book)),
        (f"readings above {book.temperature(at.ruler_c)}", f"{at.above} of {at.reading_c.size}"),
    ]
    if not at.told:
        return [*rows, ("your cause", "not yet named")]
    rows += [(cause.fault.name, _percent(cause.score)) for cause in _told(at)]
    rows += [("your cause", fault(at.guess).name), ("it was", at.true.name), ("the best check", at.check)]
    return [*rows, ("safety", at.true.safety), *(("mind", told) for told in at.problems(book))]


PLAN = Plan(
    title="A log and its cause",
    controls=(LOG, PRINTS, RULER, GUESS),
    compute=compute,
    picture=lambda look, book: FaultPicture(look, book),
    words=words,
    facts=facts,
)


class Hunt(Explorer):
    """The explorer, in which another log takes back the cause that was named for the last one."""

    def _changed(self, change):
        if not self._panel.moving and change["owner"] in (self._inputs["log"], self._inputs["prints"]):
            self._panel.set({"guess": UNDECIDED})
        super()._changed(change)


def explorer(design=None, **start):
    """The second explorer of chapter 11; `design` from a design file, `start` values of controls by name.

    >>> explorer(log=3).result().number
    3
    """
    return Hunt(PLAN, design, **start)
