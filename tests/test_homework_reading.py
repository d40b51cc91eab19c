"""Typed answers: the usual ways of writing a number are understood, all else is refused with a sentence."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tempkit.exercises import Column, read, reading
from tempkit.exercises.checking import understand

UNDERSTOOD = [
    ("0,488", 0.488, ""),
    ("0.488", 0.488, ""),
    (".5", 0.5, ""),
    ("5.", 5.0, ""),
    ("1 234,5", 1234.5, ""),
    ("1'234.5", 1234.5, ""),
    ("1\N{RIGHT SINGLE QUOTATION MARK}234.5", 1234.5, ""),
    ("1\N{THIN SPACE}234.5", 1234.5, ""),
    ("1\N{NARROW NO-BREAK SPACE}234,5", 1234.5, ""),
    ("12\N{NO-BREAK SPACE}345", 12345.0, ""),
    ("1,234.5", 1234.5, ""),
    ("1.234,5", 1234.5, ""),
    ("1.234.567", 1234567.0, ""),
    ("1_000", 1000.0, ""),
    ("4.88e-3", 0.00488, ""),
    ("4.88E-3V", 0.00488, "V"),
    ("5 e3", 5000.0, ""),
    ("4,88·10^-3", 0.00488, ""),
    ("4,88 × 10⁻³ V", 0.00488, "V"),
    ("4.88*10**-3", 0.00488, ""),
    ("10^-3 V", 0.001, "V"),
    ("10⁻³ V", 0.001, "V"),
    ("4.88 mV", 4.88, "mV"),
    ("4.88mV", 4.88, "mV"),
    ("\N{MINUS SIGN}40", -40.0, ""),
    ("\N{EN DASH}40 °C", -40.0, "°C"),
    ("- 40", -40.0, ""),
    ("+2", 2.0, ""),
    ("= 25 ℃", 25.0, "°C"),
    ("\N{FULLWIDTH DIGIT TWO}\N{FULLWIDTH DIGIT FIVE}", 25.0, ""),
    ("50%", 50.0, "%"),
    ("10 mV/°C", 10.0, "mV/°C"),
    ("926.5 mV.", 926.5, "mV"),
    ("25.0 °C,", 25.0, "°C"),
    ("code 614", 614.0, "code"),
    ("Code -5.", -5.0, "Code"),
    ("25 \N{MASCULINE ORDINAL INDICATOR}C", 25.0, "°C"),
    ("25 \N{RING ABOVE}C", 25.0, "°C"),
]

REFUSED = [
    ("", "Nothing"),
    ("   ", "Nothing"),
    ("nan", "not a number"),
    ("-inf", "not a number"),
    ("∞", "not a number"),
    ("warm", "No number"),
    ("about 5", "No number"),
    ("code 5 mV", "No number"),
    ("-", "No number"),
    ("1e999", "power of ten"),
    ("1e-400", "power of ten"),
    ("1e99999999999", "power of ten"),
    ("9" * 5000, "longer"),
    ("1.234.5", "three digits"),
    ("12 34", "three digits"),
    ("2'5", "three digits"),
    ("1,,2", "three digits"),
    ("1.2,3.4", "twice"),
    ("1/2", "More than one"),
    ("5±1", "More than one"),
    ("2*3", "More than one"),
    ("0x65", "decimal digits"),
    ("\N{ARABIC-INDIC DIGIT ONE}", "digits 0 to 9"),
]


@pytest.mark.parametrize(("text", "value", "unit"), UNDERSTOOD)
def test_usual_ways_of_writing_are_understood(text, value, unit):
    found = read(text)
    assert found.refusal == ""
    assert found.value == pytest.approx(value, rel=1e-15)
    assert found.unit == unit


@pytest.mark.parametrize(("text", "said"), REFUSED, ids=lambda text: text[:12])
def test_the_rest_is_refused_with_a_reason(text, said):
    found = read(text)
    assert found.value is None
    assert said in found.refusal and found.refusal.endswith(".")


def test_a_lone_comma_is_the_decimal_mark_and_that_is_said_where_a_thousand_may_be_meant():
    assert (read("1,234").value, read("1.234").value) == (1.234, 1.234)
    assert "decimal mark" in read("1,234").note
    assert read("0,488").note == read("12,5").note == read("1.234").note == ""


def test_a_lone_comma_groups_thousands_where_a_whole_number_is_asked_for():
    for text, value in (("90,000", 90000.0), ("-1,234 codes", -1234.0), ("0,488", 0.488), ("12,5", 12.5)):
        assert read(text, whole=True).value == value
    assert read("90,000", whole=True).note == "" and read("90,000").value == 90.0


def test_the_place_of_the_last_digit_is_known():
    for text, place in (("25.0 °C", 0.1), ("490", 1.0), ("4,88·10^-3", 1e-5), ("1.234.567", 1.0), ("1'234.50", 0.01)):
        assert read(text).place == pytest.approx(place)


@given(st.text(max_size=80))
@example("1" * 60)
@example("10^")
@example("e5")
@example("٣e٣")
@example("1e\N{SUPERSCRIPT TWO}")
@example("10^\N{ARABIC-INDIC DIGIT THREE}")
def test_any_text_is_a_finite_number_or_a_refusal(text):
    found = read(text)
    assert (found.value is None) == bool(found.refusal)
    assert found.value is None or math.isfinite(found.value)


@given(st.text(alphabet="0123456789.,'  eE+-−·×x*^10⁻³ mVkKΩ°CF%", max_size=24))
def test_near_numbers_are_finite_numbers_or_refusals_too(text):
    for quantity in reading.FAMILIES:
        got = understand(text, Column("typed", quantity, reading.signs(quantity)[0], 1.0))
        assert got.refusal or math.isfinite(got.value)


@given(st.floats(-1e9, 1e9), st.sampled_from([".", ","]), st.sampled_from(["-", "\N{MINUS SIGN}"]))
def test_what_is_printed_is_read_back(value, mark, minus):
    text = f"{value:.3f}".replace("-", minus).replace(".", mark)
    assert read(text).value == round(value, 3)


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(reading.FAMILIES)), st.data())
def test_units_of_a_family_convert_there_and_back(value, family, data):
    sign, other = (data.draw(st.sampled_from(reading.signs(family))) for _ in range(2))
    there = reading.convert(value, sign, other, family)
    assert reading.convert(there, other, sign, family) == pytest.approx(value, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("family", reading.FAMILIES)
def test_no_spelling_means_two_units_of_a_family(family):
    spellings = [s for unit in reading.FAMILIES[family] for s in (unit.sign, *unit.spellings)]
    assert len(spellings) == len(set(spellings))
    assert all(reading.find(unit.sign, family) is unit for unit in reading.FAMILIES[family])


# Fixed points of the temperature scales: NIST SP 811 (2008), Appendix B.8, and ITS-90 for the kelvin.
@pytest.mark.parametrize(
    ("value", "unit", "wanted", "family", "result"),
    [
        (212.0, "°F", "°C", "temperature", 100.0),
        (273.15, "K", "°C", "temperature", 0.0),
        (-40.0, "°F", "°C", "temperature", -40.0),
        (18.0, "°F", "°C", "temperature span", 10.0),
        (10.0, "K", "°C", "temperature span", 10.0),
        (4880.0, "µV", "mV", "voltage", 4.88),
        (1.5, "kΩ", "Ω", "resistance", 1500.0),
        (2.0, "min", "s", "time", 120.0),
        (0.01, "V/°C", "mV/°C", "sensor slope", 10.0),
        (500.0, "ppm", "%", "percent", 0.05),
    ],
)
def test_known_conversions(value, unit, wanted, family, result):
    assert reading.convert(value, unit, wanted, family) == pytest.approx(result, abs=1e-12)


@pytest.mark.parametrize(
    ("spelt", "family", "sign"),
    [
        *((spelt, "temperature", "°C") for spelt in ("degrees C", "degree Celsius", "deg C", "degC", "Degrees c")),
        *((spelt, "temperature span", "°F") for spelt in ("degrees F", "degF", "degree Fahrenheit")),
        *((spelt, "voltage", "mV") for spelt in ("mVolt", "mVolts", "mvolt")),
        *((spelt, "sensor slope", "mV/°C") for spelt in ("mV per degree", "mV / °C", "mV/degrees C", "mV/K", "mV/°")),
        ("per cent", "percent", "%"),
        ("µVolt", "voltage", "µV"),
    ],
)
def test_usual_spellings_of_a_unit_are_known(spelt, family, sign):
    assert reading.find(spelt, family).sign == sign


@pytest.mark.parametrize("spelt", ["uV", "μV", "µV", "microvolts"])
def test_both_letters_mu_and_the_plain_u_are_known(spelt):
    assert reading.find(spelt, "voltage").sign == "µV"


def test_capitals_count_where_they_change_the_meaning():
    assert reading.find("mv", "voltage").sign == "mV" and reading.find("v", "voltage").sign == "V"
    assert reading.find("MV", "voltage") is reading.find("mohm", "resistance") is None
    assert (reading.find("mΩ", "resistance"), reading.find("MΩ", "resistance").sign) == (None, "MΩ")
