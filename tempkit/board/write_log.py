"""A log of a pretend board without the waiting: what the recorder would have written, in a second."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from tempkit.board.record_file import Splitter, after_half, remark, row

LATE_S = 0.01  # the recorder looks that often


def log(board, seconds, about=(), join_s=0.0):
    """The bytes of a record file, over so many seconds of a `tempkit.board.Board`.

    about : remarks for its head; join_s : how long the board has been running when the recorder begins [s], above 0 in
    the middle of a line. The host's times are those of the line ends, and up to 0.01 s more, seeded.

    >>> from tempkit.board.stream import Board
    >>> from tempkit.chain import Design, scenario
    >>> log(Board(Design("bench", scenario()), 25.0, seed=1), seconds=1.5, about=["invented"]).splitlines()
    [b'# invented', b'0.027\\tt=0.0 code=163 read=24.8', b'1.059\\tt=1.0 code=163 read=24.8', b'# end at 1.500 s']
    """
    rng, splitter = np.random.default_rng([board.seed, 3]), Splitter()
    rows, free_s, heard = [remark(text) for text in about], 0.0, not join_s
    for piece in board.pieces():
        begin_s = max(piece.at_s - join_s, free_s)
        if begin_s >= seconds:
            break
        if not heard:
            if piece.at_s < join_s:
                continue
            heard, piece = True, _end_of(piece, rng)
        if piece.data is None:
            why = f"the port went away{after_half(splitter.cut())}"
            rows.append(remark(f"gap at {begin_s:.3f} s: {why}"))
            back_s = begin_s + piece.pause_s
            rows.append(remark(f"open again at {back_s:.3f} s, {piece.pause_s:.3f} s later"))
            continue
        free_s = begin_s + board.line_s(piece.data)
        at_s = free_s + LATE_S * rng.random()
        rows += [row(at_s, each) for each in splitter.take(piece.data)]
    rows.append(remark(f"end at {seconds:.3f} s{after_half(splitter.cut())}"))
    return b"".join(rows)


def _end_of(piece, rng):
    """The end of a line into which the recorder came."""
    data = piece.data or b""
    return replace(piece, data=data[int(rng.integers(1, max(2, len(data) - 2))) :])


def write(path, data):
    """Write a log to a new file. Raises `ValueError` for one that exists, or that cannot be written."""
    path = Path(path)
    try:
        with path.open("xb") as file:
            file.write(data)
    except FileExistsError:
        raise ValueError(f"{path} exists and is left as it is: name another file") from None
    except OSError as error:
        raise ValueError(f"{path} cannot be written: {error.strerror}; name another file") from None
