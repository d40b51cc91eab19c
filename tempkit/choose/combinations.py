"""Every combination of a catalogue's parts and settings against a requirement, and the cheapest for each error."""

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

import numpy as np

from tempkit.chain import Chain, Converter, Design, Extras, Limits, Noise, Response, Smoothing
from tempkit.choose.requirement import late_s, noise_left, raises_per_min, reach
from tempkit.uncertainty import ChainModel, guard_band, inputs_of, propagate, quantisation_limits_lsb

PERIOD_S = 1.0
IN_STEPS = ("offset", "gain", "inl", "quantisation")
SAMPLES = (1, 4, 16, 64, 256)
SMOOTHINGS_S = (0.0, 5.0, 20.0, 60.0)
DELAYS = (1, 3, 5, 10)
DEADBANDS_C = (0.1, 0.2, 0.5, 1.0)


@dataclass(frozen=True)
class Choice:
    """One combination: places in the catalogue, and the settings of the program.

    samples : averaged for one reading; smoothing_s [s]; on_delay [samples]; deadband_c [degC].

    >>> Choice(0, 0, 1).samples
    16
    """

    front_end: int
    reference: int
    converter: int
    samples: int = 16
    smoothing_s: float = 5.0
    on_delay: int = 3
    deadband_c: float = 0.5


def assemble(parts, choice, requirement, title="A design of my own (invented parts)"):
    """The `Design` of a choice, with the limits where the requirement puts them, and the price of its parts.

    >>> from tempkit.choose.parts import catalogue
    >>> from tempkit.choose.requirement import Requirement
    >>> design, price = assemble(catalogue(), Choice(0, 0, 1), Requirement())
    >>> design.alarm.high_c, price
    (27.0, 3.0)
    """
    front = parts.front_ends[choice.front_end]
    reference, converter = parts.references[choice.reference], parts.converters[choice.converter]
    low_c, high_c = requirement.limits_c
    design = Design(
        title=title,
        chain=Chain(front.sensor, reference.part, converter.part, front.circuit),
        noise=Noise(front.noise_v, choice.samples),
        response=Response(front.tau_s),
        smoothing=Smoothing(choice.smoothing_s),
        alarm=Limits(low_c, high_c, choice.deadband_c, choice.on_delay, choice.on_delay, PERIOD_S),
        budget=Extras(self_heating_c=front.self_heating_c),
    )
    return design, price_of(parts, (choice.front_end, choice.reference, choice.converter))


def places_of(parts, design):
    """Places in the catalogue of a design's front end, reference and converter, each None where it is not of it.

    A front end is known by its sensor and circuit alone.

    >>> from tempkit.choose.parts import catalogue
    >>> from tempkit.choose.requirement import Requirement
    >>> places_of(catalogue(), assemble(catalogue(), Choice(3, 2, 1), Requirement())[0])
    (3, 2, 1)
    """
    chain = design.chain
    fronts = [(each.sensor, each.circuit) == (chain.sensor, chain.circuit) for each in parts.front_ends]
    references = [each.part == chain.reference for each in parts.references]
    converters = [each.part == chain.converter for each in parts.converters]
    return tuple(rows.index(True) if True in rows else None for rows in (fronts, references, converters))


def price_of(parts, places):
    """Price of the parts at these places; None where one is None."""
    kinds = (parts.front_ends, parts.references, parts.converters)
    rows = list(zip(kinds, places, strict=True))
    return None if None in places else sum(kind[place].price for kind, place in rows)


@dataclass(frozen=True, eq=False)
class Found:
    """All combinations, one value of each array for each: `passes`, `price`, `guard_c` [degC], `late_s` [s].

    guard_c : the wider guard band of the two limits; choices come by number from `choice`.
    """

    axes: tuple
    passes: np.ndarray
    price: np.ndarray
    guard_c: np.ndarray
    late_s: np.ndarray

    def choice(self, number):
        """The `Choice` of one combination."""
        places = np.unravel_index(number, tuple(len(axis) for axis in self.axes))
        return Choice(*(axis[place] for axis, place in zip(self.axes, places, strict=True)))

    def points(self):
        """Price, guard band [degC] and whether it passes: once for all delays and deadbands of the same readings.

        Combinations that cannot read at the limits are left out.
        """
        row = len(self.axes[-2]) * len(self.axes[-1])
        price, guard_c, passes = (each.reshape(-1, row) for each in (self.price, self.guard_c, self.passes))
        seen = np.isfinite(guard_c[:, 0])
        return price[seen, 0], guard_c[seen, 0], passes[seen].any(axis=1)

    def best(self):
        """The passing combinations that none beats in both price and guard band: their numbers, cheapest first.

        Of equal ones the least late is taken. Empty where nothing passes.
        """
        numbers = np.flatnonzero(self.passes)
        order = numbers[np.lexsort((self.late_s[numbers], self.guard_c[numbers], self.price[numbers]))]
        lowest = np.minimum.accumulate(np.append(np.inf, self.guard_c[order]))[:-1]
        return order[self.guard_c[order] < lowest]


@lru_cache(maxsize=4)
def search(parts, requirement):
    """Every combination of the parts of a `Catalogue` and the settings above against a `Requirement`: `Found`.

    The lines are those of `tempkit.choose.check`, each computed once for the choices that it depends on; none
    is approximated for speed. The last few results are kept; their arrays cannot be written to.
    """
    axes = (
        *(range(len(kind)) for kind in (parts.front_ends, parts.references, parts.converters)),
        *(SAMPLES, SMOOTHINGS_S, DELAYS, DEADBANDS_C),
    )
    shape = tuple(len(axis) for axis in axes)
    reading = _of_readings(parts, requirement, axes)
    kept = np.array([_noise_ratio(tau_s) for tau_s in SMOOTHINGS_S])[:, None, None]
    stays, noise, bias, step = (reading[name][..., None, None, None] for name in ("stays", "noise", "bias", "step"))
    sides = [np.hypot(stays[side], noise[side] * kept) for side in (0, 1)]
    guards = [_guard(u, requirement.level) + np.abs(bias[side]) for side, u in enumerate(sides)]
    late = _of_delays(parts, requirement)[:, None, None, None, :, :, None]
    chatter = raises_per_min(np.array(DEADBANDS_C), np.maximum(noise[0], noise[1]) * kept, PERIOD_S)
    price = _prices(parts)[..., None, None, None, None]
    passes = reading["fits"][..., None, None, None] & (step <= np.array(DEADBANDS_C))
    for side in (0, 1):
        passes = passes & (guards[side] <= requirement.room_c[side])
    passes = passes & (np.array(DEADBANDS_C) <= requirement.silent_room_c)
    passes = passes & (late <= requirement.late_s) & (chatter <= requirement.raises_per_min)
    passes = passes & (price <= requirement.price)
    wide = (price, np.maximum(*guards), late)
    found = [passes.ravel(), *(np.broadcast_to(each, shape).ravel() for each in wide)]
    for each in found:
        each.flags.writeable = False
    return Found(axes, *found)


def _guard(standard_c, level):
    return guard_band(np.maximum(standard_c, 1e-300), level)


def _noise_ratio(smoothing_s):
    return noise_left(Design("", None, smoothing=Smoothing(smoothing_s), alarm=Limits(high_c=0.0)))


def _prices(parts):
    fronts, references, converters = (
        np.array([each.price for each in kind]) for kind in (parts.front_ends, parts.references, parts.converters)
    )
    return fronts[:, None, None] + references[:, None] + converters


def _of_readings(parts, requirement, axes):
    """What depends on front end, reference, converter and samples alone; two values, low and high, where it says so.

    Sensitivities are asked once for each front end and reference: in steps of a converter they go with its step.
    """
    shape = tuple(len(axis) for axis in axes[:4])
    found = {name: np.full((2, *shape), np.inf) for name in ("stays", "noise", "bias")}
    found |= {"step": np.zeros(shape), "fits": np.zeros(shape, bool)}
    for pair in product(*(range(n) for n in shape[:2])):
        bare = _with_steps(assemble(parts, Choice(*pair, 0), requirement)[0])
        reads = _reach_that_fits(bare.chain)
        if reads is None or reads[0] > requirement.range_c[0] or reads[1] < requirement.range_c[1]:
            continue
        found["fits"][pair] = True
        for side, limit in enumerate(requirement.limits_c):
            slopes, found["bias"][(side, *pair)] = _sensitivities(bare, limit)
            for number, converter in enumerate(parts.converters):
                design = replace(bare, chain=replace(bare.chain, converter=converter.part))
                at = (*pair, number)
                stays, noise, step = _parts_of(design, limit, slopes)
                found["stays"][(side, *at)], found["noise"][(side, *at)] = stays, noise
                found["step"][at] = np.maximum(found["step"][at], step)
    return found


def _with_steps(design):
    """The design with a converter of one bit and every error of one step, so that each has its sensitivity."""
    return replace(design, chain=replace(design.chain, converter=Converter(1, "floor", 1.0, 1.0, 1.0)))


def _sensitivities(design, t_c):
    """Sensitivity of a reading to each quantity [degC per unit], by its name, and the reading's bias [degC]."""
    given = [each for each in inputs_of(design, t_c).items() if each[1] is not None]
    model = ChainModel(design.chain, t_c, tuple(key for key, _ in given))
    found = propagate(model, tuple(each for _, each in given))
    lines = zip((key for key, _ in given), found.contributions, strict=True)
    return {key: line.sensitivity for key, line in lines}, found.value - t_c


def _parts_of(design, t_c, slopes):
    """For every number of samples: what stays, what is noise, one step as averaging leaves it, all [degC]."""
    codes = design.chain.converter.codes
    per_unit = {key: slope * (2 / codes if key in IN_STEPS else 1.0) for key, slope in slopes.items()}
    given = {key: each for key, each in inputs_of(design, t_c).items() if each is not None}
    fixed = [per_unit[key] * each.standard for key, each in given.items() if key not in ("quantisation", "noise")]
    sigma_lsb = design.noise.input_v / design.chain.converter.step_v(design.chain.reference.actual_v)
    half = np.array([quantisation_limits_lsb(sigma_lsb, samples) for samples in SAMPLES])
    noise = np.abs(per_unit.get("noise", 0.0)) * design.noise.input_v / np.sqrt(SAMPLES)
    stays = np.sqrt(sum(each**2 for each in fixed) + (per_unit["quantisation"] * half) ** 2 / 3)
    return stays, noise, 2 * half * design.chain.step_c(t_c)


def _reach_that_fits(chain):
    return None if chain.supply_problems() else reach(chain)


def _of_delays(parts, requirement):
    """How late a call is [s]: front end, smoothing, on-delay; front ends of the same lag are asked once."""
    shape = (len(parts.front_ends), len(SMOOTHINGS_S), len(DELAYS))
    late, known = np.empty(shape), {}
    for place in product(*(range(n) for n in shape)):
        front, smoothing, delay = place
        key = (parts.front_ends[front].tau_s, smoothing)
        if key not in known:
            choice = Choice(front, 0, 0, smoothing_s=SMOOTHINGS_S[smoothing], on_delay=1)
            known[key] = late_s(assemble(parts, choice, requirement)[0], requirement)
        late[place] = known[key] + (DELAYS[delay] - 1) * PERIOD_S
    return late
