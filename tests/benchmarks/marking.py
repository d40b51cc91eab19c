"""Homework: marking a class on one core, checking one answer, opening a sheet.

Marking runs in a process of its own that keeps to one core, so that its memory can be told. The class is invented:
h01 with one more problem makes twelve.
"""

import json
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import nbformat

from tests import browser

from .measure import ROOT, Comparison, UnavailableError

PROBLEMS = 12
SIZES = (100, 1_000, 10_000)
TWELVE = """
import dataclasses, os, sys
if hasattr(os, "sched_setaffinity"):
    os.sched_setaffinity(0, {sorted(os.sched_getaffinity(0))[-1]})
from tempkit.exercises import sheets
more = ("02-bits-needed",)
sheets.SHEETS = (dataclasses.replace(sheets.SHEETS[0], ids=(*sheets.SHEETS[0].ids, *more)),)
"""
MAKE = """
from tempkit.marking.invented import invent
invent(sys.argv[1], int(sys.argv[2]), seed=1)
"""
MARK = """
import json, pathlib, resource, time
from tempkit.marking.desk import mark_folder
place = sys.argv[1]
start = time.perf_counter()
marked = mark_folder(place + "/handed-in", place + "/roster.csv", place + "/out", sheets=["h01"])
seconds = time.perf_counter() - start
assert all(len(mark.problems) == 12 for mark in marked.marks.handed_in(marked.marks.plans[0]))
status = pathlib.Path("/proc/self/status")  # its own peak; what getrusage says on Linux includes that of the caller
kib = status.read_text().split("VmHWM:")[1].split()[0] if status.exists() else None
used = float(kib or resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) * 1024 / 1e6
print(json.dumps([seconds, used]))
"""
OPENED = {
    "sheet": ('from tempkit import exercises\nexercises.sheet("h01", "BENCH-9", "SPEED")', ".tempkit-card"),
    "empty": ("import ipywidgets\nipywidgets.HTML(\"<p class='speed'>ready</p>\")", "p.speed"),
}


def comparisons():
    """Rows on checking, marking and opening; those of the browser only where there is one."""
    yield Comparison("checking one answer, slowest problem", slowest_check, lambda: 1e-3, "1 ms", 1.0, rounds=3)
    with tempfile.TemporaryDirectory(prefix="tempkit-marking-") as name:
        yield from _marking(Path(name))
    yield from _opening()


def slowest_check():
    """The time of one check of the problem that takes longest, right and wrong answers in turn [s]."""
    from tempkit.exercises import Posed, personal, problems

    def one(problem):
        posed = Posed(problem, personal(problem, "BENCH-9", "h01", "SPEED"))
        model = posed.model_answer()
        wrong = "7" if isinstance(model, str) else ["7"] * len(model)
        times = []
        for text in (model, wrong) * 10:
            start = time.perf_counter()
            posed.check(text)
            times.append(time.perf_counter() - start)
        return statistics.median(times)

    return max(one(problem) for problem in problems().values())


def _run(code, *arguments):
    done = subprocess.run(
        [sys.executable, "-c", TWELVE + code, *map(str, arguments)],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    return done.stdout


def _marking(folder):
    if sys.platform == "win32":
        raise UnavailableError("memory and cores are told by POSIX")
    found = {}
    for size in SIZES:
        place = folder / str(size)
        _run(MAKE, place, size)
        found[size] = json.loads(_run(MARK, place))
        seconds, megabytes = found[size]
        what = f"marking {size:,} students x {PROBLEMS} problems"
        limit = 10.0 * size / 1_000
        yield Comparison(what, lambda s=seconds: s, lambda s=limit: s, f"{limit:g} s, one core", 1.0, rounds=1)
        if size == 1_000:
            yield Comparison(f"{what}: memory", lambda m=megabytes: m, lambda: 300.0, "300 MB", 1.0, 1, "MB")
    per_student = {size: found[size][0] / size for size in SIZES}
    yield Comparison(
        "marking, time a student, 10,000 against 1,000", lambda: per_student[10_000], lambda: per_student[1_000],
        "linear growth", 1.2, rounds=1,
    )  # fmt: skip


def _opening():
    if browser.missing():
        raise UnavailableError(browser.missing())
    with browser.started_lab() as lab, browser.chromium() as chromium:
        for kind, (code, _) in OPENED.items():
            notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(code)])
            notebook.metadata["kernelspec"] = {"display_name": "Python 3", "language": "python", "name": "python3"}
            nbformat.write(notebook, lab.folder / "notebooks" / f"speed-{kind}.ipynb")
        _opened(lab, chromium, "empty")
        yield Comparison(
            "opening a sheet, to its first card on the page", lambda: _opened(lab, chromium, "sheet"),
            lambda: _opened(lab, chromium, "empty"), "opening a notebook with one empty widget", 1.5, rounds=3,
        )  # fmt: skip


def _opened(lab, chromium, kind):
    """The time from opening a notebook's page over starting its kernel and running its cell to what it shows [s]."""
    page = chromium.new_page()
    start = time.perf_counter()
    lab.open(page, f"speed-{kind}.ipynb")
    browser.menu(page, "Run", "Run All Cells")
    page.locator(OPENED[kind][1]).first.wait_for()
    seconds = time.perf_counter() - start
    page.close()
    lab.renew()
    return seconds
