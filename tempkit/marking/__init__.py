"""From what a class hands in to marks, remarks, and what to teach again."""

from tempkit import front_door

__all__, __getattr__, __dir__ = front_door(
    __name__,
    {
        "desk": "mark_folder",
        "desk_box": "completion MarkingDesk odd teach_again wrong_ways",
        "forgetting": "delete found_of",
        "invented": "invent",
        "on_paper": "write_handouts",
    },
)
