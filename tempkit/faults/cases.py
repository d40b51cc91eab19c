"""A faulty bench as a changed bench: what a fault changes, what a meter then finds, and the log that comes of it.

Nothing here says what a fault looks like. The circuit, the simulated board and the simulated line say it.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache, partial

import numpy as np

from tempkit.board import Misbehaviour, lines, simulate
from tempkit.chain import Design, Link
from tempkit.faults.mismatch import heard
from tempkit.faults.wiring import Wiring, voltages
from tempkit.ranges import keep
from tempkit.uncertainty import chain_budget

MAINS_HZ = (50.0, 60.0)
EDGE_C = 1e-9  # so far inside the sensor's range temperatures are kept
ROOM_LIMITS_C, HAND_LIMITS_C = 1.0, 1.5  # limits, +-, of the room thermometer and of a hand; common practice, no source
CALM = "Low voltage, no danger; even so, power off before a wire is moved."


@dataclass(frozen=True)
class HandTest:
    """The test that every log here comes from: the sensor at rest, held between two fingers, and let go again.

    room_c, hand_c : true temperature of room and fingers [degC]; rest_s, hold_s : rest before and after, and the
    hold [s]. Raises `ValueError` unless the fingers are at least 5 degC warmer than the room: nothing would move.

    >>> HandTest(21.0).seconds
    180.0
    """

    room_c: float = 21.0
    hand_c: float = 33.0
    rest_s: float = 60.0
    hold_s: float = 60.0

    def __post_init__(self):
        keep(self.hand_c, self.room_c + 5, np.inf, name="hand_c", unit="degC", advice="a cooler room, a warmer hand")
        for name in ("rest_s", "hold_s"):
            keep(getattr(self, name), 10, 3600, name=name, unit="s", advice="half a minute or more tells more")

    @property
    def seconds(self):
        """How long it takes [s]."""
        return 2 * self.rest_s + self.hold_s

    def air_c(self, t_s, off_c=0.0, hand_off_c=0.0):
        """Temperature round the sensor at times [s], shifted by so much [degC]."""
        held = (t_s >= self.rest_s) & (t_s < self.rest_s + self.hold_s)
        return np.where(held, self.hand_c + hand_off_c, self.room_c) + off_c


@dataclass(frozen=True)
class Draw:
    """A bench of its own, from a random generator, or the typical one (`rng` None): middles and first choices."""

    rng: np.random.Generator | None = None

    def between(self, low, high):
        return 0.5 * (low + high) if self.rng is None else float(self.rng.uniform(low, high))

    def normal(self, sigma):
        return 0.0 if self.rng is None else float(sigma * self.rng.standard_normal())

    def choice(self, options):
        return options[0] if self.rng is None else options[int(self.rng.integers(len(options)))]


@dataclass(frozen=True)
class Case:
    """One bench with one fault: the design as it truly is, its wires, its program, and the speed that is listened at.

    `off_c` is how far the sensor is off, `hand_off_c` the fingers [degC]; `seed` makes noise and wander.
    """

    key: str
    design: Design
    wires: Wiring
    program: Misbehaviour
    heard_baud: float
    off_c: float = 0.0
    hand_off_c: float = 0.0
    seed: int = 0


@dataclass(frozen=True)
class Fault:
    """A fault: `key`, `name`, what to mind (`safety`), and what it changes.

    `wires(design, draw)` gives changed fields of `Wiring`, `program(design, draw)` of `Misbehaviour`,
    `design(design, draw)` another design, `heard(design, draw)` the speed of the listener. `needs(design)` is True
    where a bench can have it. `look` says in a sentence what to look at, with no meter.
    """

    key: str
    name: str
    safety: str = CALM
    look: str = ""
    wires: Callable | None = None
    program: Callable | None = None
    design: Callable | None = None
    heard: Callable | None = None
    needs: Callable = field(default=lambda design: True)

    def case(self, design, rng=None):
        """A `Case` of this fault: its typical one, or one drawn by `rng` with all that may vary from bench to bench.

        Drawn: the true reference within its tolerance, the sensor within the other rows of its budget, the room
        thermometer, the fingers, and how bad the fault is. Faults drawn by like generators sit on like benches.
        """
        draw = Draw(rng)
        true, off_c = _drawn_design(design, draw)
        hand_off_c = draw.between(-HAND_LIMITS_C, HAND_LIMITS_C)
        seed = 0 if rng is None else int(rng.integers(2**31))
        draw = Draw(None if rng is None else np.random.default_rng([seed, 2]))
        wires = Wiring(**_usual(design), **(self.wires(design, draw) if self.wires else {}))
        changed = self.design(true, draw) if self.design else true
        program = Misbehaviour(**(self.program(design, draw) if self.program else {}))
        baud = self.heard(design, draw) if self.heard else link(design).baud
        return Case(self.key, changed, wires, program, baud, off_c, hand_off_c, seed)


def _usual(design):
    return {} if design.outputs is None else {"lamp_a": design.outputs.lamp_current_a}


def link(design):
    """The serial line of a design, or the usual one.

    >>> from tempkit.chain import scenario
    >>> link(Design("bench", scenario())).baud
    9600
    """
    return design.link or Link()


def _drawn_design(design, draw):
    """The design with a true reference, and the sensor's own error [degC]."""
    reference = design.chain.reference
    true_v = reference.actual_v
    if reference.true_v is None:
        true_v *= 1 + draw.between(-reference.tolerance, reference.tolerance)
    off_c = draw.normal(_sensor_u_c(design)) + draw.between(-ROOM_LIMITS_C, ROOM_LIMITS_C)
    return replace(design, chain=design.chain.with_true_reference(true_v)), off_c


@lru_cache(maxsize=32)
def _sensor_u_c(design):
    """Standard uncertainty [degC] of what is the sensor's and the converter's own; steps and noise are simulated."""
    skipped = ("reference voltage", "quantisation", "noise at the pin")
    rows = chain_budget(design, sum(design.chain.span_c()) / 2).rows
    return float(np.sqrt(sum(row.standard_c**2 for row in rows if row.name not in skipped)))


# What comes of a case


def points(case, t_c, lamp=False, buzzer=False):
    """What a meter finds at every point of a case: `tempkit.faults.Points`, the sensor being at `t_c` [degC].

    >>> from tempkit.chain import scenario
    >>> bench = Design("bench", scenario())
    >>> cut = Fault("cut", "supply lead cut", wires=lambda design, draw: {"sensor": "no supply"})
    >>> points(cut.case(bench), 21.0).sensor_output_v
    0.0
    """
    return voltages(case.design.chain, t_c + case.off_c, case.wires, lamp, buzzer)


def record(case, test=None):
    """The `Simulation` of a case during a `HandTest`, before its lines go over the wire."""
    test = test or HandTest()
    low, high = (end + inward for end, inward in zip(case.design.chain.sensor.range_c, (EDGE_C, -EDGE_C), strict=True))
    room_c = float(np.clip(test.room_c, low, high))
    quiet, loud = (voltages(case.design.chain, room_c, case.wires, buzzer=on) for on in (False, True))
    supplied = case.design.chain.reference.kind == "supply"
    program = replace(
        case.program,
        pin_v=_pin(case, quiet),
        sag_v=quiet.reference_v - loud.reference_v,
        lift_v=max(loud.pin_v - quiet.pin_v, 0.0),
        reference_noise_v=case.wires.supply_noise_v if supplied else 0.0,
    )
    design = replace(case.design, chain=case.design.chain.with_true_reference(quiet.reference_v))

    def air_c(t_s):
        return np.clip(test.air_c(t_s, case.off_c, case.hand_off_c), low, high)

    return simulate(design, air_c, test.seconds, case.seed, program)


def _pin(case, quiet):
    """What stands at the pin: nothing of ours where the sensor is there, else a voltage, with hum where it floats."""
    wires, rng = case.wires, np.random.default_rng([case.seed, 1])
    if wires.sensor == "right":
        return partial(_with_hum, wires.pickup_v, rng) if wires.pickup_v else None
    if wires.sensor == "no signal":
        return partial(_floating, wires.pickup_v, quiet.reference_v, rng)
    return partial(_with_hum, wires.pickup_v, rng, level_v=quiet.pin_v)


def _with_hum(pickup_v, rng, t_s, signal_v, level_v=None):
    hum = pickup_v * np.sin(2 * np.pi * (rng.choice(MAINS_HZ) * t_s + rng.random()))
    return (signal_v if level_v is None else level_v) + hum


def _floating(pickup_v, reference_v, rng, t_s, signal_v):
    """An open pin: hum on a level that wanders, as charge leaks to it and from it; its size is invented."""
    pace = np.median(np.diff(t_s)) / rng.uniform(5, 40) if t_s.size > 1 else 0.0
    wander, levels = rng.standard_normal(t_s.size), np.empty(t_s.size)
    level = rng.standard_normal()
    for place, step in enumerate(wander):
        level += -pace * level + np.sqrt(2 * pace) * step
        levels[place] = level
    level_v = reference_v * (rng.uniform(0.15, 0.6) + 0.06 * levels)
    return np.clip(_with_hum(pickup_v, rng, t_s, signal_v, level_v), 0.0, reference_v)


def heard_lines(case, test=None, most=None):
    r"""The lines of a case as the listener gets them, bytes with their ends; `most` lines at most.

    >>> from tempkit.chain import scenario
    >>> bench = Design("bench", scenario())
    >>> heard_lines(Fault("right", "nothing").case(bench), most=1)
    [b't=0.0 code=157 read=21.1\r\n']
    """
    made = record(case, test)
    sent, own = lines(made, 0, most), link(case.design)
    if case.heard_baud == own.baud:
        return sent
    return [heard(line, own.baud, case.heard_baud, own.frame) for line in sent]
