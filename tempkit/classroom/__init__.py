"""A class on one server: the book brought to each student's folder, their own work untouched."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "handing_out": "hand_out start",
    },
)
