"""Chapter 12: what the leads of a platinum sensor do to its reading, with two, three and four wires."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.chain import PlatinumSensor
from tempkit.draw import (
    BLUE,
    DASHES,
    INK,
    LIMIT,
    ORANGE,
    PAPER,
    TRUTH,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Line,
    Named,
    Ring,
    Stroke,
)
from tempkit.explorers.controls import (
    ALLOWED,
    GAUGE,
    LENGTH,
    RESISTANCE,
    SEEN_AT,
    UNLIKE,
    WIRES,
    WIRES_AT,
    measuring,
    platinum_bench,
    platinum_of,
)
from tempkit.explorers.stage import Explorer, Plan, minds, or_none, warning
from tempkit.signal import wire_area_mm2, wire_ohms_per_m
from tempkit.text import digits, ohms

NAMES = {2: "two", 3: "three", 4: "four"}
LENGTHS_M = np.geomspace(1.0, 100.0, 41)


@dataclass(frozen=True)
class Led:
    """A platinum sensor at the end of its leads, read with two, three and four wires.

    `lead_ohm` is one lead, `lead_per_k` what it gains for 1 degC of its own. `errors_c` [degC] : reading minus truth
    by the count of wires, as (if the leads are as stated, lowest, highest). `lines_c` : the worst of it over
    `LENGTHS_M`, for two and three wires. `class_c` : limits of the sensor's class, None where it promises nothing.
    """

    sensor: PlatinumSensor
    t_c: float
    wires: int
    length_m: float
    gauge: float
    lead_ohm: float
    lead_per_k: float
    allowed_ohm: float
    errors_c: dict
    lines_c: dict
    class_c: float | None
    stands_in: str

    def worst_c(self, wires):
        """The largest error with so many wires [degC], without a sign."""
        return max(map(abs, self.errors_c[wires]))

    def problems(self, book):
        """What does not work, or works worse than it looks, one sentence each."""
        low, high = self.sensor.range_c
        if self.stands_in:
            yield f"the design has {self.stands_in}; a platinum sensor of 100 Ω stands in for it"
        if not low <= self.t_c <= high:
            yield f"the sensor's range ends at {book.temperature(low if self.t_c < low else high)}"
        if self.wires == 2 and self.allowed_ohm:
            swing_c = 20 * 2 * self.lead_per_k / self.sensor.slope(self.t_c)
            yield (
                "what the program allows holds at one temperature of the leads; copper that warms by "
                f"{book.span(20.0)} moves the reading by {book.span(swing_c, 2)}"
            )


def errors_c(sensor, t_c, lead_ohm, allowed_ohm, unlike, wires):
    """Reading minus truth [degC] with leads as stated, and its lowest and highest with each lead off by `unlike`.

    >>> from tempkit.chain import PlatinumSensor
    >>> [round(e, 3) for e in errors_c(PlatinumSensor(), 0.0, 0.5, 0.0, 0.1, 2)]
    [2.56, 2.304, 2.816]
    """
    circuit = measuring(wires, lead_ohm, allowed_ohm, unlike)
    reach = circuit.doubts("fixed")["leads"][0]
    volts = [circuit.volts(sensor, t_c, None, {"leads": off}) for off in (0.0, -reach, reach)]
    return tuple(float(circuit.assumed.celsius(sensor, v, None)) - t_c for v in volts)


def _line(sensor, t_c, lead_ohm, allowed_ohm, unlike, wires):
    """The worst error over an array of leads [ohm]: the same by resistances alone."""
    known = 2 * (lead_ohm - allowed_ohm) if wires == 2 else 0.0 * lead_ohm
    r_ohm = sensor.line(t_c)
    return np.max([np.abs(sensor.inverse(r_ohm + known + s * 2 * lead_ohm * unlike) - t_c) for s in (-1, 1)], axis=0)


def compute(design, t_c, wires, length_m, gauge, allowed_ohm, unlike_percent, wire_c, r0_ohm):
    """Errors of a design's platinum sensor at `t_c` with leads of so many metres and so thick.

    `r0_ohm` : the sensor's resistance at 0 degC, 0 for that of the design.

    >>> led = compute(platinum_bench(), 0.0, 2, 10.0, 28, 0.0, 5.0, 20.0, 0.0)
    >>> round(2 * led.lead_ohm, 2), round(led.errors_c[2][0], 1)
    (4.26, 10.9)
    """
    sensor = platinum_of(design)
    own = isinstance(design.chain.sensor, PlatinumSensor)
    sensor = replace(sensor, r0_ohm=r0_ohm) if r0_ohm else sensor
    per_m = wire_ohms_per_m(gauge, wire_c)
    given = {"allowed_ohm": allowed_ohm, "unlike": unlike_percent / 100}
    class_c = float(sensor.tolerance_c(np.array([t_c]))[0])
    return Led(
        sensor=sensor,
        t_c=float(t_c),
        wires=wires,
        length_m=float(length_m),
        gauge=float(gauge),
        lead_ohm=float(length_m * per_m),
        lead_per_k=float(length_m * (wire_ohms_per_m(gauge, wire_c + 1.0) - per_m)),
        allowed_ohm=float(allowed_ohm),
        errors_c={count: errors_c(sensor, t_c, float(length_m * per_m), wires=count, **given) for count in NAMES},
        lines_c={count: _line(sensor, t_c, LENGTHS_M * per_m, wires=count, **given) for count in (2, 3)},
        class_c=None if np.isnan(class_c) else class_c,
        stands_in="" if own else design.chain.sensor.called,
    )


# ---- told


def _off(wires):
    """Reading minus truth with so many wires, if the leads are as stated."""
    return lambda led, book: book.span(led.errors_c[wires or led.wires][0], 2, signed=True)


def _ends(wires):
    """What that is from and to if the leads are off too."""

    def told(led, book):
        low, high = (book.span(end, 2, signed=True) for end in led.errors_c[wires or led.wires][1:])
        return f"{low.removesuffix(f' {book.sign}')} to {high}"

    return told


def _left(wires):
    """What so many wires leave at worst."""
    if wires == 4:
        return lambda *_: "nothing"
    return lambda led, book: f"{'±' if wires == 3 else 'up to '}{book.span(led.worst_c(wires), 2)}"


FACTS = Facts([
    Fact("sensor", "sensor at 0 °C", lambda led, _: f"{digits(led.sensor.r0_ohm)} Ω"),
    Fact("at", "sensor now at", lambda led, book: book.temperature(led.t_c)),
    Fact("ohms", "there it has", lambda led, _: ohms(float(led.sensor.line(led.t_c)))),
    Fact("class", "limits of its class", lambda led, book: or_none(led.class_c, lambda c: f"±{book.span(c, 2)}")),
    Fact("length", "length of the lead", lambda led, _: f"{led.length_m:.1f} m"),
    Fact("gauge", "gauge", lambda led, _: f"{led.gauge:g}"),
    Fact("area", "cross-section", lambda led, _: f"{wire_area_mm2(led.gauge):.3f} mm²"),
    Fact("lead", "each lead", lambda led, _: ohms(led.lead_ohm), head=lambda led: f"each of {led.wires} leads",
         short=lambda led: f"{led.length_m:.1f} m:"),
    Fact("allowed", "the program allows for each", lambda led, _: ohms(led.allowed_ohm)),
    Fact("off", "", _off(None), head="the reading is off by", short="off", table=False),
    Fact("ends", "", _ends(None), table=False),
    Fact("worst", "", lambda led, book: book.span(led.worst_c(led.wires), 2), head="at most, either way", short="up to",
         table=False),
    *(Fact(f"off_{count}", f"error with {name} wires", _off(count)) for count, name in NAMES.items()),
    *(Fact(f"ends_{count}", f"{name} wires, if the leads are off too", _ends(count)) for count, name in NAMES.items()),
    *(Fact(f"left_{count}", f"{name} wires leave", _left(count)) for count, name in NAMES.items()),
])  # fmt: skip
WITH = {
    2: "off by {off} ({ends} if the leads are off too)",
    3: "right if both leads are alike, else off by up to {worst}",
    4: "as it is, whatever the leads have",
}


def words(led, book):
    """The error in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    Each lead of 10.0 m, gauge 24, has 0.842 Ω. With two wires the sensor at 25.0 °C is read off by +4.34 °C (+4.13 to
    +4.56 °C if the leads are off too). Three wires would leave ±0.22 °C, four nothing.
    """
    one, other = (count for count in NAMES if count != led.wires)
    template = (
        f"Each lead of {{length}}, gauge {{gauge}}, has {{lead}}. With {NAMES[led.wires]} wires the sensor at {{at}} "
        f"is read {WITH[led.wires]}. {NAMES[one].capitalize()} wires would leave {{left_{one}}}, {NAMES[other]} "
        f"{{left_{other}}}."
    )
    return template.format_map(FACTS.told(led, book)) + warning(led.problems(book))


def facts(led, book):
    """Rows of the number table."""
    return [*FACTS.rows(led, book), *minds(led.problems(book))]


# ---- the picture: left the worst error over the length of the lead, right how the wires run

ERRORS_C = (0.001, 300.0)
SHOWN_M = (1.0, 100.0)


def _worst(wires):
    return lambda led: (LENGTHS_M, np.maximum(led.lines_c[wires], ERRORS_C[0]))


def _class(led):
    return (SHOWN_M, [led.class_c] * 2) if led.class_c is not None else ((), ())


def _now(led):
    return max(led.length_m, SHOWN_M[0]), float(np.clip(led.worst_c(led.wires), *ERRORS_C))


OVER_LENGTH = Chart(
    Axis("length of the lead", "m", SHOWN_M, log=True),
    Axis("largest error", span=ERRORS_C, scale="span", log=True),
    (
        Line(_class, LIMIT, "its class"),
        Line(_worst(2), Stroke(ORANGE, width=1.2), "2 wires"),
        Line(_worst(3), Stroke(BLUE, DASHES, 1.2), "3 wires"),
        Ring(_now, handle="length_m"),
    ),
)

CARRIES, MEASURES = Stroke(INK, width=1.6), Stroke(BLUE, DASHES)
UPPER, LOWER, APART = 0.76, 0.48, 0.08  # heights in the drawing; how far a second wire lies from the first
TOLD = {
    2: "both leads count",
    3: "two equal currents:\nlike leads cancel",
    4: "no current where\nit measures",
}


def _wire(y, *counts, to=None):
    """From the board to the sensor at a height, and on to another; for these counts of wires."""
    path = (0.0, 0.88, 0.88), (y, y, y if to is None else to)
    return lambda led: path if led.wires in counts else ((), ())


DRAWN = (
    Bars(lambda _: [(0.83, 0.93, 0.53, 0.71)], {"facecolor": PAPER, "edgecolor": INK, "lw": 2}),
    Line(lambda _: ((0.88, 0.88), (LOWER, 0.53)), TRUTH),
    Line(lambda _: ((0.88, 0.88), (0.71, UPPER)), TRUTH),
    Line(_wire(UPPER, *NAMES), CARRIES, "carries current"),
    Line(_wire(LOWER, *NAMES), CARRIES),
    Line(_wire(LOWER - APART, 3, to=LOWER), CARRIES),
    Line(_wire(UPPER + APART, 4, to=UPPER), MEASURES, "measures"),
    Line(_wire(LOWER - APART, 4, to=LOWER), MEASURES),
    Named(lambda _: [(0.0, 0.9, "board")]),
    Named(lambda _: [(1.0, 0.9, "sensor")], ha="right"),
    Named(lambda led: [(0.5, 0.33, TOLD[led.wires])], ha="center", va="top"),
)
PLAN = Plan(
    title="What the leads do to a platinum sensor",
    controls=(SEEN_AT, WIRES, LENGTH, GAUGE, ALLOWED, UNLIKE, WIRES_AT, RESISTANCE),
    compute=compute,
    picture=Charts((OVER_LENGTH, Chart(Axis(ticks=()), Axis(ticks=()), DRAWN, wide=0.62, bare=True)), heads=FACTS),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 12; `design` from a design file, `start` values of controls by name.

    >>> round(explorer(wires=4).result().errors_c[4][0], 9)
    0.0
    """
    return Explorer(PLAN, design or platinum_bench(), **start)
