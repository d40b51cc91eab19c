"""A catalogue of parts that a design is chosen from: front ends, references, converters, each with its price."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from tempkit.chain import ChainFileError, thing

PARTS_OF_THE_BOOK = Path(__file__).resolve().parents[2] / "data" / "parts.toml"
KINDS = ("front_end", "reference", "converter")
OWN = ("tau_s", "noise_v", "self_heating_c")


@dataclass(frozen=True)
class FrontEnd:
    """A sensor with its circuit: `tau_s` its lag in still air [s], `noise_v` the noise it leaves at the pin [V].

    self_heating_c : by how much its own current warms it there at most [degC].

    >>> catalogue().front_ends[0].sensor.slope_v_per_c
    0.008
    """

    name: str
    price: float
    sensor: object
    circuit: object
    tau_s: float
    noise_v: float
    self_heating_c: float


@dataclass(frozen=True)
class Priced:
    """A reference or a converter, `part`, with its name and price.

    >>> Priced("8 bit", 0.5, None).name
    '8 bit'
    """

    name: str
    price: float
    part: object


@dataclass(frozen=True)
class Catalogue:
    """All parts that there are to choose from.

    >>> len(catalogue().references)
    6
    """

    front_ends: tuple
    references: tuple
    converters: tuple


def catalogue(path=PARTS_OF_THE_BOOK):
    """The parts of a catalogue file, without a name those of the book: `Catalogue`.

    Raises `ChainFileError` for a file that is missing or not TOML, and for a part that is not as a chain file wants it,
    naming the part, the key, the value and the allowed range.

    >>> [each.name for each in catalogue().converters][:2]
    ['8 bit', '10 bit']
    """
    raw = _raw(Path(path))
    rows = {kind: [_row(kind, each, number, path) for number, each in enumerate(raw[kind], 1)] for kind in KINDS}
    return Catalogue(*(tuple(rows[kind]) for kind in KINDS))


def _raw(path):
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise ChainFileError(str(path), [f"cannot be read: {error}; check the name and the text"]) from None
    missing = [kind for kind in KINDS if not isinstance(raw.get(kind), list)]
    if missing:
        raise ChainFileError(str(path), [f"[[{kind}]]: missing; give at least one" for kind in missing])
    return raw


def _row(kind, raw, number, path):
    """One part; `number` is its place among its kind, for messages."""
    where = f"{path}, {kind} {number}"
    raw = dict(raw) if isinstance(raw, dict) else {}
    name, price = raw.pop("name", None), raw.pop("price", None)
    if not isinstance(name, str) or not name.isprintable():
        raise ChainFileError(where, [f"name = {name!r}: must be a text in quotes; say what the part is"])
    price = _number("price", price, where)
    if kind != "front_end":
        return Priced(name, price, thing(kind, raw, where))
    own = {key: _number(key, raw.pop(key, 0.0), where) for key in OWN}
    unknown = sorted(set(raw) - {"sensor", "circuit"})
    if unknown:
        known = ", ".join(("name", "price", "sensor", "circuit", *OWN))
        raise ChainFileError(where, [f"{unknown[0]}: no such key; allowed here: {known}"])
    both = {key: thing(key, raw.get(key, {}), where) for key in ("sensor", "circuit")}
    return FrontEnd(name, price, **both, **own)


def _number(key, value, where):
    good = isinstance(value, int | float) and not isinstance(value, bool)
    if not good or not 0 <= value < 1e9:
        raise ChainFileError(where, [f"{key} = {value!r}: must be a number, 0 or more; correct it"])
    return float(value)
