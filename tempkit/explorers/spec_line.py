"""Chapter 01: from the specification of a sensor to its line, and how far the line may be trusted."""

import math
from dataclasses import dataclass, replace

import numpy as np

from tempkit.book import tidy
from tempkit.chain import Chain, LinearSensor, in_celsius
from tempkit.draw import (
    BLUE,
    DASHES,
    DOTS,
    GREEN,
    HATCHED,
    INK,
    ORANGE,
    QUIET,
    TRUTH,
    Area,
    Axis,
    Bars,
    Chart,
    Charts,
    Fact,
    Facts,
    Labels,
    Line,
    Named,
    Ring,
    Segment,
    Stroke,
)
from tempkit.explorers.controls import ACCURACY, OFFSET, SENSOR_SUPPLY, SLOPE, TEMPERATURE
from tempkit.explorers.stage import MIND, Explorer, Plan, warning

MARGIN_C = 15.0
LENS_C = 8.0


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

    @property
    def good(self):
        """True where the line holds somewhere at the present supply."""
        return self.side == "inside" and self.held_c is not None

    @property
    def reach_v(self):
        """The limits as a voltage, to both sides."""
        return abs(self.slope_v_per_c) * self.accuracy_c

    @property
    def lens_c(self):
        """How far the lens reaches from its middle [degC]."""
        return max(LENS_C, 1.6 * self.accuracy_c)

    @property
    def top_v(self):
        """Where the chart of outputs ends."""
        return float(math.ceil(max(*self.ends_v, 3.0)))

    @property
    def top_supply_v(self):
        """Where the rail of supplies ends."""
        return max(self.supply_v, self.window_v[1], 6.0) + 0.5

    def line_v(self, t_c):
        """The line's output at temperatures [degC], wherever it leads."""
        return self.at_0c_v + self.slope_v_per_c * np.asarray(t_c, float)

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
            yield f"{where}: neither line nor limits hold, and a little more can damage the sensor: power off"

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
    (0.8, [0.788, 0.812], (23.5, 26.5), 'inside')
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
    fits = (max(at.t_c - at.accuracy_c, at.range_c[0]), min(at.t_c + at.accuracy_c, at.range_c[1]))
    band = (max(volts - at.reach_v, 0.0), min(volts + at.reach_v, at.supply_v))
    return replace(at, volts=volts, band_v=band, fits_c=fits)


def _pair(ends, say):
    return " to ".join(say(end) for end in ends)


def _promised(ends, say):
    return "nothing promised" if ends is None else _pair(ends, say)


def _volts(v):
    return f"{tidy(v, 3)} V"


def _interval(at, book):
    """The temperatures that the output fits, as short as can be."""
    if at.fits_c is None:
        return "?"
    low, high = (tidy(book.from_celsius(end), 1) for end in at.fits_c)
    return f"{low} to {high} {book.sign}" if low != high else f"{low} {book.sign}"


FACTS = Facts([
    Fact("gives", "", lambda at, book: f"{book.temperature(at.t_c)} → {'?' if at.volts is None else _volts(at.volts)}",
         head=lambda at: "no promise" if at.volts is None else "the line gives", table=False),
    Fact("fitting", "", _interval, head=lambda at: "lens" if at.volts is None else f"{_volts(at.volts)} fits",
         short=lambda at: "" if at.volts is None else "fits", table=False, wide=1.1),
    Fact("t", "temperature", lambda at, book: book.temperature(at.t_c)),
    Fact("volts", "output on the line", lambda at, book: _promised(at.volts and (at.volts,), _volts)),
    Fact("band", "lowest and highest output within the limits", lambda at, book: _promised(at.band_v, _volts)),
    Fact("fits", "temperatures that this output fits", lambda at, book: _promised(at.fits_c, book.temperature)),
    Fact("start", "output at 0 °C", lambda at, book: f"{tidy(1000 * at.at_0c_v, 0)} mV"),
    Fact("slope", "slope", lambda at, book: f"{tidy(1000 * at.slope_v_per_c, 1)} mV/°C"),
    Fact("limits", "limits", lambda at, book: f"±{book.span(at.accuracy_c)}"),
    Fact("limits_mv", "limits as a voltage", lambda at, book: f"±{tidy(1000 * at.reach_v, 0)} mV"),
    Fact("range", "range", lambda at, book: _pair(at.range_c, book.temperature)),
    Fact("ends", "line at the ends of the range", lambda at, book: _pair(at.ends_v, _volts)),
    Fact("supply", "supply", lambda at, book: f"{at.supply_v:.2f} V", wide=0.75,
         head=lambda at: f"supply: {at.side} its window", short=lambda at: at.side),
    Fact("side", "the supply is", lambda at, book: f"{at.side} the window"),
    Fact("window", "supply window", lambda at, book: _pair(at.window_v, lambda v: f"{v:g} V")),
    MIND,
])  # fmt: skip


def words(at, book):
    """The line, its limits and the supply in two or three sentences.

    >>> from tempkit.book import Book
    >>> from tempkit.explorers.stage import north_bench
    >>> print(words(compute(north_bench(), 25.0), Book()))
    At 25.0 °C the line gives 0.800 V. With limits of ±1.5 °C a sensor that keeps its specification may give
    0.788 V to 0.812 V, so 0.800 V fits every temperature from 23.5 °C to 26.5 °C. The supply of 5.00 V is
    inside the window of 3 V to 5.6 V.
    """
    told, mind = FACTS.told(at, book), warning(at.problems(book.temperature))
    if at.volts is None:
        return f"At {told['t']} nothing is promised.{mind}"
    return (
        "At {t} the line gives {volts}. {limited} The supply of {supply} is {side} of {window}."
    ).format(limited=_limited(at).format(**told), **told) + mind


def _limited(at):
    if at.accuracy_c == 0:
        return "With limits of {limits}, which no real sensor has, {volts} fits {t} alone."
    cut = ", where the range ends" if at.fits_c[1] - at.fits_c[0] < 2 * at.accuracy_c - 1e-9 else ""
    return (
        "With limits of {limits} a sensor that keeps its specification may give {band}, so {volts} fits every "
        f"temperature from {{fits}}{cut}."
    )


# ---- the picture


THE_LINE = Stroke(BLUE, width=1.2)
LIMITS = Stroke(BLUE, DASHES, 0.6)
FORMULA = Stroke(QUIET, DOTS, 0.7)


def line_sum(at, book):
    """The line with its numbers, in the reader's scale."""
    celsius, told = book.scale == "degC", FACTS.told(at, book)
    slope = tidy(1000 * at.slope_v_per_c / book.span_from_celsius(1.0), 1 if celsius else 2)
    rise = told["t"] if celsius else f"({told['t']} − {book.temperature(0.0, 0)})"
    return f"{told['start']} + {slope} mV/{book.sign} × {rise}"


def _span(at):
    return at.range_c[0] - MARGIN_C, at.range_c[1] + MARGIN_C


def _unpromised(at):
    """Bars of the chart: beyond the range, and where the line would leave 0 V or the supply."""
    low, high = at.range_c
    held = at.held_c or at.range_c
    left, right = _span(at)
    ends = (left, low), (high, right), (low, held[0]), (held[1], high)
    return [(left, right, 0, at.top_v) for left, right in ends if right > left]


def _held_line(at):
    return (at.held_c, at.line_v(at.held_c)) if at.good else ((), ())


def _held_band(at):
    x, v = _held_line(at)
    return x, np.subtract(v, at.reach_v), np.add(v, at.reach_v)


def _start(at):
    """The output at 0 °C, at the end of a dotted leader; in the back row it is told without its place."""
    if at.range_c[0] <= 0 <= at.range_c[1]:
        yield 0.0, 0.74 * at.top_v, lambda panel: FACTS.told(at, panel.book)["start"] + (
            "" if panel.look.room else f" at {panel.book.temperature(0.0, 0)}"
        )


def _sum(at):
    yield at.range_c[0] + 2, 0.93 * at.top_v, lambda panel: "" if panel.look.room else line_sum(at, panel.book)


# The lens: degrees from the present place along both axes, so that the line is a diagonal.


def _lens_span(at):
    return -at.lens_c, at.lens_c


def _lens_cut(at):
    low, high = (np.clip(end - at.t_c, *_lens_span(at)) for end in at.range_c)
    ends = ((-at.lens_c, low), (high, at.lens_c)) if at.volts is not None else ()
    return [(left, right, -at.lens_c, at.lens_c) for left, right in ends if right > left]


def _diagonal(at):
    x = np.array(_lens_span(at) if at.volts is not None else ())
    return x, math.copysign(1.0, at.slope_v_per_c) * x


def _lens_band(at):
    x, y = _diagonal(at)
    return x, y - at.accuracy_c, y + at.accuracy_c


def _widths(at):
    """From where to where the temperatures lie that fit, from the present one [degC]."""
    return [] if at.volts is None else [end - at.t_c for end in at.fits_c]


def _heights(at):
    """The same of the outputs that a sensor may give, as degrees."""
    return [] if at.volts is None else [(v - at.volts) / abs(at.slope_v_per_c) for v in at.band_v]


def _drops(at):
    """From the ends of both bars to the line, and across."""
    foot, widths, heights = -at.lens_c, _widths(at), _heights(at)
    ways = [((end, end), (foot, 0)) for end in widths] + [((foot, 0), (end, end)) for end in heights]
    ways += [(widths, (0, 0)), ((0, 0), heights)] if widths else []
    return [[v for way in ways for v in (*way[axis], math.nan)] for axis in (0, 1)]


def _bar(at, ends, upright):
    """A bar just inside the lens, along its left side or its foot."""
    edge = -0.975 * at.lens_c
    return ends and ((edge, ends[0], edge, ends[1]) if upright else (ends[0], edge, ends[1], edge)) or None


def _ends(places, values, say):
    """Labels of a bar's ends; where both are one place it is told once."""
    once = places and places[1] - places[0] < 1e-9
    for place, value in zip(places[:1] if once else places, values or (), strict=False):
        yield place, lambda panel, value=value: say(value, panel.book)


def _degrees(t_c, book):
    return tidy(book.from_celsius(t_c), 1)


def _way(at):
    """From the temperature up to the line and across to its voltage; a stump where nothing is promised."""
    if at.volts is None:
        return (at.t_c, at.t_c), (0, 0.075 * at.top_v)
    return (at.t_c, at.t_c, _span(at)[0]), (0, at.volts, at.volts)


def _ring(at):
    """The end of the way up."""
    return at.t_c, float(_way(at)[1][1])


def _limits(at):
    if at.volts is not None:
        yield -0.9 * at.lens_c, 0.9 * at.lens_c, lambda panel: FACTS.told(at, panel.book)["limits"]


CHARTS = Charts(
    (
        Chart(
            Axis("temperature", scale="temperature", span=_span),
            Axis("output", "V", lambda at: (0, at.top_v)),
            (
                Bars(_unpromised, HATCHED, key="no promise"),
                Area(_held_band, edges=LIMITS, key="limits"),
                Line(lambda at: (at.range_c, at.ends_v), FORMULA),
                Line(_held_line, THE_LINE, key="the line"),
                Segment(lambda at: at.range_c[0] <= 0 <= at.range_c[1] and (0.0, None, 0.0, 0.74 * at.top_v) or None),
                Named(_start, ha="center", paper=True),
                Named(_sum, va="center", paper=True),
                Line(_way, TRUTH),
                Ring(_ring, drops=False, handle="t_c"),
            ),
            wide=1.7,
        ),
        Chart(
            Axis("fits", scale="span", span=_lens_span, ticks=((-4, "−40.0"), (4, "−40.0"))),
            Axis("may give", "V", _lens_span, ticks=((-4, "0.000"), (4, "0.000"))),
            (
                Area(_lens_band, edges=LIMITS),
                Line(_diagonal, THE_LINE),
                Bars(_lens_cut, HATCHED),
                Line(_drops, Stroke(INK, DOTS, 0.6)),
                Segment(lambda at: _bar(at, _heights(at), True), Stroke(ORANGE, width=2.6)),
                Segment(lambda at: _bar(at, _widths(at), False), Stroke(INK, width=2.6)),
                Ring(lambda at: None if at.volts is None else (0, 0), drops=False),
                Labels(lambda at: _ends(_widths(at), at.fits_c, _degrees), marked=False),
                Labels(lambda at: _ends(_heights(at), at.band_v, lambda v, book: tidy(v, 3)), True, marked=False),
                Named(_limits, va="top", paper=True),
                Named(lambda at: [(0, 0, "nothing\npromised")] if at.volts is None else (), ha="center", va="center"),
            ),
            boxed=True,
        ),
        Chart(
            Axis(ticks=()),
            Axis("supply", "V", lambda at: (0, at.top_supply_v), ticks=lambda at: at.window_v),
            (
                Bars(lambda at: [(0, 1, 0, at.window_v[0]), (0, 1, at.window_v[1], at.top_supply_v)], HATCHED),
                Bars(lambda at: [(0, 1, *at.window_v)], {"facecolor": GREEN, "lw": 0}),
                Segment(lambda at: (0, at.supply_v, 1, at.supply_v), Stroke(INK, width=1.4)),
                Ring(lambda at: (1, at.supply_v), drops=False, handle_y="sensor_supply_v"),
            ),
            wide=0.1,
            boxed=True,
        ),
    ),
    heads=FACTS,
)


PLAN = Plan(
    title="From the specification to the line",
    controls=(TEMPERATURE, OFFSET, replace(SLOPE, high=20.0), ACCURACY, SENSOR_SUPPLY),
    compute=compute,
    picture=CHARTS,
    words=words,
    facts=FACTS.rows,
)


def explorer(design=None, **start):
    """The explorer of chapter 01; `design` from a design file, `start` values of controls by name.

    >>> explorer(t_c=18.0).result().volts
    0.744
    """
    return Explorer(PLAN, design, **start)
