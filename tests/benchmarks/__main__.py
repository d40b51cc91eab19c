"""Print the table of ratios. Every file beside this one that offers `comparisons()` gives rows.

    python -m tests.benchmarks            all files
    python -m tests.benchmarks core       only that file

It never fails on time: a ratio above its aim is marked, and that is all.
"""

import importlib
import pkgutil
import sys
from pathlib import Path

from .measure import UnavailableError, machine

ROW = "{what:<46} {ours:>12} {baseline:>12} {ratio:>7} {aim:>6}  {against}"
HEADINGS = ("what", "ours", "baseline", "ratio", "aim", "against")


def names(wanted):
    """Names of the files to run, in alphabetical order; raises `SystemExit` for one that is not there."""
    found = sorted(module.name for module in pkgutil.iter_modules([str(Path(__file__).parent)]))
    files = [name for name in found if name not in ("__main__", "measure")]
    unknown = [name for name in wanted if name not in files]
    if unknown:
        raise SystemExit(f"no benchmarks named {', '.join(unknown)}: choose from {', '.join(files)}")
    return [name for name in files if name in wanted or not wanted]


def shown(number, unit):
    """Text of a measured number: seconds as milliseconds, anything else with its own unit."""
    return f"{1e3 * number:.3g} ms" if unit == "ms" else f"{number:.4g} {unit}"


def print_row(row):
    ours, baseline = row.measure()
    ratio = ours / baseline
    numbers = {"ours": shown(ours, row.unit), "baseline": shown(baseline, row.unit), "ratio": f"{ratio:.2f}"}
    mark = "" if ratio <= row.aim else "   above the aim"
    line = ROW.format(what=row.what, **numbers, aim=f"{row.aim:g}", against=row.against)
    print(line + mark, flush=True)


def main(wanted):
    files = names(wanted)
    print(machine())
    print(ROW.format(**{heading: heading for heading in HEADINGS}))
    for name in files:
        module = importlib.import_module(f".{name}", __package__)
        try:
            for row in module.comparisons():
                print_row(row)
        except UnavailableError as reason:
            print(f"{name}: not measured: {reason}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
