"""The recorder as a process: killed at random points it has lost nothing that it had received."""

import os
import signal
import struct
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

import boards
from tempkit.__main__ import main
from tempkit.board.record import record

POSIX = os.name == "posix"
# A recorder that puts down a copy of every read, apart from its own file, before it sees the bytes.
SPIED = """
import os, struct, sys
from tempkit.board import ports
real, copy = ports.opened, os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT)
class Spy:
    def __init__(self, port):
        self._port, self._socket = port, getattr(port, "_socket", None)
    def read(self, size):
        data = self._port.read(size)
        if data:
            os.write(copy, struct.pack("<I", len(data)) + data)
        return data
    def close(self):
        self._port.close()
ports.opened = lambda *settings: Spy(real(*settings))
from tempkit.__main__ import main
sys.exit(main(sys.argv[2:]))
"""


def reads(path):
    """What every read gave; the last one may be torn, as the kill may have fallen into it."""
    data, found = path.read_bytes(), []
    while len(data) >= 4:
        size = struct.unpack("<I", data[:4])[0]
        found.append(data[4 : 4 + size])
        data = data[4 + size :]
    return found


def killed(folder, wire, rng, quiet):
    """Start a recorder, speak to it, kill it without a warning, and check what is in its file."""
    board, out, copy = boards.BOARDS[wire](folder), folder / "log.txt", folder / "copy.bin"
    words = ["board", "record", "--port", board.port, "--out", str(out)]
    if wire == "pty":
        board.plug()
    process = subprocess.Popen([sys.executable, "-c", SPIED, str(copy), *words], stderr=subprocess.DEVNULL)
    try:
        if wire == "tcp":
            board.plug()
        sent = speak(board, copy, 0.15 * rng.random(), rng)
        if quiet:  # then all that was sent has been read, and there was time to write it
            boards.wait_for(lambda: b"".join(reads(copy)).lstrip(b"\n") == sent)
            time.sleep(0.1)
    finally:
        process.kill()
        process.wait()
    board.unplug()
    board.close()
    check(sent, reads(copy), out.read_bytes(), quiet)


def speak(board, copy, seconds, rng):
    """Line ends until the recorder hears them, as a port drops what came before it was open; then lines."""
    while not (copy.exists() and copy.stat().st_size):
        board.send(b"\n")
        time.sleep(0.005)
    sent, end, number = b"", time.monotonic() + seconds, 0
    while time.monotonic() < end:
        lines, half = boards.some_lines(rng, 1000 + 100 * number, most=8)
        for chunk in boards.in_chunks(rng, b"x" + b"".join(lines) + half):
            board.send(chunk)
            sent += chunk
        time.sleep(0.004 * rng.random())
        number += 1
    return sent


def check(sent, reads, data, quiet):
    """Every line whose end was read, but for those of the very last read, into whose handling the kill may fall."""
    received = b"".join(reads)
    assert sent.startswith(received.lstrip(b"\n"))
    found = boards.rows(data[: data.rfind(b"\n") + 1])
    lines = received.split(b"\n")[:-1]
    assert found == lines[: len(found)]
    assert len(found) == len(lines) if quiet else len(found) >= b"".join(reads[:-1]).count(b"\n")


def kill_many(wire, folder, count, seed):
    folders = [folder / str(i) for i in range(count)]
    for each in folders:
        each.mkdir()
    with ThreadPoolExecutor(4) as pool:
        runs = [
            pool.submit(killed, folders[i], wire, np.random.default_rng([seed, i]), i % 3 == 0) for i in range(count)
        ]
        for run in runs:
            run.result()


wires = pytest.mark.parametrize(
    "wire", ["tcp", pytest.param("pty", marks=pytest.mark.skipif(not POSIX, reason="no pseudo-terminals"))]
)


@pytest.mark.slow
@wires
def test_kill(wire, tmp_path):
    kill_many(wire, tmp_path, 6, seed=1)


@pytest.mark.long
@wires
def test_kill_100_times(wire, tmp_path):
    kill_many(wire, tmp_path, 50, seed=2)  # for each of the two wires


def test_a_read_in_whose_handling_the_kill_falls_is_the_only_one_that_may_be_missing():
    """The check of this file can fail: one line less than that, or one line changed, and it does."""
    reads_ = [b"\n", b"a\nb", b"c\n", b"d\n"]
    sent, whole = b"a\nbc\nd\n", b"0.100\t\n0.200\ta\n0.300\tbc\n"
    check(sent, reads_, whole, quiet=False)
    check(sent, reads_, whole + b"0.400\td\n", quiet=True)
    for data, quiet in ((whole, True), (whole[:-9], False), (whole.replace(b"a", b"A"), False)):
        with pytest.raises(AssertionError):
            check(sent, reads_, data, quiet)


# ---- the command


def interrupted(signal_kind, folder):
    board, out = boards.TcpBoard(), folder / "log.txt"
    run = [sys.executable, "-m", "tempkit", "board", "record", "--port", board.port, "--out", str(out)]
    process = subprocess.Popen(run, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        board.plug()
        boards.wait_for(lambda: out.exists() and out.stat().st_size)
        time.sleep(0.1)
        board.send(b"read=24.9\r\n")
        boards.wait_for(lambda: boards.rows(out.read_bytes()))
        process.send_signal(signal_kind)
        said, progress = process.communicate(timeout=20)
    finally:
        process.kill()
    board.unplug()
    board.close()
    return process.returncode, said, progress, out.read_bytes()


@pytest.mark.skipif(not POSIX, reason="signals are sent in another way")
@pytest.mark.parametrize("kind", ["SIGINT", "SIGTERM"])
def test_an_interrupt_ends_it_cleanly(kind, tmp_path):
    code, said, progress, data = interrupted(getattr(signal, kind), tmp_path)
    assert code == 0
    assert said.endswith("log.txt: 1 line recorded, no gap\n")
    assert "1 line in" in progress.splitlines()[-1] and progress.splitlines()[-1].endswith("last: read=24.9")
    assert data.splitlines()[-1].startswith(b"# end at ")


class Terminal:
    """A stream that says it is a terminal."""

    def __init__(self):
        self.text = ""

    def isatty(self):
        return True

    def write(self, text):
        self.text += text

    def flush(self):
        pass


def test_progress_on_a_terminal_is_one_line(tmp_path):
    terminal = Terminal()
    said = record("socket://127.0.0.1:9", tmp_path / "log.txt", seconds=0.7, progress=terminal)
    assert terminal.text.count("\r") >= 2 and terminal.text.count("\n") == 1
    assert "0 lines recorded, no gap\nthe port: nobody answers there" in said


def test_exit_codes(tmp_path, capsys):
    out = tmp_path / "log.txt"
    run = ["board", "record", "--port", "socket://127.0.0.1:9", "--out", str(out), "--seconds", "0.1"]
    assert main(run) == 0
    assert main(run) == 2 and "exists and is left as it is" in capsys.readouterr().err
    assert main([*run, "--append"]) == 0
    assert b"# gap at " in out.read_bytes()
    for word, value, said in (("--frame", "9X9", "frame '9X9' is not"), ("--baud", "3", "baud 3 bit/s must be a")):
        assert main([*run[:4], "--out", str(tmp_path / word), word, value, "--seconds", "5"]) == 2
        assert said in capsys.readouterr().err
    assert main(["board", "ports"]) == 0 and capsys.readouterr().out.startswith("serial ports of this computer")
