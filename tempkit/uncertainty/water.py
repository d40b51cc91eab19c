"""Water as a thermometer's reference: the ice point, and the boiling point by pressure or by altitude."""

from dataclasses import dataclass

import numpy as np

from tempkit.constants import NO_SOURCE, ZERO_CELSIUS_K, Constant
from tempkit.ranges import floats, keep, like, scalar

_ISO = "ISO 2533:1975, standard atmosphere"
_IF97 = "IAPWS R7-97(2012), section 8"
_ICE = "IAPWS R14-08(2011), melting curve of ice Ih"
STANDARD_PRESSURE_PA = Constant(101325.0, "Pa", _ISO + ", 2.1")
SEA_LEVEL_K = Constant(288.15, "K", _ISO + ", 2.1")
LAPSE_K_PER_M = Constant(0.0065, "K/m", _ISO + ", table 4")
GRAVITY_M_PER_S2 = Constant(9.80665, "m/s^2", _ISO + ", 2.1")
GAS_CONSTANT_AIR = Constant(287.05287, "J/(K kg)", _ISO + ", 2.1")
EARTH_RADIUS_M = Constant(6_356_766.0, "m", _ISO + ", 2.3")
LOWEST_ALTITUDE_M = Constant(-2_000.0, "m", _ISO)
TROPOPAUSE_M = Constant(11_000.0, "m", _ISO + ", table 4")
WEATHER_PA = Constant(2_000.0, "Pa", NO_SOURCE)  # limits, +-, of ordinary weather at one place
ICE_BATH_LIMITS_C = Constant(0.1, "degC", NO_SOURCE)
TRIPLE_POINT_K = Constant(273.16, "K", "ITS-90, Metrologia 27 (1990) 3-10, Table 1")
TRIPLE_POINT_PA = Constant(611.657, "Pa", _ICE)
SATURATION_PA = (Constant(611.213, "Pa", _IF97), Constant(22.064e6, "Pa", _IF97))
AIR_SATURATION_K = Constant(
    0.0024, "K", "lowering of the ice point by dissolved air; from memory, to 0.0001 K"
)
# IAPWS R7-97(2012), Table 34
_N = (0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7)
_N += (0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3)
# IAPWS R14-08(2011), Table 2
_ICE_TERMS = ((0.119539337e7, 3.0), (0.808183159e5, 25.75), (0.333826860e4, 103.75))
KINDS = ("geopotential", "geometric")


def boiling_point_c(pressure_pa):
    """Boiling point of pure water [degC] at a pressure [Pa], scalar or array: the saturation temperature.

    Valid from 611.213 Pa (0 degC) to 22.064 MPa (the critical point); raises `ValueError` outside (`nan` in
    an array). Salt raises it; the steam above gently boiling water is a better place to measure than the
    water. Steam and boiling water scald. Source: IAPWS R7-97(2012), region 4, equation (31).

    >>> round(boiling_point_c(101325.0), 3)
    99.974
    """
    low, high = (float(end) for end in SATURATION_PA)
    advice = "water boils only between its triple and its critical point"
    pressure = keep(pressure_pa, low, high, name="pressure", unit="Pa", advice=advice)
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    beta = (np.asarray(pressure) / 1e6) ** 0.25
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2 * g / (-f - np.sqrt(f**2 - 4 * e * g))
    return like(
        pressure, (n10 + d - np.sqrt((n10 + d) ** 2 - 4 * (n9 + n10 * d))) / 2 - float(ZERO_CELSIUS_K)
    )


def pressure_at_altitude_pa(altitude_m, kind="geopotential"):
    """Air pressure [Pa] at an altitude [m] in the standard atmosphere, scalar or array.

    `kind`: "geopotential", or "geometric" (what a map shows; converted first, 1.6 m less at 3,200 m). From
    -2,000 m to 11,000 m geopotential; raises `ValueError` outside (`nan` in an array) or for another kind.
    Weather moves the true pressure by up to some 2,000 Pa either way. Source: ISO 2533:1975, 2.3, 2.6 and 2.7.

    >>> round(pressure_at_altitude_pa(1500.0))
    84556
    """
    if kind not in KINDS:
        raise ValueError(f"kind {kind!r} is unknown: take one of {', '.join(KINDS)}")
    height, radius = floats(altitude_m, "altitude_m"), float(EARTH_RADIUS_M)
    if kind == "geometric":
        with np.errstate(divide="ignore", invalid="ignore"):
            height = radius * height / (radius + height)
    advice = "this is the lowest layer of the standard atmosphere only"
    limits = float(LOWEST_ALTITUDE_M), float(TROPOPAUSE_M)
    height = keep(like(altitude_m, height), *limits, name="geopotential altitude", unit="m", advice=advice)
    lapse, hot = float(LAPSE_K_PER_M), float(SEA_LEVEL_K)
    power = float(GRAVITY_M_PER_S2) / (float(GAS_CONSTANT_AIR) * lapse)
    return float(STANDARD_PRESSURE_PA) * (1 - lapse * height / hot) ** power


@dataclass(frozen=True)
class FixedPoint:
    """A temperature to calibrate at: `value` [degC] and its `standard` uncertainty [degC].

    >>> FixedPoint(0.0, 0.06).standard
    0.06
    """

    value: float
    standard: float


def boiling_point_at_altitude(altitude_m, kind="geopotential", pressure_limits_pa=WEATHER_PA):
    """Boiling point of water from the altitude [m] alone, with what the weather may do to it: `FixedPoint`.

    The pressure is that of the standard atmosphere within +-`pressure_limits_pa` [Pa], taken as rectangular (2,000 Pa,
    common practice, no source; deep lows go further), times the slope of the boiling point: a standard uncertainty of
    some 0.3 degC. Scalar only. A barometer at the bench (not reduced to sea level), good to +-100 Pa, makes it twenty
    times better. Raises `ValueError` as `pressure_at_altitude_pa` does. Source: ISO 2533:1975; IAPWS R7-97(2012); JCGM
    100:2008, 4.3.7 and 5.1.2.

    >>> point = boiling_point_at_altitude(500.0)
    >>> round(point.value, 2), round(point.standard, 1)
    (98.31, 0.3)
    """
    advice = "give its size, without a sign"
    limit = 5_000.0
    half = keep(scalar(pressure_limits_pa), 0.0, limit, name="pressure limits", unit="Pa", advice=advice)
    pressure = pressure_at_altitude_pa(scalar(altitude_m, "altitude"), kind)
    slope = (boiling_point_c(pressure + 10.0) - boiling_point_c(pressure - 10.0)) / 20.0
    return FixedPoint(boiling_point_c(pressure), slope * half / np.sqrt(3.0).item())


def melting_point_c(pressure_pa=101325.0):
    """Melting point [degC] of pure ice in pure water free of air, at a pressure [Pa]; scalar.

    Valid from 611.657 Pa (the triple point, 0.01 degC) to 10 MPa; raises `ValueError` outside. It falls by
    0.0075 degC for one atmosphere more. Source: IAPWS R14-08(2011), equation (1), solved for the temperature.

    >>> round(melting_point_c(101325.0), 6)
    0.002519
    """
    triple_k, triple_pa = float(TRIPLE_POINT_K), float(TRIPLE_POINT_PA)
    advice = "ice, water and a usual pressure are meant"
    pressure = keep(scalar(pressure_pa, "pressure"), triple_pa, 1e7, name="pressure", unit="Pa", advice=advice)
    theta = 1.0
    for _ in range(20):
        excess = 1 + sum(a * (1 - theta**b) for a, b in _ICE_TERMS) - pressure / triple_pa
        theta += excess / sum(a * b * theta ** (b - 1) for a, b in _ICE_TERMS)
    return theta * triple_k - float(ZERO_CELSIUS_K)


def ice_point(pressure_pa=101325.0, bath_limits_c=ICE_BATH_LIMITS_C):
    """Ice point of water that has taken up air, as in an open bath of crushed ice: `FixedPoint`.

    0.000 degC at 101325 Pa, and the same within 0.003 degC below 3,000 m. The uncertainty is that of the
    bath: limits +-`bath_limits_c` [degC], taken as rectangular (0.1 degC for a slush well stirred, common
    practice, no source). Use ice of clean water, packed, with its melt just filling the gaps.
    Raises `ValueError` as `melting_point_c` does. Source: IAPWS R14-08(2011); JCGM 100:2008, 4.3.7.

    >>> point = ice_point()
    >>> abs(round(point.value, 3)), round(point.standard, 3)
    (0.0, 0.058)
    """
    half = keep(scalar(bath_limits_c), 0.0, 5.0, name="bath limits", unit="degC", advice="give their size")
    return FixedPoint(melting_point_c(pressure_pa) - float(AIR_SATURATION_K), half / np.sqrt(3.0).item())
