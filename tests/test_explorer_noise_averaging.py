"""Chapter 06's explorer: shares of codes and errors of averages, against tables, brute force and numbers by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.chain import Converter, Design, Noise, scenario
from tempkit.draw import Look
from tempkit.explorers import noise_averaging, north_bench
from tempkit.explorers.noise_averaging import (
    MOST_SAMPLES,
    POWERS,
    RECORD,
    TRIALS,
    code_shares,
    compute,
    simulated_counts,
)

BOOK = Book()


def bench(sigma_v=0.002, samples=16, **chain):
    return Design("test bench (invented)", scenario(**chain), noise=Noise(input_v=sigma_v, samples=samples))


def test_shares_are_those_of_the_normal_table():
    """In the middle of a step one step wide = 2 standard deviations: 68.27 %, 15.73 % and 0.13 % beside it.

    Source: tables of the normal distribution, P(|z| < 1) = 0.6827, P(|z| < 3) = 0.9973 (from memory).
    """
    step_v = 5 / 1024
    codes, shares = code_shares(Converter(bits=10), 163.5 * step_v, step_v / 2, 5.0)
    found = dict(zip(codes.tolist(), shares, strict=True))
    assert found[163] == pytest.approx(0.6827, abs=5e-5)
    assert found[162] == found[164] == pytest.approx((0.9973 - 0.6827) / 2, abs=5e-5)
    assert shares.sum() == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(("bits", "transfer"), [(8, "floor"), (10, "round"), (12, "floor")])
def test_shares_are_what_many_noisy_conversions_give(bits, transfer):
    """Independent route: 200 000 conversions of a noisy voltage, counted; within 5 standard deviations of a count."""
    converter, volts, sigma_v, trials = Converter(bits=bits, transfer=transfer), 0.8013, 0.003, 200_000
    codes, shares = code_shares(converter, volts, sigma_v, 5.0)
    found = converter.code(volts + sigma_v * np.random.default_rng(1).standard_normal(trials), 5.0)
    counted = np.array([(found == code).mean() for code in codes])
    assert np.all(np.abs(counted - shares) <= 5 * np.sqrt(shares * (1 - shares) / trials) + 1e-6)


@pytest.mark.parametrize("volts", [0.0, 5.0])
def test_the_end_codes_take_all_that_lies_beyond(volts):
    """At 0 V and at the reference half of the noise is cut off: the end code takes at least half."""
    codes, shares = code_shares(Converter(bits=10), volts, 0.002, 5.0)
    at_end = shares[0 if volts == 0 else -1]
    assert codes[0] == 0 or codes[-1] == 1023
    assert at_end > 0.5 and shares.sum() == pytest.approx(1.0, abs=1e-12)


def test_the_simulated_record_is_whole_and_does_not_change():
    codes, shares = code_shares(Converter(bits=10), 0.8, 0.002, 5.0)
    counts = [simulated_counts(Converter(bits=10), 0.8, 0.002, 5.0, codes) for _ in range(2)]
    assert counts[0].sum() == RECORD and np.array_equal(*counts)
    assert np.all(np.abs(counts[0] - RECORD * shares) <= 5 * np.sqrt(RECORD * shares * (1 - shares)) + 1)


def test_without_noise_averaging_changes_nothing():
    """5 V / 1024 / 8 mV/degC = 0.61035 degC; over the root of 12, by hand: 0.17619 degC, for any number."""
    at = compute(bench(0.0), 25.0)
    assert at.codes.tolist() == [163] and at.shares.tolist() == [1.0]
    assert at.mean_c == pytest.approx(163.5 * 5000 / 1024 / 8 - 75 - 25, abs=1e-9)
    for samples in (1, 16, MOST_SAMPLES):
        assert at.error_c(samples) == pytest.approx(0.17619, abs=1e-5)
    assert "averaging changes nothing" in noise_averaging.words(at, BOOK)


def test_with_noise_four_times_the_samples_halve_the_error():
    """Noise of one step: sqrt((1 + 1/12) / 16) = 0.26021 steps, by hand."""
    at = compute(bench(5 / 1024), 25.0)
    assert at.error_c(16) / at.way.step_c == pytest.approx(0.26021, abs=1e-5)
    assert at.error_c(64) == pytest.approx(at.error_c(16) / 2, rel=1e-6)
    assert "4 times the samples halve" in noise_averaging.words(at, BOOK)


def test_the_mean_of_many_readings_is_off_by_what_the_shares_say():
    """A fifth of a step of noise hardly dithers: the mean keeps most of the error of the step (brute force)."""
    at = compute(bench(0.001), 24.98)
    chain = at.way.chain
    volts = 0.79984 + 0.001 * np.random.default_rng(2).standard_normal(200_000)
    readings = chain.reading(chain.converter.code(volts, 5.0))
    spread = readings.std() / math.sqrt(readings.size)
    assert at.mean_c == pytest.approx(readings.mean() - 24.98, abs=5 * spread)
    assert abs(at.mean_c) > 0.05


def test_crosses_lie_beside_the_line():
    """The simulation has 300 trials for each mark: 5 standard deviations of an rms are 5 / sqrt(600) = 20 %."""
    for sigma_v in (0.0, 0.001, 0.002, 0.006):
        at = compute(bench(sigma_v), 25.0)
        assert at.simulated_c == pytest.approx(at.error_c(POWERS), rel=5 / math.sqrt(2 * TRIALS))


def test_the_bend_is_where_both_parts_are_equal():
    at = compute(bench(0.001), 25.0)
    assert at.error_c(at.bend) == pytest.approx(math.sqrt(2) * at.stays_c, rel=1e-9)
    assert 10 < at.bend < 15
    past = replace(at, samples=256)
    assert "has bent" in noise_averaging.words(past, BOOK)
    assert "up to about 12" in noise_averaging.words(replace(at, samples=4), BOOK)


@pytest.mark.parametrize("sigma_v", [0.00525, 0.010, 1.0])
def test_with_much_noise_the_line_does_not_bend(sigma_v):
    at = compute(bench(sigma_v, bits=12), 0.0)
    assert at.bend > 1e9 and "halve the error" in noise_averaging.words(at, BOOK)
    assert dict(noise_averaging.facts(at, BOOK))["the line bends at about"] == "more than 1024 samples"


def test_an_error_of_the_reference_is_left_out_and_said():
    wrong = compute(bench(true_v=4.75), 25.0)
    assert abs(wrong.mean_c) < 0.3
    assert "averaging does nothing about it" in noise_averaging.words(wrong, BOOK)


def test_a_design_without_noise_is_given_the_bench_s_and_the_table_says_so():
    rows = dict(noise_averaging.facts(compute(north_bench(), 25.0), BOOK))
    assert rows["this noise is"] == "assumed: the design states none"
    assert "this noise is" not in dict(noise_averaging.facts(compute(bench(), 25.0), BOOK))


def test_the_slider_of_samples_is_a_power_of_two():
    explorer = noise_averaging.explorer()
    explorer.move(samples_2n=7)
    assert explorer.design().noise == Noise(input_v=0.002, samples=128)
    assert "128 readings" in explorer.words()


@pytest.mark.parametrize("room", [False, True])
def test_axes_stand_still_and_words_of_the_picture_do_not_meet(room):
    """No two texts overlap, whatever the noise, the bits and the number of samples."""
    picture = noise_averaging.PLAN.picture(Look(room), BOOK)
    frames = set()
    for sigma_v, bits, samples in [(0.0, 8, 1), (0.001, 10, 16), (0.002, 12, 64), (0.008, 8, 1024), (0.0005, 10, 4)]:
        for t_c in (24.8, 25.0, 25.3):
            result = compute(bench(sigma_v, samples, bits=bits), t_c)
            frames.add(picture.frame(result))
            picture.show(result)
            assert_apart(picture)
    assert len(frames) == 1


def assert_apart(picture):
    renderer = picture.canvas.get_renderer()
    texts = [t for axes in picture.figure.axes for t in axes.texts if t.get_visible() and t.get_text().strip()]
    boxes = [(t.get_text(), t.get_window_extent(renderer)) for t in texts]
    for i, (one, box) in enumerate(boxes):
        for other, beside in boxes[:i]:
            across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
            along = min(box.y1, beside.y1) - max(box.y0, beside.y0)
            assert across <= 1 or along <= 1, (one, other)


@pytest.mark.parametrize("bits", [8, 10, 12])
@pytest.mark.parametrize("scale", ["degC", "degF"])
def test_bars_are_the_shares_side_by_side(bits, scale):
    """Each bar as wide as a step and as tall as its share of the tallest; areas add up to one over that."""
    at, book = compute(bench(0.003, bits=bits), 25.1), Book(scale)
    picture = noise_averaging.PLAN.picture(Look(), book).show(at)
    histogram, errors = picture.panels[0]
    corners = np.array([path.vertices[:4] for path in histogram.axes.collections[0].get_paths()])
    left, right, top = corners[:, 0, 0], corners[:, 1, 0], corners[:, 2, 1]
    step = book.span_from_celsius(at.way.step_c)
    assert right - left == pytest.approx(step) and left[1:] == pytest.approx(right[:-1])
    assert np.sum((right - left) * top) == pytest.approx(step / at.shares.max())
    ring = next(line for line in errors.axes.lines if line.get_marker() == "o")
    assert ring.get_xdata()[0] == 16
    assert ring.get_ydata()[0] == pytest.approx(book.span_from_celsius(at.error_c(16)))


@pytest.mark.parametrize("room", [False, True])
def test_codes_stand_in_bars_that_have_room_for_them_at_a_desk(room):
    def codes(bits):
        picture = noise_averaging.PLAN.picture(Look(room), BOOK).show(compute(bench(0.002, bits=bits), 25.0))
        words = (text.get_text() for text in picture.panels[0][0].axes.texts if text.get_visible())
        return {word for word in words if word.isdigit()}

    assert codes(10) == (set() if room else {"163", "164"}) and codes(12) == set()


@pytest.mark.parametrize("bits", [3, 20])
def test_bits_of_a_design_file_beyond_the_slider_are_drawn(bits):
    explorer = noise_averaging.explorer(bench(0.008, bits=bits))
    assert "cannot be shown" not in explorer._told.value and "<img" in explorer._image.value
