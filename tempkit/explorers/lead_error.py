"""Chapter 12: what the leads of a platinum sensor do to its reading, with two, three and four wires."""

from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import Book, tidy
from tempkit.chain import PlatinumSensor
from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, Picture
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
from tempkit.explorers.lens import DASHES, DOTS, dot, rectangle
from tempkit.explorers.stage import Explorer, Plan, or_none, warning
from tempkit.signal import wire_area_mm2, wire_ohms_per_m
from tempkit.text import digits, ohms

# --- The picture of lead errors: the worst error over the length of the lead, and how the wires run.

ERRORS_C = (0.001, 300.0)
AT = -9  # of the lengths: where the lines have their names
CLASS_AT_M = 2.2
STYLES = {2: {"color": ORANGE, "ls": "-"}, 3: {"color": BLUE, "ls": DASHES}}
# chart (left, bottom, width, height); x of heads; y of names, values; left, right, middle, pitch of the wires [px]
DESK = ((84, 58, 500, 362), (20, 330, 640), (488, 468), (660, 880, 270, 46))
ROOM = ((138, 88, 590, 296), (14, 420, 760), (None, 470), (830, 1000, 262, 64))
TOLD = {
    2: ("both leads count", "both count"),
    3: ("two equal currents: like leads cancel", "like leads cancel"),
    4: ("no current where it measures", "leads do not count"),
}


class LeadPicture(Picture):
    """Shows a `tempkit.explorers.lead_error.Led`.

    Both scales go by tenfolds. The lines are the largest error with two wires and with three; with four there is none.
    The dotted green line is the limit of the sensor's own class. Beside it the wires: thick ones carry the current,
    dashed ones only measure.
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y, self.place = ROOM if self.look.room else DESK

    # ---- parts that stand still

    def build(self, frame):
        self.lay_page()
        span = [self.book.span_from_celsius(c) for c in ERRORS_C]
        names = "length of the lead, m", f"largest error, {self.book.sign}"
        self.axes = self.chart(self.box, *names, (1.0, 100.0), span)
        self._logarithmic()
        self._lines()
        self._wiring()
        self.lay_heads(self.heads, *self.head_y)

    def _logarithmic(self):
        from matplotlib.ticker import NullLocator

        axes, room = self.axes, self.look.room
        axes.set(xscale="log", yscale="log")
        axes.set_xticks([1, 10, 100] if room else [1, 2, 5, 10, 20, 50, 100])
        axes.set_xticklabels([f"{tick:g}" for tick in axes.get_xticks()])
        axes.set_yticks([0.01, 1.0, 100.0] if room else [0.001, 0.01, 0.1, 1.0, 10.0, 100.0])
        axes.set_yticklabels([f"{tick:g}" for tick in axes.get_yticks()])
        axes.xaxis.set_minor_locator(NullLocator())
        axes.yaxis.set_minor_locator(NullLocator())

    def _lines(self):
        line = self.look.line
        self.limit = self.plotted(self.axes, color=GREEN, lw=line, ls=DOTS, zorder=4)
        self.limit_name = self.moving(self.text(self.axes, CLASS_AT_M, 1, "its class", va="center", ha="center"))
        self.limit_name.set(zorder=8.1, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
        self.lines, self.names_of = {}, {}
        for count, style in STYLES.items():
            self.lines[count] = self.plotted(self.axes, lw=1.2 * line, zorder=5 + count / 10, **style)
            name = self.moving(self.text(self.axes, 0, 0, f"{count} wires", zorder=8 + count / 10))
            name.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.0})
            self.names_of[count] = name
        self.way = self.plotted(self.axes, color=INK, lw=line, zorder=7)
        self.dot = self.plotted(self.axes, **dot(self.look))

    def _wiring(self):
        """The sensor at the right, four wires to the board at the left, each hidden where the count has it not."""
        left, right, middle, pitch = self.place
        line = self.look.line
        rectangle(self.page, right, middle - pitch / 2, 0.5 * pitch, pitch, facecolor=PAPER, edgecolor=INK, lw=line)
        for y in (-1, 1):
            self.page.plot([right + 0.25 * pitch] * 2, [middle + y * pitch / 2, middle + y * 1.2 * pitch], color=INK)
        self.text(self.page, right + 0.25 * pitch, middle + 1.9 * pitch, "sensor", ha="center", va="bottom")
        self.text(self.page, left, middle + 1.9 * pitch, "board", ha="center", va="bottom")
        self.wires = {}
        for key, at in (("upper", 1.2), ("lower", -1.2), ("upper sense", 1.6), ("lower sense", -1.6)):
            y = middle + at * pitch
            turn = [left, right + 0.25 * pitch, right + 0.25 * pitch]
            self.wires[key] = self.moving(self.page.plot(turn, [y, y, middle + 1.2 * pitch * np.sign(at)])[0])
            self.wires[key].set_zorder(4)
        deep = 1.9 if self.look.room else 2.6  # above the chart's tick labels, which are beside it
        self.told = self.moving(
            self.text(self.page, (left + right) / 2, middle - deep * pitch, ha="center", va="top", zorder=9)
        )
        if not self.look.room:
            low = middle - 3.6 * pitch
            for y, carries, name in ((low, True, "carries current"), (low - 22, False, "measures")):
                self.page.plot([left - 20, left + 30], [y, y], **self._style(carries))
                self.text(self.page, left + 42, y, name, va="center")

    def _style(self, carries):
        """A wire that carries the current is thick, one that only measures is thin and dashed."""
        line = self.look.line
        return {"color": INK, "lw": 1.6 * line, "ls": "-"} if carries else {"color": BLUE, "lw": line, "ls": DASHES}

    # ---- moving

    def move(self, led):

        foot, top = self.axes.get_ylim()
        for count, line in self.lines.items():
            y = self.book.span_from_celsius(led.lines_c[count])
            line.set_data(LENGTHS_M, np.maximum(y, foot))
            at = float(np.clip(y[AT], 1.6 * foot, 0.5 * top))
            self.names_of[count].set_position((LENGTHS_M[AT], at))
            self.names_of[count].set(ha="center", va="center", visible=bool(y[AT] > foot))
        worst = self.book.span_from_celsius(led.worst_c(led.wires))
        y, x = min(max(worst, foot), top), max(led.length_m, 1.0)
        self.way.set_data([x, x, 1.0], [foot, y, y])
        self.dot.set_data([x], [y])
        self._move_limit(led)
        self._move_wiring(led)
        self._move_heads(led)

    def _move_limit(self, led):
        known = led.class_c is not None
        y = self.book.span_from_celsius(led.class_c) if known else 1.0
        self.limit.set_data([1.0, 100.0], [y, y])
        self.limit_name.set_y(y)
        self.limit.set_visible(known)
        self.limit_name.set_visible(known)

    def _move_wiring(self, led):
        carries = {"upper": True, "lower": True, "lower sense": led.wires == 3, "upper sense": False}
        shown = {"lower sense": led.wires >= 3, "upper sense": led.wires == 4}
        for key, wire in self.wires.items():
            wire.set(visible=shown.get(key, True), **self._style(carries[key]))
        self.told.set_text(TOLD[led.wires][self.look.room])

    def _move_heads(self, led):
        book = self.book
        right, worst = book.span(led.errors_c[led.wires][0], 2, signed=True), book.span(led.worst_c(led.wires), 2)
        if self.look.room:
            told = f"{tidy(led.length_m, 1)} m: {ohms(led.lead_ohm)}", f"off {right}", f"up to {worst}"
        else:
            names = f"each of {led.wires} leads", f"reading at {book.temperature(led.t_c)} is off by"
            names += ("at most, either way",)
            for artist, name in zip(self.names, names, strict=True):
                artist.set_text(name)
            told = ohms(led.lead_ohm), right, worst
        for artist, value in zip(self.values, told, strict=True):
            artist.set_text(value)


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
