"""Settling of the sampling capacitor behind a resistance: closed form against numerical integration."""

import math

import numpy as np
import pytest

from tempkit.chain import settling_error, settling_time_s


@pytest.mark.parametrize(("source_ohm", "hold_f"), [(10_000.0, 11e-12), (470.0, 8e-12), (1e6, 20e-12)])
def test_settling_against_numerical_integration(source_ohm, hold_f):
    """The charging of the sampling capacitor, C dv/dt = (1 - v) / R, integrated step by step."""
    from scipy.integrate import solve_ivp

    tau_s = source_ohm * hold_f
    bits, part_of_step = 10, 0.5
    ends_s = [0.3 * tau_s, 2 * tau_s, settling_time_s(source_ohm, hold_f, bits, part_of_step)]
    tight = {"method": "DOP853", "rtol": 1e-12, "atol": 1e-14}
    solution = solve_ivp(lambda _, v: (1 - v) / tau_s, (0, ends_s[-1]), [0.0], t_eval=ends_s, **tight)
    missing = 1 - solution.y[0]
    integration = 1e-9  # of the step; the integrator was asked for 1e-12 at each of its steps
    assert settling_error(np.array(ends_s), source_ohm, hold_f) == pytest.approx(missing, abs=integration)
    assert missing[-1] == pytest.approx(part_of_step / 2**bits, abs=integration)


def test_settling_time_and_error_are_inverse():
    for bits in (8, 10, 12, 16):
        time_s = settling_time_s(10_000.0, 11e-12, bits, 0.25)
        assert settling_error(time_s, 10_000.0, 11e-12) == pytest.approx(0.25 / 2**bits, rel=1e-9)


def test_settling_at_its_ends():
    assert settling_error(0.0, 10_000.0, 11e-12) == 1.0
    assert settling_error(1e-6, 0.0, 11e-12) == 0.0
    assert settling_error(0.0, 0.0, 11e-12) == 0.0
    assert settling_error(math.inf, 10_000.0, 11e-12) == 0.0
    grid = settling_error(np.array([[1e-6], [2e-6]]), np.array([0.0, 1e3, 1e5]), 11e-12)
    assert grid.shape == (2, 3)
    assert grid[1, 2] == settling_error(2e-6, 1e5, 11e-12)
    no_time = settling_error(np.array([-1e-6, math.nan, 1e-6]), 0.0, 11e-12)
    assert np.isnan(no_time).tolist() == [True, True, False]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: settling_error(-1.0, 1e3, 1e-12), "sampling time -1 s must be 0 s or more"),
        (lambda: settling_error(1.0, -1e3, 1e-12), "source_ohm -1000 ohm must be 0 ohm or more"),
        (lambda: settling_error(1.0, 1e3, 0.0), "hold_f 0 F must be above 0 F"),
        (lambda: settling_time_s(1e3, 1e-12, 0), "bits 0 bit is outside 1 to 24 bit"),
        (lambda: settling_time_s(1e3, 1e-12, 10, 0.0), "part_of_step 0 LSB must be above 0 LSB"),
        (lambda: settling_time_s(1e3, 1e-12, 1, 5.0), "part_of_step 5 LSB is outside 0 to 2 LSB"),
    ],
)
def test_settling_that_cannot_be(call, words):
    with pytest.raises(ValueError) as error:
        call()
    assert words in str(error.value)
