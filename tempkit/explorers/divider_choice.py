"""Chapter 12: the fixed resistor of a thermistor's divider, chosen for a range of temperatures."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import tidy
from tempkit.chain import Chain
from tempkit.draw import (
    CURVE,
    DASHES,
    DOTS,
    GREEN,
    LIMIT,
    ORANGE,
    QUIET,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Levels,
    Line,
    Named,
    Ring,
    Stroke,
)
from tempkit.explorers.controls import FIXED, FROM, SEEN_AT, SENSOR_AT, TO, in_divider, thermistor_bench, with_divider
from tempkit.explorers.stage import Explorer, Plan, minds, or_none, warning
from tempkit.scales import celsius_to_kelvin
from tempkit.signal import preferred_values
from tempkit.text import ohms

NARROWEST_C = 2.0
POINTS = 61
DECADES = (0.02, 20.0)  # resistors from and to, in parts of the sensor's resistance at 25 degC


@dataclass(frozen=True)
class Chosen:
    """A divider over a range of interest, and what every other resistor of the E24 series would do there.

    `t_c` is where it is asked; `over_c`, `volts`, `slope_v_per_c` hold the curve over the sensor's range. Over
    `range_c` the straight line that fits best runs through `line_v` at its ends; `stray_c` is how far the divider
    strays from it at most. `resistors_ohm`, `middle_v_per_c` and `strays_c` go together, one entry a resistor.
    """

    chain: Chain
    t_c: float
    range_c: tuple
    over_c: np.ndarray
    volts: np.ndarray
    slope_v_per_c: np.ndarray
    line_v: tuple
    stray_c: float
    resistors_ohm: np.ndarray
    middle_v_per_c: np.ndarray
    strays_c: np.ndarray
    stands_in: bool
    asked_c: tuple

    @property
    def fixed_ohm(self):
        """The resistor of this divider [ohm]."""
        return self.chain.circuit.fixed_ohm

    @property
    def middle_c(self):
        """The middle of the range of interest [degC]."""
        return sum(self.range_c) / 2

    @property
    def feed_v(self):
        """What feeds the divider [V]."""
        return self.chain.circuit.feed_v(self.chain.reference.actual_v, self.chain.reference.kind)

    @property
    def middle_slope(self):
        """Sensitivity of this divider in the middle [V/degC]."""
        return self.at(self.middle_c)[1]

    @property
    def straightest(self):
        """The preferred resistor that strays least [ohm], and by how much [degC]."""
        least = int(self.strays_c.argmin())
        return float(self.resistors_ohm[least]), float(self.strays_c[least])

    @property
    def steepest(self):
        """The preferred resistor with the most sensitivity in the middle [ohm], and that [V/degC]."""
        most = int(np.abs(self.middle_v_per_c).argmax())
        return float(self.resistors_ohm[most]), float(self.middle_v_per_c[most])

    @property
    def inflection_ohm(self):
        """The resistor whose curve does not bend in the middle [ohm], None where there is none."""
        try:
            return inflection_resistor(self.chain.sensor, self.middle_c)
        except ValueError:
            return None

    def at(self, t_c):
        """Volts at the pin, slope [V/degC] and codes per degC there."""
        chain = self.chain
        v = chain.circuit.volts(chain.sensor, t_c, self.feed_v)
        slope = chain.circuit.volts_per_c(chain.sensor, t_c, self.feed_v)
        return float(v), float(slope), abs(slope) / chain.converter.step_v(chain.reference.actual_v)

    def problems(self, book):
        """What does not work, one sentence each."""
        low, high = self.chain.sensor.range_c
        if self.stands_in:
            yield f"the design has {self.stands_in}; the bench's thermistor stands in for it"
        if self.range_c != self.asked_c:
            yield f"a range from low to high and {book.span(NARROWEST_C)} wide at least was made of the two sliders"
        if not low <= self.t_c <= high:
            yield f"the sensor's range ends at {book.temperature(low if self.t_c < low else high)}"


def inflection_resistor(sensor, t_c):
    """The fixed resistor [ohm] for which a divider's voltage does not bend at `t_c` [degC].

    R_fixed = R (beta - 2 T) / (beta + 2 T) with T in kelvin, from d2V/dT2 = 0 for V = R / (R + R_fixed) and
    R = R25 exp(beta (1/T - 1/298.15 K)); handbooks give the same (from memory), and a test differentiates twice. For a
    thermistor by Steinhart-Hart its beta at that temperature is taken, -T^2 (dR/dT) / R. Raises `ValueError` where
    beta is not above 2 T: then no resistor does it.

    >>> round(inflection_resistor(thermistor_bench().chain.sensor, 25.0), 1)
    6519.9
    """
    t_k = celsius_to_kelvin(t_c)
    r_ohm = sensor.line(t_c)
    beta_k = -t_k * t_k * sensor.slope(t_c) / r_ohm
    if not beta_k > 2 * t_k:
        raise ValueError(f"beta {beta_k:.0f} K is not above {2 * t_k:.0f} K: no resistor straightens this thermistor")
    return float(r_ohm * (beta_k - 2 * t_k) / (beta_k + 2 * t_k))


def stray(t_c, volts):
    """Largest distance from the least-squares line, in degC along it; and the line's volts at both ends.

    `t_c` [degC] and `volts` [V] : arrays of one length, evenly spread.

    >>> by_c, ends = stray(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.3, 2.0]))
    >>> round(by_c, 3), [round(float(v), 3) for v in ends]
    (0.2, [0.1, 2.1])
    """
    slope, level = np.polyfit(t_c, volts, 1)
    line = level + slope * t_c
    return float(np.abs(volts - line).max() / abs(slope)), (float(line[0]), float(line[-1]))


def resistors(sensor):
    """The preferred resistors [ohm] of the E24 series from a fiftieth to twenty times the sensor's at 25 degC.

    >>> len(resistors(thermistor_bench().chain.sensor))
    72
    """
    low, high = (part * sensor.line(25.0) for part in DECADES)
    all_ohm = [float(f"{number}e{decade}") for decade in range(-1, 8) for number in preferred_values()]
    return np.array([r_ohm for r_ohm in all_ohm if low * 0.9999 <= r_ohm <= high * 1.0001])


def compute(design, t_c, low_c, high_c):
    """A design's divider at `t_c`, over the range from `low_c` to `high_c` [degC].

    >>> chosen = compute(thermistor_bench(), 25.0, 10.0, 40.0)
    >>> chosen.straightest[0], chosen.steepest[0], round(chosen.stray_c, 2)
    (6800.0, 9100.0, 0.61)
    """
    asked = float(low_c), float(high_c)
    low, high = sorted(asked)
    range_c = low, max(high, low + NARROWEST_C)
    stands_in = "" if in_divider(design) else f"{design.chain.sensor.called} and {design.chain.circuit.called}"
    chain = with_divider(design).chain
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    over, inside = np.linspace(*chain.sensor.range_c, 2 * POINTS), np.linspace(*range_c, POINTS)
    stray_c, line_v = stray(inside, chain.circuit.volts(chain.sensor, inside, feed_v))
    choice = resistors(chain.sensor)
    others = [replace(chain.circuit, fixed_ohm=float(r_ohm)) for r_ohm in choice]
    return Chosen(
        chain=chain,
        t_c=float(t_c),
        range_c=range_c,
        over_c=over,
        volts=chain.circuit.volts(chain.sensor, over, feed_v),
        slope_v_per_c=chain.circuit.volts_per_c(chain.sensor, over, feed_v),
        line_v=line_v,
        stray_c=stray_c,
        resistors_ohm=choice,
        middle_v_per_c=np.array([each.volts_per_c(chain.sensor, sum(range_c) / 2, feed_v) for each in others]),
        strays_c=np.array([stray(inside, each.volts(chain.sensor, inside, feed_v))[0] for each in others]),
        stands_in=stands_in,
        asked_c=asked,
    )


def per_degree(v_per_c, book):
    """A slope as text, in mV for a degree of the reader's scale.

    >>> from tempkit.book import Book
    >>> per_degree(-0.0508, Book()), per_degree(-0.0508, Book("degF"))
    ('−50.8 mV/°C', '−28.2 mV/°F')
    """
    return f"{tidy(1000 * v_per_c / book.span_from_celsius(1.0), 1)} mV/{book.sign}"


# ---- told


def _there(which, name, t_of):
    """A temperature of the divider, and what it does there."""
    return (
        Fact(which, name, lambda chosen, book: book.temperature(t_of(chosen))),
        Fact(f"{which}_v", "volts there", lambda chosen, _: f"{chosen.at(t_of(chosen))[0]:.3f} V"),
        Fact(f"{which}_slope", "a degree moves them by",
             lambda chosen, book: per_degree(chosen.at(t_of(chosen))[1], book)),
        Fact(f"{which}_codes", "codes a degree",
             lambda chosen, book: tidy(chosen.at(t_of(chosen))[2] / book.span_from_celsius(1.0), 1)),
    )  # fmt: skip


AT, V, PER_DEGREE, CODES = _there("at", "looked at", lambda chosen: chosen.t_c)
FACTS = Facts([
    Fact("fixed", "fixed resistor", lambda chosen, _: ohms(chosen.fixed_ohm)),
    Fact("side", "thermistor at", lambda chosen, _: f"the {chosen.chain.circuit.sensor_at}"),
    AT,
    replace(V, head="at the pin", short=None),
    replace(PER_DEGREE, head="a degree moves it by"),
    CODES,
    *_there("low", "range from", lambda chosen: chosen.range_c[0]),
    *_there("high", "range to", lambda chosen: chosen.range_c[1]),
    Fact("strays", "strays from a straight line by up to", lambda chosen, book: book.span(chosen.stray_c, 2),
         head="strays by up to", short="strays"),
    Fact("best", "straightest resistor", lambda chosen, _: ohms(chosen.straightest[0]), head="straightest",
         short="best"),
    Fact("best_strays", "that strays by", lambda chosen, book: book.span(chosen.straightest[1], 2)),
    Fact("flat", "no bend in the middle", lambda chosen, _: or_none(chosen.inflection_ohm, ohms)),
    Fact("steep", "moves most in the middle", lambda chosen, _: ohms(chosen.steepest[0]),
         head="moves most in the middle", short=None),
    Fact("steep_slope", "that moves by", lambda chosen, book: per_degree(chosen.steepest[1], book)),
    Fact("middle", "thermistor in the middle",
         lambda chosen, _: ohms(float(chosen.chain.sensor.line(chosen.middle_c)))),
])  # fmt: skip
SENTENCES = FACTS.sentences(
    "With {fixed} the pin is at {at_v} at {at} and moves by {at_slope}, {at_codes} codes a degree. From {low} to "
    "{high} it strays from a straight line by up to {strays}. There {best} is the straightest ({best_strays}), "
    "and {steep} moves most in the middle."
)


def words(chosen, book):
    """The divider in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    With 9.10 kΩ the pin is at 2.500 V at 25.0 °C and moves by −50.8 mV/°C, 10.4 codes a degree. From 10.0 °C to 40.0 °C
    it strays from a straight line by up to 0.61 °C. There 6.80 kΩ is the straightest (0.21 °C), and 9.10 kΩ moves most
    in the middle.
    """
    return SENTENCES(chosen, book) + warning(chosen.problems(book))


def facts(chosen, book):
    """Rows of the number table."""
    return [*FACTS.rows(chosen, book), *minds(chosen.problems(book))]


# ---- the picture: left volts and slope over temperature, right what every resistor would do in the range asked

STRAYS_C = (0.01, 100.0)
STEEPEST_PER_V = 0.02  # of the feed, a degree: room for the steepest thermistors in the cold
BEST = Stroke(QUIET, DOTS, 0.8)
RANGE = (
    Levels(lambda chosen: chosen.range_c[:1], LIMIT, upright=True, handle="low_c"),
    Levels(lambda chosen: chosen.range_c[1:], LIMIT, upright=True, handle="high_c"),
)


def _shade(top):
    return Bars(lambda chosen: [(*chosen.range_c, 0, top(chosen))], {"facecolor": GREEN, "alpha": 0.16, "lw": 0})


def _steepest_mv(chosen):
    return 1000 * STEEPEST_PER_V * chosen.feed_v


def _named(name, best, y):
    """The name of the best resistor beside its upright, on the side that has the room."""

    def on(side):
        def at(chosen):
            low, high = _resistors(chosen)
            left = best(chosen) > math.sqrt(low * high)
            return [(best(chosen) * (0.87 if left else 1.15), y(chosen), name)] if left == (side == "right") else []

        return Named(at, ha=side, va="top")

    return on("left"), on("right")


def _resistors(chosen):
    return float(chosen.resistors_ohm[0]), float(chosen.resistors_ohm[-1])


def _now(value):
    """The ring over resistors, None where it lies beyond the scales."""

    def at(chosen):
        low, high = _resistors(chosen)
        return (chosen.fixed_ohm, value(chosen)) if low <= chosen.fixed_ohm <= high else None

    return at


OVER_T = Axis("temperature", span=lambda chosen: (chosen.over_c[0], chosen.over_c[-1]), scale="temperature")
OVER_R = Axis("fixed resistor", "kΩ", _resistors, factor=0.001, log=True)
VOLTS = Chart(
    OVER_T,
    Axis("at the pin", "V", lambda chosen: (0.0, chosen.feed_v)),
    (
        _shade(lambda chosen: chosen.feed_v),
        *RANGE,
        Line(lambda chosen: (chosen.over_c, chosen.volts), CURVE),
        Line(lambda chosen: (chosen.range_c, chosen.line_v), Stroke(ORANGE, DASHES)),
        Ring(lambda chosen: (chosen.t_c, chosen.at(chosen.t_c)[0]), handle="t_c"),
    ),
)
SLOPE = Chart(
    OVER_T,
    Axis("slope", "mV", lambda chosen: (0.0, _steepest_mv(chosen)), scale="per span"),
    (
        _shade(_steepest_mv),
        *RANGE,
        Line(lambda chosen: (chosen.over_c, 1000 * abs(chosen.slope_v_per_c)), CURVE),
        Ring(lambda chosen: (chosen.t_c, 1000 * abs(chosen.at(chosen.t_c)[1])), handle="t_c"),
    ),
)
SLOPES = Chart(
    OVER_R,
    Axis("in the middle", "mV", lambda chosen: (0.0, _steepest_mv(chosen)), scale="per span"),
    (
        Levels(lambda chosen: chosen.steepest[:1], BEST, upright=True),
        Line(lambda chosen: (chosen.resistors_ohm, 1000 * abs(chosen.middle_v_per_c)), CURVE),
        *_named("steepest", lambda chosen: chosen.steepest[0], _steepest_mv),
        Ring(_now(lambda chosen: 1000 * abs(chosen.middle_slope)), drops=False, handle="fixed_kohm"),
    ),
)
STRAYS = Chart(
    OVER_R,
    Axis("strays by", span=STRAYS_C, scale="span", log=True),
    (
        Levels(lambda chosen: chosen.straightest[:1], BEST, upright=True),
        Line(lambda chosen: (chosen.resistors_ohm, chosen.strays_c), CURVE),
        *_named("straightest", lambda chosen: chosen.straightest[0], lambda _: STRAYS_C[1]),
        Ring(_now(lambda chosen: max(chosen.stray_c, STRAYS_C[0])), drops=False, handle="fixed_kohm"),
    ),
)
DESK = Charts((VOLTS, SLOPES), (SLOPE, STRAYS), heads=FACTS)
ROOM = Charts((VOLTS, STRAYS), heads=FACTS)
PLAN = Plan(
    title="A divider for a range of temperatures",
    controls=(SEEN_AT, FIXED, FROM, TO, SENSOR_AT),
    compute=compute,
    picture=lambda look, book: (ROOM if look.room else DESK)(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The first explorer of chapter 12; `design` from a design file, `start` values of controls by name.

    >>> explorer(fixed_kohm=7.5).result().fixed_ohm
    7500.0
    """
    return Explorer(PLAN, design or thermistor_bench(), **start)
