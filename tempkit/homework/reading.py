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

from tempkit.homework.units import family_of

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
