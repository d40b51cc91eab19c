"""Many lines of a log at once: numpy finds the lines that are exactly of a known form, and their numbers."""

from dataclasses import dataclass

import numpy as np

from tempkit.logs.lines import GLUE, LONGEST

GLUED = np.array([byte in GLUE for byte in range(256)])
MOST_DIGITS = 15  # of a whole number that a double, and so its quotient by a power of ten, holds exactly
NEWLINE, SPACE, LETTER_T = 10, 32, 0x54


@dataclass(frozen=True, eq=False)
class Shape:
    """A form of line as bytes: `others`, all that is neither number nor blank, the line's end included; for each
    number (in order) `ranks`, how many of these stand before it, `glued`, whether it hangs on a name, and `literal`,
    its bytes where it is part of a name, else None."""

    others: np.ndarray
    ranks: np.ndarray
    glued: np.ndarray
    literal: tuple


@dataclass(frozen=True, eq=False)
class Block:
    """Bytes of whole lines, taken apart: where numbers start and end, all other bytes, and the ends of the lines."""

    raw: np.ndarray
    starts: np.ndarray
    ends: np.ndarray
    others: np.ndarray
    bytes_there: np.ndarray
    line_at: np.ndarray
    line_ends: np.ndarray


def take_apart(data, decimal="."):
    """Bytes of lines, each ending in a line feed -> `Block`. The rules are those of `lines.TOKEN`.

    >>> block = take_apart(b"T=25.1\\nT=-3\\n")
    >>> block.starts.tolist(), block.ends.tolist(), block.bytes_there.tobytes()
    ([2, 9], [6, 11], b'T=\\nT=\\n')
    """
    raw = np.frombuffer(data, np.uint8)
    digit = (raw - np.uint8(48)) < 10
    after, before = _shifted(digit)
    point = (raw == ord(decimal)) & after
    if decimal == ",":
        point &= before
    sign_byte = (raw == 43) | (raw == 45)
    leads = after | _shifted(point)[0] if decimal == "." else after
    sign = sign_byte & ~before & leads
    power = ((raw | 32) == 101) & before
    if power.any():
        power &= after | _shifted(sign_byte & after)[0]
        sign |= sign_byte & _shifted(power)[1] & after
    part = digit | point | sign | power
    following, previous = _shifted(part)
    others = np.flatnonzero(~part & (raw != SPACE))
    there = raw[others]
    at = np.flatnonzero(there == NEWLINE)
    starts, ends = np.flatnonzero(part & ~previous), np.flatnonzero(part & ~following) + 1
    return Block(raw, starts, ends, others, there, at, others[at])


def _shifted(mask):
    """A mask of the next byte and one of the byte before."""
    after, before = np.zeros_like(mask), np.zeros_like(mask)
    after[:-1], before[1:] = mask[1:], mask[:-1]
    return after, before


def shape(line, decimal="."):
    """The `Shape` of a line (bytes without its end); a nan in words is none of its numbers.

    >>> made = shape(b"T1=25.1 C")
    >>> made.others.tobytes(), made.ranks.tolist(), made.glued.tolist(), made.literal
    (b'T=C\\n', [1, 2], [True, False], (b'1', None))
    """
    block = take_apart(line + b"\n", decimal)
    glued = _glued(block.raw, block.starts)
    literal = tuple(
        line[start:end] if hangs else None for start, end, hangs in zip(block.starts, block.ends, glued, strict=True)
    )
    return Shape(block.bytes_there, np.searchsorted(block.others, block.starts), glued, literal)


def _glued(raw, starts):
    """Whether numbers hang on a letter; the T between a date and a time of day does not count."""
    one, two = np.maximum(starts - 1, 0), np.maximum(starts - 2, 0)
    letter = raw[one]
    stamp = (letter == LETTER_T) & ((raw[two] - np.uint8(48)) < 10) & (starts > 1)
    return GLUED[letter] & (starts > 0) & ~stamp


def matching(block, shape):
    """Lines of a block that have a shape: their numbers in the block, and first and last byte of each number.

    Returns `lines` (m,), `starts` and `ends` (m, numbers). Everything that would make `lines.skeleton` differ
    is compared.
    """
    size, count = shape.others.size, shape.ranks.size
    lines = np.arange(block.line_at.size)
    first_other, first_token = _evenly(block, size, count)
    if first_other is None:
        first_other = block.line_at - (size - 1)
        tokens_to = np.searchsorted(block.starts, block.line_ends)
        others_in = np.diff(block.line_at, prepend=-1)
        tokens_in = np.diff(tokens_to, prepend=0)
        lines = np.flatnonzero((others_in == size) & (tokens_in == count))
        first_other, first_token = first_other[lines], tokens_to[lines] - count
    lines, first_other, first_token = _same_others(block, shape, lines, first_other, first_token)
    if not lines.size:
        none = np.empty((0, count), np.intp)
        return lines, none, none
    at = first_token[:, None] + np.arange(count)
    starts, ends = block.starts[at], block.ends[at]
    good = _places_hold(block, shape, lines, first_other, starts, ends)
    return (lines, starts, ends) if good is None else (lines[good], starts[good], ends[good])


def _evenly(block, size, count):
    """First other byte and first number of each line where all lines have as many as the shape, else None."""
    total = block.line_at.size
    if block.others.size != total * size or block.starts.size != total * count or not total:
        return None, None
    first_other, first_token = np.arange(0, total * size, size), np.arange(0, total * count, count)
    if not np.array_equal(block.line_at, first_other + size - 1):
        return None, None
    inside = block.starts[count - 1 :: count] < block.line_ends
    behind = block.starts[::count][1:] > block.line_ends[:-1]
    return (first_other, first_token) if inside.all() and behind.all() else (None, None)


def _same_others(block, shape, lines, first_other, first_token):
    if lines.size * shape.others.size == block.others.size:
        same = block.bytes_there.reshape(lines.size, -1) == shape.others
    else:
        same = block.bytes_there[first_other[:, None] + np.arange(shape.others.size)] == shape.others
    if same.all():
        return lines, first_other, first_token
    same = same.all(axis=1)
    return lines[same], first_other[same], first_token[same]


def _places_hold(block, shape, lines, first_other, starts, ends):
    """Which lines have each number in its place, glued or not as in the shape; None for all of them."""
    good = None
    ends_of_lines = block.line_ends[lines]
    lengths = ends_of_lines - np.where(lines > 0, block.line_ends[lines - 1] + 1, 0)
    tests = [lengths <= LONGEST] if lengths.max() > LONGEST else []
    if shape.others.size > 1:
        for nth, rank in enumerate(shape.ranks):
            tests.append(starts[:, nth] < block.others[first_other + rank])
            if rank:
                tests.append(starts[:, nth] > block.others[first_other + rank - 1])
    for nth in np.flatnonzero((shape.others[1:] & 0xC0 == 0x80) & (shape.others[:-1] >= 0x80)):  # one UTF-8 sign
        tests.append(block.others[first_other + nth + 1] == block.others[first_other + nth] + 1)
    if GLUED[shape.others].any():
        tests += [_glued(block.raw, starts[:, nth]) == glued for nth, glued in enumerate(shape.glued)]
        tests += [
            _spells(block.raw, starts[:, nth], ends[:, nth], literal)
            for nth, literal in enumerate(shape.literal)
            if literal is not None
        ]
    for test in tests:
        if not test.all():
            good = test if good is None else good & test
    return good


def _spells(raw, starts, ends, literal):
    size = len(literal)
    right = ends - starts == size
    at = np.minimum(starts[:, None] + np.arange(size), raw.size - 1)
    return right & (raw[at] == np.frombuffer(literal, np.uint8)).all(axis=1)


def numbers(raw, starts, ends, behind, decimal="."):
    """Numbers between `starts` and `ends` of bytes, with `behind` decimals -> floats, and where that holds.

    False where a number has other decimals, a power of ten, more than 15 digits, or is none; its value is 0 there.
    A whole number of up to 15 digits divided by a power of ten up to 10**22 is the nearest double, as `float` gives.

    >>> raw = np.frombuffer(b"25.13 -3.10 7", np.uint8)
    >>> numbers(raw, np.array([0, 6, 12]), np.array([5, 11, 13]), 2)
    (array([25.13, -3.1 ,  0.  ]), array([ True,  True, False]))
    """
    values, good = _wholes(raw, starts, ends, behind, decimal)
    return values / 10.0**behind if behind else values, good


def powers(raw, starts, ends, decimal="."):
    """The same for numbers with a power of ten behind an e, with any decimals.

    Exact as far as the digits are 15 at most and the power, less the decimals, is within 22; False elsewhere.

    >>> powers(np.frombuffer(b"2.51e+01 -1E-3", np.uint8), np.array([0, 9]), np.array([8, 14]))
    (array([ 2.51e+01, -1.00e-03]), array([ True,  True]))
    """
    values, good = np.zeros(starts.size), np.zeros(starts.size, dtype=bool)
    e_at = _first(raw, starts, ends, ord("e"), 32)
    point = _first(raw, starts, e_at, ord(decimal))
    behind = np.where(point < e_at, e_at - point - 1, 0)
    has = e_at < ends
    for digits in np.flatnonzero(np.bincount(behind[has])).tolist() if has.any() else ():
        here = np.flatnonzero(has & (behind == digits))
        whole, fits = _wholes(raw, starts[here], e_at[here], digits, decimal)
        power, whole_power = _wholes(raw, e_at[here] + 1, ends[here], 0, decimal)
        shift = power - digits
        exact = fits & whole_power & (np.abs(shift) <= 22)
        scale = 10.0 ** np.where(exact, np.abs(shift), 0.0)
        values[here] = np.where(exact, np.where(shift < 0, whole / scale, whole * scale), 0.0)
        good[here] = exact
    return values, good


def _first(raw, starts, ends, wanted, bits=0):
    """Where a byte (with `bits` set) first stands in each number; its end where it does not."""
    sizes, at = ends - starts, ends.copy()
    for size in np.flatnonzero(np.bincount(sizes)):
        if size:
            here = slice(None) if (sizes == size).all() else np.flatnonzero(sizes == size)
            found = np.lib.stride_tricks.sliding_window_view(raw, size)[starts[here]] | np.uint8(bits) == wanted
            place = found.argmax(axis=1)
            at[here] = np.where(found[np.arange(place.size), place], starts[here] + place, ends[here])
    return at


def exactly(raw, starts, ends, decimal="."):
    """Any numbers, each as Python's `float` reads it, all at once; raises `ValueError` where one is none.

    >>> exactly(np.frombuffer(b"2.5100000000000000001 7", np.uint8), np.array([0, 22]), np.array([21, 23]))
    array([2.51, 7.  ])
    """
    size = int((ends - starts).max())
    padded = np.append(raw, np.zeros(size, np.uint8))
    words = np.lib.stride_tricks.sliding_window_view(padded, size)[starts]
    words[np.arange(size) >= (ends - starts)[:, None]] = 0
    if decimal == ",":
        words[words == ord(",")] = ord(".")
    return words.view(f"S{size}").ravel().astype(float)


def _wholes(raw, starts, ends, behind, decimal):
    """Numbers with so many decimals as whole numbers, the decimal sign left out, and where that holds."""
    sizes = ends - starts
    values, good = np.zeros(starts.size), np.zeros(starts.size, dtype=bool)
    for size in np.flatnonzero(np.bincount(sizes)):
        if size > MOST_DIGITS + 2 or size < behind + (behind > 0) or not size:
            continue
        here = slice(None) if (sizes == size).all() else np.flatnonzero(sizes == size)
        values[here], good[here] = _of_one_size(raw, starts[here], int(size), behind, decimal)
    return values, good


def _of_one_size(raw, starts, size, behind, decimal):
    windows = np.lib.stride_tricks.sliding_window_view(raw, size)[starts]
    digits = windows - np.uint8(48)
    bad = None
    if behind:
        bad = windows[:, size - 1 - behind] != ord(decimal)
        digits[:, size - 1 - behind] = 0
    first = windows[:, 0]
    signed = digits[:, 0] > 9
    minus = (first == 45) if signed.any() else None
    if minus is not None:
        digits[signed & (minus | (first == 43)), 0] = 0
    weights = _weights(size, behind)
    values = digits.astype(float) @ weights
    if minus is not None:
        np.negative(values, where=minus, out=values)
    wrong = (digits > 9).any(axis=1) if (digits > 9).any() else np.zeros(starts.size, dtype=bool)
    if bad is not None:
        wrong |= bad
    count = size - (behind > 0) - (signed if minus is not None else 0)
    wrong |= (count > MOST_DIGITS) | (count < 1)
    values[wrong] = 0.0
    return values, ~wrong


def _weights(size, behind):
    """What each byte of a number is worth as a digit of its whole number; the decimal sign nothing."""
    powers = [10.0 ** (size - 1 - place) for place in range(size)]
    if behind:
        powers = [p / 10 for p in powers[: size - 1 - behind]] + [0.0] + powers[size - behind :]
    return np.array(powers)
