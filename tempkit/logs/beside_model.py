"""The model beside a record: which column is the temperature, what the chain should show, and how the two compare."""

import re
from dataclasses import dataclass
from math import sqrt

import numpy as np

from tempkit.logs import fit
from tempkit.ranges import floats
from tempkit.scales import fahrenheit_to_celsius, kelvin_to_celsius
from tempkit.signal import averaged_error_lsb, averaging_floor_lsb
from tempkit.uncertainty import chain_budget

FEWEST = 8  # rows of a stretch that is worth figures
_READING = re.compile(r"(?i)(read|temp|t_c\b|deg|sea\b|air\b)|_c\b|°")
_CODE = re.compile(r"(?i)\W*(code|adc|raw|counts?|lsb)")
_UNITS = {  # of a column, and a name that says it; None for degC
    fahrenheit_to_celsius: (
        re.compile(r"(°|deg(rees?)?)?F|[Ff]ahrenheit"),
        re.compile(r"(?i)([_([/]|deg ?)f\b|°f|fahrenheit"),
    ),
    kelvin_to_celsius: (re.compile(r"K|[Kk]elvins?"), re.compile(r"(_|[([/])[Kk]\b|(?i:kelvin)")),
    None: (re.compile(r"(°|deg(rees?)?)?C|degrees?|[Cc]elsius"), _READING),
}


@dataclass(frozen=True)
class Expected:
    """What the model of a chain expects at the true temperature `t_c`, all in degC: `reading_c`; `expanded_c`, the
    expanded uncertainty of a reading (95 %) by the error budget; `noise_c`, the standard deviation of readings,
    averaged over all places in a step; `step_c`, what one converter step is worth."""

    t_c: float
    reading_c: float
    expanded_c: float
    noise_c: float
    step_c: float


def expected(design, t_c):
    """What the model of a design expects at a true temperature [degC]: `Expected`.

    Raises `ValueError` where the sensor or the converter cannot see that temperature. Sources: see
    `tempkit.uncertainty.chain_budget` and `tempkit.signal.averaged_error_lsb`.

    >>> from tempkit.explorers import north_bench
    >>> there = expected(north_bench(), 25.0)
    >>> round(there.reading_c, 2), round(there.step_c, 3)
    (25.0, 0.61)
    """
    budget = chain_budget(design, t_c)
    chain, noise = design.chain, design.noise
    step_c, sigma, samples = float(chain.step_c(t_c)), 0.0, 1
    if noise:
        sigma, samples = noise.input_v / chain.converter.step_v(chain.reference.actual_v), noise.samples
    square = averaged_error_lsb(sigma, samples) ** 2 - averaging_floor_lsb(sigma) ** 2
    return Expected(float(t_c), budget.reading_c, budget.expanded_c, step_c * sqrt(max(square, 0.0)), step_c)


def readings_c(record, chain=None):
    """The temperatures of a record: (name of the column, times [s], readings [degC]), only where there are any.

    A column whose unit, or without one its name, says so, °F and K turned into °C; else, with a chain, a column of
    codes through that chain; else the last column. Raises `ValueError` for a record without any column.

    >>> from tempkit.logs.log import read
    >>> name, times, readings = readings_c(read(b"t=1.0 code=163 read=24.8\\nt=2.0 code=164 read=25.4\\n"))
    >>> name, readings.tolist()
    ('read', [24.8, 25.4])
    """
    names = [name for name in record.names if name != record.time_name]
    if not names:
        raise ValueError("the log holds no numbers beside the time: look at what was skipped")
    units = dict(zip(record.names, record.units, strict=True))
    for name in names:
        found = _scale(name, units[name])
        if found is not False:
            times, values = record.series(name)
            return name, times, found(values) if found else values
    codes = next((name for name in names if _CODE.match(name)), None)
    if codes is not None and chain is not None:
        times, values = record.series(codes)
        return codes, times, chain.reading(values, checked=False)
    return names[-1], *record.series(names[-1])


def _scale(name, unit):
    """What turns a column into degC: a function, None where it is in degC, False where it is no temperature."""
    for turned, (by_unit, by_name) in _UNITS.items():
        if by_unit.fullmatch(unit) if unit else by_name.search(name):
            return turned
    return False


@dataclass(frozen=True)
class Compared:
    """A stretch of a record beside the model: `count` readings, their `mean_c`; `offset_c`, reading minus truth;
    `noise_c`; `drift_c`, degC an hour; each a `fit.Estimate`, or None where the stretch has too few readings; and
    what the model expects, or None where it expects nothing."""

    count: int
    mean_c: float
    offset_c: fit.Estimate | None
    noise_c: fit.Spread | None
    drift_c: fit.Estimate | None
    expected: Expected | None


def compare(times_s, readings, t_c, design=None, u_truth_c=0.0):
    """A stretch of readings [degC] beside a true temperature [degC] and, with a design, its model: `Compared`.

    times_s [s] and readings: rows of one length. u_truth_c : standard uncertainty of the true temperature [degC].
    Raises `ValueError` for rows of different length or what is masked or not finite.

    >>> found = compare(np.arange(10.0), 25.0 + 0.1 * np.arange(10) % 0.2, 24.0)
    >>> round(found.offset_c.value, 2), found.expected is None
    (1.05, True)
    """
    model = _expected_or_none(design, t_c)
    times, readings = floats(times_s, "times_s"), floats(readings, "readings")
    if readings.size < FEWEST or np.ptp(times) == 0:
        mean = float(readings.mean()) if readings.size else float("nan")
        return Compared(readings.size, mean, None, None, None, model)
    return Compared(
        readings.size,
        float(readings.mean()),
        fit.offset(readings, t_c, u_truth_c),
        fit.noise(readings),
        fit.drift(times, readings),
        model,
    )


def _expected_or_none(design, t_c):
    try:
        return None if design is None else expected(design, t_c)
    except ValueError:
        return None
