"""`kill -9` at any moment: every answer that was told as written is there, and the record is whole."""

import random
import signal
import subprocess
import sys
import time

import pytest

from tempkit.exercises.answers import Keeper

ADDING = """
import sys
from tempkit.exercises import problem
from tempkit.exercises.answers import Keeper
posed = problem("02-step-in-mv", course="BENCH-9", sheet="h01", student="ROBIN")
keeper = Keeper("BENCH-9", "h01", "ROBIN", sys.argv[1])
for number in range(int(sys.argv[2]), 1900):
    text = f"{number} mV"
    keeper.add(posed, text, None, posed.check(text))
    sys.stdout.write(f"{number}\\n")
    sys.stdout.flush()
"""


def killed_while_adding(folder, start, moment):
    """Kill a process while it adds answers one after another; returns the last number that it had told us."""
    process = subprocess.Popen(
        [sys.executable, "-B", "-c", ADDING, str(folder), str(start)], stdout=subprocess.PIPE, text=True
    )
    with process:
        told = [process.stdout.readline()]
        time.sleep(moment)
        process.send_signal(signal.SIGKILL)
        told += process.stdout.readlines()
    return max(int(line) for line in told if line.endswith("\n"))


def kill_often(folder, times, seed):
    moments = random.Random(seed)
    start = 1
    for _ in range(times):
        last = killed_while_adding(folder, start, moments.uniform(0, 0.03))
        found = Keeper("BENCH-9", "h01", "ROBIN", folder)
        texts = [a.text for a in found.answers()]
        assert found.note == "" and texts == [f"{n} mV" for n in range(1, len(texts) + 1)]
        assert last <= len(texts) <= last + 1, "an answer that was told as written is missing"
        start = len(texts) + 1
        if start > 1500:
            found.begin_again()
            start = 1


kill = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no kill -9")


@kill
def test_kill_at_any_moment(tmp_path):
    kill_often(tmp_path, 5, seed=1)


@kill
@pytest.mark.long
def test_kill_300_times(tmp_path):
    kill_often(tmp_path, 300, seed=2)
