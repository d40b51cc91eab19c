"""Chapter 09: calibration at one, two or three points, and what it is worth where no point is."""

from dataclasses import dataclass, replace
from math import hypot, sqrt

import numpy as np

from tempkit.draw import BLUE, GREEN, INK, ORANGE, PAPER, QUIET, Picture
from tempkit.explorers.controls import ALTITUDE, BETTER, HOT_OFF, ICE_OFF, POINTS, PRESSURE, TEMPERATURE, WARM, WARM_OFF
from tempkit.explorers.lens import DASHES, DOTS, HATCH, dot, rectangle
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.uncertainty import Correction, boiling_point_at_altitude, coverage_factor, fit_line, ice_point, two_points

# --- The picture of chapter 09: correction against reading, with points, line, band, and the place asked.

TOP_C = 5.0
STRIP_C = 0.4
MARKERS = ("o", "s", "^")
# (left, bottom, width, height) of the chart, x of the three heads, y of their names and of their values [px]
DESK = ((84, 62, 846, 352), (20, 470, 716), (488, 464))
ROOM = ((104, 88, 946, 288), (14, 520, 800), (474, 438))


class CalibrationPicture(Picture):
    """Shows a `tempkit.explorers.calibration_line.Calibrated`.

    Filled marks with bars (two standard uncertainties) are points used, hollow ones are not. The blue line is
    the correction, its shaded band between dashes the expanded uncertainty. The strip at the foot is solid
    between the points used and hatched beyond. The ink line goes from the reading to its correction.
    """

    def __init__(self, look=None, book=None):
        from tempkit.book import Book

        super().__init__(look)
        self.book = book or Book()
        self.box, self.heads, self.head_y = ROOM if self.look.room else DESK

    def frame(self, at):
        return float(at.line[0][0]), float(at.line[0][-1])

    def build(self, frame):
        self.lay_page()
        self.lay_heads(self.heads, *self.head_y)
        self._chart([self._x(t_c) for t_c in frame])

    def _x(self, t_c):
        return self.book.from_celsius(t_c)

    def _y(self, span_c):
        return self.book.span_from_celsius(span_c)

    def _chart(self, ends):
        top = self._y(TOP_C)
        strip_words = "" if self.look.room else " (foot: solid between the points, hatched beyond)"
        names = f"reading, {self.book.sign}{strip_words}", f"correction, {self.book.sign}"
        axes = self.axes = self.chart(self.box, *names, ends, (-top, top))
        step = 4 if self.book.scale == "degF" else 2
        axes.set_yticks([step * count for count in (-2, -1, 0, 1, 2)])
        self.ends, self.foot, strip = ends, -top, self._y(STRIP_C)
        axes.axhline(0, color=QUIET, lw=1.2, zorder=1.5)
        rectangle(axes, ends[0], -top, ends[1] - ends[0], strip, zorder=1.6, **HATCH)
        self.covered = self.moving(rectangle(axes, 0, -top, 0, strip, facecolor=GREEN, lw=0, zorder=2))
        self._line(axes)
        self._points(axes, top)
        line = self.look.line
        self.way = self.plotted(axes, color=INK, lw=line, zorder=7)
        bar = {"color": INK, "lw": 2 * line, "zorder": 7.2, "solid_capstyle": "butt"}
        self.bar = self.plotted(axes, **bar)
        self.dot = self.plotted(axes, **dot(self.look))

    def _line(self, axes):
        from matplotlib.patches import Polygon

        line = self.look.line
        self.band = self.moving(
            axes.add_patch(Polygon([(0, 0)] * 3, facecolor=BLUE, alpha=0.22, lw=0, zorder=2.5))
        )
        edge = {"color": BLUE, "lw": line * 0.6, "ls": DASHES}
        self.edges = [self.plotted(axes, zorder=3 + i / 10, **edge) for i in range(2)]
        self.line = self.plotted(axes, color=BLUE, lw=line * 1.2, zorder=5)

    def _points(self, axes, top):
        line = self.look.line
        leader = {"color": QUIET, "lw": 1.2, "ls": DOTS}
        self.leaders = [self.plotted(axes, zorder=4 + i / 10, **leader) for i in range(3)]
        bar = {"color": ORANGE, "lw": line}
        self.bars = [self.plotted(axes, zorder=5.2 + i / 10, **bar) for i in range(3)]
        mark = {"ls": "", "ms": 4 * line, "mec": ORANGE, "mew": line}
        self.marks = [
            self.plotted(axes, marker=marker, zorder=6 + i / 10, **mark)
            for i, marker in enumerate(MARKERS)
        ]
        self.labels = [self.moving(self._label(axes, i, top)) for i in range(3)]

    def _label(self, axes, i, top):
        """Warm water is named at the foot, the two others at the top, so that no two names ever meet."""
        y = -0.88 * top if i == 1 else 0.98 * top
        words = ("ice", "warm", "boiling") if self.look.room else ("ice", "warm water", "boiling water")
        place = {"ha": "center", "va": "bottom" if i == 1 else "top", "zorder": 8 + i / 10}
        label = self.text(axes, 0, y, words[i], **place)
        label.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 1.5})
        return label

    # ---- moving

    def move(self, at):
        self._move_heads(at)
        low, high = (self._x(end) for end in at.span_c)
        self.covered.set(x=low, width=high - low)
        self._move_line(at)
        for i in range(3):
            self._move_point(at, i)
        self._move_way(at)

    def _move_heads(self, at):
        book = self.book
        names = "correction ± U", "corrected", "boiling point"
        if not self.look.room:
            names = f"correction at {book.temperature(at.t_c)}, ± U", "corrected reading"
            names += (f"water boils at {at.altitude_m:.0f} m at",)
        for artist, name in zip(self.names, names, strict=True):
            artist.set_text(name)
        correction = book.span(at.correction_c, 2, signed=True).removesuffix(f" {book.sign}")
        self.values[0].set_text(f"{correction} ± {book.span(at.expanded_c, 2)}")
        self.values[1].set_text(book.temperature(at.corrected_c, 2))
        self.values[2].set_text(book.temperature(at.true_c[2], 2))

    def _move_line(self, at):
        readings, corrections, expanded = at.line
        x = self._x(readings)
        lower, middle, upper = (self._y(corrections + sign * expanded) for sign in (-1, 0, 1))
        self.line.set_data(x, middle)
        for edge, y in zip(self.edges, (lower, upper), strict=True):
            edge.set_data(x, y)
        self.band.set_xy(np.column_stack([np.append(x, x[::-1]), np.append(upper, lower[::-1])]))

    def _move_point(self, at, i):
        x = self._x(at.readings_c[i])
        y, reach = self._y(at.true_c[i] - at.readings_c[i]), self._y(2 * at.u_c[i])
        self.marks[i].set_data([x], [y])
        self.marks[i].set_markerfacecolor(ORANGE if i in at.used else PAPER)
        self.bars[i].set_data([x, x], [y - reach, y + reach])
        self.leaders[i].set_data([x, x], [y, self.labels[i].get_position()[1]])
        self.labels[i].set_x(x)

    def _move_way(self, at):
        """From the reading to its correction and across to the scale; beyond it, ends at the edge."""
        x, y, reach = self._x(at.t_c), self._y(at.correction_c), self._y(at.expanded_c)
        inside = abs(y) <= -self.foot
        across = [self.ends[0], y] if inside else [x, y]
        self.way.set_data([x, x, across[0]], [self.foot, y, across[1]])
        self.bar.set_data([x, x], [y - reach, y + reach])
        self.dot.set_data([x], [y])
        self.dot.set_visible(inside)


READING_C = 0.05  # standard uncertainty of the mean of many readings in one bath; invented
WEATHER_PA = {"altitude": 1000.0, "barometer": 100.0}  # standard uncertainty of the pressure; common practice
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
    (-1.04, 0.18)
    """
    ice, hot = ice_point(), boiling_point_at_altitude(altitude_m, pressure_standard_pa=WEATHER_PA[pressure])
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


def words(at, book):
    """The correction in two or three sentences.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()))
    The bench reads 25.0 °C. Corrected by a line by three points, −1.05 °C ± 0.13 °C (k = 2.00), it is
    23.95 °C. At 300 m water boils at 98.98 °C.
    """
    told = (
        f"The bench reads {book.temperature(at.t_c)}. Corrected by {NAMED[at.points]}, "
        f"{_correction(at, book)} (k = {at.k:.2f}), it is {book.temperature(at.corrected_c, 2)}. "
        f"At {at.altitude_m:.0f} m water boils at {book.temperature(at.true_c[2], 2)}."
    )
    return told + warning(at.problems(book))


def _correction(at, book):
    return f"{book.span(at.correction_c, 2, signed=True)} ± {book.span(at.expanded_c, 2)}"


def facts(at, book):
    """Rows of the number table."""
    rows = [
        ("reading", book.temperature(at.t_c)),
        ("correction, true minus reading", _correction(at, book)),
        ("coverage factor", f"{at.k:.2f}"),
        ("corrected reading", book.temperature(at.corrected_c, 2)),
        ("altitude", f"{at.altitude_m:.0f} m"),
        ("boiling point of water", book.temperature(at.true_c[2], 2)),
    ]
    rows += [_point(at, book, i) for i in range(3)]
    rows += [
        (f"residual, {NAMES[i]}", book.span(residual, 2, signed=True))
        for i, residual in zip(at.used, at.residuals_c, strict=True)
    ]
    low, high = (book.temperature(end) for end in at.span_c)
    return [*rows, ("the points reach", f"{low} to {high}"), *(("mind", told) for told in at.problems(book))]


def _point(at, book, i):
    used = "" if i in at.used else ", not used"
    true, reads = book.temperature(at.true_c[i], 2), book.temperature(at.readings_c[i], 2)
    return f"{NAMES[i]}{used}", f"true {true}, reads {reads}, u = {book.span(at.u_c[i], 3)}"


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
    picture=lambda look, book: CalibrationPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 09; `design` from a design file, `start` values of controls by name.

    >>> round(explorer(altitude_m=0.0).result().true_c[2], 3)
    99.974
    """
    return Explorer(PLAN, design, **start)
