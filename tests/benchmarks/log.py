"""Reading logs: lines a second beside numpy's own text reader, clean and dirty, memory, and 10,000 damaged logs.

numpy's reader cannot read a dirty log: there our own reading of the clean one is the baseline. Files of 10^6 lines.
"""

import tempfile
from pathlib import Path

import numpy as np

from tests import fuzzed

from .measure import Comparison, UnavailableError, peak_mb, timed

LINES = 1_000_000
FUZZED = 10_000
EVERY = (1000, 10)  # one line of so many is damaged
DAMAGE = (b"\xff\x81", b"Bench ready", b"", b"t=12.0 co", b"24.", b"# note")


def clean_files(folder):
    """Three kinds of clean log, as name -> (path, columns, delimiter)."""
    rng = np.random.default_rng(1)
    readings = rng.normal(25.0, 2.0, LINES)
    codes = rng.integers(100, 200, LINES)
    rows = zip(range(LINES), codes.tolist(), readings.tolist(), strict=True)
    texts = {
        "one number a line": ([f"{value:.2f}\n" for value in readings], 1, None),
        "three numbers, commas": ([f"{500 * t},{code},{value:.1f}\r\n" for t, code, value in rows], 3, ","),
        "powers of ten": ([f"{value:.8e}\n" for value in readings], 1, None),
    }
    for name, (lines, columns, delimiter) in texts.items():
        path = folder / f"{name.replace(' ', '-').replace(',', '')}.txt"
        path.write_bytes("".join(lines).encode("ascii"))
        yield name, path, columns, delimiter


def labelled(path, every=0):
    """A log as our recorder writes it, with one damaged line of `every`; 0 for none."""
    rng = np.random.default_rng(2)
    lines = [
        b"%.3f\tt=%.1f code=%d read=%.1f\r\n" % (1.03 * t, t, code, code / 6)
        for t, code in enumerate(rng.integers(100, 200, LINES).tolist())
    ]
    for nth in range(7, LINES if every else 0, every or 1):
        lines[nth] = b"%.3f\t%b\r\n" % (1.03 * nth, DAMAGE[nth // every % len(DAMAGE)])
    path.write_bytes(b"".join(lines))
    return path


def arrays_mb(record):
    """What the arrays of a record take [MB]."""
    arrays = (*record.columns, record.times_s, record.line_numbers)
    return sum({id(each): each.nbytes for each in arrays}.values()) / 1e6


def comparisons():
    """Rows for clean logs, dirty logs, memory, and the fuzzed logs."""
    with tempfile.TemporaryDirectory() as name:
        yield from in_folder(Path(name))


def in_folder(folder):
    from tempkit.logs import read

    for name, path, columns, delimiter in clean_files(folder):
        check(read(path), np.loadtxt(path, delimiter=delimiter, ndmin=2), columns)
        theirs = timed(lambda path=path, mark=delimiter: np.loadtxt(path, delimiter=mark))
        ours = timed(lambda path=path: read(path))
        yield Comparison(f"read 10^6 lines, {name}", ours, theirs, "numpy.loadtxt, the same file", aim=1.0, rounds=3)
        yield memory(read, path, name)
    plain = folder / "three-numbers-commas.txt"
    clean = labelled(folder / "clean.txt")
    ours, theirs = timed(lambda: read(clean)), timed(lambda: np.loadtxt(plain, delimiter=","))
    what = "numpy.loadtxt, three numbers a line"
    yield Comparison("read 10^6 lines of our recorder, clean", ours, theirs, what, aim=2.0, rounds=3)
    for every in EVERY:
        dirty = labelled(folder / f"dirty-{every}.txt", every)
        took = timed(lambda dirty=dirty: read(dirty))
        against = "the same lines, clean"
        yield Comparison(f"the same, one line of {every} damaged", took, ours, against, aim=10.0, rounds=3)
    yield from fuzz(read)


def memory(read, path, name):
    """A row on the most memory held at once, beside what the arrays take."""
    size, peak = arrays_mb(read(path)), peak_mb(lambda: read(path))
    return Comparison(f"its memory, {name}", peak, lambda: size, "the arrays alone", 4.0, 1, unit="MB")


def check(record, theirs, columns):
    """Both readers must give the same numbers to the last bit, or their times mean nothing."""
    if record.skipped or not np.array_equal(np.column_stack(record.columns), theirs) or theirs.shape[1] != columns:
        raise UnavailableError(f"the two readers differ: {record}")


def fuzz(read):
    """10,000 damaged logs: none raises, every line of each is accounted for."""
    took = timed(lambda: fuzzed.run(read, fuzzed.check_account, FUZZED))
    yield Comparison(f"{FUZZED} damaged logs, each accounted for", took, lambda: 60.0, "one minute", 1.0, 1)
