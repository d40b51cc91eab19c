"""What a meter should read at every point of a bench as it should be, and the first codes, with their tolerances."""

from dataclasses import dataclass
from math import hypot, sqrt

from tempkit.chain import tolerance_ends
from tempkit.constants import USB_SOURCE_MAX_V, USB_SOURCE_MIN_V
from tempkit.faults.cases import ROOM_LIMITS_C
from tempkit.faults.wiring import (
    LAMP_FORWARD_V,
    LAMP_SPREAD_V,
    SENSOR_A,
    Wiring,
    meter_limits_v,
    own_supply_v,
    source_v,
    voltages,
)
from tempkit.uncertainty import NAMES, chain_budget

BEHIND_THE_PIN = ("reference", "drift", "offset", "gain", "inl", "quantisation", "noise")  # rows a meter does not see
SUPPLY_PART = 0.05  # of a supply other than 5 V that no design states a tolerance for; common practice, no source
ROOM_SHAPE = sqrt(3)  # the room thermometer's limits are a rectangle


@dataclass(frozen=True)
class Point:
    """A row of the meter's table: where to measure, what to expect [V], and between which two voltages [V]."""

    where: str
    volts: float
    low_v: float
    high_v: float


def supply_ends_v(chain):
    """Lowest and highest supply [V] that a right bench may have.

    The reference's own tolerance where it is the supply (or what the meter said); else what a USB source may give
    where the supply is 5 V, and 5 % either way of another.

    >>> from tempkit.chain import scenario
    >>> supply_ends_v(scenario()), supply_ends_v(scenario(nominal_v=1.2, kind="fixed"))
    ((4.75, 5.25), (4.75, 5.5))
    """
    if chain.reference.kind == "supply":
        return _reference_ends_v(chain)
    supply_v = source_v(chain)
    if supply_v == 5.0:
        return float(USB_SOURCE_MIN_V), float(USB_SOURCE_MAX_V)
    return supply_v * (1 - SUPPLY_PART), supply_v * (1 + SUPPLY_PART)


def _reference_ends_v(chain):
    reference = chain.reference
    return tolerance_ends(reference) if reference.true_v is None else (reference.true_v, reference.true_v)


def signal_limits_v(design, room_c):
    """Limits, +-, of the sensor's output in a room of this temperature [degC] as a voltage [V], the meter's apart.

    Every row of the error budget that stands before the pin (sensor, circuit, self-heating, lead drop), at its worst,
    and the room thermometer's 1 degC, times the slope; where the circuit follows its supply, the supply's tolerance.

    >>> from tempkit.chain import Design, scenario
    >>> round(signal_limits_v(Design("bench", scenario()), 21.0), 6)
    0.02
    """
    chain, budget = design.chain, chain_budget(design, room_c)
    skipped = [NAMES[key] for key in BEHIND_THE_PIN]
    span_c = ROOM_LIMITS_C + sum(abs(row.worst_c) for row in budget.rows if row.name not in skipped)
    span_c += sum(abs(shift_c) for name, shift_c in budget.corrections if name not in skipped)
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    limits_v = span_c * abs(chain.circuit.volts_per_c(chain.sensor, room_c, feed_v))
    if chain.circuit.needs_feed:
        by_reference = chain.reference.kind == "fixed" and own_supply_v(chain) is None
        low_v, high_v = _reference_ends_v(chain) if by_reference else supply_ends_v(chain)
        limits_v += chain.volts(room_c) * (high_v / low_v - 1) / 2
    return limits_v


def meter_points(design, room_c):
    """The `Point` rows for a bench of this design in a room of this temperature [degC], in the order of measuring.

    Limits are added up, the meter's own included. Raises `ValueError` as `tempkit.uncertainty.chain_budget`.

    >>> from tempkit.chain import Design, scenario
    >>> pin = meter_points(Design("bench", scenario()), 21.0)[5]
    >>> pin.where, round(pin.volts, 3), round(pin.low_v, 3), round(pin.high_v, 3)
    ("the converter's pin", 0.768, 0.742, 0.794)
    """
    wires = Wiring() if design.outputs is None else Wiring(lamp_a=design.outputs.lamp_current_a)
    signal_v = signal_limits_v(design, room_c)
    at, chain = voltages(design.chain, room_c, wires), design.chain
    supply, lead_v = supply_ends_v(chain), wires.lead_ohm * float(SENSOR_A)
    legs = [
        _within("the sensor's supply leg", at.sensor_supply_v, supply[0] - lead_v, supply[1]),
        _within("the sensor's ground leg", at.sensor_ground_v, 0.0, lead_v),
        _within("the sensor's output leg", at.sensor_output_v, *_around(at.sensor_output_v, signal_v)),
    ]
    rows = [
        _within("supply, at the board", at.supply_v, *supply),
        _within("the converter's reference", at.reference_v, *_reference_ends_v(chain)),
        *(legs if chain.circuit.three_legs else ()),
        _within("the converter's pin", at.pin_v, *_around(at.pin_v, signal_v)),
    ]
    if chain.circuit.second_input:
        rows.append(_second_input(*chain.circuit.second_input))
    if design.outputs is not None:
        lit_v = float(LAMP_FORWARD_V)
        rows.append(_within("across the lamp, while it is tested", lit_v, *_around(lit_v, LAMP_SPREAD_V)))
    return tuple(rows)


def _second_input(v, v_per_c, limits_c):
    limits_v = (limits_c + ROOM_LIMITS_C) * abs(v_per_c)
    return _within("the converter's second input", v, *_around(v, limits_v))


def _around(v, limits_v):
    return v - limits_v, v + limits_v


def _within(where, volts, low_v, high_v):
    """A row whose ends are moved out by the meter's own limits."""
    return Point(where, volts, low_v - meter_limits_v(low_v), high_v + meter_limits_v(high_v))


@dataclass(frozen=True)
class FirstCodes:
    """What the first lines should say: the code and reading of a bench without error, the codes and readings of 95 of
    100 benches, and those that no bench within its limits leaves; room thermometer included."""

    code: int
    reading_c: float
    likely: tuple
    likely_c: tuple
    widest: tuple
    widest_c: tuple


def first_codes(design, room_c):
    """`FirstCodes` of a design in a room of this temperature [degC], from its error budget.

    Raises `ValueError` outside the sensor's range, or where the converter saturates.

    >>> from tempkit.chain import Design, scenario
    >>> codes = first_codes(Design("bench", scenario()), 21.0)
    >>> codes.code, codes.likely, codes.widest
    (157, (147, 166), (145, 170))
    """
    budget = chain_budget(design, room_c)
    chain = design.chain
    half_c = budget.k * hypot(budget.standard_c, ROOM_LIMITS_C / ROOM_SHAPE)
    middle_c = budget.reading_c
    likely_c = (middle_c - half_c, middle_c + half_c)
    widest_c = (middle_c + budget.worst_c[0] - ROOM_LIMITS_C, middle_c + budget.worst_c[1] + ROOM_LIMITS_C)
    code = chain.code(room_c)
    return FirstCodes(
        code,
        chain.reading(code, checked=False),
        _codes(chain, likely_c),
        likely_c,
        _codes(chain, widest_c),
        widest_c,
    )


def _codes(chain, ends_c):
    """The codes whose readings lie at these two ends, the lower code first."""
    nominal_v, kind = chain.reference.nominal_v, chain.reference.kind
    feed_v = chain.circuit.assumed_feed_v(nominal_v, kind)
    codes = (chain.converter.code(chain.circuit.volts(chain.sensor, end, feed_v), nominal_v) for end in ends_c)
    return tuple(sorted(codes))
