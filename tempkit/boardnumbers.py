"""The whole numbers that a board needs to run a design without floating point, each with how wrong it is at most."""

from dataclasses import dataclass
from math import exp

import numpy as np

from tempkit.boardconversion import (
    at_zero,
    cold_input,
    conversion,
    most_off,
    readings_c,
    virtual_codes,
)
from tempkit.circuit import ColdJunction
from tempkit.tripping import TripCodes

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

    >>> from tempkit.chainfile import read
    >>> n = numbers(read("data/chains/north-bench.toml"))
    >>> n.conversion.of(153 * n.per_code)
    24951
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
    believed, couple = at_zero(chain), isinstance(chain.circuit, ColdJunction)
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
    (20, 358)
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
