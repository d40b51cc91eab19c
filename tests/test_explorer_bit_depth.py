"""Chapter 02's explorer: steps, stairs and the two divisors, against bare arithmetic and the textbook's figures."""

import math

import numpy as np
import pytest
from matplotlib.text import Text

from references import reference
from tempkit.book import Book
from tempkit.chain import Chain, Converter, Design, LinearSensor, Reference, ideal_snr_db, scenario
from tempkit.explorers.bit_depth import FACTS, compute, explorer, printed, stairs, words
from tempkit.explorers.staircase import VIEWS, page

AT_0C_MV, SLOPE_MV = 600, 8  # the scenario's sensor, for the independent route in whole millivolts


def bench(**chain):
    return Design("bench", scenario(**chain))


def by_hand(t_c, bits, reference_mv, divisor, half):
    """Code and reading from a count of steps, in the arithmetic of fractions; no code of the package."""
    from fractions import Fraction

    mv = AT_0C_MV + SLOPE_MV * Fraction(t_c).limit_denominator(1000)
    code = math.floor(mv * 2**bits / reference_mv)
    read_mv = (code + (Fraction(1, 2) if half else 0)) * reference_mv / Fraction(divisor)
    return code, float((read_mv - AT_0C_MV) / SLOPE_MV)


def test_the_step_of_the_bench():
    """Source: LSB = FSR / 2^N (IEEE Std 1241, from memory)."""
    lsb = reference("adc-lsb")
    for (full_scale_v, bits), expected_v in zip(lsb.inputs["cases"], lsb.expected["LSB_V"], strict=True):
        way = compute(bench(nominal_v=full_scale_v, bits=bits), 25.0).way
        assert way.step_v == pytest.approx(expected_v, rel=lsb.tolerance["rel"])
        assert way.step_c == pytest.approx(expected_v / 0.008, rel=1e-12)


def test_literal_numbers_at_25_degc():
    """800 mV in steps of 5000/1024 mV is 163.84 steps; 400 mV is 81.92 of them, 1480 mV 303.1."""
    result = compute(bench(), 25.0)
    assert (result.way.code, result.used, result.used_codes) == (163, (81, 303), 223)
    assert result.reading_c == pytest.approx(163.5 * 5000 / 1024 / 8 - 75, abs=1e-12)
    assert result.way.edges_c == pytest.approx((24.4873046875, 25.09765625))
    assert result.divisor_c == 0.0


@pytest.mark.parametrize("t_c", [-25.0, -0.3, 18.0, 25.0, 27.0, 61.7, 110.0])
@pytest.mark.parametrize("bits", [3, 8, 10, 12, 16])
@pytest.mark.parametrize("divisor", ["count", "top"])
@pytest.mark.parametrize("edge", ["middle", "lower"])
def test_code_and_reading_by_hand(t_c, bits, divisor, edge):
    result = compute(bench(bits=bits), t_c, divisor, edge)
    code, reading_c = by_hand(t_c, bits, 5000, 2**bits - (divisor == "top"), edge == "middle")
    assert (result.way.code, result.reading_c) == (code, pytest.approx(reading_c, abs=1e-9))
    assert result.error_c == pytest.approx(reading_c - t_c, abs=1e-9)


def test_dividing_by_the_highest_code_is_a_gain_error():
    """0.098 % at 10 bits: source, the note at adc-lsb; it grows with the voltage, to one step at the top code."""
    chain = scenario()
    extra_c = printed(chain, np.arange(1024), "lower", "top") - printed(chain, np.arange(1024), "lower")
    step_c = 5000 / 1024 / 8
    assert extra_c == pytest.approx(np.arange(1024) / 1023 * step_c, abs=1e-12)
    assert extra_c[-1] == pytest.approx(step_c)
    volts_too_large = 5 / 1023 / (5 / 1024) - 1
    assert 100 * volts_too_large == pytest.approx(0.098, abs=0.0005)  # the note has three decimals
    assert compute(bench(), 25.0, "top").divisor_c == pytest.approx(163.5 * 5000 / 1024 / 1023 / 8, abs=1e-12)


def test_bias_of_the_lower_edge():
    """Source: mean and spread of the quantisation error, q / sqrt(12); in LSB."""
    expected, tolerance_lsb = reference("adc-qerr").expected, reference("adc-qerr").tolerance["abs"]
    chain = scenario()
    step_c = chain.step_c(25.0)
    low_c, steps, points = chain.celsius_at_pin(100 * 5 / 1024), 200, 1001
    t_c = low_c + step_c * (np.arange(steps * points) + 0.5) / points
    for edge, key in (("lower", "floor,code*LSB"), ("middle", "floor,(code+0.5)*LSB")):
        error_lsb = (printed(chain, chain.code(t_c), edge) - t_c) / step_c
        assert error_lsb.mean() == pytest.approx(expected[key]["mean"], abs=tolerance_lsb)
        assert np.sqrt((error_lsb**2).mean()) == pytest.approx(expected[key]["rms"], abs=tolerance_lsb)


def test_signal_to_noise_ratio_from_the_saw_tooth():
    """IEEE Std 1241 (from memory), 6.02 N + 1.76 dB: a full-scale sine over the teeth's rms, step / sqrt(12)."""
    for bits in (8, 10, 12):
        teeth = stairs(scenario(bits=bits), -25.0, 110.0, 10**6)
        ends_c = np.array([teeth.begins_c, teeth.ends_c])[:, 1:-1]  # the first and the last are cut off
        high, low = teeth.readings_c[1:-1] - ends_c
        rms_c = np.sqrt(((high**2 + high * low + low**2) / 3).mean())  # mean square of a straight tooth
        sine_rms_c = 0.5 * 5.0 / 0.008 / math.sqrt(2)
        assert 20 * math.log10(sine_rms_c / rms_c) == pytest.approx(6.02 * bits + 1.76, abs=0.04)  # its rounding
        assert 20 * math.log10(sine_rms_c / rms_c) == pytest.approx(ideal_snr_db(bits), abs=1e-6)


@pytest.mark.parametrize("transfer", ["floor", "round"])
@pytest.mark.parametrize("slope", [0.008, -0.008])
def test_stairs_hold_every_temperature_on_its_tread(transfer, slope):
    """Also for a sensor that falls as it warms up."""
    sensor = LinearSensor(at_0c_v=0.6 if slope > 0 else 1.9, slope_v_per_c=slope)
    chain = Chain(sensor=sensor, reference=Reference(5.0), converter=Converter(bits=10, transfer=transfer))
    some = stairs(chain, 20.0, 30.0, 1000)
    assert not some.thinned
    assert (some.begins_c[0], some.ends_c[-1]) == (20.0, 30.0)
    assert some.begins_c[1:] == pytest.approx(some.ends_c[:-1])
    middles_c = 0.5 * (some.begins_c + some.ends_c)
    assert chain.code(middles_c).tolist() == some.codes.tolist()
    assert some.readings_c == pytest.approx([chain.reading(code) for code in some.codes])


def test_many_treads_are_thinned_and_said_to_be():
    some = stairs(scenario(bits=16), -25.0, 110.0, 220)
    assert some.thinned and some.codes.size == 220
    assert (some.codes[0], some.codes[-1]) == (math.floor(0.4 / 5 * 65536), math.floor(1.48 / 5 * 65536))


def test_a_saturated_tread_goes_on_to_the_end():
    chain = scenario(nominal_v=1.2, kind="fixed")
    some = stairs(chain, 65.0, 85.0, 1000)
    assert (some.codes[-1], some.ends_c[-1]) == (1023, 85.0)
    told = words(compute(Design("bench", chain), 76.0, view="wide"), Book())
    assert "Code 1023 is the last there is" in told and "every code is the top code" in told


def test_beyond_the_sensor_there_is_no_code():
    result = compute(bench(), 130.0)
    assert result.reading_c is result.error_c is result.divisor_c is None
    assert "there is no code" in words(result, Book()) and "nothing is promised beyond" in words(result, Book())
    assert ("code", "none") in FACTS.rows(result, Book())


def test_a_wrong_reference_is_not_hidden():
    told = words(compute(bench(true_v=4.75), 25.0), Book())
    assert "off by +5.29 °C" in told and "the true reference is 4.75 V while the program assumes 5 V" in told


def test_the_slider_for_the_reference_sets_both():
    steps = explorer(bench(true_v=4.75))
    steps.move(reference_v=3.3)
    reference_of = steps.design().chain.reference
    assert (reference_of.nominal_v, reference_of.actual_v) == (3.3, 3.3)
    assert steps.result().way.code == math.floor(800 * 1024 / 3300)


@pytest.mark.parametrize(
    ("bits", "digits", "reading"),
    [(3, 1, "42.2 °C"), (8, 1, "23.9 °C"), (10, 2, "24.79 °C"), (12, 2, "25.02 °C"), (16, 4, "24.9975 °C")],
)
def test_digits_show_a_tenth_of_a_step(bits, digits, reading):
    result = compute(bench(bits=bits), 25.0)
    assert result.digits == digits and f"prints {reading}" in words(result, Book())


def test_a_reading_beyond_the_view_is_said():
    shown = explorer(bits=3)
    assert "beyond this view: choose a wider one" in seen(shown)
    shown.move(view="whole")
    assert "beyond this view" not in seen(shown)


def seen(shown):
    """All words that show in an explorer's picture."""
    texts = shown._picture.figure.findobj(Text)
    return " ".join(text.get_text().replace("\n", " ") for text in texts if text.get_visible())


@pytest.mark.parametrize("scale", list(VIEWS))
@pytest.mark.parametrize("view", list(VIEWS["degC"]))
@pytest.mark.parametrize("room", [False, True])
def test_a_page_holds_its_temperatures_and_labels_are_exact(scale, view, room):
    whole = tuple(Book(scale).from_celsius(end) for end in (-25.0, 110.0))
    a_page = page(scale, view, whole, room)
    for shown in np.linspace(*whole, 1351):
        assert a_page.limits[0] < shown - a_page.centre(shown) < a_page.limits[1]
    assert len(a_page.ticks) >= 3
    for tick in (*a_page.ticks, a_page.error_tick):
        digits = a_page.error_digits if tick == a_page.error_tick else a_page.tick_digits
        assert round(tick, digits) == pytest.approx(tick, abs=1e-9)


@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("reference_v", [1.0, 5.0, 5.5])
@pytest.mark.parametrize("view", list(VIEWS["degC"]))
def test_the_width_of_a_step_is_told_inside_the_page(view, reference_v, room):
    """Beside its bracket, or over it where neither side has room."""
    picture = explorer(view=view, reference_v=reference_v, room=room)._picture
    words = next(text for text in picture.figure.findobj(Text) if text.get_text().startswith("one step"))
    box, page_box = words.get_window_extent(picture.canvas.get_renderer()), words.axes.get_window_extent()
    assert page_box.x0 <= box.x0 and box.x1 <= page_box.x1


def test_dragging_the_temperature_draws_no_axes_again(monkeypatch):
    shown = explorer()
    drawn = []
    monkeypatch.setattr(shown._picture, "build", lambda frame: drawn.append(frame))
    for t_c in np.arange(15.0, 40.0, 0.7):
        shown.move(t_c=float(t_c))
    assert not drawn
