"""The live link at 115 200 bit/s for a minute: what it loses, and what part of a core it takes."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from .measure import Comparison

BAUD, SECONDS, TCP_SECONDS = 115_200, 60.0, 20.0
# Numbered lines at the pace of the line, 10 bits a character, from a process of its own.
SENDER = """
import os, socket, sys, time
kind, rate, seconds = sys.argv[1], float(sys.argv[2]) / 10, float(sys.argv[3])
if kind == "pty":
    import tty
    end, other = os.openpty()
    tty.setraw(other)
    print(os.ttyname(other), flush=True)
    send = lambda data: os.write(end, data)
else:
    server = socket.create_server(("127.0.0.1", 0))
    print("socket://127.0.0.1:%d" % server.getsockname()[1], flush=True)
    send = server.accept()[0].sendall
sys.stdin.readline()
start, sent, number = time.monotonic(), 0, 0
while (now := time.monotonic() - start) < seconds:
    while sent < rate * now:
        line = b"t=%d.0 code=163 read=24.8\\r\\n" % number
        send(line)
        sent, number = sent + len(line), number + 1
    time.sleep(0.005)
print(number, flush=True)
sys.stdin.readline()
"""


def run(kind, seconds):
    """Lines lost out of those sent, and the share of a core [%] that link and file took."""
    from tempkit.board import Link

    command = [sys.executable, "-c", SENDER, kind, str(BAUD), str(seconds)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with tempfile.TemporaryDirectory() as folder, subprocess.Popen(command, **pipes) as sender:
        out = Path(folder) / "log.txt"
        with Link(sender.stdout.readline().strip(), BAUD, out=out) as link:
            while link.status().state != "open":
                time.sleep(0.01)
            before, started = time.process_time(), time.monotonic()
            sender.stdin.write("go\n")
            sender.stdin.flush()
            sent = int(sender.stdout.readline())
            share = 100 * (time.process_time() - before) / (time.monotonic() - started)
            time.sleep(0.2)
        sender.communicate("end\n")
        rows = [each for each in out.read_bytes().split(b"\n") if each and not each.startswith(b"#")]
    numbers = [int(each.partition(b"\tt=")[2].partition(b".")[0]) for each in rows]
    return len(set(range(sent)) - set(numbers)) + abs(len(numbers) - len(set(numbers))), share


def comparisons():
    """Two rows for each wire: lost lines against one, and the share of a core against a tenth of one."""
    kinds = [("pty", SECONDS)] * (os.name == "posix") + [("tcp", TCP_SECONDS)]
    for kind, seconds in kinds:
        lost, share = run(kind, seconds)
        what = f"live link, {kind}, 115 200 bit/s, {seconds:.0f} s"
        yield Comparison(f"{what}: lost", given(lost), given(1.0), "one line", aim=0.0, rounds=1, unit="lines")
        yield Comparison(f"{what}: core", given(share), given(10.0), "a tenth of a core", aim=1.0, rounds=1, unit="%")


def given(number):
    return lambda: number
