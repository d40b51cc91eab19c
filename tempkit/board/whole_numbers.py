"""The whole numbers of a design, each with how wrong it may be, and a board's loop that runs on them and no others."""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import exp

import numpy as np

from tempkit.alarm import Stepper, TripCodes
from tempkit.board.integers import nearest
from tempkit.ranges import as_written

# From a level, a sum of codes, to a reading in thousandths of a degree

#
# A thermocouple's level is that of terminals at 0 degC: what its terminals' own voltage adds comes from a second table.

PART_OF_STEP = 0.1
COLD_C = (-20.0, 70.0)  # terminals outside of it are a fault of their sensor; common practice, no source
MOST_LOOKED_AT = 2**18


@dataclass(frozen=True)
class Line:
    """Level -> reading [0.001 degC], exact but for its last rounding: (multiplier * level + addend) / divisor.

    >>> Line(156250, -19121875, 256).of(163)
    24792
    """

    multiplier: int
    addend: int
    divisor: int

    def of(self, level):
        """Reading [0.001 degC] of a level; whole numbers, scalar or array."""
        return nearest(self.multiplier * level + self.addend, self.divisor)

    def widest(self, level):
        """Largest number met on the way, for levels from 0 to `level`."""
        return max(abs(self.addend), abs(self.multiplier * level + self.addend)) + self.divisor


@dataclass(frozen=True)
class Table:
    """Level -> value by a table: `values` at `start`, `start` + `width` and so on, straight between.

    The values are readings [0.001 degC], or what a sum of a cold junction's codes adds to a level.

    >>> Table(100, 10, (0, 50, 80)).of(112)
    56
    """

    start: int
    width: int
    values: tuple

    def of(self, level):
        """Value at a level inside the table, a whole number; beyond its ends the last piece goes on."""
        values = np.asarray(self.values, dtype=np.int64)
        piece = np.clip((level - self.start) // self.width, 0, len(values) - 2)
        rest = level - self.start - piece * self.width
        found = values[piece] + nearest((values[piece + 1] - values[piece]) * rest, self.width)
        return found if np.ndim(level) else int(found)

    def widest(self, level):
        """Largest number met on the way, for levels from 0 to `level`, inside the table and beyond its ends."""
        slopes = np.abs(np.diff(self.values))
        last = self.start + (len(slopes) - 1) * self.width
        beyond = max(int(slopes[0]) * self.start, int(slopes[-1]) * max(level - last, 0))
        return max(int(slopes.max()) * self.width, beyond, level) + self.width


def conversion(chain, per_code, first, last, table_error_c):
    """`Line` or `Table` of a chain, for levels of which `per_code` are one code, from code `first` to code `last`.

    table_error_c : how far the straight pieces of a table may lie from the chain at any code [degC], 0.001 or more;
    where a step is so coarse that a tenth of it is more, that much.
    The fraction is exact; where its digits do not fit 62 bits it is the nearest that does.

    >>> from tempkit.chain import scenario
    >>> conversion(scenario(), 1, 81, 303, 0.02)
    Line(multiplier=156250, addend=-19121875, divisor=256)
    """
    feed_v = chain.circuit.assumed_feed_v(chain.reference.nominal_v, chain.reference.kind)
    straight = chain.circuit.exact_line(chain.sensor, feed_v)
    if straight is not None:
        return _line(chain, *straight, per_code, last)
    steps_c = np.abs(np.gradient(readings_c(chain, np.arange(first, last + 1))))
    allowed = 1000 * np.maximum(table_error_c, PART_OF_STEP * steps_c)
    return _tabled(lambda levels: 1000 * readings_c(chain, levels / per_code), per_code, first, last, allowed)


def _line(chain, at_0c_v, v_per_c, per_code, last):
    """The chain's formula as one fraction; where that has too many digits, the nearest that fits 62 bits."""
    step_v = as_written(chain.reference.nominal_v) / 2**chain.converter.bits
    half = Fraction(1, 2) if chain.converter.transfer == "floor" else Fraction(0)
    slope = 1000 * step_v / v_per_c
    offset = half * slope - 1000 * at_0c_v / v_per_c
    per_level = slope / per_code
    divisor = np.lcm.reduce(np.array([per_level.denominator, offset.denominator], dtype=object))
    line = Line(int(per_level * divisor), int(offset * divisor), int(divisor))
    shift = 40
    while line.widest(last * per_code) >= 2**62:
        line = Line(round(per_level * 2**shift), round(offset * 2**shift), 2**shift)
        shift -= 1
    return line


def _tabled(exact, per_code, first, last, allowed):
    """The shortest `Table` of `exact` (of an array of levels) that is off by no more than `allowed` at every code."""
    levels = per_code * np.arange(first, last + 1)
    wanted = exact(levels)
    for doublings in range(int(levels.size).bit_length(), -1, -1):
        table = _table(exact, levels[0], levels[-1], per_code << doublings)
        if (np.abs(table.of(levels) - wanted) <= allowed).all():
            break
    return table


def _table(exact, start, end, width):
    """Values at every `width` levels; the last piece is the straight line to the last code, drawn on to its end."""
    levels = start + width * np.arange(max(1, -(-(end - start) // width)))
    values, rest = exact(levels), end - levels[-1]
    at_end = exact(np.array([end]))
    values = np.append(values, values[-1] + (at_end - values[-1]) * (width / rest))
    return Table(int(start), width, tuple(int(v) for v in np.floor(values + 0.5)))


def readings_c(chain, codes):
    """Readings [degC] of codes, fractions of a code included, by the chain's own formula; no look at any range."""
    return chain.celsius_believed(_middle_v(chain, codes))


def _middle_v(chain, codes):
    half = 0.5 if chain.converter.transfer == "floor" else 0.0
    return (codes + half) * chain.converter.step_v(chain.reference.nominal_v)


def most_off(found, exact, first, last, per_code, unsure=0.0):
    """How far `found` may lie from `exact` at any level from code `first` to code `last`, between codes too.

    Both are functions of an array of levels, in the same unit; unsure : how far the level itself may be off [levels].
    Every level is looked at; of very many only some, and then what `found` rounds and `exact` bends between is added.

    >>> most_off(lambda level: level // 10 * 10, lambda level: 2.0 * level, 0, 4, 10, unsure=0.5)
    49.0
    """
    stride = 1 if (last - first) * per_code <= MOST_LOOKED_AT else per_code
    while stride % 2 == 0 and (last - first) * per_code // stride <= MOST_LOOKED_AT // 2:
        stride //= 2
    levels = np.arange(first * per_code, last * per_code + 1, stride)
    true = exact(levels)
    steps = np.abs(np.diff(true)) / stride
    steepest = np.maximum(np.append(steps, steps[-1]), np.append(steps[0], steps))
    between = 1 + np.abs(np.diff(true, 2)).max() / 8 if stride > 1 else 0.0
    return float((np.abs(found(levels) - true) + unsure * steepest).max() + between)


# The cold junction of a thermocouple


@dataclass(frozen=True)
class ColdInput:
    """A second input, that of the sensor at a thermocouple's terminals.

    first_code, last_code : its codes that can be true, from -20 to 70 degC; first_level, last_level : levels that the
    thermocouple's range leaves, the terminals' voltage added; levels : `Table` of what a sum of its codes adds to a
    level; off : by how many levels that may be wrong.
    """

    first_code: int
    last_code: int
    first_level: int
    last_level: int
    levels: Table
    off: float


def at_zero(chain):
    """The chain with a thermocouple's terminals at 0 degC, which is what its levels are counted from; others as is.

    >>> from tempkit.chain import read
    >>> at_zero(read("data/chains/north-bench-thermocouple-k.toml").chain).circuit.cold_c
    0.0
    """
    return replace(chain, circuit=chain.circuit.at_zero()) if chain.circuit.compensated else chain


def cold_input(chain, samples, per_code):
    """The `ColdInput` of a chain, `samples` codes to a sum; None where no thermocouple is there.

    Raises `ValueError` where the design has no sensor at the terminals, or one that this converter cannot read.

    >>> from tempkit.chain import read
    >>> cold = cold_input(read("data/chains/north-bench-thermocouple-k.toml").chain, 1, 64)
    >>> cold.first_code, cold.last_code, cold.levels.of(1310)  # 25 degC: 90 times 1000 uV are 147 codes, of 64 levels
    (721, 1900, 9433)
    """
    circuit, converter = chain.circuit, chain.converter
    if not circuit.compensated:
        return None
    at_0c_v, v_per_c = circuit.cold_line()

    def cold_c(codes):
        return (_middle_v(chain, codes) - at_0c_v) / v_per_c

    def exact(sums):
        v = circuit.gain * chain.sensor.line(cold_c(sums / samples))
        return v / converter.step_v(chain.reference.nominal_v) * per_code

    codes = np.arange(1, converter.codes - 1)
    codes = codes[(cold_c(codes) >= COLD_C[0]) & (cold_c(codes) <= COLD_C[1])]
    if codes.size < 4:
        raise ValueError(
            f"the sensor at the terminals moves {codes.size} codes from {COLD_C[0]:g} to {COLD_C[1]:g} degC: "
            "4 or more are needed; correct cold_at_0c_v [V] and cold_slope_v_per_c [V/degC], or the reference"
        )
    ends = int(codes[0]), int(codes[-1])
    table = _tabled(exact, samples, *ends, max(1.0, per_code / 50))
    off = most_off(table.of, exact, *ends, samples)
    first, last = virtual_codes(chain)
    return ColdInput(*ends, first * per_code, last * per_code, table, off)


def virtual_codes(chain):
    """First and last code that a thermocouple's range leaves with terminals at 0 degC; below 0 or above the top too.

    >>> from tempkit.chain import read
    >>> virtual_codes(read("data/chains/north-bench-thermocouple-k.toml").chain)
    (348, 2990)
    """
    circuit, chain = chain.circuit, at_zero(chain)
    ends_v = [circuit.at_pin(chain.sensor.line(end)) for end in chain.sensor.range_c]
    low, high = ((v - _middle_v(chain, 0)) / chain.converter.step_v(chain.reference.nominal_v) for v in ends_v)
    return int(np.ceil(low)), int(np.floor(high))


# The numbers of a whole design, each with how wrong it is at most

PARTS = 2**15  # a smoothing factor is so many parts of one
MOST = 2**31 - 1


@dataclass(frozen=True)
class BoardNumbers:
    """A design as whole numbers. A level is a sum of codes: `per_code` levels are one code.

    samples : codes summed for one reading; fraction_bits : the smoothed sum is kept 2**fraction_bits finer;
    factor : smoothing in parts of 32768, 0 for none; conversion : `Line` or `Table`; first_code, last_code : codes
    that this chain can give; rising : whether a warmer sensor gives a higher code; high_raise, high_back, low_raise,
    low_back : levels from which on the alarm acts, None where there is no such limit; delays in readings;
    stuck_repeats : so often may a sum be the same again before it counts as stuck, 0 for no such rule;
    period_ms : time from one reading to the next; cold : `ColdInput` of a thermocouple, else None; worst_c : largest
    difference to the exact chain [degC], at every level, what smoothing and the cold junction's table round included.
    """

    title: str
    bits: int
    samples: int
    fraction_bits: int
    factor: int
    conversion: object
    first_code: int
    last_code: int
    trips: TripCodes
    stuck_repeats: int
    period_ms: int
    cold: object
    worst_c: float

    @property
    def per_code(self):
        """How many levels one code is."""
        return self.samples << self.fraction_bits

    @property
    def top_level(self):
        """The highest level: every code at its top; of a thermocouple the highest that can be true."""
        return (2**self.bits - 1) * self.per_code if self.cold is None else self.cold.last_level

    @property
    def wide(self):
        """True where a conversion needs integers of 64 bits."""
        cold = 0 if self.cold is None else self.cold.levels.widest((2**self.bits - 1) * self.samples)
        return max(self.conversion.widest(self.top_level), cold) > MOST


def numbers(design, table_error_c=0.02, stuck_readings=0, invalid_delay=1):
    """The whole numbers of a `Design` that has an alarm: `BoardNumbers`.

    table_error_c : how far a table's straight pieces may lie from the exact chain [degC], 0.001 or more, or a tenth of
    a step where that is more; a linear sensor straight at the converter needs no table. stuck_readings : so many
    readings in a row with the very same sum of codes cannot be true, 2 or more, 0 for no such rule. invalid_delay :
    invalid readings in a row that call, 1 for at once. Raises `ValueError` for a design without an alarm, for a
    thermocouple without a sensor at its terminals, for a limit that no code can pass, and for numbers that do not fit
    a board's integers.

    >>> from tempkit.chain import read
    >>> n = numbers(read("data/chains/north-bench.toml"))
    >>> n.conversion.of(163 * n.per_code)
    24792
    """
    if design.alarm is None:
        raise ValueError("the design has no [alarm] table: give low_c or high_c [degC], or there is nothing to call")
    if not table_error_c >= 0.001:
        raise ValueError(f"table_error_c {table_error_c:g} degC must be 0.001 degC or more: a reading's last digit")
    if stuck_readings == 1 or stuck_readings < 0:
        raise ValueError(f"stuck_readings {stuck_readings} must be 2 or more, or 0 for no such rule: choose one")
    chain, alarm = design.chain, design.alarm
    period_ms = round(alarm.sample_period_s * 1000)
    if not 1 <= period_ms <= MOST:
        limits = f"0.001 to {MOST / 1000:.0f} s"
        raise ValueError(f"sample_period_s {alarm.sample_period_s:g} s is outside {limits}: the board counts in ms")
    samples = design.noise.samples if design.noise else 1
    _counted(samples=samples, on_delay=alarm.on_delay_samples, off_delay=alarm.off_delay_samples)
    _counted(least=0, stuck_readings=stuck_readings)
    _counted(invalid_delay=invalid_delay)
    tau_s = design.smoothing.tau_s if design.smoothing else 0.0
    factor = _factor(alarm.sample_period_s, tau_s)
    bits = chain.converter.bits
    believed, couple = at_zero(chain), chain.circuit.compensated
    fraction_bits = _fraction_bits(factor, samples, bits, couple)
    per_code = samples << fraction_bits
    cold = cold_input(chain, samples, per_code)
    first, last = virtual_codes(chain) if couple else codes_of(chain)
    rising = bool(readings_c(believed, last) > readings_c(believed, first))
    way = conversion(believed, per_code, first, last, table_error_c)
    edges = _Edges(believed, per_code, first, last, rising).all(alarm)
    unsure = (PARTS / (2 * factor) if factor else 0.0) + (cold.off if cold else 0.0)

    def exact(levels):
        return 1000 * readings_c(believed, levels / per_code)

    return BoardNumbers(
        title=design.title,
        bits=bits,
        samples=samples,
        fraction_bits=fraction_bits,
        factor=factor,
        conversion=way,
        first_code=1 if couple else first,
        last_code=2**bits - 2 if couple else last,
        trips=TripCodes(rising, *edges, alarm.on_delay_samples, alarm.off_delay_samples, invalid_delay),
        stuck_repeats=max(0, stuck_readings - 1),
        period_ms=period_ms,
        cold=cold,
        worst_c=most_off(way.of, exact, first, last, per_code, unsure) / 1000,
    )


def _factor(period_s, tau_s):
    """Smoothing in parts of `PARTS`; so slow a one that rounding would change it by a hundredth is refused."""
    if not tau_s:
        return 0
    factor = round((1 - exp(-period_s / tau_s)) * PARTS)
    if factor < 50:
        raise ValueError(
            f"smoothing tau_s {tau_s:g} s is above {PARTS / 50 * period_s:.4g} s, the longest at a sample period of "
            f"{period_s:g} s: shorten it, or take samples less often"
        )
    return factor


def _counted(least=1, **counts):
    for name, count in counts.items():
        if not least <= count < 2**16:
            raise ValueError(f"{name} {count} is outside {least} to {2**16 - 1}: the board counts with 16 bits")


def codes_of(chain):
    """First and last code that a healthy chain can give: inside the sensor's range and not at either end.

    Raises `ValueError` above 16 bits, and for a chain whose every code is saturated or beyond the sensor.

    >>> from tempkit.chain import scenario
    >>> codes_of(scenario())
    (81, 303)
    """
    bits = chain.converter.bits
    if bits > 16:
        raise ValueError(f"bits {bits} is above 16 bit: the board's sums are made for converters of 16 bit or fewer")
    inner = np.arange(1, 2**bits - 1)
    good = inner[np.isfinite(chain.reading(inner))]
    if good.size < 2:
        raise ValueError("fewer than 2 codes lie inside the sensor's range: choose another reference or circuit")
    return int(good[0]), int(good[-1])


def _fraction_bits(factor, samples, bits, couple):
    """As many bits as keep a smoothed sum from standing still more than a sixteenth of a code away, and what a cold
    junction adds from being rounded by more than half of that."""
    wanted = 0
    while (factor and (samples << wanted) * factor < 8 * PARTS) or (couple and samples << wanted < 16):
        wanted += 1
    if (samples << wanted) * 2**bits > MOST >> couple:
        what = f"{samples} samples of {bits} bit, smoothing {factor} / {PARTS} a reading"
        raise ValueError(f"{what}: the sum does not fit 32 bit; take fewer samples or a shorter smoothing tau_s")
    return wanted


@dataclass(frozen=True)
class _Edges:
    """Finds the levels at which the readings pass a limit."""

    chain: object
    per_code: int
    first: int
    last: int
    rising: bool

    def all(self, alarm):
        """Levels for low_on, low_off, high_off, high_on of `TripCodes`."""
        low, high, band = alarm.low_c, alarm.high_c, alarm.deadband_c
        found = [None] * 4
        if low is not None:
            found[0] = self._cold(lambda t: t < low, f"low_c {low:g} degC")
            found[1] = self._warm(lambda t: t > low + band, f"low_c plus deadband_c, {low + band:g} degC,")
        if high is not None:
            found[3] = self._warm(lambda t: t > high, f"high_c {high:g} degC")
            found[2] = self._cold(lambda t: t < high - band, f"high_c less deadband_c, {high - band:g} degC,")
        return found

    def _warm(self, holds, name):
        return self._edge(holds, name, from_low_level=not self.rising)

    def _cold(self, holds, name):
        return self._edge(holds, name, from_low_level=self.rising)

    def _edge(self, holds, name, from_low_level):
        """The last level at which `holds`, counted from the end of the codes where it should."""
        inside, outside = (self.first, self.last) if from_low_level else (self.last, self.first)
        inside, outside = inside * self.per_code, outside * self.per_code
        if not holds(self._at(inside)) or holds(self._at(outside)):
            low_c, high_c = sorted((self._at(inside), self._at(outside)))
            raise ValueError(
                f"{name} is outside the readings of this chain, {low_c:.1f} to {high_c:.1f} degC: no code passes it; "
                "move the limit, or choose another reference or circuit"
            )
        while abs(inside - outside) > 1:
            middle = (inside + outside) // 2
            inside, outside = (middle, outside) if holds(self._at(middle)) else (inside, middle)
        return inside

    def _at(self, level):
        return float(readings_c(self.chain, level / self.per_code))


NO_CODE = -1


class BoardLoop:
    """A board in service, fed one code at a time: the model that generated code has to equal, number for number.

    numbers : `tempkit.board.BoardNumbers`. What it keeps: `level`, the smoothed sum; `sum`, `taken`, `good` of
    the reading that is being collected; `last_sum`, `repeats` for a code that stands still; `alarm`, a `Stepper`.

    >>> from tempkit.chain import read
    >>> loop = BoardLoop(numbers(read("data/chains/north-bench.toml")))
    >>> [loop.take(163) for _ in range(16)].index(True), loop.milli_c
    (15, 24792)
    """

    def __init__(self, numbers):
        self.numbers = numbers
        self.alarm = Stepper(numbers.trips)
        self.level = self.sum = self.cold_sum = self.taken = self.repeats = 0
        self.last_sum = NO_CODE
        self.good, self.smooth = True, False

    @property
    def milli_c(self):
        """The reading [0.001 degC] of the level; says nothing before the first valid reading."""
        return self.numbers.conversion.of(self.level)

    def take(self, code, cold_code=NO_CODE):
        """One code, `NO_CODE` (or anything below 0) where none came in time; true when a reading is complete.

        cold_code : of a thermocouple's second input. A reading is invalid when a code is missing or outside first_code
        to last_code, or when its sum has been the same `stuck_repeats` times after its first. Smoothing begins anew
        with the first valid reading, at power-on and after `invalid_delay` invalid ones in a row; it goes on while the
        invalid call stands.
        """
        n = self.numbers
        self.good = self.good and n.first_code <= code <= n.last_code
        self.sum += max(code, 0)
        if n.cold:
            self.good = self.good and n.cold.first_code <= cold_code <= n.cold.last_code
            self.cold_sum += max(cold_code, 0)
        self.taken += 1
        if self.taken < n.samples:
            return False
        self._read()
        self.sum, self.cold_sum, self.taken, self.good = 0, 0, 0, True
        return True

    def _read(self):
        n = self.numbers
        again = self.good and self.sum == self.last_sum
        self.repeats = min(self.repeats + 1, n.stuck_repeats) if again else 0
        self.last_sum = self.sum if self.good else NO_CODE
        valid = self.good and not (n.stuck_repeats and self.repeats == n.stuck_repeats)
        target = self.sum << n.fraction_bits
        if n.cold:
            target += n.cold.levels.of(self.cold_sum)
            valid = valid and n.cold.first_level <= target <= n.cold.last_level
        if valid:
            self._smooth(target)
        self.alarm.step(self.level, valid)
        self.smooth = self.smooth and self.alarm.wrong < n.trips.invalid_delay

    def _smooth(self, target):
        n = self.numbers
        if n.factor and self.smooth:
            self.level += nearest((target - self.level) * n.factor, PARTS)
        else:
            self.level = target
        self.smooth = True
