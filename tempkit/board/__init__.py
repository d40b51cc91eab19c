"""A live link to a board, a recorder, and a pretend board for when there is no real one.

with Link("PORT", baud=9600, out="my-evening.log") as link:    # as `board ports` prints it, or socket://HOST:5000
    link.since(0)                                              # what has come so far
"""

from tempkit.board.live import Link

__all__ = ["Link"]
