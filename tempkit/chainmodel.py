"""How the quantities of a chain that may be off move its reading: the model behind the error budget."""

from dataclasses import dataclass, fields
from math import sqrt

from tempkit.budget import Input
from tempkit.design import Calibration, Extras, Noise
from tempkit.noise import averaged_error_lsb, averaging_floor_lsb

# What may be off in sensor and circuit; then all that is the same while calibrating and afterwards.
PARTS_OFF = (
    "r25", "beta", "fixed", "top_sensor", "top_balance", "balance", "leads", "common", "feed", "current",
    "amp_offset", "amp_gain", "cold",
)  # fmt: skip
ROW_OF = {  # what a part states, and the row it becomes
    "r25_tolerance": "r25", "beta_tolerance": "beta", "fixed_tolerance": "fixed", "arm_tolerance": "balance",
    "lead_tolerance": "leads", "supply_tolerance": "feed", "current_tolerance": "current",
    "gain_tolerance": "amp_gain", "offset_v": "amp_offset", "cold_accuracy_c": "cold",
}  # fmt: skip
STAYS = ("sensor", "reference", "offset", "gain", "lead", *PARTS_OFF)
NAMES = {
    "sensor": "sensor accuracy",
    "r25": "thermistor at 25 degC",
    "beta": "thermistor's beta",
    "fixed": "fixed resistor",
    "top_sensor": "bridge, above the sensor",
    "top_balance": "bridge, above the balance",
    "balance": "bridge, balance resistor",
    "leads": "lead resistance",
    "common": "lead common to both arms",
    "feed": "supply of the circuit",
    "current": "measuring current",
    "amp_offset": "amplifier offset",
    "amp_gain": "amplifier gain",
    "cold": "cold-junction sensor",
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
POINTS = ("first", "second")


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
        """Reading [degC] at true temperature `t_c` with these errors; a quantity not named is free of error.

        Raises `ValueError` for a quantity that the budget, or this chain's circuit, does not know.
        """
        if unknown := errors.keys() - NAMES.keys():
            raise ValueError(f"quantity {min(unknown)!r} is not one of {', '.join(NAMES)}: take one of these")
        chain, codes = self.chain, self.chain.converter.codes
        reference_v = errors.get("reference", chain.reference.nominal_v)
        if "drift" in errors:
            reference_v = reference_v * (1 + 0.01 * errors["drift"])
        for key in ("sensor", "heating"):
            if key in errors:
                t_c = t_c + errors[key]
        feed_v = chain.circuit.feed_v(reference_v, chain.reference.kind)
        v = chain.circuit.volts(chain.sensor, t_c, feed_v, {key: errors[key] for key in PARTS_OFF if key in errors})
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
        stays = {key: errors[key] for key in STAYS if key in errors}
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

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
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
    of_sensor, of_circuit = chain.sensor.doubts(t_c), chain.circuit.doubts(chain.reference.kind)
    doubts = {**of_sensor, **of_circuit}
    for key in [key for key in doubts if key not in PARTS_OFF or (key in of_sensor and key in of_circuit)]:
        raise ValueError(f"doubt {key!r} has no row of its own in the budget: the rows are {', '.join(PARTS_OFF)}")
    return doubts


def check_rows(chain, t_c):
    """Raise `ValueError` where a tolerance that a part states would be lost, for the budget has no row for it.

    >>> from tempkit.chain import scenario
    >>> check_rows(scenario(), 25.0)
    """
    doubts = _doubts(chain, t_c)
    for part in (chain.sensor, chain.circuit):
        for name in (each.name for each in fields(part) if each.name.endswith("_tolerance") or each.name in ROW_OF):
            value, key = getattr(part, name), ROW_OF.get(name)
            of_nothing = name == "lead_tolerance" and not part.lead_ohm
            if value and not doubts.get(key, (0.0,))[0] and not of_nothing:
                raise ValueError(
                    f"{name} {value:g} of {part.called} gives no row of the budget, so it would be lost: leave it out, "
                    "and give a supply that is the reference its tolerance as the reference's"
                )


def _of_parts(chain, t_c):
    """What may be off in sensor and circuit: key to `Input`, or None where a part has no such doubt."""
    doubts = _doubts(chain, t_c)
    return {key: limited(key, *doubts[key]) for key in PARTS_OFF if key in doubts}


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
