"""The whole error budget of a chain at one temperature, and what a calibration does to it."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from math import hypot, sqrt

import numpy as np

from tempkit.chain import Asked, Calibration, Design, Extras, Noise, Relative
from tempkit.ranges import keep
from tempkit.signal import averaged_error_lsb, averaging_floor_lsb
from tempkit.uncertainty.budget import propagate, worst_case
from tempkit.uncertainty.inputs import Input
from tempkit.uncertainty.montecarlo import monte_carlo

# What the budget asks for around sensor and circuit; what may be off in those two they name themselves.
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
    "first": "readings at the first point",
    "second": "readings at the second point",
    "left": "sensor, away from the points",
}
CHANGES = ("drift", "inl", "quantisation", "noise", "heating", "thermometer", "first", "second", "left")
POINTS = ("first", "second")


@dataclass(frozen=True)
class ChainModel:
    """The reading [degC] as a function of its error quantities, in the order of `keys`; scalars or arrays.

    The bare formulas, without steps and without a look at ranges: the step is a quantity of its own, and limits may
    reach beyond the end of a range.

    >>> from tempkit.chain import scenario
    >>> round(ChainModel(scenario(), 25.0, ("sensor", "reference"))(1.0, 4.75), 3)
    31.316
    """

    chain: object
    t_c: float
    keys: tuple

    def __call__(self, *values):
        return self.reading(self.t_c, dict(zip(self.keys, values, strict=True)))

    def reading(self, t_c, errors):
        """Reading [degC] at true temperature `t_c` with these errors; a quantity not named is free of error.

        Raises `ValueError` for a quantity that the budget, or this chain's circuit, does not know.
        """
        chain, codes = self.chain, self.chain.converter.codes
        if in_parts := errors.keys() - NAMES.keys():
            known = _doubts(chain, t_c)
            if unknown := in_parts - known.keys():
                words = ", ".join((*NAMES, *known))
                raise ValueError(f"quantity {min(unknown)!r} is not one of {words}: take one of these")
        reference_v = errors.get("reference", chain.reference.nominal_v)
        if "drift" in errors:
            reference_v = reference_v * (1 + 0.01 * errors["drift"])
        for key in ("sensor", "heating"):
            if key in errors:
                t_c = t_c + errors[key]
        feed_v = chain.circuit.feed_v(reference_v, chain.reference.kind)
        v = chain.circuit.volts(chain.sensor, t_c, feed_v, {key: errors[key] for key in in_parts})
        for key in ("lead", "noise"):
            if key in errors:
                v = v + errors[key]
        counts = v * (codes / reference_v)
        if "gain" in errors:
            counts = counts * (1 + errors["gain"] / codes)
        for key in ("offset", "inl", "quantisation"):
            if key in errors:
                counts = counts + errors[key]
        return chain.celsius_believed(counts * (chain.reference.nominal_v / codes))


@dataclass(frozen=True)
class CalibratedModel:
    """The corrected reading [degC] after a calibration, as a function of its error quantities, in the order of `keys`.

    What stays the same (sensor, reference, offset, gain, lead drop) is seen at the calibration points and taken out
    there; the thermometer's error goes in, the same at both points. What changes between calibrating and use (drift,
    INL, steps, noise, self-heating) is not: INL differs from code to code, self-heating from water to air.

    >>> from tempkit.chain import scenario
    >>> ice = Calibration(first_c=0.0, thermometer_u_c=0.05)
    >>> keys = ("sensor", "thermometer")
    >>> round(CalibratedModel(ChainModel(scenario(), 25.0, keys[:1]), ice, keys)(1.5, 0.1), 6)
    25.1
    """

    model: ChainModel
    calibration: Calibration
    keys: tuple

    def __call__(self, *values):
        errors = dict(zip(self.keys, values, strict=True))
        stays = {key: each for key, each in errors.items() if key not in CHANGES}
        seen = [
            self.model.reading(t_c, stays) + errors.get(key, 0.0)
            for t_c, key in zip(self.calibration.points_c, POINTS, strict=False)
        ]
        true = [t_c + errors.get("thermometer", 0.0) for t_c in self.calibration.points_c]
        slope = (true[1] - true[0]) / (seen[1] - seen[0]) if len(seen) == 2 else 1.0
        away = self.model.reading(self.model.t_c, errors) - seen[0]
        return true[0] + slope * away + errors.get("left", 0.0)


def inputs_of(design, t_c=25.0):
    """Every quantity of the model as an `Input`, in the order of the budget; None for what is not stated.

    `t_c` is the temperature [degC] at which the sensor's limits are asked for: a class promises less far from 0 degC.

    >>> from tempkit.chain import Design, scenario
    >>> [key for key, each in inputs_of(Design("North bench", scenario())).items() if each is not None]
    ['sensor', 'reference', 'quantisation']
    """
    chain, noise, extras = design.chain, design.noise or Noise(), design.budget or Extras()
    converter = chain.converter
    drift_percent = 1e-4 * extras.reference_drift_ppm_per_c * extras.board_swing_c
    sigma_lsb = noise.input_v / converter.step_v(chain.reference.actual_v)
    return {
        "sensor": Input(0.0, half_width=chain.sensor.limits_c(t_c), **_kind("sensor", "degC")),
        **_of_parts(chain, t_c),
        "reference": _reference(chain.reference, extras.meter_u_v),
        "drift": limited("drift", drift_percent, "%"),
        "offset": limited("offset", converter.offset_lsb, "LSB"),
        "gain": limited("gain", converter.gain_lsb, "LSB"),
        "inl": limited("inl", converter.inl_lsb, "LSB"),
        "quantisation": limited("quantisation", quantisation_limits_lsb(sigma_lsb, noise.samples), "LSB"),
        "noise": normal("noise", noise.input_v / sqrt(noise.samples), "V"),
        "heating": _one_sided("heating", extras.self_heating_c, "degC"),
        "lead": _one_sided("lead", extras.lead_drop_v, "V"),
    }


def _doubts(chain, t_c):
    """What may be off in sensor and circuit: key to `tempkit.chain.deviations.Doubt`."""
    of_sensor, of_circuit = chain.sensor.doubts(t_c), chain.circuit.doubts(chain.reference.kind)
    for key in (*of_sensor, *of_circuit):
        if key in NAMES or (key in of_sensor and key in of_circuit):
            raise ValueError(f"doubt {key!r} has no row of its own in the budget: give it another key in its part")
    return {**of_sensor, **of_circuit}


def check_rows(chain, t_c):
    """Raise `ValueError` where a tolerance that a part states would be lost: without a row, or not in the formula.

    >>> from tempkit.chain import scenario
    >>> check_rows(scenario(), 25.0)
    """
    doubts = _doubts(chain, t_c)
    stated = {each.of for each in doubts.values() if each.half_width}
    for part in (chain.sensor, chain.circuit):
        for name in (each.name for each in fields(part) if each.type is Relative):
            value = getattr(part, name)
            of_nothing = name == "lead_tolerance" and not part.lead_ohm
            if value and name not in stated and not of_nothing:
                raise ValueError(
                    f"{name} {value:g} of {part.called} gives no row of the budget, so it would be lost: leave it out, "
                    "and give a supply that is the reference its tolerance as the reference's"
                )
    asked = Asked(doubts)
    chain.circuit.volts(chain.sensor, t_c, chain.circuit.feed_v(chain.reference.nominal_v, chain.reference.kind), asked)
    if lost := doubts.keys() - asked.seen - set(chain.circuit.without_effect):
        raise ValueError(
            f"doubt {min(lost)!r} of {chain.sensor.called} in {chain.circuit.called} is nowhere in their formula, "
            "so it would be lost: let `volts` or `line` ask for it"
        )


def _of_parts(chain, t_c):
    """What may be off in sensor and circuit: key to `Input`, or None where the doubt is nothing."""
    return {
        key: Input(0.0, half_width=each.half_width, shape="rectangular", name=each.name, unit=each.unit)
        if each.half_width
        else None
        for key, each in _doubts(chain, t_c).items()
    }


def _kind(key, unit, shape="rectangular"):
    return {"shape": shape, "name": NAMES[key], "unit": unit}


def limited(key, half_width, unit):
    """A quantity within limits, +- `half_width`: an `Input`, or None where that is 0.

    >>> limited("offset", 2.0, "LSB").shape, limited("offset", 0.0, "LSB")
    ('rectangular', None)
    """
    return Input(0.0, half_width=half_width, **_kind(key, unit)) if half_width else None


def _one_sided(key, most, unit):
    return Input(most / 2, half_width=most / 2, **_kind(key, unit)) if most else None


def normal(key, standard, unit):
    """A quantity known to a standard uncertainty: an `Input`, or None where that is 0.

    >>> normal("noise", 0.002, "V").shape, normal("noise", 0.0, "V")
    ('normal', None)
    """
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


NOTHING_C = 1e-9  # rounding, no correction


@dataclass(frozen=True)
class Row:
    """One line of the budget: a quantity, its doubt in its own `unit`, and what that is worth in degC.

    `size` is a half-width where `limits` is true, else a standard uncertainty; `shape` is that of an `Input`;
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
    `function` and `inputs` are as `propagate` takes them: `monte_carlo(b.function, b.inputs, ...)` is the other route.
    `lower_edge_correction_c`: half a step, to be added as well where a program takes the lower edge of its step.

    >>> from tempkit.chain import scenario
    >>> budget = chain_budget(scenario(), 25.0)
    >>> round(budget.standard_c, 2), round(budget.expanded_c, 1)
    (3.02, 5.9)
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

    @property
    def correction_c(self):
        """What to add to a reading [degC]."""
        return self.t_c - self.reading_c

    @property
    def expanded_c(self):
        """Expanded uncertainty U = k u_c [degC]."""
        return self.k * self.standard_c

    @property
    def worst_c(self):
        """Lowest and highest error that the limits can give together, by the whole formula, as a pair [degC]."""
        return tuple(end - self.reading_c for end in _corners(self.function, self.inputs))

    def row(self, name):
        """The row of that name. Raises `ValueError` where there is none.

        >>> from tempkit.chain import scenario
        >>> round(chain_budget(scenario(), 25.0).row("quantisation").standard_c, 3)
        0.176
        """
        for each in self.rows:
            if each.name == name:
                return each
        raise ValueError(f"no row {name!r}: there are {', '.join(each.name for each in self.rows)}")

    def simulated(self, trials=10**6, seed=0):
        """Monte Carlo of the same function and inputs: a `Simulated`, of the reading [degC]."""
        return monte_carlo(self.function, self.inputs, trials, seed)


def chain_budget(design, t_c, level=0.95):
    """The whole budget of a design (or of a bare chain) at the true temperature `t_c` [degC]: `ChainBudget`.

    Limits of the sensor, the reference and the converter are rectangular. A full count is 2**bits steps; the gain's
    limits hold there and shrink with the code. Quantisation is half a step either way, for the middle of the step is
    what the program reads; averaging noisy samples leaves less of it, and the noise divided by the root of `samples`:
    both together are `averaged_error_lsb`. A measured reference is known to the meter; what the program does not know
    of it is a correction. Self-heating and lead drop lie between nothing and their limit: half of it is a correction.
    Parts of the circuit are off on their own: resistors, leads, amplifier, cold junction; what the program does not
    know of the circuit is a correction. What is not stated has no row. Raises `ValueError` for a temperature outside
    the sensor's range or its class, or one at which the converter saturates, and for a tolerance that would be lost.
    Source: JCGM 100:2008, 4.3.7, 5.1.2 and 6.2; F.2.4.4 on taking a correction out.

    >>> from tempkit.chain import scenario
    >>> [round(row.standard_c, 3) for row in chain_budget(scenario(), 25.0).rows]
    [0.866, 2.887, 0.176]
    """
    design = design if isinstance(design, Design) else Design("", design)
    chain = design.chain
    t_c = keep(t_c, *chain.sensor.range_c, name="temperature", unit="degC", advice="the sensor's own range")
    _check_seen(chain, t_c)
    check_rows(chain, t_c)
    given = {key: each for key, each in inputs_of(design, t_c).items() if each is not None}
    model = ChainModel(chain, t_c, tuple(given))
    known = ["reference"] * (chain.reference.true_v is not None) + ["heating", "lead"]
    biases = {key: given[key].value for key in known if key in given}
    bare_c = model.reading(t_c, {})
    parts = tuple((NAMES[key], bare_c - model.reading(t_c, {key: value})) for key, value in biases.items())
    if chain.circuit.unknown and abs(t_c - bare_c) > NOTHING_C:
        parts = ((chain.circuit.unknown, t_c - bare_c), *parts)
    half_step_c = 0.5 * (model.reading(t_c, {"offset": 1.0}) - bare_c)
    return _budget(design.title, t_c, level, model, tuple(given.values()), parts, half_step_c)


def _check_seen(chain, t_c):
    v, reference_v = chain.volts(t_c), chain.reference.actual_v
    if chain.converter.saturated(v, reference_v):
        raise ValueError(
            f"temperature {t_c:.6g} degC gives {v:.4g} V, outside the converter's 0 to {reference_v:.4g} V: "
            "its code is saturated and the reading says nothing; choose another temperature or reference"
        )


def _budget(title, t_c, level, function, inputs, corrections, half_step_c):
    result, worst = propagate(function, inputs), worst_case(function, inputs)
    rows = tuple(map(_row, inputs, result.contributions, worst.parts))
    sums = {"standard_c": result.standard, "dof": result.dof, "k": result.coverage_factor(level)}
    sums |= {"worst_sum_c": worst.half_width, "reading_c": result.value}
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
    corner = np.arange(2 ** sum(a > 0 for a in limits))
    bit, columns = 0, []
    for each, a in zip(inputs, limits, strict=True):
        columns.append(each.value - a + 2 * a * (corner >> bit & 1))
        bit += a > 0
    values = function(*columns)
    return float(values.min()), float(values.max())


@dataclass(frozen=True)
class BeforeAfter:
    """Two budgets of one chain at one temperature: `before` a calibration and `after` it.

    >>> from tempkit.chain import scenario
    >>> budget = chain_budget(scenario(), 25.0)
    >>> round(BeforeAfter(budget, budget).gain, 1)
    1.0
    """

    before: ChainBudget
    after: ChainBudget

    @property
    def gain(self):
        """How many times smaller the combined standard uncertainty has become."""
        return self.before.standard_c / self.after.standard_c


def before_after(budget, calibration):
    """What a calibration does to a budget of `chain_budget`: `BeforeAfter`, both budgets whole.

    `calibration` is a `tempkit.chain.Calibration`: one temperature, where every reading is shifted, or two, where a
    line is drawn through both. What stays the same is taken out as far as the reading at the points shows it: the
    sensor's limits are taken as an offset, so give `left_c` for what changes from temperature to temperature. New are
    the thermometer, and the steps and noise of the readings while calibrating. Raises `ValueError` for a point outside
    the sensor's range, or where the converter saturates. Source: JCGM 100:2008, 5.1.2, on the corrected reading.

    >>> from tempkit.chain import Calibration, scenario
    >>> done = before_after(chain_budget(scenario(), 25.0), Calibration(first_c=0.0, thermometer_u_c=0.05))
    >>> [round(each.row("sensor accuracy").standard_c, 3) for each in (done.before, done.after)]
    [0.866, 0.0]
    """
    model = budget.function
    for t_c in calibration.points_c:
        keep(t_c, *model.chain.sensor.range_c, name="calibration point", unit="degC", advice="the sensor's own range")
        _check_seen(model.chain, t_c)
    given = dict(zip(model.keys, budget.inputs, strict=True)) | _of_calibration(budget, calibration)
    function = CalibratedModel(model, calibration, tuple(given))
    stays = [NAMES[key] for key in CHANGES if key in NAMES]
    corrections = tuple(each for each in budget.corrections if each[0] in stays)
    after = _budget(budget.title, budget.t_c, budget.level, function, tuple(given.values()), corrections, 0.0)
    return BeforeAfter(budget, after)


def _of_calibration(budget, calibration):
    """What a calibration adds: key to `Input`. Its readings carry the steps and the noise of any reading."""
    rows = {row.name: row for row in budget.rows}
    parts = [rows[NAMES[key]].standard_c for key in ("quantisation", "noise") if NAMES[key] in rows]
    added = {key: normal(key, hypot(*parts), "degC") for key, _ in zip(POINTS, calibration.points_c, strict=False)}
    added["thermometer"] = normal("thermometer", calibration.thermometer_u_c, "degC")
    added["left"] = limited("left", calibration.left_c, "degC")
    return {key: each for key, each in added.items() if each is not None}
