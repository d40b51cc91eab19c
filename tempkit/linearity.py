"""How straight a converter's staircase is: differential and integral nonlinearity from its transitions."""

from dataclasses import dataclass

import numpy as np

from tempkit.ranges import floats, keep


@dataclass(frozen=True, eq=False)
class Linearity:
    """The fitted staircase and what departs from it.

    `gain`: factor that turns the measured slope into the ideal one (ideal step / fitted step, [1]).
    `dnl`: width of each inner step less one step [LSB], one fewer than the transitions.
    `inl`: each transition less its place on the fitted line [LSB].
    `fitted_step`, `first`: slope of the line and where it puts the first transition, in the unit given.

    >>> Linearity(1.0, np.array([0.1]), np.array([0.0, 0.0]), 1.0, 0.5).gain
    1.0
    """

    gain: float
    dnl: np.ndarray
    inl: np.ndarray
    fitted_step: float
    first: float


def _line(levels, fit):
    if fit == "endpoint":
        return (levels[-1] - levels[0]) / (levels.size - 1), levels[0]
    codes = np.arange(levels.size)
    slope = np.polynomial.polynomial.polyfit(codes, levels, 1)
    return slope[1], slope[0]


def linearity(transitions, step=None, fit="endpoint"):
    """Gain, DNL and INL of a converter from its measured code transitions, lowest first, none left out.

    `transitions` [V, or any unit]: 2**N - 1 inputs at which the code changes. `step` [same unit]: the ideal
    step. With it, DNL holds each step against the ideal one; without it, against the fitted one, and `gain`
    takes the transitions as given in ideal steps. `fit`: the line INL is held against, "endpoint" (through
    the first and last transition) or "best" (least squares of transition on code). INL is in fitted steps,
    so a gain error does not count twice. A DNL of -1 is a missing code.
    Raises `ValueError` for fewer than 3 transitions, one that is masked or not finite, a step not above zero, a
    falling line, or another fit.
    Source: IEEE Std 1241-2010, terminal-based and independently based gain (from memory); there the error
    of a transition has the opposite sign.

    >>> linearity([0.5, 1.6, 2.5], step=1.0).dnl.round(3)
    array([ 0.1, -0.1])
    """
    levels = floats(transitions, "transitions")
    if levels.ndim != 1 or levels.size < 3 or not np.isfinite(levels).all():
        raise ValueError(
            f"transitions of shape {levels.shape} cannot be judged: give 3 or more finite numbers"
        )
    if fit not in ("endpoint", "best"):
        raise ValueError(f'fit {fit!r} is unknown: take "endpoint" or "best"')
    if step is not None:
        keep(
            step,
            np.finfo(float).tiny,
            np.inf,
            name="step",
            unit="(unit of the transitions)",
            advice="above 0",
        )
    fitted, first = (float(x) for x in _line(levels, fit))
    if fitted <= 0:
        raise ValueError(f"the fitted step {fitted:g} must be above 0: put the transitions lowest first")
    ideal = 1.0 if step is None else float(step)
    dnl = np.diff(levels) / (fitted if step is None else ideal) - 1
    inl = (levels - first) / fitted - np.arange(levels.size)
    return Linearity(ideal / fitted, dnl, inl, fitted, first)
