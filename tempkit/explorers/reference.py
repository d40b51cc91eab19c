"""Chapter 03: the reference decides the reading. All of the chain's controls on the rails."""

from tempkit.book import tidy
from tempkit.chain import walk
from tempkit.draw import Rails
from tempkit.explorers.controls import ASSUMED_SUPPLY, BITS, KIND, OUTPUT, SUPPLY, TEMPERATURE, TRANSFER, TRUE_SUPPLY
from tempkit.explorers.stage import Explorer, Plan, or_none, warning


def compute(design, t_c):
    """The walk of one temperature [degC] along the design's chain."""
    return walk(design.chain, t_c)


def words(way, book):
    """The walk in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.chain import scenario
    >>> print(words(walk(scenario(true_v=4.75), 25.0), Book()))
    At 25.0 °C the sensor gives 0.750 V. Against the supply of 4.75 V as reference, this is code 161 of 1024. The
    program assumes 5 V and prints 28.9 °C: off by +3.9 °C.
    """
    if way.volts is None:
        told = f"At {book.temperature(way.t_c)} there is no reading."
    else:
        told = (
            f"At {book.temperature(way.t_c)} {way.giver} {way.volts:.3f} V. Against {_against(way)}, this is code "
            f"{way.code} of {way.codes}. The program assumes {way.assumed_v:g} V and prints "
            f"{book.temperature(way.reading_c)}: off by {book.span(way.error_c, signed=True)}."
        )
    return told + warning(way.problems(book.temperature))


def _against(way):
    if way.chain.reference.kind == "supply":
        return f"the supply of {way.reference_v:g} V as reference"
    return f"a fixed reference of {way.reference_v:g} V"


def facts(way, book):
    """Rows of the number table."""
    digits = 3
    rows = [
        ("true temperature", book.temperature(way.t_c)),
        ("voltage at the converter", or_none(way.volts, lambda v: f"{tidy(v, digits)} V")),
        ("code", or_none(way.code, str)),
        ("reading", or_none(way.reading_c, book.temperature)),
        ("reading minus true temperature", or_none(way.error_c, lambda d: book.span(d, signed=True))),
        ("true reference", f"{way.reference_v:g} V"),
        ("assumed reference", f"{way.assumed_v:g} V"),
        ("one step", f"{1000 * way.step_v:.3g} mV, {book.span(way.step_c, digits)}"),
        ("number of codes", str(way.codes)),
        ("sensor's output over its range", f"{way.signal_v[0]:.3g} V to {way.signal_v[1]:.3g} V"),
        ("top code reached", "yes" if way.saturated else "no"),
    ]
    return rows + [("mind", problem) for problem in way.problems(book.temperature)]


PLAN = Plan(
    title="The reference decides the reading",
    controls=(TEMPERATURE, TRUE_SUPPLY, ASSUMED_SUPPLY, KIND, OUTPUT, SUPPLY, BITS, TRANSFER),
    compute=compute,
    picture=lambda look, book: Rails(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 03; `design` from a design file, `start` values of controls by name.

    >>> explorer(true_v=4.75).result().code
    161
    """
    return Explorer(PLAN, design, **start)
