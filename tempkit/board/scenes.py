"""What the air above the seedlings does, as functions of time: invented evenings for the pretend board."""

import numpy as np

from tempkit.ranges import floats

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
