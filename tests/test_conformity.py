"""Decisions against limits: the examples of JCGM 106, a published table, and simulated items."""

from math import inf, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from references import reference
from tempkit.uncertainty import conformance_probability, global_risk, guard_band
from tempkit.uncertainty.conformity import guarded_limit

QUADRATURE = 1e-9  # what the docstring promises
TAIL = 1e-10  # relative, where a plain difference of two probabilities would lose all digits


def test_one_sided_probabilities():
    entry = reference("j106-z")
    for probability, z in zip(entry.inputs["pc_one_sided"], entry.expected["z"], strict=True):
        # the printed figures are rounded: half a unit of the last place, and a hair for binary fractions
        assert abs(guard_band(1.0, probability) - z) <= entry.tolerance["abs"] + 1e-9
        ours = conformance_probability(10.0 - guard_band(2.0, probability), 2.0, upper=10.0)
        assert ours == pytest.approx(probability, rel=1e-12)


def test_breakdown_voltage():
    entry = reference("j106-zener")
    ours = conformance_probability(entry.inputs["y_V"], entry.inputs["u_V"], upper=entry.inputs["T_U_V"])
    assert abs(ours - entry.expected["pc"]) <= entry.tolerance["abs"]


def test_speed_limit():
    entry = reference("j106-radar")
    limit, u = entry.inputs["limit_kmh"], entry.inputs["u_rel"]
    ours = guarded_limit(limit, u, entry.inputs["p"])
    assert abs(ours - entry.expected["acceptance_kmh"]) <= entry.tolerance["abs"]
    assert round(ours) == entry.expected["printed"]
    assert conformance_probability(ours, u * ours, lower=limit) == pytest.approx(entry.inputs["p"], rel=1e-9)


def test_resistors():
    entry = reference("j106-resistor")
    limits = entry.inputs["T"]
    risk = global_risk(1500.0, 0.12, entry.inputs["u_m"], limits, limits)
    tolerance = entry.tolerance["abs"]
    assert abs(risk.conforming - entry.expected["p_conform_prior"]) <= tolerance
    assert abs(risk.consumer - entry.expected["R_C"]) <= tolerance
    assert abs(risk.producer - entry.expected["R_P"]) <= tolerance


def test_bearings():
    entry = reference("j106-bearing")
    limits = (-inf, entry.inputs["T_U"])
    prior = stats.gamma(4, scale=0.25)
    risk = global_risk(None, None, entry.inputs["u_m"], limits, (-inf, entry.inputs["A_U"]), prior=prior)
    tolerance = entry.tolerance["abs"]
    assert abs(1 - risk.conforming - entry.expected["p_nonconform"]) <= tolerance
    assert abs(risk.consumer - entry.expected["R_C"]) <= tolerance
    assert abs(risk.producer - entry.expected["R_P"]) <= tolerance


def test_table_of_false_accepts():
    entry = reference("rp19-pfa")
    limits, ratio = entry.inputs["T"], entry.inputs["u_m/sigma_p"]
    for share, percent in zip(entry.inputs["EOPR"], entry.expected["PFA_percent"], strict=True):
        sigma = 1 / stats.norm.ppf((1 + share) / 2)
        risk = global_risk(0.0, sigma, ratio * sigma, limits, limits)
        assert abs(100 * risk.consumer - percent) <= entry.tolerance["abs"]
        assert risk.conforming == pytest.approx(share, abs=QUADRATURE)


@given(
    st.floats(-1.0, 1.0),
    st.floats(0.05, 3.0),
    st.floats(0.002, 2.0),
    st.floats(-0.5, 0.5),
)
def test_normal_prior_is_a_pair_of_correlated_normals(mean, sigma, u, guard):
    """One limit each: P(true > T, reading < A) is a bivariate normal probability, by another algorithm."""
    risk = global_risk(mean, sigma, u, (-inf, 1.0), (-inf, 1.0 - guard))
    spread = sqrt(sigma**2 + u**2)
    both = stats.multivariate_normal([mean, mean], [[sigma**2, sigma**2], [sigma**2, spread**2]])
    joint = both.cdf([1.0, 1.0 - guard])
    accepted = stats.norm.cdf((1.0 - guard - mean) / spread)
    conforming = stats.norm.cdf((1.0 - mean) / sigma)
    assert risk.accepted == pytest.approx(accepted, abs=QUADRATURE)
    assert risk.conforming == pytest.approx(conforming, abs=QUADRATURE)
    assert risk.consumer == pytest.approx(accepted - joint, abs=1e-7)  # the other algorithm is good to 1e-8
    assert risk.producer == pytest.approx(conforming - joint, abs=1e-7)


@pytest.mark.parametrize(
    "prior",
    [stats.uniform(18, 9), stats.triang(0.5, 16, 13), stats.t(3, 22, 2), stats.lognorm(0.3, 0, 22)],
    ids=["uniform", "triangular", "t", "lognormal"],
)
def test_other_priors_by_simulation(prior):
    count = 1_000_000
    rng = np.random.default_rng(5)
    true = prior.rvs(count, random_state=rng)
    read = true + 0.5 * rng.standard_normal(count)
    good, taken = (true > 18) & (true < 27), (read > 18.5) & (read < 26.5)
    risk = global_risk(0, 1, 0.5, (18, 27), (18.5, 26.5), prior=prior)
    scatter = 5 * sqrt(0.1 / count)  # five standard deviations of a share near a tenth
    assert risk.consumer == pytest.approx(np.mean(taken & ~good), abs=scatter)
    assert risk.producer == pytest.approx(np.mean(~taken & good), abs=scatter)


def test_a_perfect_measurement_takes_no_risk():
    risk = global_risk(0.0, 1.0, 1e-6, (-1, 1), (-1, 1))
    assert (risk.consumer, risk.producer) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_a_guard_band_trades_one_risk_for_the_other():
    narrow, wide = (global_risk(0.0, 1.0, 0.2, (-2, 2), (-a, a)) for a in (1.7, 2.0))
    assert narrow.consumer < wide.consumer and narrow.producer > wide.producer


def test_probability_in_both_tails():
    for value in (-40.0, 40.0):
        ours = conformance_probability(value, 1.0, lower=-1.0, upper=1.0)
        assert ours == pytest.approx(stats.norm.sf(39.0), rel=1e-6, abs=0.0)
    assert conformance_probability(12.0, 1.0, 0.0, 2.0) == pytest.approx(stats.norm.sf(10.0), rel=TAIL)


@given(st.floats(-50, 50), st.floats(0.01, 10), st.floats(-50, 50), st.floats(0, 50))
def test_probability_is_the_normal_integral(value, standard, lower, width):
    ours = conformance_probability(value, standard, lower, lower + width)
    frozen = stats.norm(value, standard)
    assert ours == pytest.approx(frozen.cdf(lower + width) - frozen.cdf(lower), abs=1e-12)


def test_shapes_and_types():
    assert type(conformance_probability(1, 1, upper=2)) is type(guard_band(1, 0.95)) is float
    assert conformance_probability(np.zeros((2, 3)), 1.0, upper=[1, 2, inf]).shape == (2, 3)
    assert conformance_probability(5.0, 1.0) == 1.0
    assert np.isnan(conformance_probability([1.0, 2.0], [1.0, -1.0])).tolist() == [False, True]
    assert guard_band([0.1, 0.2], 0.95) == pytest.approx([0.1644854, 0.3289707], rel=1e-6)
    assert guard_band(1.0, [0.05, 0.95]) == pytest.approx([-1.6448536, 1.6448536], rel=1e-6)


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: conformance_probability(1.0, 0.0), "standard uncertainty 0 .*above 0"),
        (lambda: conformance_probability(1.0, 1.0, 2.0, 1.0), "lower limit 2.0 is above upper limit 1.0"),
        (lambda: guard_band(-1.0, 0.95), "standard uncertainty -1 "),
        (lambda: guard_band(1.0, 95), "level 95 "),
        (lambda: guarded_limit(100.0, 0.5, 0.999), "must be below 0.324"),
        (lambda: global_risk(0, 1, 0.0, (-1, 1), (-1, 1)), "measurement standard uncertainty 0 "),
        (lambda: global_risk(0, -1, 0.1, (-1, 1), (-1, 1)), "prior standard uncertainty -1 "),
        (lambda: global_risk(0, 1, 0.1, (1, -1), (-1, 1)), r"tolerance limits \(1, -1\) enclose nothing"),
        (lambda: global_risk(0, 1, 0.1, (-1, 1), (nan, 1)), "acceptance limits"),
        (lambda: global_risk(0, 1, 0.1, (-1, 1), (-1, 1), prior=stats.beta(0.02, 0.02)), "adds up to"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()
