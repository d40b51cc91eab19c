"""Sensors and circuits in a few words each: for the plain-text table, and for drawings and what stands beside them."""

import numpy as np

from tempkit.circuit import Bridge, ColdJunction, CurrentDrive, Direct, Divider
from tempkit.quantity import digits, millivolts, ohms, volts
from tempkit.sensors import BetaThermistor, LinearSensor, PlatinumSensor, Thermistor, Thermocouple

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

    >>> from tempkit.chain import scenario
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

    >>> from tempkit.chain import Chain
    >>> from tempkit.converter import Converter, Reference
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
