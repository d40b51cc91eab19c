"""First-order budget: the worked examples of JCGM 100, an independent library, and exact derivatives."""

from math import cos, exp, inf, isnan, nan, pi, sin, sqrt
from types import SimpleNamespace

import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from uncertainties import umath

from references import reference
from tempkit.uncertainty import (
    Input,
    compare,
    coverage_factor,
    monte_carlo,
    propagate,
    type_a,
    validate,
    welch_satterthwaite,
    worst_case,
)
from tempkit.uncertainty.inputs import sensitivities

SLOPE = 1e-8  # relative: what the docstring of `sensitivities` promises
EXACT = 1e-12  # relative: arithmetic of a few steps in double precision
LIBRARY = 1e-7  # relative: the library differentiates exactly, we to 1e-8 for each of a few inputs
T3_SCATTER = 0.08  # relative: a t of 3 dof has no fourth moment; runs of 400,000 give 1.72 to 1.87


def test_end_gauge_first_order():
    entry = reference("gum-h1-uc")
    printed, tolerance = entry.expected, entry.tolerance
    result = propagate(end_gauge, end_gauge_inputs())
    assert abs(result.value - printed["l_nm"]) <= tolerance["l_nm"]
    assert abs(result.standard - printed["u_c_nm"]) <= tolerance["u_c_nm"]
    parts = {line.name: line.standard for line in result.contributions}
    parts["d"] = sqrt(sum(parts.pop(name) ** 2 for name in ("d0", "d1", "d2")))
    parts["theta"] = sqrt(parts.pop("theta_bar") ** 2 + parts.pop("Delta") ** 2)
    for name, part in printed["components_nm"].items():
        assert abs(parts[name] - part) <= tolerance["components"], name


def test_end_gauge_effective_dof():
    """JCGM 100:2008, H.1.6 prints 16 (truncated) and U99 = 93 nm (from memory); it rounds first."""
    result = propagate(end_gauge, end_gauge_inputs())
    assert 16 <= result.dof < 18
    assert abs(result.expanded(0.99) - 93) < 2


def end_gauge(l_s, d0, d1, d2, alpha_s, d_alpha, d_theta, theta_bar, delta):
    """JCGM 100:2008, H.1: length of an end gauge [nm] from a comparison with a standard."""
    return l_s + d0 + d1 + d2 - l_s * (d_alpha * (theta_bar + delta) + alpha_s * d_theta)


def end_gauge_inputs():
    values = reference("gum-h1-uc").inputs
    normal = {"l_s": "l_s_nm", "d0": "d0_nm", "d1": "d1_nm", "d2": "d2_nm"}
    inputs = [
        Input(values[key][0], standard=values[key][1], dof=values[key][2], name=name)
        for name, key in normal.items()
    ]
    return [
        *inputs,
        Input(1.15e-5, half_width=2e-6, shape="rectangular", name="alpha_s"),
        Input(0.0, half_width=1e-6, shape="rectangular", dof=50, name="d_alpha"),
        Input(0.0, half_width=0.05, shape="rectangular", dof=2, name="d_theta"),
        Input(-0.1, standard=0.2, name="theta_bar"),
        Input(0.0, half_width=0.5, shape="arcsine", name="Delta"),
    ]


def test_mean_temperature_of_the_comparison():
    entry = reference("gum-theta")
    delta = Input(0.0, half_width=0.5, shape="arcsine")
    result = propagate(lambda bar, wave: bar + wave, [Input(-0.1, standard=0.2), delta])
    assert abs(delta.standard - entry.expected["u_Delta"]) <= entry.tolerance["u"]
    assert abs(result.standard - entry.expected["u_theta"]) <= entry.tolerance["u"]


def test_welch_satterthwaite_of_the_comparator():
    entry = reference("gum-h1-d")
    inputs = [Input(0.0, standard=u, dof=dof) for u, dof in entry.inputs["components"]]
    result = propagate(lambda a, b, c: a + b + c, inputs)
    assert abs(result.standard - entry.expected["u"]) <= entry.tolerance["u"]
    assert abs(result.dof - entry.expected["nu_eff"]) <= entry.tolerance["nu_eff"]


def test_welch_satterthwaite_of_a_product():
    entry = reference("gum-g41-ws")
    parts, counts = entry.inputs["relative_u_percent"], entry.inputs["n_obs"]
    dof = welch_satterthwaite(parts, [n - 1 for n in counts])
    inputs = [Input(1.0, standard=p / 100, dof=n - 1) for p, n in zip(parts, counts, strict=True)]
    result = propagate(lambda a, b, c: a * b * c, inputs)
    assert abs(dof - entry.expected["nu_eff"]) <= entry.tolerance["nu_eff"]
    assert abs(result.dof / dof - 1) <= LIBRARY
    assert abs(result.standard * 100 - entry.expected["u_c_percent"]) <= entry.tolerance["u_c"]
    assert abs(coverage_factor(dof, 0.95) - entry.expected["t95"]) <= entry.tolerance["t95"]
    assert round(result.expanded(0.95) * 100, 1) == entry.expected["U95_percent"]


def test_t_table():
    entry = reference("gum-t-table")
    for dof in entry.inputs["nu"]:
        for percent, printed in zip(entry.inputs["p_percent"], entry.expected[dof], strict=True):
            wide = (dof, percent) == ("1", 99.73)
            tolerance = entry.tolerance["nu=1,p=99.73" if wide else "abs"]
            # the printed figures are rounded: half a unit of the last place, and a hair for binary fractions
            assert abs(coverage_factor(float(dof), percent / 100) - printed) <= tolerance + 1e-9, (
                dof,
                percent,
            )


@given(st.floats(1.0, 200.0), st.floats(0.05, 0.9999))
def test_coverage_factor_is_the_quantile_of_t(dof, level):
    assert coverage_factor(dof, level) == pytest.approx(stats.t.isf((1 - level) / 2, dof), rel=1e-9)


def test_type_a_of_twenty_readings():
    entry = reference("gum-443-typeA")
    result = type_a(entry.inputs["t_degC"])
    tolerance = entry.tolerance["abs"]
    assert abs(result.mean - entry.expected["mean"]) <= tolerance
    assert abs(result.s - entry.expected["s"]) <= tolerance
    assert abs(result.standard - entry.expected["u_mean"]) <= tolerance
    assert result.dof == 19
    assert result.as_input("bench", "degC") == Input(
        result.mean, standard=result.standard, shape="t", dof=19, name="bench", unit="degC"
    )


def test_limits_of_temperature():
    entry = reference("gum-445")
    width, tolerance = entry.inputs["half_width_K"], entry.tolerance["abs"]
    for shape, name in (("rectangular", "rect"), ("triangular", "triangular")):
        assert abs(Input(100.0, half_width=width, shape=shape).standard - entry.expected[name]) <= tolerance


def test_certificate_with_a_level():
    entry = reference("gum-434")
    standard = entry.inputs["U_uohm"] / coverage_factor(inf, entry.inputs["level"])
    assert abs(standard - entry.expected["u_uohm"]) <= entry.tolerance["abs"]


def test_thermal_expansion():
    entry = reference("tn1900-e13")
    names = ("L0", "T0", "L1", "T1")
    inputs = [Input(entry.inputs[n][0], standard=entry.inputs[n][1], name=n) for n in names]
    result = propagate(expansion, inputs)
    assert abs(result.value - entry.expected["alpha_per_K"]) <= entry.tolerance["alpha"]
    assert abs(result.standard - entry.expected["u_linear"]) <= entry.tolerance["u"]


def test_thermal_expansion_with_t_inputs():
    """NIST TN 1900 (2015), E13: inputs t with 3 dof, standard deviations as given; 1.7268e-5 and 1.74e-6."""
    values = (reference("tn1900-e13").inputs[n] for n in ("L0", "T0", "L1", "T1"))
    inputs = [Input(x, standard=u / sqrt(3), shape="t", dof=3) for x, u in values]
    result = monte_carlo(expansion, inputs, trials=400_000, seed=3)
    assert result.value == pytest.approx(1.7268e-5, abs=2e-8)
    assert result.standard == pytest.approx(1.74e-6, rel=T3_SCATTER)


def expansion(l0, t0, l1, t1):
    return (l1 - l0) / (l0 * (t1 - t0))


def test_correlated_impedance():
    entry = reference("gum-h2")
    columns = [np.array(entry.inputs[key]) for key in ("V_V", "I_mA", "phi_rad")]
    correlations = np.corrcoef(columns)
    pairs = zip(("V,I", "V,phi", "I,phi"), correlations[np.triu_indices(3, 1)], strict=True)
    for name, r in pairs:
        assert abs(r - entry.expected["r"][name]) <= entry.tolerance["r"]
    means = [type_a(column) for column in columns]
    inputs = [Input(mean.mean, standard=mean.standard) for mean in means]
    functions = {
        "R_ohm": lambda v, i, phi: 1000 * v / i * cos(phi),
        "X_ohm": lambda v, i, phi: 1000 * v / i * sin(phi),
        "Z_ohm": lambda v, i, phi: 1000 * v / i,
    }
    for name, function in functions.items():
        result = propagate(function, inputs, correlations)
        value, standard = entry.expected[name]
        assert abs(result.value - value) <= entry.tolerance["value"], name
        assert abs(result.standard - standard) <= entry.tolerance["u"], name
        assert sum(line.share for line in result.contributions) == pytest.approx(1.0)


@given(
    st.floats(-0.95, 0.95),
    st.floats(-30.0, 100.0),
    st.floats(2000.0, 5000.0),
    st.floats(1e-4, 0.5),
)
def test_independent_library_agrees(r, t_c, beta_k, u_c):
    """A thermistor's resistance against the linear propagation of the package `uncertainties`."""

    def ohms(t, beta, r25, exponential=exp):
        return r25 * exponential(beta * (1 / (t + 273.15) - 1 / 298.15))

    inputs = [Input(t_c, standard=u_c), Input(beta_k, standard=20.0), Input(1e4, standard=100.0)]
    matrix = [[1.0, r, 0.0], [r, 1.0, 0.0], [0.0, 0.0, 1.0]]
    ours = propagate(ohms, inputs, matrix)
    pairs = [(x.value, x.standard) for x in inputs]
    theirs = ohms(*uncertainties.correlated_values_norm(pairs, matrix), exponential=umath.exp)
    assert ours.value == pytest.approx(theirs.nominal_value, rel=EXACT)
    # u^2 is a sum of terms of either sign: where they cancel, the error counts against the largest of them
    largest = max(line.standard for line in ours.contributions)
    assert abs(ours.standard**2 - theirs.std_dev**2) <= 4 * LIBRARY * largest**2


SMOOTH = {
    "sine": (sin, cos, 0.3, 0.1),
    "fast sine": (lambda x: sin(1000 * x), lambda x: 1000 * cos(1000 * x), 1.0, 1e-6),
    "exponential": (lambda x: exp(3610 / x), lambda x: -3610 / x**2 * exp(3610 / x), 298.15, 0.05),
    "square root": (sqrt, lambda x: 0.5 / sqrt(x), 2e-6, 1e-9),
    "big offset": (lambda x: 5e7 + 5e6 * x, lambda x: 5e6, 0.0, 5.8e-7),
    "at zero": (lambda x: exp(x) + x, lambda x: 2.0, 0.0, 0.1),
    "tiny doubt": (lambda x: x**3, lambda x: 3 * x**2, 7.0, 1e-12),
    "exact input": (lambda x: x**3, lambda x: 3 * x**2, 7.0, 0.0),
    "wide doubt": (lambda x: 1 / x, lambda x: -1 / x**2, 1.0, 0.3),
    "no effect": (lambda x: 4.2, lambda x: 0.0, 7.0, 0.1),
}


@pytest.mark.parametrize("name", SMOOTH)
def test_sensitivity_is_the_derivative(name):
    function, derivative, value, standard = SMOOTH[name]
    (slope,) = sensitivities(function, [Input(value, standard=standard)])
    assert slope == pytest.approx(derivative(value), rel=SLOPE, abs=0)


def test_sensitivity_close_to_the_end_of_a_range():
    def in_range(t_c):
        if t_c > 125.0:
            raise ValueError(f"temperature {t_c} degC is above 125 degC")
        return 2.0 * t_c

    (slope,) = sensitivities(in_range, [Input(124.995, standard=0.02)])
    assert slope == pytest.approx(2.0, rel=SLOPE)
    with pytest.raises(ValueError, match="above 125 degC") as caught:
        propagate(in_range, [Input(125.0, standard=0.02)])
    assert "both sides of input 1 = 125" in str(caught.value.__notes__)


def test_dof_of_correlated_inputs():
    matrix = [[1.0, 0.5], [0.5, 1.0]]
    both = propagate(lambda a, b: a + b, [Input(1.0, standard=0.1)] * 2, matrix)
    assert both.dof == inf
    few = propagate(lambda a, b: a + b, [Input(1.0, standard=0.1, dof=4)] * 2, matrix)
    assert isnan(few.dof)
    assert few.standard == pytest.approx(0.1 * sqrt(3))
    with pytest.raises(ValueError, match="monte_carlo"):
        few.expanded(0.95)


def test_dof_where_only_exact_inputs_are_correlated():
    """JCGM 100:2008, G.4.1: u^4 / sum(u_i^4 / dof_i), u^2 with the covariances; here (0.3 +- 0.2)^2 + 0.1^2."""
    inputs = [Input(1.0, standard=0.3), Input(1.0, standard=0.2), Input(0.0, standard=0.1, dof=4)]
    for r, u_square in ((1.0, 0.26), (-1.0, 0.02), (0.0, 0.14)):
        matrix = [[1.0, r, 0.0], [r, 1.0, 0.0], [0.0, 0.0, 1.0]]
        result = propagate(lambda a, b, c: a + b + c, inputs, matrix)
        assert result.standard**2 == pytest.approx(u_square, rel=1e-9)
        assert result.dof == pytest.approx(u_square**2 / (0.1**4 / 4), rel=1e-6)


def test_full_correlation_adds_and_cancels():
    inputs = [Input(1.0, standard=0.3), Input(2.0, standard=0.3)]
    ones = [[1.0, 1.0], [1.0, 1.0]]
    assert propagate(lambda a, b: a + b, inputs, ones).standard == pytest.approx(0.6)
    assert propagate(lambda a, b: a - b, inputs, ones).standard == pytest.approx(0.0, abs=1e-6)


def test_nothing_uncertain():
    result = propagate(lambda a: 2 * a, [Input(1.0, standard=0.0)])
    assert (result.value, result.standard, result.dof) == (2.0, 0.0, inf)
    assert result.contributions[0].share == 0.0


def test_worst_case_sums_the_limits():
    inputs = [
        Input(20.0, half_width=2.0, shape="rectangular"),
        Input(0.0, half_width=0.5, shape="curvilinear", beta=0.1),
        Input(0.0, standard=0.1),
        Input(0.0, standard=0.1, shape="t", dof=5),
    ]
    result = worst_case(lambda a, b, c, d: a - 2 * b + c - d, inputs, k=2.0)
    assert result.parts == pytest.approx((2.0, 1.2, 0.2, 0.2))
    assert result.half_width == pytest.approx(3.6)
    assert (result.value, result.k) == (20.0, 2.0)
    assert worst_case(lambda a: a, [inputs[2]]).half_width == pytest.approx(0.3)


@given(st.lists(st.floats(0.01, 5.0), min_size=2, max_size=6))
def test_worst_case_is_never_less_than_the_root_sum_of_squares(widths):
    inputs = [Input(0.0, half_width=w, shape="rectangular") for w in widths]
    total = worst_case(lambda *x: sum(x), inputs)
    assert total.half_width == pytest.approx(sum(widths))
    assert propagate(lambda *x: sum(x), inputs).standard < total.half_width


def test_first_order_is_good_for_four_normal_inputs():
    """JCGM 101:2008, 9.2.2: normal inputs, linear model; both methods agree."""
    result = validate(lambda *x: sum(x), [Input(0.0, standard=1.0)] * 4, digits=2, seed=1)
    assert result.good and result.stable
    assert result.tolerance == 0.05


def test_first_order_for_four_rectangular_inputs_depends_on_the_digits():
    """JCGM 101:2008, 9.2.3: 3.92 against 3.88: good for two digits of u = 2.0, not for three."""
    inputs = [Input(0.0, standard=1.0, shape="rectangular")] * 4
    first_order = propagate(lambda *x: sum(x), inputs)
    simulated = monte_carlo(lambda *x: sum(x), inputs, trials=1_000_000, seed=2)
    assert compare(first_order, simulated, digits=2).good
    assert not compare(first_order, simulated, digits=3).good


@pytest.mark.parametrize(("low", "high", "good"), [(-3.9, 3.9, True), (-3.8, 3.9, False), (-3.9, 4.0, False)])
def test_both_ends_of_the_interval_have_to_agree(low, high, good):
    """u = 2 gives +-3.92; two digits of it allow 0.05 at each end (JCGM 101:2008, 8.1)."""
    simulated = SimpleNamespace(interval=lambda level: (low, high))
    assert compare(propagate(lambda x: x, [Input(0.0, standard=2.0)]), simulated).good is good


def test_mass_calibration_needs_monte_carlo():
    entry = reference("s1-93")
    value, standard, interval = entry.expected["first_order"]
    tolerance = entry.tolerance["printed"]
    result = validate(mass_difference, mass_inputs(), digits=1, seed=4)
    first_order = result.first_order
    assert abs(first_order.value - value) <= tolerance
    assert abs(first_order.standard - standard) <= tolerance
    assert first_order.interval(0.95) == pytest.approx(interval, abs=tolerance)
    assert result.good is entry.expected["first_order_good"]
    assert result.stable
    assert result.d_low == pytest.approx(0.0451, abs=entry.tolerance["MCM_interval"])


def mass_difference(m_rc, dm_rc, rho_a, rho_w, rho_r):
    """JCGM 101:2008, 9.3: deviation of a mass from nominal [mg], air buoyancy included."""
    return (m_rc + dm_rc) * (1 + (rho_a - 1.2) * (1 / rho_w - 1 / rho_r)) - 100_000


def mass_inputs():
    values = reference("s1-93").inputs
    normal = [Input(values[k][1], standard=values[k][2]) for k in ("m_Rc_mg", "dm_Rc_mg")]
    limits = [values[k][1:] for k in ("rho_a", "rho_W", "rho_R")]
    return normal + [
        Input((low + high) / 2, half_width=(high - low) / 2, shape="rectangular") for low, high in limits
    ]


U_FROM_A = {
    "rectangular": (None, stats.uniform(-1, 2)),
    "triangular": (None, stats.triang(0.5, -1, 2)),
    "arcsine": (None, stats.arcsine(-1, 2)),
    "trapezoidal": (0.4, stats.trapezoid(0.3, 0.7, -1, 2)),
}


@pytest.mark.parametrize("shape", U_FROM_A)
def test_standard_of_a_shape_is_that_of_scipy(shape):
    beta, frozen = U_FROM_A[shape]
    made = Input(5.0, half_width=1.0, shape=shape, beta=beta)
    assert made.standard == pytest.approx(frozen.std(), rel=1e-9)
    assert Input(5.0, standard=made.standard, shape=shape, beta=beta).half_width == pytest.approx(1.0)


def test_curvilinear_both_ways():
    made = Input(0.0, half_width=0.05, shape="curvilinear", beta=0.025)
    assert made.standard == pytest.approx(sqrt(0.05**2 / 3 + 0.025**2 / 9))
    again = Input(0.0, standard=made.standard, shape="curvilinear", beta=0.025)
    assert again.half_width == pytest.approx(0.05)


BAD_INPUTS = {
    "no uncertainty": ({}, "no uncertainty"),
    "negative": ({"standard": -0.1}, "standard -0.1 degC must be|standard -0.1 degC is outside"),
    "negative width": ({"half_width": -1.0, "shape": "rectangular"}, "half_width -1 degC"),
    "nan": ({"standard": nan}, "standard nan"),
    "both": ({"standard": 1.0, "half_width": 1.0, "shape": "rectangular"}, "both .* give one"),
    "width of a normal": ({"half_width": 1.0}, "normal.* no half_width .*give standard"),
    "both of a normal": ({"standard": 1.0, "half_width": 1.0}, "no half_width"),
    "shape": ({"standard": 1.0, "shape": "gaussian"}, "'gaussian' is unknown: take one of normal, t, rect"),
    "zero dof": ({"standard": 1.0, "dof": 0}, "0 degrees of freedom .* above 0"),
    "nan dof": ({"standard": 1.0, "dof": nan}, "degrees of freedom"),
    "no beta": ({"half_width": 1.0, "shape": "trapezoidal"}, "needs beta"),
    "beta": ({"half_width": 1.0, "shape": "trapezoidal", "beta": 1.5}, "beta 1.5 .* 0 to 1"),
    "beta too many": ({"half_width": 1.0, "shape": "arcsine", "beta": 0.5}, "takes no beta"),
    "inexactness": (
        {"half_width": 1.0, "shape": "curvilinear", "beta": 2.0},
        "beta 2 degC is outside 0 to 1",
    ),
}


@pytest.mark.parametrize("name", BAD_INPUTS)
def test_bad_input(name):
    keywords, message = BAD_INPUTS[name]
    with pytest.raises(ValueError, match=message):
        Input(20.0, unit="degC", **keywords)


def test_value_must_be_finite():
    with pytest.raises(ValueError, match="not finite: give the best estimate"):
        Input(nan, standard=1.0)


BAD_MATRICES = {
    "size": ([[1.0]], r"not \(2, 2\)"),
    "not symmetric": ([[1.0, 0.2], [0.3, 1.0]], "not symmetric"),
    "diagonal": ([[0.9, 0.2], [0.2, 1.0]], "ones on the diagonal"),
    "beyond one": ([[1.0, 1.2], [1.2, 1.0]], "1.2 .* -1 to 1"),
    "nan": ([[1.0, nan], [nan, 1.0]], "correlation nan"),
}


@pytest.mark.parametrize("name", BAD_MATRICES)
def test_bad_correlations(name):
    matrix, message = BAD_MATRICES[name]
    with pytest.raises(ValueError, match=message):
        propagate(lambda a, b: a + b, [Input(1.0, standard=0.1)] * 2, matrix)


def test_correlations_that_cannot_be():
    matrix = [[1.0, 0.9, -0.9], [0.9, 1.0, 0.9], [-0.9, 0.9, 1.0]]
    with pytest.raises(ValueError, match="not positive semi-definite .*0 or more"):
        propagate(lambda a, b, c: a + b + c, [Input(1.0, standard=0.1)] * 3, matrix)


@pytest.mark.parametrize(
    "call, message",
    [
        (lambda: coverage_factor(0, 0.95), "0 degrees of freedom"),
        (lambda: coverage_factor(5, 95), "level 95 .* 0 to 1"),
        (lambda: welch_satterthwaite([1.0], [1.0, 2.0]), "one dof for each"),
        (lambda: welch_satterthwaite([1.0, 1.0], [0.0, 2.0]), "0 degrees of freedom"),
        (lambda: type_a([1.0]), "2 or more"),
        (lambda: type_a([1.0, nan]), "1 of 2 readings are masked or not finite"),
        (lambda: propagate(lambda a: nan, [Input(1.0, standard=0.1)]), "not a number"),
        (
            lambda: propagate(lambda a: nan if a != 1 else 1.0, [Input(1.0, standard=0.1)]),
            "not finite within",
        ),
        (lambda: worst_case(lambda a: a, [Input(1.0, standard=0.1)], k=-1.0), "k -1 "),
        (lambda: validate(lambda a: a, [Input(1.0, standard=0.0)]), "has no digits"),
    ],
)
def test_bad_calls(call, message):
    with pytest.raises(ValueError, match=message):
        call()


def test_arcsine_is_a_sine_seen_at_any_moment():
    """The shape of a controlled temperature that swings: u of sin over one period is 1/sqrt(2)."""
    phase = np.linspace(0, 2 * pi, 1000, endpoint=False)
    assert Input(0.0, half_width=1.0, shape="arcsine").standard == pytest.approx(np.sin(phase).std())
