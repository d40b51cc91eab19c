"""Chapter 11, second: a log is given, the reader names the cause, and only then sees the ranking and the best check."""

import hashlib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from tempkit.book import tidy
from tempkit.draw import DOTS, INK, Fact, Facts, Levels, Stroke
from tempkit.explorers.controls import GUESS, LOG, PRINTS, RULER, SHORT, UNDECIDED
from tempkit.explorers.fault_log import furnished
from tempkit.explorers.fault_picture import LOG_FACTS, NO_LINE, log_charts
from tempkit.explorers.stage import Explorer, Plan, minds, warning
from tempkit.faults import HandTest, Ranking, fault, heard_lines, possible, rank, read_lines, tell_apart

TEST = HandTest(21.0)
LEAST = 0.005  # scores below are not told


@dataclass(frozen=True)
class Given:
    """A log with its number, as heard, under a ruler at `ruler_c` [degC]; and, once the reader has named a cause
    (`guess` is not "none"), what the log itself says of all causes (`ranking`), and the `true` one."""

    number: int
    log: object
    line: bytes
    ruler_c: float
    guess: str
    true: object
    ranking: Ranking
    check: str
    test: HandTest = TEST

    @property
    def logs(self):
        """All logs that are seen: this one alone."""
        return (self.log,)

    @property
    def told(self):
        """True once the reader has named a cause."""
        return self.guess != UNDECIDED

    @property
    def above(self):
        """How many readings lie above the ruler."""
        return int((self.log.reading_c > self.ruler_c).sum())

    def code_at_rest(self):
        """Median code of the first rest; None where none is printed."""
        still = self.log.code[self.log.t_s < self.test.rest_s]
        return float(np.median(still)) if still.size and not np.isnan(still).any() else None

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
    return Given(int(log), read_lines(lines), lines[1], float(t_c), guess, true, ranking, check)


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


# ---- told


def _likely(at):
    """The causes that the log speaks for, once the reader has named one: as many as are told."""
    return [cause for cause in at.ranking.causes if cause.score >= LEAST][:4] if at.told else []


def _percent(cause):
    return f"{100 * cause.score:.0f} %"


def _once_told(say):
    """What may be said only when the reader has named a cause."""
    return lambda at, _: say(at) if at.told else None


def _code(at, _):
    code = at.code_at_rest()
    return None if code is None else tidy(code, 1)


FACTS = Facts([
    Fact("log", "log", lambda at, _: str(at.number)),
    Fact("room", "room", lambda _, book: book.temperature(TEST.room_c)),
    Fact("fingers", "fingers", lambda _, book: book.temperature(TEST.hand_c)),
    *LOG_FACTS,
    Fact("code", "code at rest", _code),
    Fact("ruler", "ruler", lambda at, book: book.temperature(at.ruler_c)),
    Fact("above", "readings above the ruler", lambda at, _: f"{at.above} of {at.log.reading_c.size}",
         head="readings above the ruler", short="above"),
    Fact("guess", "your cause", lambda at, _: fault(at.guess).name if at.told else "not yet named"),
    Fact("short_guess", "", lambda at, _: SHORT.get(at.guess, "not yet"), head="my cause", short=None, table=False,
         wide=1.4),
    Fact("true", "it was", _once_told(lambda at: at.true.name)),
    Fact("check", "the best check", _once_told(lambda at: at.check)),
    Fact("safety", "safety", _once_told(lambda at: at.true.safety)),
])  # fmt: skip


def words(at, book):
    """The log in figures; then, once a cause is named, the ranking, the truth, and the check.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()).split(". ")[-1])
    Name a cause, and the log is judged.
    """
    told = FACTS.told(at, book)
    seen, judged = NO_LINE, "Name a cause, and the log is judged."
    if told["rest"]:
        seen = "At rest it reads {rest}, scatters by {scatter}" + (", the code is {code}" if told["code"] else "")
        seen += "; {above} readings lie above the ruler at {ruler}"
    if at.told:
        scores = ", ".join(f"{cause.fault.name} {_percent(cause)}" for cause in _likely(at))
        verdict = "You found it" if at.guess == at.true.key else "You said: {guess}"
        judged = f"The log speaks for: {scores}. It was: {{true}}. {verdict}. {{check}} {{safety}}"
    template = f"Log {{log}}, room {{room}}. {seen}. {judged}"
    return template.format_map(told) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table; the ranking once a cause is named."""
    ranked = [(cause.fault.name, _percent(cause)) for cause in _likely(at)]
    return [*FACTS.rows(at, book), *ranked, *minds(at.problems(book))]


RULING = Levels(lambda at: [at.ruler_c], Stroke(INK, DOTS, 0.8), lambda _, book: "ruler", handle="t_c")
PLAN = Plan(
    title="A log and its cause",
    controls=(LOG, PRINTS, RULER, GUESS),
    compute=compute,
    picture=log_charts(RULING, FACTS),
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
