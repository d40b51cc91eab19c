"""Delays and latching of a whole record at once: rows of true and false, then only the places where something acts."""

import numpy as np

BLOCK = 65_536  # samples at a time: the rows of one block stay in the cache
UP, DOWN, BACK_UP, BACK_DOWN = 1, 2, 4, 8


def held(mask, delay):
    """True where `mask` has been true for `delay` samples in a row, this one counted.

    Each pass doubles the length of row that has been looked at.

    >>> held(np.array([True, False, True, True, True]), 2)
    array([False, False, False,  True,  True])
    """
    done, width = mask, 1
    while width < delay:
        step = min(width, int(delay) - width)
        longer = np.zeros(done.shape, bool)
        np.logical_and(done[step:], done[: max(0, done.size - step)], out=longer[step:])
        done, width = longer, width + step
    return done


def begins(row):
    """True where a row of true and false becomes true; at its first place where it is true there.

    >>> begins(np.array([True, True, False, True]))
    array([ True, False, False,  True])
    """
    out = row.copy()
    np.greater(row[1:], row[:-1], out=out[1:])
    return out


def acts(rows, count, reach):
    """Indices of all samples where something begins to hold, and what: a sum of UP, DOWN, BACK_UP and BACK_DOWN.

    `rows(start, stop)` gives a dict from these four to a row, true where the condition has lasted long enough, as if
    the record began at `start`; a row may be left out. `reach` is the longest delay: a block looks back that far.

    >>> acts(lambda start, stop: {UP: np.array([False, True, True, False])[start:stop]}, 4, 1)
    (array([1]), array([1], dtype=uint8))
    """
    size, found = max(BLOCK, 4 * reach), [(np.empty(0, np.intp), np.empty(0, np.uint8))]
    for start in range(0, count, size):
        first = max(0, start - reach)
        here = {bit: begins(row)[start - first :] for bit, row in rows(first, min(start + size, count)).items()}
        if here:
            at = np.flatnonzero(np.logical_or.reduce(list(here.values())))
            found.append((at + start, _sum_of(here, at)))
    ats, acted = zip(*found, strict=True)
    return np.concatenate(ats), np.concatenate(acted)


def _sum_of(here, at):
    acted = np.zeros(at.size, np.uint8)
    for bit, row in here.items():
        acted += row[at].view(np.uint8) * np.uint8(bit)
    return acted


def changes(at, acted):
    """Where a state changes and what it becomes: indices, and +1, 0 or -1; it is 0 at first. From `acts`.

    UP makes the state +1 and DOWN makes it -1, whatever it was; BACK_UP makes +1 to 0 and BACK_DOWN makes -1 to 0.
    UP never falls together with DOWN or BACK_UP, nor DOWN with BACK_DOWN. So the state is +1 exactly where the last
    one of UP, DOWN and BACK_UP was an UP, and -1 where the last one of UP, DOWN and BACK_DOWN was a DOWN.

    >>> changes(np.array([0, 1, 3, 4]), np.array([4, 1, 4, 2], np.uint8))
    (array([1, 3, 4]), array([ 1,  0, -1], dtype=int8))
    """
    state = _last_is(acted, UP, UP | DOWN | BACK_UP) - _last_is(acted, DOWN, UP | DOWN | BACK_DOWN)
    new = state != np.concatenate([np.zeros(1, np.int8), state[:-1]])[: state.size]
    return at[new], state[new]


def _last_is(acted, wanted, among):
    """For each act 1 where the last one `among` these was the `wanted` one, else 0."""
    last = np.maximum.accumulate(np.where(acted & among, np.arange(acted.size, dtype=np.int32), 0))
    return ((acted[last] & wanted) > 0).astype(np.int8)


def filled(at, values, count):
    """The state at each of `count` samples, from where it changes.

    >>> filled(np.array([1, 3]), np.array([1, 0], np.int8), 5)
    array([0, 1, 1, 0, 0], dtype=int8)
    """
    if not at.size:
        return np.zeros(count, np.int8)
    lengths = np.diff(np.concatenate([[0], at, [count]]).astype(np.intp))
    return np.repeat(np.concatenate([np.zeros(1, np.int8), values.astype(np.int8)]), lengths)


def stays(at, values, count):
    """Starts, ends and values of all stays away from 0; one that lasts to the end of the record ends at `count`.

    >>> stays(np.array([1, 3, 4]), np.array([1, 0, -1], np.int8), 6)
    (array([1, 4]), array([3, 6]), array([ 1, -1], dtype=int8))
    """
    away = values != 0
    return at[away], np.append(at[1:], count)[: at.size][away], values[away]
