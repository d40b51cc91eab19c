"""Chapter 02: the staircase of readings, what one step is worth, and what the program makes of a code."""

import math
from dataclasses import dataclass

import numpy as np

from tempkit.book import tidy
from tempkit.chain import Walk, walk
from tempkit.draw import Fact, Facts
from tempkit.explorers.controls import BITS, DIVISOR, EDGE, REFERENCE, TEMPERATURE, TRANSFER, VIEW
from tempkit.explorers.stage import MIND, Explorer, Plan, or_none, warning
from tempkit.explorers.staircase import charts


@dataclass(frozen=True)
class Steps:
    """One temperature's code and step, and what the program prints for it.

    `reading_c`, `error_c` and `divisor_c` (what the divisor 2^N − 1 adds to the reading) are None where the
    temperature lies outside the sensor's range. `used` is the lowest and highest code of the sensor's range.
    """

    way: Walk
    edge: str
    divisor: str
    view: str
    reading_c: float | None
    error_c: float | None
    divisor_c: float | None
    used: tuple

    @property
    def used_codes(self):
        """How many different codes the sensor's range reaches."""
        return self.used[1] - self.used[0] + 1

    @property
    def digits(self):
        """Digits after the point that show a tenth of a step."""
        return max(1, 1 - math.floor(math.log10(self.way.step_c)))

    def problems(self, say):
        """What cannot work, and what this explorer cannot show, one sentence each."""
        true_v, assumed_v = self.way.reference_v, self.way.assumed_v
        hidden = (
            f"the true reference is {true_v:g} V while the program assumes {assumed_v:g} V: that error is no matter of "
            "bits, and the slider for the reference sets both"
        )
        return (*self.way.problems(say), *((hidden,) if true_v != assumed_v else ()))

    def stairs(self, low_c, high_c, most):
        """The staircase between two temperatures [degC]: `Stairs`, thinned to `most` treads where there are more."""
        low_c, high_c = (float(np.clip(end, *self.way.sensor_c)) for end in (low_c, high_c))
        return stairs(self.way.chain, low_c, high_c, most, self.edge, self.divisor) if low_c < high_c else None


@dataclass(frozen=True)
class Stairs:
    """Treads in order of temperature: `codes`, where each begins and ends [degC], and what it reads [degC].

    `thinned` is True where treads were left out between the first and the last.
    """

    codes: np.ndarray
    begins_c: np.ndarray
    ends_c: np.ndarray
    readings_c: np.ndarray
    thinned: bool


def printed(chain, code, edge="middle", divisor="count"):
    """Code -> what the program prints [degC], scalar or array.

    edge : "middle" or "lower", the point of the step that the program takes; divisor : "count" for 2^N, "top" for
    2^N - 1. With "middle" and "count" this is `chain.reading(code, checked=False)`. Raises `ValueError` for a code
    that the converter has not (`nan` in an array).

    >>> from tempkit.chain import scenario
    >>> [round(printed(scenario(), 163, edge), 3) for edge in ("middle", "lower")]
    [24.792, 24.487]
    """
    converter, assumed_v = chain.converter, chain.reference.nominal_v
    believed_v = converter.volts(code, assumed_v, edge=edge)
    if divisor == "top":
        believed_v = believed_v * converter.codes / (converter.codes - 1)
    return chain.celsius_believed(believed_v)


def stairs(chain, low_c, high_c, most, edge="middle", divisor="count"):
    """The staircase of a chain between two temperatures [degC] of the sensor's range; at most `most` treads.

    >>> from tempkit.chain import scenario
    >>> some = stairs(scenario(), 24.8, 25.3, 10)
    >>> some.codes, some.begins_c.round(3), some.ends_c.round(3)
    (array([163, 164]), array([24.8  , 25.098]), array([25.098, 25.3  ]))
    """
    first, last = sorted(chain.code(end) for end in (low_c, high_c))
    codes = np.arange(first, last + 1)
    thinned = codes.size > most
    if thinned:
        codes = np.unique(np.linspace(first, last, most).round().astype(int))
    lower_v = chain.converter.volts(codes, chain.reference.actual_v, edge="lower")
    step_v = chain.converter.step_v(chain.reference.actual_v)
    edges_c = np.sort([chain.celsius_at_pin(lower_v), chain.celsius_at_pin(lower_v + step_v)], axis=0)
    order = np.argsort(edges_c[0])
    begins_c, ends_c = edges_c[:, order]
    begins_c[0], ends_c[-1] = low_c, high_c  # the end treads go on beyond: out of the view, or saturated
    return Stairs(codes[order], begins_c, ends_c, printed(chain, codes[order], edge, divisor), thinned)


def compute(design, t_c, divisor="count", edge="middle", view="near"):
    """The step that a temperature [degC] falls into, and the program's reading of its code."""
    way = walk(design.chain, t_c)
    used = tuple(sorted(design.chain.code(end) for end in way.sensor_c))
    reading_c = error_c = divisor_c = None
    if way.code is not None:
        reading_c = float(printed(design.chain, way.code, edge, divisor))
        error_c = reading_c - way.t_c
        divisor_c = reading_c - float(printed(design.chain, way.code, edge))
    return Steps(way, edge, divisor, view, reading_c, error_c, divisor_c, used)


def _step(result, book):
    return book.span(result.way.step_c, result.digits + 1)


def _reading(result, book):
    return or_none(result.reading_c, lambda t_c: book.temperature(t_c, result.digits))


def _off(result, book):
    return or_none(result.error_c, lambda d_c: book.span(d_c, result.digits, signed=True))


def _between(result, book):
    """The temperatures that the code stands for."""
    return or_none(result.way.edges_c, lambda edges: " to ".join(
        book.temperature(edge_c, result.digits) for edge_c in sorted(edges)
    ))  # fmt: skip


def _divisor(result, book):
    return or_none(result.divisor_c, lambda d_c: book.span(d_c, max(3, result.digits), signed=True))


FACTS = Facts([
    Fact("t", "true temperature", lambda result, book: book.temperature(result.way.t_c)),
    Fact("volts", "voltage at the converter",
         lambda result, book: or_none(result.way.volts, lambda v: f"{tidy(v, 4)} V")),
    Fact("bits", "bits", lambda result, book: str(result.way.chain.converter.bits)),
    Fact("codes", "number of codes", lambda result, book: str(result.way.codes)),
    Fact("top", "highest code", lambda result, book: str(result.way.codes - 1)),
    Fact("reference", "reference", lambda result, book: f"{result.way.reference_v:g} V"),
    Fact("step_v", "one step, as a voltage", lambda result, book: f"{1000 * result.way.step_v:.4g} mV"),
    Fact("step", "one step", _step),
    Fact("code", "code", lambda result, book: or_none(result.way.code, str), head="code", short="code", wide=0.75),
    Fact("between", "the code stands for", _between),
    Fact("transfer", "transfer", lambda result, book: result.way.chain.converter.transfer),
    Fact("point", "the program takes", lambda result, book: POINT[result.edge]),
    Fact("divides", "the program divides by", lambda result, book: str(result.way.codes - (result.divisor == "top"))),
    Fact("reading", "reading", _reading, head="the program prints", short="prints"),
    Fact("off", "reading minus true temperature", _off, head="off by", short="off by"),
    Fact("divisor", "part of it from the divisor", _divisor),
    Fact("used", "codes that the sensor uses",
         lambda result, book: f"{result.used_codes}, from {result.used[0]} to {result.used[1]}"),
    Fact("share", "share of the codes", lambda result, book: f"{100 * result.used_codes / result.way.codes:.0f} %",
         head=lambda result: "the sensor uses codes {} to {}".format(*result.used), short=None, wide=1.3),
    MIND,
])  # fmt: skip
POINT = {"middle": "the middle of the step", "lower": "the lower edge of the step"}


def words(result, book):
    """Code, step and reading in three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C the sensor gives 0.8000 V: code 163 of the 1024 that 10 bits make; one step is 4.883 mV or
    0.610 °C. Code 163 stands for 24.49 °C to 25.10 °C. The program takes the middle of the step and prints
    24.79 °C: off by −0.21 °C.
    """
    told, mind = FACTS.told(result, book), warning(result.problems(book.temperature))
    step = "one step is {step_v} or {step}."
    if result.way.code is None:
        return f"At {{t}} there is no code; {step}".format(**told) + mind
    last = " is the last there is: it" if result.way.saturated else ""
    beyond = ", and for all that lies beyond" if result.way.saturated else ""
    part = 100 / (result.way.codes - 1)
    return (
        f"At {{t}} {result.way.giver} {{volts}}: code {{code}} of the {{codes}} that {{bits}} bits make; {step} "
        f"Code {{code}}{last} stands for {{between}}{beyond}. "
        "The program takes {point} and prints {reading}: off by {off}"
        + ("." if result.divisor == "count" else ", of which {divisor} comes from dividing by {divides}, which makes "
           f"every voltage {part:.2g} % too large.")
    ).format(**told) + mind  # fmt: skip


PLAN = Plan(
    title="Codes, and what one step is worth",
    controls=(TEMPERATURE, BITS, REFERENCE, TRANSFER, EDGE, DIVISOR, VIEW),
    compute=compute,
    picture=lambda look, book: charts(look, book, FACTS, _step),
    words=words,
    facts=FACTS.rows,
)


def explorer(design=None, **start):
    """The explorer of chapter 02; `design` from a design file, `start` values of controls by name.

    >>> explorer(bits=12).result().way.code
    655
    """
    return Explorer(PLAN, design, **start)
