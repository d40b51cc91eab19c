"""What is wrong in a chain file, said by key, value, allowed range and what to do."""

import difflib
import re

import msgspec

from tempkit.chaintables import LONGEST_SHOWN, allowed, bare, called, fits, shown


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

    >>> from tempkit.chaintables import HeadTable
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
