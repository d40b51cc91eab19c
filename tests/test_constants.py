"""Every number that is not ours names its source, and the published ones are what their source says."""

import dataclasses
from fractions import Fraction

import pytest

from references import reference
from tempkit import constants
from tempkit.constants import CATALOGUE, NO_SOURCE, Constant


def all_constants():
    for name, value in vars(constants).items():
        for one in value if isinstance(value, tuple) else (value,):
            if isinstance(one, Constant):
                yield name, one


def test_every_constant_has_unit_and_source():
    found = list(all_constants())
    assert len(found) >= 15
    for name, constant in found:
        assert constant.unit.strip(), name
        assert constant.source in (NO_SOURCE, CATALOGUE) or any(digit.isdigit() for digit in constant.source), name


@pytest.mark.parametrize("source", ["", "   ", "\n"])
def test_no_constant_without_a_source(source):
    with pytest.raises(ValueError, match=r"source.*5\.0 V.*publication"):
        Constant(5.0, "V", source)


def test_a_constant_cannot_be_changed():
    with pytest.raises(dataclasses.FrozenInstanceError):
        constants.SUPPLY_V.value = 3.3


def test_supply_limits_as_in_the_usb_specification():
    """Source: USB 2.0 specification, section 7.2; its change notice of 2014 for the highest, from memory."""
    limits = reference("usb").expected
    lowest_v, highest_of_2000_v = limits["VBUS_min_max_V"]
    assert constants.USB_SOURCE_MIN_V.value == lowest_v
    assert constants.USB_SOURCE_MAX_V.value == highest_of_2000_v + 0.25 == 5.50
    assert float(constants.USB_BEHIND_HUB_MIN_V) == limits["low_power_device_min_V"]


def test_zero_celsius_from_the_triple_point():
    """Source: ITS-90, Metrologia 27 (1990) 3-10, Table 1: triple point of water 273.16 K and 0.01 degC."""
    t_k, t_c = reference("its90").expected["H2O TP"]
    assert Fraction(str(t_k)) - Fraction(str(t_c)) == Fraction(str(constants.ZERO_CELSIUS_K.value))


def test_fahrenheit_scale_from_ice_and_steam():
    """Source: NIST SP 811 (2008) App. B: 0 degC is 32 degF and 100 degC is 212 degF."""
    units = reference("temp-units")
    of = dict(zip(units.inputs["C"], units.expected["F"], strict=True))
    assert of[0] == float(constants.ZERO_CELSIUS_F)
    assert (of[100] - of[0]) / 100 == float(constants.FAHRENHEIT_PER_CELSIUS)
