"""The house: rooms in one order, each with a front door; what the arithmetic may load; an import does nothing else."""

import ast
import importlib
import json
import subprocess
import sys
from pathlib import Path

import pytest

import notebooks as book
import tempkit

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "tempkit"
FORBIDDEN_WITHOUT_PICTURES = ("matplotlib", "ipywidgets", "schemdraw", "IPython", "PIL")

SOURCES = sorted(PACKAGE.rglob("*.py"))
OUR_CODE = [*SOURCES, *sorted((ROOT / "tests").rglob("*.py"))]
IN_ROOMS = [path for path in SOURCES if path.parent != PACKAGE]
GROUND_FLOOR = [path for path in SOURCES if path.parent == PACKAGE and not path.stem.startswith("__")]


def room(path):
    """The room that a file stands in, or "" for the ground floor."""
    return path.relative_to(PACKAGE).parts[0] if path in IN_ROOMS else ""


def module_name(path):
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported(tree):
    """Dotted names of all that a syntax tree imports, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{'.' * node.level}{node.module or ''}.{alias.name}" for alias in node.names)


def syntax(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def ours(path):
    """What a file imports of the package, as tuples of the parts behind its name."""
    return [tuple(name.split(".")[1:]) for name in imported(syntax(path)) if name.split(".")[0] == "tempkit"]


def in_subprocess(code, *arguments, cwd):
    """Run code in a new interpreter and return what it printed, as JSON."""
    command = [sys.executable, "-B", "-c", code, *arguments]
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_every_room_is_named_once_and_each_file_stands_in_one():
    assert sorted(tempkit.ROOMS) == sorted({room(path) for path in IN_ROOMS})
    inside = {path.parent for path in IN_ROOMS if path.parent.parent != PACKAGE}
    assert inside == {PACKAGE / "chain" / "parts"}, "a room has no rooms inside, but for the kinds of a chain's parts"


@pytest.mark.parametrize("path", IN_ROOMS, ids=module_name)
def test_imports_run_downwards_and_through_front_doors(path):
    """A room imports only rooms below it, and of them only what their front door names."""
    here = tempkit.ROOMS.index(room(path))
    assert not [name for name in imported(syntax(path)) if name.startswith(".")], "a relative import"
    for first, *rest in ours(path):
        if first in tempkit.ROOMS and first != room(path):
            assert tempkit.ROOMS.index(first) > here, f"{room(path)} stands below {first}"
            public = importlib.import_module(f"tempkit.{first}").__all__
            assert len(rest) <= 1 and set(rest) <= set(public), f"{first} offers no {'.'.join(rest)}"


@pytest.mark.parametrize("path", GROUND_FLOOR, ids=module_name)
def test_the_ground_floor_imports_no_room(path):
    assert not {first for first, *_ in ours(path)} & set(tempkit.ROOMS)


@pytest.mark.parametrize("path", book.in_the_book(), ids=lambda path: path.stem)
def test_notebooks_come_through_the_front_doors(path):
    for cell in book.read(path).cells:
        if cell.cell_type == "code":
            tree = ast.parse(cell.source)
            check_code(tree)
            for name in imported(tree):
                top, *rest = name.split(".")
                if top == "tempkit" and rest and rest[0] in tempkit.ROOMS and len(rest) > 1:
                    assert len(rest) == 2 and rest[1] in importlib.import_module(f"tempkit.{rest[0]}").__all__, name


@pytest.mark.parametrize("name", tempkit.ROOMS)
def test_a_front_door_says_what_the_room_is_for_and_opens(name):
    door = importlib.import_module(f"tempkit.{name}")
    assert door.__doc__.strip().count("\n") == 0 and door.__doc__.strip().endswith(".")
    assert len(door.__all__) == len(set(door.__all__))
    for public in door.__all__:
        assert getattr(door, public) is not None and not public.startswith("_")
        assert public in dir(door)
    with pytest.raises(AttributeError, match="no public name"):
        _ = door.no_such_thing


@pytest.mark.parametrize("path", IN_ROOMS, ids=module_name)
def test_no_public_name_is_also_a_file(path):
    """Python would give the file where the name was meant, from its first import on; explorers are files."""
    if room(path) != "explorers":
        assert path.stem not in importlib.import_module(f"tempkit.{room(path)}").__all__


@pytest.mark.parametrize("path", OUR_CODE, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_pyplot_no_star_no_search_path(path):
    check_code(syntax(path))


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


def test_rooms_without_pictures_load_none_and_no_widgets(tmp_path):
    """Seen in a running interpreter, so that a detour through another file counts too."""
    paths = [*GROUND_FLOOR, *(path for path in IN_ROOMS if room(path) in tempkit.WITHOUT_PICTURES)]
    names = [module_name(path) for path in paths]
    found = in_subprocess(LOADED, ",".join(FORBIDDEN_WITHOUT_PICTURES), *names, cwd=tmp_path)
    assert found == dict.fromkeys(names, [])


def test_a_front_door_loads_nothing(tmp_path):
    """The import of a room is as quick as that of an empty package: its files are loaded when they are asked for."""
    names = [f"tempkit.{name}" for name in tempkit.ROOMS]
    assert in_subprocess(LOADED, "numpy,scipy,matplotlib,ipywidgets,msgspec", *names, cwd=tmp_path) == {
        name: [] for name in names
    }


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


def test_the_map_of_the_house_names_every_room():
    """DEVELOPERS.md gives each room its line, in the order of ROOMS, with the purpose that its front door states."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    places = [text.index(f"`{name}/`") for name in tempkit.ROOMS]
    assert places == sorted(places)


# ---- names that checks from outside call: where they stand, and by which names their arguments go

FRONT_DOORS = json.loads((ROOT / "tests" / "front_doors.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("room_name, call", [(name, call) for name, calls in FRONT_DOORS.items() for call in calls])
def test_names_that_others_call(room_name, call):
    """Each call names its arguments; what is there must take them by these names, in this order."""
    import inspect

    name, _, arguments = call.rstrip(")").partition("(")
    found = importlib.import_module(f"tempkit.{room_name}")
    for part in name.split("."):
        found = getattr(found, part)
    if arguments:
        wanted = [part.strip() for part in arguments.split(",") if part.strip()]
        taken = [given for given in inspect.signature(found).parameters if given != "self"]
        positions = [part for part in wanted if not part.endswith("=")]
        assert taken[: len(positions)] == positions, taken
        assert {part.rstrip("=") for part in wanted} <= set(taken), taken
