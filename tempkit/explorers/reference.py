"""Chapter 03: the reference decides the reading. All of the chain's controls on the rails."""

from tempkit.book import tidy
from tempkit.chain import walk
from tempkit.draw import Fact, Facts, Rails
from tempkit.explorers.controls import ASSUMED_SUPPLY, BITS, KIND, OUTPUT, SUPPLY, TEMPERATURE, TRANSFER, TRUE_SUPPLY
from tempkit.explorers.stage import MIND, Explorer, Plan, or_none, warning


def compute(design, t_c):
    """The walk of one temperature [degC] along the design's chain."""
    return walk(design.chain, t_c)


FACTS = Facts([
    Fact("t", "true temperature", lambda way, book: book.temperature(way.t_c), head="temperature"),
    Fact("volts", "voltage at the converter",
         lambda way, book: or_none(way.volts, lambda v: f"{tidy(v, 3)} V"), head="voltage"),
    Fact("code", "code", lambda way, book: or_none(way.code, str), head="code"),
    Fact("reading", "reading", lambda way, book: or_none(way.reading_c, book.temperature), head="reading"),
    Fact("off", "reading minus true temperature",
         lambda way, book: or_none(way.error_c, lambda d_c: book.span(d_c, signed=True)), head="off by"),
    Fact("true", "true reference", lambda way, book: f"{way.reference_v:g} V"),
    Fact("assumed", "assumed reference", lambda way, book: f"{way.assumed_v:g} V"),
    Fact("step_v", "one step, as a voltage", lambda way, book: f"{1000 * way.step_v:.3g} mV"),
    Fact("step", "one step", lambda way, book: book.span(way.step_c, 3)),
    Fact("codes", "number of codes", lambda way, book: str(way.codes)),
    Fact("signal", "sensor's output over its range",
         lambda way, book: " to ".join(f"{v:.3g} V" for v in way.signal_v)),
    Fact("saturated", "top code reached", lambda way, book: "yes" if way.saturated else "no"),
    MIND,
])  # fmt: skip


def words(way, book):
    """The walk in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.chain import scenario
    >>> print(words(walk(scenario(true_v=4.75), 25.0), Book()))
    At 25.0 °C the sensor gives 0.800 V. Against the supply of 4.75 V as reference, this is code 172 of 1024. The
    program assumes 5 V and prints 30.3 °C: off by +5.3 °C.
    """
    told, mind = FACTS.told(way, book), warning(way.problems(book.temperature))
    if way.volts is None:
        return f"At {told['t']} there is no reading.{mind}"
    supply = way.chain.reference.kind == "supply"
    against = "the supply of {true} as reference" if supply else "a fixed reference of {true}"
    return (
        f"At {{t}} {way.giver} {{volts}}. Against {against}, this is code {{code}} of {{codes}}. The program assumes "
        "{assumed} and prints {reading}: off by {off}."
    ).format(**told) + mind


PLAN = Plan(
    title="The reference decides the reading",
    controls=(TEMPERATURE, TRUE_SUPPLY, ASSUMED_SUPPLY, KIND, OUTPUT, SUPPLY, BITS, TRANSFER),
    compute=compute,
    picture=lambda look, book: Rails(FACTS, look, book),
    words=words,
    facts=FACTS.rows,
)


def explorer(design=None, **start):
    """The explorer of chapter 03; `design` from a design file, `start` values of controls by name.

    >>> explorer(true_v=4.75).result().code
    172
    """
    return Explorer(PLAN, design, **start)
