"""A pretend board in a process of its own, for a notebook or a test that has no real one."""

import re
import subprocess
import sys


class Partner:
    """A running pretend board; `port` is what a link opens. It ends with `stop()`, or when this process ends.

    file : a chain file; words : further words of `python -m tempkit board pretend`. Raises `ValueError` where the
    board cannot start, with what it said.
    """

    def __init__(self, file, *words):
        command = [sys.executable, "-m", "tempkit", "board", "pretend", str(file), "--end-with-input", *words]
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
        self._process = subprocess.Popen(command, **pipes, text=True)
        found = re.match(r"pretend board at (\S+) ", self._process.stdout.readline())
        if found is None:
            said = self._process.stderr.read().strip()
            self.stop()
            raise ValueError(f"the pretend board did not start: {said}")
        self.port = found[1]

    def stop(self):
        """End it; a second time does nothing."""
        for pipe in (self._process.stdin, self._process.stdout, self._process.stderr):
            pipe.close()
        try:
            self._process.wait(5.0)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.stop()
