"""Chapter 12: a thermocouple and its cold junction, added right, as voltages, and wrong, as temperatures."""

from dataclasses import dataclass

import numpy as np

from tempkit.book import tidy
from tempkit.circuit import ColdJunction
from tempkit.explorers.junction_picture import SHOWN_C, JunctionPicture
from tempkit.explorers.sensor_controls import COLD, HOT, LETTER, MISREAD, couple
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.sensors import Thermocouple
from tempkit.thermocouple import full_range_c

POINTS = 101


@dataclass(frozen=True)
class Junction:
    """One thermocouple read four ways, from the same voltage.

    `measured_v` is what its two wires give; `hot_v` and `cold_v` what each junction would give against 0 degC.
    `right_c` adds voltages, `added_c` adds temperatures, `forgotten_c` takes the cold junction for 0 degC; all with
    the cold junction as its own sensor reads it, `seen_c`. `over_c` and `wrong_c` : the error of adding temperatures
    over the hot junctions shown; `forgot_c` that of forgetting.
    """

    couple: Thermocouple
    t_c: float
    cold_c: float
    seen_c: float
    hot_v: float
    cold_v: float
    measured_v: float
    right_c: float
    added_c: float
    forgotten_c: float
    over_c: np.ndarray
    wrong_c: np.ndarray

    @property
    def added_error_c(self):
        """By how much adding temperatures reads too much [degC]."""
        return self.added_c - self.t_c

    @property
    def largest(self):
        """The hot junction shown at which adding temperatures is worst, and its error there [degC]."""
        at = int(np.abs(self.wrong_c).argmax())
        return float(self.over_c[at]), float(self.wrong_c[at])

    def problems(self, book):
        """What does not work, one sentence each."""
        if self.seen_c != self.cold_c:
            off = book.span(self.right_c - self.t_c, 2, signed=True)
            yield f"the cold junction's own sensor is off, and the right way carries that on: off by {off}"
        low, high = full_range_c(self.couple.letter)
        if not low <= self.t_c <= high:
            yield f"type {self.couple.letter} is defined from {book.temperature(low)} to {book.temperature(high)} only"


def added_wrong(sensor, hot_c, cold_c, seen_c=None):
    """What a program reads that adds temperatures [degC]: the voltage turned to degrees alone, plus the cold junction.

    `seen_c` : the cold junction as its sensor reads it, None where that is right. Scalars or arrays.

    >>> round(added_wrong(Thermocouple("K"), 100.0, 25.0), 2)
    100.89
    """
    return sensor.inverse(sensor.line(hot_c, cold_c)) + (cold_c if seen_c is None else seen_c)


def compute(design, t_c, cold_c, letter, misread_c):
    """A thermocouple of a type, its hot junction at `t_c`, its terminals at `cold_c` [degC].

    >>> at = compute(None, 100.0, 25.0, "K", 0.0)
    >>> round(1000 * at.measured_v, 3), round(at.right_c, 6), round(at.added_c, 2), round(at.forgotten_c, 2)
    (3.096, 100.0, 100.89, 75.89)
    """
    sensor, seen_c = couple(letter), cold_c + misread_c
    circuit = ColdJunction(cold_c=float(cold_c), measured_cold_c=float(seen_c))
    measured_v = float(circuit.volts(sensor, t_c, None))
    over = np.linspace(*SHOWN_C, POINTS)
    return Junction(
        couple=sensor,
        t_c=float(t_c),
        cold_c=float(cold_c),
        seen_c=float(seen_c),
        hot_v=float(sensor.line(t_c)),
        cold_v=float(sensor.line(cold_c)),
        measured_v=measured_v,
        right_c=float(circuit.assumed.celsius(sensor, measured_v, None)),
        added_c=float(added_wrong(sensor, t_c, cold_c, seen_c)),
        forgotten_c=float(sensor.inverse(measured_v)),
        over_c=over,
        wrong_c=added_wrong(sensor, over, cold_c, seen_c) - over,
    )


def microvolts(v):
    """A voltage [V] as text in microvolts.

    >>> microvolts(0.0030960)
    '3096 µV'
    """
    return f"{tidy(1e6 * v, 0)} µV"


def words(at, book):
    """The four readings in three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    Between 100.0 °C and terminals of 25.0 °C a thermocouple K gives 3096 µV. With the 1000 µV of its cold junction
    added these are 4096 µV, and that is 100.0 °C. Adding 25.0 °C to what 3096 µV alone would be gives 100.9 °C, off by
    +0.89 °C; forgetting the cold junction gives 75.9 °C.
    """
    cold, hot = book.temperature(at.seen_c), book.temperature(at.t_c)
    seen_v = float(at.couple.line(at.seen_c))
    return (
        f"Between {hot} and terminals of {book.temperature(at.cold_c)} a thermocouple {at.couple.letter} gives "
        f"{microvolts(at.measured_v)}. With the {microvolts(seen_v)} of its cold junction added these are "
        f"{microvolts(at.measured_v + seen_v)}, and that is {book.temperature(at.right_c)}. Adding {cold} to what "
        f"{microvolts(at.measured_v)} alone would be gives {book.temperature(at.added_c)}, off by "
        f"{book.span(at.added_error_c, 2, signed=True)}; forgetting the cold junction gives "
        f"{book.temperature(at.forgotten_c)}."
    ) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    seen_v, (worst_at, worst) = float(at.couple.line(at.seen_c)), at.largest
    rows = [
        ("thermocouple", f"type {at.couple.letter}"),
        ("hot junction", f"{book.temperature(at.t_c)}, {microvolts(at.hot_v)} against 0"),
        ("cold junction", f"{book.temperature(at.cold_c)}, {microvolts(at.cold_v)} against 0"),
        ("cold junction as its sensor reads it", f"{book.temperature(at.seen_c)}, {microvolts(seen_v)}"),
        ("measured", microvolts(at.measured_v)),
        ("voltages added", f"{microvolts(at.measured_v + seen_v)}, {book.temperature(at.right_c)}"),
        ("temperatures added", f"{book.temperature(at.added_c)}, {book.span(at.added_error_c, 2, signed=True)}"),
        ("cold junction forgotten", book.temperature(at.forgotten_c)),
        ("adding temperatures is worst", f"{book.span(worst, 2, signed=True)} at {book.temperature(worst_at)}"),
        ("at the hot junction 1 degree is", f"{tidy(1e6 * float(at.couple.volts_per_c(at.t_c)), 1)} µV a kelvin"),
    ]
    return [*rows, *(("mind", told) for told in at.problems(book))]


PLAN = Plan(
    title="A thermocouple and its cold junction",
    controls=(HOT, COLD, LETTER, MISREAD),
    compute=compute,
    picture=lambda look, book: JunctionPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The third explorer of chapter 12; `start` values of controls by name.

    >>> round(explorer(t_c=100.0).result().added_error_c, 2)
    0.89
    """
    return Explorer(PLAN, design, **start)
