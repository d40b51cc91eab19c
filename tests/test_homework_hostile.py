"""Hostile hand-ins: no crash, no hang, memory bounded, nothing run or followed, every one reported with its reason.

Marking runs in a process of its own, ended by a watchdog after `PATIENCE_S`, and in a limited address space.
"""

import csv
import json
import os
import re
import subprocess
import sys

import pytest

from classroom import KIM, ROBIN, answered, posed
from hostile import KINDS, fuzzed
from tempkit.exercises import answers

PATIENCE_S = 120
ADDRESS_BYTES = 2_000_000_000
MOST_RSS_MB = 300
ROSTER = 'student,name,course\nROBIN,"<script>alert(1)</script>",BENCH-9\nKIM,"=1+1",BENCH-9\n'
MARK = f"""
import json, pathlib, resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({ADDRESS_BYTES}, {ADDRESS_BYTES}))
from tempkit.marking.desk import mark_folder
marked = mark_folder(*sys.argv[1:4], sheets=["h01"])
odd = [(odd.where, odd.reason) for odd in marked.marks.odd]
kept = [(m.student, m.where, m.mark) for m in marked.marks.handed_in(marked.marks.plans[0])]
status = pathlib.Path("/proc/self/status")  # its own peak; what getrusage says on Linux includes that of the caller
used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
rss = int(status.read_text().split("VmHWM:")[1].split()[0]) / 1024 if status.exists() else used / 1024
print(json.dumps([odd, kept, rss]))
"""

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pipes, links and limits of POSIX")


def marked(place):
    """Mark the folder `in` of a place under the watchdog; returns what was odd, what was kept, and the memory."""
    (place / "roster.csv").write_text(ROSTER)
    command = [sys.executable, "-B", "-c", MARK, str(place / "in"), str(place / "roster.csv"), str(place / "out")]
    done = subprocess.run(command, cwd=place, capture_output=True, text=True, timeout=PATIENCE_S)
    assert done.returncode == 0, done.stderr[-2000:]
    assert not list(place.rglob("CANARY")), "something of a student's was run"
    return json.loads(done.stdout.splitlines()[-1])


def harmless(out):
    """No page runs or loads anything, no cell of a table can act."""
    for page in (out / "class-report.html", *(out / "pages").iterdir()):
        text = page.read_text(encoding="utf-8")
        tags = set(re.findall(r"<\s*([a-zA-Z]\w*)", text))
        allowed = "html head meta title style body main h1 h2 h3 p div span section details summary"
        allowed += " table thead tbody tr th td ul ol li br strong pre"
        assert tags <= {*allowed.split()}, tags
        assert not re.search(r"<[^>]*\son\w+\s*=", text) and "\u202e" not in text and "\x00" not in text
        assert "default-src 'none'" in text
    for table in out.glob("*.csv"):
        with table.open(encoding="utf-8-sig", newline="") as file:
            for cell in (cell for row in csv.reader(file) for cell in row):
                assert not re.match(r"\s*[=+@]|\s*-(?![\d.])", cell), cell
                assert cell.isprintable()


def test_there_are_enough_kinds():
    assert len(KINDS) >= 90


@pytest.fixture(scope="module")
def all_kinds(tmp_path_factory):
    """Every kind in a folder of its own, and an honest hand-in beside them, marked together."""
    place = tmp_path_factory.mktemp("hostile")
    (place / "in").mkdir()
    honest = answered("1 °C", posed(student=KIM).model_answer(), student=KIM)
    (place / "in" / honest.name).write_bytes(answers.encode(honest))
    for number, (make, _) in enumerate(KINDS.values()):
        folder = place / "in" / f"{number:02d}"
        folder.mkdir()
        make(folder)
    return place, *marked(place)


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_is_reported(name, all_kinds):
    _, odd, kept, _ = all_kinds
    number, reason = f"{list(KINDS).index(name):02d}", KINDS[name][1]
    told = [why for where, why in odd if where.startswith(f"{number}/")]
    counted = [where for _, where, _ in kept if where.startswith(f"{number}/")]
    assert told or counted, "dropped without a word"
    if reason:
        assert any(re.search(reason, why) for why in told), told


def test_the_honest_one_counts_and_all_is_harmless(all_kinds):
    place, _, kept, rss = all_kinds
    assert ["KIM", f"h01_{KIM.course}_KIM.json", 1.0] in kept or "KIM" in {student for student, _, _ in kept}
    assert rss < MOST_RSS_MB
    harmless(place / "out")
    assert {path.name for path in place.iterdir()} == {"in", "out", "roster.csv"}
    assert {path.name for path in (place / "out" / "pages").iterdir()} == {"BENCH-9_KIM.html", "BENCH-9_ROBIN.html"}


@pytest.mark.parametrize("name", [name for name, (_, reason) in KINDS.items() if reason is None])
def test_what_is_only_hostile_in_its_text_is_marked_alone(name, tmp_path):
    (tmp_path / "in").mkdir()
    KINDS[name][0](tmp_path / "in")
    odd, kept, _ = marked(tmp_path)
    assert (kept and kept[0][0] == ROBIN.student) or odd
    harmless(tmp_path / "out")


def fuzz(place, count, seed):
    """Mark `count` damaged records at once; every one is marked or listed."""
    (place / "in").mkdir()
    for number, data in enumerate(fuzzed(count, seed)):
        (place / "in" / f"{number:05d}.json").write_bytes(data)
    odd, kept, rss = marked(place)
    seen = {where for where, _ in odd} | {where for _, where, _ in kept}
    assert seen == {path.name for path in (place / "in").iterdir()}
    assert rss < MOST_RSS_MB
    harmless(place / "out")


def test_fuzzed(tmp_path):
    fuzz(tmp_path, 400, seed=1)


@pytest.mark.long
def test_fuzzed_10_000(tmp_path):
    fuzz(tmp_path, 10_000, seed=2)


def test_the_fuzz_reaches_both_sides():
    """Some damaged records must still be records, or the fuzz would only test the first check."""
    whole = 0
    for data in fuzzed(400, seed=1):
        try:
            answers.decode(data)
            whole += 1
        except answers.RecordError:
            pass
    assert 10 < whole < 390
