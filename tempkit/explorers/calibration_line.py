"""Chapter 09: calibration at one, two or three points, and what it is worth where no point is."""

from dataclasses import dataclass, replace
from math import copysign, hypot, sqrt

import numpy as np

from tempkit.draw import (
    BLUE,
    DASHES,
    DOTS,
    GREEN,
    HATCHED,
    INK,
    ORANGE,
    PAPER,
    QUIET,
    TRUTH,
    Area,
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
    Segment,
    Stroke,
)
from tempkit.explorers.controls import ALTITUDE, BETTER, HOT_OFF, ICE_OFF, POINTS, PRESSURE, TEMPERATURE, WARM, WARM_OFF
from tempkit.explorers.stage import Explorer, Plan, minds, warning
from tempkit.uncertainty import Correction, boiling_point_at_altitude, coverage_factor, fit_line, ice_point, two_points

TOP_C = 5.0  # of the picture's scale
READING_C = 0.05  # standard uncertainty of the mean of many readings in one bath; invented
PRESSURE_LIMITS_PA = {"altitude": 2000.0, "barometer": 100.0}  # +-, weather and a barometer; common practice
USED = {"one": (0,), "near": (0, 1), "far": (0, 2), "line": (0, 1, 2), "scatter": (0, 1, 2)}
NAMED = {
    "one": "one point",
    "near": "two points",
    "far": "two points",
    "line": "a line by three points",
    "scatter": "a line by three points and its scatter",
}
NAMES = ("ice", "warm water", "boiling")


@dataclass(frozen=True)
class Calibrated:
    """A calibration and the correction it gives where it is asked.

    `readings_c`, `true_c`, `u_c` hold ice, warm water, boiling water; `used` says which of them count.
    `correction_c` (true minus reading) holds at the reading `t_c`, with standard uncertainty
    `u_correction_c` and factor `k`. `line` has readings, corrections and expanded uncertainties for the
    picture; `residuals_c` those of the points used.
    """

    t_c: float
    points: str
    readings_c: tuple
    true_c: tuple
    u_c: tuple
    used: tuple
    correction_c: float
    u_correction_c: float
    k: float
    line: tuple
    residuals_c: tuple
    altitude_m: float
    range_c: tuple

    @property
    def expanded_c(self):
        """Expanded uncertainty of the correction [degC]."""
        return self.k * self.u_correction_c

    @property
    def corrected_c(self):
        """The reading plus its correction [degC]."""
        return self.t_c + self.correction_c

    @property
    def span_c(self):
        """Lowest and highest reading of the points used [degC]."""
        readings = [self.readings_c[i] for i in self.used]
        return min(readings), max(readings)

    def problems(self, book):
        """What does not work, or works worse than it looks, one sentence each."""
        low, high = self.span_c
        if low == high:
            yield "one point cannot see a wrong slope; the band widens by the reference's tolerance"
        elif not low <= self.t_c <= high:
            reach = f"{book.temperature(low)} to {book.temperature(high)}"
            yield f"the points reach from {reach}; beyond, it is a guess"
        if self.points == "scatter":
            yield "three points leave one degree of freedom, so their scatter hardly knows itself"
        beyond = [NAMES[i] for i in self.used if not self.range_c[0] <= self.readings_c[i] <= self.range_c[1]]
        if beyond:
            yield f"the sensor's range does not hold {beyond[0]}: leave that point out"
        if abs(self.correction_c) > TOP_C:
            yield "so large a correction lies beyond the picture's scale; look for a fault before you correct"


def compute(design, t_c, points, ice_off_c, warm_off_c, hot_off_c, warm_c, better_c, altitude_m, pressure="altitude"):
    """The correction at a reading [degC] from points whose readings are off by so much.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0, "far", 0.7, 1.3, 2.1, 40.0, 0.2, 0.0)
    >>> round(at.correction_c, 2), round(at.expanded_c, 2)
    (-1.04, 0.19)
    """
    ice, hot = ice_point(), boiling_point_at_altitude(altitude_m, pressure_limits_pa=PRESSURE_LIMITS_PA[pressure])
    true = (ice.value, float(warm_c), hot.value)
    readings = tuple(t + off for t, off in zip(true, (ice_off_c, warm_off_c, hot_off_c), strict=True))
    u = tuple(hypot(part, READING_C) for part in (ice.standard, better_c / 2, hot.standard))
    used = USED[points]
    x, y, u_used = (np.array([row[i] for i in used]) for row in (readings, true, u))
    asked = np.linspace(*_drawn(design), 100)
    at = np.append(asked, t_c)
    tolerance = design.chain.reference.tolerance
    correction, standard, residuals, k = _METHOD[points](x, y - x, u_used, at, tolerance)
    return Calibrated(
        t_c=float(t_c),
        points=points,
        readings_c=readings,
        true_c=true,
        u_c=u,
        used=used,
        correction_c=float(correction[-1]),
        u_correction_c=float(standard[-1]),
        k=k,
        line=(asked, correction[:-1], k * standard[:-1]),
        residuals_c=tuple(residuals.tolist()),
        altitude_m=float(altitude_m),
        range_c=tuple(design.chain.sensor.range_c),
    )


def _drawn(design):
    low, high = design.chain.sensor.range_c
    return min(low, TEMPERATURE.low), max(high, TEMPERATURE.high)


def _one(x, y, u, at, tolerance):
    """A constant correction; a slope off by up to the reference's tolerance, rectangular, stays unseen."""
    found = Correction(x[0], 1.0, x[0] + y[0], ((u[0], 0.0), (0.0, tolerance / sqrt(3))))
    return found.correct(at) - at, found.u_correct(at), np.zeros(1), 2.0


def _two(x, y, u, at, tolerance):
    found = two_points(x, x + y, u_references=u)
    return found.correct(at) - at, found.u_correct(at), np.zeros(2), 2.0


def _line(x, y, u, at, tolerance):
    """Least squares; every point carries its own u into the line by its weight (JCGM 100:2008, 5.1.2)."""
    fit = fit_line(x, y)
    weights = [fit_line(x, one).predict(at) for one in np.eye(x.size)]
    standard = np.sqrt(sum((weight * each) ** 2 for weight, each in zip(weights, u, strict=True)))
    return fit.predict(at), standard, fit.residuals, 2.0


def _scatter(x, y, u, at, tolerance):
    """Least squares, doubt from the residuals alone, with their t factor (JCGM 100:2008, H.3 and G.3)."""
    fit = fit_line(x, y)
    return fit.predict(at), fit.u_predict(at), fit.residuals, coverage_factor(fit.dof)


_METHOD = {"one": _one, "near": _two, "far": _two, "line": _line, "scatter": _scatter}


# ---- told


def _point(i):
    def tell(at, book):
        true, reads = book.temperature(at.true_c[i], 2), book.temperature(at.readings_c[i], 2)
        return f"true {true}, reads {reads}, u = {book.span(at.u_c[i], 3)}" + ("" if i in at.used else "; not used")

    return Fact(NAMES[i], NAMES[i], tell)


def _residual(i):
    def tell(at, book):
        return book.span(at.residuals_c[at.used.index(i)], 2, signed=True) if i in at.used else None

    return Fact(f"residual {i}", f"residual, {NAMES[i]}", tell)


FACTS = Facts([
    Fact("reads", "reading", lambda at, book: book.temperature(at.t_c)),
    Fact("correction", "correction, true minus reading",
         lambda at, book: f"{book.span(at.correction_c, 2, signed=True)} ± {book.span(at.expanded_c, 2)}",
         "correction, ± U", "add", wide=1.6),
    Fact("k", "coverage factor", lambda at, _: f"{at.k:.2f}"),
    Fact("corrected", "corrected reading", lambda at, book: book.temperature(at.corrected_c, 2),
         "corrected reading", "gives"),
    Fact("method", "corrected by", lambda at, _: NAMED[at.points]),
    Fact("altitude", "altitude", lambda at, _: f"{at.altitude_m:.0f} m"),
    Fact("boils", "boiling point of water", lambda at, book: book.temperature(at.true_c[2], 2),
         "water boils at", "boils"),
    *(tell(i) for tell in (_point, _residual) for i in range(3)),
    Fact("reach", "the points reach", lambda at, book: " to ".join(book.temperature(end) for end in at.span_c)),
])  # fmt: skip
TOLD = FACTS.sentences(
    "The bench reads {reads}. Corrected by {method}, {correction} (k = {k}), it is {corrected}. "
    "At {altitude} water boils at {boils}."
)


def words(at, book):
    """The correction in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    The bench reads 25.0 °C. Corrected by a line by three points, −1.05 °C ± 0.13 °C (k = 2.00), it is
    23.95 °C. At 300 m water boils at 98.98 °C.
    """
    return TOLD(at, book) + warning(at.problems(book))


def facts(at, book):
    """Rows of the number table."""
    return [*FACTS.rows(at, book), *minds(at.problems(book))]


# ---- the picture: correction against reading, with points, line, band, and the place asked

STRIP_C = 0.4  # height of the strip at the foot
NAMED_AT_C = (0.98 * TOP_C, -0.88 * TOP_C, 0.98 * TOP_C)  # warm water at the foot, so that no two names ever meet


@dataclass(frozen=True)
class Point:
    """One calibration point, filled where it is used, hollow where not, its bar two standard uncertainties long.

    `handle` and `handle_y` name the controls that a reader moves by taking it along x and y.
    """

    which: int
    marker: str
    handle_y: str
    handle: str = ""

    def build(self, panel):
        width = panel.look.line
        leader, bar = panel.line(Stroke(QUIET, DOTS, 0.5)), panel.line(Stroke(ORANGE))
        mark = panel.line(Stroke(ORANGE, ""), marker=self.marker, ms=4 * width, mew=width)

        def move(at):
            off_c, reach_c = at.true_c[self.which] - at.readings_c[self.which], 2 * at.u_c[self.which]
            ends = (off_c, NAMED_AT_C[self.which], off_c - reach_c, off_c + reach_c)
            x, (y, named, low, high) = panel.x(at.readings_c[self.which]), panel.y(np.array(ends))
            leader.set_data([x, x], [y, named])
            bar.set_data([x, x], [low, high])
            mark.set_data([x], [y])
            mark.set_markerfacecolor(ORANGE if self.which in at.used else PAPER)

        return move


def _names(which, va):
    """The names of some points, on paper above all lines; in the back row the first word of each."""

    def name(i):
        return lambda panel: NAMES[i].split()[0] if panel.look.room else NAMES[i]

    return Named(
        lambda at: [(at.readings_c[i], NAMED_AT_C[i], name(i)) for i in which], len(which), "center", va, paper=True
    )


def _strip(ends_c):
    """The strip at the foot between two readings."""
    return [(*ends_c, -TOP_C, -TOP_C + STRIP_C)]


def _scale(at):
    return float(at.line[0][0]), float(at.line[0][-1])


def _band(at):
    readings, corrections, expanded = at.line
    return readings, corrections - expanded, corrections + expanded


def _there(at):
    return (at.t_c, at.correction_c) if abs(at.correction_c) <= TOP_C else None


def _beyond(at):
    """Where the correction lies beyond the scale, the way there ends at the edge."""
    return None if _there(at) else (at.t_c, None, at.t_c, copysign(TOP_C, at.correction_c))


def _asked(at):
    return at.t_c, at.correction_c - at.expanded_c, at.t_c, at.correction_c + at.expanded_c


CHART = Chart(
    Axis("reading", span=_scale, scale="temperature"),
    Axis("correction", span=(-TOP_C, TOP_C), scale="span"),
    (
        Levels(lambda at: (0.0,), Stroke(QUIET, width=0.5), most=1),
        Bars(lambda at: _strip(_scale(at)), HATCHED, "beyond the points"),
        Bars(lambda at: _strip(at.span_c), {"facecolor": GREEN, "lw": 0}, "between them"),
        Area(_band, edges=Stroke(BLUE, DASHES, 0.6)),
        Line(lambda at: at.line[:2], Stroke(BLUE, width=1.2)),
        Point(0, "o", handle_y="ice_off_c"),
        Point(1, "s", handle_y="warm_off_c", handle="warm_c"),
        Point(2, "^", handle_y="hot_off_c"),
        Segment(_beyond, TRUTH),
        Segment(_asked, Stroke(INK, width=2.0)),
        Ring(_there, handle="t_c"),
        _names((0, 2), "top"),
        _names((1,), "bottom"),
    ),
)
PLAN = Plan(
    title="The correction between and beyond the points",
    controls=(
        replace(TEMPERATURE, label="bench reads"),
        POINTS,
        ICE_OFF,
        WARM_OFF,
        HOT_OFF,
        WARM,
        BETTER,
        ALTITUDE,
        PRESSURE,
    ),
    compute=compute,
    picture=Charts(CHART, heads=FACTS),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 09; `design` from a design file, `start` values of controls by name.

    >>> round(explorer(altitude_m=0.0).result().true_c[2], 3)
    99.974
    """
    return Explorer(PLAN, design, **start)
