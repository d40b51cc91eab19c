"""Choices of the reader that hold for the whole book: the temperature scale and the size of pictures."""

import json
import os
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path

from tempkit import scales
from tempkit.files import told, write_whole

SCALES = ("degC", "degF")
FILE = "my-book.json"
SIGN = {"degC": "°C", "degF": "°F"}


@dataclass(frozen=True)
class Book:
    """The reader's choices: `scale` "degC" or "degF", and `room`, True for pictures readable from the back row.

    Raises `ValueError` for another scale, and for a `room` that is not True or False.

    >>> Book().temperature(25.0), Book("degF").temperature(25.0), Book("degF").span(10.0)
    ('25.0 °C', '77.0 °F', '18.0 °F')
    """

    scale: str = "degC"
    room: bool = False

    def __post_init__(self):
        if self.scale not in SCALES:
            raise ValueError(f"scale {self.scale!r} is not one of {', '.join(SCALES)}: choose one of these")
        if not isinstance(self.room, bool):
            raise ValueError(f"room {self.room!r} is neither true nor false: true is for the back row")

    @property
    def sign(self):
        """The unit as printed: "°C" or "°F"."""
        return SIGN[self.scale]

    def from_celsius(self, t_c):
        """Temperature [degC] -> temperature in the reader's scale."""
        return scales.celsius_to_fahrenheit(t_c) if self.scale == "degF" else t_c

    def to_celsius(self, t):
        """Temperature in the reader's scale -> temperature [degC]."""
        return scales.fahrenheit_to_celsius(t) if self.scale == "degF" else t

    def span_from_celsius(self, d_c):
        """Span of temperature [degC] -> span in the reader's scale."""
        return scales.celsius_span_to_fahrenheit(d_c) if self.scale == "degF" else d_c

    def temperature(self, t_c, digits=1):
        """Text of a temperature given in degC, in the reader's scale."""
        return f"{tidy(self.from_celsius(t_c), digits)} {self.sign}"

    def span(self, d_c, digits=1, signed=False):
        """Text of a span of temperature given in degC, in the reader's scale; `signed` writes + too."""
        return f"{tidy(self.span_from_celsius(d_c), digits, signed)} {self.sign}"


def tidy(number, digits, signed=False):
    """Text with fixed `digits` after the point, a true minus sign, and never a negative zero.

    >>> tidy(-0.04, 1), tidy(-3.25, 1), tidy(2.0, 1, signed=True)
    ('0.0', '−3.2', '+2.0')
    """
    value = round(float(number), digits) + 0.0
    return f"{value:{'+' if signed and value else ''}.{digits}f}".replace("-", "\N{MINUS SIGN}")


def _file():
    return Path(os.environ.get("TEMPKIT_BOOK", FILE))


def current():
    """The choices stored in `my-book.json` beside the notebook (or in the file that TEMPKIT_BOOK names).

    Without such a file: degC and desk size. A damaged file raises `ValueError` that names it and says what to do.
    """
    path = _file()
    try:
        return Book(**_choices(path.read_bytes()))
    except FileNotFoundError:
        return Book()
    except OSError as error:
        raise ValueError(f"your choices cannot be read: {told(error, path.resolve())}") from None
    except ValueError as error:
        raise ValueError(f"{path.resolve()} cannot be read ({error}): delete the file and choose again") from None


def _choices(data):
    try:
        found = json.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        raise ValueError("it is no JSON, or cut off") from None
    names = [field.name for field in fields(Book)]
    if not isinstance(found, dict):
        raise ValueError(f"it holds no choices by name; the names are {', '.join(names)}")
    for name in found:
        if name not in names:
            raise ValueError(f"{name[:40]!r} is no choice; the names are {', '.join(names)}")
    return found


def choose(**choices):
    """Store choices for the whole book, for instance `choose(scale="degF")`, and return them all.

    The file is written at one stroke. Raises `ValueError` where it is damaged or cannot be written; it then stays.
    """
    book = replace(current(), **choices)
    try:
        write_whole(_file(), json.dumps(asdict(book)).encode())
    except OSError as error:
        raise ValueError(f"your choices cannot be kept: {told(error, _file().resolve())}") from None
    return book
