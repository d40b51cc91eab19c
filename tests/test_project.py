"""What the files at the top of the project promise: the commands, the versions, the links, the names."""

import ast
import importlib.metadata
import json
import os
import re
import signal
import subprocess
import sys
import time
import tomllib
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from browser import free_port

ROOT = Path(__file__).resolve().parent.parent
TOP = {
    ".ci",
    ".classroom",
    ".gitattributes",
    ".gitignore",
    "DEVELOPERS.md",
    "README.md",
    "data",
    "notebooks",
    "pyproject.toml",
    "requirements.txt",
    "tempkit",
    "tests",
}
START_SECONDS = 600
SOURCES = sorted((ROOT / "tempkit").rglob("*.py"))


def text(name):
    return (ROOT / name).read_text(encoding="utf-8")


def blocks(language):
    """The fenced blocks of README.md in a language, without the line end."""
    return re.findall(rf"^```{language}\n(.*?)\n```$", text("README.md"), re.M | re.S)


def command(language, ending):
    """The one line of README.md in a language that ends so."""
    (found,) = (block for block in blocks(language) if block.endswith(ending))
    return found


def pins(name):
    """Package name -> version, of a file of requirements; every line but `-e .` must be an exact one."""
    lines = [line.strip() for line in text(name).splitlines() if line.strip() and not line.startswith("#")]
    pairs = [line.split("==") for line in lines if line != "-e ."]
    assert all(len(pair) == 2 for pair in pairs), lines
    return {canonical(package): version for package, version in pairs}


def canonical(package):
    return re.sub(r"[-_.]+", "-", package).lower()


def project():
    return tomllib.loads(text("pyproject.toml"))["project"]


def git(*arguments, cwd=ROOT):
    done = subprocess.run(
        ["git", "-c", "safe.directory=*", *arguments], cwd=cwd, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_ci_runs_the_test_command_of_the_readme():
    printed = subprocess.run([ROOT / ".ci/run", "--command"], capture_output=True, text=True)
    assert printed.stdout == command("sh", "-m pytest") + "\n", printed.stderr


@pytest.mark.parametrize("unix_end, windows_end", [("-m pytest",) * 2, ("start-here.ipynb",) * 2])
def test_windows_and_unix_commands_do_the_same(unix_end, windows_end):
    unix, windows = command("sh", unix_end), command("bat", windows_end)
    assert "\n" not in unix + windows
    unix = unix.replace("python3 -m venv .venv", "(py -m venv .venv || python -m venv .venv)")
    assert unix.replace(".venv/bin/", ".venv/Scripts/").replace("/", "\\") == windows


def test_commands_name_files_that_exist():
    words = " ".join(blocks("sh")).split()
    files = {word for word in words if re.search(r"\.(txt|ipynb|toml)$", word)}
    assert len(files) >= 4
    assert not [name for name in sorted(files) if not (ROOT / name).is_file()]


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_and_pictures_exist(name):
    links = re.findall(r"\]\(([^)#\s]+)[^)]*\)", text(name))
    missing = [link for link in links if "://" not in link and not (ROOT / link).exists()]
    assert not missing
    alts = re.findall(r"!\[([^\]]*)\]", text(name))
    assert all(len(alt.split()) >= 5 for alt in alts), "a picture is described in a sentence"


def test_readme_lists_every_notebook_of_the_book():
    import notebooks

    names = {path.name for path in notebooks.in_the_book()}
    assert names
    assert not [name for name in sorted(names) if f"notebooks/{name}" not in text("README.md")]


def test_top_level_stays_small():
    assert {name.partition("/")[0] for name in git("ls-files").splitlines()} <= TOP


def test_run_time_requirements_are_exact_and_end_with_this_package():
    assert text("requirements.txt").splitlines()[-1] == "-e ."
    assert pins("requirements.txt")


@pytest.mark.parametrize("name", sorted(path.name for path in (ROOT / "tests").glob("req*.txt")))
def test_test_requirements_do_not_repeat_a_pin(name):
    assert pins(f"tests/{name}")
    assert not set(pins(f"tests/{name}")) & set(pins("requirements.txt"))


@pytest.mark.parametrize("name", ["requirements.txt", "tests/requirements.txt"])
def test_installed_versions_are_the_pinned_ones(name):
    """Stored outputs and tests are known to hold for these versions; `pip install -r` brings them."""
    installed = {package: importlib.metadata.version(package) for package in pins(name)}
    assert installed == pins(name)


def test_what_the_package_needs_is_pinned():
    assert {canonical(package) for package in project()["dependencies"]} <= set(pins("requirements.txt"))


def test_what_the_package_imports_is_declared():
    provided = importlib.metadata.packages_distributions()
    names = set()
    for path in SOURCES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom):
                names.add(node.module.partition(".")[0])
    others = names - {"tempkit", *sys.stdlib_module_names}
    declared = {canonical(package) for package in project()["dependencies"]}
    undeclared = [
        name for name in others if not {canonical(p) for p in provided.get(name, [name])} & declared
    ]
    assert not undeclared


def test_the_version_stands_in_one_place():
    import tempkit

    assert "version" in project()["dynamic"]
    assert importlib.metadata.version("tempkit") == tempkit.__version__


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_what_is_public_is_described(path):
    """By a docstring of its own, or of its base in the same module."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kinds = ast.FunctionDef | ast.ClassDef
    public = [node for node in tree.body if isinstance(node, kinds) and not node.name.startswith("_")]
    described = {node.name for node in public if ast.get_docstring(node)}
    bases = {node.name: {ast.unparse(base) for base in getattr(node, "bases", ())} for node in public}
    assert ast.get_docstring(tree), "the module says what it is"
    assert not [name for name in bases if name not in described and not bases[name] & described]


def answer(url):
    """The JSON that a server answers, or None while it does not listen."""
    try:
        with urllib.request.urlopen(url, timeout=10) as reply:
            return json.load(reply)
    except (urllib.error.URLError, ConnectionError, TimeoutError):
        return None


@pytest.fixture
def new_machine(tmp_path):
    """A fresh clone of the last commit; an environment whose python3 is this Python, with nothing of ours."""
    git("clone", "-q", str(ROOT), str(tmp_path / "clone"), cwd=tmp_path)
    shim = tmp_path / "bin" / "python3"
    shim.parent.mkdir()
    shim.write_text(f'#!/bin/sh\nexec "{Path(sys._base_executable).resolve()}" "$@"\n')
    shim.chmod(0o755)
    port = free_port()
    settings = {
        "ServerApp": {"allow_root": True, "open_browser": False, "port": port, "port_retries": 0},
        "LabApp": {"open_browser": False},
        "IdentityProvider": {"token": ""},
    }
    config = tmp_path / "config"
    config.mkdir()
    (config / "jupyter_server_config.json").write_text(json.dumps(settings))
    ours = ("PYTHON", "VIRTUAL_ENV", "PYTEST", "TEMPKIT", "JUPYTER", "COV_")
    environment = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    environment |= {"PATH": f"{shim.parent}:{os.environ['PATH']}", "JUPYTER_CONFIG_DIR": str(config)}
    return tmp_path / "clone", environment, port


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="the line for Linux and macOS")
def test_the_start_command_opens_the_book_on_a_new_machine(new_machine):
    """The line as typed, in a fresh clone: the server comes up and hands out the first notebook."""
    clone, environment, port = new_machine
    line = command("sh", "start-here.ipynb")
    server = subprocess.Popen(
        line, shell=True, cwd=clone, env=environment, stdin=subprocess.DEVNULL, start_new_session=True
    )
    try:
        deadline = time.monotonic() + START_SECONDS
        url = f"http://127.0.0.1:{port}/api/contents/00-start-here.ipynb"
        while (found := answer(url)) is None:
            assert server.poll() is None, "the command ended"
            assert time.monotonic() < deadline, "no answer from the server"
            time.sleep(1)
        assert found["type"] == "notebook"
        assert answer(f"http://127.0.0.1:{port}/api/kernelspecs")["default"] == "python3"
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        server.wait(timeout=60)
