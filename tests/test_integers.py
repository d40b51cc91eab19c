"""Integers of a fixed width, against ctypes and numpy's own 16-bit arrays, fractions and decimal."""

import ctypes
import math
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.board import decimals, fits, nearest, tenths, towards_zero, wrapped
from tempkit.board.integers import limits, whole

WHOLE = st.integers(-(2**40), 2**40)
DIVISOR = st.integers(1, 2**20)


def test_the_product_of_the_bench():
    """163 x 5000 = 815000; less 12 turns of 65536, 786432, leaves 28568: worked by hand."""
    assert wrapped(163 * 5000, 16) == 28568
    assert not fits(163 * 5000) and fits(6 * 5000) and not fits(7 * 5000)


@given(WHOLE)
def test_wrapping_is_what_ctypes_does(value):
    """ctypes keeps the lowest bits too, by the machine's own conversion."""
    assert wrapped(value, 16) == ctypes.c_int16(value).value
    assert wrapped(value, 8) == ctypes.c_int8(value).value
    assert wrapped(value, 32) == ctypes.c_int32(value).value


def test_wrapping_is_what_arrays_of_16_bits_do():
    """Every code of 10 bits, multiplied in an array of numpy's int16."""
    codes = np.arange(1024)
    in_16_bits = codes.astype(np.int16) * np.int16(5000)
    assert in_16_bits.dtype == np.int16
    np.testing.assert_array_equal(wrapped(codes * 5000, 16), in_16_bits)


@given(WHOLE)
def test_what_fits_is_left_alone(value):
    low, high = limits(16)
    assert fits(value) == (low <= value <= high) == (wrapped(value) == value)


@given(WHOLE, DIVISOR)
def test_division_towards_zero(dividend, divisor):
    assert towards_zero(dividend, divisor) == math.trunc(Fraction(dividend, divisor))
    assert towards_zero(dividend, -divisor) == math.trunc(Fraction(dividend, -divisor))


@given(WHOLE, DIVISOR)
def test_division_to_the_nearest(dividend, divisor):
    """Halves away from zero: what decimal arithmetic calls half up, on the size."""
    exact = Fraction(dividend, divisor)
    assert abs(nearest(dividend, divisor) - exact) <= Fraction(1, 2)
    tie = Decimal(2 * dividend + 1) / 2
    assert nearest(2 * dividend + 1, 2) == int(tie.quantize(Decimal(1), ROUND_HALF_UP))


@pytest.mark.parametrize("function", [towards_zero, nearest])
def test_arrays_agree_with_scalars(function):
    values = np.arange(-5000, 5000, 7)
    found = function(values, 1024)
    assert found.dtype == np.int64
    np.testing.assert_array_equal(found, [function(int(value), 1024) for value in values])
    assert isinstance(function(5, 2), int) and isinstance(wrapped(5), int)


@given(st.integers(-(10**6), 10**6))
def test_tenths_keep_their_sign(value):
    assert Decimal(tenths(value)) == Decimal(value) / 10
    assert tenths(value).startswith("-") == (value < 0)


def test_tenths_between_zero_and_minus_one():
    """The place where quotient and remainder alone would lose the sign."""
    assert [tenths(value) for value in (-11, -10, -5, -1, 0, 5)] == [
        "-1.1",
        "-1.0",
        "-0.5",
        "-0.1",
        "0.0",
        "0.5",
    ]


@pytest.mark.parametrize(
    "step, digits", [(0.48828125, 1), (0.1, 1), (0.0999, 2), (1.0, 0), (3.0, 0), (0.01, 2), (0.001, 3)]
)
def test_how_many_digits(step, digits):
    """The last digit is no coarser than the step, and with one digit less it would be."""
    assert decimals(step) == digits
    assert digits == 0 or 10.0 ** -(digits - 1) > step


@pytest.mark.parametrize(
    "call, words",
    [
        (lambda: whole(1.5), "not whole"),
        (lambda: whole(float("nan")), "not whole"),
        (lambda: wrapped([1.5, 2.0]), "not whole"),
        (lambda: limits(1), "bits 1 bit must be a whole number, 2 to 32"),
        (lambda: wrapped(1, 64), "bits 64 bit must be a whole number, 2 to 32"),
        (lambda: towards_zero(1, 0), "other than 0"),
        (lambda: nearest(1, -2), "below 0"),
        (lambda: decimals(0.0), "above 0"),
        (lambda: decimals(float("nan")), "above 0"),
    ],
)
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(ValueError, match=words):
        call()
