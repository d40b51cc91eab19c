"""Chapter 01: from the specification of a sensor to its line, and how far the line may be trusted."""

import math
from dataclasses import dataclass, replace

from tempkit.book import tidy
from tempkit.chain import Chain, LinearSensor, in_celsius
from tempkit.draw import BLUE, GREEN, INK, PAPER, QUIET, Picture
from tempkit.explorers.controls import ACCURACY, OFFSET, SENSOR_SUPPLY, SLOPE, TEMPERATURE
from tempkit.explorers.lens import DOTS, HATCH, Band, Lens, dot, rectangle
from tempkit.explorers.stage import Explorer, Plan, warning

# --- The picture of chapter 01: a sensor's line over its range, a lens on its limits, the supply at the side.

MARGIN_C = 15.0
LENS_C = 8.0


@dataclass(frozen=True)
class Place:
    """Where things stand [px]: chart, lens and rail as (left, bottom, width, height), and the texts."""

    chart: tuple
    lens: tuple
    rail: tuple
    heads: tuple
    head_y: tuple
    verdict_y: float


DESK = Place((78, 72, 432, 328), (612, 92, 236, 308), (890, 72, 16, 328), (20, 556, 866), (482, 446), 34)
ROOM = Place((96, 92, 352, 278), (594, 92, 252, 278), (936, 92, 24, 278), (14, 478, 900), (474, 434), 40)


class SpecPicture(Picture):
    """Shows a `tempkit.explorers.spec_line.SpecLine`.

    Hatched: where the specification promises nothing. Solid: the line. Shaded between dashes: the limits. The
    ink line goes from the temperature up to the line and across to the voltage. The lens enlarges that place.
    """

    def __init__(self, look=None, book=None):
        from tempkit.book import Book

        super().__init__(look)
        self.book = book or Book()
        self.place = ROOM if self.look.room else DESK

    def frame(self, at):
        top_v = float(math.ceil(max(*at.ends_v, 4.0)))
        top_supply_v = max(at.supply_v, at.window_v[1], 6.0) + 0.5
        return at.range_c, at.window_v, top_v, top_supply_v, max(LENS_C, 1.6 * at.accuracy_c)

    def build(self, frame):
        self.range_c, self.window_v, self.top_v, self.top_supply_v, self.reach_c = frame
        self.lay_page()
        self._heads()
        self._chart()
        self.lens = Lens(self, self.place.lens, self.reach_c)
        self._rail()

    def _heads(self):
        (name_y, value_y), heads = self.place.head_y, self.place.heads
        self.names = [self.text(self.page, x, name_y, va="top") for x in heads]
        style = {"size": self.look.big, "bold": True, "va": "top"}
        self.values = [self.text(self.page, x, value_y, **style) for x in heads]
        self.moving(*self.names, *self.values)

    # ---- the line over its range

    def _x(self, t_c):
        return self.book.from_celsius(t_c)

    def _chart(self):
        low, high = self.range_c
        ends = self._x(low - MARGIN_C), self._x(high + MARGIN_C)
        axes = self.chart(self.place.chart, f"temperature, {self.book.sign}", "output, V", ends, (0, self.top_v))
        for left, right in ((ends[0], self._x(low)), (self._x(high), ends[1])):
            rectangle(axes, left, 0, right - left, self.top_v, zorder=1.5, **HATCH)
        if not self.look.room:
            middle = {"x": (self._x(high) + ends[1]) / 2, "y": self.top_v / 2, "ha": "center", "va": "center"}
            label = self.text(axes, words="beyond its range", rotation=90, **middle)
            label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})
        self.cut = [self.moving(rectangle(axes, 0, 0, 0, self.top_v, zorder=1.6, **HATCH)) for _ in range(2)]
        self.band = Band(self, axes)
        self._start_of_line(axes)
        line = self.look.line
        style = {"color": BLUE, "lw": line * 1.2, "zorder": 5}
        self.line = self.plotted(axes, **style)
        self.formula = self.plotted(axes, color=QUIET, lw=line * 0.7, ls=DOTS, zorder=4)
        self.end = self.moving(self.text(axes, 0, 0, "the line", ha="right", va="bottom", zorder=6))
        self.way = self.plotted(axes, color=INK, lw=line, zorder=7, solid_joinstyle="round")
        self.dot = self.plotted(axes, **dot(self.look))

    def _start_of_line(self, axes):
        """The output at 0 °C, told above the line at the end of a dotted leader."""
        self.leader = self.plotted(axes, color=INK, lw=1.2, ls=DOTS, zorder=4)
        x, y = self._x(0.0), 0.74 * self.top_v
        self.start = self.moving(self.text(axes, x, y, ha="center", va="bottom", zorder=8))
        self.start.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})

    # ---- the supply

    def _y_supply(self, v):
        _, bottom, _, height = self.place.rail
        return bottom + height * v / self.top_supply_v

    def _rail(self):
        left, bottom, width, height = self.place.rail
        low, high = (self._y_supply(v) for v in self.window_v)
        rectangle(self.page, left, bottom, width, height, **{**HATCH, "edgecolor": QUIET, "lw": 1.2})
        rectangle(self.page, left, low, width, high - low, facecolor=GREEN, edgecolor=GREEN, lw=1.2)
        for v, y in zip(self.window_v, (low, high), strict=True):
            self.page.plot([left + width, left + width + 6], [y, y], color=INK, lw=1.2)
            self.text(self.page, left + width + 10, y, f"{v:g} V", va="center")
        line = self.look.line
        style = {"color": INK, "lw": line * 1.4, "zorder": 7}
        self.supply = self.plotted(self.page, **style)
        self.supply_dot = self.plotted(self.page, **{**dot(self.look), "marker": ">"})
        y = self.place.verdict_y
        self.verdict = self.moving(self.text(self.page, self.place.heads[2], y, va="center", bold=True))

    # ---- moving

    def move(self, at):
        self._move_heads(at)
        self._move_line(at)
        self._move_way(at)
        self.lens.move(at)
        self._move_supply(at)

    def _move_heads(self, at):
        fits = at.fits_c is not None
        line, lens, supply = self.values
        line.set_text(f"{self.book.temperature(at.t_c)} → {f'{at.volts:.3f} V' if fits else '?'}")
        lens.set_text(self._interval(at.fits_c) if fits else "?")
        supply.set_text(f"{at.supply_v:.2f} V")
        gives = "the line gives" if fits else "no promise"
        self.names[0].set_text(gives if self.look.room else self._sum(at))
        self.names[1].set_text(f"{at.volts:.3f} V fits" if fits else "lens")
        self.names[2].set_text("supply")

    def _interval(self, fits_c):
        low, high = (tidy(self.book.from_celsius(end), 1) for end in fits_c)
        return f"{low} to {high} {self.book.sign}" if low != high else f"{low} {self.book.sign}"

    def _sum(self, at):
        """The line with its numbers, in the reader's scale."""
        celsius = self.book.scale == "degC"
        slope = tidy(1000 * at.slope_v_per_c / self.book.span_from_celsius(1.0), 1 if celsius else 2)
        start, t = tidy(1000 * at.at_0c_v, 0), self.book.temperature(at.t_c)
        rise = t if celsius else f"({t} − {self.book.temperature(0.0, 0)})"
        return f"{start} mV + {slope} mV/{self.book.sign} × {rise}"

    def _move_line(self, at):
        low, high = at.range_c
        x, ends_v = [self._x(low), self._x(high)], at.ends_v
        self.formula.set_data(x, ends_v)
        held = at.held_c or (low, low)
        held_x, held_v = [self._x(end) for end in held], [at.at_0c_v + at.slope_v_per_c * end for end in held]
        good = at.side == "inside" and at.held_c is not None
        self.line.set_data(held_x, held_v)
        self.line.set_visible(good)
        reach = abs(at.slope_v_per_c) * at.accuracy_c
        lower, upper = ([v + sign * reach for v in held_v] for sign in (-1, 1))
        self.band.move(held_x, lower, upper, good)
        for patch, (left, right) in zip(self.cut, ((x[0], held_x[0]), (held_x[1], x[1])), strict=True):
            patch.set(x=left, width=right - left, visible=right > left)
        self._move_end(at, held[1], held_v[1], good)
        self._move_start(at)

    def _move_end(self, at, end_c, end_v, good):
        """The name of the line above its end; hidden where the dot stands on it, or where it has no room."""
        x = self._x(end_c if good else at.range_c[1])
        y = (end_v if good else at.ends_v[1]) + 0.025 * self.top_v
        self.end.set(x=x, y=y, text="the line" if good else "no promise")
        near = at.volts is not None and end_c - at.t_c < 0.1 * (at.range_c[1] - at.range_c[0])
        short = self.look.room and good and end_c < at.range_c[1]
        self.end.set_visible(not near and not short)

    def _move_start(self, at):
        top_v = self.top_v
        foot = self._x(0.0)
        self.leader.set_data([foot, foot], [0, 0.74 * top_v])
        start = f"{tidy(1000 * at.at_0c_v, 0)} mV"
        self.start.set_text(start if self.look.room else f"{start} at {self.book.temperature(0.0, 0)}")
        here = at.range_c[0] <= 0 <= at.range_c[1]
        struck = at.volts is not None and 0.7 * top_v < at.volts < 0.86 * top_v
        for artist in (self.leader, self.start):
            artist.set_visible(here and not struck)

    def _move_way(self, at):
        x = self._x(at.t_c)
        edge = self._x(self.range_c[0] - MARGIN_C)
        if at.volts is None:
            foot = 0.075 * self.top_v
            self.way.set_data([x, x], [0, foot])
            self.dot.set_data([x], [foot])
        else:
            self.way.set_data([x, x, edge], [0, at.volts, at.volts])
            self.dot.set_data([x], [at.volts])

    def _move_supply(self, at):
        left, _, width, _ = self.place.rail
        y = self._y_supply(at.supply_v)
        self.supply.set_data([left - 6, left + width + 4], [y, y])
        self.supply_dot.set_data([left - 12], [y])
        self.verdict.set_text(at.side if self.look.room else f"{at.side}\nits window")


@dataclass(frozen=True)
class SpecLine:
    """A temperature on a sensor's line, and what the specification promises there.

    `volts`, `band_v` (lowest and highest output of a sensor within its limits) and `fits_c` (lowest and
    highest temperature that this output fits) are None where nothing is promised. `held_c` is the part of
    `range_c` where the line stays between 0 V and the supply, None where there is no such part.
    """

    t_c: float
    volts: float | None
    band_v: tuple | None
    fits_c: tuple | None
    ends_v: tuple
    held_c: tuple | None
    range_c: tuple
    supply_v: float
    window_v: tuple
    accuracy_c: float
    at_0c_v: float
    slope_v_per_c: float
    chain: Chain

    @property
    def side(self):
        """Where the supply stands: "below", "inside" or "above" the sensor's window."""
        low, high = self.window_v
        return "inside" if low <= self.supply_v <= high else "below" if self.supply_v < low else "above"

    def problems(self, say=in_celsius):
        """What cannot work, one sentence each; `say(t_c)` writes a temperature given in degC."""
        return (*self._range_problem(say), *self._supply_problem(), *self._output_problems(say))

    def _range_problem(self, say):
        low, high = self.range_c
        if low <= self.t_c <= high:
            return
        yield f"the sensor is specified from {say(low)} to {say(high)}; beyond, its line is no promise"

    def _supply_problem(self):
        low, high = self.window_v
        where = f"the supply of {self.supply_v:.2f} V is {self.side} the window of {low:g} V to {high:g} V"
        if self.side == "below":
            yield f"{where}: the sensor may still give some voltage, but neither line nor limits hold"
        if self.side == "above":
            yield f"{where}: the sensor can be damaged for good, so remove the power"

    def _output_problems(self, say):
        low_v, high_v = sorted(self.ends_v)
        rising, supply = self.slope_v_per_c > 0, f"the supply of {self.supply_v:.2f} V"
        if high_v > self.supply_v:
            where = self._beyond(say, warm_end=rising)
            yield f"{where} the line asks for more than {supply}, which no sensor can give"
        if low_v < 0:
            where = self._beyond(say, warm_end=not rising)
            yield f"{where} the line asks for less than 0 V, which a sensor on one supply cannot give"

    def _beyond(self, say, warm_end):
        if self.held_c is None:
            return "everywhere"
        return f"above {say(self.held_c[1])}" if warm_end else f"below {say(self.held_c[0])}"


def compute(design, t_c):
    """The sensor of a design at one temperature [degC], with its promise at the present supply.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0)
    >>> at.volts, [round(v, 3) for v in at.band_v], at.fits_c, at.side
    (0.75, [0.73, 0.77], (23.0, 27.0), 'inside')
    """
    chain, sensor = design.chain, design.chain.sensor
    if not isinstance(sensor, LinearSensor):
        raise ValueError(
            f"these pictures are about a sensor with a straight line, and the design has {sensor.called}: "
            "take a design with a linear sensor, or the explorers of chapter 12"
        )
    low, high = sensor.range_c
    at_0c_v, per_c = _line(chain)
    at = SpecLine(
        t_c=float(t_c),
        volts=None,
        band_v=None,
        fits_c=None,
        ends_v=(at_0c_v + per_c * low, at_0c_v + per_c * high),
        held_c=None,
        range_c=(float(low), float(high)),
        supply_v=SENSOR_SUPPLY.read(design),
        window_v=sensor.supply_v,
        accuracy_c=sensor.accuracy_c,
        at_0c_v=at_0c_v,
        slope_v_per_c=per_c,
        chain=chain,
    )
    at = replace(at, held_c=_held(at))
    inside = at.held_c is not None and at.held_c[0] <= t_c <= at.held_c[1]
    return _promise(at) if inside and at.side == "inside" else at


def _line(chain):
    """Output at 0 degC [V] and slope [V/degC] at the pin, as the present supply makes them."""
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    at_0c_v = chain.circuit.volts(chain.sensor, 0.0, feed_v)
    return at_0c_v, chain.circuit.volts_per_c(chain.sensor, 0.0, feed_v)


def _held(at):
    low_v, high_v = sorted(at.ends_v)
    if low_v > at.supply_v or high_v < 0:
        return None
    return tuple(_held_end(at, t_c, v) for t_c, v in zip(at.range_c, at.ends_v, strict=True))


def _held_end(at, t_c, v):
    """An end of the range [degC], or where the line meets 0 V or the supply before that end."""
    kept_v = min(max(v, 0.0), at.supply_v)
    return t_c if kept_v == v else (kept_v - at.at_0c_v) / at.slope_v_per_c


def _promise(at):
    """The line's output, and what the limits make of it in volts and in degrees."""
    volts = float(at.chain.volts(at.t_c))
    reach_v = abs(at.slope_v_per_c) * at.accuracy_c
    fits = (max(at.t_c - at.accuracy_c, at.range_c[0]), min(at.t_c + at.accuracy_c, at.range_c[1]))
    band = (max(volts - reach_v, 0.0), min(volts + reach_v, at.supply_v))
    return replace(at, volts=volts, band_v=band, fits_c=fits)


def words(at, book):
    """The line, its limits and the supply in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C the line gives 0.750 V. With limits of ±2.0 °C a sensor that keeps its specification may give
    0.730 V to 0.770 V, so 0.750 V fits every temperature from 23.0 °C to 27.0 °C. The supply of 5.00 V is
    inside the window of 2.7 V to 5.5 V.
    """
    if at.volts is None:
        return f"At {book.temperature(at.t_c)} nothing is promised." + warning(at.problems(book.temperature))
    low, high = at.window_v
    return (
        f"At {book.temperature(at.t_c)} the line gives {at.volts:.3f} V. {_limits(at, book)} The supply of "
        f"{at.supply_v:.2f} V is inside the window of {low:g} V to {high:g} V."
    ) + warning(at.problems(book.temperature))


def _limits(at, book):
    limits = f"With limits of ±{book.span(at.accuracy_c)}"
    if at.accuracy_c == 0:
        return f"{limits}, which no real sensor has, {at.volts:.3f} V fits {book.temperature(at.t_c)} alone."
    low_v, high_v = at.band_v
    low, high = (book.temperature(end) for end in at.fits_c)
    cut = ", where the range ends" if at.fits_c[1] - at.fits_c[0] < 2 * at.accuracy_c - 1e-9 else ""
    return (
        f"{limits} a sensor that keeps its specification may give {low_v:.3f} V to {high_v:.3f} V, so "
        f"{at.volts:.3f} V fits every temperature from {low} to {high}{cut}."
    )


def facts(at, book):
    """Rows of the number table."""
    promised = at.volts is not None
    none = "nothing promised"
    reach_mv = 1000 * abs(at.slope_v_per_c) * at.accuracy_c
    volts, degrees = (lambda v: f"{tidy(v, 3)} V"), book.temperature
    rows = [
        ("temperature", degrees(at.t_c)),
        ("output on the line", volts(at.volts) if promised else none),
        ("lowest and highest output within the limits", _pair(at.band_v, volts) if promised else none),
        ("temperatures that this output fits", _pair(at.fits_c, degrees) if promised else none),
        ("output at 0 °C", f"{tidy(1000 * at.at_0c_v, 0)} mV"),
        ("slope", f"{tidy(1000 * at.slope_v_per_c, 1)} mV/°C"),
        ("limits", f"±{book.span(at.accuracy_c)}, ±{tidy(reach_mv, 0)} mV"),
        ("range", _pair(at.range_c, degrees)),
        ("line at the ends of the range", _pair(at.ends_v, volts)),
        ("supply", f"{at.supply_v:.2f} V, {at.side} the window"),
        ("supply window", _pair(at.window_v, lambda v: f"{v:g} V")),
    ]
    return rows + [("mind", problem) for problem in at.problems(book.temperature)]


def _pair(ends, say):
    return " to ".join(say(end) for end in ends)


PLAN = Plan(
    title="From the specification to the line",
    controls=(TEMPERATURE, OFFSET, replace(SLOPE, high=20.0), ACCURACY, SENSOR_SUPPLY),
    compute=compute,
    picture=lambda look, book: SpecPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 01; `design` from a design file, `start` values of controls by name.

    >>> explorer(t_c=18.0).result().volts
    0.6799999999999999
    """
    return Explorer(PLAN, design, **start)
