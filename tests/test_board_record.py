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
from tempkit.board.record_file import LogFile
from tempkit.board.recorder import interrupts, record

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
    """A recorder that is told to end while the board speaks: what it said, what it had read, what is in its file."""
    board, out, copy = boards.TcpBoard(), folder / "log.txt", folder / "copy.bin"
    words = ["board", "record", "--port", board.port, "--out", str(out)]
    run = [sys.executable, "-c", SPIED, str(copy), *words]
    process = subprocess.Popen(run, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        board.plug()
        number = 0
        while process.poll() is None:
            board.send(b"t=%d.0 read=24.9\r\nhalf" % number)
            number += 1
            if number == 30:
                boards.wait_for(lambda: copy.exists() and boards.rows(out.read_bytes()))
                process.send_signal(signal_kind)
            time.sleep(0.002)
    except OSError:  # it has hung up
        pass
    finally:
        said, progress = process.communicate(timeout=20)
        process.kill()
    board.unplug()
    board.close()
    return process.returncode, said, progress, b"".join(reads(copy)), out.read_bytes()


@pytest.mark.skipif(not POSIX, reason="signals are sent in another way")
@pytest.mark.parametrize("kind", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_an_interrupt_ends_it_cleanly(kind, tmp_path):
    """Every whole line that it had read is in the file, the half one in its last remark; it says how many, and is 0."""
    code, said, progress, received, data = interrupted(getattr(signal, kind), tmp_path)
    *whole, half = received.split(b"\n")
    assert code == 0 and boards.rows(data) == whole and len(whole) > 5
    assert said.endswith(f"log.txt: {len(whole)} lines recorded, no gap\n")
    assert f"{len(whole)} lines in" in progress.splitlines()[-1] and "read=24.9" in progress.splitlines()[-1]
    last = data.splitlines()[-1]
    assert last.startswith(b"# end at ") and (repr(half)[1:].encode() in last or not half)


@pytest.mark.skipif(not POSIX, reason="nohup is of POSIX")
def test_a_terminal_whose_end_is_to_be_ignored_is_ignored():
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with interrupts() as stop:
            os.kill(os.getpid(), signal.SIGHUP)
            assert not stop.wait(0.1)
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.skipif(not POSIX, reason="other systems have other signals")
def test_afterwards_an_interrupt_does_what_it_did_before():
    kinds = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
    before = [signal.getsignal(kind) for kind in kinds]
    with pytest.raises(ZeroDivisionError), interrupts() as stop:
        assert not {signal.getsignal(kind) for kind in kinds} & set(before)
        for kind in kinds:
            os.kill(os.getpid(), kind)
            assert stop.wait(1.0)
            stop.clear()
        1 / 0  # noqa: B018
    assert [signal.getsignal(kind) for kind in kinds] == before


class GoneTerminal:
    """A terminal that was closed."""

    def isatty(self):
        return True

    def write(self, _):
        raise OSError(5, "Input/output error")

    flush = write


def test_a_terminal_that_is_gone_ends_no_recording(tmp_path):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    with ThreadPoolExecutor(1) as pool:
        run = pool.submit(record, board.port, out, seconds=1.5, progress=GoneTerminal())
        board.plug()
        for _ in range(5):
            board.send(b"read=24.9\r\n")
        assert "5 lines recorded" in run.result(20)
    board.unplug()
    board.close()


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
    with pytest.raises(ValueError, match=r"nothing came over .* \(nobody answers there\): .*log.txt has no new line"):
        record("socket://127.0.0.1:9", tmp_path / "log.txt", seconds=0.7, progress=terminal)
    assert terminal.text.count("\r") >= 2 and terminal.text.count("\n") == 1


def test_exit_codes(tmp_path, capsys):
    out = tmp_path / "log.txt"
    run = ["board", "record", "--port", "socket://127.0.0.1:9", "--out", str(out), "--seconds", "0.1"]
    assert main(run) == main([*run, "--append"]) == 2 and not out.exists()
    assert "nobody answers there" in capsys.readouterr().err
    LogFile(out, "COM3").close()
    assert main(run) == 2 and "exists and is left as it is" in capsys.readouterr().err
    assert main([*run, "--append"]) == 2 and "no new line" in capsys.readouterr().err
    assert b"# gap at " in out.read_bytes(), "a file that was there before stays"
    refused = (("--frame", "9X9", "frame '9X9' is not"), ("--baud", "3", "baud 3 bit/s must be a whole number"))
    for word, value, said in refused:
        assert main([*run[:4], "--out", str(tmp_path / word), word, value, "--seconds", "5"]) == 2
        assert said in capsys.readouterr().err and not (tmp_path / word).exists()
    assert main(["board", "ports"]) == 0 and capsys.readouterr().out.startswith("serial ports of this computer")


@pytest.mark.parametrize("sent, code, kept", [(b"", 2, False), (b"half a line", 2, True), (b"read=24.9\n", 0, True)])
def test_where_no_line_came_it_fails_and_leaves_no_empty_file(sent, code, kept, tmp_path, capsys):
    board, out = boards.TcpBoard(), tmp_path / "log.txt"
    with ThreadPoolExecutor(1) as pool:
        run = pool.submit(main, ["board", "record", "--port", board.port, "--out", str(out), "--seconds", "1"])
        board.plug()
        board.send(sent)
        assert run.result(20) == code
    board.unplug()
    board.close()
    assert out.exists() == kept and (not kept or sent.strip() in out.read_bytes())
    assert ("11 bytes did" in capsys.readouterr().err) == (sent == b"half a line")
