"""A design as a plain-text table: what a chain sees, what a step is worth, what a wrong reference costs."""

import re

import numpy as np

from tempkit.book import Book
from tempkit.chain.circuit import Direct
from tempkit.chain.cold_junction import ColdJunction
from tempkit.chain.platinum import PlatinumSensor
from tempkit.chain.resistive import Bridge, CurrentDrive, Divider
from tempkit.chain.sensors import LinearSensor
from tempkit.chain.thermistor import BetaThermistor, Thermistor
from tempkit.chain.thermocouple import Thermocouple
from tempkit.text import digits, millivolts, ohms, volts

# --- Sensors and circuits in a few words each: for the plain-text table, and for drawings and what stands beside them.

# ---- sensors


def sensor_words(sensor):
    """The sensor in a few words, for a table or a drawing.

    >>> sensor_words(LinearSensor())
    'linear, 500 mV at 0 °C, 10 mV/°C'
    >>> sensor_words(PlatinumSensor(r0_ohm=1000.0, tolerance_class="A"))
    'platinum, 1.00 kΩ at 0 °C, class A (wire)'
    """
    return SENSORS[type(sensor)](sensor)


def _linear(sensor):
    return f"linear, {sensor.at_0c_v * 1000:.6g} mV at 0 °C, {sensor.slope_v_per_c * 1000:.6g} mV/°C"


def _beta(sensor):
    return f"thermistor, {ohms(sensor.r25_ohm)} at 25 °C, beta {sensor.beta_k:.6g} K"


def _steinhart_hart(sensor):
    return f"thermistor, {ohms(sensor.line(25.0))} at 25 °C, Steinhart-Hart"


def _platinum(sensor):
    return f"platinum, {ohms(sensor.r0_ohm)} at 0 °C, class {sensor.tolerance_class} ({sensor.element})"


def _thermocouple(sensor):
    return f"thermocouple, type {sensor.letter}, class {sensor.tolerance_class}"


SENSORS = {
    LinearSensor: _linear,
    BetaThermistor: _beta,
    Thermistor: _steinhart_hart,
    PlatinumSensor: _platinum,
    Thermocouple: _thermocouple,
}


def limits_words(sensor, book):
    """The sensor's limits: one figure where they are the same everywhere, else at the ends and at 25 degC.

    >>> from tempkit.book import Book
    >>> limits_words(PlatinumSensor(range_c=(-40.0, 125.0)), Book())
    '±0.50 °C at −40.0 °C, ±0.42 °C at 25.0 °C, ±0.93 °C at 125.0 °C'
    """
    if hasattr(sensor, "accuracy_c"):
        return f"±{book.span(sensor.accuracy_c)}"
    low, high = sensor.range_c
    places = np.array(sorted({low, min(max(25.0, low), high), high}))
    told = zip(places.tolist(), sensor.limits_c(places).tolist(), strict=True)
    return ", ".join(_limit(t_c, limit_c, book) for t_c, limit_c in told)


def _limit(t_c, limit_c, book):
    size = "no promise" if np.isnan(limit_c) else f"±{book.span(limit_c, 2)}"
    return f"{size} at {book.temperature(t_c)}"


def tolerance_words(sensor):
    """What else may be off in the sensor: no line or one.

    >>> tolerance_words(Thermistor.from_beta(10_000.0, 3950.0, r25_tolerance=0.01, beta_tolerance=0.005))
    ['±1 % at 25 °C, ±0.5 % of beta']
    """
    doubts, names = sensor.doubts(25.0), {"r25": "at 25 °C", "beta": "of beta"}
    said = [f"±{doubts[key][0]:.3g} % {name}" for key, name in names.items() if doubts.get(key, (0,))[0]]
    return [", ".join(said)] if said else []


# ---- circuits


def circuit_words(chain):
    """The circuit as rows (label, words), for a table.

    >>> from tempkit.chain.chain import scenario
    >>> circuit_words(scenario(source_ohm=470.0))
    [('kind', "direct, from the sensor to the converter's pin"), ('source resistance', '470 Ω')]
    """
    return CIRCUITS[type(chain.circuit)](chain)


def _direct(chain):
    circuit = chain.circuit
    rows = [("kind", "direct, from the sensor to the converter's pin")]
    if circuit.source_ohm:
        rows.append(("source resistance", ohms(circuit.source_ohm)))
    if circuit.ratiometric_at_v is not None:
        at_v = volts(circuit.ratiometric_at_v)
        rows.append(("ratiometric", f"follows the supply; the sensor's figures hold at {at_v}"))
    return rows


def within(size, tolerance):
    """A size with its tolerance in percent, where it has one.

    >>> within("10.0 kΩ", 0.01), within("10.0 kΩ", 0.0)
    ('10.0 kΩ ±1 %', '10.0 kΩ')
    """
    return f"{size} ±{100 * tolerance:.3g} %" if tolerance else size


def fed_words(chain):
    """What feeds the circuit, and what that means for the reading.

    >>> from tempkit.chain.chain import Chain
    >>> from tempkit.chain.converter import Converter
    >>> from tempkit.chain.converter import Reference
    >>> divider, sensor = Divider(fixed_ohm=10_000.0), Thermistor.from_beta(10_000.0, 3950.0)
    >>> fed_words(Chain(sensor, Reference(5.0), Converter(10), divider))
    'by the reference, so that it cancels'
    """
    circuit = chain.circuit
    if circuit.supply_v is None or chain.reference.kind == "supply":
        return "by the reference, so that it cancels"
    return f"by a supply of its own, {within(volts(circuit.supply_v), circuit.supply_tolerance)}"


def _divider(chain):
    circuit = chain.circuit
    return [
        ("kind", f"divider, the sensor at the {circuit.sensor_at}"),
        ("fixed resistor", within(ohms(circuit.fixed_ohm), circuit.fixed_tolerance)),
        ("fed", fed_words(chain)),
        *_leads(circuit),
        *_power(chain),
        *_amplifier(circuit),
    ]


def current_words(circuit):
    """The measuring current, and what sets it.

    >>> current_words(CurrentDrive(current_a=0.001, current_tolerance=0.001))
    '1 mA ±0.1 %'
    """
    if circuit.set_ohm is None:
        return within(f"{1000 * circuit.current_a:.4g} mA", circuit.current_tolerance)
    return f"the reference over {within(ohms(circuit.set_ohm), circuit.current_tolerance)}"


def _current(chain):
    circuit = chain.circuit
    fed = [] if circuit.set_ohm is None else [("fed", "by the reference, so that it cancels")]
    rows = [("kind", f"a current through the sensor, {circuit.wires} wires"), ("current", current_words(circuit))]
    return [*rows, *fed, *_leads(circuit), *_power(chain), *_amplifier(circuit)]


def _bridge(chain):
    circuit = chain.circuit
    return [
        ("kind", f"bridge, {circuit.wires} wires to the sensor"),
        ("upper resistors", within(ohms(circuit.top_ohm), circuit.arm_tolerance)),
        ("balance resistor", within(ohms(circuit.balance_ohm), circuit.arm_tolerance)),
        ("fed", fed_words(chain)),
        *_leads(circuit),
        *_power(chain),
        *_amplifier(circuit),
    ]


def _cold_junction(chain):
    circuit = chain.circuit
    cold = f"{circuit.cold_c:.1f} °C"
    if circuit.unknown:
        cold += f", measured as {circuit.measured_cold_c:.1f} °C"
    sensor = f"limits ±{circuit.cold_accuracy_c:.3g} °C" if circuit.cold_accuracy_c else "limits not stated"
    rows = [("kind", "amplifier, and a sensor at the cold junction"), ("cold junction", cold), ("its sensor", sensor)]
    if circuit.cold_at_0c_v is not None:
        rows.append(("its input", f"a second one; {cold_sensor_words(circuit)}"))
    return rows + _amplifier(circuit)


def cold_sensor_words(circuit):
    """The straight line of the sensor at a thermocouple's terminals.

    >>> cold_sensor_words(ColdJunction(cold_at_0c_v=0.5, cold_slope_v_per_c=0.01))
    '500 mV at 0 °C, 10 mV/°C'
    """
    return f"{millivolts(circuit.cold_at_0c_v)} at 0 °C, {1000 * circuit.cold_slope_v_per_c:.4g} mV/°C"


def _leads(circuit):
    if not (circuit.lead_ohm or circuit.assumed_lead_ohm):
        return []
    told = f"{circuit.wires} of {within(ohms(circuit.lead_ohm), circuit.lead_tolerance)} each"
    if circuit.unknown and circuit.wires != 4:
        told += f"; the program allows for {ohms(circuit.assumed_lead_ohm)}"
    return [("lead wires", told)]


def _power(chain):
    """The most power that warms the sensor, at the three places where it can be most."""
    low, high = chain.sensor.range_c
    feed_v = chain.circuit.feed_v(chain.reference.actual_v, chain.reference.kind)
    power_w = chain.circuit.power_w(chain.sensor, np.linspace(low, high, 200), feed_v)
    return [("power in sensor", f"up to {digits(1000 * float(power_w.max()))} mW")]


def amplifier_words(circuit):
    """The amplifier in words: gain, offset, bias; what it has not is not said.

    >>> amplifier_words(ColdJunction(gain=100.0, gain_tolerance=0.01, offset_v=1e-5, bias_v=0.25))
    'gain 100 ±1 %, offset up to ±0.0100 mV, bias 250 mV'
    """
    said = [f"gain {within(f'{circuit.gain:.4g}', circuit.gain_tolerance)}"]
    said += [f"offset up to ±{millivolts(circuit.offset_v)}"] * bool(circuit.offset_v)
    said += [f"bias {millivolts(circuit.bias_v)}"] * bool(circuit.bias_v)
    return ", ".join(said)


def _amplifier(circuit):
    rows = [("amplifier", amplifier_words(circuit))] if circuit.amplified else []
    return rows + [("source resistance", ohms(circuit.source_ohm))] * bool(circuit.source_ohm)


CIRCUITS = {
    Direct: _direct,
    Divider: _divider,
    CurrentDrive: _current,
    Bridge: _bridge,
    ColdJunction: _cold_junction,
}


LABEL = 18
CELL = 16


def describe(design, book=None):
    """Design -> plain text, in the scale of `book` (degC without one); ends with a line feed.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> print(describe(Design("North bench", scenario())).splitlines()[0])
    North bench
    """
    book = book or Book()
    chain = design.chain
    parts = [
        [design.title, "=" * len(design.title)],
        _sensor(chain, book),
        _circuit(chain),
        _reference(chain),
        _converter(chain, book),
        _rest(design, book),
        _faults(design, book),
        _errors(chain, points_c(design), book),
    ]
    return "\n\n".join("\n".join(lines) for lines in parts if lines) + "\n"


def _row(label, text):
    return f"  {label:<{LABEL}}{text}"


# ---- sensor and supply


def _sensor(chain, book):
    sensor = chain.sensor
    low, high = (book.temperature(end) for end in sensor.range_c)
    return [
        "SENSOR",
        _row("kind", sensor_words(sensor)),
        _row("range", f"{low} to {high}"),
        _row("limits", limits_words(sensor, book)),
        *(_row("tolerances", words) for words in tolerance_words(sensor)),
        *_supply(chain),
    ]


def _supply(chain):
    if not chain.sensor.supply_v:
        return []
    low_v, high_v = chain.sensor.supply_v
    lines = [_row("supply window", f"{volts(low_v)} to {volts(high_v)}")]
    reference = chain.reference
    feed_v = chain.circuit.feed_v(reference.actual_v, reference.kind)
    if feed_v is None:
        return [*lines, _row("supply", "not stated: give circuit.supply_v to have it checked")]
    room = f"{_room(feed_v - low_v, 'above the bottom')}, {_room(high_v - feed_v, 'below the top')}"
    lines += [_row("supply", volts(feed_v)), _row("supply headroom", f"{room} of the window")]
    if reference.kind == "supply" and reference.true_v is None and reference.tolerance:
        least_v, most_v = tolerance_ends(reference)
        room = f"{_room(least_v - low_v, 'above the bottom')}, {_room(high_v - most_v, 'below the top')}"
        lines.append(_row("at its tolerance", room))
    return lines


def _circuit(chain):
    low, high = (volts(chain.volts(end)) for end in chain.sensor.range_c)
    rows = [_row(label, text) for label, text in circuit_words(chain)]
    return ["CIRCUIT", *rows, _row("at the pin", f"{low} to {high}")]


def _room(room_v, side):
    """Headroom in words: a negative one is a shortfall."""
    opposite = {"above": "below", "below": "above"}
    first, rest = side.split(" ", 1)
    return f"{volts(abs(room_v))} {first if room_v >= 0 else opposite[first]} {rest}"


# ---- reference and converter


def _reference(chain):
    reference = chain.reference
    ends = " to ".join(volts(end) for end in tolerance_ends(reference))
    assumed = volts(reference.nominal_v)
    if reference.tolerance:
        assumed += f" ±{reference.tolerance * 100:.3g} % ({ends})"
    return [
        "REFERENCE",
        _row("kind", "the supply itself" if reference.kind == "supply" else "fixed"),
        _row("assumed", assumed),
        _row("measured", "not yet" if reference.true_v is None else volts(reference.true_v)),
    ]


def tolerance_ends(reference):
    """Lowest and highest voltage [V] that the tolerance allows.

    >>> from tempkit.chain.converter import Reference
    >>> tolerance_ends(Reference(nominal_v=5.0, tolerance=0.05))
    (4.75, 5.25)
    """
    return tuple(reference.nominal_v * (1 + sign * reference.tolerance) for sign in (-1, 1))


def _converter(chain, book):
    converter, sensor = chain.converter, chain.sensor
    low, high = (book.temperature(end) for end in sensor.range_c)
    low_code, high_code = (chain.code(end) for end in sensor.range_c)
    bottom_v, top_v = chain.headroom_v()
    step = millivolts(converter.step_v(chain.reference.actual_v))
    middle_c = sum(sensor.range_c) / 2
    return [
        "CONVERTER",
        _row("bits", f"{converter.bits}: {converter.codes} codes, transfer {converter.transfer}"),
        _row("one step", f"{step}, worth {_step(chain, middle_c, book)} at {book.temperature(middle_c)}"),
        _row("codes", f"{low_code} at {low}, {high_code} at {high}"),
        _row("sees", _sees(chain, book)),
        _row("signal headroom", f"{_room(bottom_v, 'above 0 V')}, {_room(top_v, 'below the reference')}"),
    ]


def _step(chain, t_c, book):
    return f"{digits(book.span_from_celsius(chain.step_c(t_c)))} {book.sign}"


def _sees(chain, book):
    try:
        low, high = (book.temperature(end) for end in chain.span_c())
    except ValueError:
        return "nothing: the whole signal lies beyond the converter's ends"
    return f"{low} to {high}"


# ---- the rest of the design


def _rest(design, book):
    found = []
    if design.noise:
        noise = f"{millivolts(design.noise.input_v)} at the pin, {_mean(design.noise.samples)}"
        found.append(_row("noise", noise))
    if design.response:
        found.append(_row("sensor's lag", f"time constant {digits(design.response.tau_s)} s"))
    if design.smoothing:
        found.append(_row("smoothing", f"time constant {digits(design.smoothing.tau_s)} s"))
    if design.alarm:
        found += _alarm(design.alarm, book)
    if design.outputs:
        found.append(_row("lamp", f"{digits(design.outputs.lamp_current_a * 1000)} mA"))
    if design.link:
        found.append(_row("serial line", f"{design.link.baud} bit/s, {design.link.frame}"))
    if design.calibration:
        found.append(_row("calibration", _calibration(design.calibration, book)))
    if design.budget:
        found.append(_row("for the budget", _extras(design.budget, book)))
    return ["AROUND THE CHAIN", *found] if found else []


def _calibration(calibration, book):
    points = " and ".join(map(book.temperature, calibration.points_c))
    return f"at {points}, by a thermometer with u = {book.span(calibration.thermometer_u_c, 2)}"


def _extras(extras, book):
    """What only the error budget asks for; what is 0 is not said."""
    said = {
        f"drift ±{digits(extras.reference_drift_ppm_per_c)} ppm/°C": extras.reference_drift_ppm_per_c,
        f"the meter's u = {millivolts(extras.meter_u_v)}": extras.meter_u_v,
        f"self-heating up to {book.span(extras.self_heating_c, 2)}": extras.self_heating_c,
        f"lead drop up to {millivolts(extras.lead_drop_v)}": extras.lead_drop_v,
    }
    return ", ".join(words for words, size in said.items() if size) or "nothing more"


def _mean(samples):
    return f"{samples} samples averaged" if samples > 1 else "one sample for a reading"


def _alarm(alarm, book):
    sides = (("below", alarm.low_c), ("above", alarm.high_c))
    limits = " and ".join(f"{side} {book.temperature(t_c)}" for side, t_c in sides if t_c is not None)
    delays = f"on after {alarm.on_delay_samples}, off after {alarm.off_delay_samples}"
    return [
        _row("alarm", f"calls {limits}; deadband {book.span(alarm.deadband_c)}"),
        _row("alarm delays", f"{delays}, a sample every {digits(alarm.sample_period_s)} s"),
    ]


def problems(design):
    """What cannot work, one sentence each: in the chain as it is, else at an end of its tolerance.

    Also an alarm limit that the sensor cannot reach. Temperatures are written in degC.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> from tempkit.chain.design import Limits
    >>> print(*problems(Design("North bench", scenario(), alarm=Limits(high_c=150.0))))
    the alarm limit of 150.0 degC is outside the sensor's range of -40.0 degC to 125.0 degC
    """
    chain, alarm = design.chain, design.alarm
    found = list(chain.problems())
    if not found and chain.reference.true_v is None:
        for end_v in tolerance_ends(chain.reference):
            at_end = chain.with_true_reference(end_v).problems()
            found += [f"should the reference be {end_v:.4g} V: {each}" for each in at_end]
    low, high = chain.sensor.range_c
    limits = [] if alarm is None else [t_c for t_c in (alarm.low_c, alarm.high_c) if t_c is not None]
    where = f"is outside the sensor's range of {low:.1f} degC to {high:.1f} degC"
    return found + [f"the alarm limit of {t_c:.1f} degC {where}" for t_c in limits if not low <= t_c <= high]


def _faults(design, book):
    found = problems(design)
    lines = [f"  - {in_scale(each, book)}" for each in found]
    return ["WHAT CANNOT WORK", *(lines or ["  nothing found"])]


def in_scale(sentence, book):
    """The same sentence, such as one of `problems`, with its temperatures in the reader's scale.

    >>> in_scale("above 60.0 degC every code is the top code", Book("degF"))
    'above 140.0 °F every code is the top code'
    """
    return re.sub(r"(-?\d+(?:\.\d+)?) degC", lambda found: book.temperature(float(found[1])), sentence)


# ---- what a wrong reference costs


def points_c(design):
    """Three temperatures [degC] to look at: the alarm window's ends and middle, else quarters of the range.

    Beside a single limit: 5 degC on either side, as far as the sensor's range goes.

    >>> from tempkit.chain.chain import scenario
    >>> from tempkit.chain.design import Design
    >>> from tempkit.chain.design import Limits
    >>> points_c(Design("North bench", scenario(), alarm=Limits(low_c=18.0, high_c=27.0)))
    [18.0, 22.5, 27.0]
    >>> points_c(Design("North bench", scenario()))
    [1.25, 42.5, 83.75]
    """
    low, high = (float(end) for end in design.chain.sensor.range_c)
    alarm = design.alarm
    limits = [] if alarm is None else [t_c for t_c in (alarm.low_c, alarm.high_c) if t_c is not None]
    if not limits or not all(low <= t_c <= high for t_c in limits):
        return [low + part * (high - low) for part in (0.25, 0.5, 0.75)]
    if len(limits) == 1:
        return sorted({max(low, limits[0] - 5), limits[0], min(high, limits[0] + 5)})
    return [limits[0], sum(limits) / 2, limits[1]]


def _errors(chain, at_c, book):
    """Table of the error at each temperature: with the reference as assumed, and where it may truly be."""
    reference = chain.reference
    ends = tolerance_ends(reference) if reference.true_v is None else (reference.true_v,)
    truths = [reference.nominal_v, *(end for end in ends if end != reference.nominal_v)]
    lines = [
        "READING MINUS TRUE TEMPERATURE, steps included",
        _cells("true temperature", [book.temperature(t_c) for t_c in at_c]),
    ]
    for true_v in truths:
        note = " assumed" if true_v == reference.nominal_v else " measured" if reference.true_v else ""
        actual = chain.with_true_reference(true_v)
        lines.append(_cells(f"at {volts(true_v)}{note}", [_error(actual, t_c, book) for t_c in at_c]))
    return lines


def _cells(label, cells):
    return f"  {label:<{LABEL + 4}}" + "".join(f"{cell:>{CELL}}" for cell in cells)


def _error(chain, t_c, book):
    if chain.converter.saturated(chain.volts(t_c), chain.reference.actual_v):
        return "saturated"
    return book.span(chain.error_c(t_c), 2, signed=True)
