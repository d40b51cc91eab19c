"""Imports run one way, the arithmetic needs no pictures and no widgets, and an import does nothing else."""

import ast
import fnmatch
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import notebooks as book

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "tempkit"

# From the top down: a module imports only what stands below it. A folder counts as one entry.
WITH_WIDGETS_AND_PICTURES = (
    "__main__",
    "explorers",
    "benchsheet",
    "schematics",
    "circuit_drawings",
    "drawing",
    "sheet",
    "rails",
    "pictures",
    "homework",
    "board",
    "studentserver",
    "handout",
    "shown",
)
ARITHMETIC = (
    "benchcard",
    "benchsteps",
    "benchmeter",
    "symptoms",
    "budgettable",
    "describe",
    "faultchecks",
    "faultmatch",
    "faultsigns",
    "linewords",
    "partsearch",
    "parts",
    "requirement",
    "faults",
    "faultcases",
    "wiring",
    "mismatch",
    "boardmodel",
    "boardloop",
    "boardnumbers",
    "boardconversion",
    "partwords",
    "chainfile",
    "chainproblems",
    "chaintables",
    "parttables",
    "chainunits",
    "walk",
    "logmodel",
    "tripping",
    "chainbudget",
    "chainmodel",
    "delays",
    "design",
    "program",
    "looplines",
    "chain",
    "alarmcases",
    "validity",
    "ruleaudit",
    "alarmodds",
    "alarm",
    "alarmevents",
    "alarmspells",
    "alarmstep",
    "alarmrates",
    "conformity",
    "logfit",
    "logsteps",
    "estimates",
    "calibration",
    "water",
    "budget",
    "montecarlo",
    "sensitivity",
    "inputs",
    "noise",
    "warming",
    "response",
    "airtrace",
    "log",
    "logread",
    "logform",
    "logfast",
    "logblocks",
    "loglines",
    "logtimes",
    "converter",
    "linearity",
    "circuit",
    "resistive",
    "cold_junction",
    "fed",
    "sensors",
    "thermistor",
    "platinum",
    "thermocouple",
    "reference_functions",
    "deviations",
    "integers",
    "outputs",
    "serial_link",
    "quantity",
    "book",
    "scales",
    "constants",
    "files",
    "ranges",
)
LAYERS = (*WITH_WIDGETS_AND_PICTURES, *ARITHMETIC)
FORBIDDEN_IN_ARITHMETIC = ("matplotlib", "ipywidgets", "schemdraw", "IPython", "PIL")

SOURCES = sorted(path for path in PACKAGE.rglob("*.py"))
OUR_CODE = [*SOURCES, *sorted((ROOT / "tests").rglob("*.py"))]


def entry(path):
    """The place of a file in LAYERS: its module, or the folder it is in; "" for the package itself."""
    first = path.relative_to(PACKAGE).parts[0]
    return "" if first == "__init__.py" else first.removesuffix(".py")


def module_name(path):
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported(tree):
    """Dotted names of all modules that a syntax tree imports, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{'.' * node.level}{node.module or ''}.{alias.name}" for alias in node.names)


def syntax(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def our_entries(path):
    """Entries of LAYERS that a file imports, its own left out."""
    parts = [name.split(".") for name in imported(syntax(path)) if name.split(".")[0] == "tempkit"]
    return {part[1] for part in parts if len(part) > 1 and part[1] in LAYERS} - {entry(path)}


def in_subprocess(code, *arguments, cwd):
    """Run code in a new interpreter and return what it printed, as JSON."""
    command = [sys.executable, "-B", "-c", code, *arguments]
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_every_module_has_its_place():
    assert {entry(path) for path in SOURCES} - {""} <= set(LAYERS)


@pytest.mark.parametrize("path", SOURCES, ids=module_name)
def test_imports_run_downwards(path):
    assert not [name for name in imported(syntax(path)) if name.startswith(".")], "a relative import"
    if entry(path) == "":
        assert not our_entries(path), "the package itself imports nothing"
        return
    above = LAYERS[: LAYERS.index(entry(path))]
    assert not our_entries(path) & set(above)


@pytest.mark.parametrize("path", OUR_CODE, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_pyplot_no_star_no_search_path(path):
    check_code(syntax(path))


@pytest.mark.parametrize("path", book.in_the_book(), ids=lambda path: path.stem)
def test_notebooks_too(path):
    for cell in book.read(path).cells:
        if cell.cell_type == "code":
            check_code(ast.parse(cell.source))


def check_code(tree):
    names = list(imported(tree))
    assert not [name for name in names if name.startswith(("matplotlib.pyplot", "pylab", "matplotlib.pylab"))]
    assert not [name for name in names if name.endswith(".*")], "a star import"
    touched = [ast.unparse(node) for node in ast.walk(tree) if isinstance(node, ast.Attribute)]
    assert "sys.path" not in touched, "an edit of the module search path"


LOADED = """
import importlib, json, sys
found = {}
for name in sys.argv[2:]:
    importlib.import_module(name)
    found[name] = sorted({m.split(".")[0] for m in sys.modules} & set(sys.argv[1].split(",")))
print(json.dumps(found))
"""


def test_arithmetic_loads_no_pictures_and_no_widgets(tmp_path):
    """Seen in a running interpreter, so that a detour through another module counts too."""
    names = [module_name(path) for path in SOURCES if entry(path) in ARITHMETIC]
    names.sort(key=lambda name: -LAYERS.index(name.split(".")[1]))
    found = in_subprocess(LOADED, ",".join(FORBIDDEN_IN_ARITHMETIC), *names, cwd=tmp_path)
    assert found == dict.fromkeys(names, [])


SIDE_EFFECTS = """
import importlib, json, os, sys, threading
for name in sys.argv[1].split(","):
    importlib.import_module(name)
import matplotlib, numpy, warnings
ACTS = ("socket.", "subprocess.", "os.mkdir", "os.remove", "os.rename", "os.system", "os.putenv", "shutil.")
seen = []
def watch(event, arguments):
    flags = arguments[2] if event == "open" and isinstance(arguments[2], int) else 0
    if flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT) or event.startswith(ACTS):
        seen.append(f"{event} {arguments!r:.200}")
def state():
    return [dict(matplotlib.rcParams), dict(os.environ), os.getcwd(), sys.path[:], numpy.geterr(),
            numpy.get_printoptions(), warnings.filters[:], threading.active_count()]
before = state()
sys.addaudithook(watch)
for name in sys.argv[2:]:
    importlib.import_module(name)
    if state() != before:
        seen.append(f"{name} changed a setting")
        before = state()
print(json.dumps(seen))
"""


def test_importing_does_nothing_else(tmp_path):
    """No setting changed, no file written, no network, no process; other packages are loaded before."""
    names = [module_name(path) for path in SOURCES]
    ours_or_std = {"tempkit", *sys.stdlib_module_names}
    others = {name.split(".")[0] for path in SOURCES for name in imported(syntax(path))} - ours_or_std
    others |= {"matplotlib.figure", "matplotlib.backends.backend_agg"}
    seen = in_subprocess(SIDE_EFFECTS, ",".join(sorted(others)), *names, cwd=tmp_path)
    assert not seen
    assert not list(tmp_path.iterdir())


def test_the_map_of_the_house_names_every_module():
    """DEVELOPERS.md names each module once or more, by its name or by a pattern, and none that is not there."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("Modules of `tempkit`") : text.index("## Conventions")]
    named = set(re.findall(r"`(\w*\*?\w*?\*?)(?:\.py|/)?`", table)) - {"tempkit"}
    modules = {path.stem for path in PACKAGE.rglob("*.py")} - {"__init__"}
    modules |= {path.name for path in PACKAGE.iterdir() if (path / "__init__.py").is_file()}
    patterns = {name.replace("NN", "[0-9][0-9]") for name in named}
    assert not [name for name in modules if not any(fnmatch.fnmatch(name, each) for each in patterns)]
    assert not [each for each in patterns if not fnmatch.filter(modules, each)]
