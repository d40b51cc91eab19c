"""From an analog temperature sensor to an alarm that can be trusted: one room for each step of the chain.

ROOMS names the rooms from the top down: a room imports only what stands below it, and the files below them all
(scales, constants, ranges, text, book).
"""

import sys
from importlib import import_module

__version__ = "1.0.0"

ROOMS = """
    explorers problems marking exercises classroom faults board draw
    choose logs alarm uncertainty signal chain
""".split()
WITHOUT_PICTURES = ROOMS[ROOMS.index("choose") :]


def front_door(room, offers):
    """`__all__`, `__getattr__` and `__dir__` of a room, from its files and the public names in each.

    A name is loaded when it is first asked for, so that a room's import loads nothing. A file without names is
    public itself.

    >>> from tempkit import chain
    >>> "LinearSensor" in dir(chain)
    True
    """
    where = {name: file for file, names in offers.items() for name in names.split() or (file,)}

    def look_up(name):
        if name not in where:
            raise AttributeError(f"module {room!r} has no public name {name!r}")
        file = import_module(f"{room}.{where[name]}")
        value = getattr(file, name) if offers[where[name]] else file
        setattr(sys.modules[room], name, value)
        return value

    return list(where), look_up, lambda: sorted(where)
