"""Chapter 05: the error budget. What each contribution is worth, what they come to, and which to improve first."""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from tempkit.book import Book, tidy
from tempkit.chain import Calibration, Chain, Extras
from tempkit.draw import (
    BLUE,
    EDGE,
    INK,
    ON_PAPER,
    ORANGE,
    PAPER,
    SENSOR,
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
    Stroke,
)
from tempkit.explorers.controls import ACCURACY, BITS, NOISE, TEMPERATURE, Control, _part, noise_of
from tempkit.explorers.stage import Explorer, Plan, minds, warning
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

WARM_C = 40.0  # second point where a design states none
THERMOMETER_U_C = 0.1  # standard uncertainty where a design states none; invented
SWING_C = 10.0  # how far a board may be from where its reference was specified; invented


def _extra(field, also=lambda design: {}):
    """Reader and writer of a field of the budget's extras, zero where a design has none; `also` gives what else is
    written."""

    def get(design):
        return getattr(design.budget or Extras(), field)

    def put(design, value):
        return replace(design, budget=replace(design.budget or Extras(), **{field: value, **also(design)}))

    return {"get": get, "put": put}


def _swing(design):
    """A drift acts where the board may warm; a swing that the design states is kept."""
    return {"board_swing_c": (design.budget or Extras()).board_swing_c or SWING_C}


def _calibration(field, otherwise):
    """Reader and writer of a field of the calibration; without a calibration the control rests."""

    def get(design):
        return getattr(design.calibration, field) if design.calibration else otherwise

    def put(design, value):
        return replace(design, calibration=design.calibration and replace(design.calibration, **{field: value}))

    return {"get": get, "put": put, "only_if": ("calibrated", ("one", "two"))}


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


TOLERANCE = Control(
    "tolerance_percent", "reference, ±", "%", 0.0, 10.0, 0.1, 1, factor=100.0, **_part("reference", "tolerance")
)
DRIFT = Control("drift_ppm", "drift", "ppm/°C", 0.0, 500.0, 5.0, 0, **_extra("reference_drift_ppm_per_c", _swing))
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
KNOWN = _calibration("thermometer_u_c", THERMOMETER_U_C)
THERMOMETER = Control("thermometer_u_c", "thermometer, u", "", 0.0, 1.0, 0.01, 2, scale="span", **KNOWN)
LEFT = Control("left_c", "left over, ±", "", 0.0, 2.0, 0.05, 2, scale="span", **_calibration("left_c", 0.0))
OF_THE_CHAIN = (TEMPERATURE, ACCURACY, TOLERANCE, DRIFT, OFFSET, GAIN, INL, ENOUGH_BITS, NOISE, HEATING, LEAD)


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
    (['reference voltage', 'sensor accuracy'], 5.91)
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


def _of(value, digits=2, sign="±"):
    """What a span of the result [degC] is said as."""
    return lambda at, book: sign + book.span(value(at), digits)


def _trials(at, book):
    low, high = (book.span(end, 2, signed=True) for end in at.simulated_c)
    return f"{low.removesuffix(f' {book.sign}')} to {high}"


def _allowed(place):
    return lambda at, book: f"{at.allowed(book)[place]:g} {book.sign}"


def _verdict(at, book):
    """What the comparison of JCGM 101, clause 8, says."""
    (for_one, for_two), (one, two) = at.holds(book), (_allowed(place)(at, book) for place in (0, 1))
    if for_two:
        return f"within the {two} that two digits of u allow"
    if for_one:
        far = "too far" if for_two is False else "perhaps too far"
        return f"{far} for two digits of u ({two}), near enough for one ({one})"
    if for_one is None:
        return f"more trials must say whether that is too far for one digit of u ({one})"
    return f"too far even for one digit of u ({one}); report the Monte Carlo interval"


def _share(part):
    return f"{100 * part.share:.1f} %"


FACTS = Facts([
    Fact("temperature", "temperature", lambda at, book: book.temperature(at.t_c)),
    Fact("u", "combined standard uncertainty", _of(lambda at: at.budget.standard_c, sign="")),
    Fact("k", "coverage factor k", lambda at, book: f"{at.budget.k:.2f}"),
    Fact("level", "for a probability of", lambda at, book: f"{100 * at.budget.level:g} %"),
    Fact("expanded", "expanded uncertainty U", _of(lambda at: at.budget.expanded_c)),
    Fact("worst", "worst case, sum of the limits", _of(lambda at: at.budget.worst_sum_c)),
    Fact("trials", f"Monte Carlo, {TRIALS} trials", _trials),
    Fact("apart", "its ends lie from those of ±U by up to", _of(lambda at: at.apart_c, 3, "")),
    Fact("blur", "which is known to", _of(lambda at: at.blur_c, 3)),
    Fact("one", "allowed for one digit of u", _allowed(0)),
    Fact("two", "allowed for two digits of u", _allowed(1)),
    Fact("add", "correction to add to a reading", lambda at, book: book.span(at.budget.correction_c, 2, signed=True)),
    Fact("verdict", "", _verdict, table=False),
])


def words(at, book):
    """The sums, the verdict of the trials and what to improve first.

    >>> from tempkit.book import Book
    >>> print(words(explorer().result(), Book()).split(". Monte")[0])
    At 25.0 °C the standard uncertainty is 3.01 °C: expanded ±5.91 °C (k = 1.96), worst case ±6.76 °C
    """
    if at.budget is None:
        return f"There is no budget: {at.refusal(book)}."
    first, second = at.parts[:2]
    told = FACTS.sentences(
        f"At {{temperature}}{' after the calibration' if at.calibrated else ''} the standard uncertainty is {{u}}:"
        " expanded {expanded} (k = {k}), worst case {worst}. Monte Carlo finds {trials}; its ends lie up to {apart}"
        f" from those of ±U: {{verdict}}. Improve first: {first.name}, {_share(first)} of the variance; half of it"
        f" takes {book.span(first.gain_c, 2)} off ±U. Next: {second.name}, {book.span(second.gain_c, 2)}."
    )
    return told(at, book) + warning(at.problems())


def facts(at, book):
    """Rows of the number table: the sums, then every contribution in the order of what to improve first."""
    if at.budget is None:
        return [*Facts(FACTS[:1]).rows(at, book), ("no budget", at.refusal(book))]
    parts = [_row(place, part, book) for place, part in enumerate(at.parts, 1)]
    return [*FACTS.rows(at, book), *parts, *minds(at.problems())]


def _row(place, part, book):
    standard, worst = (
        f"{digits(book.span_from_celsius(span_c))} {book.sign}" for span_c in (part.standard_c, part.worst_c)
    )
    half = f"half of it takes {book.span(part.gain_c, 2)} off ±U"
    return f"{place}. {part.name}", f"u = {standard}, share {_share(part)}, worst case {worst}; {half}"


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
    "lead common to both arms": "common lead",
    "supply of the circuit": "feed",
    "measuring current": "current",
    "amplifier offset": "amp. offset",
    "amplifier gain": "amp. gain",
    "cold-junction sensor": "cold junction",
}

ROWS = {False: 10, True: 4}  # at a desk, in the back row
COLUMNS = {False: {2: 104, 3: 182, 4: 324}, True: {3: 116, 4: 384}}  # right ends [px] from the bars on
FILLED = {"facecolor": BLUE, "edgecolor": INK, "lw": 1}
STRIPED = {"facecolor": PAPER, "edgecolor": INK, "hatch": "////", "lw": 1}


def table(at, book, room):
    """Rows (share, name, u, share in %, what half of it saves), largest first; the last takes together what is left.

    >>> from tempkit.book import Book
    >>> table(explorer().result(), Book(), room=True)[0][1:]
    ('reference', '2.89', '92', '2.61')
    """
    own = at.parts if len(at.parts) <= ROWS[room] else at.parts[: ROWS[room] - 1]
    rest = at.parts[len(own) :]
    rows = [(SHORT.get(part.name, part.name) if room else part.name, part) for part in own]
    if rest:
        together = sqrt(sum(part.standard_c**2 for part in rest))
        rows.append((f"{len(rest)} others", Part("", together, sum(part.share for part in rest), 0.0, None)))

    def told(span_c):
        return "" if span_c is None else tidy(book.span_from_celsius(span_c), 2)

    digits_of_share = 0 if room else 1
    return [
        (part.share, name, told(part.standard_c), tidy(100 * part.share, digits_of_share), told(part.gain_c))
        for name, part in rows
    ]


class Shares:
    """The contributions: name, a bar as long as the share, and in figures u, the share, and what half of it saves."""

    def before(self, panel):
        """The room that the names need [px]."""
        return 248 if panel.look.room else 274

    def beside(self, panel):
        """The room that the columns need [px]."""
        return COLUMNS[panel.look.room][4] + 6

    def build(self, panel):
        room, sign, pixel = panel.look.room, panel.book.sign, 1 / panel.axes.get_window_extent().width
        half, whole = ("half", "") if room else ("half of it", ", 0 to 100 %")
        heads = ("", "", f"u, {sign}", "share, %", f"{half} saves, {sign}")
        top, *ys = 1 - (np.arange(ROWS[room] + 1) + 0.5) / (ROWS[room] + 1)
        up = 0.31 * (top - ys[0])

        def rows(at):
            return list(zip(ys, table(at, panel.book, room), strict=False))

        def cells(x, column, which):
            return lambda at: [(x, y, row[column]) for y, row in rows(at)[which]]

        words, middle = panel.picture.text, {"va": "center_baseline"}
        words(panel.axes, 0, top, f"share of the variance{whole}", bbox=ON_PAPER, **middle)
        marks = [Bars(lambda at: [(0, row[0], y - up, y + up) for y, row in rows(at)], FILLED)]
        for column, right in {1: 10 - self.before(panel) - 1 / pixel, **COLUMNS[room]}.items():
            x, place = 1 + right * pixel, {"ha": "left" if column == 1 else "right", **middle}
            words(panel.axes, x, top, heads[column], **place)
            marks += [
                Named(cells(x, column, slice(1)), bold=True, **place),
                Named(cells(x, column, slice(1, None)), most=len(ys) - 1, **place),
            ]
        moves = [mark.build(panel) for mark in marks]
        return lambda at: [move(at) for move in moves]


REACH_C = {False: 12.0, True: 5.0}  # half of the lower axis: from the specification, after a calibration
BINS = 96
FOOT, BELL = 3.1, 1.4  # of the trials' shape: where it stands and how high is the normal curve
SUMS = {"worst": 0.5, "trials": 1.5, "expanded": 2.5}  # facts, and where they stand


def _reach_c(at):
    return REACH_C[at.calibrated]


def _given(draw, *nothing):
    return lambda at: nothing if at.budget is None else draw(at)


def _shape(at):
    """How often a trial falls where, as stairs (error [degC], foot, top), on the scale of the normal curve."""
    edges = np.linspace(-_reach_c(at), _reach_c(at), BINS + 1)
    density = np.histogram(at.trials_c, edges)[0] / (at.trials_c.size * (edges[1] - edges[0]))
    high = BELL * density * at.budget.standard_c * sqrt(2 * np.pi)
    return np.repeat(edges, 2)[1:-1], FOOT, FOOT + np.repeat(high, 2)


def _bell(at):
    x = np.linspace(-_reach_c(at), _reach_c(at), 4 * BINS + 1)
    return x, FOOT + BELL * np.exp(-0.5 * (x / at.budget.standard_c) ** 2)


def _ends(at):
    """Ends of the three intervals [degC]."""
    u, worst = at.budget.expanded_c, at.budget.worst_sum_c
    return {"worst": (-worst, worst), "trials": at.simulated_c, "expanded": (-u, u)}


def _bar(key):
    return _given(lambda at: [(*_ends(at)[key], SUMS[key] - 0.3, SUMS[key] + 0.3)])


def _between_ticks(at):
    """The Monte Carlo interval: a line between two ticks."""
    (low, high), thin, y = at.simulated_c, 0.008 * _reach_c(at), SUMS["trials"]
    return [(low, high, y - 0.1, y + 0.1), *((end - thin, end + thin, y - 0.3, y + 0.3) for end in (low, high))]


def _beyond(side):
    """Arrows where an interval goes on beyond the axis."""

    def places(at):
        over = [SUMS[key] for key, ends in _ends(at).items() if side * ends[side > 0] > _reach_c(at)]
        return [side * 0.975 * _reach_c(at)] * len(over), over

    return Line(_given(places, (), ()), TRUTH, dots="<" if side < 0 else ">", joined=False, size=3.0)


def _figures(at):
    """What stands beside the trials and the intervals."""

    def curve(panel):
        return "dashed: normal" if panel.look.room else "dashed: normal curve with the same u"

    def said(key):
        more = "   (k = {k}, {level})" if key == "expanded" else ""
        return lambda panel: FACTS.sentences(f"{{{key}}}{'' if panel.look.room else more}")(at, panel.book)

    rows = [(FOOT + BELL / 2, curve), *((y, said(key)) for key, y in SUMS.items())]
    return [(1.05 * _reach_c(at), *row) for row in rows]


NAMED_SUMS = zip((*SUMS.values(), FOOT + BELL / 2), ("worst case", "Monte Carlo", "expanded ±U", "trials"), strict=True)
PLAN = Plan(
    "What each contribution is worth",
    (*OF_THE_CHAIN, CALIBRATED, THERMOMETER, LEFT),
    compute,
    Charts(
        Chart(
            Axis(ticks=((0, ""), (0.5, ""), (1, ""))),
            Axis(ticks=()),
            (
                Shares(),
                Named(lambda at: [] if at.budget else [(0.5, 0.4, "no budget here")], ha="center", paper=True),
            ),
            tall=1.15,
        ),
        Chart(
            Axis("error", scale="span", span=lambda at: (-_reach_c(at), _reach_c(at))),
            Axis(span=(0, 5), ticks=tuple(NAMED_SUMS)),
            (
                Levels(lambda at: [0.0], EDGE, upright=True, most=1),
                Area(_given(_shape, (), (), ()), {"facecolor": ORANGE, "lw": 0}, edges=Stroke(INK, width=0.3)),
                Line(_given(_bell, (), ()), SENSOR),
                Bars(_bar("expanded"), FILLED),
                Bars(_bar("worst"), STRIPED),
                Bars(_given(_between_ticks), {"facecolor": ORANGE, "lw": 0}),
                _beyond(-1),
                _beyond(1),
                Named(_given(_figures), most=4, va="center_baseline"),
            ),
        ),
    ),
    words,
    facts,
)


def explorer(design=None, **start):
    """The explorer of chapter 05; `design` from a design file, `start` values of controls by name.

    >>> explorer(calibrated="two").result().parts[0].name
    'thermometer of the calibration'
    """
    return Explorer(PLAN, design, **start)
