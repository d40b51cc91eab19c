"""The invented maker's catalogue: the specification pages of data/catalogue, as data and as text."""

import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from textwrap import wrap
from typing import Literal

import msgspec
import numpy as np

from tempkit import constants
from tempkit.chain.converter import Converter
from tempkit.chain.file import ChainFileError, unknown_key
from tempkit.chain.parts.linear import LinearSensor
from tempkit.chain.parts.platinum import PlatinumSensor
from tempkit.chain.parts.thermistor import T25_K, Thermistor
from tempkit.chain.parts.thermocouple import Thermocouple
from tempkit.chain.quantities import shown

FOLDER = Path(__file__).resolve().parents[2] / "data" / "catalogue"
INVENTED = "Invented for this book: no such part is sold."
HEADS = ("lowest", "typical", "highest", "unit", "conditions")
WIDTH, NAME_WIDTH, NUMBER_WIDTH, UNIT_WIDTH = 98, 36, 8, 7
COLD_C = 25.0  # the terminals of the amplifier, in its graph
POWERS = {"p": -12, "µ": -6, "m": -3, "k": 3, "M": 6}
PLAIN_UNITS = {*"V A s W F N K Ω × °C °C/V LSB Hz bits bytes W/K Ω/°C V/°C ppm/°C m/s²".split()}


def power_of_ten(unit):
    """How many places a unit stands from its base unit: -3 for "mV/°C", 3 for "kΩ", -2 for "%".

    Raises `ValueError` for a unit that is not known.

    >>> power_of_ten("mV/°C"), power_of_ten("kΩ"), power_of_ten("bits")
    (-3, 3, 0)
    """
    if unit == "%":
        return -2
    if unit in PLAIN_UNITS:
        return 0
    if unit[:1] in POWERS and unit[1:] in PLAIN_UNITS:
        return POWERS[unit[0]]
    known = ", ".join(("%", *sorted(PLAIN_UNITS)))
    raise ValueError(f"unit {unit!r} is not known: take one of {known}, or one with a prefix of {', '.join(POWERS)}")


class Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A line of a table, in the `unit` that the page prints: `low` and `high` are limits, `typical` is no promise.

    key : the name that a program asks for; either : the values stand for both signs; at : the conditions. Raises
    `ValueError` for a line without a value, limits in the wrong order, and an unknown unit.

    >>> Row(name="slope", typical=8.0, unit="mV/°C").cells()
    ('slope', '', '8', '', 'mV/°C', '')
    """

    name: str
    unit: str
    key: str = ""
    low: float | None = None
    typical: float | None = None
    high: float | None = None
    either: bool = False
    at: str = ""

    def __post_init__(self):
        power_of_ten(self.unit)
        given = [value for value in (self.low, self.typical, self.high) if value is not None]
        if not given or given != sorted(given):
            raise ValueError(f"{self.name}: give one value or more of low, typical, high, in rising order")
        if self.either and (self.low is not None or given[0] < 0):
            raise ValueError(f"{self.name}: either = true stands for both signs; leave out low and the sign")

    def base(self, column="typical"):
        """A value of the line in its base unit, as a float: 8 mV/°C is 0.008. `None` where the column is empty.

        column : "low", "typical" or "high".

        >>> Row(name="sampling time", typical=1.2, unit="µs").base()
        1.2e-06
        """
        value = getattr(self, column)
        return None if value is None else float(Decimal(repr(value)).scaleb(power_of_ten(self.unit)))

    def cells(self):
        """The line as a page prints it: name, lowest, typical, highest, unit, conditions."""
        return self.name, *(self._cell(value) for value in (self.low, self.typical, self.high)), self.unit, self.at

    def _cell(self, value):
        if value is None:
            return ""
        return ("±" if self.either and value else "") + f"{value:.10g}".replace("-", "\N{MINUS SIGN}")


class Trap(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a hasty reader of the page falls into; for instructors, and printed on no page.

    what : the kind of trap; tempts, careful : words of the page that mislead, and those that put it right; key : the
    answer.
    """

    what: str
    tempts: str
    careful: str
    key: str


class Specification(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A page of the catalogue. `absolute`, `operating` and `values` hold a `Row` for each line.

    headline : pairs (figure, what it is) in large type; conditions : what holds for all values; graph : which curve
    is drawn; body, seen : the shape that is drawn, and from where; legs : triples (number, name, what it is for);
    notes : the small type; trap : the `Trap`.

    >>> specification("air-sensor").figure("slope_v_per_c")
    0.008
    """

    title: str
    does: str
    headline: tuple[tuple[str, str], ...]
    absolute: tuple[Row, ...]
    operating: tuple[Row, ...]
    conditions: str
    values: tuple[Row, ...]
    graph: Literal["line", "codes", "beta", "platinum", "junction"]
    body: Literal["half-round", "bead", "tube", "double-row", "edge"]
    seen: str
    legs: tuple[tuple[str, str, str], ...]
    notes: tuple[str, ...]
    trap: Trap
    name: str = ""

    def __post_init__(self):
        keys = [row.key for row in self.rows() if row.key]
        twice = sorted({key for key in keys if keys.count(key) > 1})
        if twice:
            raise ValueError(f"key {', '.join(twice)} stands on two lines: give one of them another name")

    def rows(self):
        """Every line that the page has, from its three tables."""
        return (*self.absolute, *self.operating, *self.values)

    def row(self, key):
        """The line with a key. Raises `ValueError` for a key that the page does not have, and lists those it has.

        >>> specification("air-sensor").row("tau_s").cells()
        ('time constant', '', '40', '50', 's', 'still air')
        """
        found = {row.key: row for row in self.rows() if row.key}
        if key not in found:
            raise ValueError(unknown_key(shown(key), str(key), sorted(found), f"key of the page {self.name}"))
        return found[key]

    def figure(self, key, column="typical"):
        """A value in its base unit, "low", "typical" or "high"; `None` where the page gives none.

        >>> specification("air-sensor").figure("accuracy_c", "high")
        1.5
        """
        return self.row(key).base(column)


def specification_names(folder=FOLDER):
    """The names of all pages of the catalogue, in order.

    >>> specification_names()
    ['air-sensor', 'board', 'platinum', 'thermistor', 'thermocouple-amplifier']
    """
    return sorted(path.stem for path in Path(folder).glob("*.toml"))


def specification(name, folder=FOLDER):
    """A page of the catalogue: `Specification`.

    Raises `ValueError` for a name that the catalogue does not have, and lists those it has; `ChainFileError` for a file
    that is not a page.

    >>> specification("thermister")
    Traceback (most recent call last):
        ...
    ValueError: "thermister": no such page; did you mean thermistor? allowed here: air-sensor, board, platinum, thermistor, thermocouple-amplifier
    """  # noqa: E501
    names = specification_names(folder)
    if not names:
        raise ValueError(f"{folder} holds no pages: the catalogue belongs there, one TOML file a part; fetch it again")
    if name not in names:
        raise ValueError(unknown_key(shown(name), str(name), names, "page"))
    path = Path(folder) / f"{name}.toml"
    try:
        return msgspec.convert(tomllib.loads(path.read_text(encoding="utf-8")) | {"name": name}, Specification)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, msgspec.ValidationError) as error:
        raise ChainFileError(str(path), [f"is not a page of the catalogue: {error}; correct it"]) from None
    except OSError as error:
        raise ChainFileError(str(path), [f"cannot be read: {error.strerror}"]) from None


# ---- the curve of a page


@dataclass(frozen=True)
class Curve:
    """What the graph of a page shows, as arrays: `y` over `x`, and how far off it may be at each place.

    x_axis, y_axis, off_axis : pairs (name, unit); typical, limit : +-, in the unit of `off_axis`; band : the limit in
    the unit of `y`; at : the places of a short table.
    """

    x_axis: tuple
    y_axis: tuple
    off_axis: tuple
    x: np.ndarray
    y: np.ndarray
    typical: np.ndarray
    limit: np.ndarray
    band: np.ndarray
    at: tuple
    logarithmic: bool = False

    def rows(self):
        """The curve at its places, as text: x, y, what is typical, and the limit.

        >>> curve(specification("air-sensor")).rows()[1]
        ('25', '0.8', '±0.6', '±1.5')
        """
        near = [int(np.argmin(abs(self.x - place))) for place in self.at]
        return [
            (signed(self.x[i]), signed(self.y[i]), f"±{self.typical[i]:.3g}", f"±{self.limit[i]:.3g}") for i in near
        ]

    def words(self):
        """The curve in sentences: the words that stand for the graph.

        >>> curve(specification("air-sensor")).words()[:52]
        'Graph of output in V over temperature in °C. −25 °C:'
        """
        (x_name, x_unit), (y_name, y_unit), (off_name, off_unit) = self.x_axis, self.y_axis, self.off_axis
        told = [f"{x} {x_unit}: {y} {y_unit}, {off_name} {limit} {off_unit}" for x, y, _, limit in self.rows()]
        return f"Graph of {y_name} in {y_unit} over {x_name} in {x_unit}. {'; '.join(told)}."


def signed(number):
    """A number to four digits, with a true minus sign.

    >>> signed(-25.0), signed(0.80001)
    ('−25', '0.8')
    """
    return f"{number:.4g}".replace("-", "\N{MINUS SIGN}")


def curve(spec):
    """The graph of a page, computed from the figures that the page prints: `Curve`.

    Typical and limit are sums of all that the page states for it, so they are the worst that can meet.

    >>> curve(specification("board")).rows()[-1]
    ('5', '1023', '±1.6', '±5')
    """
    of = {"line": _line, "beta": _beta, "platinum": _platinum, "junction": _junction, "codes": _codes}
    return of[spec.graph](spec)


def _temperatures(spec):
    low, high = (spec.figure("range_c", end) for end in ("low", "high"))
    return np.linspace(low, high, round(high - low) + 1)


def _both(of):
    return of("typical"), of("high")


TEMPERATURE, OFF = ("temperature", "°C"), ("limit", "°C")


def _line(spec):
    t_c = _temperatures(spec)
    ends = tuple(spec.figure("range_c", end) for end in ("low", "high"))
    sensor = LinearSensor(spec.figure("at_0c_v"), spec.figure("slope_v_per_c"), ends)
    typical, limit = _both(lambda column: spec.figure("accuracy_c", column) + 0.0 * t_c)
    band, at = limit * sensor.slope_v_per_c, (t_c[0], 25.0, 60.0, t_c[-1])
    return Curve(TEMPERATURE, ("output", "V"), OFF, t_c, sensor.volts(t_c), typical, limit, band, at)


def _beta(spec):
    """Off by the derivative of the beta equation, dT = (dR/R + d(beta) |1/T - 1/T25|) T^2 / beta, and its own error."""
    t_c = _temperatures(spec)
    sensor = Thermistor.from_beta(spec.figure("r25_ohm"), spec.figure("beta_k"), (t_c[0], t_c[-1]))
    t_k = t_c + float(constants.ZERO_CELSIUS_K)
    per_kelvin = sensor.beta_k / t_k**2

    def off(column):
        of_beta = spec.figure("beta_tolerance", column) * sensor.beta_k * abs(1 / t_k - 1 / T25_K)
        return spec.figure("accuracy_c", column) + (spec.figure("r25_tolerance", column) + of_beta) / per_kelvin

    (typical, limit), y = _both(off), sensor.ohms(t_c) / 1000
    at = (t_c[0], 0.0, 25.0, 60.0, t_c[-1])
    return Curve(TEMPERATURE, ("resistance", "kΩ"), OFF, t_c, y, typical, limit, limit * y * per_kelvin, at, True)


def _platinum(spec):
    """Class B of IEC 60751; the typical error grows in the same proportion."""
    t_c = _temperatures(spec)
    sensor = PlatinumSensor(spec.figure("r0_ohm"), "B")
    limit = sensor.tolerance_c(t_c)
    typical = limit * spec.figure("tolerance_b_c") / spec.figure("tolerance_b_c", "high")
    band, at = limit * sensor.ohms_per_c(t_c), (t_c[0], 0.0, 25.0, 100.0)
    return Curve(TEMPERATURE, ("resistance", "Ω"), OFF, t_c, sensor.ohms(t_c), typical, limit, band, at)


def _junction(spec):
    """Grade P with its terminals at 25 degC; what the thermocouple itself may be off comes on top."""
    t_c, couple = _temperatures(spec), Thermocouple("K")
    emf_v, slope = couple.volts(t_c, COLD_C), couple.volts_per_c(t_c)
    gain, bias_v = spec.figure("gain"), spec.figure("bias_v")

    def off(column):
        by_cold = spec.figure("cold_accuracy_c", column) * couple.volts_per_c(COLD_C)
        return (abs(emf_v) * spec.figure("gain_tolerance", column) + spec.figure("offset_v", column) + by_cold) / slope

    (typical, limit), y = _both(off), gain * emf_v + bias_v
    at = (t_c[0], 25.0, 200.0, t_c[-1])
    return Curve(("hot junction", "°C"), ("output", "V"), OFF, t_c, y, typical, limit, limit * slope * gain, at)


def _codes(spec):
    """The code over the volts at a pin; the gain error grows with the code."""
    supply_v = spec.figure("supply_v")
    v = np.linspace(0.0, supply_v, 501)
    part = v / supply_v

    def off(column):
        at_zero = spec.figure("offset_lsb", column) + spec.figure("inl_lsb", column)
        return at_zero + part * spec.figure("gain_lsb", column)

    (typical, limit), codes = _both(off), Converter(bits=round(spec.figure("bits"))).code(v, supply_v)
    at = (0.0, 1.2, 2.5, supply_v)
    return Curve(("voltage at the pin", "V"), ("code", "LSB"), ("limit", "LSB"), v, codes, typical, limit, limit, at)


# ---- the page as text


def specification_text(spec):
    """A page as text of at most 98 columns: all that it prints, and the graph as a table; the trap is not on it.

    >>> print(specification_text(specification("air-sensor")).splitlines()[0])
    AIR SENSOR, VOLTAGE OUTPUT
    """
    room = max(len(what) for pair in spec.headline for what in pair) + 6
    parts = [
        [spec.title.upper(), INVENTED],
        wrap(spec.does, WIDTH),
        ["  " + "".join(f"{pair[i]:<{room}}" for pair in spec.headline).rstrip() for i in (0, 1)],
        _table("ABSOLUTE LIMITS", spec.absolute),
        _table("OPERATING RANGE", spec.operating),
        _table("TYPICAL AND LIMIT VALUES", spec.values, spec.conditions),
        _curve_table(curve(spec)),
        [f"LEGS, seen {spec.seen}", *(f"{number:>3}  {name:<14} {what}" for number, name, what in spec.legs)],
        ["NOTES", *(line for note in spec.notes for line in wrap(note, WIDTH))],
    ]
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _table(title, rows, conditions=""):
    numbers = "".join(f"{head:>{NUMBER_WIDTH}}" for head in HEADS[:3])
    head = f"{title:<{NAME_WIDTH}}{numbers}  {HEADS[3]:<{UNIT_WIDTH}} {HEADS[4]}"
    return [head, *wrap(conditions, WIDTH), *(line for row in rows for line in _row_lines(row))]


def _row_lines(row):
    name, low, typical, high, unit, at = row.cells()
    numbers = "".join(f"{cell:>{NUMBER_WIDTH}}" for cell in (low, typical, high))
    start = f"{name:<{NAME_WIDTH}}{numbers}  {unit:<{UNIT_WIDTH}} "
    first, *more = wrap(at, WIDTH - len(start)) or [""]
    return [(start + first).rstrip(), *(" " * len(start) + line for line in more)]


def _curve_table(its):
    heads = [f"{name}, {unit}" for name, unit in (its.x_axis, its.y_axis)]
    heads += [f"{name}, {its.off_axis[1]}" for name in ("typical", its.off_axis[0])]
    rows = [heads, *its.rows()]
    return ["GRAPH, AS A TABLE", *("".join(f"{cell:>21}" for cell in row) for row in rows)]
