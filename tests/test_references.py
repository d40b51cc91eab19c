"""The outside values: each has its source, and a test that uses it."""

import ast
import json
from pathlib import Path

import pytest

import references

HERE = Path(__file__).resolve().parent
ENTRIES = [
    pytest.param(entry, id=f"{path.stem}-{entry['id']}")
    for path in sorted(references.FOLDER.glob("*.json"))
    for entry in json.loads(path.read_text(encoding="utf-8"))
]


@pytest.fixture(scope="module")
def asked_for():
    """Every string that stands alone in the code of a test that asks for outside values, docstrings left out."""
    found = set()
    for path in HERE.glob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        if "import reference\n" in text or "import references\n" in text:
            found |= {node.value for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Constant)}
    return found


@pytest.mark.parametrize("entry", ENTRIES)
def test_each_has_a_source_and_a_use(entry, asked_for):
    assert entry["source"].strip() and entry["how_known"].strip()
    assert entry["id"] in asked_for, "use it in a test, or delete it"
    assert references.reference(entry["id"]).expected == entry["expected"]
