"""A board as data, a live link to a real one, a recorder, a pretend board, and code for a board."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "integers": "decimals fits nearest tenths towards_zero wrapped",
        "live": "Link Received",
        "loop": "loop_numbers program Program",
        "model": "air_at lines loop_period_s Misbehaviour readings simulate Simulation",
        "ports": "opened",
        "pretend": "Partner",
        "record_file": "remark row Splitter",
        "requests": "Fault",
        "stream": "Board",
        "whole_numbers": "BoardNumbers numbers",
        "write_code": "write",
    },
)
