"""From a level, a sum of codes, to a reading in thousandths of a degree: as one fraction, or as a table."""

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from tempkit.circuit import Direct
from tempkit.integers import nearest
from tempkit.sensors import LinearSensor

PART_OF_STEP = 0.1


@dataclass(frozen=True)
class Line:
    """Level -> reading [0.001 degC], exact but for its last rounding: (multiplier * level + addend) / divisor.

    >>> Line(15625, -3192188, 64).milli_c(306)
    24829
    """

    multiplier: int
    addend: int
    divisor: int

    def milli_c(self, level):
        """Reading [0.001 degC] of a level; whole numbers, scalar or array."""
        return nearest(self.multiplier * level + self.addend, self.divisor)

    def widest(self, level):
        """Largest number met on the way, for levels from 0 to `level`."""
        return max(abs(self.addend), abs(self.multiplier * level + self.addend)) + self.divisor


@dataclass(frozen=True)
class Table:
    """Level -> reading [0.001 degC] by a table: `values` at `start`, `start` + `width` and so on, straight between.

    >>> Table(100, 10, (0, 50, 80)).milli_c(112)
    56
    """

    start: int
    width: int
    values: tuple

    def milli_c(self, level):
        """Reading [0.001 degC] of a level inside the table; beyond its ends the last piece goes on."""
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
    codes = np.arange(first, last + 1)
    readings = readings_c(chain, codes)
    allowed_c = np.maximum(table_error_c, PART_OF_STEP * np.abs(np.gradient(readings)))
    for doublings in range(chain.converter.bits, -1, -1):
        table = _table(chain, per_code, first, last, per_code << doublings)
        if (np.abs(table.milli_c(codes * per_code) / 1000 - readings) <= allowed_c).all():
            break
    return table


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


def _table(chain, per_code, first, last, width):
    """Values at every `width` levels; the last piece is the straight line to the last code, drawn on to its end."""
    start, end = first * per_code, last * per_code
    pieces = max(1, -(-(end - start) // width))
    levels = start + width * np.arange(pieces)
    values = readings_c(chain, levels / per_code)
    rest = end - levels[-1]
    values = np.append(values, values[-1] + (readings_c(chain, end / per_code) - values[-1]) * (width / rest))
    return Table(start, width, tuple(int(v) for v in np.floor(values * 1000 + 0.5)))


def readings_c(chain, codes):
    """Readings [degC] of codes, fractions of a code included, by the chain's own formula."""
    return chain.reading(codes, checked=False)


def worst_c(chain, conversion, per_code, first, last):
    """Largest difference of a conversion from the exact chain [degC], over every code from `first` to `last`."""
    codes = np.arange(first, last + 1)
    return float(np.abs(conversion.milli_c(codes * per_code) / 1000 - readings_c(chain, codes)).max())
