"""The whole error budget of a chain at one temperature, and what a calibration does to it."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from math import sqrt

import numpy as np

from tempkit.budget import Input, monte_carlo, propagate, worst_case
from tempkit.design import Design, Extras, Noise
from tempkit.noise import averaged_error_lsb, averaging_floor_lsb
from tempkit.ranges import keep

# What is the same while calibrating and afterwards, so that a calibration sees it.
STAYS = ("sensor", "reference", "offset", "gain", "lead")
NAMES = {
    "sensor": "sensor accuracy",
    "reference": "reference voltage",
    "drift": "reference drift",
    "offset": "converter offset",
    "gain": "converter gain, at full scale",
    "inl": "converter INL",
    "quantisation": "quantisation",
    "noise": "noise at the pin",
    "heating": "self-heating",
    "lead": "lead drop",
    "thermometer": "thermometer of the calibration",
    "left": "sensor error away from the points",
}


@dataclass(frozen=True)
class Row:
    """One line of the budget: a quantity, its doubt in its own `unit`, and what that is worth in degC.

    `size` is a half-width where `limits` is true, else a standard uncertainty; `shape` is that of `tempkit.budget`;
    `sensitivity` [degC per unit]; `standard_c` and `worst_c` [degC]; `share` of the variance, 0 to 1.

    >>> Row("sensor accuracy", 2.0, True, "degC", "rectangular", 1.0, 1.1547, 0.9, 2.0).sensitivity_unit
    'degC/degC'
    """

    name: str
    size: float
    limits: bool
    unit: str
    shape: str
    sensitivity: float
    standard_c: float
    share: float
    worst_c: float

    @property
    def sensitivity_unit(self):
        """Unit of the sensitivity."""
        return f"degC/{self.unit}"


@dataclass(frozen=True)
class ChainBudget:
    """The budget of a chain's reading at the true temperature `t_c` [degC]: rows, and what they come to.

    `reading_c` is what the program would show with every quantity at its best estimate; `correction_c` is to be
    added to a reading; `corrections` says from what, (name, degC). `standard_c` is the combined standard uncertainty
    u_c, `dof` its effective degrees of freedom, `k` the coverage factor at `level` and `expanded_c` = k u_c.
    `worst_sum_c` adds every row's limit (3 standard uncertainties for a normal one), to first order; `worst_c` is the
    lowest and highest error that the same limits can give together, by the whole formula and after the correction.
    `function` and `inputs` are those of `tempkit.budget`: `monte_carlo(b.function, b.inputs, ...)` is the other route.
    `lower_edge_correction_c`: half a step, to be added as well where a program takes the lower edge of its step.

    >>> from tempkit.chain import scenario
    >>> budget = chain_budget(scenario(), 25.0)
    >>> round(budget.standard_c, 2), round(budget.expanded_c, 1)
    (2.46, 4.8)
    """

    title: str
    t_c: float
    level: float
    function: Callable
    inputs: tuple
    rows: tuple
    reading_c: float
    corrections: tuple
    lower_edge_correction_c: float
    standard_c: float
    dof: float
    k: float
    worst_sum_c: float
    worst_c: tuple

    @property
    def correction_c(self):
        """What to add to a reading [degC]."""
        return self.t_c - self.reading_c

    @property
    def expanded_c(self):
        """Expanded uncertainty U = k u_c [degC]."""
        return self.k * self.standard_c

    def row(self, name):
        """The row of that name. Raises `ValueError` where there is none.

        >>> from tempkit.chain import scenario
        >>> round(chain_budget(scenario(), 25.0).row("quantisation").standard_c, 3)
        0.141
        """
        for each in self.rows:
            if each.name == name:
                return each
        raise ValueError(f"no row {name!r}: there are {', '.join(each.name for each in self.rows)}")

    def simulated(self, trials=10**6, seed=0):
        """Monte Carlo of the same function and inputs: `tempkit.budget.Simulated`, of the reading [degC]."""
        return monte_carlo(self.function, self.inputs, trials, seed)


@dataclass(frozen=True)
class ChainModel:
    """The reading [degC] as a function of its error quantities, in the order of `keys`; scalars or arrays.

    The bare formulas, without steps and without a look at ranges: the step is a quantity of its own, and limits may
    reach beyond the end of a range.

    >>> from tempkit.chain import scenario
    >>> round(ChainModel(scenario(), 25.0, ("sensor", "reference"))(1.0, 4.75), 3)
    30.0
    """

    chain: object
    t_c: float
    keys: tuple

    def __call__(self, *values):
        return self.reading(self.t_c, dict(zip(self.keys, values, strict=True)))

    def reading(self, t_c, errors):
        """Reading [degC] at true temperature `t_c` with these errors; a quantity not named is free of error."""
        chain, codes = self.chain, self.chain.converter.codes
        reference_v = errors.get("reference", chain.reference.nominal_v)
        if "drift" in errors:
            reference_v = reference_v * (1 + 1e-6 * errors["drift"])
        for key in ("sensor", "heating"):
            if key in errors:
                t_c = t_c + errors[key]
        v = chain.circuit.volts(chain.sensor, t_c, chain.circuit.feed_v(reference_v, chain.reference.kind))
        for key in ("lead", "noise"):
            if key in errors:
                v = v + errors[key]
        counts = v * (codes / reference_v)
        if "gain" in errors:
            counts = counts * (1 + errors["gain"] / codes)
        for key in ("offset", "inl", "quantisation"):
            if key in errors:
                counts = counts + errors[key]
        nominal_v = chain.reference.nominal_v
        assumed_v = chain.circuit.assumed_feed_v(nominal_v, chain.reference.kind)
        return chain.circuit.celsius(chain.sensor, counts * (nominal_v / codes), assumed_v)


def chain_budget(design, t_c, level=0.95):
    """The whole budget of a design (or of a bare chain) at the true temperature `t_c` [degC]: `ChainBudget`.

    Limits of the sensor, the reference and the converter are rectangular. A full count is 2**bits steps; the gain's
    limits hold there and shrink with the code. Quantisation is half a step either way, for the middle of the step is
    what the program reads; averaging noisy samples leaves less of it, and the noise divided by the root of `samples`:
    both together are `averaged_error_lsb`. A measured reference is known to the meter; what the program does not know
    of it is a correction. Self-heating and lead drop lie between nothing and their limit: half of it is a correction.
    What is not stated has no row. Raises `ValueError` for a temperature outside the sensor's range, or one at which
    the converter saturates. Source: JCGM 100:2008, 4.3.7, 5.1.2 and 6.2; F.2.4.4 on taking a correction out.

    >>> from tempkit.chain import scenario
    >>> [round(row.standard_c, 3) for row in chain_budget(scenario(), 25.0).rows]
    [1.155, 2.165, 0.141]
    """
    design = design if isinstance(design, Design) else Design("", design)
    chain = design.chain
    t_c = keep(t_c, *chain.sensor.range_c, name="temperature", unit="degC", advice="the sensor's own range")
    _check_seen(chain, t_c)
    given = {key: each for key, each in _inputs(design).items() if each is not None}
    model = ChainModel(chain, t_c, tuple(given))
    known = ["reference"] * (chain.reference.true_v is not None) + ["heating", "lead"]
    biases = {key: given[key].value for key in known if key in given}
    parts = tuple((NAMES[key], t_c - model.reading(t_c, {key: value})) for key, value in biases.items())
    half_step_c = 0.5 * (model.reading(t_c, {"offset": 1.0}) - model.reading(t_c, {}))
    return _budget(design.title, t_c, level, model, tuple(given.values()), parts, half_step_c)


def _check_seen(chain, t_c):
    v, reference_v = chain.volts(t_c), chain.reference.actual_v
    if chain.converter.saturated(v, reference_v):
        raise ValueError(
            f"temperature {t_c:.6g} degC gives {v:.4g} V, outside the converter's 0 to {reference_v:.4g} V: "
            "its code is saturated and the reading says nothing; choose another temperature or reference"
        )


def _inputs(design):
    """Every quantity of the model as an `Input`, in the order of the budget; None for what is not stated."""
    chain, noise, extras = design.chain, design.noise or Noise(), design.budget or Extras()
    converter, drift = chain.converter, extras.reference_drift_ppm_per_c * extras.board_swing_c
    sigma_lsb = noise.input_v / converter.step_v(chain.reference.actual_v)
    return {
        "sensor": Input(0.0, half_width=chain.sensor.accuracy_c, **_kind("sensor", "degC")),
        "reference": _reference(chain.reference, extras.meter_u_v),
        "drift": _limited("drift", drift, "ppm"),
        "offset": _limited("offset", converter.offset_lsb, "LSB"),
        "gain": _limited("gain", converter.gain_lsb, "LSB"),
        "inl": _limited("inl", converter.inl_lsb, "LSB"),
        "quantisation": _limited("quantisation", quantisation_limits_lsb(sigma_lsb, noise.samples), "LSB"),
        "noise": _normal("noise", noise.input_v / sqrt(noise.samples), "V"),
        "heating": _one_sided("heating", extras.self_heating_c, "degC"),
        "lead": _one_sided("lead", extras.lead_drop_v, "V"),
    }


def _kind(key, unit, shape="rectangular"):
    return {"shape": shape, "name": NAMES[key], "unit": unit}


def _limited(key, half_width, unit):
    return Input(0.0, half_width=half_width, **_kind(key, unit)) if half_width else None


def _one_sided(key, most, unit):
    return Input(most / 2, half_width=most / 2, **_kind(key, unit)) if most else None


def _normal(key, standard, unit):
    return Input(0.0, standard=standard, **_kind(key, unit, "normal")) if standard else None


def _reference(reference, meter_u_v):
    if reference.true_v is not None:
        return Input(reference.true_v, standard=meter_u_v, **_kind("reference", "V", "normal"))
    half_width = reference.tolerance * reference.nominal_v
    return Input(reference.nominal_v, half_width=half_width, **_kind("reference", "V"))


def quantisation_limits_lsb(sigma_lsb, samples):
    """Half-width [LSB] of a rectangle as wide as what quantisation leaves in a mean of `samples` codes.

    Half a step for one sample, or without noise; less where noise of `sigma_lsb` [LSB] lets averaging see between the
    steps: sqrt(3 (B + (1/12 - B) / M)), B the square of `averaging_floor_lsb`. With sigma^2 / M beside it this is
    the square of `averaged_error_lsb`. Raises `ValueError` for noise below 0 or fewer than one sample.

    >>> quantisation_limits_lsb(0.0, 16), round(quantisation_limits_lsb(1.0, 16), 3)
    (0.5, 0.125)
    """
    averaged_error_lsb(sigma_lsb, samples)
    if samples == 1 or sigma_lsb == 0:
        return 0.5
    stays = averaging_floor_lsb(sigma_lsb) ** 2
    return sqrt(3 * (stays + (1 / 12 - stays) / samples))


def _budget(title, t_c, level, function, inputs, corrections, half_step_c):
    result, worst = propagate(function, inputs), worst_case(function, inputs)
    rows = tuple(map(_row, inputs, result.contributions, worst.parts))
    ends_c = tuple(end - result.value for end in _corners(function, inputs))
    sums = {"standard_c": result.standard, "dof": result.dof, "k": result.coverage_factor(level)}
    sums |= {"worst_sum_c": worst.half_width, "worst_c": ends_c, "reading_c": result.value}
    own = {"corrections": corrections, "lower_edge_correction_c": half_step_c}
    return ChainBudget(title, t_c, level, function, inputs, rows, **sums, **own)


def _row(given, line, worst_c):
    limits = given.half_width is not None
    size = given.half_width if limits else given.standard
    own = (given.name, size, limits, given.unit, given.shape)
    return Row(*own, line.sensitivity, line.standard, line.share, worst_c)


def _corners(function, inputs):
    """Lowest and highest value over all combinations of the ends: the function rises or falls in each input."""
    limits = [each.half_width if each.half_width is not None else 3 * each.standard for each in inputs]
    ends = [(each.value - a, each.value + a) if a else (each.value,) for each, a in zip(inputs, limits, strict=True)]
    values = function(*np.array(list(product(*ends))).T)
    return float(values.min()), float(values.max())
