"""Calibration: one point, two points, a fitted line or curve with its uncertainties, agreement of two results."""

from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from tempkit.ranges import SMALLEST, floats, keep, like, scalar, size, whole_number


def _size(value, name):
    return size(scalar(value, name), name, "(its unit)", "give its size, without a sign")


@dataclass(frozen=True)
class Correction:
    """What turns a reading into a corrected reading: (reading - `centre`) `slope` + `level`.

    The uncertainty at a reading is that of `parts`, pairs (constant, per unit of reading - centre) of
    independent contributions.

    >>> Correction(0.0, 1.0, 0.5, ((0.1, 0.0),)).correct(20.0)
    20.5
    """

    centre: float
    slope: float
    level: float
    parts: tuple

    def correct(self, reading):
        """Corrected reading, scalar or array, in the unit of the references.

        >>> Correction(0.0, 2.0, 0.5, ()).correct([1.0, 2.0])
        array([2.5, 4.5])
        """
        return like(reading, self.level + self.slope * (floats(reading, "reading") - self.centre))

    def u_correct(self, reading):
        """Standard uncertainty of the corrected reading that the calibration brings, scalar or array.

        The reading's own noise comes on top. Source: JCGM 100:2008, 5.1.2.

        >>> Correction(0.0, 1.0, 0.5, ((0.1, 0.0),)).u_correct(20.0)
        0.1
        """
        away = floats(reading, "reading") - self.centre
        return like(reading, np.sqrt(sum((fixed + by * away) ** 2 for fixed, by in self.parts) + 0 * away))


def one_point(reading, reference, u_reading=0.0, u_reference=0.0):
    """Correction from one point: every reading is shifted by reference - reading.

    Four temperatures [degC] (or any one unit), `u_` the standard uncertainties. It cannot see a wrong slope,
    so trust it near its point only. Raises `ValueError` for a negative uncertainty. Common practice.

    >>> one_point(0.6, 0.0, u_reference=0.06).correct(20.6)
    20.0
    """
    u = hypot(
        _size(u_reading, "uncertainty of the reading"), _size(u_reference, "uncertainty of the reference")
    )
    return Correction(float(scalar(reading, "reading")), 1.0, float(scalar(reference, "reference")), ((u, 0.0),))


def two_points(readings, references, u_readings=(0.0, 0.0), u_references=(0.0, 0.0)):
    """Correction from two points: a line through both, exact at both.

    `readings`, `references`: pairs in one unit each; `u_...`: their standard uncertainties, all independent.
    Between the points the uncertainty is at most that of the worse one; beyond, it grows without limit.
    Raises `ValueError` where the two references, or the two readings, are equal, or for a negative
    uncertainty. Source: JCGM 100:2008, 5.1.2, on the straight line through two points.

    >>> two_points((0.6, 98.9), (0.0, 98.3)).correct(0.6)
    0.0
    """
    (x1, x2), (y1, y2) = floats(readings, "readings").tolist(), floats(references, "references").tolist()
    for name, first, second in (("readings", x1, x2), ("references", y1, y2)):
        if first == second:
            raise ValueError(f"both {name} are {first:g}: take two calibration temperatures well apart")
    slope = (y2 - y1) / (x2 - x1)
    u1, u2 = (
        hypot(_size(u_y, "uncertainty of a reference"), slope * _size(u_x, "uncertainty of a reading"))
        for u_x, u_y in zip(u_readings, u_references, strict=True)
    )
    return Correction(x1, slope, y1, ((u1, -u1 / (x2 - x1)), (0.0, u2 / (x2 - x1))))


def _points(x, y, parameters):
    x, y = floats(x, "x"), floats(y, "y")
    if x.ndim != 1 or x.shape != y.shape:
        raise ValueError(f"x has shape {x.shape} and y {y.shape}: give two lists of equal length")
    if not (np.isfinite(x).all() and np.isfinite(y).all()):
        raise ValueError("a point is masked or not finite: leave it out of both lists, and say so")
    different = np.unique(x).size
    if different < parameters:
        raise ValueError(
            f"{different} different x for {parameters} parameters, at least {parameters} needed: "
            "take more calibration temperatures or a simpler curve"
        )
    return x, y


@dataclass(frozen=True, eq=False)
class PolynomialFit:
    """y = sum of coefficients[k] (x - x0)**k, with `standard` and `covariance` of the coefficients.

    `s` is the residual standard deviation with `dof` degrees of freedom; without any (as many points as
    parameters) `s` and the uncertainties are `nan`: an exact fit says nothing about itself.

    >>> fit_polynomial([0.0, 1.0, 2.0, 3.0], [1.0, 2.0, 5.0, 10.0], 2).coefficients.round(6) + 0.0
    array([1., 0., 1.])
    """

    x0: float
    coefficients: np.ndarray
    covariance: np.ndarray
    s: float
    dof: int
    residuals: np.ndarray

    @property
    def standard(self):
        """Standard uncertainties of the coefficients.

        >>> fit_polynomial([0.0, 1.0, 2.0], [0.0, 1.0, 2.0], 1).standard.round(6)
        array([0., 0.])
        """
        return np.sqrt(np.diag(self.covariance))

    def _powers(self, x):
        return np.vander(
            np.ravel(floats(x, "x") - self.x0), self.coefficients.size, increasing=True
        )

    def predict(self, x):
        """The curve at x, scalar or array.

        >>> round(fit_polynomial([0.0, 1.0, 2.0], [1.0, 3.0, 5.0], 1).predict(3.0), 6)
        7.0
        """
        return like(x, (self._powers(x) @ self.coefficients).reshape(np.shape(x)))

    def u_predict(self, x):
        """Standard uncertainty of the curve at x, covariances included; a new reading scatters on top.

        >>> round(fit_polynomial([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0], 1).u_predict(1.5), 4)
        0.0474
        """
        powers = self._powers(x)
        square = np.einsum("ij,jk,ik->i", powers, self.covariance, powers)
        return like(x, np.sqrt(np.clip(square, 0.0, None)).reshape(np.shape(x)))


def fit_polynomial(x, y, degree, x0=0.0):
    """Least-squares polynomial of `degree` through points (x, y), with uncertainties: `PolynomialFit`.

    Powers are counted from `x0`: take one inside the data for small covariances. Unweighted; x counts as
    exact, y as scattered alike. Raises `ValueError` for unequal lengths, a point that is masked or not finite,
    or fewer different x than degree + 1. Source: least squares; covariance s^2 (X'X)^-1 with n - degree - 1
    degrees of freedom, as in JCGM 100:2008, H.3, for a line.

    >>> fit_polynomial([0.0, 1.0, 2.0, 3.0], [1.0, 3.1, 4.9, 7.0], 1).coefficients.round(2)
    array([1.03, 1.98])
    """
    parameters = whole_number(degree, 0, name="degree", unit="of the curve", advice="1 is a straight line") + 1
    x, y = _points(x, y, parameters)
    powers = np.vander(x - x0, parameters, increasing=True)
    scale = np.sqrt((powers**2).sum(axis=0))
    q, r = np.linalg.qr(powers / scale)
    coefficients = np.linalg.solve(r, q.T @ y) / scale
    residuals = y - powers @ coefficients
    dof = x.size - coefficients.size
    s = sqrt(float(residuals @ residuals) / dof) if dof else float("nan")
    inverse = np.linalg.inv(r) / scale[:, None]
    return PolynomialFit(float(x0), coefficients, s**2 * inverse @ inverse.T, s, dof, residuals)


@dataclass(frozen=True, eq=False)
class LineFit(PolynomialFit):
    """A straight line y = intercept + slope (x - x0): a `PolynomialFit` of degree 1 with names for its parts.

    >>> fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0]).dof
    1
    """

    @property
    def intercept(self):
        """y at x0.

        >>> round(fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0]).intercept, 6)
        1.0
        """
        return float(self.coefficients[0])

    @property
    def slope(self):
        """Change of y for one of x.

        >>> round(fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.0]).slope, 6)
        2.0
        """
        return float(self.coefficients[1])

    @property
    def u_intercept(self):
        """Standard uncertainty of the intercept, in the unit of y.

        >>> round(fit_line([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0], x0=1.5).u_intercept, 4)
        0.0474
        """
        return float(self.standard[0])

    @property
    def u_slope(self):
        """Standard uncertainty of the slope.

        >>> round(fit_line([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0]).u_slope, 4)
        0.0424
        """
        return float(self.standard[1])

    @property
    def correlation(self):
        """Correlation coefficient of intercept and slope: 0 with x0 at the mean of x.

        >>> round(fit_line([0.0, 1.0, 2.0, 3.0], [0.0, 1.1, 1.9, 3.0]).correlation, 3)
        -0.802
        """
        u = self.u_intercept * self.u_slope
        return float(self.covariance[0, 1] / u) if u else 0.0


def fit_line(x, y, x0=0.0):
    """Least-squares line y = intercept + slope (x - x0), with uncertainties and correlation: `LineFit`.

    `.intercept .slope .u_intercept .u_slope .correlation .covariance .s .dof .residuals`, `.predict(x)` and
    `.u_predict(x)`. Two points give a line with no degree of freedom: its uncertainties are `nan`; use
    `two_points` with what you know of each. Raises `ValueError` for unequal lengths, a point that is masked or
    not finite, or fewer than two different x. Source: JCGM 100:2008, H.3.

    >>> line = fit_line([0.0, 10.0, 20.0, 30.0], [0.1, 9.9, 20.1, 29.9])
    >>> round(line.slope, 3), round(line.u_predict(15.0), 3)
    (0.996, 0.063)
    """
    fit = fit_polynomial(x, y, 1, x0)
    return LineFit(fit.x0, fit.coefficients, fit.covariance, fit.s, fit.dof, fit.residuals)


def en_number(a, U_a, b, U_b):
    """Do two results agree within what both claim? They do where |E_n| <= 1.

    E_n = (a - b) / sqrt(U_a^2 + U_b^2).

    `U_a`, `U_b`: expanded uncertainties (k = 2), independent of each other, in the unit of `a` and `b`;
    scalars or arrays. Raises `ValueError` for a negative one or where both are zero (`nan` in an array).
    Source: ISO 13528:2022, 9.7; ISO/IEC 17043.

    >>> round(en_number(20.3, 0.4, 20.0, 0.3), 3)
    0.6
    """
    square = _square(U_a) + _square(U_b)
    advice = "at least one expanded uncertainty must be above 0"
    both = np.sqrt(keep(square, SMALLEST, np.inf, name="sum of squares", unit="(unit squared)", advice=advice))
    number = (floats(a, "a") - floats(b, "b")) / both
    return number if np.ndim(number) else float(number)


def _square(expanded):
    return np.square(size(expanded, "expanded uncertainty", "(its unit)", "give its size, without a sign"))
