"""What the tables of a chain file are made of: numbers with a unit, a range and advice, and the part of a table."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

import msgspec
from msgspec import Meta


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
