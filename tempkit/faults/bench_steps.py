"""What to take, to wire and to look at before and at first power: the steps of a bench card, from the design."""

from math import ceil, floor, log10

from tempkit.chain import Link
from tempkit.constants import CATALOGUE, Constant
from tempkit.faults import wiring
from tempkit.faults.bench_meter import supply_ends_v
from tempkit.signal import lamp_current_a, lamp_resistor, nearest_preferred, supply_total
from tempkit.text import DECOUPLING, digits, ohms, within

BOARD_A = Constant(0.05, "A", CATALOGUE)
PIN_A = Constant(0.015, "A", CATALOGUE)
LIMIT_A = Constant(0.1, "A", "USB 2.0 specification, section 7.2: low-power port, one unit load")
SHORT_OHM = 100.0  # less between supply and ground is looked at; common practice, no source
CONTINUITY_OHM = 1.0
LAMP_RESISTOR = 0.05  # relative tolerance of its resistor, +-
COLD_PACK_C, FINGERS_C = 10.0, 31.0  # a sensor gets beyond these by either; common practice, no source
WARMEST_ROOM_C = 28.0  # above it a hand warms a sensor too little to be seen
TEST_C = 3.0  # so far beyond the room a limit is set that nothing else can test
COLD_PACK = "Lay a cold pack, dry and in a closed bag, against the sensor"

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


def _lamp_most_v(design):
    """The highest supply and the lowest forward voltage of the lamp [V]."""
    return supply_ends_v(design.chain)[1], float(wiring.LAMP_FORWARD_V) - wiring.LAMP_SPREAD_V


def lamp_resistor_ohm(design):
    """The preferred resistor [ohm], E24, that never lets more than the lamp's current through; None without a lamp.

    Not even at the highest supply, with the lowest forward voltage and the resistor 5 % too small. Raises `ValueError`
    where the supply cannot light the lamp.

    >>> from tempkit.chain import Design, Outputs, scenario
    >>> lamp_resistor_ohm(Design("bench", scenario(), outputs=Outputs(0.006)))
    680.0
    """
    if not _has_lamp(design):
        return None
    lamp_current_a(wiring.source_v(design.chain), float(wiring.LAMP_FORWARD_V), 1.0)
    return lamp_resistor(*_lamp_most_v(design), design.outputs.lamp_current_a, LAMP_RESISTOR)


def _lamp_most_a(design):
    """The most current that the lamp may get [A]."""
    return lamp_current_a(*_lamp_most_v(design), lamp_resistor_ohm(design) * (1 - LAMP_RESISTOR))


def parts(design):
    """Rows (part, value, note) of what the bench is made of, with preferred values (IEC 60063, E24).

    >>> from tempkit.chain import Design, scenario
    >>> parts(Design("bench", scenario()))[1][:2]
    ('capacitor', '100 nF')
    """
    chain = design.chain
    supply_v = wiring.source_v(chain)
    window = chain.sensor.supply_v
    fits = "" if not window else f"supply {_volts(window[0])} to {_volts(window[1])}"
    rows = [
        ("sensor", chain.sensor.words(), fits),
        ("capacitor", DECOUPLING, "supply to ground, close by; common practice"),
        ("board", f"{chain.converter.bits}-bit converter", f"supply {_volts(supply_v)}"),
        ("reference", _volts(chain.reference.nominal_v), _reference_note(chain)),
    ]
    rows += [(name, within(ohms(value), part), _series_of(value)) for name, value, part in chain.circuit.resistors()]
    rows += chain.circuit.other_parts()
    if chain.circuit.source_ohm:
        value = nearest_preferred(chain.circuit.source_ohm)
        rows.append(("resistor at the pin", ohms(value), _preferred_note(value, chain.circuit.source_ohm)))
    if _has_lamp(design):
        rows += _lamp_rows(design)
    if _has_buzzer(design):
        most = _milliamperes(float(wiring.BUZZER_A))
        rows.append(("buzzer, sounds by itself", f"up to {most}", _pin_note(float(wiring.BUZZER_A))))
    return (*rows, _total(design))


def _series_of(value):
    """Where a resistor that the reading depends on can be bought: no other value will do."""
    for series in ("E24", "E96", "E192"):
        if abs(nearest_preferred(value, series) / value - 1) < 1e-9:
            return f"preferred value, {series}"
    return f"no preferred value: put {nearest_preferred(value, 'E192'):g} Ω, E192, into the design"


def _reference_note(chain):
    return "the supply itself" if chain.reference.kind == "supply" else "fixed, in the board: chosen by the program"


def _preferred_note(value, wanted):
    return "preferred value, E24" if value == wanted else f"preferred value nearest to {ohms(wanted)}, E24"


def _lamp_rows(design):
    about = f"about {_volts(float(wiring.LAMP_FORWARD_V))} across it"
    yield "lamp (LED)", about, "red or yellow; its long leg is plus as a rule"
    most = f"E24; never above {_milliamperes(_rounded_up(_lamp_most_a(design)))}"
    yield "resistor of the lamp", within(ohms(lamp_resistor_ohm(design)), LAMP_RESISTOR), most


def _rounded_up(value):
    """A value above 0 to three digits, never less than it is."""
    step = 10.0 ** (floor(log10(value)) - 2)
    return ceil(value / step * (1 - 1e-12)) * step


def _pin_note(current_a):
    limit = float(PIN_A)
    if current_a <= limit:
        return "from a pin"
    return f"through a transistor: a pin gives some {_milliamperes(limit)}; see the board's manual"


def _total(design):
    """What all draw together at the highest supply, against one unit load."""
    drawn = {"board": float(BOARD_A)}
    if _has_lamp(design):
        drawn["lamp"] = _lamp_most_a(design)
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
    source_ohm = chain.circuit.source_ohm
    steps += chain.circuit.wiring(f" through {ohms(nearest_preferred(source_ohm))}" if source_ohm else "")
    if _has_lamp(design):
        value = ohms(lamp_resistor_ohm(design))
        steps.append(f"Lamp: pin, resistor of {value}, lamp, and a ground wire of its own to the board.")
    if _has_buzzer(design):
        steps.append("Buzzer: with its transistor, and supply and ground wires of its own to the board.")
    steps.append(f"Supply, last: from the board's {_volts(wiring.source_v(chain))} to {chain.circuit.fed_at}.")
    return tuple(steps)


def before_power(design):
    """What to check before the power is on; a tuple of sentences."""
    chain = design.chain
    checks = [
        f"Ohms, supply to ground: rising to {ohms(SHORT_OHM)} or more. Near 0 Ω is a short: do not power it.",
        f"Ohms, the sensor's ground to the board's ground: below {ohms(CONTINUITY_OHM)}.",
    ]
    if chain.circuit.three_legs:
        hot = wiring.voltages(chain, sum(chain.sensor.range_c) / 2, wiring.Wiring(sensor="turned"))
        checks[:0] = [
            "Second pair of eyes: each leg of the sensor against the drawing. Turned round it would make some "
            f"{digits(hot.sensor_w)} W (invented figures) and burn a finger."
        ]
        source_ohm = chain.circuit.source_ohm
        to_pin = f"about {ohms(source_ohm)}" if source_ohm else f"below {ohms(CONTINUITY_OHM)}"
        checks.append(f"Ohms, the sensor's output leg to the converter's pin: {to_pin}.")
    for name, value, part in chain.circuit.resistors():
        checks.append(f"Ohms, {name}, out of the circuit: {within(ohms(value), part)}.")
    if _has_lamp(design):
        value = ohms(lamp_resistor_ohm(design))
        checks.append(
            f"Ohms, the lamp's resistor alone: {value} ± 5 %. The meter's diode range lights the lamp one way."
        )
    checks.append("No water, no loose metal, no mains on the table. The supply's plug is within reach.")
    return tuple(checks)


def first_power(design, room_c, book):
    """The first minutes with power in a room of this temperature [degC], in order; a tuple of sentences."""
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
    if room_c <= WARMEST_ROOM_C:
        steps.append("Hold the sensor between two fingers: the reading rises within a minute. Let go: it falls again.")
    else:
        steps.append(f"{COLD_PACK}: the reading falls within a minute. Take it away: it rises again.")
    return (*steps, *_limit_tests(design, room_c, book), "Store the log with the date: it is the healthy one.")


def _limit_tests(design, room_c, book):
    """How each limit is seen to call and to return, with no warmer thing than fingers and no colder one than a pack."""
    alarm = design.alarm
    if alarm is None:
        return
    calls = "the lamp lights" if _has_lamp(design) else "the program calls low"
    for side, limit_c, call in ((1, alarm.high_c, "the buzzer sounds"), (-1, alarm.low_c, calls)):
        if limit_c is None:
            continue
        limit, back = (book.temperature(each) for each in (limit_c, limit_c - side * alarm.deadband_c))
        name, beyond, inside = ("High", "above", "below") if side > 0 else ("Low", "below", "above")
        how, end = ("Hold the sensor between two fingers", "Let go") if side > 0 else (COLD_PACK, "Take it away")
        if side * (room_c - limit_c) > 0:
            yield f"{name} limit, {limit}: the room is beyond it, so {call} at once, and returns only {inside} {back}."
        elif side * ((FINGERS_C if side > 0 else COLD_PACK_C) - limit_c) >= 0:
            yield f"{name} limit: {how.lower()}; {call} {beyond} {limit}. {end}: it returns {inside} {back}."
        else:
            test = book.temperature(room_c - side * TEST_C)
            alone = ", leave the other limit out" if None not in (alarm.high_c, alarm.low_c) else ""
            yield (
                f"{name} limit, {limit}, out of reach of {'a hand' if side > 0 else 'a cold pack'}: put {test} in its "
                f"place{alone}, write the program anew, and {call} at once. Then put all back, and write it again."
            )
