"""Temperature scales. A temperature and a span of temperature are different things and have different functions."""

import numpy as np

from tempkit import constants
from tempkit.ranges import LARGEST, keep

ZERO_K = float(constants.ZERO_CELSIUS_K)
ZERO_F = float(constants.ZERO_CELSIUS_F)
F_PER_C = float(constants.FAHRENHEIT_PER_CELSIUS)
LOWEST_F = -459.67  # exact; ZERO_F - ZERO_K * F_PER_C misses it by one rounding and would refuse it


def _above_absolute_zero(value, zero, unit):
    return keep(value, zero, np.inf, name="temperature", unit=unit, advice="no temperature lies below absolute zero")


def celsius_to_fahrenheit(t_c):
    """Temperature [degC] -> temperature [degF], scalar or array: t_f = 1.8 t_c + 32.

    Raises `ValueError` below -273.15 degC (`nan` in an array). Source: NIST SP 811 (2008), Appendix B.8.

    >>> celsius_to_fahrenheit(37.0)
    98.60000000000001
    """
    return _above_absolute_zero(t_c, -ZERO_K, "degC") * F_PER_C + ZERO_F


def fahrenheit_to_celsius(t_f):
    """Temperature [degF] -> temperature [degC], scalar or array: t_c = (t_f - 32) / 1.8.

    Raises `ValueError` below -459.67 degF (`nan` in an array). Source: NIST SP 811 (2008), Appendix B.8.

    >>> fahrenheit_to_celsius(212.0)
    100.0
    """
    return (_above_absolute_zero(t_f, LOWEST_F, "degF") - ZERO_F) / F_PER_C


def celsius_to_kelvin(t_c):
    """Temperature [degC] -> temperature [K], scalar or array: t_k = t_c + 273.15.

    Raises `ValueError` below -273.15 degC (`nan` in an array). Source: ITS-90, Metrologia 27 (1990) 3-10.

    >>> celsius_to_kelvin(25.0)
    298.15
    """
    return _above_absolute_zero(t_c, -ZERO_K, "degC") + ZERO_K


def kelvin_to_celsius(t_k):
    """Temperature [K] -> temperature [degC], scalar or array: t_c = t_k - 273.15.

    Raises `ValueError` below 0 K (`nan` in an array). Source: ITS-90, Metrologia 27 (1990) 3-10.

    >>> round(kelvin_to_celsius(273.16), 2)
    0.01
    """
    return _above_absolute_zero(t_k, 0.0, "K") - ZERO_K


def celsius_span_to_fahrenheit(d_c):
    """Span of temperature [degC] -> span [degF], scalar or array: d_f = 1.8 d_c, with no 32 in it.

    A rise of 10 degC is a rise of 18 degF. Raises `ValueError` for a span that is not finite (`nan` in an
    array). Source: NIST SP 811 (2008), Appendix B.8.

    >>> celsius_span_to_fahrenheit(10.0)
    18.0
    """
    advice = "a span of temperature is a finite number"
    return keep(d_c, -LARGEST, LARGEST, name="temperature span", unit="degC", advice=advice) * F_PER_C
