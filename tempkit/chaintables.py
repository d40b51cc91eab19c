"""What each table of a chain file may hold: one struct for each table, and the thing that it describes.

A new kind of sensor or circuit is one more struct and one more `Part` in `parttables.py`.
"""

import json
from typing import Annotated, Literal, get_args, get_origin

import msgspec

from tempkit.chainunits import (
    Amperes,
    Baud,
    Bits,
    Drift,
    Format,
    Frame,
    Lsb,
    NoiseVolts,
    Part,
    Period,
    Relative,
    Samples,
    Seconds,
    Span,
    Table,
    Temperature,
    Title,
    Volts,
)
from tempkit.converter import Converter, Reference
from tempkit.design import Calibration, Extras, Limits, Link, Noise, Outputs, Response, Smoothing
from tempkit.parttables import CIRCUITS, SENSORS

LONGEST_SHOWN = 60


class ReferenceTable(Table):
    """The converter's reference."""

    kind: Literal["supply", "fixed"]
    nominal_v: Volts
    tolerance: Relative = 0.0
    true_v: Volts | None = None


class ConverterTable(Table):
    """The converter."""

    bits: Bits
    transfer: Literal["floor", "round"] = "floor"
    offset_lsb: Lsb = 0.0
    gain_lsb: Lsb = 0.0
    inl_lsb: Lsb = 0.0


class NoiseTable(Table):
    """Noise at the pin, and samples for a reading."""

    input_v: NoiseVolts = 0.0
    samples: Samples = 1


class LagTable(Table):
    """A time constant: of the sensor, or of smoothing."""

    tau_s: Seconds = 0.0


class AlarmTable(Table):
    """Limits, deadband, delays."""

    low_c: Temperature | None = None
    high_c: Temperature | None = None
    deadband_c: Span = 0.0
    on_delay_samples: Samples = 1
    off_delay_samples: Samples = 1
    sample_period_s: Period = 1.0


class OutputsTable(Table):
    """What the board drives."""

    lamp_current_a: Amperes = 0.0


class LinkTable(Table):
    """The serial line."""

    baud: Baud = 9600
    frame: Frame = "8N1"


class ExtrasTable(Table):
    """What only the budget asks for."""

    reference_drift_ppm_per_c: Drift = 0.0
    board_swing_c: Span = 0.0
    meter_u_v: NoiseVolts = 0.0
    self_heating_c: Span = 0.0
    lead_drop_v: NoiseVolts = 0.0


class CalibrationTable(Table):
    """A comparison with a better thermometer."""

    first_c: Temperature
    thermometer_u_c: Span
    second_c: Temperature | None = None
    left_c: Span = 0.0


class HeadTable(Table):
    """What stands above the tables."""

    format: Format
    title: Title


# Where a table has kinds, its key `kind` picks the part; where it has none, the key is the empty text.
PARTS = {
    "sensor": SENSORS,
    "circuit": CIRCUITS,
    "reference": {"": Part(ReferenceTable, Reference)},
    "converter": {"": Part(ConverterTable, Converter)},
    "noise": {"": Part(NoiseTable, Noise)},
    "response": {"": Part(LagTable, Response)},
    "smoothing": {"": Part(LagTable, Smoothing)},
    "alarm": {"": Part(AlarmTable, Limits)},
    "outputs": {"": Part(OutputsTable, Outputs)},
    "link": {"": Part(LinkTable, Link)},
    "budget": {"": Part(ExtrasTable, Extras)},
    "calibration": {"": Part(CalibrationTable, Calibration)},
}
CHAIN = ("sensor", "circuit", "reference", "converter")
HEAD = tuple(field.name for field in msgspec.structs.fields(HeadTable))


# ---- the same in words


def bare(wanted):
    """A field's type without None, and its limits (None for a pair or a choice of words).

    >>> bare(Bits)[0], bare(Bits)[1].le
    (<class 'int'>, 24)
    """
    if type(None) in get_args(wanted):
        wanted = get_args(wanted)[0]
    if get_origin(wanted) is Annotated:
        return get_args(wanted)[0], wanted.__metadata__[0]
    return wanted, None


def _range(meta):
    """The allowed range in words: "0 to below 1"."""
    if meta.ge == meta.le:
        return f"{meta.ge:g}"
    return f"{meta.ge:.12g} to {f'{meta.le:.12g}' if meta.le is not None else f'below {meta.lt:g}'}"


def allowed(wanted):
    """What a key may hold, in words, with range, unit and advice.

    >>> allowed(Relative)
    'a number, 0 to below 1 (relative); 5 % is 0.05'
    """
    kind, meta = bare(wanted)
    if get_origin(kind) is Literal:
        return "one of " + ", ".join(json.dumps(word) for word in get_args(kind))
    if get_origin(kind) is tuple:
        meta = bare(get_args(kind)[0])[1]
        unit = meta.extra["unit"]
        return f"two numbers of {unit}, lower first, each {_range(meta)} {unit}; {meta.extra['advice']}"
    unit, advice = meta.extra["unit"], meta.extra["advice"]
    if kind is str:
        return f"a text in quotes, {unit}; {advice}"
    return f"a {'whole ' * (kind is int)}number, {f'{_range(meta)} {unit}'.strip()}; {advice}"


def shown(value):
    """The value as the file has it, cut short.

    >>> shown([18.0, {"low": 1}]), shown(True)
    ('[18.0, ...]', 'true')
    """
    if isinstance(value, list):
        inner = ("..." if isinstance(each, list | dict) else shown(each) for each in value[:LONGEST_SHOWN])
        text = f"[{', '.join(inner)}]"
    elif isinstance(value, dict):
        text = "{ ... }"
    else:
        text = json.dumps(value) if isinstance(value, bool | str) else str(value)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 4] + " ..."


def called(value):
    """The type of a value as a reader calls it.

    >>> called(5.0), called({})
    ('a number', 'a table')
    """
    names = {bool: "true or false", int: "a whole number", float: "a number", str: "a text", list: "an array"}
    return names.get(type(value), "a table" if isinstance(value, dict) else "a date or time")


def fits(kind, value):
    """True where the value has the wanted type, whatever its size.

    >>> fits(float, 5), fits(int, 5.0), fits(int, True)
    (True, False, False)
    """
    if get_origin(kind) is tuple:
        return isinstance(value, list)
    types = {float: (int, float), int: (int,)}.get(kind, (str,))
    return isinstance(value, types) and not isinstance(value, bool)
