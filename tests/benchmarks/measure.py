"""What a row of the table is, and how its two numbers are measured."""

import os
import platform
import statistics
import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


class UnavailableError(Exception):
    """Raised by a file's `comparisons()` that cannot measure here; its text is printed in place of rows."""


@dataclass(frozen=True)
class Comparison:
    """One row: two functions that each return one measured number, smaller is better.

    what : words; ours, baseline : functions without arguments that return seconds where `unit` is "ms", else
    the unit itself; against : what the baseline is; aim : ratio to stay at or below; rounds : how often both
    are measured, turn by turn.

    >>> row = Comparison("sum", lambda: 0.003, lambda: 0.002, against="loop", aim=2.0, rounds=1)
    >>> row.measure()
    (0.003, 0.002)
    """

    what: str
    ours: Callable
    baseline: Callable
    against: str
    aim: float
    rounds: int = 7
    unit: str = "ms"

    def measure(self):
        """Medians of ours and of the baseline, measured turn by turn so that both see the same machine."""
        pairs = [(self.ours(), self.baseline()) for _ in range(self.rounds)]
        ours, baseline = (statistics.median(numbers) for numbers in zip(*pairs, strict=True))
        return ours, baseline


def timed(function):
    """A function that calls `function` and returns how long that took [s].

    >>> timed(lambda: None)() < 1
    True
    """

    def seconds():
        start = time.perf_counter()
        function()
        return time.perf_counter() - start

    return seconds


def peak_mb(function, held_bytes=0):
    """A function that calls `function` and returns the most memory it held at once [MB of 10**6 bytes].

    numpy reports its arrays to tracemalloc. `held_bytes` is what already existed and belongs to the count.

    >>> 8.0 <= peak_mb(lambda: bytearray(8_000_000))() < 8.1
    True
    """

    def megabytes():
        tracemalloc.start()
        try:
            function()
            peak = tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
        return (held_bytes + peak) / 1e6

    return megabytes


def importing(statement):
    """A function that runs an import in a fresh interpreter and returns how long the import took [s].

    Bytecode may be written, as for any reader; the first call does that and is not counted.

    >>> 0 < importing("import string")() < 10
    True
    """
    code = f"import time; start = time.perf_counter(); {statement}; print(time.perf_counter() - start)"
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}

    def seconds():
        run = [sys.executable, "-c", code]
        done = subprocess.run(run, cwd=ROOT, env=environment, check=True, capture_output=True, text=True)
        return float(done.stdout)

    seconds()
    return seconds


def processor():
    """Name of the processor, as far as the system tells it."""
    info = Path("/proc/cpuinfo")
    lines = info.read_text(encoding="utf-8").splitlines() if info.is_file() else []
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.processor() or platform.machine() or "unknown processor"


def machine():
    """One line on what the numbers were measured with."""
    import numpy as np

    cores = os.cpu_count()
    system = f"{platform.system()} {platform.machine()}"
    versions = f"Python {platform.python_version()}, numpy {np.__version__}"
    return f"{processor()}, {cores} cores, {system}, {versions}"
