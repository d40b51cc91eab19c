"""Run every check of the book: python tests/check.py [quick | full | long]

Without a word: lint, full and long. `quick` is lint and all tests but the slow ones and the notebooks, `full`
is lint and what `python -m pytest` runs, `long` is endurance, compilers, installs and the browser. Goes on
after a failure, so that one run shows all of them; ends with 1 if any stage failed.
"""

import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LINT = ("-m", "ruff", "check", "--output-format=concise")
QUICK = ("-m", "pytest", "-q", "-m", "not slow and not long", "tests", "tempkit")
FULL = ("-m", "pytest", "-q")
LONG = ("-m", "pytest", "-q", "-m", "long", "-n", "0")
STAGES = {"": (LINT, FULL, LONG), "quick": (LINT, QUICK), "full": (LINT, FULL), "long": (LONG,)}


def run(stage):
    """Run one stage with this Python; returns whether it passed."""
    started = time.monotonic()
    passed = subprocess.run([sys.executable, *stage], cwd=ROOT).returncode == 0
    verdict = "passed" if passed else "FAILED"
    print(f"== {' '.join(stage[1:])}: {verdict} in {time.monotonic() - started:.0f} s", flush=True)
    return passed


def main(words):
    if len(words) > 1 or (words or [""])[0] not in STAGES:
        print(__doc__)
        return 2
    results = [run(stage) for stage in STAGES[(words or [""])[0]]]
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
