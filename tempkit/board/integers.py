"""Integers as a small board has them: a fixed number of bits, and a division that leaves a remainder behind.

Whole numbers in, scalar (int out) or array (same shape out); what is no whole number raises `ValueError`.
"""

import numpy as np

from tempkit.ranges import like, numbers, whole_number


def whole(value, name="value"):
    """The same as Python's own int or an array of 64-bit integers; `ValueError` for what is no whole number.

    >>> whole(163.0), whole([1, 2])
    (163, array([1, 2]))
    """
    array = numbers(value, name)
    if array.dtype.kind not in "iu" and not np.all(np.isfinite(array) & (array == np.floor(array))):
        raise ValueError(f"{name} {array} is not whole: integers have no fraction, round it first")
    return array.astype(np.int64) if array.ndim else int(value)


def limits(bits):
    """Lowest and highest value of a signed integer of 2 to 32 bits: -2**(bits - 1) and 2**(bits - 1) - 1.

    Two's complement. Raises `ValueError` for other bits. Source: ISO/IEC 9899 (C), exact-width integer types
    (from memory).

    >>> limits(16)
    (-32768, 32767)
    """
    half = 2 ** (whole_number(bits, 2, 32, name="bits", unit="bit", advice="give it without a point") - 1)
    return -half, half - 1


def fits(value, bits=16):
    """True where a whole number can be held in a signed integer of so many bits.

    >>> fits(32767), fits(32768), fits(765000, bits=32)
    (True, False, True)
    """
    low, high = limits(bits)
    value = whole(value)
    return like(value, (low <= np.asarray(value)) & (np.asarray(value) <= high))


def wrapped(value, bits=16):
    """What is commonly left of a whole number in a signed integer of so many bits: its lowest bits.

    (value + 2**(bits - 1)) mod 2**bits - 2**(bits - 1), two's complement. The C standard does not promise
    it: a signed operation that overflows is undefined, and what a conversion does is up to the compiler.

    >>> wrapped(163 * 5000), wrapped(32768), wrapped([32767, 65536])
    (28568, -32768, array([32767,     0]))
    """
    low, _ = limits(bits)
    return (whole(value) - low) % (-2 * low) + low


def towards_zero(dividend, divisor):
    """Integer division as C does it: the fraction is cut off, so the quotient moves towards zero.

    Raises `ValueError` for a divisor of 0. Source: ISO/IEC 9899 (C), multiplicative operators (from memory).
    Python's own // goes down instead: -7 // 2 is -4.

    >>> towards_zero(7, 2), towards_zero(-7, 2), -7 // 2
    (3, -3, -4)
    """
    dividend, divisor = whole(dividend), _not_zero(divisor)
    quotient = np.abs(dividend) // abs(divisor) * np.sign(dividend) * (1 if divisor > 0 else -1)
    return like(dividend, quotient)


def nearest(dividend, divisor):
    """Integer division to the nearest whole number, halves away from zero: half the divisor first.

    dividend : whole number or array; divisor : whole number above 0, else `ValueError`. In C, for 32 bits:
    (a < 0 ? a - b / 2 : a + b / 2) / b. The sum must fit the integer that holds it.

    >>> nearest(767500, 1024), 767500 // 1024, nearest(-7, 2)
    (750, 749, -4)
    """
    dividend, divisor = whole(dividend), _not_zero(divisor)
    if divisor < 0:
        raise ValueError(f"divisor {divisor} is below 0: give the sign to the dividend")
    half = divisor // 2
    return towards_zero(dividend + np.sign(dividend) * half, divisor)


def _not_zero(divisor):
    divisor = whole(divisor, "divisor")
    if np.ndim(divisor) or divisor == 0:
        raise ValueError(f"divisor {divisor} must be one whole number other than 0: correct it")
    return divisor


def tenths(value):
    """A count of tenths as text with one digit after the point, made from integers alone.

    value : whole number, scalar. The sign is written first: in C the quotient -5 / 10 is 0, without a sign.

    >>> tenths(250), tenths(-5), tenths(-518)
    ('25.0', '-0.5', '-51.8')
    """
    size = abs(whole(value))
    return f"{'-' if value < 0 else ''}{size // 10}.{size % 10}"


def decimals(step):
    """How many digits after the point a step can carry at most: the last one is no coarser than the step.

    step : smallest change that can be seen, above 0, in the unit that is printed; scalar. Smallest n >= 0
    with 10**-n <= step. Common practice, no source. Raises `ValueError` for a step that is not above 0.

    >>> decimals(0.6103515625), decimals(1.0), decimals(0.0806)
    (1, 0, 2)
    """
    if not 0 < step < np.inf:
        raise ValueError(f"step {step:g} must be above 0 and finite: give the smallest change to be seen")
    return max(0, int(np.ceil(-np.log10(step) - 1e-12)))
