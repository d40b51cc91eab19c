"""The demo logs: made again by the commands in data/README.md, they are the same to the byte; each says what it is."""

import re
import shlex
from pathlib import Path

import numpy as np
import pytest

import boards
from tempkit.__main__ import main
from tempkit.logs import log

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "data" / "README.md").read_text(encoding="utf-8")
COMMANDS = {
    Path(words[-1]).name: words
    for words in (
        shlex.split(found.replace("\\\n", " "))
        for found in re.findall(r"^python -m tempkit (board pretend (?:.*\\\n)*.*)$", README, re.M)
    )
}
LOGS = sorted((ROOT / "data" / "logs").iterdir())
every_log = pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)


def test_every_log_has_its_command_and_its_row():
    assert {path.name for path in LOGS} == set(COMMANDS)
    assert all(f"| `{path.name}` |" in README for path in LOGS)
    assert sum(path.stat().st_size for path in LOGS) < 1_000_000


@every_log
def test_made_again_it_is_the_same(path, tmp_path, monkeypatch):
    monkeypatch.chdir(ROOT)
    words = COMMANDS[path.name]
    assert words[-2:] == ["--out", f"data/logs/{path.name}"]
    assert main([*words[:-1], str(tmp_path / path.name)]) == 0
    assert (tmp_path / path.name).read_bytes() == path.read_bytes()


@every_log
def test_it_says_that_it_is_invented(path):
    assert path.read_bytes().startswith(b"# invented: made by the pretend board")


@every_log
def test_it_reads(path):
    record = log.read(path)
    assert sum(record.account().values()) == record.lines
    reading = record.series(next(name for name in record.names if name.startswith("read")))[1]
    clean = path.stem != "north-bench-messy"
    assert record.skipped_count == 0 or not clean
    assert (np.diff(record.times_s) > 0).all()
    assert reading.size > 1500 and 15 < reading.min() and reading.max() < 30


def test_the_messy_one_is_messy():
    data = (ROOT / "data" / "logs" / "north-bench-messy.txt").read_bytes()
    found = boards.rows(data)
    assert found.count(None) == 1 and b"half a line before it" in boards.gap_words(data)[0]
    assert sum(b"board started, measuring" in each for each in found if each) == 1
    assert re.fullmatch(rb"\.?\d", found[0].rstrip(b"\r")), "it begins in the middle of a line"
    assert sum(bool(re.search(rb"read=\d{3}\r", each)) for each in found if each) == 1, "one point got lost"
    assert sum(any(byte > 126 for byte in each) for each in found if each) >= 3


def test_the_figures_of_the_chapter_are_those_of_the_logs():
    """The bad day's account and its longest gap, the steady room's first and last five minutes, the lost point."""
    from tempkit.problems import chapter10

    folder = ROOT / "data" / "logs"
    messy = log.read(folder / "north-bench-messy.txt")
    told = {"lines": messy.lines, **messy.account()}
    assert {name: told[name] for name in chapter10.BAD_DAY} == chapter10.BAD_DAY
    assert messy.rows == 2 * chapter10.BAD_DAY["lines"] - sum(chapter10.BAD_DAY.values())
    gaps = messy.gaps()
    assert round(gaps.seconds.max(), 1) == chapter10.GAP_S and gaps.missing.max() == 73
    assert messy.period_s == pytest.approx(chapter10.ROW_S)
    times_s, readings_c = log.read(folder / "north-bench-drift.txt").series("read")
    for (minute, mean_c), five in ((chapter10.EARLY, times_s < 300), (chapter10.LATE, times_s >= 14_100)):
        assert times_s[five].mean() / 60 == pytest.approx(minute, abs=0.05)
        assert readings_c[five].mean() == pytest.approx(mean_c, abs=0.005)
    lines = (folder / "north-bench-messy.txt").read_bytes().splitlines()
    taken = [float(line.split(b"read=")[1]) for line in lines if re.search(rb"read=\d+(\.\d+)?$", line)]
    assert len(taken) == 2535 and max(taken) == 187 and round(np.mean(taken), 2) == 21.79
    assert lines[1967].endswith(b"read=187") and b"code=160.4 reaboard started" in lines[876] and b"\t.2" in lines[4]
