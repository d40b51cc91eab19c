"""What makes one explorer, the design it starts from, and two turns of speech that all of them use."""

from collections.abc import Callable
from dataclasses import dataclass

from tempkit import chain, design


@dataclass(frozen=True)
class Plan:
    """What makes one explorer: its controls and its three pure parts.

    `compute(design, **own)` gives a frozen result, `own` being the controls that live in no design;
    `picture(look, book)` gives a `Picture`; `words(result, book)` gives two or three sentences with the numbers;
    `facts(result, book)` gives rows (name, value) that hold what the picture shows. `table(result, book)`, where
    there is one, gives HTML that always stands beneath the words.
    """

    title: str
    controls: tuple
    compute: Callable
    picture: Callable
    words: Callable
    facts: Callable
    table: Callable | None = None


def north_bench():
    """The design every explorer starts from: the scenario's chain, invented like all of the bench.

    >>> north_bench().chain.code(25.0)
    153
    """
    return design.Design("North bench, air above the seedlings (invented)", chain.scenario(supply_v=5.0))


def warning(problems):
    """What cannot work in a combination, as sentences that follow the others.

    >>> warning(["the supply is too low"])
    ' Mind: the supply is too low.'
    """
    return "".join(f" Mind: {problem}." for problem in problems)


def or_none(value, say):
    """A value as `say` tells it in a table, or "none" where there is none.

    >>> or_none(None, str), or_none(153, str)
    ('none', '153')
    """
    return "none" if value is None else say(value)
