"""What a key of a chain file may hold: numbers with a unit, a range and advice, as types of the fields of parts."""

import json
from typing import Annotated, Literal, get_args, get_origin

from msgspec import Meta


def _limits(unit, advice, **limits):
    return Meta(extra={"unit": unit, "advice": advice}, **limits)


WHOLE = "write a whole number without a point"
NO_SIGN = "give limits without a sign"
Volts = Annotated[float, _limits("V", "a low voltage, in volts", ge=0.001, le=1000)]
AnyVolts = Annotated[float, _limits("V", "600 mV is 0.6", ge=-1000, le=1000)]
NoiseVolts = Annotated[float, _limits("V", "2 mV is 0.002", ge=0, le=1000)]
Slope = Annotated[float, _limits("V/degC", "8 mV/degC is 0.008", ge=-100, le=100)]
Temperature = Annotated[float, _limits("degC", "a temperature in degrees Celsius", ge=-273.15, le=5000)]
Range = tuple[Temperature, Temperature]
Span = Annotated[float, _limits("degC", NO_SIGN, ge=0, le=1000)]
Relative = Annotated[float, _limits("(relative)", "5 % is 0.05", ge=0, lt=1)]
Drift = Annotated[float, _limits("ppm/degC", NO_SIGN, ge=0, le=100_000)]
Ohms = Annotated[float, _limits("ohm", "9.1 kilohm is 9100", ge=0, le=1e12)]
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
SomeOhms = Annotated[float, _limits("ohm", "9.1 kilohm is 9100", ge=0.001, le=1e12)]
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
LONGEST_SHOWN = 60


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
