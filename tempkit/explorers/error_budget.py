"""Chapter 05: the error budget. What each contribution is worth, what they come to, and which to improve first."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from tempkit.book import Book, tidy
from tempkit.chain import Calibration, Chain, Extras
from tempkit.draw import BLUE, INK, ORANGE, PAPER, QUIET, Picture
from tempkit.explorers.controls import ACCURACY, BITS, NOISE, TEMPERATURE, Control, _part, noise_of
from tempkit.explorers.lens import DASHES, rectangle
from tempkit.explorers.stage import Explorer, Plan, warning
from tempkit.text import digits
from tempkit.uncertainty import (
    ChainBudget,
    Propagated,
    before_after,
    chain_budget,
    compare,
    numerical_tolerance,
    refusal,
)

# --- The controls of chapter 05: one for each contribution of a chain's error budget.

WARM_C = 40.0  # second point where a design states none
THERMOMETER_U_C = 0.1  # standard uncertainty where a design states none; invented
SWING_C = 10.0  # how far a board may be from where its reference was specified; invented


def _extra(field, **more):
    """Reader and writer of a field of the budget's extras; a design without them has zeros."""

    def get(design):
        return getattr(design.budget or Extras(), field)

    def put(design, value):
        return replace(design, budget=replace(design.budget or Extras(), **{field: value, **more}))

    return {"get": get, "put": put}


def _put_drift(design, value):
    """A drift acts where the board may warm; a swing that the design states is kept."""
    swing_c = (design.budget or Extras()).board_swing_c or SWING_C
    return _extra("reference_drift_ppm_per_c", board_swing_c=swing_c)["put"](design, value)


def _points(design):
    if design.calibration is None:
        return "none"
    return "one" if design.calibration.second_c is None else "two"


def _put_points(design, value):
    """The points that a design states are kept as far as the choice has room for them."""
    stated = design.calibration or Calibration(first_c=0.0, thermometer_u_c=THERMOMETER_U_C)
    far_c = WARM_C if stated.first_c != WARM_C else 0.0
    second_c = far_c if stated.second_c is None else stated.second_c
    made = {"none": None, "one": replace(stated, second_c=None), "two": replace(stated, second_c=second_c)}
    return replace(design, calibration=made[value])


def _calibration(field, otherwise):
    """Reader and writer of a field of the calibration; without a calibration the control rests."""

    def get(design):
        return getattr(design.calibration, field) if design.calibration else otherwise

    def put(design, value):
        made = design.calibration and replace(design.calibration, **{field: value})
        return replace(design, calibration=made)

    return {"get": get, "put": put, "only_if": ("calibrated", ("one", "two"))}


TOLERANCE = Control(
    "tolerance_percent", "reference, ±", "%", 0.0, 10.0, 0.1, 1, factor=100.0, **_part("reference", "tolerance")
)
DRIFT = Control(
    "drift_ppm",
    "drift",
    "ppm/°C",
    0.0,
    500.0,
    5.0,
    0,
    get=_extra("reference_drift_ppm_per_c")["get"],
    put=_put_drift,
)
OFFSET = Control("offset_lsb", "offset, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "offset_lsb"))
GAIN = Control("gain_lsb", "gain, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "gain_lsb"))
INL = Control("inl_lsb", "INL, ±", "steps", 0.0, 8.0, 0.1, 1, **_part("converter", "inl_lsb"))
ENOUGH_BITS = replace(BITS, low=6)
HEATING = Control("heating_c", "self-heating", "", 0.0, 2.0, 0.05, 2, scale="span", **_extra("self_heating_c"))
LEAD = Control("lead_mv", "lead drop", "mV", 0.0, 10.0, 0.1, 1, factor=1000.0, **_extra("lead_drop_v"))
CALIBRATED = Control(
    "calibrated",
    "calibrated at",
    options=(("none", "no point"), ("one", "one point"), ("two", "two points")),
    get=_points,
    put=_put_points,
)
THERMOMETER = Control(
    "thermometer_u_c",
    "thermometer, u",
    "",
    0.0,
    1.0,
    0.01,
    2,
    scale="span",
    **_calibration("thermometer_u_c", THERMOMETER_U_C),
)
LEFT = Control("left_c", "left over, ±", "", 0.0, 2.0, 0.05, 2, scale="span", **_calibration("left_c", 0.0))


# --- The picture of chapter 05: contributions as bars of share, and what they come to in three ways on one axis.

REACH_C = {False: 12.0, True: 5.0}  # half of the lower axis: from the specification, after a calibration
BINS = 96
SUMS = ("expanded ±U", "Monte Carlo", "worst case")
SHORT = {
    "sensor accuracy": "sensor",
    "reference voltage": "reference",
    "reference drift": "drift",
    "converter offset": "offset",
    "converter gain, at full scale": "gain",
    "converter INL": "INL",
    "noise at the pin": "noise",
    "thermometer of the calibration": "thermometer",
    "readings at the first point": "1st point",
    "readings at the second point": "2nd point",
    "sensor, away from the points": "sensor, left",
    "thermistor at 25 degC": "thermistor",
    "thermistor's beta": "beta",
    "fixed resistor": "resistor",
    "bridge, above the sensor": "bridge, side",
    "bridge, above the balance": "bridge, far",
    "bridge, balance resistor": "balance",
    "lead resistance": "leads",
    "lead common to both arms": "shared lead",
    "supply of the circuit": "feed",
    "measuring current": "current",
    "amplifier offset": "amp. offset",
    "amplifier gain": "amp. gain",
    "cold-junction sensor": "cold junction",
}


class BudgetPicture(Picture):
    """Shows a `tempkit.explorers.error_budget.Budgeted`.

    Above, one bar a contribution, largest first, as long as its share of the variance; the last row takes the rest
    together. Beside it stand the standard uncertainty and what half of it would take off U. Below, on one axis, the
    shape of the trials with the normal curve of the same u dashed over it, the expanded uncertainty (filled), the
    Monte Carlo interval (a line between two ticks) and the worst case (hatched).
    """

    def __init__(self, look=None, book=None):
        super().__init__(look)
        self.book = book or Book()
        room = self.look.room
        self.rows, self.pitch = (4, 42) if room else (10, 23)
        self.left, self.right = (248, 684) if room else (250, 620)
        self.columns = {"share": 800, "gain": 1068} if room else {"u": 728, "share": 812, "gain": 944}
        self.top = self.look.size[1] - (44 if room else 26)
        self.name_x = 10

    def frame(self, at):
        return at.calibrated

    def build(self, frame):
        width, height = self.lay_page()
        page = self.page
        self._heads(page)
        self._bars(page)
        self._intervals(page, REACH_C[frame])
        place = {"ha": "center", "va": "center", "zorder": 20}
        self.nothing = self.moving(
            self.text(page, (self.left + self.right) / 2, self._row_y(1), "no budget here", **place)
        )
        self.nothing.set_bbox({"facecolor": PAPER, "edgecolor": INK, "pad": 8})

    # ---- what stands above

    def _heads(self, page):
        room = self.look.room
        y = self.top + 6
        self.text(page, self.left, y, "share of the variance" + ("" if room else ", 0 to 100 %"))
        saves = "half saves" if room else "half of it saves"
        names = {"share": "share, %", "gain": f"{saves}, {self.book.sign}", "u": f"u, {self.book.sign}"}
        for column, x in self.columns.items():
            self.text(page, x, y, names[column], ha="right")

    def _bars(self, page):
        last = self.top - self.rows * self.pitch
        for x in (self.left, (self.left + self.right) / 2, self.right):
            page.plot([x, x], [last, self.top], color=QUIET, lw=1, zorder=1)
        self.bars, self.names, self.cells = [], [], []
        for i in range(self.rows):
            y = self._row_y(i)
            up = self.pitch * 0.62
            style = {"facecolor": BLUE, "edgecolor": INK, "lw": 1, "zorder": 2 + i / 100}
            self.bars.append(self.moving(rectangle(page, self.left, y - up / 2, 0, up, **style)))
            line = {"va": "center_baseline", "zorder": 3 + i / 100, "bold": i == 0}
            self.names.append(self.moving(self.text(page, self.name_x, y, **line)))
            cells = {column: self.text(page, x, y, ha="right", **line) for column, x in self.columns.items()}
            self.moving(*cells.values())
            self.cells.append(cells)

    def _row_y(self, i):
        return self.top - (i + 0.5) * self.pitch

    # ---- what stands below

    def _intervals(self, page, reach_c):
        room = self.look.room
        foot, tall = (84, 36) if room else (58, 26)
        self.reach = self.book.span_from_celsius(reach_c)
        box = (self.left, foot, self.right - self.left, 3 * tall)
        axes = self.chart(box, f"error, {self.book.sign}", "", (-self.reach, self.reach), (3, 0))
        step = (reach_c // 2.2) * (2 if self.book.scale == "degF" else 1)
        axes.set_xticks([step * count for count in ((-2, 0, 2) if room else (-2, -1, 0, 1, 2))])
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.axvline(0, color=QUIET, lw=1.2, zorder=1.5)
        sizes = [self.text(page, self.right + 14, 0, va="center_baseline", zorder=6 + i / 10) for i in range(3)]
        self.sizes = self._placed(page, sizes, foot, tall)
        line = self.look.line
        self.expanded = self.moving(rectangle(axes, 0, 0.2, 0, 0.6, facecolor=BLUE, edgecolor=INK, lw=1, zorder=3))
        hatch = {"facecolor": PAPER, "edgecolor": INK, "hatch": "////", "lw": 1, "ls": DASHES}
        self.worst = self.moving(rectangle(axes, 0, 2.2, 0, 0.6, zorder=3.1, **hatch))
        trials = {"color": ORANGE, "lw": line * 1.4, "marker": "|", "ms": tall * 0.5, "mew": line * 1.4, "zorder": 3.2}
        self.trials = self.plotted(axes, solid_capstyle="butt", **trials)
        beyond = {"color": INK, "ls": "", "ms": tall * 0.3, "clip_on": False, "zorder": 5}
        self.beyond = [self.plotted(axes, marker=marker, **beyond) for marker in ("<", ">")]

        self._curve(page, foot + 3 * tall + (4 if room else 10))

    def _curve(self, page, foot):
        up = self.top - self.rows * self.pitch - foot - 12
        axes = self.figure.add_axes(self.part(self.left, foot, self.right - self.left, up))
        axes.set(xlim=(-self.reach, self.reach), ylim=(0, 1.35), facecolor="none")
        axes.axis("off")
        trials = {"facecolor": ORANGE, "edgecolor": INK, "lw": 0.8, "zorder": 3}
        self.edges = np.linspace(-self.reach, self.reach, BINS + 1)
        self.shape = self.moving(axes.stairs(np.zeros(BINS), self.edges, fill=True, **trials))
        style = {"color": BLUE, "lw": self.look.line, "ls": DASHES, "zorder": 4}
        self.bell = self.plotted(axes, **style)
        y = foot + up / 2
        self.text(page, self.name_x, y, "trials", va="center_baseline")
        told = "dashed: normal" if self.look.room else "dashed: normal curve with the same u"
        self.text(page, self.right + 14, y, told, va="center_baseline")

    def _placed(self, page, sizes, foot, tall):
        for i, artist in enumerate(sizes):
            y = foot + (2.5 - i) * tall
            self.text(page, self.name_x, y, SUMS[i], va="center_baseline")
            artist.set_y(y)
        self.moving(*sizes)
        return sizes

    # ---- moving

    def move(self, at):
        self.nothing.set_visible(at.budget is None)
        shown = self._shown(at.parts)
        for i in range(self.rows):
            self._move_row(i, shown[i] if i < len(shown) else None)
        self._move_sums(at)
        self._move_curve(at)

    def _shown(self, parts):
        """(name, share, u [degC], gain [degC]) of the rows; what has no row of its own is taken together."""
        own = parts if len(parts) <= self.rows else parts[: self.rows - 1]
        rows = [(self._name(part.name), part.share, part.standard_c, part.gain_c) for part in own]
        rest = parts[len(own) :]
        if rest:
            together = sum(part.standard_c**2 for part in rest) ** 0.5
            rows.append((f"{len(rest)} others", sum(part.share for part in rest), together, None))
        return rows

    def _name(self, name):
        return SHORT.get(name, name) if self.look.room else name

    def _move_row(self, i, row):
        name, share, standard_c, gain_c = row or ("", 0.0, 0.0, None)
        self.names[i].set_text(name)
        self.bars[i].set_width(max(share, 0.0) * (self.right - self.left))
        self.bars[i].set_visible(row is not None)
        texts = {
            "u": tidy(self.book.span_from_celsius(standard_c), 2),
            "share": tidy(100 * share, 0 if self.look.room else 1),
            "gain": "" if gain_c is None else tidy(self.book.span_from_celsius(gain_c), 2),
        }
        for column, artist in self.cells[i].items():
            artist.set_text(texts[column] if row else "")

    def _move_sums(self, at):
        ends = [(0.0, 0.0)] * 3
        for artist in (self.expanded, self.worst, self.trials):
            artist.set_visible(at.budget is not None)
        if at.budget is not None:
            ends = [(-at.budget.expanded_c, at.budget.expanded_c), at.simulated_c]
            ends.append((-at.budget.worst_sum_c, at.budget.worst_sum_c))
        ends = [tuple(self.book.span_from_celsius(end) for end in pair) for pair in ends]
        for artist, (low, high) in ((self.expanded, ends[0]), (self.worst, ends[2])):
            artist.set(x=low, width=high - low)
        self.trials.set_data(ends[1], [1.5, 1.5])
        for artist, side in zip(self.beyond, (-1, 1), strict=True):
            over = [i + 0.5 for i, pair in enumerate(ends) if side * pair[side > 0] > self.reach]
            artist.set_data([side * self.reach] * len(over), over)
        for artist, told in zip(self.sizes, self._told(at), strict=True):
            artist.set_text(told)

    def _move_curve(self, at):
        """Heights as parts of the normal curve's top, whatever u is."""
        self.bell.set_visible(at.budget is not None)
        self.shape.set_visible(at.budget is not None)
        if at.budget is None:
            return
        u = self.book.span_from_celsius(at.budget.standard_c)
        off = self.book.span_from_celsius(at.trials_c)
        counts = np.histogram(off, self.edges)[0]
        width = self.edges[1] - self.edges[0]
        self.shape.set_data(values=counts / (off.size * width) * u * np.sqrt(2 * np.pi))
        x = np.linspace(-self.reach, self.reach, 4 * BINS + 1)
        self.bell.set_data(x, np.exp(-0.5 * (x / u) ** 2))

    def _told(self, at):
        if at.budget is None:
            return "", "", ""
        low, high = (self.book.span(end, 2, signed=True) for end in at.simulated_c)
        expanded, worst = (self.book.span(each, 2) for each in (at.budget.expanded_c, at.budget.worst_sum_c))
        k = "" if self.look.room else f"   (k = {at.budget.k:.2f}, {100 * at.budget.level:g} %)"
        return f"±{expanded}{k}", f"{low.removesuffix(f' {self.book.sign}')} to {high}", f"±{worst}"


TRIALS, BLOCKS, SEED = 50_000, 10, 1
LEVEL = 0.95
NOTHING_C = 1e-9  # what arithmetic leaves of a contribution that a calibration takes out


@dataclass(frozen=True)
class Part:
    """One contribution: its standard uncertainty [degC], share of the variance (0 to 1), worst case [degC], and
    `gain_c`: by how much the expanded uncertainty falls when this one is halved [degC].

    >>> Part("noise at the pin", 0.05, 0.25, 0.15, 0.02).gain_c
    0.02
    """

    name: str
    standard_c: float
    share: float
    worst_c: float
    gain_c: float


@dataclass(frozen=True, eq=False)
class Budgeted:
    """The budget of a reading at the true temperature `t_c` [degC], with Monte Carlo beside it.

    `parts` has the largest first. `trials_c`: Monte Carlo trials less the reading, an array, and `simulated_c` the
    ends of their interval [degC].
    `apart_c`: how far an end of it lies from that of the first-order interval, known to +-`blur_c` as the blocks of
    the trials scatter [degC]. Where there is no budget, `budget` is None and the rest is empty; `seen_c` has the
    temperatures that must be seen: this one and the points of the calibration.
    """

    t_c: float
    chain: Chain
    seen_c: tuple
    budget: ChainBudget | None = None
    parts: tuple = ()
    trials_c: np.ndarray | None = None
    simulated_c: tuple = ()
    apart_c: float = 0.0
    blur_c: float = 0.0

    @property
    def calibrated(self):
        """True for the budget after a calibration."""
        return len(self.seen_c) > 1

    def allowed(self, book):
        """What one and two digits of u, written in the reader's scale, let the ends be apart, in that scale.

        Source: JCGM 101:2008, 7.9.2 and clause 8.
        """
        return tuple(numerical_tolerance(book.span_from_celsius(self.budget.standard_c), count) for count in (1, 2))

    def holds(self, book):
        """Whether the first-order interval holds to one and to two digits; None where more trials must say."""
        apart, blur = book.span_from_celsius(self.apart_c), book.span_from_celsius(self.blur_c)
        return tuple(None if abs(apart - room) < blur else apart < room for room in self.allowed(book))

    def refusal(self, book):
        """Why there is no budget, as a sentence part; empty where there is one."""
        return next(filter(None, (refusal(self.chain, t_c, book) for t_c in self.seen_c)), "")

    def problems(self):
        """What deserves a second look, one sentence each."""
        if self.chain.reference.true_v is not None and not self.calibrated:
            yield "the reference was measured, so its tolerance plays no part; a correction takes its place"


def gain_c(standard_c, part_c, k):
    """By how much an expanded uncertainty falls when one independent contribution to it is halved [degC].

    standard_c : combined standard uncertainty; part_c : the contribution in it, both [degC] and 0 or more;
    k : coverage factor. u² loses three quarters of part_c². Source: JCGM 100:2008, 5.1.2.

    >>> round(gain_c(5.0, 4.0, 2.0), 3)
    2.789
    """
    return k * (standard_c - sqrt(max(standard_c**2 - 0.75 * part_c**2, 0.0)))


def compute(design, t_c):
    """The budget of a design at a true temperature [degC]; after its calibration, where it has one.

    >>> from tempkit.explorers.stage import north_bench
    >>> at = compute(north_bench(), 25.0)
    >>> [part.name for part in at.parts][:2], round(at.budget.expanded_c, 2)
    (['reference voltage', 'sensor accuracy'], 4.81)
    """
    design = replace(design, noise=noise_of(design))
    seen_c = (float(t_c), *(design.calibration.points_c if design.calibration else ()))
    at = Budgeted(float(t_c), design.chain, seen_c)
    if at.refusal(Book()):
        return at
    budget = chain_budget(design, t_c, LEVEL)
    if design.calibration:
        budget = before_after(budget, design.calibration).after
    return replace(at, budget=budget, parts=_parts(budget), **_against_trials(budget))


def _parts(budget):
    """Contributions, largest first; those that come to nothing stay in the budget's order."""
    rows = [replace(row, standard_c=0.0, worst_c=0.0) if row.standard_c < NOTHING_C else row for row in budget.rows]
    gains = [gain_c(budget.standard_c, row.standard_c, budget.k) for row in rows]
    parts = [
        Part(row.name, row.standard_c, row.share, row.worst_c, gain) for row, gain in zip(rows, gains, strict=True)
    ]
    return tuple(sorted(parts, key=lambda part: -part.standard_c))


def _against_trials(budget):
    simulated = budget.simulated(TRIALS, SEED)
    judged = compare(Propagated(budget.reading_c, budget.standard_c, budget.dof, ()), simulated, level=budget.level)
    low, high = (end - budget.reading_c for end in simulated.interval(budget.level))
    own = {"trials_c": simulated.values - budget.reading_c, "simulated_c": (low, high)}
    return {**own, "apart_c": max(judged.d_low, judged.d_high), "blur_c": _blur(simulated.values, budget.level)}


def _blur(trials, level):
    """Twice the standard deviation of the mean of an end of the interval, from blocks (JCGM 101:2008, 7.9.4)."""
    tail = (1 - level) / 2
    ends = np.quantile(trials.reshape(BLOCKS, -1), (tail, 1 - tail), axis=1)
    return 2 * float(ends.std(axis=1, ddof=1).max()) / sqrt(BLOCKS)


def words(at, book):
    """The sums, the verdict of the trials and what to improve first.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()).split(". Monte")[0])
    At 25.0 °C the standard uncertainty is 2.45 °C: expanded ±4.81 °C (k = 1.96), worst case ±5.96 °C
    """
    told = at.refusal(book)
    if told:
        return f"There is no budget: {told}."
    return " ".join([_sums(at, book), _clause_8(at, book), _first(at, book)]) + warning(at.problems())


def _sums(at, book):
    budget, after = at.budget, " after the calibration" if at.calibrated else ""
    return (
        f"At {book.temperature(at.t_c)}{after} the standard uncertainty is {book.span(budget.standard_c, 2)}: "
        f"expanded ±{book.span(budget.expanded_c, 2)} (k = {budget.k:.2f}), "
        f"worst case ±{book.span(budget.worst_sum_c, 2)}."
    )


def _clause_8(at, book):
    """What the comparison of JCGM 101, clause 8, says."""
    low, high = (book.span(end, 2, signed=True) for end in at.simulated_c)
    return (
        f"Monte Carlo finds {low} to {high}; its ends lie up to {book.span(at.apart_c, 3)} from those of ±U: "
        f"{_verdict(at, book)}."
    )


def _verdict(at, book):
    (for_one, for_two), (one, two) = at.holds(book), _allowed(at, book)
    if for_two:
        return f"within the {two} that two digits of u allow"
    if for_one:
        far = "too far" if for_two is False else "perhaps too far"
        return f"{far} for two digits of u ({two}), near enough for one ({one})"
    if for_one is None:
        return f"more trials must say whether that is too far for one digit of u ({one})"
    return f"too far even for one digit of u ({one}); report the Monte Carlo interval"


def _allowed(at, book):
    return (f"{allowed:g} {book.sign}" for allowed in at.allowed(book))


def _first(at, book):
    first, second = at.parts[:2]
    return (
        f"Improve first: {first.name}, {_share(first)} of the variance; half of it takes "
        f"{book.span(first.gain_c, 2)} off ±U. Next: {second.name}, {book.span(second.gain_c, 2)}."
    )


def facts(at, book):
    """Rows of the number table: the sums, then every contribution in the order of what to improve first."""
    if at.budget is None:
        return [("temperature", book.temperature(at.t_c)), ("no budget", at.refusal(book))]
    budget = at.budget
    low, high = (book.span(end, 2, signed=True) for end in at.simulated_c)
    rows = [
        ("temperature", book.temperature(at.t_c)),
        ("combined standard uncertainty", book.span(budget.standard_c, 2)),
        ("coverage factor", f"{budget.k:.2f} for {100 * budget.level:g} %"),
        ("expanded uncertainty U", f"±{book.span(budget.expanded_c, 2)}"),
        ("worst case, sum of the limits", f"±{book.span(budget.worst_sum_c, 2)}"),
        (f"Monte Carlo, {TRIALS} trials", f"{low} to {high}"),
        ("its ends lie from those of ±U", f"up to {book.span(at.apart_c, 3)}, known to ±{book.span(at.blur_c, 3)}"),
        *zip(("allowed for one digit of u", "allowed for two digits of u"), _allowed(at, book), strict=True),
        ("correction to add to a reading", book.span(budget.correction_c, 2, signed=True)),
    ]
    rows += [_fact(place, part, book) for place, part in enumerate(at.parts, 1)]
    return [*rows, *(("mind", told) for told in at.problems())]


def _share(part):
    return f"{100 * part.share:.1f} %"


def _fact(place, part, book):
    return f"{place}. {part.name}", (
        f"u = {_small(part.standard_c, book)}, share {_share(part)}, worst case {_small(part.worst_c, book)}; "
        f"half of it takes {book.span(part.gain_c, 2)} off ±U"
    )


def _small(span_c, book):
    return f"{digits(book.span_from_celsius(span_c))} {book.sign}"


PLAN = Plan(
    title="What each contribution is worth",
    controls=(
        TEMPERATURE,
        ACCURACY,
        TOLERANCE,
        DRIFT,
        OFFSET,
        GAIN,
        INL,
        ENOUGH_BITS,
        NOISE,
        HEATING,
        LEAD,
        CALIBRATED,
        THERMOMETER,
        LEFT,
    ),
    compute=compute,
    picture=lambda look, book: BudgetPicture(look, book),
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 05; `design` from a design file, `start` values of controls by name.

    >>> explorer(calibrated="two").result().parts[0].name
    'thermometer of the calibration'
    """
    return Explorer(PLAN, design, **start)
