"""No part of the book has the figures of a part that is sold: sold-figures.sha256 holds digests of such sets.

A set is written in one form (`digest`), so that the list itself names nothing: volts and slope of a sensor, resistance
and beta of a thermistor, what goes together in a board, in an amplifier. The tests themselves are not looked at: there
a well-known pair may stand as a check value.
"""

import ast
import hashlib
import itertools
import json
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SOLD = frozenset((ROOT / "tests" / "sold-figures.sha256").read_text(encoding="utf-8").split())
FILES = sorted(
    path
    for folder, pattern in (("data", "*.toml"), ("data", "*.md"), ("tempkit", "*.py"), ("notebooks", "*.ipynb"))
    for path in (ROOT / folder).rglob(pattern)
    if ".ipynb_checkpoints" not in path.parts
) + sorted(ROOT.glob("*.md"))

# Forms: what belongs together, the names a figure goes by, and the size of one of its units. An old name of a figure
# in other units is the same figure.
FORMS = {
    "linear": (  # mV, mV/degC
        {"at_0c_v": 1e3, "at_0c_mv": 1, "cold_at_0c_v": 1e3, "offset_mv": 1},
        {"slope_v_per_c": 1e3, "slope_mv_per_c": 1, "cold_slope_v_per_c": 1e3, "slope_mv": 1},
    ),
    "beta": ({"r25_ohm": 1, "r25_kohm": 1e3, "r25": 1}, {"beta_k": 1, "beta": 1}),  # ohm, K
    "current": ({"a_per_k": 1e6, "ua_per_k": 1},),  # uA/K
    "sampling": (  # us, pF
        {"sample_s": 1e6, "sampling_s": 1e6, "time_s": 1e6, "sample_us": 1},
        {"hold_f": 1e12, "hold_pf": 1},
    ),
    "board": ({"clock_hz": 1e-6, "clock_mhz": 1}, {"inner_v": 1}),  # MHz, V
    "pin": ({"pin_a": 1e3, "pin_ma": 1}, {"buffer_bytes": 1, "buffer": 1}),  # mA, bytes
    "amplifier": ({"gain": 1}, {"bias_v": 1e3}),  # mV
}
CALLS = {  # the names of what is given without a name
    "LinearSensor": ("at_0c_v", "slope_v_per_c"),
    "from_beta": ("r25_ohm", "beta_k"),
    "BetaThermistor": ("r25_ohm", "beta_k"),
    "CurrentOutput": ("a_per_k",),
    "settling_error": ("time_s", "", "hold_f"),
}
NUMBER = r"(?<![\w.])([−-]?\d+(?:[.,]\d+)?)\s?"
UNITS = {  # in prose: the unit behind a number, and its size
    "linear": (
        {r"mV\b(?!/)": 1, r"V\b(?!/)": 1e3},
        {r"mV/(?:°C|degC|K)": 1, r"V/(?:°C|degC|K)": 1e3, "mV for each degree": 1},
    ),
    "beta": ({r"(?:kΩ|kohm|kilohm)": 1e3, r"(?:Ω|ohm)\b": 1}, {r"K\b": 1}),
    "current": ({r"[µu]A(?:/K\b| (?:per|for each|for every) (?:K\b|kelvin)| through for each kelvin)": 1},),
    "sampling": ({r"[µu]s\b": 1}, {r"pF\b": 1}),
    "board": ({r"MHz\b": 1}, {r"V\b(?!/)": 1}),
    "pin": ({r"mA\b": 1}, {r"(?:bytes|characters)\b": 1}),
}
NEAR = 120  # characters between two figures of one sentence


def digest(form, figures):
    """The digest of a set of figures: "linear", (600, 8)."""
    return hashlib.sha256(":".join((form, *(f"{round(each, 6):g}" for each in figures))).encode()).hexdigest()


def sets_of(named):
    """All sets of figures among named ones: `named` has for each name the values that it may take."""
    for form, parts in FORMS.items():
        found = [[value * size for name, size in part.items() for value in named.get(name, ())] for part in parts]
        yield from ((form, figures) for figures in itertools.product(*found))


# ---- what a file says


def in_table(table):
    """Sets of figures in a TOML table and the tables in it; the lines of a catalogue page go by their keys."""
    if isinstance(table, list):
        for each in table:
            yield from in_table(each)
        return
    if not isinstance(table, dict):
        return
    named = {key: [value] for key, value in table.items() if type(value) in (int, float)}
    yield from sets_of(named)
    for each in table.values():
        yield from in_table(each)


def in_page(page):
    """Sets of figures of a catalogue page."""
    from tempkit.chain.catalogue import Row

    rows = [Row(**row) for part in ("operating", "values") for row in page[part] if row.get("key")]
    named = {row.key: [value for column in ("typical", "high") if (value := row.base(column))] for row in rows}
    return sets_of(named)


def numbers(node):
    """Every number that an expression may be: itself, or those in a list of it."""
    try:
        value = ast.literal_eval(node)
    except (ValueError, TypeError, SyntaxError):
        return []
    values = value if isinstance(value, tuple | list | set) else [value]
    return [each for each in values if type(each) in (int, float)]


def in_code(source):
    """Sets of figures in Python: what is given to calls by place or by name, in dicts, and drawn for a problem."""
    tree = ast.parse(source)
    kept = {
        target.id: node.value
        for node in tree.body if isinstance(node, ast.Assign) and is_draw(node.value)
        for target in node.targets if isinstance(target, ast.Name)
    }  # fmt: skip
    for node in ast.walk(tree):
        named = {}
        if isinstance(node, ast.Call):
            called = getattr(node.func, "attr", getattr(node.func, "id", ""))
            given = list(zip(CALLS.get(called, ()), node.args, strict=False))
            given += [(each.arg, each.value) for each in node.keywords]
            named = {name: numbers(value) for name, value in given if name}
            inside = [kept.get(getattr(each, "id", ""), each) for each in ast.walk(node)]
            yield from in_draws([each for each in inside if is_draw(each)])
        elif isinstance(node, ast.Dict):
            pairs = zip(node.keys, node.values, strict=True)
            named = {key.value: numbers(value) for key, value in pairs if isinstance(key, ast.Constant)}
        elif isinstance(node, ast.ClassDef):
            fields = [each for each in node.body if isinstance(each, ast.AnnAssign) and each.value]
            named = {each.target.id: numbers(each.value) for each in fields if isinstance(each.target, ast.Name)}
        yield from sets_of(named)


def is_draw(node):
    return isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Draw"


def in_draws(draws):
    """Sets of figures among the draws of one problem; a draw of several names has them in tuples."""
    named = {}
    for draw in draws:
        if len(draw.args) < 2 or not isinstance(draw.args[0], ast.Constant):
            continue
        names = str(draw.args[0].value).split()
        if len(names) == 1:
            named[names[0]] = numbers(draw.args[1])
            continue
        for row in getattr(draw.args[1], "elts", ()):
            values = [numbers(each) for each in getattr(row, "elts", ())]
            yield from sets_of(dict(zip(names, values, strict=False)))
    yield from sets_of(named)


def in_prose(text):
    """Sets of figures with their units that stand near each other in a text."""
    for form, parts in UNITS.items():
        found = [
            [(m.start(), float(m[1].replace("−", "-").replace(",", ".")) * size)
             for unit, size in part.items() for m in re.finditer(NUMBER + unit, text)]
            for part in parts
        ]  # fmt: skip
        for places in itertools.product(*found):
            starts = [start for start, _ in places]
            if max(starts) - min(starts) <= NEAR:
                yield form, tuple(value for _, value in places)


def figures_of(path):
    """Every set of figures that a file holds, each with the word that says what it is."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".ipynb":
        cells = json.loads(text)["cells"]
        sources = [(cell["cell_type"], "".join(cell["source"])) for cell in cells]
        yield from (each for _, source in sources for each in in_prose(source))
        yield from (each for kind, source in sources if kind == "code" for each in in_code(source))
        return
    yield from in_prose(text)
    if path.suffix == ".py":
        yield from in_code(text)
        for block in re.findall(r"^\s*>>> (.*)$", text, re.MULTILINE):
            yield from in_code(block) if parses(block) else ()
    if path.suffix == ".toml":
        yield from in_table(table := tomllib.loads(text))
        yield from in_page(table) if "values" in table else ()


def parses(source):
    try:
        ast.parse(source)
    except SyntaxError:
        return False
    return True


def sold_in(path, sold=SOLD):
    """The sets of figures in a file that are on the list."""
    return sorted({f"{form} {figures}" for form, figures in figures_of(path) if digest(form, figures) in sold})


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_figures_of_a_part_that_is_sold(path):
    assert not sold_in(path)


# ---- the test can fail

PLANTED = {
    "prose.md": "The sensor gives 500 mV at 0 °C and rises by\n10 mV/°C.",
    "volts.md": "Its output is 0.01 V/°C, beginning at 0.5 V.",
    "call.py": "sensor = LinearSensor(0.5, 0.01)\n",
    "names.py": "circuit = ColdJunction(gain=90.0, cold_at_0c_v=0.5, cold_slope_v_per_c=0.01)\n",
    "dict.py": "raw = {'kind': 'linear', 'at_0c_v': 0.5, 'slope_v_per_c': 0.01}\n",
    "draws.py": "P = Problem(figures=(Draw('at_0c_mv slope_mv_per_c', ((600, 8), (500, 10))),))\n",
    "apart.py": "P = Problem(figures=(Draw('at_0c_mv', (640, 500)), Draw('slope_mv_per_c', (8, 10))))\n",
    "kept.py": "S = Draw('slope_mv', (8, 10))\nP = Problem(figures=(S, Draw('offset_mv', (500,))))\n",
    "doctest.py": '"""What it does.\n\n>>> LinearSensor(0.5, 0.01).volts(0.0)\n0.5\n"""\n',
    "chain.toml": "[sensor]\nat_0c_v = 0.5\nslope_v_per_c = 0.01\n",
    "parts.toml": "[[front_end]]\nsensor = { at_0c_v = 0.5, slope_v_per_c = 0.01 }\n",
    "page.toml": (
        'operating = []\nvalues = [{ key = "at_0c_v", name = "a", typical = 500, unit = "mV" },\n'
        '{ key = "slope_v_per_c", name = "b", typical = 10, unit = "mV/°C" }]\n'
    ),
    "book.ipynb": json.dumps({"cells": [{"cell_type": "code", "source": ["LinearSensor(\n", "0.5, 0.01)"]}]}),
    "text.ipynb": json.dumps({"cells": [{"cell_type": "markdown", "source": ["500 mV at 0 °C, 10 mV/°C"]}]}),
}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_pair_is_found(name, tmp_path):
    (tmp_path / name).write_text(PLANTED[name], encoding="utf-8")
    assert sold_in(tmp_path / name)
    (tmp_path / name).write_text(PLANTED[name].replace("500", "620").replace("0.5", "0.62"), encoding="utf-8")
    assert not sold_in(tmp_path / name)


@pytest.mark.parametrize(
    ("form", "figures", "place"),
    [
        ("linear", (600, 8), "data/chains/north-bench.toml"),
        ("linear", (600, 8), "data/parts.toml"),
        ("linear", (600, 8), "data/catalogue/thermocouple-amplifier.toml"),
        ("linear", (600, 8), "tempkit/chain/parts/linear.py"),
        ("beta", (9100, 3610), "data/chains/north-bench-thermistor.toml"),
        ("beta", (9100, 3610), "data/catalogue/thermistor.toml"),
        ("beta", (9100, 3610), "tempkit/chain/parts/thermistor.py"),
        ("current", (0.8,), "data/chains/north-bench-current-output.toml"),
        ("current", (0.8,), "tempkit/chain/parts/current_output.py"),
        ("sampling", (1.2, 11), "data/catalogue/board.toml"),
        ("sampling", (1.2, 11), "tempkit/chain/converter.py"),
        ("board", (21, 1.2), "data/catalogue/board.toml"),
        ("pin", (15, 48), "data/catalogue/board.toml"),
        ("amplifier", (90, 350), "data/catalogue/thermocouple-amplifier.toml"),
        ("amplifier", (90, 350), "data/chains/north-bench-thermocouple-k.toml"),
    ],
)
def test_our_own_figures_would_be_found(form, figures, place):
    """Were they those of a part that is sold, each of these files would be refused: so every form is read."""
    assert sold_in(ROOT / place, {digest(form, figures)})
    assert not sold_in(ROOT / place, {digest(form, (figures[0] + 1, *figures[1:]))})


def test_the_list_holds_digests_only():
    assert len(SOLD) > 150 and all(re.fullmatch("[0-9a-f]{64}", each) for each in SOLD)
