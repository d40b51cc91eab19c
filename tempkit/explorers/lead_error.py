"""Chapter 12: what the leads of a platinum sensor do to its reading, with two, three and four wires."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.explorers.lead_picture import LeadPicture
from tempkit.explorers.sensor_controls import (
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
from tempkit.explorers.stage import Explorer, Plan, or_none, warning
from tempkit.outputs import wire_area_mm2, wire_ohms_per_m
from tempkit.quantity import digits, ohms
from tempkit.sensors import PlatinumSensor

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

    >>> from tempkit.sensors import PlatinumSensor
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


def words(led, book):
    """The error in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    Each lead of 10.0 m, gauge 24, has 0.842 Ω. With two wires the sensor at 25.0 °C is read off by +4.34 °C (+4.13 to
    +4.56 °C if the leads are off too). Three wires would leave ±0.22 °C, four nothing.
    """
    told = f"Each lead of {led.length_m:.1f} m, gauge {led.gauge:g}, has {ohms(led.lead_ohm)}. "
    told += f"With {NAMES[led.wires]} wires the sensor at {book.temperature(led.t_c)} is read {_off(led, book)}. "
    one, other = (count for count in NAMES if count != led.wires)
    told += f"{NAMES[one].capitalize()} wires would leave {_left(led, one, book)}, {NAMES[other]} "
    told += f"{_left(led, other, book)}."
    return told + warning(led.problems(book))


def _off(led, book):
    right, low, high = led.errors_c[led.wires]
    if led.wires == 4:
        return "as it is, whatever the leads have"
    if led.wires == 3:
        return f"right if both leads are alike, else off by up to {book.span(led.worst_c(3), 2)}"
    ends = f"{_signed(low, book)} to {_signed(high, book)} {book.sign}"
    return f"off by {book.span(right, 2, signed=True)} ({ends} if the leads are off too)"


def _signed(c, book):
    return book.span(c, 2, signed=True).removesuffix(f" {book.sign}")


def _left(led, wires, book):
    if wires == 4:
        return "nothing"
    return f"{'±' if wires == 3 else 'up to '}{book.span(led.worst_c(wires), 2)}"


def facts(led, book):
    """Rows of the number table."""
    rows = [
        ("sensor at 0 °C", f"{digits(led.sensor.r0_ohm)} Ω"),
        ("sensor now", f"{book.temperature(led.t_c)}, {ohms(float(led.sensor.line(led.t_c)))}"),
        ("limits of its class", or_none(led.class_c, lambda c: f"±{book.span(c, 2)}")),
        ("lead", f"{led.length_m:.1f} m, gauge {led.gauge:g}, {wire_area_mm2(led.gauge):.3f} mm²"),
        ("each lead", ohms(led.lead_ohm)),
        ("the program allows for each", ohms(led.allowed_ohm)),
    ]
    for count, (right, low, high) in led.errors_c.items():
        told = f"{_signed(right, book)}, from {_signed(low, book)} to {_signed(high, book)} {book.sign}"
        rows.append((f"error with {NAMES[count]} wires", f"{told}; {_left(led, count, book)} left"))
    return [*rows, *(("mind", told) for told in led.problems(book))]


PLAN = Plan(
    title="What the leads do to a platinum sensor",
    controls=(SEEN_AT, WIRES, LENGTH, GAUGE, ALLOWED, UNLIKE, WIRES_AT, RESISTANCE),
    compute=compute,
    picture=lambda look, book: LeadPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 12; `design` from a design file, `start` values of controls by name.

    >>> round(explorer(wires=4).result().errors_c[4][0], 9)
    0.0
    """
    return Explorer(PLAN, design or platinum_bench(), **start)
