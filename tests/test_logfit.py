"""Estimates from a record: exact values, independent routes, and how often the stated intervals hold the truth."""

import numpy as np
import pytest
from scipy import stats

from tempkit.logs import fit, log
from tempkit.signal import step as response_step

REPEATS = 400
# Of 400 intervals that hold the truth with 95 %, 380 are expected, standard deviation 4.4: four of these to each side.
ENOUGH, TOO_MANY = 362, 398


def rngs(seed=0):
    return (np.random.default_rng([seed, nth]) for nth in range(REPEATS))


def holding(estimates, truth, level=0.95):
    """How many of the intervals hold the truth."""
    return sum(low <= truth <= high for low, high in (each.interval(level) for each in estimates))


def alike(rng, count, r):
    """Noise of standard deviation 1 whose neighbours correlate with r (autoregressive, order 1)."""
    white = rng.standard_normal(count)
    for nth in range(1, count):
        white[nth] = r * white[nth - 1] + np.sqrt(1 - r * r) * white[nth]
    return white


# ---- exact values and other routes


def test_offset_is_the_mean_and_its_standard_uncertainty():
    """Four readings by hand: mean 0.25, s = 0.1290994, s / sqrt(4) = 0.0645497."""
    found = fit.offset([25.1, 25.2, 25.4, 25.3], 25.0)
    assert found.value == pytest.approx(0.25) and found.standard == pytest.approx(0.0645497, abs=1e-7)
    assert found.expanded() == pytest.approx(stats.t.ppf(0.975, 3) * 0.0645497, abs=1e-6)


def test_offset_carries_the_thermometer_and_the_step():
    found = fit.offset([25.0] * 5, 24.8, u_truth=0.05, step=0.5)
    assert found.value == pytest.approx(0.2) and found.dof == np.inf
    assert found.standard == pytest.approx(np.hypot(0.05, 0.5 / np.sqrt(12)))


def test_against_a_reference_as_scipy_fits_it():
    rng = np.random.default_rng(3)
    truth = np.linspace(10.0, 40.0, 80)
    readings = 0.4 + 1.02 * truth + 0.1 * rng.standard_normal(80)
    found, theirs = fit.against(readings, truth), stats.linregress(truth, readings)
    assert found.slope.value == pytest.approx(theirs.slope)
    assert found.slope.standard == pytest.approx(theirs.stderr)
    assert found.offset.value == pytest.approx(readings.mean() - truth.mean()) and found.centre == 25.0


def test_drift_as_numpy_fits_it():
    rng = np.random.default_rng(4)
    times = np.sort(rng.uniform(0, 7200, 200))
    readings = 20 + 0.5 * times / 3600 + 0.05 * rng.standard_normal(200)
    (slope, _), covariance = np.polyfit(times / 3600, readings, 1, cov=True)
    found = fit.drift(times, readings)
    assert found.value == pytest.approx(slope) and found.standard == pytest.approx(np.sqrt(covariance[0, 0]))


def test_a_lag_without_noise_comes_back_exactly():
    """The record comes from `tempkit.signal.response.step`; the change is at 33.7 s, between two readings."""
    times = np.arange(0.0, 300.0, 2.0)
    readings = np.where(times < 33.7, 20.0, response_step(np.maximum(times - 33.7, 0.0), 40.0, 20.0, 35.0))
    for at_s in (33.7, None):
        found = fit.lag(times + 1000.0, readings, None if at_s is None else at_s + 1000.0)
        assert found.tau_s.value == pytest.approx(40.0, abs=1e-5)
        assert (found.start.value, found.end.value) == pytest.approx((20.0, 35.0), abs=1e-6)
        assert found.at_s.value == pytest.approx(1033.7, abs=1e-5) and found.s < 1e-6


def test_a_step_without_noise():
    found = fit.step(np.arange(0.0, 100.0, 2.0), np.where(np.arange(50) < 20, 20.0, 21.5))
    assert found.time_s.value == pytest.approx(39.0) and found.time_s.standard == pytest.approx(2 / np.sqrt(12))
    assert found.size.value == pytest.approx(1.5) and (found.before, found.after) == (20.0, 21.5)
    assert found.chance < 1e-12


def test_the_place_of_a_step_by_integrals_over_levels_and_noise():
    """Bayes' theorem with flat priors, integrated on a grid: both levels, the noise, the moment of the step."""
    times, readings = np.array([0.0, 1.0, 2.0, 4.0, 5.0, 6.0]), np.array([20.0, 20.3, 20.1, 20.6, 20.4, 20.9])
    levels, sigmas = np.linspace(10.0, 31.0, 4001), np.geomspace(0.02, 20.0, 300)

    def of_level(part):
        """The likelihood of one side, integrated over its level, for each noise."""
        squares = ((part[:, None] - levels) ** 2).sum(axis=0)
        return np.exp(-squares / (2 * sigmas[:, None] ** 2)).sum(axis=1) / sigmas**part.size

    sides = [of_level(readings[:k]) * of_level(readings[k:]) for k in range(1, 6)]
    weights = np.diff(times) * [each.sum() for each in sides]
    middles = (times[1:] + times[:-1]) / 2
    mean = weights @ middles / weights.sum()
    spread = np.sqrt(weights @ (np.diff(times) ** 2 / 12 + (middles - mean) ** 2) / weights.sum())
    found = fit.step(times, readings)
    assert found.time_s.value == pytest.approx(mean, rel=1e-3)
    assert found.time_s.standard == pytest.approx(spread, rel=1e-3)


def test_readings_that_stand_still_have_no_noise():
    assert fit.noise([25.0] * 20).value == pytest.approx(0.0, abs=1e-12)
    assert fit.offset([25.0] * 20, 25.0).standard == pytest.approx(0.0, abs=1e-12)
    assert fit.worth([25.0] * 20) == 20


@pytest.mark.parametrize(
    "call, told",
    [
        (lambda: fit.offset([25.0]), "1 readings are too few: give 3 or more"),
        (lambda: fit.offset([25.0, np.nan, 25.1]), "finite numbers"),
        (lambda: fit.drift([0, 1, 2], [1.0, 2.0]), "too few"),
        (lambda: fit.drift([0, 1, 2], [1.0, 2.0, 3.0, 4.0]), "3 times do not fit 4 readings"),
        (lambda: fit.drift([5, 5, 5], [1.0, 2.0, 3.0]), "all times are 5 s"),
        (lambda: fit.step([0, 1, 2, 1, 4], [1.0, 2, 3, 4, 5]), "times fall"),
        (lambda: fit.lag(np.arange(9.0), np.full(9, 20.0)), "no change to fit"),
        (lambda: fit.lag(np.arange(50.0), np.arange(50.0), at_s=0.0), "no time constant fits"),
        (lambda: fit.against([1.0, 2, 3], [20.0, 20, 20]), "different x"),
    ],
)
def test_what_cannot_be_estimated_is_told(call, told):
    with pytest.raises(ValueError, match=told):
        call()


# ---- do the intervals hold what they promise?


def test_offsets_of_independent_readings_are_covered():
    found = [fit.offset(0.3 + 0.2 * rng.standard_normal(12)) for rng in rngs(1)]
    assert ENOUGH <= holding(found, 0.3) <= TOO_MANY


@pytest.mark.parametrize("r", [0.5, 0.8])
def test_offsets_of_readings_that_are_alike_are_covered(r):
    """Taken as independent, as many as nine intervals of twenty would miss; found alike, about one does."""
    records = [0.3 + alike(rng, 300, r) for rng in rngs(2)]
    assert holding([fit.offset(record) for record in records], 0.3) >= ENOUGH
    naive = [fit.Estimate(x.mean(), x.std(ddof=1) / np.sqrt(x.size), x.size - 1) for x in records]
    assert holding(naive, 0.3) < 320


def test_slopes_against_a_reference_are_covered():
    truth = np.linspace(15, 30, 40)
    found = [fit.against(truth + 0.02 * (truth - 20) + 0.1 * rng.standard_normal(40), truth) for rng in rngs(3)]
    assert ENOUGH <= holding([each.slope for each in found], 1.02) <= TOO_MANY
    assert ENOUGH <= holding([each.offset for each in found], 0.02 * 2.5) <= TOO_MANY


@pytest.mark.parametrize("r", [0.0, 0.6])
def test_drifts_are_covered(r):
    times = np.arange(400) * 10.0
    found = [fit.drift(times, 20 + 0.3 * times / 3600 + 0.1 * alike(rng, 400, r)) for rng in rngs(4)]
    assert ENOUGH <= holding(found, 0.3) <= TOO_MANY


@pytest.mark.parametrize("estimate", [fit.noise, fit.noise_of_steps])
def test_noise_is_covered(estimate):
    found = [estimate(20 + 0.001 * np.arange(25) + 0.2 * rng.standard_normal(25)) for rng in rngs(5)]
    assert ENOUGH <= holding(found, 0.2) <= TOO_MANY
    errors = np.std([each.value for each in found])
    assert np.mean([each.standard for each in found]) == pytest.approx(errors, rel=0.15)


@pytest.mark.parametrize("size", [0.4, 1.0])
def test_steps_are_covered(size):
    """Noise 0.2: a step of twice the noise is smeared over places, one of five times is seen at once."""
    found, off = [], []
    for rng in rngs(6):
        at, times = rng.uniform(30, 70), np.arange(0.0, 100.0, 1.0)
        found.append(fit.step(times, np.where(times < at, 20, 20 + size) + 0.2 * rng.standard_normal(100)))
        off.append(found[-1].time_s.value - at)
    assert ENOUGH <= holding([each.size for each in found], size) <= TOO_MANY
    stated = np.sqrt(np.mean([each.time_s.standard**2 for each in found]))
    assert 0.9 < stated / np.sqrt(np.mean(np.square(off))) < 1.5  # not too small; steps near the ends are not drawn
    inside = sum(abs(e) <= 2 * each.time_s.standard for e, each in zip(off, found, strict=True))
    assert inside >= ENOUGH


def test_chance_finds_a_step_in_noise_no_more_often_than_it_says():
    found = [fit.step(np.arange(60.0), rng.standard_normal(60)).chance for rng in rngs(7)]
    assert sum(chance < 0.05 for chance in found) <= 0.05 * REPEATS + 4 * 4.4


@pytest.mark.parametrize("at_s", [40.0, None])
def test_time_constants_are_covered(at_s):
    times, found = np.arange(0.0, 260.0, 2.0), []
    for rng in rngs(8):
        clean = 20 + 15 * -np.expm1(-np.maximum(times - 40.0, 0) / 45.0)
        found.append(fit.lag(times, clean + 0.15 * rng.standard_normal(times.size), at_s))
    assert ENOUGH <= holding([each.tau_s for each in found], 45.0) <= TOO_MANY
    assert ENOUGH <= holding([each.end for each in found], 35.0) <= TOO_MANY
    if at_s is None:
        assert ENOUGH <= holding([each.at_s for each in found], 40.0) <= TOO_MANY


# ---- from a written log to a figure


def test_a_written_log_gives_back_what_it_was_made_with():
    """Round trip through text, one decimal, with lines lost: offset and drift within four standard uncertainties."""
    rng = np.random.default_rng(9)
    times = np.arange(3600) * 2.0
    made = 25.0 + 0.7 + 0.25 * (times - times.mean()) / 3600 + 0.3 * rng.standard_normal(3600)
    lines = [f"t={t:.1f} read={value:.1f}\r\n" for t, value in zip(times, made, strict=True)]
    lines[100] = "t=2\xff\r\n"
    del lines[2000:2050]
    record = log.read("".join(lines).encode("latin-1"))
    seconds, readings = record.series("read")
    assert record.rows == 3549 and record.gaps().missing.sum() == 51
    for found, truth in ((fit.offset(readings, 25.0, step=0.1), 0.7), (fit.drift(seconds, readings), 0.25)):
        assert abs(found.value - truth) < 4 * found.standard
    assert fit.noise(readings).value == pytest.approx(0.3, rel=0.05)
