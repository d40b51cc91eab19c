"""A serial log as arrays, every line accounted for, and what the record says."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "beside_model": "compare readings_c FEWEST",
        "fit": "drift lag offset step",
        "log": "read",
    },
)
