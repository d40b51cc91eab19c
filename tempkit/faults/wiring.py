"""The wires around a chain, right or wrong: what a meter finds at each point of the bench, and what gets hot.

What a circuit diagram leaves out is here: resistance of supply and leads, lamp, buzzer, and a sensor with a leg open
or turned round. Direct current only; what changes from sample to sample belongs to `tempkit.board.model`.
"""

from dataclasses import dataclass

import numpy as np

from tempkit import constants
from tempkit.constants import NO_SOURCE, Constant
from tempkit.ranges import floats

SENSOR_STATES = ("right", "turned", "no supply", "no ground", "no signal")
LAMP_STATES = ("right", "turned")

SENSOR_A = Constant(50e-6, "A", NO_SOURCE)
BUZZER_A = Constant(0.03, "A", NO_SOURCE)
LAMP_A = Constant(0.006, "A", NO_SOURCE)
LAMP_FORWARD_V = Constant(2.0, "V", NO_SOURCE)
LAMP_SPREAD_V = 0.4  # limits of a lamp's own voltage, +-; common practice, no source
SUPPLY_OHM = Constant(0.3, "ohm", NO_SOURCE)
SUPPLY_MOST_A = Constant(0.5, "A", "USB 2.0 specification, section 7.2: high-power port, 500 mA")
TURNED_V = Constant(0.9, "V", NO_SOURCE)
TURNED_OHM = Constant(3.0, "ohm", NO_SOURCE)
CASE_K_PER_W = Constant(180.0, "K/W", NO_SOURCE)
METER_PART, METER_DIGITS = 0.005, 2  # common practice, no source: 0.5 % of the reading and two digits


@dataclass(frozen=True)
class Wiring:
    """How a bench is wired; every default is a bench as it should be.

    supply_ohm : resistance of the supply and its leads [ohm]; lead_ohm : of each lead of the sensor [ohm];
    shared_ground : lamp and buzzer return through the sensor's ground lead; sensor : one of `SENSOR_STATES`;
    output_part : where the output of a sensor lies that is turned round or has no ground, as a part of the supply,
    0 to 1; lamp : one of `LAMP_STATES`; buzzer_a, lamp_a : their currents [A]; supply_noise_v : standard deviation of
    the supply [V]; pickup_v : amplitude of mains hum on an open pin [V]. Raises `ValueError` for anything else.

    >>> Wiring(sensor="turned").lead_ohm
    0.05
    """

    supply_ohm: float = float(SUPPLY_OHM)
    lead_ohm: float = 0.05
    shared_ground: bool = False
    sensor: str = "right"
    output_part: float = 0.9
    lamp: str = "right"
    buzzer_a: float = float(BUZZER_A)
    lamp_a: float = float(LAMP_A)
    supply_noise_v: float = 0.0
    pickup_v: float = 0.0

    def __post_init__(self):
        for name, allowed in (("sensor", SENSOR_STATES), ("lamp", LAMP_STATES)):
            if getattr(self, name) not in allowed:
                raise ValueError(f"{name} {getattr(self, name)!r} is not one of {', '.join(allowed)}: choose one")
        units = {"supply_ohm": "ohm", "lead_ohm": "ohm", "buzzer_a": "A", "lamp_a": "A"}
        for name, unit in {**units, "supply_noise_v": "V", "pickup_v": "V"}.items():
            if not 0 <= getattr(self, name) < np.inf:
                raise ValueError(f"{name} {getattr(self, name):g} {unit} must be 0 {unit} or more: give a size")
        if not 0 <= self.output_part <= 1:
            raise ValueError(f"output_part {self.output_part:g} is outside 0 to 1: it is a part of the supply")


RIGHT = Wiring()


@dataclass(frozen=True)
class Points:
    """Voltages against the board's ground [V] at every point that a meter can reach, and the sensor's current [A].

    supply, reference; sensor_supply, sensor_ground, sensor_output : at the sensor's own legs, named as they should be
    wired; pin : the converter's input; lamp : across the lamp. An open pin is drawn to 0 V by the meter itself.
    """

    supply_v: float
    reference_v: float
    sensor_supply_v: float
    sensor_ground_v: float
    sensor_output_v: float
    pin_v: float
    lamp_v: float
    sensor_a: float

    @property
    def sensor_w(self):
        """Power that the sensor turns into heat [W]."""
        return abs(self.sensor_supply_v - self.sensor_ground_v) * self.sensor_a

    @property
    def warming_k(self):
        """How far that heat alone would lift a small plastic case above the air, once settled [K]."""
        return self.sensor_w * float(CASE_K_PER_W)


def source_v(chain):
    """The supply of a bench with nothing drawn from it but the board itself [V].

    The true reference where that is the supply; else the circuit's own supply, or 5 V where none is stated.

    >>> from tempkit.chain import scenario
    >>> source_v(scenario(true_v=4.83)), source_v(scenario(nominal_v=1.2, kind="fixed"))
    (4.83, 5.0)
    """
    if chain.reference.kind == "supply":
        return chain.reference.actual_v
    return own_supply_v(chain) or float(constants.SUPPLY_V)


def own_supply_v(chain):
    """The supply [V] that a circuit names as its own beside a fixed reference; None where it names none.

    >>> from tempkit.chain import scenario
    >>> own_supply_v(scenario(nominal_v=1.2, kind="fixed", supply_v=3.3)), own_supply_v(scenario())
    (3.3, None)
    """
    return getattr(chain.circuit, "supply_v", None) if chain.reference.kind == "fixed" else None


def voltages(chain, t_c, wiring=RIGHT, lamp=False, buzzer=False):
    """`Points` of a chain at the sensor's temperature `t_c` [degC], with lamp and buzzer off or on.

    A sensor turned round is taken as a diode of 0.9 V and 3 ohm across the supply, its output anywhere (the wiring's
    `output_part`): nothing is specified there, and the figures are invented. Ohm's law for the rest. Raises
    `ValueError` outside the sensor's range.

    >>> from tempkit.chain import scenario
    >>> at = voltages(scenario(), 25.0)
    >>> round(at.supply_v, 3), round(at.pin_v, 3), at.lamp_v
    (5.0, 0.8, 0.0)
    >>> hot = voltages(scenario(), 25.0, Wiring(sensor="turned"))
    >>> round(hot.supply_v, 2), round(hot.sensor_w, 2)
    (2.4, 1.2)
    """
    extra_a = _lamp_a(wiring, lamp) + wiring.buzzer_a * buzzer
    supply_v, sensor_a = _supply(chain, wiring, extra_a)
    ground_v = wiring.lead_ohm * (float(SENSOR_A) + (extra_a if wiring.shared_ground else 0.0))
    legs = _legs(chain, t_c, wiring, supply_v, ground_v)
    supplied = chain.reference.kind == "supply"
    return Points(
        supply_v=supply_v,
        reference_v=supply_v if supplied else min(chain.reference.actual_v, supply_v),
        **legs,
        pin_v=0.0 if wiring.sensor == "no signal" else legs["sensor_output_v"],
        lamp_v=_lamp_v(wiring, supply_v) if lamp else 0.0,
        sensor_a=sensor_a,
    )


def _lamp_a(wiring, lamp):
    return wiring.lamp_a if lamp and wiring.lamp == "right" else 0.0


def _lamp_v(wiring, supply_v):
    """A lamp that conducts holds its own voltage; one that is turned takes all there is."""
    return float(LAMP_FORWARD_V) if wiring.lamp == "right" else supply_v


def _supply(chain, wiring, extra_a):
    """Supply at the board [V] under this load, and the sensor's current [A]."""
    source = source_v(chain)
    if wiring.sensor != "turned":
        sensor_a = 0.0 if wiring.sensor in ("no supply", "no ground") else float(SENSOR_A)
        return max(source - wiring.supply_ohm * extra_a, 0.0), sensor_a
    sensor_a = (source - float(TURNED_V)) / (wiring.supply_ohm + float(TURNED_OHM))
    sensor_a = min(max(sensor_a, 0.0), float(SUPPLY_MOST_A))
    return min(float(TURNED_V) + float(TURNED_OHM) * sensor_a, source), sensor_a


def _legs(chain, t_c, wiring, supply_v, ground_v):
    """The sensor's three legs [V]."""
    state, part_v = wiring.sensor, wiring.output_part * supply_v
    fed_v = supply_v - wiring.lead_ohm * float(SENSOR_A)
    if state in ("turned", "no supply", "no ground"):
        supply, ground, output = {
            "turned": (0.0, supply_v, part_v),
            "no supply": (0.0, ground_v, 0.0),
            "no ground": (supply_v, part_v, part_v),
        }[state]
    else:
        supply, ground = fed_v, ground_v
        own_v = _signal_v(chain, t_c, fed_v - ground_v)
        output = float(np.clip(own_v + ground_v, 0.0, supply_v))
    return {"sensor_supply_v": supply, "sensor_ground_v": ground, "sensor_output_v": output}


def _signal_v(chain, t_c, feed_v):
    """What the circuit gives at a temperature when it is fed by so much; range checked by the chain."""
    at_rest_v = chain.volts(t_c)
    fed_by_reference = chain.reference.kind == "fixed" and own_supply_v(chain) is None
    if fed_by_reference or not chain.circuit.needs_feed:
        return at_rest_v
    return chain.circuit.volts(chain.sensor, t_c, feed_v)


def meter_limits_v(v):
    """Limits of error, +-, of a plain hand-held meter at a voltage [V]; scalar or array.

    0.5 % of the reading and two digits, a digit being 1 mV below 2 V and 10 mV from there on. Common practice, no
    source: the meter's own manual comes first.

    >>> round(meter_limits_v(0.8), 5), round(meter_limits_v(5.0), 3)
    (0.006, 0.045)
    """
    size = np.abs(floats(v, "v"))
    limits = METER_PART * size + METER_DIGITS * np.where(size < 2.0, 0.001, 0.01)
    return limits if limits.ndim else float(limits)
