"""Chapter 12: a thermocouple and its cold junction, added right, as voltages, and wrong, as temperatures."""

from dataclasses import dataclass

import numpy as np

from tempkit.book import Book, tidy
from tempkit.chain import ColdJunction, Thermocouple, full_range_c, reference_mv
from tempkit.draw import BLUE, INK, ORANGE, PAPER, PINK, QUIET, Picture
from tempkit.explorers.controls import COLD, HOT, LETTER, MISREAD, couple
from tempkit.explorers.lens import DASHES, DOTS, dot
from tempkit.explorers.stage import Explorer, Plan, warning

# --- The picture of a cold junction: the curve on which voltages are added, and the error of adding temperatures.

SHOWN_C = (-100.0, 400.0)
LEAST_MV = -6.0
MOST_C = {"K": 4.0, "J": 5.0, "T": 15.0}
# (left, bottom, width, height) of both charts; x of heads, y of names and of values [px]
DESK = ((72, 58, 470, 362), (640, 58, 300, 362), (20, 330, 640), (488, 468))
ROOM = ((104, 88, 470, 296), (690, 88, 340, 296), (14, 400, 720), (None, 470))


class JunctionPicture(Picture):
    """Shows a `tempkit.explorers.junction.Junction`.

    Left: the curve of the thermocouple against 0 degC. The dashed bar is what the wires give, set on the cold
    junction's voltage: its top is on the curve at the hot junction. The dotted bar is the same set on 0, as a program
    has it that turns it to degrees alone. Right: the error of adding temperatures, over the hot junction.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.boxes = ROOM[:2] if self.look.room else DESK[:2]
        self.heads, self.head_y = (ROOM if self.look.room else DESK)[2:]

    def frame(self, at):
        return at.couple.letter

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        ends = [self.book.from_celsius(t_c) for t_c in SHOWN_C]
        self.most_mv = 1.12 * float(reference_mv(frame, SHOWN_C[1]))
        most, hot = self.book.span_from_celsius(MOST_C[frame]), f"hot junction, {self.book.sign}"
        name = f"temperature, {self.book.sign}"
        self.axes = self.chart(self.boxes[0], name, "against 0 °C, mV", ends, (LEAST_MV, self.most_mv))
        if self.book.scale == "degF":
            self.axes.set_ylabel("against 32 °F, mV")
        self.errors = self.chart(self.boxes[1], hot, f"temperatures added: off, {self.book.sign}", ends, (-most, most))
        if self.look.room:
            self.errors.set_ylabel(f"added: off, {self.book.sign}")
        for axes in (self.axes, self.errors):
            axes.axhline(0, color=QUIET, lw=1.2, zorder=1.5)
            axes.axvline(self.book.from_celsius(0.0), color=QUIET, lw=1.2, zorder=1.5)
        curve_c = np.linspace(*SHOWN_C, 200)
        curve = {"color": BLUE, "lw": 1.2 * self.look.line, "zorder": 3}
        self.axes.plot(self.book.from_celsius(curve_c), reference_mv(frame, curve_c), **curve)
        self._movers_made(ends)
        self.lay_heads(self.heads, *self.head_y)

    def _movers_made(self, ends):
        self.ends, line = ends, self.look.line
        plot = self.axes.plot
        thin = {"color": QUIET, "lw": 1.2, "ls": DOTS}
        self.levels = [self.moving(plot([], [], zorder=4 + i / 10, **thin)[0]) for i in range(2)]
        self.bar = self.moving(plot([], [], color=INK, lw=1.6 * line, ls=DASHES, zorder=5)[0])
        self.alone = self.moving(plot([], [], color=ORANGE, lw=1.6 * line, ls=(0, (1, 1)), zorder=5.1)[0])
        mark = {"ls": "", "ms": (2.6 if self.look.room else 3.6) * line, "mew": line, "mfc": PAPER, "clip_on": False}
        self.cold = self.moving(plot([], [], marker="s", mec=PINK, zorder=6, **mark)[0])
        self.alone_end = self.moving(plot([], [], marker="^", mec=ORANGE, zorder=6.1, **mark)[0])
        self.hot = self.moving(plot([], [], **dot(self.look))[0])
        self.labels = [self.moving(self.text(self.axes, 0, 0, name)) for name in ("cold", "hot", "alone")]
        for i, label in enumerate(self.labels):
            label.set(zorder=8 + i / 10, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
        self.wrong = self.plotted(self.errors, color=ORANGE, lw=1.2 * line, zorder=5)
        self.way = self.plotted(self.errors, color=INK, lw=line, zorder=7)
        self.dot = self.plotted(self.errors, **dot(self.look))

    # ---- moving

    def move(self, at):
        x = self.book.from_celsius
        hot, cold, measured = (1000 * v for v in (at.hot_v, at.cold_v, at.measured_v))
        for level, y, to_c in zip(self.levels, (cold, measured), (at.t_c, at.forgotten_c), strict=True):
            level.set_data([x(min(0.0, at.cold_c, to_c)), x(max(at.cold_c, to_c))], [y, y])
        self.bar.set_data([x(at.t_c)] * 2, [cold, hot])
        self.alone.set_data([x(at.forgotten_c)] * 2, [0.0, measured])
        self.cold.set_data([x(at.cold_c)], [cold])
        self.hot.set_data([x(at.t_c)], [hot])
        self.alone_end.set_data([x(at.forgotten_c)], [measured])
        self._move_labels(at, hot, cold, measured)
        y, most = self.book.span_from_celsius(at.added_error_c), self.errors.get_ylim()[1]
        self.wrong.set_data(x(at.over_c), self.book.span_from_celsius(at.wrong_c))
        inside = abs(y) <= most and SHOWN_C[0] <= at.t_c <= SHOWN_C[1]
        self.way.set_data([x(at.t_c), x(at.t_c), self.ends[0]], [0, y, y])
        self.dot.set_data([x(at.t_c)], [y])
        self.dot.set_visible(inside)
        self.way.set_visible(inside)
        self._move_heads(at)

    def _move_labels(self, at, hot, cold, measured):
        """The warmer junction above the curve, the colder one below it; the third at the foot of its bar."""
        x, room = self.book.from_celsius, self.look.room
        up = (self.most_mv - LEAST_MV) * (0.07 if room else 0.05)
        side = 1 if measured >= 0 else -1
        above, below = "bottom", "top"
        if side < 0:
            above, below = below, above
        places = (
            (at.cold_c, cold - side * up, below),
            (at.t_c, hot + side * up, above),
            (at.forgotten_c, -side * up, below),
        )
        edge = 55.0 if room else 25.0
        for i, (label, (t_c, y, va)) in enumerate(zip(self.labels, places, strict=True)):
            t_c = min(max(t_c, SHOWN_C[0] + edge), SHOWN_C[1] - edge)
            label.set(x=x(t_c), y=min(max(y, LEAST_MV + 1.6 * up), self.most_mv - 1.6 * up), va=va, ha="center")
            far = abs(at.forgotten_c - at.cold_c) > 2.6 * edge
            label.set_visible(i < 2 or far)

    def _move_heads(self, at):
        book = self.book
        gives, off = f"{tidy(1e6 * at.measured_v, 0)} µV", book.span(at.added_error_c, 2, signed=True)
        if self.look.room:
            told = gives, f"right {book.temperature(at.right_c)}", f"added {off}"
        else:
            names = "the wires give", "voltages added", "temperatures added; off by"
            for artist, name in zip(self.names, names, strict=True):
                artist.set_text(name)
            told = gives, book.temperature(at.right_c), f"{book.temperature(at.added_c)}; {off}"
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


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
