"""A requirement in a few numbers, and a design held against it: lines that pass or fail, each with its margin."""

from dataclasses import dataclass, replace
from math import hypot, inf, isinf

import numpy as np

from tempkit.alarm import alarm_delay, deadband_alarm
from tempkit.ranges import LARGEST, floats
from tempkit.signal import Ramp, smoothed_noise_ratio, smoothing_factor
from tempkit.uncertainty import NAMES, ChainModel, guard_band, inputs_of, propagate

CHATTER = 3  # raises a minute that count as chattering; common practice, no source
MISFITS, PRICE = "parts that do not fit each other", "price (invented)"
TEMPERATURES = ("coldest reading", "warmest reading")  # all other lines in degC are spans
LEAD_C = 10.0  # the change that the alarm is timed on starts so far inside a limit and ends so far outside


@dataclass(frozen=True)
class Requirement:
    """What a bench has to do, said without naming a part.

    range_c : coldest and warmest temperature that must be read [degC]; low_c, high_c : (silent, called) [degC]: silent
    at the first and called at the second, each with one-sided probability `level`; the best place for the alarm's own
    limit is midway.
    rate_c_per_min : how fast the temperature passes a limit at most [degC/min], above 0; late_s : by how much the call
    may then be late [s]; raises_per_min : calls a minute on the limit itself, below which no one calls it chattering;
    price : most that the parts may cost, in the currency of the catalogue. Raises `ValueError` where these cannot hold.

    >>> Requirement().limits_c
    (18.0, 27.0)
    """

    range_c: tuple = (0.0, 45.0)
    low_c: tuple = (19.0, 17.0)
    high_c: tuple = (26.0, 28.0)
    level: float = 0.95
    rate_c_per_min: float = 0.5
    late_s: float = 60.0
    raises_per_min: float = float(CHATTER)
    price: float = 12.0

    def __post_init__(self):
        for name in ("range_c", "low_c", "high_c"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        ends = (self.range_c[0], self.low_c[1], self.low_c[0], self.high_c[0], self.high_c[1], self.range_c[1])
        if not all(first < second for first, second in zip(ends, ends[1:], strict=False)):
            told = ", ".join(f"{end:g}" for end in ends)
            raise ValueError(
                f"{told} degC must rise: coldest, called low, silent low, silent high, called high, warmest"
            )
        if not 0.5 < self.level < 1:
            raise ValueError(f"level {self.level:g} is outside 0.5 to 1: it is a probability, 0.95 is usual")
        for name, unit in (("rate_c_per_min", "degC/min"), ("late_s", "s"), ("raises_per_min", "1/min"), ("price", "")):
            if not getattr(self, name) > 0:
                raise ValueError(f"{name} {getattr(self, name):g} {unit} must be above 0: say what is allowed")

    @property
    def limits_c(self):
        """Where the alarm's limits go [degC]: midway between silent and called."""
        return sum(self.low_c) / 2, sum(self.high_c) / 2

    @property
    def room_c(self):
        """How far these limits lie from silent, and from called [degC]: low side and high side."""
        return self.room_at_c(*self.limits_c)

    @property
    def silent_room_c(self):
        """How far these limits lie from silent [degC], whichever side is nearer: the widest deadband."""
        return self.back_room_c(*self.limits_c)

    def room_at_c(self, low_c, high_c):
        """How far limits at `low_c` and `high_c` [degC] lie from silent or called, whichever is nearer; below 0 where a
        limit lies outside both.

        >>> Requirement().room_at_c(18.0, 27.75)
        (1.0, 0.25)
        """
        (silent_low, called_low), (silent_high, called_high) = self.low_c, self.high_c
        return min(silent_low - low_c, low_c - called_low), min(high_c - silent_high, called_high - high_c)

    def back_room_c(self, low_c, high_c):
        """How far limits at `low_c` and `high_c` [degC] lie from silent, whichever is nearer."""
        return min(self.low_c[0] - low_c, high_c - self.high_c[0])


@dataclass(frozen=True)
class Line:
    """One line of the table: what is wanted of `name`, what the design does, and by how much that is better [unit].

    `most` : the wanted number is the most allowed; else the least. A margin of 0 passes, one below 0 fails.

    >>> Line("late by", "s", 150.0, 120.0).margin, Line("warmest reading", "degC", 45.0, 40.0, most=False).passes
    (30.0, False)
    """

    name: str
    unit: str
    wanted: float
    does: float
    most: bool = True

    @property
    def margin(self):
        """Positive where the design is better than wanted [unit]."""
        return self.wanted - self.does if self.most else self.does - self.wanted

    @property
    def passes(self):
        """True where the design does what is wanted."""
        return bool(self.margin >= 0)

    @property
    def used(self):
        """The part of what is allowed that the design uses up [1]; None where there is no such part.

        >>> Line("late by", "s", 150.0, 120.0).used
        0.8
        """
        return self.does / self.wanted if self.most and self.wanted > 0 and self.name not in TEMPERATURES else None


def binding(lines):
    """The line that uses up most of what it is allowed, of those that pass; None where there is none.

    >>> binding((Line("late by", "s", 150.0, 120.0), Line("deadband", "degC", 1.0, 0.5))).name
    'late by'
    """
    close = [line for line in lines if line.passes and line.used is not None]
    return max(close, key=lambda line: line.used, default=None)


def doubt(design, t_c):
    """What a design's readings are worth at one true temperature [degC], without a look at steps in between: `Doubt`.

    The same quantities and the same first-order formula as `tempkit.uncertainty.chain_budget`, and nothing else, so
    that thousands of designs can be asked. Raises `ValueError` outside the sensor's range.
    """
    given = {key: each for key, each in inputs_of(design, t_c).items() if each is not None}
    model = ChainModel(design.chain, t_c, tuple(given))
    found = propagate(model, tuple(given.values()))
    own = {line.name: line.standard for line in found.contributions}
    return Doubt(found.standard, own.get(NAMES["noise"], 0.0), found.value - t_c)


@dataclass(frozen=True)
class Doubt:
    """`standard_c` : combined standard uncertainty of a reading; `noise_c` : the part of it that is noise; `bias_c` :
    by how much the reading is off with every quantity at its best estimate, all [degC].

    >>> round(Doubt(0.5, 0.3, 0.0).stays_c, 3)
    0.4
    """

    standard_c: float
    noise_c: float
    bias_c: float

    @property
    def stays_c(self):
        """The part that stays the same from reading to reading [degC]."""
        return max(self.standard_c**2 - self.noise_c**2, 0.0) ** 0.5

    def smoothed(self, ratio):
        """The same after smoothing that leaves `ratio` of the noise."""
        noise_c = self.noise_c * ratio
        return replace(self, standard_c=hypot(self.stays_c, noise_c), noise_c=noise_c)

    def guard_c(self, level):
        """How far silent and called must lie from the limit for a one-sided probability `level` [degC]."""
        return (guard_band(self.standard_c, level) if self.standard_c else 0.0) + abs(self.bias_c)


def noise_left(design):
    """Part of the noise that the design's smoothing leaves [1]; 1 where it has none."""
    tau_s = design.smoothing.tau_s if design.smoothing else 0.0
    return smoothed_noise_ratio(smoothing_factor(design.alarm.sample_period_s, tau_s)) if tau_s else 1.0


def raises_per_min(deadband_c, noise_c, period_s):
    """Calls a minute with the true temperature amid the deadband [1/min], where they come most often; scalar or array.

    noise_c [degC] of independent readings `period_s` [s] apart; no delays, so fewer in truth. 0 without noise.
    Source: two-state chain, `tempkit.alarm.deadband_alarm`.

    >>> round(raises_per_min(0.5, 0.5, 1.0), 1)
    9.3
    """
    noise = floats(noise_c, "noise_c")
    with np.errstate(divide="ignore"):
        band = np.where(noise > 0, deadband_c / np.where(noise > 0, noise, 1.0), LARGEST)
    raises = deadband_alarm(-band / 2, band).raises_per_1000 * 0.06 / period_s
    return raises if np.ndim(raises) else float(raises)


def late_s(design, requirement):
    """By how much the call is late at most, on the warm side and on the cold side, whichever is worse [s].

    Counted from the moment when the true temperature passes the design's own limit.
    """
    low_c, high_c = design.alarm.low_c, design.alarm.high_c
    rate = requirement.rate_c_per_min
    ways = (Ramp(high_c - LEAD_C, high_c + LEAD_C, rate), Ramp(low_c + LEAD_C, low_c - LEAD_C, rate))
    return max(alarm_delay(design, way).output_worst_s for way in ways)


def check(design, requirement, price=None):
    """A design against a `Requirement`: a tuple of `Line`, in a fixed order.

    price : of its parts, None leaves that line out. A limit that the chain cannot see gives lines that fail by
    infinity. Raises `ValueError` for a design whose alarm has not both limits. To first order; smoothed readings are
    taken as independent, and delays are left out of the probabilities: both err to the safe side for chattering.
    """
    alarm = design.alarm
    if alarm is None or None in (alarm.low_c, alarm.high_c):
        raise ValueError("the design's [alarm] must have low_c and high_c [degC]: give both limits")
    reads = reach(design.chain)
    seen = _seen(design, reads)
    rooms = requirement.room_at_c(alarm.low_c, alarm.high_c)
    guards = [each.guard_c(requirement.level) if each else inf for each in seen]
    noisy = max(each.noise_c for each in seen) if all(seen) else inf
    calls = raises_per_min(alarm.deadband_c, noisy, alarm.sample_period_s) if all(seen) else inf
    misfits = len(design.chain.supply_problems()) if reads else 1
    lines = [
        Line(MISFITS, "", 0.0, float(misfits)),
        Line("coldest reading", "degC", requirement.range_c[0], reads[0] if reads else inf),
        Line("warmest reading", "degC", requirement.range_c[1], reads[1] if reads else -inf, most=False),
        Line("guard band at the low limit", "degC", rooms[0], guards[0]),
        Line("guard band at the high limit", "degC", rooms[1], guards[1]),
        Line("late by", "s", requirement.late_s, late_s(design, requirement)),
        Line("calls on the limit", "1/min", requirement.raises_per_min, calls),
        Line("deadband", "degC", requirement.back_room_c(alarm.low_c, alarm.high_c), alarm.deadband_c),
        Line("one step at the limits", "degC", alarm.deadband_c, largest_step_c(design) if all(seen) else inf),
    ]
    if price is not None:
        lines.append(Line(PRICE, "", requirement.price, price))
    return tuple(lines)


def _seen(design, reads):
    """What smoothed readings are worth at the low and at the high limit: `Doubt`, or None where there is no reading."""
    limits, ratio = (design.alarm.low_c, design.alarm.high_c), noise_left(design)
    inside = [reads is not None and reads[0] <= limit <= reads[1] for limit in limits]
    return [doubt(design, limit).smoothed(ratio) if ok else None for limit, ok in zip(limits, inside, strict=True)]


def reach(chain):
    """Coldest and warmest temperature [degC] that the chain can tell apart; None where every code is saturated."""
    try:
        return chain.span_c()
    except ValueError:
        return None


def largest_step_c(design):
    """What averaging leaves of a step, at the limits [degC]: a whole one without noise, less where noise dithers it."""
    return max(_step_c(design, limit) for limit in (design.alarm.low_c, design.alarm.high_c))


def _step_c(design, t_c):
    step = 2 * inputs_of(design, t_c)["quantisation"].half_width
    return design.chain.step_c(t_c) * step


# As text

UNITS = {"s": "s", "1/min": "a minute", "": ""}


def told(line, value, book):
    """A number of a line as text, in the reader's scale; "none" where a design cannot do it at all.

    >>> from tempkit.book import Book
    >>> told(Line("late by", "s", 60.0, 47.517), 47.517, Book())
    '47.5 s'
    """
    if isinf(value):
        return "none"
    if line.unit == "degC":
        return book.temperature(value) if line.name in TEMPERATURES else book.span(value, 2)
    if line.name == PRICE:
        return f"{value:.2f}"
    return f"{round(value, 1 if line.unit == 's' else 2):g} {UNITS[line.unit]}".strip()


def wanted_told(line, book):
    """What a line wants, as text.

    >>> from tempkit.book import Book
    >>> wanted_told(Line("warmest reading", "degC", 45.0, 125.0, most=False), Book())
    'at least 45.0 °C'
    """
    return f"at {'most' if line.most else 'least'} {told(line, line.wanted, book)}"


def margin_told(line, book, sign=True):
    """A line's margin as text, with its sign or as a bare size; the margin of a temperature is a span.

    >>> from tempkit.book import Book
    >>> margin_told(Line("warmest reading", "degC", 45.0, 40.0, most=False), Book())
    '−5.00 °C'
    """
    if isinf(line.margin):
        return "none" if sign else "no end"
    size = book.span(abs(line.margin), 2) if line.unit == "degC" else told(line, abs(line.margin), book)
    return f"{'+' if line.margin >= 0 else '−'}{size}" if sign else size


def verdict_told(line, book):
    """A line with its verdict in one row of text.

    >>> from tempkit.book import Book
    >>> verdict_told(Line("late by", "s", 60.0, 47.517), Book())
    'passes  late by: 47.5 s, wanted at most 60 s, margin +12.5 s'
    """
    told_all = f"{told(line, line.does, book)}, wanted {wanted_told(line, book)}, margin {margin_told(line, book)}"
    return f"{'passes' if line.passes else 'fails '}  {line.name}: {told_all}"


def requirement_told(requirement, book):
    """A requirement in a few sentences, in short lines.

    >>> from tempkit.book import Book
    >>> print(requirement_told(Requirement(), Book()))
    Read from 0.0 °C to 45.0 °C. The lamp is silent at 19.0 °C and called at 17.0 °C; the buzzer is silent at 26.0 °C
    and called at 28.0 °C; each with a probability of 95 %. While the temperature changes by 0.50 °C a minute, the call
    is at most 60 s late. Calls a minute on a limit itself: at most 3. Price of the parts: at most 12.00 (invented).
    """
    t, need = book.temperature, requirement
    lamp = f"The lamp is silent at {t(need.low_c[0])} and called at {t(need.low_c[1])}"
    buzzer = f"the buzzer is silent at {t(need.high_c[0])} and called at {t(need.high_c[1])}"
    return (
        f"Read from {t(need.range_c[0])} to {t(need.range_c[1])}.\n"
        f"{lamp};\n{buzzer};\neach with a probability of {100 * need.level:g} %.\n"
        f"While the temperature changes by {book.span(need.rate_c_per_min, 2)} a minute, the call is at most "
        f"{need.late_s:g} s late.\nCalls a minute on a limit itself: at most {need.raises_per_min:g}.\n"
        f"Price of the parts: at most {need.price:.2f} (invented)."
    )
