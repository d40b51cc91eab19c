"""The whole error budget of a chain at one temperature, and what a calibration does to it."""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

import numpy as np

from tempkit.budget import monte_carlo, propagate, worst_case
from tempkit.chainmodel import NAMES, POINTS, STAYS, CalibratedModel, ChainModel, check_rows, inputs_of, limited, normal
from tempkit.design import Design
from tempkit.ranges import keep

NOTHING_C = 1e-9  # rounding, no correction


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
        0.141
        """
        for each in self.rows:
            if each.name == name:
                return each
        raise ValueError(f"no row {name!r}: there are {', '.join(each.name for each in self.rows)}")

    def simulated(self, trials=10**6, seed=0):
        """Monte Carlo of the same function and inputs: `tempkit.budget.Simulated`, of the reading [degC]."""
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
    [1.155, 2.165, 0.141]
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

    `calibration` is a `tempkit.design.Calibration`: one temperature, where every reading is shifted, or two, where a
    line is drawn through both. What stays the same is taken out as far as the reading at the points shows it: the
    sensor's limits are taken as an offset, so give `left_c` for what changes from temperature to temperature. New are
    the thermometer, and the steps and noise of the readings while calibrating. Raises `ValueError` for a point outside
    the sensor's range, or where the converter saturates. Source: JCGM 100:2008, 5.1.2, on the corrected reading.

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Calibration
    >>> done = before_after(chain_budget(scenario(), 25.0), Calibration(first_c=0.0, thermometer_u_c=0.05))
    >>> [round(each.row("sensor accuracy").standard_c, 3) for each in (done.before, done.after)]
    [1.155, 0.0]
    """
    model = budget.function
    for t_c in calibration.points_c:
        keep(t_c, *model.chain.sensor.range_c, name="calibration point", unit="degC", advice="the sensor's own range")
        _check_seen(model.chain, t_c)
    given = dict(zip(model.keys, budget.inputs, strict=True)) | _of_calibration(budget, calibration)
    function = CalibratedModel(model, calibration, tuple(given))
    taken_out = [NAMES[key] for key in STAYS]
    taken_out.append(model.chain.circuit.unknown)
    corrections = tuple(each for each in budget.corrections if each[0] not in taken_out)
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
