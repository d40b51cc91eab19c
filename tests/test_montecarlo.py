"""Monte Carlo: the worked examples of JCGM 101, exact distributions, and first order as the other way round.

A tolerance named after a scatter is five standard deviations of the estimate it stands for, at a fixed seed.
"""

import tracemalloc
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from references import reference
from tempkit.uncertainty import Input, monte_carlo, numerical_tolerance, propagate
from tempkit.uncertainty.inputs import draw
from tempkit.uncertainty.montecarlo import KEPT, adaptive_monte_carlo

MANY = 1_000_000
MEAN_SCATTER = 5 / sqrt(MANY)  # of the mean, in standard deviations
U_SCATTER = 5 / sqrt(2 * MANY)  # of the standard deviation of a normal, relative
KS = 2.2  # of sqrt(n) times the distance of two distribution functions: exceeded once in 8,000
SMALL = 200_000


def total(*values):
    return sum(values)


def test_four_normal_inputs():
    entry = reference("s1-922")
    result = monte_carlo(total, [Input(0.0, standard=1.0)] * 4, trials=MANY, seed=1)
    assert abs(result.value - entry.expected["y"]) <= 2 * MEAN_SCATTER
    assert abs(result.standard - entry.expected["u"]) <= 2 * U_SCATTER
    assert result.interval(0.95) == pytest.approx(entry.expected["I95"], abs=0.03)  # 5 sd of such a quantile


@pytest.mark.parametrize("shortest", [False, True])
def test_four_rectangular_inputs(shortest):
    entry = reference("s1-923")
    exact = 2 * sqrt(3) * (2 - (3 / 5) ** 0.25)
    assert abs(exact - entry.expected["I95_exact"]) <= entry.tolerance["exact"]
    inputs = [Input(0.0, half_width=sqrt(3), shape="rectangular")] * 4
    result = monte_carlo(total, inputs, trials=MANY, seed=2)
    low, high = result.interval(0.95, shortest)
    # printed to two decimals; scatter of a 97.5 % quantile 0.0027, of an end of the shortest more
    slack = entry.tolerance["MCM"] + (0.04 if shortest else 0.005)
    assert (low, high) == pytest.approx(entry.expected["I95_MCM"], abs=slack)
    assert high - low == pytest.approx(2 * exact, abs=0.02)
    assert propagate(total, inputs).interval(0.95) == pytest.approx(entry.expected["I95_GUF"], abs=0.005)


def test_one_rectangular_input_dominates():
    entry = reference("s1-924")
    inputs = [Input(0.0, standard=u, shape="rectangular") for u in (1, 1, 1, 10)]
    result = monte_carlo(total, inputs, trials=MANY, seed=3)
    assert abs(result.standard - entry.expected["u"]) <= entry.tolerance["u"]
    assert result.interval(0.95) == pytest.approx(entry.expected["I95_MCM"], abs=entry.tolerance["I95"])
    ours = propagate(total, inputs).interval(0.95)
    assert ours == pytest.approx(entry.expected["I95_GUF"], abs=entry.tolerance["I95"])


def test_end_gauge():
    entry = reference("s1-94")
    # the ends of a shortest interval scatter by 0.7 nm in a run of 10^6: average four runs
    result = monte_carlo(end_gauge_difference, end_gauge_inputs(), trials=4 * MANY, seed=4)
    assert abs(result.value - entry.expected["mean"]) <= entry.tolerance["mean"]
    assert abs(result.standard - entry.expected["u_MCM"]) <= entry.tolerance["u"]
    interval = result.interval(0.99, shortest=True)
    assert interval == pytest.approx(entry.expected["I99_shortest"], abs=entry.tolerance["I99"])


def end_gauge_difference(l_s, d, d1, d2, alpha_s, theta_0, delta, d_alpha, d_theta):
    """JCGM 101:2008, 9.4: deviation from 50 mm [nm]; the model is written out in full there."""
    theta = theta_0 + delta
    top = l_s * (1 + alpha_s * (theta - d_theta)) + d + d1 + d2
    return top / (1 + (alpha_s + d_alpha) * theta) - 50e6


def end_gauge_inputs():
    return [
        Input(50_000_623.0, standard=25.0, shape="t", dof=18),
        Input(215.0, standard=6.0, shape="t", dof=24),
        Input(0.0, standard=4.0, shape="t", dof=5),
        Input(0.0, standard=7.0, shape="t", dof=8),
        Input(11.5e-6, half_width=2e-6, shape="rectangular"),
        Input(-0.1, standard=0.2),
        Input(0.0, half_width=0.5, shape="arcsine"),
        Input(0.0, half_width=1e-6, shape="curvilinear", beta=0.1e-6),
        Input(0.0, half_width=0.05, shape="curvilinear", beta=0.025),
    ]


def test_mass_calibration():
    entry = reference("s1-93")
    limits = [entry.inputs[k][1:] for k in ("rho_a", "rho_W", "rho_R")]
    inputs = [Input(entry.inputs[k][1], standard=entry.inputs[k][2]) for k in ("m_Rc_mg", "dm_Rc_mg")]
    inputs += [Input((a + b) / 2, half_width=(b - a) / 2, shape="rectangular") for a, b in limits]
    result = monte_carlo(
        lambda m, d, ra, rw, rr: (m + d) * (1 + (ra - 1.2) * (1 / rw - 1 / rr)) - 1e5, inputs, MANY, seed=5
    )
    value, standard, interval = entry.expected["MCM"]
    assert (result.value, result.standard) == pytest.approx((value, standard), abs=entry.tolerance["MCM_y_u"])
    assert result.interval(0.95) == pytest.approx(interval, abs=entry.tolerance["MCM_interval"])


def test_square_of_a_value_near_zero():
    """JCGM 101:2008, 9.5 has x1^2 + x2^2: for normal inputs the first two moments are exact (algebra)."""
    x, u = 0.01, 0.005
    result = monte_carlo(
        lambda a, b: a**2 + b**2, [Input(x, standard=u), Input(0.0, standard=u)], MANY, seed=6
    )
    exact = 2 * u * sqrt(x**2 + u**2)
    assert result.value == pytest.approx(x**2 + 2 * u**2, abs=exact * MEAN_SCATTER)
    assert result.standard == pytest.approx(exact, rel=2 * U_SCATTER)


FROZEN = {
    "normal": (Input(20.0, standard=0.3), stats.norm(20, 0.3)),
    "t": (Input(20.0, standard=0.3, shape="t", dof=4), stats.t(4, 20, 0.3)),
    "t without end": (Input(20.0, standard=0.3, shape="t"), stats.norm(20, 0.3)),
    "rectangular": (Input(20.0, half_width=0.3, shape="rectangular"), stats.uniform(19.7, 0.6)),
    "triangular": (Input(20.0, half_width=0.3, shape="triangular"), stats.triang(0.5, 19.7, 0.6)),
    "arcsine": (Input(20.0, half_width=0.3, shape="arcsine"), stats.arcsine(19.7, 0.6)),
    "trapezoidal": (
        Input(20.0, half_width=0.3, shape="trapezoidal", beta=0.4),
        stats.trapezoid(0.3, 0.7, 19.7, 0.6),
    ),
}


@pytest.mark.parametrize("shape", FROZEN)
def test_trials_have_the_distribution_of_scipy(shape):
    given_input, frozen = FROZEN[shape]
    trials = draw(given_input, np.random.default_rng(7), SMALL)
    assert stats.kstest(trials, frozen.cdf).statistic <= KS / sqrt(SMALL)


def test_curvilinear_trials():
    """Density ln((a + d) / (a - d)) / (4 d) in the flat middle (JCGM 101:2008, 6.4.3.2), none past a + d."""
    a, d = 1.0, 0.5
    trials = draw(Input(0.0, half_width=a, shape="curvilinear", beta=d), np.random.default_rng(8), SMALL)
    middle = 2 * (a - d) * np.log((a + d) / (a - d)) / (4 * d)
    assert np.mean(np.abs(trials) < a - d) == pytest.approx(middle, abs=5 * sqrt(0.25 / SMALL))
    assert np.abs(trials).max() <= a + d
    assert trials.std() == pytest.approx(sqrt(a**2 / 3 + d**2 / 9), rel=0.01)


def test_exact_input_stays():
    assert (draw(Input(3.0, standard=0.0), np.random.default_rng(0), 4) == 3.0).all()


@settings(max_examples=12)
@given(
    st.lists(
        st.tuples(st.floats(0.5, 3.0), st.sampled_from(["normal", "rectangular", "triangular", "arcsine"])),
        min_size=2,
        max_size=5,
    ),
    st.integers(0, 2**32),
)
def test_first_order_agrees_for_a_linear_function(drawn, seed):
    inputs = [Input(float(i), standard=u, shape=shape) for i, (u, shape) in enumerate(drawn)]
    weights = [1.0, -2.0, 0.5, 3.0, -1.0][: len(inputs)]

    def weighted(*values):
        return sum(w * x for w, x in zip(weights, values, strict=True))

    expected = propagate(weighted, inputs)
    result = monte_carlo(weighted, inputs, trials=40_000, seed=seed)
    # five standard deviations of the mean, and of the standard deviation of the widest of these shapes
    assert result.value == pytest.approx(expected.value, abs=5 * expected.standard / sqrt(40_000))
    assert result.standard == pytest.approx(expected.standard, rel=5 / sqrt(80_000))


@settings(max_examples=10)
@given(st.floats(-0.99, 0.99), st.integers(0, 2**32))
def test_correlated_inputs_agree_with_first_order(r, seed):
    inputs = [Input(1.0, standard=0.3), Input(5.0, half_width=1.0, shape="arcsine"), Input(2.0, standard=0.4)]
    matrix = [[1.0, 0.0, r], [0.0, 1.0, 0.0], [r, 0.0, 1.0]]
    expected = propagate(total, inputs, matrix)
    result = monte_carlo(total, inputs, trials=40_000, seed=seed, correlations=matrix)
    assert result.standard == pytest.approx(expected.standard, rel=5 / sqrt(80_000))


def test_fully_correlated_inputs_cancel():
    inputs = [Input(1.0, standard=0.3), Input(5.0, standard=0.3)]
    result = monte_carlo(lambda a, b: b - a, inputs, 1000, seed=1, correlations=[[1.0, 1.0], [1.0, 1.0]])
    assert result.value == pytest.approx(4.0)
    assert result.standard == pytest.approx(0.0, abs=1e-7)


def test_independent_matrix_changes_nothing():
    inputs = [Input(1.0, standard=0.3), Input(5.0, half_width=0.3, shape="rectangular")]
    plain = monte_carlo(total, inputs, 1000, seed=1)
    assert monte_carlo(total, inputs, 1000, seed=1, correlations=np.eye(2)).value == plain.value


def test_same_seed_same_result():
    runs = [monte_carlo(total, FROZEN["t"][:1], 5000, seed=seed) for seed in (1, 1, 2)]
    assert runs[0].interval() == runs[1].interval() != runs[2].interval()
    assert (runs[0].value, runs[0].standard) == (runs[1].value, runs[1].standard)


def test_moments_and_quantiles_are_those_of_numpy():
    result = monte_carlo(lambda a: a**2, [Input(1.0, standard=0.3)], trials=70_000, seed=9)
    assert result.values.size == result.trials == 70_000
    assert result.value == pytest.approx(result.values.mean(), rel=1e-12)
    assert result.standard == pytest.approx(result.values.std(ddof=1), rel=1e-12)
    step = 5e-3  # wider than the gap between neighbours in the tail
    assert result.interval(0.9) == pytest.approx(np.quantile(result.values, [0.05, 0.95]), abs=step)
    low, high = result.interval(0.9, shortest=True)
    assert high - low <= np.subtract(*result.interval(0.9)[::-1])
    assert np.mean((result.values >= low) & (result.values <= high)) == pytest.approx(0.9, abs=1e-4)


def test_order_statistics_are_those_of_the_standard():
    """JCGM 101:2008, 7.7.2 with M = 100, p = 0.95: q = 95, r = 3: the third and the 98th smallest."""
    result = monte_carlo(lambda a: a, [Input(0.0, standard=1.0)], trials=100, seed=1)
    ordered = np.sort(result.values)
    assert result.interval(0.95) == (ordered[2], ordered[97])


def test_beyond_a_million_the_memory_stays():
    tracemalloc.start()
    result = monte_carlo(lambda a: np.exp(a), [Input(0.0, standard=0.5)], trials=2_500_000, seed=10)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert result.values is None
    assert peak < 40e6, "8 MB kept, 8 MB to sort, some blocks"
    exact = stats.lognorm(0.5)
    for level, slack in ((0.95, 0.01), (0.999, 0.05), (0.5, 0.003)):  # 5 sd of the quantile of a lognormal
        tails = [(1 - level) / 2, (1 + level) / 2]
        assert result.interval(level) == pytest.approx(exact.ppf(tails), abs=slack), level
    assert result.standard == pytest.approx(exact.std(), rel=0.005)
    low, high = result.interval(0.95, shortest=True)
    assert exact.pdf(low) == pytest.approx(exact.pdf(high), abs=0.02), "ends of the shortest: equal density"
    assert exact.cdf(high) - exact.cdf(low) == pytest.approx(0.95, abs=0.001)


def test_a_million_and_one_goes_on_from_a_million():
    inputs = [Input(0.0, standard=1.0)]
    kept, folded = (monte_carlo(lambda a: a, inputs, KEPT + more, seed=11) for more in (0, 1))
    assert kept.values is not None and folded.values is None
    assert folded.trials == KEPT + 1
    assert folded.interval(0.95) == pytest.approx(kept.interval(0.95), abs=1e-4)
    assert folded.standard == pytest.approx(kept.standard, abs=1e-4)


def test_trials_without_a_number_are_counted():
    def root(x):
        with np.errstate(invalid="ignore"):
            return np.sqrt(x)

    result = monte_carlo(root, [Input(0.0, half_width=1.0, shape="rectangular")], trials=SMALL, seed=12)
    assert result.invalid == pytest.approx(SMALL / 2, abs=5 * sqrt(SMALL / 4))
    assert result.values.size == SMALL - result.invalid
    assert result.value == pytest.approx(2 / 3, abs=0.005), "mean of the root of a uniform"
    with pytest.raises(ValueError, match="0 of 1000 trials gave a finite result"):
        monte_carlo(root, [Input(-5.0, half_width=1.0, shape="rectangular")], trials=1000)


def test_function_that_ignores_its_inputs():
    result = monte_carlo(lambda a: 4.0, [Input(0.0, standard=1.0)], trials=100)
    assert (result.value, result.standard) == (4.0, 0.0)


@pytest.mark.parametrize(
    "standard, digits, expected",
    [
        (0.00035, 2, 0.000005),
        (2.0, 1, 0.5),
        (0.0996, 2, 0.005),
        (9.96, 2, 0.5),
        (32.0, 2, 0.5),
    ],
)
def test_numerical_tolerance(standard, digits, expected):
    """JCGM 101:2008, 7.9.2: u = c 10^l with `digits` digits in c; half of 10^l."""
    assert numerical_tolerance(standard, digits) == pytest.approx(expected, rel=1e-12)


def test_adaptive_stops_when_the_digits_stand_still():
    inputs = [Input(0.0, standard=1.0, shape="rectangular")] * 4
    run = adaptive_monte_carlo(total, inputs, digits=2, level=0.95, seed=13)
    assert run.stable and run.tolerance == 0.05
    assert 20_000 <= run.simulated.trials < 500_000
    assert run.simulated.standard == pytest.approx(2.0, abs=run.tolerance)
    assert run.simulated.interval(0.95)[1] == pytest.approx(
        reference("s1-923").expected["I95_exact"], abs=0.05
    )
    finer = adaptive_monte_carlo(total, inputs, digits=2, level=0.95, seed=13, finer=2.0)
    assert finer.simulated.trials > run.simulated.trials


def test_adaptive_says_when_it_was_stopped():
    run = adaptive_monte_carlo(total, FROZEN["t"][:1], digits=4, seed=14, most_trials=50_000)
    assert not run.stable
    assert run.simulated.trials == 50_000


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda x: monte_carlo(total, [x], trials=1), "trials 1 trials must be a whole number, 2 or more"),
        (lambda x: monte_carlo(total, [x], trials=10.5), "whole number"),
        (lambda x: monte_carlo(total, [x], trials=100).interval(0.995), "level 0.995 .* 0.99"),
        (lambda x: monte_carlo(total, [x], trials=100).interval(95), "level 95"),
        (lambda x: monte_carlo(lambda a: a[:3], [x], trials=100), r"shape \(3,\) for 100 trials"),
        (lambda x: adaptive_monte_carlo(total, [x], level=1.0), "level 1 "),
        (lambda x: numerical_tolerance(0.0), "no digits"),
        (lambda x: numerical_tolerance(1.0, digits=0), "digits 0"),
        (
            lambda x: monte_carlo(
                total, [x, Input(0.0, half_width=1.0, shape="rectangular")], 100, 0, [[1, 0.5], [0.5, 1]]
            ),
            "input 2 is rectangular and correlated",
        ),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call(Input(0.0, standard=1.0))


def test_function_of_single_numbers_gets_advice():
    def scalar_only(a):
        raise TypeError("only 0-dimensional arrays can be converted to Python scalars")

    with pytest.raises(TypeError) as caught:
        monte_carlo(scalar_only, [Input(0.0, standard=1.0)], trials=10)
    assert "numpy's functions" in caught.value.__notes__[0]
