"""The one rule for values out of range, and arithmetic on long arrays in blocks that stay in the cache."""

import numpy as np

_SMALLEST, _LARGEST = np.finfo(float).tiny, np.finfo(float).max
BLOCK = 12_288  # 96 kB of floats: fits the cache, and stays below where allocators hand memory back each time


def keep(value, low, high, *, name, unit, advice):
    """Return `value` unchanged where it lies in `low`..`high` (both ends included).

    A scalar outside raises `ValueError` with the value, the range, the unit and the advice. An array comes
    back as floats of the same shape with `nan` outside. What is not a number counts as outside.

    >>> keep(25.0, -40.0, 125.0, name="temperature", unit="degC", advice="stay in the sensor's range")
    25.0
    >>> keep([25.0, 200.0], -40.0, 125.0, name="temperature", unit="degC", advice="stay in range")
    array([25., nan])
    >>> keep(200.0, -40.0, 125.0, name="temperature", unit="degC", advice="stay in the sensor's range")
    Traceback (most recent call last):
        ...
    ValueError: temperature 200 degC is outside -40 to 125 degC: stay in the sensor's range
    """
    array = np.array(value, dtype=float)
    if array.ndim:
        return nan_outside(array, low, high)
    if not low <= array <= high:
        raise ValueError(f"{name} {float(array):.6g} {unit} {_where(low, high, unit)}: {advice}")
    return float(array)


def nan_outside(array, low, high):
    """The same array of floats, changed in place: `nan` where a value is not in `low`..`high`.

    >>> nan_outside(np.array([25.0, 200.0]), -40.0, 125.0)
    array([25., nan])
    """
    if array.size and not (array.min() >= low and array.max() <= high):
        array[~((array >= low) & (array <= high))] = np.nan
    return array


def _where(low, high, unit):
    """The range in words; the ends of the floating-point numbers are no limits that anybody set."""
    if low <= -_LARGEST and high >= _LARGEST:
        return f"must be a finite number of {unit}"
    if high >= _LARGEST:
        return f"must be above 0 {unit}" if low == _SMALLEST else f"must be {low:g} {unit} or more"
    if low <= -_LARGEST:
        return f"must be {high:g} {unit} or less"
    return f"is outside {low:g} to {high:g} {unit}"


def check_span(low, high, name, unit):
    """Raise `ValueError` unless `low` < `high`.

    >>> check_span(2.7, 5.5, "supply_v", "V")
    """
    if not low < high:
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
    values = np.asarray(values)
    out = np.empty(values.shape, dtype)
    source, target = np.ravel(values), out.reshape(-1)
    for start in range(0, source.size, BLOCK):
        target[start : start + BLOCK] = function(source[start : start + BLOCK])
    return out


def like(value, result):
    """Return `result` as a plain Python scalar when `value` was a scalar, else as the array it is.

    >>> like(3, np.float64(2.5)), like([3], np.array([2.5]))
    (2.5, array([2.5]))
    """
    return result if np.ndim(value) else np.asarray(result).item()
