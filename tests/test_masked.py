"""Masked is not a number: every function of arrays does with a masked value what it does with `nan`, and text, true and
false are no numbers to any of them."""

import dataclasses
import importlib
import inspect
import pkgutil
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import tempkit
from tempkit import ranges, scales
from tempkit.alarm import every_case, rates, rule, validity
from tempkit.alarm.events import Events
from tempkit.board import integers, model, whole_numbers
from tempkit.chain import (
    Bridge,
    ColdJunction,
    CurrentDrive,
    Design,
    Divider,
    LinearSensor,
    chain,
    converter,
)
from tempkit.chain.parts import platinum, thermocouple
from tempkit.chain.parts.platinum import PlatinumSensor
from tempkit.chain.parts.thermistor import Thermistor
from tempkit.chain.parts.thermocouple import Thermocouple
from tempkit.choose import requirement
from tempkit.faults import wiring
from tempkit.logs import beside_model, fit, times
from tempkit.signal import noise, outputs, response, serial_line, warming
from tempkit.uncertainty import budget, calibration, conformity, inputs, water

BENCH = chain.scenario()
LINEAR, PLATINUM = LinearSensor(), PlatinumSensor()
THERMISTOR, COUPLE = Thermistor.from_beta(9100.0, 3610.0), Thermocouple("K")
DIVIDED = chain.Chain(THERMISTOR, BENCH.reference, BENCH.converter, Divider(fixed_ohm=9100.0))
DRIVEN = chain.Chain(PLATINUM, BENCH.reference, BENCH.converter, CurrentDrive(current_a=0.001, gain=10.0))
BRIDGED = chain.Chain(
    PLATINUM, BENCH.reference, BENCH.converter, Bridge(top_ohm=1000.0, balance_ohm=100.0, gain=50.0)
)
COUPLED = chain.Chain(COUPLE, BENCH.reference, BENCH.converter, ColdJunction(gain=90.0, bias_v=0.35))
ALARM = rule.Alarm(low_c=18.0, high_c=22.5, on_delay=2)
AT_S = np.arange(8.0)
RULES = validity.Rules(short=(0, 80), stuck_samples=3, stale_s=2.0)
FIT = calibration.fit_line([0.0, 1.0, 2.0], [1.0, 3.0, 5.1])
BRANCHES = [every_case.Branch("buzzer", (">", 22.0)), every_case.Branch("lamp", ("<", 21.0))]
TEMPERATURES = [20.0, 23.5, 19.0, 22.0, 24.5, 21.0, 20.5, 25.0]
CODES = [163.0, 164.0, 150.0, 160.0, 161.0, 155.0, 152.0, 158.0]
VOLTS = [0.7, 0.75, 0.8, 0.65, 0.72, 0.9, 0.6, 1.1]
SHARES = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8]
RISING = [0.0, 1.0, 2.5, 3.0, 4.0, 5.5, 6.0, 7.0]
OHMS = [101.0, 102.0, 105.0, 107.0, 109.0, 110.0, 103.0, 104.0]

# What a function of arrays is given: the call, with the array as its one argument, and eight values that it takes.
CALLS = {
    "alarm.rule.lamp_and_buzzer": (lambda x: rule.lamp_and_buzzer(x, False, False), [0, 1, 1, 0, -1, -1, 1, 0]),
    "logs.times.mended": (lambda x: times.mended(x, 1.0)[0], RISING),
    "board.model.air_at": (lambda x: model.air_at(x, AT_S), TEMPERATURES),
    "alarm.rule.Alarm.run": (ALARM.run, TEMPERATURES),
    "alarm.rule.Alarm.run times": (lambda x: ALARM.run(TEMPERATURES, x), RISING),
    "alarm.rates.alarm_odds": (lambda x: rates.alarm_odds(x, 22.0, 0.4), TEMPERATURES),
    "alarm.rates.alarm_odds delayed": (
        lambda x: rates.alarm_odds(x, 22.0, 0.4, 0.3, 2, 3), TEMPERATURES,
    ),
    "alarm.rates.deadband_alarm": (lambda x: rates.deadband_alarm(-1.0, x), SHARES),
    "alarm.rates.deadband_alarm mean": (lambda x: rates.deadband_alarm(x, 1.0), SHARES),
    "alarm.rates.delayed_alarm": (lambda x: rates.delayed_alarm(x, 2, 3), SHARES),
    "alarm.rates.detection_samples": (lambda x: rates.detection_samples(x, 3), SHARES),
    "board.whole_numbers.readings_c": (lambda x: whole_numbers.readings_c(BENCH, x), CODES),
    "board.model.readings": (lambda x: model.readings(Design("", BENCH), x), CODES),
    "uncertainty.budget.welch_satterthwaite": (lambda x: budget.welch_satterthwaite(x, [9.0] * 8), SHARES),
    "uncertainty.calibration.Correction.correct": (calibration.one_point(0.6, 0.0, 0.1).correct, TEMPERATURES),
    "uncertainty.calibration.Correction.u_correct": (calibration.one_point(0.6, 0.0, 0.1).u_correct, TEMPERATURES),
    "uncertainty.calibration.PolynomialFit.predict": (FIT.predict, TEMPERATURES),
    "uncertainty.calibration.PolynomialFit.u_predict": (FIT.u_predict, TEMPERATURES),
    "uncertainty.calibration.en_number": (lambda x: calibration.en_number(x, 0.4, 20.0, 0.3), TEMPERATURES),
    "uncertainty.calibration.en_number U": (lambda x: calibration.en_number(20.3, x, 20.0, 0.3), SHARES),
    "uncertainty.calibration.fit_line": (lambda x: calibration.fit_line(x, TEMPERATURES), RISING),
    "uncertainty.calibration.fit_line y": (lambda x: calibration.fit_line(RISING, x), TEMPERATURES),
    "uncertainty.calibration.fit_polynomial": (lambda x: calibration.fit_polynomial(RISING, x, 2), TEMPERATURES),
    "uncertainty.calibration.two_points": (
        lambda x: calibration.two_points(x[:2], (0.0, 1.0)).correct(1.0), TEMPERATURES,
    ),
    "chain.chain.Chain.celsius_at_pin": (BENCH.celsius_at_pin, VOLTS),
    "chain.chain.Chain.celsius_believed": (BENCH.celsius_believed, VOLTS),
    "chain.chain.Chain.celsius_believed, bridge": (BRIDGED.celsius_believed, VOLTS),
    "chain.chain.Chain.celsius_believed, divider": (DIVIDED.celsius_believed, VOLTS),
    "chain.chain.Chain.code": (BENCH.code, TEMPERATURES),
    "chain.chain.Chain.code, bridge": (BRIDGED.code, TEMPERATURES),
    "chain.chain.Chain.code, current": (DRIVEN.code, TEMPERATURES),
    "chain.chain.Chain.code, divider": (DIVIDED.code, TEMPERATURES),
    "chain.chain.Chain.code, thermocouple": (COUPLED.code, TEMPERATURES),
    "chain.chain.Chain.error_c": (BENCH.error_c, TEMPERATURES),
    "chain.chain.Chain.reading": (BENCH.reading, CODES),
    "chain.chain.Chain.reading unchecked": (lambda x: DIVIDED.reading(x, checked=False), CODES),
    "chain.chain.Chain.step_c": (BENCH.step_c, TEMPERATURES),
    "chain.chain.Chain.volts": (DIVIDED.volts, TEMPERATURES),
    "uncertainty.conformity.conformance_probability": (
        lambda x: conformity.conformance_probability(x, 0.4, upper=22.0), TEMPERATURES,
    ),
    "uncertainty.conformity.conformance_probability limits": (
        lambda x: conformity.conformance_probability(20.0, 0.4, upper=x), TEMPERATURES,
    ),
    "uncertainty.conformity.guard_band": (lambda x: conformity.guard_band(x, 0.95), SHARES),
    "uncertainty.conformity.guard_band level": (lambda x: conformity.guard_band(0.4, x), SHARES),
    "chain.converter.Converter.code": (lambda x: BENCH.converter.code(x, 5.0), VOLTS),
    "chain.converter.Converter.saturated": (lambda x: BENCH.converter.saturated(x, 5.0), VOLTS),
    "chain.converter.Converter.volts": (lambda x: BENCH.converter.volts(x, 5.0), CODES),
    "chain.converter.ideal_snr_db": (converter.ideal_snr_db, RISING),
    "chain.converter.settling_error": (lambda x: converter.settling_error(x, 1e4, 1e-11), SHARES),
    "chain.converter.settling_error ohm": (lambda x: converter.settling_error(1e-6, x, 1e-11), OHMS),
    "chain.converter.settling_time_s": (lambda x: converter.settling_time_s(x, 1e-11, 10), OHMS),
    "logs.fit.pair": (lambda x: fit.pair(x, TEMPERATURES), RISING),
    "logs.fit.row": (lambda x: fit.row(x, "readings"), TEMPERATURES),
    "uncertainty.inputs.correlation_matrix": (
        lambda x: inputs.correlation_matrix([[1.0, x[0]], [x[0], 1.0]], [inputs.Input(1.0, standard=0.1)] * 2), SHARES,
    ),
    "uncertainty.inputs.type_a": (inputs.type_a, TEMPERATURES),
    "board.integers.fits": (integers.fits, CODES),
    "board.integers.nearest": (lambda x: integers.nearest(x, 7), CODES),
    "board.integers.towards_zero": (lambda x: integers.towards_zero(x, 7), CODES),
    "board.integers.whole": (integers.whole, CODES),
    "board.integers.wrapped": (integers.wrapped, CODES),
    "chain.converter.linearity": (converter.linearity, RISING),
    "logs.fit.against": (lambda x: fit.against(x, RISING), TEMPERATURES),
    "logs.fit.drift": (lambda x: fit.drift(RISING, x), TEMPERATURES),
    "logs.fit.neighbours": (fit.neighbours, TEMPERATURES),
    "logs.fit.noise": (fit.noise, TEMPERATURES),
    "logs.fit.noise_of_steps": (fit.noise_of_steps, TEMPERATURES),
    "logs.fit.offset": (fit.offset, TEMPERATURES),
    "logs.fit.offset truth": (lambda x: fit.offset(TEMPERATURES, x), TEMPERATURES),
    "logs.fit.worth": (fit.worth, TEMPERATURES),
    "logs.beside_model.compare": (lambda x: beside_model.compare(RISING, x, 25.0), TEMPERATURES),
    "logs.fit.lag": (lambda x: fit.lag(AT_S, x, 0.0), list(80 - 60 * np.exp(-AT_S / 2))),
    "logs.fit.step": (lambda x: fit.step(RISING, x), TEMPERATURES),
    "signal.noise.alias_frequency": (lambda x: noise.alias_frequency(x, 1.5), SHARES),
    "signal.noise.averaged_error_lsb": (lambda x: noise.averaged_error_lsb(x, 16), SHARES),
    "signal.noise.averaging_floor_lsb": (noise.averaging_floor_lsb, SHARES),
    "signal.noise.averaging_gain": (lambda x: noise.averaging_gain(x, 10.0, 20), SHARES),
    "signal.noise.oversampled_code": (lambda x: noise.oversampled_code(x[:4], 1), CODES),
    "signal.noise.quantisation_noise": (noise.quantisation_noise, SHARES),
    "signal.noise.samples_for_bits": (noise.samples_for_bits, RISING),
    "signal.noise.smoothed_noise_ratio": (noise.smoothed_noise_ratio, SHARES),
    "signal.noise.smoothing_factor": (lambda x: noise.smoothing_factor(1.0, x), SHARES),
    "signal.noise.smoothing_lag_s": (lambda x: noise.smoothing_lag_s(x, 1.0), SHARES),
    "signal.noise.window_gain": (lambda x: noise.window_gain(x, 1.0), SHARES),
    "signal.outputs.copper_ohms_per_m": (outputs.copper_ohms_per_m, SHARES),
    "signal.outputs.lamp_current_a": (lambda x: outputs.lamp_current_a(x, 2.0, 330.0), OHMS),
    "signal.outputs.series_resistor": (lambda x: outputs.series_resistor(5.0, x, 0.01), SHARES),
    "signal.outputs.wire_area_mm2": (outputs.wire_area_mm2, TEMPERATURES),
    "signal.outputs.wire_ohms_per_m": (outputs.wire_ohms_per_m, TEMPERATURES),
    "chain.parts.platinum.celsius_of_ratio": (platinum.celsius_of_ratio, SHARES),
    "chain.parts.platinum.ratio": (platinum.ratio, TEMPERATURES),
    "chain.parts.platinum.ratio_per_c": (platinum.ratio_per_c, TEMPERATURES),
    "chain.parts.thermocouple.Piece.millivolts": (thermocouple.PIECES["K"][0].millivolts, TEMPERATURES),
    "ranges.in_blocks": (lambda x: ranges.in_blocks(lambda block: 2 * block, x, float), TEMPERATURES),
    "ranges.keep": (
        lambda x: ranges.keep(x, 0.0, 23.0, name="temperature", unit="degC", advice="stay"), TEMPERATURES,
    ),
    "choose.requirement.raises_per_min": (lambda x: requirement.raises_per_min(0.5, x, 1.0), SHARES),
    "signal.response.change_between_samples": (lambda x: response.change_between_samples(10.0, x, 40.0), RISING),
    "signal.response.lagged": (lambda x: response.lagged(AT_S, x, 3.0), TEMPERATURES),
    "signal.response.lagged times": (lambda x: response.lagged(x, TEMPERATURES, 3.0), RISING),
    "signal.response.period_for_change": (lambda x: response.period_for_change(x, 10.0, 40.0), SHARES),
    "signal.response.ramp": (lambda x: response.ramp(x, 40.0, 22.0, 0.05), RISING),
    "signal.response.ramp_lag": (lambda x: response.ramp_lag(x, 45.0), SHARES),
    "signal.response.recurring": (lambda x: response.recurring(x, 0.5), SHARES),
    "signal.response.self_heating": (lambda x: response.self_heating(x, 0.05), SHARES),
    "signal.response.sine_response": (lambda x: response.sine_response(x, 40.0), SHARES),
    "signal.response.step": (lambda x: response.step(x, 12.0, 20.0, 80.0), RISING),
    "signal.response.time_to_reach": (lambda x: response.time_to_reach(x, 12.0, 18.0, 80.0), TEMPERATURES),
    "signal.response.two_lags": (lambda x: response.two_lags(x, 12.0, 5.0, 0.0, 100.0), RISING),
    "alarm.every_case.audit": (lambda x: every_case.audit(BRANCHES, x).count, TEMPERATURES),
    "scales.celsius_span_to_fahrenheit": (scales.celsius_span_to_fahrenheit, TEMPERATURES),
    "scales.celsius_to_fahrenheit": (scales.celsius_to_fahrenheit, TEMPERATURES),
    "scales.celsius_to_kelvin": (scales.celsius_to_kelvin, TEMPERATURES),
    "scales.fahrenheit_to_celsius": (scales.fahrenheit_to_celsius, TEMPERATURES),
    "scales.kelvin_to_celsius": (scales.kelvin_to_celsius, TEMPERATURES),
    "chain.parts.linear.LinearSensor.celsius": (LINEAR.celsius, VOLTS),
    "chain.parts.linear.LinearSensor.volts": (LINEAR.volts, TEMPERATURES),
    "chain.parts.platinum.PlatinumSensor.celsius": (PLATINUM.celsius, OHMS),
    "chain.parts.platinum.PlatinumSensor.inverse": (PLATINUM.inverse, OHMS),
    "chain.parts.platinum.PlatinumSensor.ohms": (PLATINUM.ohms, TEMPERATURES),
    "chain.parts.platinum.PlatinumSensor.ohms_per_c": (PLATINUM.ohms_per_c, TEMPERATURES),
    "chain.parts.platinum.PlatinumSensor.tolerance_c": (PLATINUM.tolerance_c, TEMPERATURES),
    "chain.parts.thermistor.Thermistor.celsius": (THERMISTOR.celsius, [100 * r for r in OHMS]),
    "chain.parts.thermistor.Thermistor.inverse": (THERMISTOR.inverse, [100 * r for r in OHMS]),
    "chain.parts.thermistor.Thermistor.line": (THERMISTOR.line, TEMPERATURES),
    "chain.parts.thermistor.Thermistor.ohms": (THERMISTOR.ohms, TEMPERATURES),
    "chain.parts.thermistor.Thermistor.ohms_per_c": (THERMISTOR.ohms_per_c, TEMPERATURES),
    "chain.parts.thermocouple.Thermocouple.celsius": (COUPLE.celsius, [1e-3 * v for v in VOLTS]),
    "chain.parts.thermocouple.Thermocouple.tolerance_c": (COUPLE.tolerance_c, TEMPERATURES),
    "chain.parts.thermocouple.Thermocouple.volts": (COUPLE.volts, TEMPERATURES),
    "chain.parts.thermocouple.Thermocouple.volts cold": (lambda x: COUPLE.volts(100.0, x), TEMPERATURES),
    "signal.serial_line.characters_per_second": (serial_line.characters_per_second, [100 * v for v in CODES]),
    "signal.serial_line.line_time_s": (serial_line.line_time_s, CODES),
    "chain.parts.thermocouple.celsius_of_mv": (lambda x: thermocouple.celsius_of_mv("K", x), VOLTS),
    "chain.parts.thermocouple.reference_mv": (lambda x: thermocouple.reference_mv("K", x), TEMPERATURES),
    "chain.parts.thermocouple.slope_mv": (lambda x: thermocouple.slope_mv("K", x), TEMPERATURES),
    "alarm.validity.Rules.names": (lambda x: RULES.names(x, RISING), CODES),
    "alarm.validity.Rules.reasons": (lambda x: RULES.reasons(CODES, x), RISING),
    "signal.warming.Ramp.true_c": (warming.Ramp(22.0, 35.0, 2.0).true_c, RISING),
    "signal.warming.Step.sensed_c": (lambda x: warming.Step(22.0, 35.0).sensed_c(x, 40.0), RISING),
    "signal.warming.Step.true_c": (warming.Step(22.0, 35.0).true_c, RISING),
    "signal.warming.Swing.true_c": (warming.Swing(18.0, 26.0).true_c, RISING),
    "signal.warming.smoothed": (lambda x: warming.smoothed(x, 0.25, 20.0), TEMPERATURES),
    "uncertainty.water.boiling_point_c": (water.boiling_point_c, [1000 * each for each in OHMS]),
    "uncertainty.water.pressure_at_altitude_pa": (water.pressure_at_altitude_pa, OHMS),
    "uncertainty.water.pressure_at_altitude_pa on a map": (
        lambda x: water.pressure_at_altitude_pa(x, "geometric"), OHMS,
    ),
    "faults.wiring.meter_limits_v": (wiring.meter_limits_v, VOLTS),
}
# Their docstrings speak of arrays or rows, and they take no array of numbers from a caller.
OTHERS = {
    "board.whole_numbers.most_off",
    "alarm.rule.begins", "faults.bench_meter.signal_limits_v", "faults.evidence.vector",
    "uncertainty.inputs.draw", "choose.requirement.verdict_told", "logs.times.stamp_seconds",
    "uncertainty.montecarlo.monte_carlo", "ranges.flags", "ranges.floats", "ranges.like", "ranges.nan_outside",
    "ranges.numbers",
}  # fmt: skip
# Formulas that look at nothing: numpy's own arithmetic, which keeps a mask, and has its own word for text.
BARE = {
    "board.whole_numbers.readings_c",
    "chain.chain.Chain.celsius_believed", "chain.chain.Chain.celsius_believed, bridge",
    "chain.chain.Chain.celsius_believed, divider",
    "chain.parts.thermocouple.Piece.millivolts", "chain.parts.platinum.PlatinumSensor.inverse",
    "chain.parts.thermistor.Thermistor.inverse",
    "chain.parts.thermistor.Thermistor.line",
}  # fmt: skip
AN_ARRAY = re.compile(r"\barrays?\b|\brows? of\b|\bone row\b|\blists of\b", re.IGNORECASE)
MASKS = st.lists(st.booleans(), min_size=8, max_size=8)
UNDER = st.sampled_from([21.0, 0.5, -1e9, 1e300, np.inf])


def functions():
    """Every function of the arithmetic whose docstring speaks of arrays or rows."""
    rooms = [f"{room}." for room in (*tempkit.WITHOUT_PICTURES, "board", "faults")]
    found = [info.name for info in pkgutil.walk_packages(tempkit.__path__, "tempkit.") if not info.ispkg]
    names = [name.removeprefix("tempkit.") for name in found if name != "tempkit.__main__"]
    for name in names:
        if "." in name and not name.startswith(tuple(rooms)):
            continue
        module = importlib.import_module(f"tempkit.{name}")
        for called, thing in vars(module).items():
            ours = inspect.isfunction(thing) and thing.__module__ == module.__name__ and not called.startswith("_")
            if ours and AN_ARRAY.search((thing.__doc__ or "").split(">>>")[0]):
                yield f"{name}.{called}"


def test_every_function_of_arrays_is_here():
    found = set(functions())
    assert len(found) > 80
    assert found - {name.split(" ")[0] for name in CALLS} == OTHERS


def plain(result):
    """A result as lists, with `nan` where something is masked."""
    if dataclasses.is_dataclass(result):
        return [plain(getattr(result, field.name)) for field in dataclasses.fields(result)]
    if isinstance(result, Events):
        return [plain(event) for event in result]
    if isinstance(result, (list, tuple)):
        return [plain(each) for each in result]
    return np.ma.filled(np.ma.asarray(result).astype(object), np.nan).tolist()


def outcome(call, values):
    with np.errstate(all="ignore"):
        try:
            return repr(plain(call(values)))
        except ValueError as error:
            return f"refused: {error}"


@pytest.mark.parametrize("name", CALLS)
@settings(max_examples=25)
@given(mask=MASKS, under=UNDER)
def test_masked_is_what_nan_is(name, mask, under):
    call, good = CALLS[name]
    there, hidden = np.where(mask, np.nan, good), np.where(mask, under, good)
    assert outcome(call, np.ma.array(hidden, mask=mask)) == outcome(call, there)


@pytest.mark.parametrize("name", CALLS)
def test_the_values_are_taken(name):
    """Else the test above would compare refusals only."""
    call, good = CALLS[name]
    whole = np.array(good, dtype=np.int64) if name == "signal.noise.oversampled_code" else np.array(good)
    assert not outcome(call, whole).startswith("refused")


@pytest.mark.parametrize("name", sorted(set(CALLS) - BARE))
@pytest.mark.parametrize("kind", [str, bool], ids=["text", "true and false"])
def test_text_and_truth_are_no_numbers(name, kind):
    call, good = CALLS[name]
    with pytest.raises(ValueError, match="is not a number"):
        call(np.array(good).astype(kind))
