"""Thermistors whose resistance falls with temperature: Beta and Steinhart-Hart, there and back.

1/T = a + b L + c L^3 with L = ln(R / 1 ohm) and T in kelvin (Steinhart and Hart, Deep-Sea Research 15 (1968) 497,
from memory). The Beta equation R = R25 exp(beta (1/T - 1/298.15 K)) is the case c = 0.
"""

import math
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from tempkit import constants
from tempkit.chain.deviations import EXACT, check_above, check_from, check_tolerance, factor, percent
from tempkit.chain.parts.bases import ResistiveSensor
from tempkit.chain.quantities import Kelvin, PerKelvin, Range, Relative, SomeOhms, Span
from tempkit.ranges import check_within, keep, like, scalar
from tempkit.text import ohms

ZERO_C_K = float(constants.ZERO_CELSIUS_K)
T25_K = 25.0 + ZERO_C_K
RANGE_C = (-55.0, 150.0)  # common practice, no source
POSSIBLE_C = (-200.0, 1000.0)
HOTTEST_C = 5000.0
COLDEST_K = 50.0  # below it the formulas overflow; no thermistor is used near it


def _log_ohms(a, b, c, t_k):
    """ln R of Steinhart-Hart's cubic b L + c L^3 = 1/T - a: its one root, by sinh (c > 0) or sin (c < 0)."""
    d = 1.0 / t_k - a
    if c == 0:
        return d / b
    scale = 2 * math.sqrt(b / (3 * abs(c)))
    turn = 3 * d / (b * scale)
    if c > 0:
        root = scale * np.sinh(np.arcsinh(turn) / 3)
    else:
        root = scale * np.sin(np.arcsin(np.clip(turn, -1.0, 1.0)) / 3)
    slope = b + 3 * c * root * root
    return root - np.divide(root * (b + c * root * root) - d, slope)  # one Newton step, for the last digits


class Thermistor(ResistiveSensor):
    """A thermistor by Steinhart-Hart; make one with `from_beta`, `from_steinhart_hart` or `from_points`.

    a [1/K], b [1/K], c [1/K] : coefficients for R in ohm; range_c : where it is used [degC]; accuracy_c : limits,
    +- [degC]. Raises `ValueError` where the resistance would not fall everywhere in `range_c`.

    >>> sensor = Thermistor.from_points([(-20.0, 83500.0), (15.0, 15190.0), (50.0, 3890.0)])
    >>> round(sensor.celsius(7000.0), 3), round(sensor.ohms(33.986), 0)
    (33.986, 7000.0)
    """

    abstract: ClassVar[bool] = True
    called: ClassVar[str] = "a thermistor"

    def __post_init__(self):
        check_from(self, 0, accuracy_c="degC")
        check_within(*self.range_c, POSSIBLE_C, "range_c", "degC", "no thermistor is used beyond")
        check_above(self, 0, b="1/K")
        if not (math.isfinite(scalar(self.a, "a")) and math.isfinite(scalar(self.c, "c"))):
            raise ValueError(f"a {self.a} 1/K or c {self.c} 1/K is no finite number: take them from a fit")
        self._check_falling()

    def _check_falling(self):
        logs = [float(_log_ohms(self.a, self.b, self.c, end + ZERO_C_K)) for end in self.range_c]
        turns = any(self.b + 3 * self.c * log * log <= 1e-3 * self.b for log in logs)
        if turns or not all(abs(log) < 100 for log in logs):
            raise ValueError(
                f"a {self.a:g}, b {self.b:g}, c {self.c:g} 1/K give no resistance that falls all the way from "
                f"{self.range_c[0]:g} to {self.range_c[1]:g} degC: check the coefficients, or narrow range_c"
            )

    # ---- ways to make one

    @staticmethod
    def from_beta(r25_ohm, beta_k, range_c=RANGE_C, accuracy_c=0.0, r25_tolerance=0.0, beta_tolerance=0.0):
        """A thermistor of `r25_ohm` [ohm] at 25 degC (298.15 K) with `beta_k` [K]: see `BetaThermistor`.

        >>> round(Thermistor.from_beta(r25_ohm=9_100.0, beta_k=3610.0).ohms(0.0), 1)
        27562.5
        """
        return BetaThermistor(r25_ohm, beta_k, range_c, accuracy_c, r25_tolerance, beta_tolerance)

    @staticmethod
    def from_steinhart_hart(a, b, c, range_c=RANGE_C, accuracy_c=0.0):
        """A thermistor with Steinhart-Hart's coefficients [1/K], for R in ohm and the natural logarithm.

        >>> round(Thermistor.from_steinhart_hart(a=1.0657e-3, b=2.3702e-4, c=1.6851e-7).ohms(25.0), -2)
        9100.0
        """
        return SteinhartHart(a, b, c, range_c, accuracy_c)

    @staticmethod
    def from_points(points, range_c=RANGE_C, accuracy_c=0.0):
        """A thermistor through three points (t_c [degC], r_ohm [ohm]), by Steinhart-Hart.

        Raises `ValueError` for another count, equal points, a resistance not above 0, or a curve that does not fall.

        >>> sensor = Thermistor.from_points([(0.0, 26800.0), (25.0, 9100.0), (50.0, 3540.0)])
        >>> round(sensor.a, 7), round(sensor.b, 8)
        (0.0010657, 0.00023702)
        """
        if len(points) != 3:
            raise ValueError(f"{len(points)} points are not 3: give three pairs of temperature [degC] and ohm")
        for t_c, r_ohm in points:
            keep(t_c, *POSSIBLE_C, name="temperature", unit="degC", advice="correct this point")
            keep(r_ohm, 1e-3, 1e12, name="resistance", unit="ohm", advice="correct this point")
        a, b, c = _through(*(zip(*points, strict=True)))
        return SteinhartHart(a, b, c, range_c, accuracy_c)

    # ---- there and back

    def inverse(self, r_ohm):
        """The bare formula backwards [ohm] -> [degC], without a look at the range; scalar or array.

        Where the formula passes infinity, at resistances near 0, it gives 5000 degC; below 0 ohm too.

        >>> round(Thermistor.from_beta(9_100.0, 3610.0).inverse(9_100.0), 6)
        25.0
        """
        with np.errstate(divide="ignore"):
            log = np.clip(np.log(np.maximum(r_ohm, 0.0)), -1e6, 1e6)
        per_k = self.a + log * (self.b + self.c * log * log)
        return like(r_ohm, 1.0 / np.maximum(per_k, 1.0 / (HOTTEST_C + ZERO_C_K)) - ZERO_C_K)

    def slope(self, t_c):
        """The bare slope [ohm/degC], without a look at the range; scalar or array.

        >>> round(Thermistor.from_beta(9_100.0, 3610.0).slope(25.0), 2)
        -369.55
        """
        t_k = np.maximum(np.add(t_c, ZERO_C_K), COLDEST_K)
        log = _log_ohms(self.a, self.b, self.c, t_k)
        return like(t_c, -np.exp(log) / (t_k * t_k * (self.b + 3 * self.c * log * log)))

    def limits_c(self, t_c):
        """Limits that are stated in degrees, +- [degC]: the same at every temperature.

        >>> Thermistor.from_beta(9_100.0, 3610.0, accuracy_c=0.2).limits_c(25.0)
        0.2
        """
        return self.accuracy_c + 0.0 * t_c


@dataclass(frozen=True)
class SteinhartHart(Thermistor):
    """A thermistor by its three coefficients: see `Thermistor`."""

    a: PerKelvin
    b: PerKelvin
    c: PerKelvin
    range_c: Range = RANGE_C
    accuracy_c: Span = 0.0

    kind: ClassVar[str] = "thermistor-steinhart-hart"

    def line(self, t_c, off=EXACT):
        """The bare formula [degC] -> [ohm], without a look at the range; scalar or array.

        >>> round(Thermistor.from_steinhart_hart(1.0657e-3, 2.3702e-4, 1.6851e-7).line(25.0), -2)
        9100.0
        """
        t_k = np.maximum(np.add(t_c, ZERO_C_K), COLDEST_K)
        return like(t_c, np.exp(_log_ohms(self.a, self.b, self.c, t_k)))

    def words(self):
        """The sensor in a few words.

        >>> Thermistor.from_steinhart_hart(1.0657e-3, 2.3702e-4, 1.6851e-7).words()
        'thermistor, 9.10 kΩ at 25 °C, Steinhart-Hart'
        """
        return f"thermistor, {ohms(self.line(25.0))} at 25 °C, Steinhart-Hart"

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.divider import Divider

        yield cls(1.0657e-3, 2.3702e-4, 1.6851e-7, (-20.0, 90.0), 0.3), Divider(fixed_ohm=9_100.0)


@dataclass(frozen=True)
class BetaThermistor(Thermistor):
    """A thermistor by its resistance at 25 degC [ohm] and beta [K], with their tolerances (relative, +-).

    Beta is fitted between two temperatures, usually 25 and 85 degC; away from them the equation itself is off, which
    `accuracy_c` may hold. Raises `ValueError` for values not above 0 or tolerances outside 0 to 1.

    >>> sensor = Thermistor.from_beta(r25_ohm=9_100.0, beta_k=4000.0, r25_tolerance=0.01)
    >>> type(sensor).__name__, sensor.r25_ohm, sensor.b
    ('BetaThermistor', 9100.0, 0.00025)
    """

    r25_ohm: SomeOhms
    beta_k: Kelvin
    range_c: Range = RANGE_C
    accuracy_c: Span = 0.0
    r25_tolerance: Relative = 0.0
    beta_tolerance: Relative = 0.0

    kind: ClassVar[str] = "thermistor-beta"
    c: ClassVar[float] = 0.0

    def __post_init__(self):
        if not (0 < self.r25_ohm < math.inf and 0 < self.beta_k < math.inf):
            told = f"r25_ohm {self.r25_ohm:g} ohm and beta_k {self.beta_k:g} K"
            raise ValueError(f"{told} must be above 0: take them from the specification")
        super().__post_init__()
        check_tolerance(self, "r25_tolerance", "beta_tolerance")

    @property
    def a(self):
        """The first coefficient of Steinhart-Hart [1/K]."""
        return 1.0 / T25_K - math.log(self.r25_ohm) / self.beta_k

    @property
    def b(self):
        """The second coefficient [1/K]; the third is 0."""
        return 1.0 / self.beta_k

    def line(self, t_c, off=EXACT):
        """The Beta equation [degC] -> [ohm], scalar or array; `off` may hold "r25" and "beta" [%].

        >>> round(BetaThermistor(9_100.0, 3610.0).line(25.0, {"r25": 1.0}), 6)
        9191.0
        """
        t_k = np.maximum(np.add(t_c, ZERO_C_K), COLDEST_K)
        power = self.beta_k * factor(off, "beta") * (1.0 / t_k - 1.0 / T25_K)
        return like(power, self.r25_ohm * factor(off, "r25") * np.exp(power))

    def doubts(self, t_c):
        """The tolerances of both figures, in percent: key to `Doubt`.

        >>> BetaThermistor(9_100.0, 3610.0, beta_tolerance=0.01).doubts(25.0)["beta"][:2]
        (1.0, '%')
        """
        return {
            "r25": percent(self, "r25_tolerance", "thermistor at 25 degC"),
            "beta": percent(self, "beta_tolerance", "thermistor's beta"),
        }

    def tolerances(self):
        """What may be off, in words.

        >>> BetaThermistor(9_100.0, 3610.0, r25_tolerance=0.01, beta_tolerance=0.005).tolerances()
        '±1 % at 25 °C, ±0.5 % of beta'
        """
        told = (("at 25 °C", self.r25_tolerance), ("of beta", self.beta_tolerance))
        return ", ".join(f"±{100 * size:.3g} % {name}" for name, size in told if size)

    def words(self):
        """The sensor in a few words.

        >>> BetaThermistor(9_100.0, 3610.0).words()
        'thermistor, 9.10 kΩ at 25 °C, beta 3610 K'
        """
        return f"thermistor, {ohms(self.r25_ohm)} at 25 °C, beta {self.beta_k:.6g} K"

    @classmethod
    def examples(cls):
        from tempkit.chain.parts.divider import Divider

        sensor = cls(9_100.0, 3610.0, (-20.0, 90.0), 0.2, r25_tolerance=0.01, beta_tolerance=0.005)
        yield sensor, Divider(fixed_ohm=9_100.0)


def _through(t_c, r_ohm):
    """Steinhart-Hart's coefficients through three points, by divided differences."""
    logs, per_k = np.log(r_ohm), 1.0 / (np.array(t_c) + ZERO_C_K)
    if len(set(logs)) < 3 or len(set(t_c)) < 3:
        raise ValueError(f"points {list(zip(t_c, r_ohm, strict=True))} are not three different ones: take them apart")
    first = (per_k[1] - per_k[0]) / (logs[1] - logs[0])
    second = (per_k[2] - per_k[0]) / (logs[2] - logs[0])
    c = (second - first) / ((logs[2] - logs[1]) * logs.sum())
    b = first - c * (logs[0] ** 2 + logs[0] * logs[1] + logs[1] ** 2)
    a = per_k[0] - logs[0] * (b + c * logs[0] ** 2)
    return float(a), float(b), float(c)
