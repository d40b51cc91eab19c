"""What one student costs: every notebook run in a real browser; its time, its kernel's memory and work at rest."""

import contextlib
import os
import re
import time
from pathlib import Path

from tests import browser

from .measure import Comparison, UnavailableError

IDLE_S = 5.0


def comparisons():
    """Rows of every notebook: the time from Run All to the last cell; then the heaviest kernel, and the busiest."""
    if browser.missing():
        raise UnavailableError(browser.missing())
    if not Path("/proc/self/smaps_rollup").exists():
        raise UnavailableError("no /proc with smaps_rollup: memory is read on Linux")
    memory_mb, idle = {}, {}
    with browser.started_lab() as lab, browser.chromium() as started:
        for path in sorted((browser.ROOT / "notebooks").glob("[0-9]*.ipynb")):
            lab.renew()
            page = lab.open(started.new_page(viewport={"width": 1280, "height": 1600}), path.name)
            seconds = run_all_s(page)
            (kernel,) = kernels()
            memory_mb[path.stem], idle[path.stem] = pss_mb(kernel), work_at_rest(kernel)
            page.close()
            what = f"Run All: {path.stem}"
            yield Comparison(what, given(seconds), given(8.0), "8 s", aim=1.0, rounds=1)
    heaviest, busiest = max(memory_mb, key=memory_mb.get), max(idle, key=idle.get)
    what = f"heaviest kernel: {heaviest}"
    yield Comparison(what, given(memory_mb[heaviest]), given(150.0), "150 MB", aim=1.0, rounds=1, unit="MB")
    what = f"busiest kernel at rest: {busiest}"
    yield Comparison(what, given(idle[busiest]), given(1.0), "1 % of a core", aim=1.0, rounds=1, unit="%")


def given(number):
    return lambda: number


def run_all_s(page):
    """Seconds from Run All until every cell has run and every explorer shows its picture."""
    cells = page.locator(".jp-Notebook .jp-CodeCell").count()
    numbered = page.locator(".jp-Notebook .jp-CodeCell .jp-InputPrompt").filter(has_text=re.compile(r"\[\d+\]"))
    browser.menu(page, "Edit", "Clear Outputs of All Cells")
    assert browser.until(page, lambda: numbered.count() == 0)
    browser.menu(page, "Run", "Run All Cells")
    start = time.perf_counter()
    assert browser.until(page, lambda: numbered.count() == cells)
    return time.perf_counter() - start


def kernels():
    """Ids of the kernels that were started below this process."""
    for path in Path("/proc").glob("[0-9]*/cmdline"):
        with contextlib.suppress(OSError):
            words = path.read_bytes().split(b"\0")
            if b"ipykernel_launcher" in words and below_us(int(path.parent.name)):
                yield int(path.parent.name)


def below_us(pid):
    while pid > 1:
        if pid == os.getpid():
            return True
        pid = int(Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[1])
    return False


def pss_mb(pid):
    found = re.search(r"^Pss:\s+(\d+) kB", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)
    return int(found[1]) / 1024


def work_at_rest(pid):
    """Per cent of a core that a process takes while nobody does anything."""
    before = ticks(pid)
    time.sleep(IDLE_S)
    return 100 * (ticks(pid) - before) / os.sysconf("SC_CLK_TCK") / IDLE_S


def ticks(pid):
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return int(fields[11]) + int(fields[12])
