"""From a level, a sum of codes, to a reading in thousandths of a degree: as one fraction, or as a table.

A thermocouple's level is that of terminals at 0 degC: what its terminals' own voltage adds comes from a second table.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from tempkit.circuit import ColdJunction, Direct
from tempkit.integers import nearest
from tempkit.sensors import LinearSensor

PART_OF_STEP = 0.1
COLD_C = (-20.0, 70.0)  # terminals outside of it are a fault of their sensor; common practice, no source
MOST_LOOKED_AT = 2**18


@dataclass(frozen=True)
class Line:
    """Level -> reading [0.001 degC], exact but for its last rounding: (multiplier * level + addend) / divisor.

    >>> Line(15625, -3192188, 64).of(306)
    24829
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
    >>> conversion(scenario(), 1, 20, 358, 0.02)
    Line(multiplier=31250, addend=-3184375, divisor=64)
    """
    if isinstance(chain.circuit, Direct) and isinstance(chain.sensor, LinearSensor):
        return _line(chain, per_code, last)
    steps_c = np.abs(np.gradient(readings_c(chain, np.arange(first, last + 1))))
    allowed = 1000 * np.maximum(table_error_c, PART_OF_STEP * steps_c)
    return _tabled(lambda levels: 1000 * readings_c(chain, levels / per_code), per_code, first, last, allowed)


def _line(chain, per_code, last):
    """The chain's formula as one fraction; where that has too many digits, the nearest that fits 62 bits."""
    circuit, sensor, reference = chain.circuit, chain.sensor, chain.reference
    feed_v = circuit.assumed_feed_v(reference.nominal_v, reference.kind)
    scale = _exact(circuit.ratiometric_at_v) / _exact(feed_v) if circuit.needs_feed else Fraction(1)
    step_v = _exact(reference.nominal_v) * scale / 2**chain.converter.bits
    half = Fraction(1, 2) if chain.converter.transfer == "floor" else Fraction(0)
    slope = 1000 * step_v / _exact(sensor.slope_v_per_c)
    offset = half * slope - 1000 * _exact(sensor.at_0c_v) / _exact(sensor.slope_v_per_c)
    per_level = slope / per_code
    divisor = np.lcm.reduce(np.array([per_level.denominator, offset.denominator], dtype=object))
    line = Line(int(per_level * divisor), int(offset * divisor), int(divisor))
    shift = 40
    while line.widest(last * per_code) >= 2**62:
        line = Line(round(per_level * 2**shift), round(offset * 2**shift), 2**shift)
        shift -= 1
    return line


def _exact(value):
    """A number as its shortest decimal says it, which is what the design file says."""
    return Fraction(repr(float(value)))


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


# ---- the cold junction of a thermocouple


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

    >>> from tempkit.chainfile import read
    >>> at_zero(read("data/chains/north-bench-thermocouple-k.toml").chain).circuit.cold_c
    0.0
    """
    if not isinstance(chain.circuit, ColdJunction):
        return chain
    return replace(chain, circuit=replace(chain.circuit, cold_c=0.0, measured_cold_c=None))


def cold_input(chain, samples, per_code):
    """The `ColdInput` of a chain, `samples` codes to a sum; None where no thermocouple is there.

    Raises `ValueError` where the design has no sensor at the terminals, or one that this converter cannot read.

    >>> from tempkit.chainfile import read
    >>> cold = cold_input(read("data/chains/north-bench-thermocouple-k.toml").chain, 1, 64)
    >>> cold.first_code, cold.last_code, cold.levels.of(1228)  # 25 degC: 100 times 1000 uV are 164 codes, of 64 levels
    (492, 1965, 10481)
    """
    circuit, converter = chain.circuit, chain.converter
    if not isinstance(circuit, ColdJunction):
        return None
    if circuit.cold_at_0c_v is None:
        raise ValueError(
            "[circuit] has no cold_at_0c_v and cold_slope_v_per_c: the code would take the terminals for "
            f"{circuit.cold_c:g} degC for ever; put a sensor there, on a second input, and give its line [V, V/degC]"
        )

    def cold_c(codes):
        return (_middle_v(chain, codes) - circuit.cold_at_0c_v) / circuit.cold_slope_v_per_c

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

    >>> from tempkit.chainfile import read
    >>> virtual_codes(read("data/chains/north-bench-thermocouple-k.toml").chain)
    (569, 3505)
    """
    circuit, chain = chain.circuit, at_zero(chain)
    ends_v = [circuit.at_pin(chain.sensor.line(end)) for end in chain.sensor.range_c]
    low, high = ((v - _middle_v(chain, 0)) / chain.converter.step_v(chain.reference.nominal_v) for v in ends_v)
    return int(np.ceil(low)), int(np.floor(high))
