"""The one rule for values out of range and for what is no number; arithmetic on long arrays in blocks.

Masked is not a number: a masked value counts as `nan` everywhere, whatever lies under the mask. True, false and text
are no numbers either, and 10.0 is no count.
"""

from fractions import Fraction
from operator import index

import numpy as np

SMALLEST, LARGEST = np.finfo(float).tiny, np.finfo(float).max  # no limits that anybody set
BLOCK = 12_288  # 96 kB of floats: fits the cache, and stays below where allocators hand memory back each time


def floats(value, name="value"):
    """The value as an array of floats of the same shape, 0-dimensional for a scalar; `nan` where it is masked.

    Not a copy where it is such an array already. Raises `ValueError` for true, false, text and whatever else is no
    number.

    >>> floats(np.ma.array([20.0, 21.0], mask=[False, True]))
    array([20., nan])
    >>> floats("25", "temperature")
    Traceback (most recent call last):
        ...
    ValueError: temperature '25' is not a number: give a number, without quotes
    """
    return numbers(value, name).astype(float, copy=False)


def numbers(value, name="value"):
    """The same as `floats`, but whole numbers stay whole: an array of integers, where nothing is masked.

    >>> numbers([1, 2]), numbers(np.ma.array([1, 2], mask=[True, False]))
    (array([1, 2]), array([nan,  2.]))
    """
    if isinstance(value, (list, tuple)) and not all(type(each) in (float, int) for each in value):
        value = [numbers(each, name) for each in value]
    array = np.asarray(value)
    kind = array.dtype.kind
    if kind not in "iuf" and not (kind == "O" and all(map(_is_number, array.flat))):
        raise ValueError(f"{name} {value!r:.60} is not a number: give a number, without quotes")
    if hasattr(value, "filled"):
        return value.astype(float).filled(np.nan)
    return array.astype(float) if kind == "O" else array


def _is_number(value):
    return hasattr(value, "__float__") and not isinstance(value, bool)


def scalar(value, name="value"):
    """One number as it is, `nan` where it is masked; raises `ValueError` for what is no number, or more than one.

    >>> scalar(3), scalar(np.ma.masked)
    (3, nan)
    """
    if type(value) in (float, int):
        return value
    array = numbers(value, name)
    if array.ndim:
        raise ValueError(f"{name} of shape {array.shape} is not one number: give a single one")
    return array.item()


def whole_number(value, low, high=None, *, name, unit, advice):
    """One whole number from `low` to `high` (None: no end), as an int.

    Raises `ValueError` for a number outside, for 10.0 and whatever else is not an integer, for true and false.

    >>> whole_number(10, 1, 24, name="bits", unit="bit", advice="give a whole number of bits")
    10
    >>> whole_number(10.0, 1, 24, name="bits", unit="bit", advice="give a whole number of bits")
    Traceback (most recent call last):
        ...
    ValueError: bits 10.0 bit must be a whole number, 1 to 24: give a whole number of bits
    """
    try:
        whole = None if isinstance(value, bool) else index(value)
    except TypeError:
        whole = None
    if whole is None or whole < low or (high is not None and whole > high):
        where = f"{low} or more" if high is None else f"{low} to {high}"
        shown = repr(value) if isinstance(value, str) else value
        called = f"{name} {shown} {unit}".rstrip()
        raise ValueError(f"{called} must be a whole number, {where}: {advice}")
    return whole


def flags(value):
    """True or false for each, as a new array of them; masked is false.

    >>> flags(np.ma.array([True, True], mask=[False, True]))
    array([ True, False])
    """
    return np.array(value.filled(False) if hasattr(value, "filled") else value, dtype=bool)


def keep(value, low, high, *, name, unit, advice):
    """Return `value` unchanged where it lies in `low`..`high` (both ends included).

    A scalar outside raises `ValueError` with the value, the range, the unit and the advice. An array comes
    back as floats of the same shape with `nan` outside. `nan` counts as outside, and so does what is masked.

    >>> keep(25.0, -25.0, 110.0, name="temperature", unit="degC", advice="stay in the sensor's range")
    25.0
    >>> keep([25.0, 200.0], -25.0, 110.0, name="temperature", unit="degC", advice="stay in range")
    array([25., nan])
    >>> keep(200.0, -25.0, 110.0, name="temperature", unit="degC", advice="stay in the sensor's range")
    Traceback (most recent call last):
        ...
    ValueError: temperature 200 degC is outside -25 to 110 degC: stay in the sensor's range
    """
    array = value if type(value) is float else floats(value, name)
    if np.ndim(array):
        return nan_outside(np.array(array), low, high)
    if not low <= array <= high:
        raise ValueError(f"{name} {float(array):.6g} {unit} {_where(low, high, unit)}: {advice}")
    return float(array)


def positive(value, name, unit, advice="it is above 0"):
    """`keep` for what is above 0.

    >>> positive(25.0, "resistance", "ohm")
    25.0
    """
    return keep(value, SMALLEST, LARGEST, name=name, unit=unit, advice=advice)


def size(value, name, unit, advice="give a size, without a sign"):
    """`keep` for what is 0 or more.

    >>> size(0.0, "noise", "LSB")
    0.0
    """
    return keep(value, 0.0, LARGEST, name=name, unit=unit, advice=advice)


def nan_outside(array, low, high):
    """The same array of floats, changed in place: `nan` where a value is not in `low`..`high`.

    >>> nan_outside(np.array([25.0, 200.0]), -25.0, 110.0)
    array([25., nan])
    """
    if array.size and not (array.min() >= low and array.max() <= high):
        array[~((array >= low) & (array <= high))] = np.nan
    return array


def _where(low, high, unit):
    """The range in words; the ends of the floating-point numbers are no limits that anybody set."""
    if low <= -LARGEST and high >= LARGEST:
        return f"must be a finite number of {unit}"
    if high >= LARGEST:
        return f"must be above 0 {unit}" if low == SMALLEST else f"must be {low:g} {unit} or more"
    if low <= -LARGEST:
        return f"must be {high:g} {unit} or less"
    return f"is outside {low:g} to {high:g} {unit}"


def check_span(low, high, name, unit):
    """Raise `ValueError` unless `low` < `high`.

    >>> check_span(3.0, 5.6, "supply_v", "V")
    """
    if not scalar(low, name) < scalar(high, name):
        raise ValueError(
            f"{name} ({low:g}, {high:g}) {unit} is not a range: give the lower value first, then a higher one"
        )


def check_within(low, high, limits, name, unit, advice):
    """Raise `ValueError` unless `low` < `high`, both within `limits`.

    >>> check_within(0.0, 100.0, (-200.0, 850.0), "range_c", "degC", "the standard ends there")
    """
    check_span(low, high, name, unit)
    if not (limits[0] <= low and high <= limits[1]):
        where = f"{limits[0]:g} to {limits[1]:g} {unit}"
        raise ValueError(f"{name} ({low:g}, {high:g}) {unit} is not within {where}: {advice}")


def with_rounding(low, high):
    """The same range, wider by a few roundings of a float: what an end of it comes out as by another route.

    >>> with_rounding(0.0, 100.0)
    (0.0, 100.00000000000009)
    """
    return low - 8e-16 * abs(low), high + 8e-16 * abs(high)


def in_blocks(function, values, dtype):
    """Apply an elementwise `function` to an array of any shape, a block at a time, into one new array.

    Temporaries stay as small as one block, so 10**7 values need the input, the output and little more.

    >>> in_blocks(lambda x: 2 * x, np.array([[1.0, 2.0], [3.0, 4.0]]), float)
    array([[2., 4.],
           [6., 8.]])
    """
    values = numbers(values)
    out = np.empty(values.shape, dtype)
    source, target = np.ravel(values), out.reshape(-1)
    for start in range(0, source.size, BLOCK):
        target[start : start + BLOCK] = function(source[start : start + BLOCK])
    return out


def as_written(value):
    """A number exactly as its shortest decimal says it, which is what a file says: a `Fraction`.

    >>> as_written(0.01)
    Fraction(1, 100)
    """
    return Fraction(repr(float(value)))


def like(value, result):
    """Return `result` as a plain Python scalar when `value` was a scalar, else as the array it is.

    >>> like(3, np.float64(2.5)), like([3], np.array([2.5]))
    (2.5, array([2.5]))
    """
    return result if np.ndim(value) else np.asarray(result).item()


def plain(result):
    """Return what numpy computed as a plain float where it is one number, else as it is.

    >>> plain(np.float64(2.5))
    2.5
    """
    return result if np.ndim(result) else float(result)
