"""Reference and converter: published conventions, and exact fractions for every code of 8, 10 and 12 bits."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from references import reference
from tempkit.chain import Converter, Reference, ideal_snr_db
from tempkit.chain.converter import TRANSFERS

BITS = (8, 10, 12)
REFERENCES_V = (5.0, 3.3, 2.5, 1.1, 4.83)
HALF = Fraction(1, 2)
BESIDE_AN_EDGE = Fraction(1, 10**15)  # relative; four times the rounding of a float that `code` asks for

every_converter = pytest.mark.parametrize(
    ("bits", "reference_v", "transfer"),
    [(bits, volts, transfer) for bits in BITS for volts in REFERENCES_V for transfer in TRANSFERS],
)
converters = st.builds(Converter, bits=st.integers(1, 24), transfer=st.sampled_from(TRANSFERS))
references_v = st.floats(0.5, 6.0)
voltages = st.floats(-1.0, 7.0)


def exact_code(v, reference_v, bits, transfer):
    """The definition in rational numbers, without any rounding: a route of its own."""
    level = Fraction(v) * 2**bits / Fraction(reference_v) + (HALF if transfer == "round" else 0)
    return min(max(math.floor(level), 0), 2**bits - 1)


def lower_edges(reference_v, bits, transfer):
    """Transition levels into code 0, 1, 2, ... [V], exact."""
    shift = HALF if transfer == "round" else 0
    return [(k - shift) * Fraction(reference_v) / 2**bits for k in range(2**bits)]


def at_or_above(edge):
    """The smallest float that is not below an exact edge."""
    v = float(edge)
    return v if Fraction(v) >= edge else math.nextafter(v, math.inf)


# ---- every code, exactly


@every_converter
def test_every_lower_edge_belongs_to_its_code(bits, reference_v, transfer):
    v = [at_or_above(edge) for edge in lower_edges(reference_v, bits, transfer)]
    codes = Converter(bits=bits, transfer=transfer).code(v, reference_v)
    assert codes.tolist() == list(range(2**bits))
    assert codes.tolist() == [exact_code(one, reference_v, bits, transfer) for one in v]


@every_converter
def test_just_below_every_edge_is_the_code_before(bits, reference_v, transfer):
    v = [float(edge * (1 - BESIDE_AN_EDGE)) for edge in lower_edges(reference_v, bits, transfer)[1:]]
    codes = Converter(bits=bits, transfer=transfer).code(v, reference_v)
    assert codes.tolist() == list(range(2**bits - 1))
    assert codes.tolist() == [exact_code(one, reference_v, bits, transfer) for one in v]


@every_converter
def test_the_last_float_below_an_edge_misses_by_one_code_at_most(bits, reference_v, transfer):
    """The docstring grants one rounding of a float: there, and only there, either side will do."""
    v = [math.nextafter(at_or_above(edge), -1) for edge in lower_edges(reference_v, bits, transfer)[1:]]
    beyond = Converter(bits=bits, transfer=transfer).code(v, reference_v) - np.arange(2**bits - 1)
    assert set(beyond.tolist()) <= {0, 1}


@every_converter
def test_every_middle_is_exact_there_and_back(bits, reference_v, transfer):
    converter = Converter(bits=bits, transfer=transfer)
    codes = np.arange(2**bits)
    step = Fraction(reference_v) / 2**bits
    middles = [edge + step / 2 for edge in lower_edges(reference_v, bits, transfer)]
    assert converter.volts(codes, reference_v).tolist() == [float(middle) for middle in middles]
    assert converter.code(converter.volts(codes, reference_v), reference_v).tolist() == codes.tolist()
    edges = [float(edge) for edge in lower_edges(reference_v, bits, transfer)]
    assert converter.volts(codes, reference_v, edge="lower").tolist() == edges


@every_converter
def test_one_voltage_gives_what_many_give(bits, reference_v, transfer):
    converter = Converter(bits=bits, transfer=transfer)
    v = np.random.default_rng(bits).uniform(-0.2, 1.2, (20, 10)) * reference_v
    codes = converter.code(v, reference_v)
    assert codes.tolist() == [[converter.code(float(one), reference_v) for one in row] for row in v]
    exact = [exact_code(one, reference_v, bits, transfer) for one in v.ravel().tolist()]
    assert codes.ravel().tolist() == exact
    one_by_one = [converter.volts(int(code), reference_v) for code in codes.ravel()]
    assert converter.volts(codes, reference_v).ravel().tolist() == one_by_one
    assert codes.shape == v.shape
    assert codes.dtype == np.int64
    assert type(converter.code(1.0, reference_v)) is int
    assert type(converter.volts(1, reference_v)) is float
    assert type(converter.saturated(1.0, reference_v)) is bool


# ---- outside values


def test_step_as_full_scale_over_two_to_the_bits():
    """Source: LSB = FSR / 2^N, the definition; IEEE Std 1241 (from memory)."""
    lsb = reference("adc-lsb")
    for (full_scale_v, bits), step_v in zip(lsb.inputs["cases"], lsb.expected["LSB_V"], strict=True):
        assert Converter(bits=bits).step_v(full_scale_v) == pytest.approx(step_v, rel=lsb.tolerance["rel"])


def test_step_of_the_running_example():
    assert Converter(bits=10).step_v(5.0) == 0.0048828125
    assert Converter(bits=10).codes == 1024


@pytest.mark.parametrize(("transfer", "key"), [("floor", "floor"), ("round", "mid_tread_round_half_up")])
def test_transfer_conventions(transfer, key):
    """Source: transition levels of IEEE Std 1241 / IEC 60748-4 (from memory)."""
    table = reference("adc-conv")
    converter = Converter(bits=table.inputs["N"], transfer=transfer)
    assert converter.code(table.inputs["V"], table.inputs["FSR"]).tolist() == table.expected[key]


@pytest.mark.parametrize(
    ("key", "transfer", "edge"),
    [
        ("floor,code*LSB", "floor", "lower"),
        ("floor,(code+0.5)*LSB", "floor", "middle"),
        ("round,code*LSB", "round", "middle"),
    ],
)
def test_quantisation_error(key, transfer, edge):
    """Source: q / sqrt(12) for an input spread evenly over many steps."""
    expected, tolerance = reference("adc-qerr").expected[key], reference("adc-qerr").tolerance["abs"]
    converter, lsb = Converter(bits=10, transfer=transfer), 1.0
    points_a_step = 1001  # the one point that may lie on a transition moves the mean by less than 1 / 1001
    v = (np.arange(1000 * points_a_step) + 0.5) / points_a_step + 1.0
    error = (converter.volts(converter.code(v, 1024.0), 1024.0, edge=edge) - v) / lsb
    assert error.mean() == pytest.approx(expected["mean"], abs=tolerance)
    assert np.sqrt(np.mean(error**2)) == pytest.approx(expected["rms"], abs=tolerance)
    assert error.std() == pytest.approx(expected.get("sd", expected["rms"]), abs=tolerance)


def test_quantisation_noise_in_millivolts():
    """Source: q / sqrt(12)."""
    q = reference("adc-q")
    step_mv = 1e3 * Converter(bits=q.inputs["N"]).step_v(q.inputs["FSR"])
    assert step_mv / math.sqrt(12) == pytest.approx(q.expected["q_rms_mV"], abs=q.tolerance["q"])


def test_signal_to_noise_ratio_of_an_ideal_converter():
    """Source: 20 log10(2^N sqrt(3/2)); IEEE Std 1241 (from memory)."""
    snr = reference("adc-q")
    expected_db, tolerance_db = snr.expected["SNR_dB_exact"], snr.tolerance["dB"]
    assert ideal_snr_db(snr.inputs["N"]) == pytest.approx(expected_db, abs=tolerance_db)
    rule_of_thumb_db = 0.02  # 6.02 N + 1.76 is rounded to two decimals, N is 12
    assert ideal_snr_db(12) == pytest.approx(6.02 * 12 + 1.76, abs=rule_of_thumb_db)
    assert ideal_snr_db(np.array([8, 12])).tolist() == [ideal_snr_db(8), ideal_snr_db(12)]


@pytest.mark.parametrize("transfer", ["floor", "round"])
def test_signal_to_noise_ratio_of_a_converted_sine(transfer):
    """The closed form against a full-scale sine that goes through the converter."""
    converter, samples = Converter(bits=10, transfer=transfer), 200_003
    full_turns = 7919  # prime and no divisor of the samples: every phase comes once
    sine = np.sin(2 * np.pi * full_turns * np.arange(samples) / samples)
    v = 2.5 + (2.5 - 2.5 / 1024) * sine
    error = converter.volts(converter.code(v, 5.0), 5.0) - v
    snr_db = 10 * np.log10(np.mean((2.5 * sine) ** 2) / np.mean(error**2))
    crests_db = 0.15  # at its crests a sine is not spread evenly over a step
    assert snr_db == pytest.approx(ideal_snr_db(10), abs=crests_db)


# ---- properties


@given(converters, references_v, st.lists(voltages, min_size=1, max_size=30))
def test_codes_never_fall_as_the_voltage_rises(converter, reference_v, v):
    assert (np.diff(converter.code(sorted(v), reference_v)) >= 0).all()


@given(converters, references_v, voltages)
def test_there_and_back_within_half_a_step(converter, reference_v, v):
    code = converter.code(v, reference_v)
    assert 0 <= code <= converter.codes - 1
    if not converter.saturated(v, reference_v):
        half_a_step = 0.5 * converter.step_v(reference_v) * (1 + 1e-9)  # and the rounding of 24 bits
        assert abs(converter.volts(code, reference_v) - v) <= half_a_step


@given(converters, references_v, st.floats(0, 1e6))
def test_saturation_is_said(converter, reference_v, beyond_v):
    half_step = 0.5 * converter.step_v(reference_v) if converter.transfer == "round" else 0.0
    assert converter.code(-beyond_v - 1e-6 - half_step, reference_v) == 0
    assert converter.saturated(-beyond_v - 1e-6 - half_step, reference_v)
    assert converter.code(reference_v + beyond_v, reference_v) == converter.codes - 1
    assert converter.saturated(reference_v + beyond_v, reference_v)


def test_where_saturation_begins():
    just = 1e-9  # V, far above the rounding, far below a step
    floor, rounded = Converter(bits=10), Converter(bits=10, transfer="round")
    half_step = 5.0 / 2048
    assert floor.saturated([-just, 0.0, 5.0 - just, 5.0], 5.0).tolist() == [True, False, False, True]
    edges = [-half_step - just, -half_step + just, 5.0 - half_step - just, 5.0 - half_step + just]
    assert rounded.saturated(edges, 5.0).tolist() == [True, False, False, True]


def test_round_is_half_up_not_half_to_even():
    rounded = Converter(bits=10, transfer="round")
    assert rounded.code([0.5, 1.5, 2.5, 3.5], 1024.0).tolist() == [1, 2, 3, 4]


def test_infinite_voltages_saturate_and_nan_has_no_code():
    converter = Converter(bits=10)
    assert converter.code([-np.inf, np.inf, np.nan], 5.0).tolist() == [0, 1023, -1]
    with pytest.raises(ValueError, match="nan V"):
        converter.code(math.nan, 5.0)


@pytest.mark.parametrize("code", [-1, 1024, -0.5, 1023.5, math.nan])
def test_a_code_that_is_none(code):
    with pytest.raises(ValueError) as error:
        Converter(bits=10).volts(code, 5.0)
    for part in (f"code {code:g} LSB", "0 to 1023 LSB"):
        assert part in str(error.value)
    assert np.isnan(Converter(bits=10).volts([code, 5], 5.0)).tolist() == [True, False]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"bits": 0}, "bits 0 bit must be a whole number, 1 to 24"),
        ({"bits": 25}, "bits 25 bit must be a whole number, 1 to 24"),
        ({"bits": 10.5}, "bits 10.5 bit must be a whole number, 1 to 24"),
        ({"bits": 10.0}, "bits 10.0 bit must be a whole number, 1 to 24"),
        ({"bits": "10"}, "bits '10' bit must be a whole number, 1 to 24"),
        ({"bits": True}, "bits True bit must be a whole number, 1 to 24"),
        ({"bits": 10, "transfer": "ceil"}, "transfer 'ceil' is not one of floor, round"),
        ({"bits": 10, "inl_lsb": -1.0}, "inl_lsb -1 LSB must be 0 or more"),
        ({"bits": 10, "gain_lsb": math.nan}, "gain_lsb nan LSB must be 0 or more"),
    ],
)
def test_a_converter_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        Converter(**arguments)
    assert words in str(error.value)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ({"nominal_v": 0.0}, "nominal_v 0 V must be above 0 V"),
        ({"nominal_v": math.inf}, "nominal_v inf V"),
        ({"nominal_v": 5.0, "true_v": -4.8}, "true_v -4.8 V must be above 0 V"),
        ({"nominal_v": 5.0, "tolerance": 5.0}, "tolerance 5 is outside 0 to 1: it is relative"),
        ({"nominal_v": 5.0, "kind": "mains"}, "kind 'mains' is not one of supply, fixed"),
    ],
)
def test_a_reference_that_cannot_be(arguments, words):
    with pytest.raises(ValueError) as error:
        Reference(**arguments)
    assert words in str(error.value)


def test_edge_and_reference_are_checked():
    with pytest.raises(ValueError, match="edge 'top' is not one of middle, lower"):
        Converter(bits=10).volts(1, 5.0, edge="top")
    for call in (Converter(bits=10).step_v, lambda v: Converter(bits=10).code(1.0, v)):
        with pytest.raises(ValueError, match="reference_v 0 V must be above 0 V"):
            call(0.0)
    with pytest.raises(ValueError, match="bits 0 bit is outside 1 to 64 bit"):
        ideal_snr_db(0)
