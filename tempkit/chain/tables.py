"""What each table of a chain file may hold: one struct for each table, and the thing that it describes.

A new kind of sensor or circuit is one more struct and one more `Part` in `parttables.py`.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Literal, get_args, get_origin

import msgspec
from msgspec import Meta

from tempkit.chain.circuit import Direct
from tempkit.chain.cold_junction import ColdJunction
from tempkit.chain.converter import Converter, Reference
from tempkit.chain.design import Calibration, Extras, Limits, Link, Noise, Outputs, Response, Smoothing
from tempkit.chain.platinum import STANDARD_RANGE_C, PlatinumSensor
from tempkit.chain.resistive import Bridge, CurrentDrive, Divider
from tempkit.chain.sensors import LinearSensor
from tempkit.chain.thermistor import RANGE_C, BetaThermistor, Thermistor
from tempkit.chain.thermocouple import Thermocouple

# --- What the tables of a chain file are made of: numbers with a unit, a range and advice, and the part of a table.

def _limits(unit, advice, **limits):
    return Meta(extra={"unit": unit, "advice": advice}, **limits)


WHOLE = "write a whole number without a point"
NO_SIGN = "give limits without a sign"
Volts = Annotated[float, _limits("V", "a low voltage, in volts", ge=0.001, le=1000)]
AnyVolts = Annotated[float, _limits("V", "500 mV is 0.5", ge=-1000, le=1000)]
NoiseVolts = Annotated[float, _limits("V", "2 mV is 0.002", ge=0, le=1000)]
Slope = Annotated[float, _limits("V/degC", "10 mV/degC is 0.01", ge=-100, le=100)]
Temperature = Annotated[float, _limits("degC", "a temperature in degrees Celsius", ge=-273.15, le=5000)]
Span = Annotated[float, _limits("degC", NO_SIGN, ge=0, le=1000)]
Relative = Annotated[float, _limits("(relative)", "5 % is 0.05", ge=0, lt=1)]
Drift = Annotated[float, _limits("ppm/degC", NO_SIGN, ge=0, le=100_000)]
Ohms = Annotated[float, _limits("ohm", "10 kilohm is 10000", ge=0, le=1e12)]
Lsb = Annotated[float, _limits("LSB", NO_SIGN, ge=0, le=2**24)]
Seconds = Annotated[float, _limits("s", "a time in seconds, 0 for none", ge=0, le=1e7)]
Period = Annotated[float, _limits("s", "the time between two samples", ge=1e-6, le=1e7)]
Amperes = Annotated[float, _limits("A", "6 mA is 0.006", ge=0, le=10)]
Bits = Annotated[int, _limits("bit", WHOLE, ge=1, le=24)]
Samples = Annotated[int, _limits("samples", WHOLE, ge=1, le=1_000_000)]
Baud = Annotated[int, _limits("bit/s", WHOLE, ge=1, le=100_000_000)]
Kelvin = Annotated[float, _limits("K", "usual is 3000 to 4500", ge=1, le=1e5)]
PerKelvin = Annotated[float, _limits("1/K", "from a fit with R in ohm and the natural logarithm", ge=-1, le=1)]
Gain = Annotated[float, _limits("(ratio)", "1 where there is no amplifier", ge=0.001, le=1e6)]
Current = Annotated[float, _limits("A", "1 mA is 0.001", ge=1e-9, le=1)]
SomeOhms = Annotated[float, _limits("ohm", "10 kilohm is 10000", ge=0.001, le=1e12)]
Wires = Annotated[int, _limits("wires", WHOLE, ge=2, le=4)]
ClassNumber = Annotated[int, _limits("(class)", WHOLE, ge=1, le=3)]
Format = Annotated[int, _limits("", "this program reads format 1", ge=1, le=1)]
Title = Annotated[
    str,
    _limits("1 to 200 printable characters", "say what the chain is", min_length=1, max_length=200,
            pattern=r"\A[^\x00-\x1f\x7f-\x9f\ud800-\udfff]*\Z"),
]  # fmt: skip
Frame = Annotated[
    str,
    _limits("data bits 5 to 9, parity N, E, O, M or S, stop bits 1, 1.5 or 2", 'usual is "8N1"',
            pattern=r"\A[5-9][NEOMS](1|1\.5|2)\Z"),
]  # fmt: skip


class Table(msgspec.Struct, forbid_unknown_fields=True, kw_only=True, frozen=True):
    """What a table of the file may hold: names, types and limits of its keys."""


@dataclass(frozen=True)
class Part:
    """A table of the file and the thing it describes.

    `build` makes the thing from keys and values (`model` itself unless given); `row` reads the value of one
    key off the thing.

    >>> Part(Table, complex).made({"real": 40.0})
    (40+0j)
    """

    table: type[Table]
    model: type
    build: Callable | None = None
    row: Callable = getattr

    def made(self, values):
        """The thing that checked `values` describe: key to value, without `kind` where that is a tag."""
        return (self.build or self.model)(**values)

    def keys(self):
        """Names of the keys that this table may hold, what it shares with other tables last."""
        bases = [base for base in self.table.__mro__[1:] if issubclass(base, Table)]
        shared = {name for base in bases for name in base.__struct_fields__}
        return sorted((field.name for field in msgspec.structs.fields(self.table)), key=shared.__contains__)


# --- What the tables [sensor] and [circuit] of a chain file may hold, a struct for each kind.

class LinearTable(Table):
    """A linear sensor."""

    kind: Literal["linear"]
    at_0c_v: AnyVolts
    slope_v_per_c: Slope
    range_c: tuple[Temperature, Temperature]
    supply_v: tuple[Volts, Volts]
    accuracy_c: Span


class DirectTable(Table):
    """A sensor straight at the pin."""

    kind: Literal["direct"]
    source_ohm: Ohms = 0.0
    supply_v: Volts | None = None
    ratiometric_at_v: Volts | None = None


class BetaTable(Table):
    """A thermistor by its Beta."""

    kind: Literal["thermistor-beta"]
    r25_ohm: SomeOhms
    beta_k: Kelvin
    range_c: tuple[Temperature, Temperature] = RANGE_C
    accuracy_c: Span = 0.0
    r25_tolerance: Relative = 0.0
    beta_tolerance: Relative = 0.0


class SteinhartHartTable(Table):
    """A thermistor by three coefficients."""

    kind: Literal["thermistor-steinhart-hart"]
    a: PerKelvin
    b: PerKelvin
    c: PerKelvin
    range_c: tuple[Temperature, Temperature] = RANGE_C
    accuracy_c: Span = 0.0


class PlatinumTable(Table):
    """A platinum sensor."""

    kind: Literal["platinum"]
    r0_ohm: SomeOhms = 100.0
    tolerance_class: Literal["AA", "A", "B", "C"] = "B"
    element: Literal["wire", "film"] = "wire"
    range_c: tuple[Temperature, Temperature] = STANDARD_RANGE_C


class ThermocoupleTable(Table):
    """A thermocouple."""

    kind: Literal["thermocouple"]
    letter: Literal["K", "J", "T"]
    range_c: tuple[Temperature, Temperature] | None = None
    tolerance_class: ClassNumber = 2


class FedTable(Table, kw_only=True):
    """What every fed circuit may hold."""

    supply_v: Volts | None = None
    supply_tolerance: Relative = 0.0
    gain: Gain = 1.0
    gain_tolerance: Relative = 0.0
    offset_v: NoiseVolts = 0.0
    bias_v: AnyVolts = 0.0
    source_ohm: Ohms = 0.0


class WiredTable(FedTable, kw_only=True):
    """What each circuit with leads may hold."""

    lead_ohm: Ohms = 0.0
    assumed_lead_ohm: Ohms = 0.0
    lead_tolerance: Relative = 0.0


class DividerTable(WiredTable, kw_only=True):
    """A divider."""

    kind: Literal["divider"]
    fixed_ohm: SomeOhms
    fixed_tolerance: Relative = 0.0
    sensor_at: Literal["bottom", "top"] = "bottom"
    wires: Wires = 2


class CurrentTable(WiredTable, kw_only=True):
    """A current through the sensor."""

    kind: Literal["current"]
    current_a: Current | None = None
    set_ohm: SomeOhms | None = None
    current_tolerance: Relative = 0.0
    wires: Wires = 4


class BridgeTable(WiredTable, kw_only=True):
    """A bridge."""

    kind: Literal["bridge"]
    top_ohm: SomeOhms
    balance_ohm: SomeOhms
    arm_tolerance: Relative = 0.0
    wires: Wires = 3


class ColdJunctionTable(FedTable, kw_only=True):
    """An amplifier for a thermocouple."""

    kind: Literal["thermocouple-amplifier"]
    cold_c: Temperature = 25.0
    measured_cold_c: Temperature | None = None
    cold_accuracy_c: Span = 0.0
    cold_at_0c_v: AnyVolts | None = None
    cold_slope_v_per_c: Slope | None = None


SENSORS = {
    "linear": Part(LinearTable, LinearSensor),
    "thermistor-beta": Part(BetaTable, BetaThermistor, BetaThermistor.of),
    "thermistor-steinhart-hart": Part(SteinhartHartTable, Thermistor),
    "platinum": Part(PlatinumTable, PlatinumSensor),
    "thermocouple": Part(ThermocoupleTable, Thermocouple),
}
CIRCUITS = {
    "direct": Part(DirectTable, Direct),
    "divider": Part(DividerTable, Divider),
    "current": Part(CurrentTable, CurrentDrive),
    "bridge": Part(BridgeTable, Bridge),
    "thermocouple-amplifier": Part(ColdJunctionTable, ColdJunction),
}


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
