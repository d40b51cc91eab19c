"""What to take, to wire and to look at before and at first power: the steps of a bench card, from the design."""

from math import ceil

from tempkit import wiring
from tempkit.circuit import Direct
from tempkit.constants import NO_SOURCE, Constant
from tempkit.describe import sensor_words
from tempkit.design import Link
from tempkit.outputs import lamp_current_a, nearest_preferred, preferred_at_least, series_resistor, supply_total
from tempkit.quantity import digits, ohms

DECOUPLING = "100 nF"
BOARD_A = Constant(0.05, "A", NO_SOURCE)
PIN_A = Constant(0.02, "A", NO_SOURCE)
LIMIT_A = Constant(0.1, "A", "USB 2.0 specification, section 7.2: low-power port, one unit load")
SHORT_OHM = 100.0  # less between supply and ground is looked at; common practice, no source
CONTINUITY_OHM = 1.0

CAUTIONS = (
    "Power off before a wire is moved, and before a part is put in or taken out. Every time.",
    "A sensor turned round gets hot enough to burn within seconds. Remove the power, let it cool, then look.",
    "Low voltage only, from a supply made for it. This bench switches a lamp (LED) and a buzzer, nothing else. Relays "
    "and anything on mains: certified equipment, installed by qualified people under local codes.",
    "Ice water and powered circuits stay apart: the board stands higher and drier than the bath, and runs from a "
    "low-voltage battery there. Dry hands.",
    "Lithium cells: never shorted, never charged by a circuit that is not made for them, never used when swollen. "
    "Heat, hissing or smell: leave it, keep others away, follow the school's rules.",
    "No flame and no hot-air gun near plastics and leads: a warm hand is warm enough.",
    "Not a safety device. Food, medicine, animals and people need qualified equipment.",
)


def _volts(v):
    return f"{v:.4g} V"


def _milliamperes(current_a):
    return f"{current_a * 1000:.3g} mA"


def _has_buzzer(design):
    return design.alarm is not None and design.alarm.high_c is not None


def _has_lamp(design):
    return design.outputs is not None and design.outputs.lamp_current_a > 0


def lamp_resistor_ohm(design, supply_v):
    """The preferred resistor [ohm] of the lamp, E24, that lets no more than its current through; None without a lamp.

    Raises `ValueError` where the supply cannot light it.

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design, Outputs
    >>> lamp_resistor_ohm(Design("bench", scenario(), outputs=Outputs(0.006)), 5.0)
    510.0
    """
    if not _has_lamp(design):
        return None
    wanted = series_resistor(supply_v, float(wiring.LAMP_FORWARD_V), design.outputs.lamp_current_a)
    return preferred_at_least(wanted, "E24")


def parts(design, supply_ends_v):
    """Rows (part, value, note) of what the bench is made of, with preferred values (IEC 60063, E24).

    >>> from tempkit.chain import scenario
    >>> from tempkit.design import Design
    >>> parts(Design("bench", scenario()), (4.75, 5.25))[1][:2]
    ('capacitor', '100 nF')
    """
    chain, high_v = design.chain, supply_ends_v[1]
    supply_v = wiring.source_v(chain)
    window = chain.sensor.supply_v
    fits = "" if not window else f"supply {_volts(window[0])} to {_volts(window[1])}"
    rows = [
        ("sensor", sensor_words(chain.sensor), fits),
        ("capacitor", DECOUPLING, "supply to ground, close by; common practice"),
        ("board", f"{chain.converter.bits}-bit converter", f"supply {_volts(supply_v)}"),
        ("reference", _volts(chain.reference.nominal_v), _reference_note(chain)),
    ]
    if isinstance(chain.circuit, Direct) and chain.circuit.source_ohm:
        value = nearest_preferred(chain.circuit.source_ohm)
        rows.append(("resistor at the pin", ohms(value), _preferred_note(value, chain.circuit.source_ohm)))
    if _has_lamp(design):
        rows += _lamp_rows(design, supply_v, high_v)
    if _has_buzzer(design):
        most = _milliamperes(float(wiring.BUZZER_A))
        rows.append(("buzzer, sounds by itself", f"up to {most}", _pin_note(float(wiring.BUZZER_A))))
    return (*rows, _total(design, high_v))


def _reference_note(chain):
    return "the supply itself" if chain.reference.kind == "supply" else "fixed, in the board: chosen by the program"


def _preferred_note(value, wanted):
    return "preferred value, E24" if value == wanted else f"preferred value nearest to {ohms(wanted)}, E24"


def _lamp_rows(design, supply_v, high_v):
    resistor = lamp_resistor_ohm(design, supply_v)
    forward_v = float(wiring.LAMP_FORWARD_V)
    wanted = series_resistor(supply_v, forward_v, design.outputs.lamp_current_a)
    most = lamp_current_a(high_v, forward_v, resistor)
    yield "lamp (LED)", f"about {_volts(forward_v)} across it", "red or yellow; its long leg is plus as a rule"
    yield "resistor of the lamp", ohms(resistor), f"{ohms(wanted)} or more, E24; at most {_milliamperes(most)}"


def _pin_note(current_a):
    limit = float(PIN_A)
    if current_a <= limit:
        return "from a pin"
    return f"through a transistor: a pin gives some {_milliamperes(limit)}; see the board's manual"


def _total(design, high_v):
    """What all draw together at the highest supply, against one unit load."""
    drawn = {"board": float(BOARD_A)}
    if _has_lamp(design):
        resistor = lamp_resistor_ohm(design, wiring.source_v(design.chain))
        drawn["lamp"] = lamp_current_a(high_v, float(wiring.LAMP_FORWARD_V), resistor)
    if _has_buzzer(design):
        drawn["buzzer"] = float(wiring.BUZZER_A)
    total = supply_total(drawn, float(LIMIT_A))
    most = _milliamperes(ceil(total.total_a * 1000) / 1000)
    note = f"{'within' if total.enough else 'above'} the {_milliamperes(total.limit_a)} of a small port"
    return "all together", most, f"{note}; the board taken as {_milliamperes(float(BOARD_A))}"


def wiring_order(design):
    """What to connect, in order, with the power off: ground first, supply last; a tuple of sentences."""
    chain = design.chain
    steps = ["Unplug the board. Lay the drawing beside it, and find each leg in its part's own data sheet."]
    steps += _three_legs(chain) if isinstance(chain.circuit, Direct) else AS_DRAWN
    if _has_lamp(design):
        value = ohms(lamp_resistor_ohm(design, wiring.source_v(chain)))
        steps.append(f"Lamp: pin, resistor of {value}, lamp, and a ground wire of its own to the board.")
    if _has_buzzer(design):
        steps.append("Buzzer: with its transistor, and supply and ground wires of its own to the board.")
    fed = "the sensor's supply leg" if isinstance(chain.circuit, Direct) else "the circuit"
    steps.append(f"Supply, last: from the board's {_volts(wiring.source_v(chain))} to {fed}.")
    return tuple(steps)


AS_DRAWN = (
    "Ground: from the board to the circuit and the sensor, wires that nothing else uses.",
    f"Capacitor of {DECOUPLING} between the circuit's supply and ground, legs kept short.",
    "The circuit as drawn, one wire after the other, each ticked off on the drawing.",
    "Output: from the circuit to the converter's pin.",
)


def _three_legs(chain):
    """Wiring of a sensor with three legs, up to its supply."""
    through = f" through {ohms(nearest_preferred(chain.circuit.source_ohm))}" if chain.circuit.source_ohm else ""
    return (
        "Ground: from the board to the sensor's ground leg, a wire that nothing else uses.",
        f"Capacitor of {DECOUPLING} between the sensor's supply and ground legs, legs kept short.",
        f"Output: from the sensor's output leg{through} to the converter's pin.",
    )


def before_power(design):
    """What to check before the power is on; a tuple of sentences."""
    chain = design.chain
    checks = [
        f"Ohms, supply to ground: rising to {ohms(SHORT_OHM)} or more. Near 0 Ω is a short: do not power it.",
        f"Ohms, the sensor's ground to the board's ground: below {ohms(CONTINUITY_OHM)}.",
    ]
    if isinstance(chain.circuit, Direct):
        hot = wiring.voltages(chain, sum(chain.sensor.range_c) / 2, wiring.Wiring(sensor="turned"))
        checks[:0] = [
            "Second pair of eyes: each leg of the sensor against the drawing. Turned round it would make some "
            f"{digits(hot.sensor_w)} W (invented figures) and burn a finger."
        ]
        source_ohm = chain.circuit.source_ohm
        to_pin = f"about {ohms(source_ohm)}" if source_ohm else f"below {ohms(CONTINUITY_OHM)}"
        checks.append(f"Ohms, the sensor's output leg to the converter's pin: {to_pin}.")
    if _has_lamp(design):
        value = ohms(lamp_resistor_ohm(design, wiring.source_v(chain)))
        checks.append(
            f"Ohms, the lamp's resistor alone: {value} ± 5 %. The meter's diode range lights the lamp one way."
        )
    checks.append("No water, no loose metal, no mains on the table. The supply's plug is within reach.")
    return tuple(checks)


def first_power(design, book):
    """The first minutes with power, in order; a tuple of sentences."""
    link = design.link or Link()
    steps = [
        "Supply lead of the sensor still off: power the board alone, measure its supply. Power off.",
        "Connect the sensor's supply. Power on for two seconds, and off. Bring a finger near the sensor: it must be no "
        "warmer than the room. If it is warmer, leave the power off, let it cool, and look how it is turned.",
        "Measure the points of the table METER from the top. At the first wrong one, stop and power off.",
        f"Open the serial line at {link.baud} bit/s, {link.frame}. Compare the first lines with FIRST CODES.",
    ]
    if _has_lamp(design) or _has_buzzer(design):
        steps.append("Let the program test lamp and buzzer. The reading must not move when the buzzer starts.")
    warm = "Hold the sensor between two fingers: the reading rises within a minute"
    alarm = design.alarm
    limit = f", and the buzzer sounds above {book.temperature(alarm.high_c)}" if _has_buzzer(design) else ""
    return (*steps, f"{warm}{limit}. Let go: it falls again.", "Store the log with the date: it is the healthy one.")
