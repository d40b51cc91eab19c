"""What somebody typed -> a number and a unit, or a sentence why it was not read. Never an exception.

The rules, as they are told to the reader:

- A point or a comma that stands alone is the decimal mark: 0.488 and 0,488 are the same, and 1,234 is a bit
  more than one.
- Where both stand in a number, the last one is the decimal mark and the other groups thousands: 1.234,5 and
  1,234.5.
- The same mark twice or more groups thousands: 1.234.567.
- Spaces and apostrophes group thousands. Groups have three digits.
- A power of ten may be written e-3, ·10^-3 or ×10⁻³.
- What follows the number is its unit; a unit may also stand before it, as in "code 614".
- Where a whole number is asked for, a lone comma before three digits groups thousands: 90,000.
"""

import math
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

# Units in families; a temperature and a span of temperature are two families

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


LONGEST = 60
LARGEST_POWER = 30
MINUS_SIGNS = dict.fromkeys(map(ord, "\u2010\u2011\u2012\u2013\u2212\ufe63\uff0d"), "-")
SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
NUMBER = re.compile(
    r"""[=≈~]?\s*(?P<lead>[^\W\d_]+(?=\s+[+-]?[\d.,]))?\s*(?P<sign>[+-]?)\s*
        (?P<digits>(?!10\s*(?:\^|\*\*))(?:\d(?:[\d.,'\s_]*[\d.,])?|[.,]\d+))?
        (?P<power>(?<=[\d.,])\s*[eE]\s*(?P<e>[+-]?\s*\d+)(?![\d.,])
                | (?:\s*[·⋅x×*]\s*)?10\s*(?:\^|\*\*)\s*\(?(?P<p>[+-]?\s*\d+)\)?)?
        (?P<rest>.*)""",
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True)
class Read:
    """A number as it was understood: `value`, the `unit` typed with it ("" for none), a `note` on the reading, and
    the `place` of the last digit written (0.01 in 4.88).

    Where nothing could be read, `value` is None and `refusal` says why and what to do.
    """

    value: float | None = None
    unit: str = ""
    note: str = ""
    refusal: str = ""
    place: float = 1.0


def read(text, whole=False):
    """Read a typed answer; see the rules at the head of this module. `whole`: a whole number is asked for.

    >>> read("1'234,5 mV")
    Read(value=1234.5, unit='mV', note='', refusal='', place=0.1)
    >>> read("4,88·10^-3 V").value, read("\N{MINUS SIGN}40").value, read("1.234.5").refusal
    (0.00488, -40.0, '1.234.5 has a group that is not three digits long. Write one decimal mark and no
    others.')"""
    text = str(text)
    if len(text) > 4 * LONGEST or len(text.strip()) > LONGEST:
        return Read(refusal=f"That is longer than {LONGEST} characters. Write one number and its unit.")
    text = _plain(text)
    if not text:
        return Read(refusal="Nothing is written yet. Write a number.")
    if re.match(r"[+-]?\s*(nan|inf|infinity|∞)\b|[+-]?∞", text, re.IGNORECASE):
        return Read(refusal="That is not a number that a meter could show. Write a number in digits.")
    if re.match(r"[+-]?0[xXbB][0-9a-fA-F]", text):
        return Read(refusal="Write the number in decimal digits, for instance 101.")
    if whole:
        text = re.sub(r"(?<![\d.,])([1-9]\d{0,2}),(?=\d{3}(?![\d.,]))", r"\1", text)
    return _number(NUMBER.match(text))


def _plain(text):
    text = re.sub(r"10\s*([⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)", lambda match: "10^" + match[1].translate(SUPERSCRIPTS), text)
    text = re.sub("[\u00ba\u02da]", "°", text)
    text = unicodedata.normalize("NFKC", text).translate(MINUS_SIGNS)
    return text.replace("\u2019", "'").replace("\u02bc", "'").strip()


def _number(match):
    digits, power, lead = match["digits"], match["power"], match["lead"]
    rest = match["rest"].strip().rstrip(".,;!").rstrip()
    if (digits is None and power is None) or (lead and (rest or not family_of(lead))):
        return Read(
            refusal="No number was found at the start. Write the number first, in digits, then its unit."
        )
    mantissa, note, refusal = _mantissa((digits or "1").strip())
    if refusal:
        return Read(refusal=refusal)
    exponent = re.sub(r"\s", "", match["e"] or match["p"] or "0")
    if len(exponent) > 6 or abs(int(exponent)) > LARGEST_POWER:
        return Read(
            refusal=f"A power of ten beyond {LARGEST_POWER} is no quantity here. Look at the exponent again."
        )
    value = float(f"{match['sign']}{mantissa}e{exponent}")
    if not math.isfinite(value) or re.match(r"[\d±+/*^-]", rest):
        return Read(refusal="More than one number was found. Work it out and write one number and its unit.")
    decimals = len(mantissa.partition(".")[2])
    return Read(value, lead or rest, note, place=float(f"1e{int(exponent) - decimals}"))


def _mantissa(digits):
    """Digits with their marks -> digits with a decimal point, a note, a refusal."""
    marks = [character for character in digits if character in ".,"]
    if not digits.isascii():
        return "", "", "Write the number with the digits 0 to 9."
    if len(set(marks)) == 1 and len(marks) > 1:
        return _grouped(digits, "", "", digits)
    if not marks:
        return _grouped(digits, "", "", digits)
    whole, mark, fraction = digits.rpartition(marks[-1])
    if mark in whole:
        return "", "", f"{digits} has its decimal mark twice. Write one decimal mark and no others."
    lone = len(marks) == 1 and re.fullmatch(r"[1-9]\d{0,2}", whole) and re.fullmatch(r"\d{3}", fraction)
    note = (
        f"{digits} was read as {whole}.{fraction}: a lone comma or point is the decimal mark." if lone else ""
    )
    return _grouped(whole, fraction, note if mark == "," else "", digits)


def _grouped(whole, fraction, note, typed):
    groups = re.split(r"[.,'_\s]", whole)
    proper = len(groups) == 1 or (1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:]))
    fraction = fraction if fraction.isdigit() else re.sub(r"(?<=\d{3})\s(?=\d)", "", fraction)
    if not proper or not (fraction == "" or fraction.isdigit()):
        return (
            "",
            "",
            f"{typed} has a group that is not three digits long. Write one decimal mark and no others.",
        )
    return f"{''.join(groups) or '0'}{'.' if fraction else ''}{fraction}", note, ""
