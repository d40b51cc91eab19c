"""From a slider's event to the changed picture, explorer by explorer, against a line of text that asks the kernel.

Each explorer stands in a notebook of its own beside the line of text, and the two take turns.
"""

import importlib
import pkgutil
import statistics

from tests import browser

from .explorers import CELLS, opened, p95, rounds
from .measure import Comparison, UnavailableError

EVENTS = 24


def comparisons():
    """Two rows for every explorer: the median and the 95th percentile."""
    if browser.missing():
        raise UnavailableError(browser.missing())
    with browser.started_lab() as lab, browser.chromium() as started:
        for name in names():
            page = opened(lab, started, [f"from tempkit.explorers import {name}\n{name}.explorer()", CELLS[1]])
            explorer, label = rounds(page, 2, EVENTS)
            page.close()
            lab.renew()
            for told, measure in (("median", statistics.median), ("95 %", p95)):
                ours, least = measure(explorer), measure(label)
                what = f"{name}, {told}"
                yield Comparison(what, given(ours), given(least), "a label only", 2.2, rounds=1)


def given(number):
    return lambda: number


def names():
    """Modules of the package that hold an explorer."""
    import tempkit.explorers

    found = sorted(module.name for module in pkgutil.iter_modules(tempkit.explorers.__path__))
    return [name for name in found if hasattr(importlib.import_module(f"tempkit.explorers.{name}"), "PLAN")]
