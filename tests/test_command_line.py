"""Every command of the command line: its help, and no traceback whatever the system refuses."""

import argparse
import errno
import io
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from tempkit import __version__
from tempkit.__main__ import PROGRAM, every, main, parser
from tempkit.chain import file

ROOT = Path(__file__).resolve().parent.parent
NORTH = str(ROOT / "data" / "chains" / "north-bench.toml")
PARSERS = dict(every(parser()))
EXAMPLES = {name: its.epilog.removeprefix(f"example: {its.prog}").strip() for name, its in every(parser())}
GROUPS = {"", "board", "homework"}

# What each command that writes is given; {out} is the place, {class} a folder with an invented class in it.
WRITES = {
    "handout": f"handout {ROOT} {{out}}",
    "catalogue": "catalogue air-sensor --html {out}",
    "bench": f"bench {NORTH} --out {{out}}",
    "board record": "board record --port socket://127.0.0.1:9 --out {out} --seconds 0.01",
    "board pretend": f"board pretend {NORTH} --fast --seconds 2 --out {{out}}",
    "board code": f"board code {NORTH} --language c --out {{out}}",
    "homework mark": "homework mark {class}/handed-in --roster {class}/roster.csv --out {out}",
    "homework print": "homework print --roster {class}/roster.csv --sheet h01 --out {out}",
    "homework invent": "homework invent {out} --students 2",
}
READS = {
    "describe": "describe {in}",
    "budget": "budget {in}",
    "handout": "handout {in} {free}",
    "bench": "bench {in}",
    "board pretend": "board pretend {in} --fast --out {free}",
    "board code": "board code {in} --language c --out {free}",
    "homework mark": "homework mark {in} --roster {in} --out {free}",
    "homework print": "homework print --roster {in} --sheet h01 --out {free}",
    "homework project": "homework project {in} --course BENCH-9 --student ROBIN",
    "homework forget": "homework forget ROBIN {in} --yes",
}
NO_FILES = {"board ports"}


@pytest.fixture(scope="module")
def a_class(tmp_path_factory):
    folder = tmp_path_factory.mktemp("a") / "class"
    assert main(["homework", "invent", str(folder), "--students", "2"]) == 0
    return folder


def words(command, **places):
    for name, place in places.items():
        command = command.replace(f"{{{name}}}", str(place))
    return command.split(" ")


def shell(arguments, **more):
    command = [sys.executable, "-m", "tempkit", *arguments]
    environment = os.environ | {"PYTHONIOENCODING": "utf-8", "PYTHONPATH": str(ROOT)}
    return subprocess.run(command, cwd=ROOT, env=environment, timeout=120, **more)


# ---- help


def test_every_command_is_in_the_tables():
    assert set(PARSERS) == set(EXAMPLES) == {*GROUPS, *WRITES, *READS, *NO_FILES}


@pytest.mark.parametrize("name", PARSERS)
def test_help_ends_with_an_example_that_is_taken(name):
    told = " ".join(PARSERS[name].format_help().split())
    example = " ".join(f"{PROGRAM} {name} {EXAMPLES[name]}".split())
    assert told.endswith(f"example: {example}")
    chosen = parser().parse_args(shlex.split(example.removeprefix(PROGRAM)))
    assert callable(chosen.run)


@pytest.mark.parametrize("name", PARSERS)
def test_every_option_says_what_it_is_and_a_temperature_its_unit(name):
    for action in PARSERS[name]._actions:
        assert name in GROUPS or (action.help and action.help != argparse.SUPPRESS)
        if action.metavar == "T" or action.dest.endswith("_c"):
            assert "degC" in action.help, action.dest


def test_a_port_is_named_as_it_is_printed():
    assert "`board ports`" in PARSERS["board record"].format_help()


def test_the_version(capsys):
    with pytest.raises(SystemExit) as caught:
        main(["--version"])
    assert (caught.value.code, capsys.readouterr().out) == (0, f"tempkit {__version__}\n")


@pytest.mark.parametrize("command", ["catalogue", "handout", "bench", "board code", "board pretend"])
def test_examples_can_be_run(command, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    example = EXAMPLES[command].replace("data/chains", str(ROOT / "data" / "chains"))
    example = example.replace("/srv/book", str(ROOT)).replace("/home/robin/book", "book")
    assert main([*command.split(" "), *shlex.split(example)]) == 0


# ---- places that cannot be


def refused(arguments, capsys):
    """A command ends with 2 and says why in a line or two; whatever is raised fails the test."""
    code, printed = main(arguments), capsys.readouterr()
    assert code == 2 and printed.err.strip()
    return printed.err


@pytest.mark.parametrize("name", WRITES)
@pytest.mark.parametrize("kind", ["a file", "inside a file", "too long"])
def test_a_place_to_write_that_cannot_be(name, kind, a_class, tmp_path, capsys):
    (tmp_path / "file").write_text("precious", encoding="utf-8")
    place = {"a file": "file", "inside a file": "file/deep/er", "too long": 300 * "x"}[kind]
    said = refused(words(WRITES[name], out=tmp_path / place, **{"class": a_class}), capsys)
    assert place[:250] in said or "class" in said
    assert (tmp_path / "file").read_text(encoding="utf-8") == "precious"


@pytest.mark.parametrize("name", READS)
@pytest.mark.parametrize("kind", ["nothing", "a folder", "inside a file", "bytes"])
def test_a_file_to_read_that_cannot_be(name, kind, tmp_path, capsys):
    (tmp_path / "file").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "folder").mkdir()
    place = {"nothing": "none", "a folder": "folder", "inside a file": "file/in", "bytes": "file"}[kind]
    arguments = words(READS[name], **{"in": tmp_path / place, "free": tmp_path / "free"})
    if (name, kind) == ("homework forget", "a folder"):
        assert main(arguments) == 0 and "Nothing of this student was found" in capsys.readouterr().out
        return
    assert place in refused(arguments, capsys)


def read_only(monkeypatch):
    """As on a disk that takes no change: every opening to write, and every new folder, is refused."""

    def no(path):
        raise OSError(errno.EROFS, "Read-only file system", str(path))

    opened, opened_low = io.open, os.open
    monkeypatch.setattr(os, "mkdir", lambda path, *_, **__: no(path))
    monkeypatch.setattr(
        os, "open", lambda path, flags, *a, **k: no(path) if flags & 3 else opened_low(path, flags, *a, **k)
    )
    monkeypatch.setattr(
        io, "open", lambda path, mode="r", *a, **k: no(path) if set("wax+") & set(mode) else opened(path, mode, *a, **k)
    )


@pytest.mark.parametrize("name", WRITES)
def test_a_disk_that_takes_no_change(name, a_class, tmp_path, capsys, monkeypatch):
    arguments = words(WRITES[name], out=tmp_path / "new", **{"class": a_class})
    with monkeypatch.context() as patched:
        read_only(patched)
        said = refused(arguments, capsys)
    why = "it may not be written or read" if name == "handout" else "Read-only file system"
    assert why in said and str(tmp_path / "new") in said


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are POSIX")
@pytest.mark.parametrize("name", WRITES)
def test_a_disk_with_no_room(name, a_class, tmp_path):
    """Held to files of 0 bytes, as a full disk would; what the command says goes through a pipe."""
    import resource

    arguments = words(WRITES[name], out=tmp_path / "new", **{"class": a_class})
    limit = {"preexec_fn": lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))}
    done = shell(arguments, capture_output=True, **limit)
    assert done.returncode == 2 and b"file too large" in done.stderr.lower()
    assert b"Traceback" not in done.stderr


# ---- outputs that nobody reads, and Ctrl+C


@pytest.mark.parametrize("arguments", [["describe", NORTH], ["bench", NORTH], ["--help"], ["board", "ports"]])
def test_a_pipe_that_nobody_reads(arguments):
    read, write = os.pipe()
    os.close(read)
    done = shell(arguments, stdout=write, stderr=subprocess.PIPE)
    os.close(write)
    assert done.returncode in (0, 1) and done.stderr == b""


def test_nobody_listens_to_what_is_wrong_either():
    read, write = os.pipe()
    os.close(read)
    assert shell(["describe", "no-such.toml"], stdout=write, stderr=write).returncode == 1
    os.close(write)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no full device")
@pytest.mark.parametrize("arguments", [["describe", NORTH], ["board", "pretend", NORTH, "--seconds", "0.01"]])
def test_an_output_on_a_full_disk(arguments):
    with Path("/dev/full").open("wb") as full:
        done = shell(arguments, stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 2 and b"No space left on device; make room on the disk" in done.stderr
    assert b"Traceback" not in done.stderr and b"Exception ignored" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="closed by a shell of POSIX")
def test_closed_outputs():
    run = f"cd {ROOT} && {shlex.quote(sys.executable)} -m tempkit"
    assert subprocess.run(["sh", "-c", f"{run} describe {NORTH} >&-"], capture_output=True).returncode == 0
    assert subprocess.run(["sh", "-c", f"{run} describe none.toml 2>&-"], capture_output=True).returncode == 2


def test_ctrl_c_is_no_traceback(monkeypatch, capsys):
    def pressed(_):
        raise KeyboardInterrupt

    monkeypatch.setattr(file, "read", pressed)
    assert main(["describe", NORTH]) == 130
    assert capsys.readouterr().err == "\nstopped by Ctrl+C\n"


# ---- numbers that cannot be


@pytest.mark.parametrize(
    ("command", "words_said"),
    [
        ("board record --port socket://127.0.0.1:9 --out {out} --seconds {x}", "--seconds {x} s is outside"),
        ("board pretend {north} --fast --out {out} --seconds {x}", "--seconds {x} s is outside"),
        ("board pretend {north} --fast --out {out} --join {x}", "--join {x} s is outside"),
        ("board pretend {north} --fast --out {out} --wait {x}", "--wait {x} s is outside"),
        ("board pretend {north} --seconds {x}", "--seconds {x} s is outside"),
        ("board code {north} --language c --out {out} --table-error {x}", "table_error_c {x} degC must be"),
        ("bench {north} --room-c {x}000 --out {out}", "outside"),
        ("budget {north} --at {x}000", "outside"),
    ],
)
@pytest.mark.parametrize("x", ["nan", "-1"])
def test_numbers_that_cannot_be(command, words_said, x, tmp_path, capsys):
    arguments = [each.replace("nan000", "nan") for each in words(command, out=tmp_path / "out", north=NORTH, x=x)]
    assert words_said.replace("{x}", x) in refused(arguments, capsys)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("option", "said"), [("--seed -1", "--seed -1"), ("--tcp 99999", "--tcp 99999 port"), ("--baud 0", "baud 0 bit/s")]
)
def test_whole_numbers_that_cannot_be(option, said, capsys):
    assert said in refused(["board", "pretend", NORTH, "--seconds", "0.01", *option.split(" ")], capsys)


@pytest.mark.parametrize(("course", "student"), [("BENCH 9", "ROBIN"), ("BENCH-9", "../robin")])
def test_the_project_takes_the_codes_of_a_sheet_only(course, student, capsys):
    said = refused(["homework", "project", "--course", course, "--student", student], capsys)
    assert "cannot be used: 1 to 24 of the letters A to Z, the digits and hyphens" in said
