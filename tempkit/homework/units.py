"""Units of an answer, in families; a temperature and a span of temperature are two families."""

import re
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

F_PER_C = 1.8


@dataclass(frozen=True)
class Unit:
    """A unit of a family: value in the base unit = value * `factor` + `offset`; `spellings` are also
    understood.

    >>> find("degF", "temperature").to_base(212.0)
    100.0
    """

    sign: str
    factor: float = 1.0
    spellings: tuple = ()
    offset: float = 0.0

    def to_base(self, value):
        """Value in this unit -> value in the base unit of the family."""
        return value * self.factor + self.offset

    def from_base(self, value):
        """Value in the base unit of the family -> value in this unit."""
        return (value - self.offset) / self.factor


_C = ("C", "celsius")
_F = ("F", "fahrenheit")
DEGREE = r"(?:degrees?|degs?|°)"
_K = ("kelvin",)

FAMILIES = MappingProxyType(
    {
        "number": (Unit("", 1.0),),
        "code": (Unit("code", 1.0, ("codes", "count", "counts")),),
        "bits": (Unit("bit", 1.0, ("bits",)),),
        "LSB": (Unit("LSB", 1.0, ("LSBs", "step", "steps")),),
        "digits": (Unit("digits", 1.0, ("digit", "decimals", "decimal", "places", "place")),),
        "samples": (Unit("samples", 1.0, ("sample", "readings", "reading")),),
        "percent": (Unit("%", 1.0, ("percent", "per cent")), Unit("ppm", 1e-4)),
        "voltage": (
            Unit("V", 1.0, ("volt", "volts")),
            Unit("mV", 1e-3, ("millivolt", "millivolts", "mVolt", "mVolts")),
            Unit("µV", 1e-6, ("uV", "microvolt", "microvolts", "µVolt", "µVolts", "uVolt", "uVolts")),
        ),
        "temperature": (
            Unit("°C", 1.0, _C),
            Unit("°F", 1 / F_PER_C, _F, -32 / F_PER_C),
            Unit("K", 1.0, _K, -273.15),
        ),
        "temperature span": (Unit("°C", 1.0, _C), Unit("°F", 1 / F_PER_C, _F), Unit("K", 1.0, _K)),
        "sensor slope": (
            Unit("V/°C", 1.0, ("V/C", "V/K")),
            Unit("mV/°C", 1e-3, ("mV/C", "mV/K")),
        ),
        "rate of temperature": (
            Unit("°C/s", 1.0, ("C/s", "K/s")),
            Unit("°C/min", 1 / 60, ("C/min", "K/min")),
            Unit("°C/h", 1 / 3600, ("C/h", "K/h")),
        ),
        "resistance": (
            Unit("Ω", 1.0, ("ohm", "ohms", "R")),
            Unit("kΩ", 1e3, ("kohm", "kohms", "kilohm", "k")),
            Unit("MΩ", 1e6, ("Mohm", "megohm")),
        ),
        "time": (
            Unit("s", 1.0, ("sec", "second", "seconds")),
            Unit("ms", 1e-3, ("millisecond", "milliseconds", "msec")),
            Unit("µs", 1e-6, ("us", "microsecond", "microseconds")),
            Unit("min", 60.0, ("minute", "minutes")),
            Unit("h", 3600.0, ("hour", "hours")),
        ),
        "current": (
            Unit("A", 1.0, ("amp", "amps", "ampere", "amperes")),
            Unit("mA", 1e-3, ("milliamp", "milliamps", "mAmp", "mAmps")),
            Unit("µA", 1e-6, ("uA", "microamp", "microamps", "uAmp", "µAmp")),
        ),
        "power": (Unit("W", 1.0, ("watt", "watts")), Unit("mW", 1e-3, ("milliwatt", "milliwatts"))),
        "frequency": (Unit("Hz", 1.0, ("hertz", "/s", "1/s")), Unit("kHz", 1e3), Unit("MHz", 1e6)),
        "pressure": (Unit("Pa", 1.0), Unit("hPa", 1e2, ("mbar",)), Unit("kPa", 1e3)),
        "length": (Unit("m", 1.0, ("metre", "metres")), Unit("mm", 1e-3), Unit("km", 1e3)),
    }
)


def _tidy(text):
    text = " ".join(text.replace("\u03bc", "µ").replace("\u2126", "Ω").replace("\u00ba", "°").split())
    text = re.sub(r" ?/ ?| per (?!cent)", "/", text)
    text = re.sub(rf"{DEGREE} ?([CF])(?:elsius|ahrenheit)?\b", lambda m: f"°{m[1].upper()}", text, flags=re.IGNORECASE)
    return re.sub(rf"/{DEGREE}$", "/°C", text)


def bare_degree(text):
    """True for a degree that does not say of which scale: "°", "deg", "degrees".

    >>> bare_degree("°"), bare_degree("°C")
    (True, False)
    """
    return bool(re.fullmatch(DEGREE, text.strip(), re.IGNORECASE))


def _spelt(family):
    for unit in FAMILIES[family]:
        for spelling in (unit.sign, *unit.spellings):
            yield spelling, unit


def _same_letters(spelling, wanted):
    """The same word but for capitals; an m in front keeps its size, since milli is not mega."""
    kept = "m" not in spelling[:1].lower() or spelling[:1] == wanted[:1]
    return kept and spelling.casefold() == wanted.casefold()


@lru_cache(maxsize=1024)
def find(text, family):
    """The `Unit` that `text` spells within the family, or None.

    The exact spelling counts first (k is kΩ, K is kelvin); then the letters without regard to their size,
    where only one unit of the family answers to them.

    >>> find("mv", "voltage").sign, find("K", "resistance").sign, find("mV", "current")
    ('mV', 'kΩ', None)
    """
    wanted = _tidy(text)
    for spelling, unit in _spelt(family):
        if spelling == wanted:
            return unit
    loose = {unit for spelling, unit in _spelt(family) if _same_letters(spelling, wanted)}
    return loose.pop() if len(loose) == 1 else None


def family_of(text):
    """The first family that knows the unit spelt by `text`, or None: for saying what was typed instead.

    >>> family_of("kohm"), family_of("furlong")
    ('resistance', None)
    """
    return next((family for family in FAMILIES if text and find(text, family)), None)


def convert(value, unit, to, family):
    """Value in the unit with the sign `unit` -> value in the unit `to` of the same family.

    >>> convert(488.0, "µV", "mV", "voltage"), round(convert(77.0, "°F", "°C", "temperature"), 6)
    (0.488, 25.0)
    """
    if unit == to:
        return value
    return find(to, family).from_base(find(unit, family).to_base(value))


def signs(family):
    """The signs of a family, for a list to choose from.

    >>> signs("voltage")
    ('V', 'mV', 'µV')
    """
    return tuple(unit.sign for unit in FAMILIES[family])
