"""Chapter 10: the trace of a running link, here a stored stretch of it; `watch()` shows a link that really runs."""

from dataclasses import replace
from itertools import takewhile

import numpy as np

from tempkit.board import Board, Fault, Received, Splitter
from tempkit.explorers.controls import NOISE, SECONDS, TEMPERATURE, Control, completed, noise_of
from tempkit.explorers.lag import SCALE_C
from tempkit.explorers.stage import Explorer, Plan
from tempkit.explorers.trace import PICTURE, facts, trace, words

SEED = 10
WARMER_C = 3.0  # the air before the door opened
DOOR, TROUBLE = 0.3, 0.6  # of the time shown
# kind of fault: how long it lasts, as a part of the time shown; None for the rest of it
LASTS = {"unplug": 0.15, "garbage": 0.1, "reset": 0.0, "point": 0.0, "stuck": None, "reference": None}
VALUES = {"stuck": 0, "reference": 4.75}
AIR = replace(TEMPERATURE, label="air at the end", low=10.0, high=40.0, start=21.0)
HAPPENS = Control(
    "happens",
    "what happens",
    start="unplug",
    options=(
        ("none", "nothing"),
        ("unplug", "cable out"),
        ("garbage", "wrong bytes"),
        ("reset", "board restarts"),
        ("point", "a point is lost"),
        ("stuck", "code sticks at 0"),
        ("reference", "supply at 4.75 V"),
    ),
)


def compute(design, t_c, happens, shown_s):
    """The `Trace` of the last `shown_s` seconds of a pretend board whose air fell to `t_c` [degC] when a door opened.

    Nothing waits here, and the same settings always give the same stretch.

    >>> from tempkit.explorers.stage import north_bench
    >>> seen = compute(north_bench(), 21.0, "unplug", 120)
    >>> seen.gap_count, len(seen.gaps), seen.last_c
    (1, 1, 21.3)
    """
    full = replace(completed(design), noise=noise_of(design))
    low, high = full.chain.sensor.range_c
    before, after = np.clip([t_c + WARMER_C, t_c], low, high)
    air = ([0.0, DOOR * shown_s, DOOR * shown_s + 0.1], [before, before, after])
    board = Board(full, air, SEED, _faults(happens, shown_s))
    received, gaps = _received(board, float(shown_s))
    lines = sum(each.data is not None for each in received)
    limits = (full.alarm.low_c, full.alarm.high_c)
    return trace(received, float(shown_s), float(shown_s), lines, gaps, "", "open", limits, SCALE_C)


def _faults(happens, shown_s):
    if happens == "none":
        return ()
    lasts = LASTS[happens]
    length_s = float("inf") if lasts is None else lasts * shown_s
    return (Fault(happens, TROUBLE * shown_s, length_s, VALUES.get(happens)),)


def _received(board, seconds):
    """What a link would have received in so many seconds, and how many gaps it would have marked."""
    splitter, received, gaps = Splitter(), [], 0
    for piece in takewhile(lambda piece: piece.at_s < seconds - 0.05, board.pieces()):
        if piece.data is None:
            splitter.cut()
            gaps += 1
            received.append(Received(len(received), piece.at_s, None))
            continue
        at_s = piece.at_s + board.line_s(piece.data)
        received += [Received(len(received), at_s, each) for each in splitter.take(piece.data)]
    return received, gaps


PLAN = Plan(
    title="The trace of a link",
    controls=(AIR, HAPPENS, SECONDS, NOISE),
    compute=compute,
    picture=PICTURE,
    words=words,
    facts=facts,
)


def explorer(design=None, **start):
    """The second explorer of chapter 10; `design` from a design file, `start` values of controls by name.

    >>> explorer(happens="none").result().gap_count
    0
    """
    return Explorer(PLAN, design, **start)
