"""Sensitivity coefficients: how much a function moves for a small move of each of its inputs."""

from math import inf, isfinite

import numpy as np

_ROUNDING = float(np.finfo(float).eps)
_GOOD = 1e-9


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
    rounding = _ROUNDING * max(map(abs, f)) / step if max(f) > min(f) else 0.0
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

    >>> from tempkit.inputs import Input
    >>> inputs = [Input(0.75, standard=0.01), Input(0.01, standard=0.0)]
    >>> [round(c, 6) for c in sensitivities(lambda v, k: v / k, inputs)]
    [100.0, -7500.0]
    """
    values = [float(given.value) for given in inputs]
    return [_sensitivity(function, values, i, given.standard) for i, given in enumerate(inputs)]
