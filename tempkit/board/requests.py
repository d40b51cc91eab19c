"""What a pretend board can be asked for, in the words of the command line: invented scenes, styles of line, faults."""

import math
import re
from dataclasses import dataclass

import numpy as np

from tempkit.ranges import floats

SCENE_NAMES = ("evening", "lively", "morning", "steady")  # in tempkit.board.requests
STYLES = ("fields", "comma", "csv", "number")  # in tempkit.board.stream
# kind: (how long it lasts if that is not said [s], the value if that is not said, unit of the value, what it is)
KINDS = {
    "unplug": (5.0, None, "", "the cable is out"),
    "garbage": (2.0, None, "", "about a third of the bytes arrive changed"),
    "reset": (0.0, None, "", "the board starts again, in the middle of a line"),
    "point": (0.0, None, "", "one line loses its last decimal point on the way"),
    "stuck": (math.inf, 0, "LSB", "the converter gives one code only"),
    "reference": (math.inf, 4.75, "V", "the true reference is this one"),
    "drift": (math.inf, 1.0, "degC/h", "the sensor's output runs away at this rate"),
}
FORM = re.compile(r"([a-z]+)(?:=(-?\d+(?:\.\d+)?))?(?:@(\d+(?:\.\d+)?))?(?:\+(\d+(?:\.\d+)?))?")


@dataclass(frozen=True)
class Fault:
    """A fault of the pretend board: its kind, from when and for how long [s], and a value in the unit of its kind."""

    kind: str
    start_s: float
    length_s: float
    value: float | None

    @property
    def end_s(self):
        """When it is over [s]."""
        return self.start_s + self.length_s


def fault(text):
    """A fault from text: KIND[=VALUE][@START][+LENGTH], times in seconds since the board's start.

    Raises `ValueError` that lists the kinds, for anything else.

    >>> fault("reference=4.6@60")
    Fault(kind='reference', start_s=60.0, length_s=inf, value=4.6)
    >>> fault("unplug@30+5").end_s
    35.0
    """
    found = FORM.fullmatch(text.strip())
    if found is None or found[1] not in KINDS:
        raise ValueError(
            f"fault {text!r} is not KIND[=VALUE][@START][+LENGTH] with times in seconds, such as unplug@30+5; "
            f"the kinds are {', '.join(KINDS)}"
        )
    length_s, value, unit, _ = KINDS[found[1]]
    if found[2] is not None and not unit:
        raise ValueError(f"fault {text!r}: {found[1]} takes no value; write {found[1]}@START+LENGTH")
    value = value if found[2] is None else float(found[2])
    return Fault(found[1], float(found[3] or 0), length_s if found[4] is None else float(found[4]), value)


def explained():
    """The kinds of fault, one line each, for the help of the command line.

    >>> explained().splitlines()[0]
    'unplug: the cable is out'
    """
    return "\n".join(f"{kind}{f'=VALUE [{row[2]}]' if row[2] else ''}: {row[3]}" for kind, row in KINDS.items())


# Evenings above the seedlings, invented: air temperature as a function of time

DOOR_S, DOOR_SHUT_S = 3600.0, 6300.0


def evening(t_s):
    """A quiet evening [degC] at times [s]: the door opens after an hour, at once and for 45 minutes.

    23.2 degC, swaying by 0.15 degC each half hour; 18.6 degC while the door stands open; then back within minutes.

    >>> evening(np.array([0.0, 4000.0])).round(1)
    array([23.2, 18.7])
    """
    t_s = floats(t_s, "t_s")
    shut = 1 - np.exp(-np.maximum(t_s - DOOR_SHUT_S, 0.0) / 200.0)
    closed = np.where(t_s < DOOR_S, 1.0, np.where(t_s < DOOR_SHUT_S, 0.0, shut))
    return 18.6 + 4.6 * closed + 0.15 * np.sin(2 * np.pi * t_s / 1800.0)


def steady(t_s):
    """A room that keeps to 21.0 degC [degC], whatever the time [s].

    >>> steady(np.array([0.0, 60.0]))
    array([21., 21.])
    """
    return np.full(np.shape(t_s), 21.0)


def morning(t_s):
    """A sunny morning [degC] at times [s]: from 17 degC up to 28 degC within three hours, and down again.

    >>> morning(np.array([0.0, 10800.0]))
    array([17., 28.])
    """
    t_s = floats(t_s, "t_s")
    return 22.5 - 5.5 * np.cos(2 * np.pi * t_s / 21_600.0)


def lively(t_s):
    """Air that moves enough to watch [degC]: a door opens for a minute in every five, as seen at times [s].

    >>> lively(np.array([0.0, 250.0]))
    array([23., 17.])
    """
    phase_s = np.mod(floats(t_s, "t_s"), 300.0)
    return np.where((phase_s >= 220.0) & (phase_s < 280.0), 17.0, 23.0)


SCENES = {"evening": evening, "steady": steady, "morning": morning, "lively": lively}
