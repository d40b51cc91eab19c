"""Read and write a Design as TOML. What each table may hold stands in `tempkit.chain.tables`.

What is wrong in a file is said all at once, in the words of `tempkit.chain.file`.
"""

import difflib
import json
import re
import tomllib
from pathlib import Path

import msgspec
import tomli_w

from tempkit.chain.chain import Chain
from tempkit.chain.design import Design
from tempkit.chain.quantities import LONGEST_SHOWN, allowed, bare, called, fits, shown
from tempkit.chain.tables import CHAIN, HEAD, TABLES, HeadTable
from tempkit.files import write_whole

# ---- What is wrong in a chain file, said by key, value, allowed range and what to do.

def dotted(*keys):
    """Dotted path of a key as TOML writes it.

    >>> dotted("converter", "bits"), dotted("two words")
    ('converter.bits', '"two words"')
    """
    return ".".join(key if re.fullmatch(r"[A-Za-z0-9_-]{1,60}", key) else shown(key) for key in keys)


def _value_problems(path, value, wanted):
    try:
        msgspec.convert(value, wanted)
    except msgspec.ValidationError:
        got = "" if fits(bare(wanted)[0], value) else f" is {called(value)}"
        return [f"{path} = {shown(value)}{got}: must be {allowed(wanted)}"]
    return []


def unknown_key(path, key, known, what):
    """A sentence on a key that is not known, with the one that may have been meant.

    >>> unknown_key("converter.bit", "bit", ["bits", "transfer"], "key")
    'converter.bit: no such key; did you mean bits? allowed here: bits, transfer'
    """
    near = difflib.get_close_matches(key[:LONGEST_SHOWN], known, 1)
    hint = f"did you mean {near[0]}? " if near else ""
    return f"{path}: no such {what}; {hint}allowed here: {', '.join(known)}"


def table_problems(name, raw, table):
    """One sentence for each unknown key, unfit value and missing key of a table; `name` is a tuple, () for the head.

    >>> from tempkit.chain.tables import HeadTable
    >>> table_problems((), {"format": 1, "titel": "x"}, HeadTable)[0]
    'titel: no such key; did you mean title? allowed here: format, title'
    """
    fields = {field.name: field for field in msgspec.structs.fields(table)}
    found = [unknown_key(dotted(*name, key), key, list(fields), "key") for key in raw if key not in fields]
    for key, field in fields.items():
        if key in raw:
            found += _value_problems(dotted(*name, key), raw[key], field.type)
        elif field.required:
            found.append(f"{dotted(*name, key)}: missing; give {allowed(field.type)}")
    return found


LARGEST_BYTES = 1_000_000
TOO_LARGE = "is larger than 1 MB; a chain file has about 40 lines"
LONGEST_LINE = 500  # a key of many dots costs time and memory with the square of their number
MOST_SHOWN = 30


class ChainFileError(ValueError):
    """A chain file that cannot be read or written; `problems` holds a sentence for each thing that is wrong.

    >>> print(ChainFileError("bench.toml", ["converter.bits = 99: must be a whole number of bit, 1 to 24"]))
    bench.toml: converter.bits = 99: must be a whole number of bit, 1 to 24
    """

    def __init__(self, name, problems):
        self.name, self.problems = name, tuple(problems)
        count = len(self.problems)
        lines = [f"{count} things to correct"] * (count > 1) + list(self.problems[:MOST_SHOWN])
        lines += [f"and {count - MOST_SHOWN} more"] * (count > MOST_SHOWN)
        super().__init__(f"{name}: " + "\n  ".join(lines))

    def __reduce__(self):
        return type(self), (self.name, self.problems)


# ---- reading


def _toml(text, name):
    if len(text) > LARGEST_BYTES:
        raise ChainFileError(name, [TOO_LARGE])
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            problem = f"line {number} is longer than {LONGEST_LINE} characters; shorten it"
            raise ChainFileError(name, [problem])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ChainFileError(name, [_syntax_problem(text, str(error))]) from None
    except RecursionError:
        raise ChainFileError(name, ["nested too deep; a chain file has tables and keys only"]) from None
    except ValueError as error:  # a value that is written well and still has no meaning
        raise ChainFileError(name, [f"a value cannot be read: {error}"]) from None


def _syntax_problem(text, message):
    place = re.search(r" \(at line (\d+), column (\d+)\)\Z", message)
    if not place:
        return f"not TOML: {message}; look at the last line"
    row, column = int(place[1]), int(place[2])
    line = text.split("\n")[row - 1].strip() if row <= text.count("\n") + 1 else ""
    return f"line {row}, column {column}: not TOML: {message[: place.start()][:200]}, in {shown(line)}"


def _part(name, raw):
    """The `Table` of what stands in the file, with its problems."""
    kinds = TABLES[name]
    if not isinstance(raw, dict):
        return None, [f"{name} = {shown(raw)} is {called(raw)}: must be a table, written [{name}]"]
    if "" in kinds:
        return kinds[""], table_problems((name,), raw, kinds[""].struct)
    words = ", ".join(json.dumps(kind) for kind in kinds)
    if "kind" not in raw:
        return None, [f"{name}.kind: missing; give one of {words}"]
    kind = raw["kind"]
    if not isinstance(kind, str) or kind not in kinds:
        return None, [f"{name}.kind = {shown(kind)}: no such kind of {name}; must be one of {words}"]
    return kinds[kind], table_problems((name,), raw, kinds[kind].struct)


def _make(name, raw, part, found):
    """The thing that a table without problems describes; what only its own rules can tell goes to `found`."""
    values = msgspec.structs.asdict(msgspec.convert(raw, part.struct))
    if "" not in TABLES[name]:
        del values["kind"]
    return _checked(lambda: part.model(**values), name, part, found)


def _checked(make, name, part, found):
    try:
        return make()
    except ValueError as error:
        known = str(error).split(" ")[0] in part.keys()
        found.append(f"{name}{'.' if known else ': '}{error}")
        return None


def thing(name, raw, where):
    """One part of a chain from its table, as a dict: "sensor", "circuit", "reference" or another of a chain file.

    `where` stands at the head of every message. Raises `ChainFileError` with all that is wrong.

    >>> thing("reference", {"kind": "fixed", "nominal_v": 2.5}, "my parts").nominal_v
    2.5
    """
    part, problems = _part(name, raw)
    made = None if problems else _make(name, raw, part, problems)
    if problems:
        raise ChainFileError(where, problems)
    return made


def loads(text, name="chain file"):
    """Text of a chain file -> Design. `name` stands at the head of every message.

    Raises `ChainFileError` with all that is wrong: unknown or missing keys, unfit types, values out of range.

    >>> loads(dumps(_example())) == _example()
    True
    >>> loads("format = 1")
    Traceback (most recent call last):
        ...
    tempkit.chain.file.ChainFileError: chain file: 5 things to correct
      title: missing; give a text in quotes, 1 to 200 printable characters; say what the chain is
      [sensor]: missing; a chain needs sensor, circuit, reference, converter
      [circuit]: missing; a chain needs sensor, circuit, reference, converter
      [reference]: missing; a chain needs sensor, circuit, reference, converter
      [converter]: missing; a chain needs sensor, circuit, reference, converter
    """
    raw = _toml(text, name)
    head = {key: raw[key] for key in HEAD if key in raw}
    found = table_problems((), head, HeadTable)
    known = [*HEAD, *TABLES]
    found += [unknown_key(dotted(key), key, known, "key or table") for key in raw if key not in known]
    found += [f"[{key}]: missing; a chain needs {', '.join(CHAIN)}" for key in CHAIN if key not in raw]
    things = {}
    for key in (key for key in TABLES if key in raw):
        part, problems = _part(key, raw[key])
        found += problems
        things[key] = None if problems else _make(key, raw[key], part, found)
    if not found:
        chain = {key: things.pop(key) for key in CHAIN}
        made = _checked(lambda: Chain(**chain), "circuit", _part_of("circuit", chain["circuit"])[1], found)
    if found:
        raise ChainFileError(name, found)
    return Design(chain=made, **head, **things)


def read(path):
    """Chain file -> Design. `path` names a TOML file of at most 1 MB in UTF-8.

    Raises `ChainFileError` for a file that is missing, too large, not text, not TOML, or not a chain.

    >>> read("no-such-bench.toml")
    Traceback (most recent call last):
        ...
    tempkit.chain.file.ChainFileError: no-such-bench.toml: no such file; check the name and the folder
    """
    path = Path(path)
    return loads(_text(path), str(path))


def _text(path):
    if not path.exists():
        raise ChainFileError(path, ["no such file; check the name and the folder"])
    if not path.is_file():
        raise ChainFileError(path, ["is not a file; name a chain file, NAME.toml"])
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
        if len(data) > LARGEST_BYTES:
            raise ChainFileError(path, [TOO_LARGE])
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        problem = f"byte {error.start} is not UTF-8 text; save the file as UTF-8"
        raise ChainFileError(path, [problem]) from None
    except OSError as error:
        raise ChainFileError(path, [f"cannot be read: {error.strerror}"]) from None


# ---- writing


def _part_of(name, thing):
    """Kind and part of a thing: how it stands in the file."""
    for kind, part in TABLES[name].items():
        if type(thing) is part.model:
            return kind, part
    known = ", ".join(part.model.__name__ for part in TABLES[name].values())
    problem = f"{name} = {type(thing).__name__}: cannot be written; must be one of {known}"
    raise ChainFileError("design", [problem])


def _plain(value):
    """Numbers as Python has them, pairs as arrays: what TOML can hold."""
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    return value.item() if hasattr(value, "item") else value


def _rows(name, thing):
    kind, part = _part_of(name, thing)
    tag = {"kind": kind} if kind else {}
    values = {key: _plain(getattr(thing, key)) for key in part.keys() if key not in tag}
    return tag | {key: value for key, value in values.items() if value is not None}


def dumps(design):
    """Design -> text of a chain file, without comments; reads back as the same design, to the last digit.

    Raises `ChainFileError` for a design that could not be read back.

    >>> print(dumps(_example())[:60])
    format = 1
    title = "North bench, invented"
    <BLANKLINE>
    [sensor]
    kind =
    """
    things = {name: getattr(design.chain if name in CHAIN else design, name) for name in TABLES}
    tables = {name: _rows(name, thing) for name, thing in things.items() if thing is not None}
    head = {key: _plain(getattr(design, key)) for key in HEAD}
    try:
        text = tomli_w.dumps(head | tables)
    except (TypeError, ValueError) as error:
        raise ChainFileError("design", [f"cannot be written: {error}; use numbers and texts only"]) from None
    loads(text, "design")
    return text


def write(design, path):
    """Write a design to a chain file at one stroke: the old file stays whole until the new one is.

    Comments of an old file are lost. Raises `ChainFileError` for a design that cannot be read back or a place
    that cannot be written; the old file stays.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write(_example(), Path(folder) / "bench.toml")
    ...     read(Path(folder) / "bench.toml") == _example()
    True
    """
    data = dumps(design).encode()
    try:
        write_whole(path, data)
    except OSError as error:
        raise ChainFileError(path, [f"cannot be written: {error.strerror}"]) from None


def _example():
    from tempkit.chain.chain import scenario
    from tempkit.chain.design import Noise

    return Design("North bench, invented", scenario(), noise=Noise(0.002, 16))
