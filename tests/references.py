"""Outside values for the tests: read from the json files in `references/`, each entry with its source."""

import functools
import json
from pathlib import Path
from types import SimpleNamespace

FOLDER = Path(__file__).with_name("references")


@functools.cache
def _entries():
    entries = {}
    for path in sorted(FOLDER.glob("*.json")):
        for entry in json.loads(path.read_text(encoding="utf-8")):
            name = entry["id"]
            if not entry.get("source", "").strip():
                raise ValueError(f"{path.name}: {name} has no source: name the publication")
            first = entries.setdefault(name, entry)
            if any(first[key] != entry[key] for key in ("inputs", "expected", "tolerance")):
                raise ValueError(f"{path.name}: {name} is in two files with different values: keep one")
    return entries


def reference(name):
    """The entry of that id, with `.inputs`, `.expected`, `.tolerance` and `.source`.

    >>> reference("adc-lsb").expected["LSB_V"][0]
    0.0048828125
    """
    entries = _entries()
    if name not in entries:
        known = ", ".join(sorted(entries))
        raise KeyError(f"{name} is in none of the files in {FOLDER.name}/; there are {known}")
    return SimpleNamespace(**entries[name])
