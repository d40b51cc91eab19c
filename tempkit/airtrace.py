"""Air temperature against time, however it is given."""

import numpy as np

from tempkit.ranges import floats


def air_at(air_c, t_s):
    """True air temperature [degC] at times [s], an array: from a number, a function of time, or (times, temperatures).

    Between the times of a pair it runs straight, before and after it stays.

    >>> air_at(([0.0, 10.0], [20.0, 22.0]), np.array([5.0, 20.0]))
    array([21., 22.])
    """
    if callable(air_c):
        air_c = air_c(t_s)
    elif isinstance(air_c, tuple):
        air_c = np.interp(t_s, *air_c)
    return np.broadcast_to(floats(air_c, "air_c"), np.shape(t_s)).copy()
