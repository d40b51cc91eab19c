"""The inputs of an uncertainty budget: a value, how far it may be off, the shape of that doubt, and what it moves."""

from dataclasses import dataclass
from math import inf, isfinite, pi, sqrt

import numpy as np

from tempkit.ranges import floats, keep, scalar, size

# Standard uncertainty from half-width a and beta b: JCGM 100:2008, 4.3.7 and 4.3.9; JCGM 101:2008, 6.4.
_STANDARD = {
    "rectangular": lambda a, b: a / sqrt(3),
    "triangular": lambda a, b: a / sqrt(6),
    "arcsine": lambda a, b: a / sqrt(2),
    "trapezoidal": lambda a, b: a * sqrt((1 + b**2) / 6),
    "curvilinear": lambda a, b: sqrt(a**2 / 3 + b**2 / 9),
}
# What a computed correlation matrix may be off by.
_ROUNDING = 1e-9
# Where a slope is good enough, relative; what a float rounds off.
_GOOD, _SMALLEST_STEP = 1e-9, float(np.finfo(float).eps)
SHAPES = ("normal", "t", *_STANDARD)


@dataclass(frozen=True)
class Input:
    """One input quantity: its value, its standard uncertainty and the shape of its distribution.

    `value`, `standard` and `half_width` share one unit. Give `standard` for "normal" and "t"; for the bounded
    shapes give `half_width` (limits value +- half_width) or `standard`: the other is worked out and stored.

    shape          u from half-width a                 beta
    "rectangular"  a / sqrt(3)
    "triangular"   a / sqrt(6)
    "arcsine"      a / sqrt(2)
    "trapezoidal"  a sqrt((1 + beta^2) / 6)            width of the top / width of the base, 0 to 1
    "curvilinear"  sqrt(a^2 / 3 + beta^2 / 9)          inexactness of the half-width, in its unit, 0 to a

    "t" is scaled by `standard` and shifted by `value`, with `dof` degrees of freedom: what a mean of few
    readings calls for. Its trials spread by sqrt(dof / (dof - 2)) more than `standard`. `dof` says how well
    `standard` is known (infinite: exactly). `name` and `unit` serve in tables and messages.
    Raises `ValueError` on a negative or missing uncertainty, both kinds at once, an unknown shape, beta out
    of range, or degrees of freedom not above zero. Source: JCGM 100:2008, 4.3; JCGM 101:2008, 6.4.

    >>> round(Input(100.0, half_width=4.0, shape="rectangular").standard, 4)
    2.3094
    """

    value: float
    standard: float | None = None
    half_width: float | None = None
    shape: str = "normal"
    beta: float | None = None
    dof: float = inf
    name: str = ""
    unit: str = ""

    def __post_init__(self):
        if self.shape not in SHAPES:
            raise ValueError(f"shape {self.shape!r} is unknown: take one of {', '.join(SHAPES)}")
        if not isfinite(scalar(self.value, "value")):
            raise ValueError(f"value {self.value} of {self.called()} is not finite: give the best estimate")
        if not scalar(self.dof, "dof") > 0:
            raise ValueError(
                f"{self.dof:g} degrees of freedom for {self.called()} is outside the range above 0: "
                "two readings are the fewest that show a spread; use inf for a figure taken as exact"
            )
        self._check_beta()
        self._complete()

    def called(self):
        """The name, or what stands for it in a message.

        >>> Input(1.0, standard=0.1).called()
        'the input'
        """
        return self.name or "the input"

    def _check_beta(self):
        wants = self.shape in ("trapezoidal", "curvilinear")
        if wants == (self.beta is None):
            need = "needs beta" if wants else f"takes no beta (got {self.beta:g})"
            raise ValueError(f"shape {self.shape!r} of {self.called()} {need}: see the table in help(Input)")
        if wants:
            top, unit = (1.0, "(ratio)") if self.shape == "trapezoidal" else (inf, self.unit)
            advice = f"see beta of a {self.shape} shape in help(Input)"
            keep(self.beta, 0.0, top, name="beta", unit=unit, advice=advice)

    def _complete(self):
        given = {"standard": self.standard, "half_width": self.half_width}
        if self.standard is None and self.half_width is None:
            raise ValueError(
                f"{self.called()} has no uncertainty: give standard or half_width; standard=0 says exact"
            )
        for key, doubt in given.items():
            if doubt is not None:
                size(doubt, key, self.unit, "give its size, without a sign")
        if self.shape not in _STANDARD:
            return self._refuse_half_width()
        standard = _STANDARD[self.shape](self._half_width(), self.beta)
        if self.standard is not None and abs(standard - self.standard) > 1e-9 * standard:
            raise ValueError(
                f"{self.called()} has both standard {self.standard:g} and half_width {self.half_width:g} "
                f"{self.unit}, and they disagree for a {self.shape} shape: give one of them"
            )
        object.__setattr__(self, "half_width", self._half_width())
        object.__setattr__(self, "standard", standard)

    def _refuse_half_width(self):
        if self.half_width is not None:
            raise ValueError(
                f"shape {self.shape!r} of {self.called()} has no half_width "
                f"(got {self.half_width:g} {self.unit}): give standard, or say which bounded shape it is"
            )

    def _half_width(self):
        if self.half_width is not None:
            half_width = float(self.half_width)
        elif self.shape == "curvilinear":
            half_width = sqrt(max(0.0, 3 * self.standard**2 - self.beta**2 / 3))
        else:
            half_width = self.standard / _STANDARD[self.shape](1.0, self.beta)
        if self.shape == "curvilinear" and self.beta > half_width:
            raise ValueError(
                f"beta {self.beta:g} {self.unit} is outside 0 to {half_width:g} {self.unit}: "
                "limits cannot be less exact than they are wide"
            )
        return half_width


@dataclass(frozen=True)
class TypeA:
    """What repeated readings show: mean, standard deviation `s`, `standard` of the mean, `dof`.

    >>> TypeA(mean=20.0, s=0.3, standard=0.1, dof=8).as_input("room", "degC").shape
    't'
    """

    mean: float
    s: float
    standard: float
    dof: int

    def as_input(self, name="", unit=""):
        """These readings as an input of a budget: a scaled and shifted t (JCGM 101:2008, 6.4.9.2).

        >>> type_a([20.0, 20.2, 20.1]).as_input("bench", "degC").dof
        2
        """
        return Input(self.mean, standard=self.standard, shape="t", dof=self.dof, name=name, unit=unit)


def type_a(values):
    """Repeated independent readings -> `.mean`, `.s`, `.standard` = s / sqrt(n), `.dof` = n - 1.

    Readings that share a slow drift, or that were smoothed, are not independent: `.standard` is then too
    small. Raises `ValueError` for fewer than two readings or one that is masked or not finite.
    Source: JCGM 100:2008, 4.2.

    >>> round(type_a([20.0, 20.2, 20.1]).standard, 4)
    0.0577
    """
    readings = floats(values, "values").ravel()
    if readings.size < 2:
        raise ValueError(f"{readings.size} reading(s) show no spread: take 2 or more")
    if not np.isfinite(readings).all():
        wrong = int((~np.isfinite(readings)).sum())
        raise ValueError(f"{wrong} of {readings.size} readings are masked or not finite: leave them out, and say so")
    s = float(readings.std(ddof=1))
    return TypeA(float(readings.mean()), s, s / sqrt(readings.size), readings.size - 1)


def _two(rng, count):
    return rng.random(count) - 0.5, rng.random(count) - 0.5


def _trapezoid(given, beta, rng, count):
    first, second = _two(rng, count)
    first *= given.half_width * (1 + beta)
    second *= given.half_width * (1 - beta)
    first += second
    first += given.value
    return first


def _curvilinear(given, rng, count):
    edge, place = _two(rng, count)
    edge *= 2 * given.beta
    edge += given.half_width
    place *= 2
    place *= edge
    place += given.value
    return place


def _arcsine(given, rng, count):
    wave = rng.random(count)
    wave *= 2 * pi
    np.sin(wave, out=wave)
    wave *= given.half_width
    wave += given.value
    return wave


def _student(given, rng, count):
    if given.dof == inf:
        return rng.normal(given.value, given.standard, count)
    trials = rng.standard_t(given.dof, count)
    trials *= given.standard
    trials += given.value
    return trials


# JCGM 101:2008, 6.4.2.4, 6.4.3.4, 6.4.4.4, 6.4.5.4, 6.4.6.4, 6.4.7.4 and 6.4.9.5
_DRAW = {
    "normal": lambda given, rng, count: rng.normal(given.value, given.standard, count),
    "t": _student,
    "rectangular": lambda given, rng, count: rng.uniform(
        given.value - given.half_width, given.value + given.half_width, count
    ),
    "triangular": lambda given, rng, count: _trapezoid(given, 0.0, rng, count),
    "trapezoidal": lambda given, rng, count: _trapezoid(given, given.beta, rng, count),
    "curvilinear": _curvilinear,
    "arcsine": _arcsine,
}


def draw(given, rng, count):
    """`count` independent trials of one `Input`, from a numpy random generator: array (count,), in its unit.

    Source: JCGM 101:2008, 6.4.

    >>> draw(Input(20.0, half_width=0.5, shape="rectangular"), np.random.default_rng(1), 2).round(3)
    array([20.012, 20.45 ])
    """
    if given.standard == 0:
        return np.full(count, float(given.value))
    return _DRAW[given.shape](given, rng, count)


def correlation_matrix(correlations, inputs):
    """Check a correlation matrix for these inputs and return it as an array (n, n); `None` stays `None`.

    Raises `ValueError` unless it is n by n, symmetric, with ones on the diagonal, every coefficient in -1
    to 1, and positive semi-definite. Source: JCGM 100:2008, 5.2.

    >>> correlation_matrix([[1.0, 2.0], [2.0, 1.0]], [Input(1.0, standard=0.1)] * 2)
    Traceback (most recent call last):
        ...
    ValueError: correlation 2 (ratio) is outside -1 to 1 (ratio): check the matrix
    """
    if correlations is None:
        return None
    matrix, count = floats(correlations, "correlations"), len(inputs)
    if matrix.shape != (count, count):
        raise ValueError(
            f"correlations have shape {matrix.shape}, not ({count}, {count}): a row for each input"
        )
    worst = matrix.flat[np.argmax(np.abs(matrix))]
    if abs(worst) > 1 + _ROUNDING or np.isnan(worst):
        keep(worst, -1.0, 1.0, name="correlation", unit="(ratio)", advice="check the matrix")
    if np.abs(matrix - matrix.T).max() > _ROUNDING or np.abs(np.diag(matrix) - 1).max() > _ROUNDING:
        raise ValueError(
            "correlations are not symmetric with ones on the diagonal: r(i, j) = r(j, i), r(i, i) = 1"
        )
    matrix = np.clip((matrix + matrix.T) / 2, -1.0, 1.0)
    np.fill_diagonal(matrix, 1.0)
    least = float(np.linalg.eigvalsh(matrix)[0])
    if least < -1e-10 * count:
        raise ValueError(
            f"correlations are not positive semi-definite (least eigenvalue {least:.3g}, must be 0 or more): "
            "no set of quantities can be correlated like this; estimate them together"
        )
    return matrix


def _slope(function, values, i, step):
    """Fourth-order central difference, and what rounding and cutting off the series may each add to it."""
    at = [values[i] + m * step for m in (-2, -1, 1, 2)]
    f = [float(function(*values[:i], x, *values[i + 1 :])) for x in at]
    near, far = (f[2] - f[1]) / (at[2] - at[1]), (f[3] - f[0]) / (at[3] - at[0])
    slope = near + (near - far) / 3
    if not isfinite(slope):
        raise ValueError(
            f"the function is not finite within {2 * step:.3g} of input {i + 1} = {values[i]:.6g}"
        )
    cut = abs(near - far)
    rounding = _SMALLEST_STEP * max(map(abs, f)) / step if max(f) > min(f) else 0.0
    return slope, rounding, cut * min(1.0, cut / abs(slope) if slope else 1.0)


def _sensitivity(function, values, i, standard):
    step = max(0.01 * standard, 1e-4 * abs(values[i])) or 1e-4
    best, least, last = None, inf, None
    for _ in range(3):
        try:
            slope, rounding, cut = _slope(function, values, i, step)
        except ValueError as error:
            if best is None and standard and step > 1e-3 * standard:
                step = 1e-3 * standard
                continue
            if best is None:
                error.add_note(
                    f"propagate needs the function on both sides of input {i + 1} = {values[i]:.6g}"
                )
                raise
            break
        if rounding + cut < least:
            best, least = slope, rounding + cut
        turn = 32.0 if rounding > cut else 1 / 32
        if rounding + cut <= _GOOD * abs(slope) or turn == 1 / (last or 1.0):
            break
        step, last = step * turn, turn
    return best


def sensitivities(function, inputs):
    """Partial derivative of `function(*values)` by each input, at their values: list of floats.

    By central differences of fourth order, the step fitted to the function: about 1e-8 relative for a smooth
    function. A function with steps in it (a code) has no slope: pass what comes before the step, and give
    the step its own input. Raises `ValueError` where the function does, or is not finite.
    Source: JCGM 100:2008, 5.1.3.

    >>> inputs = [Input(0.75, standard=0.01), Input(0.01, standard=0.0)]
    >>> [round(c, 6) for c in sensitivities(lambda v, k: v / k, inputs)]
    [100.0, -7500.0]
    """
    values = [float(given.value) for given in inputs]
    return [_sensitivity(function, values, i, given.standard) for i, given in enumerate(inputs)]
