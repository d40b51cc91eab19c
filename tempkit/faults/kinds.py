"""The faults that a bench may have: wrong wires, a wrong program, a wrong listener, each as what it changes."""

from dataclasses import replace

from tempkit.board import loop_numbers
from tempkit.faults.cases import Fault, link
from tempkit.faults.wiring import source_v
from tempkit.signal import wire_ohms_per_m

BAUDS = (19200, 4800, 2400, 38400, 57600, 115200, 9600)
POWER_OFF = "Remove the power at once: it gets hot enough to burn. Let it cool before you touch it."


def _linear(design):
    return design.chain.sensor.straight


def _three_legs(design):
    """A sensor with supply, output and ground of its own, straight on the pin."""
    return design.chain.circuit.three_legs


def _has_buzzer(design):
    return design.alarm is not None and design.alarm.high_c is not None


def _another_supply(nominal_v):
    return 3.3 if nominal_v >= 4.0 else 5.0


def _on_another_supply(design, draw):
    """The converter refers to another voltage than the program was written for."""
    reference = design.chain.reference
    if reference.kind == "fixed":
        return replace(design, chain=design.chain.with_true_reference(source_v(design.chain)))
    off = draw.between(-reference.tolerance, reference.tolerance)
    true_v = _another_supply(reference.nominal_v) * (1 + off)
    return replace(design, chain=design.chain.with_true_reference(true_v))


def _assumed(design, draw):
    nominal_v = design.chain.reference.nominal_v
    others = [v for v in (_another_supply(nominal_v), 2.5, 4.1, 1.2) if abs(v / nominal_v - 1) > 0.15]
    return {"assumed_v": draw.choice(others)}


def _another_offset(design, draw):
    """The program takes off another voltage at 0 degC than the sensor has."""
    own_v = loop_numbers(design.chain).at_0c_v
    return {"at_0c_v": draw.choice([v for v in (0.0, 0.35, 0.45, 0.6, 0.75) if abs(v - own_v) > 0.05])}


def _other_baud(design, draw):
    return draw.choice([baud for baud in BAUDS if baud != link(design).baud])


def _leads(design, draw):
    each_ohm = draw.between(15.0, 40.0) * wire_ohms_per_m(draw.choice((30, 28)))
    return {"lead_ohm": each_ohm, "shared_ground": True, "pickup_v": draw.between(0.0, 0.02)}


FAULTS = (
    Fault("healthy", "nothing is wrong", look="Nothing to look for: keep this log beside the next one."),
    Fault(
        "turned", "sensor turned round", POWER_OFF,
        "Power off, wait until it is cool, then hold the sensor beside the drawing: which leg is supply?",
        wires=lambda design, draw: {"sensor": "turned", "output_part": draw.between(0.4, 0.95)},
        needs=_three_legs,
    ),
    Fault(
        "no signal", "signal lead open",
        look="Power off, then pull gently at each end of the signal lead.",
        wires=lambda design, draw: {"sensor": "no signal", "pickup_v": draw.between(0.1, 1.0)},
    ),
    Fault(
        "no ground", "ground lead open",
        look="Power off, then follow the ground lead from the sensor to the board.",
        wires=lambda design, draw: {
            "sensor": "no ground", "output_part": draw.between(0.8, 1.0), "pickup_v": draw.between(0.0, 0.03),
        },
        needs=_three_legs,
    ),
    Fault(
        "no supply", "supply lead of the sensor open",
        look="Power off, then follow the supply lead from the board to the sensor.",
        wires=lambda design, draw: {"sensor": "no supply"}, needs=_three_legs,
    ),
    Fault(
        "constant", "wrong reference constant in the program",
        look="Read the line of the program that holds the reference's volts.",
        program=_assumed,
    ),
    Fault(
        "count", "divided by 2^N − 1",
        look="Read the line of the program that divides: by the count of codes, or by one less?",
        program=lambda design, draw: {"change": "count"}, needs=_linear,
    ),
    Fault(
        "integer", "integer division",
        look="Read the line of the program that divides: are both numbers whole?",
        program=lambda design, draw: {"change": "divide_first", "arithmetic": draw.choice(("float", "integers"))},
        needs=_linear,
    ),
    Fault(
        "other supply", "board on another reference than the program's (3.3 V for 5 V)",
        look="Read on the board which voltage it runs on, then the line of the program that holds it.",
        design=_on_another_supply,
    ),
    Fault(
        "offset", "wrong sensor offset in the program",
        look="Read the line of the program that takes off the sensor's own offset.",
        program=_another_offset, needs=_linear,
    ),
    Fault(
        "leads", "long thin leads, shared with lamp and buzzer",
        look="Follow the ground lead: does the buzzer's current run through the sensor's own?",
        wires=_leads, needs=_has_buzzer,
    ),
    Fault(
        "lamp", "lamp (LED) the wrong way round",
        look="Let the program test the lamp: does it light?",
        wires=lambda design, draw: {"lamp": "turned"}, needs=lambda design: design.outputs is not None,
    ),
    Fault(
        "sag", "buzzer sags the supply",
        look="Listen: does the reading jump at the very moment the buzzer starts?",
        wires=lambda design, draw: {"supply_ohm": draw.between(4.0, 14.0), "buzzer_a": draw.between(0.03, 0.06)},
        needs=_has_buzzer,
    ),
    Fault(
        "noisy", "noisy supply",
        look="Run the board from another supply, such as a battery made for it, and compare.",
        wires=lambda design, draw: {"supply_noise_v": draw.between(0.04, 0.25)},
    ),
    Fault(
        "baud", "listening at another speed than the board's",
        look="Compare the two speeds: the one in the program and the one on the screen.",
        heard=_other_baud,
    ),
)  # fmt: skip


def fault(key):
    """The fault of that key. Raises `ValueError` that lists the keys.

    >>> fault("turned").safety.split(":")[0]
    'Remove the power at once'
    """
    for each in FAULTS:
        if each.key == key:
            return each
    raise ValueError(f"fault {key!r} is not one of {', '.join(each.key for each in FAULTS)}: choose one of these")


def possible(design):
    """The faults that a bench of this design can have, "healthy" first; a tuple.

    >>> from tempkit.chain import Design, scenario
    >>> "sag" in [each.key for each in possible(Design("bench", scenario()))]
    False
    """
    return tuple(each for each in FAULTS if each.needs(design))
