"""Logs as a bad day makes them: for hypothesis in the tests, and by the thousand."""

import numpy as np
from hypothesis import strategies as st

FORMS = (
    "{v}\n",
    "{t},{v}\r\n",
    "t={t} read={v}\r\n",
    "T1: {v} C\n",
    "{t}\t{v}\n",
    "It is {v} °C now\n",
    "{t}.000\t{v}\r\n",
    "2026-11-25 10:00:00 {v}\n",
)
PIECES = (b"\n", b"\r", b"\r\n", b"\x00", b"\xff", b"\xc2", b"25.1", b"-3", b"1.2.3", b"1e5", b"nan", b"T=", b",", b";")
PIECES += (
    b"\t",
    b" ",
    b".",
    b"-",
    b"+",
    b"# gap",
    b"#",
    b"t=",
    b" C",
    b"\xc2\xb0C",
    b"12:00:00",
    b"2026-11-25T10:00:00Z",
)
PIECES += (b"0.100\t", b"e", b"T1=", b"boot", b"1e999", b"\x1b", b"7" * 20, b"x" * 5000)

anything = st.one_of(st.binary(max_size=400), st.lists(st.sampled_from(PIECES), max_size=60).map(b"".join))


@st.composite
def logs(draw):
    """A log of one form with bytes lost, changed, put in, cut off, or lines doubled."""
    seed = draw(st.integers(0, 2**32 - 1))
    return damaged(np.random.default_rng(seed))


def damaged(rng):
    """One damaged log, drawn with `rng`."""
    form, count = FORMS[rng.integers(len(FORMS))], int(rng.integers(1, 80))
    digits = int(rng.integers(0, 4))
    values = rng.normal(25, 20, count)
    data = bytearray("".join(form.format(t=t, v=f"{v:.{digits}f}") for t, v in enumerate(values)).encode())
    for _ in range(int(rng.integers(0, 12))):
        at = int(rng.integers(0, len(data) + 1))
        action = rng.integers(4)
        if action == 0:
            del data[at : at + int(rng.integers(1, 20))]
        elif action == 1:
            data[at:at] = PIECES[rng.integers(len(PIECES))]
        elif action == 2:
            data[at : at + 3] = rng.integers(0, 256, 3, dtype=np.uint8).tobytes()
        else:
            data[at:at] = data[max(0, at - 30) : at]
    return bytes(data)


def run(read, check, count, seed=1):
    """Read so many damaged logs, and as much plain noise, and check each; the number read."""
    rng = np.random.default_rng(seed)
    for nth in range(count):
        data = damaged(rng) if nth % 2 else rng.integers(0, 256, int(rng.integers(0, 400)), dtype=np.uint8).tobytes()
        check(data, read(data))
    return count
