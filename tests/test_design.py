"""A design and its parts: what each part refuses, and that nothing is assumed that was not stated."""

import dataclasses
import math

import pytest

from tempkit.chain import Design, Limits, Link, Noise, Outputs, Response, Smoothing, scenario

OPTIONAL = ("noise", "response", "smoothing", "alarm", "outputs", "link")


def test_what_was_not_stated_is_none():
    design = Design("North bench", scenario())
    assert [getattr(design, part) for part in OPTIONAL] == [None] * len(OPTIONAL)
    assert design.format == 1


def test_a_whole_design():
    design = Design(
        title="North bench, air above the seedlings",
        chain=scenario(),
        noise=Noise(input_v=0.002, samples=16),
        response=Response(tau_s=40.0),
        smoothing=Smoothing(tau_s=5.0),
        alarm=Limits(low_c=18.0, high_c=27.0, deadband_c=0.5, on_delay_samples=5, off_delay_samples=5),
        outputs=Outputs(lamp_current_a=0.006),
        link=Link(baud=9600, frame="8N1"),
    )
    assert None not in [getattr(design, part) for part in OPTIONAL]
    assert dataclasses.replace(design) == design
    with pytest.raises(dataclasses.FrozenInstanceError):
        design.title = "South bench"


@pytest.mark.parametrize("limits", [{"low_c": 18.0}, {"high_c": 27.0}, {"low_c": -5.0, "high_c": 27.0}])
def test_one_limit_is_enough(limits):
    assert Limits(**limits).on_delay_samples == 1


@pytest.mark.parametrize(
    ("part", "arguments", "words"),
    [
        (Noise, {"input_v": -0.001}, "input_v -0.001 V must be 0 or more"),
        (Noise, {"input_v": math.nan}, "input_v nan V must be 0 or more"),
        (Noise, {"samples": 0}, "samples 0 samples must be a whole number, 1 or more"),
        (Noise, {"samples": 2.5}, "samples 2.5 samples must be a whole number"),
        (Response, {"tau_s": -1.0}, "tau_s -1 s must be 0 or more"),
        (Smoothing, {"tau_s": math.nan}, "tau_s nan s must be 0 or more"),
        (Limits, {}, "an alarm needs low_c or high_c [degC]"),
        (Limits, {"low_c": 27.0, "high_c": 18.0}, "low_c 27 degC must be below high_c 18 degC"),
        (Limits, {"low_c": 18.0, "high_c": 18.0}, "low_c 18 degC must be below high_c 18 degC"),
        (Limits, {"low_c": math.nan}, "low_c nan degC is no finite number"),
        (Limits, {"low_c": 18.0, "high_c": math.inf}, "high_c inf degC is no finite number"),
        (Limits, {"low_c": 18.0, "deadband_c": -0.5}, "deadband_c -0.5 degC must be 0 or more"),
        (Limits, {"low_c": 18.0, "on_delay_samples": 0}, "on_delay_samples 0 samples must be a whole number"),
        (Limits, {"low_c": 18.0, "off_delay_samples": 1.5}, "off_delay_samples 1.5 samples must be a whole"),
        (Limits, {"low_c": 18.0, "sample_period_s": 0.0}, "sample_period_s 0 s must be above 0 s"),
        (Outputs, {"lamp_current_a": -0.006}, "lamp_current_a -0.006 A must be 0 or more"),
        (Link, {"baud": 0}, "baud 0 bit/s must be a whole number, 1 or more"),
    ],
)
def test_a_part_that_cannot_be(part, arguments, words):
    with pytest.raises(ValueError) as error:
        part(**arguments)
    assert words in str(error.value)
