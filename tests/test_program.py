"""The loop's lines say what they compute: the Python text is run, the C text compiled, and both compared."""

import itertools
import shutil
import subprocess

import numpy as np
import pytest

from tempkit.board import loop_numbers, program
from tempkit.board.loop import ARITHMETICS, CHANGES, LANGUAGES
from tempkit.chain import Chain, Converter, Divider, LinearSensor, Reference, Thermistor, scenario

STEEP = LinearSensor(at_0c_v=0.35, slope_v_per_c=0.018)
FALLING = LinearSensor(at_0c_v=1.8, slope_v_per_c=-0.011)


def other(sensor, nominal_v, bits, transfer="floor"):
    reference = Reference(nominal_v=nominal_v, kind="fixed")
    return Chain(sensor=sensor, reference=reference, converter=Converter(bits=bits, transfer=transfer))


CHAINS = {
    "bench": scenario(),
    "rounding": scenario(transfer="round"),
    "3.3 V, 12 bits, steep": other(STEEP, 3.3, 12),
    "2.5 V, 8 bits, falling": other(FALLING, 2.5, 8),
    "4 V, 16 bits": other(LinearSensor(), 4.0, 16, "round"),
    "5 V, 24 bits": other(LinearSensor(), 5.0, 24),
    "ratiometric": scenario(ratiometric_at_v=5.0, nominal_v=4.5),
}
LOOPS = list(itertools.product(ARITHMETICS, CHANGES))
every_chain = pytest.mark.parametrize("chain", CHAINS.values(), ids=CHAINS)
every_loop = pytest.mark.parametrize("arithmetic, change", LOOPS, ids=["-".join(loop) for loop in LOOPS])


def some_codes(chain, count=300):
    """Codes from bottom to top, both ends included."""
    top = chain.converter.codes - 1
    return sorted({round(part * top) for part in np.linspace(0, 1, count)})


# ---- the right loop


@every_chain
def test_floating_point_is_the_chains_own_reading(chain):
    codes = np.array(some_codes(chain))
    found = program(chain, "c", "float").reading_c(codes)
    np.testing.assert_allclose(found, chain.reading(codes, checked=False), rtol=1e-9, atol=1e-9)


@every_chain
def test_integers_agree_to_a_tenth(chain):
    """The loop rounds twice: half a millivolt over the slope, and half a tenth of a degree, are the most."""
    codes = np.array(some_codes(chain))
    found = program(chain, "c", "integers").reading_c(codes)
    half_mv_c = 0.0005 / abs(loop_numbers(chain).slope_v_per_c)
    worst = np.abs(found - chain.reading(codes, checked=False)).max()
    assert worst <= half_mv_c + 0.05 + 1e-9


def test_the_bench_in_integers():
    """163 x 5000 = 815000; + 2500 = 817500; + 512 = 818012, over 1024: 798 mV; 198 x 5 / 4 = 247.5; 446 + 320."""
    held = program(scenario(), "c", "integers").values(163)
    assert held == {
        "supply_mv": 5000,
        "code": 163,
        "product": 815000,
        "mv": 798,
        "tenths_c": 248,
        "tenths_f": 766,
    }


# ---- one line changed: literal values, worked by hand for code 163 of the bench


@pytest.mark.parametrize(
    "arithmetic, change, printed",
    [
        ("float", "none", "24.8 degC  76.6 degF"),  # 163.5 x 5 / 1024 = 0.798340 V
        ("float", "divide_first", "-75.0 degC  -103.0 degF"),  # 5 / 1024 = 0, then (0 - 0.6) / 0.008
        ("float", "count", "24.9 degC  76.8 degF"),  # 163.5 x 5 / 1023 = 0.799120 V
        ("float", "supply", "-9.1 degC  15.6 degF"),  # 163.5 x 3.3 / 1024 = 0.526904 V
        ("float", "span", "24.8 degC  44.6 degF"),  # 24.792 x 1.8
        ("float", "offset", "99.8 degC  211.6 degF"),  # 0.798340 / 0.008
        ("float", "millivolt", "-74.9 degC  -102.8 degF"),  # (0.7983 - 600) / 8
        ("float", "product16", "24.8 degC  76.6 degF"),  # no such line
        ("integers", "divide_first", "6.5 degC  43.7 degF"),  # 5000 / 1024 = 4; 4 x 163 = 652 mV
        ("integers", "count", "24.9 degC  76.8 degF"),  # 817500 / 1023 = 799.1; 248.75
        ("integers", "supply", "-9.1 degC  15.6 degF"),  # (537900 + 1650) / 1024 = 526.9; -91.25; -9.1 x 1.8 = -16.4
        ("integers", "product16", "-71.3 degC  -96.3 degF"),  # (28568 + 2500) / 1024 = 30.3 -> 30; -712.5
        ("integers", "span", "24.8 degC  44.6 degF"),
        ("integers", "offset", "99.8 degC  211.6 degF"),  # 997.5
        ("integers", "millivolt", "-74.9 degC  -102.8 degF"),  # (815 + 2) / 1024 -> 1 mV
    ],
)
def test_a_changed_line(arithmetic, change, printed):
    for language in LANGUAGES:
        assert program(scenario(), language, arithmetic, change).printed(163) == printed


@every_loop
@pytest.mark.parametrize("language", LANGUAGES)
def test_exactly_one_line_differs(language, arithmetic, change):
    """And it is the one that the program names; the loop with floating point has no product to keep."""
    right = program(scenario(), language, arithmetic)
    now = program(scenario(), language, arithmetic, change)
    assert len(now.texts()) == len(right.texts()) == len(now.lines) + 1
    pairs = zip(now.texts()[:-1], right.texts()[:-1], strict=True)
    different = [name for name, (text, was) in zip(now.values(163), pairs, strict=True) if text != was]
    assert now.texts()[-1] == right.texts()[-1]
    missing = change == "none" or (arithmetic, change) == ("float", "product16")
    assert different == ([] if missing else [now.changed])


@every_loop
@every_chain
def test_arrays_agree_with_scalars(chain, arithmetic, change):
    loop = program(chain, "c", arithmetic, change)
    codes = some_codes(chain, 20)
    found = loop.reading_c(np.array(codes))
    assert found.shape == (len(codes),)
    assert [loop.reading_c(code) for code in codes] == list(found)


@pytest.mark.parametrize(
    "wrong, words",
    [
        ({"language": "basic"}, "c, python"),
        ({"arithmetic": "decimal"}, "float, integers"),
        ({"change": "all"}, "none, divide_first"),
    ],
)
def test_unknown_choices_are_refused(wrong, words):
    with pytest.raises(ValueError, match=words):
        program(scenario(), **wrong)


def test_a_bent_sensor_is_refused():
    bent = Chain(Thermistor.from_beta(9100.0, 3610.0), Reference(5.0), Converter(10), Divider(fixed_ohm=9100.0))
    with pytest.raises(ValueError, match="linear sensor"):
        loop_numbers(bent)


def test_a_slope_too_small_for_microvolts_is_refused():
    with pytest.raises(ValueError, match="microvolts"):
        loop_numbers(other(LinearSensor(slope_v_per_c=1e-7), 5.0, 10))


# ---- the text itself


@every_loop
@every_chain
def test_the_python_text_does_what_the_values_say(chain, arithmetic, change, capsys):
    loop = program(chain, "python", arithmetic, change)
    codes = some_codes(chain, 60)
    feed = iter(codes)
    names = {"read_converter": lambda: next(feed)}
    exec(compile(loop.source(), "loop", "exec"), names)
    for _ in codes:
        names["measure"]()
    assert capsys.readouterr().out.splitlines() == [loop.printed(code) for code in codes]


MAIN = """
static int32_t next_code;
int32_t read_converter(void) {{ return next_code; }}
int main(void)
{{
    static const int32_t codes[] = {{{codes}}};
    for (unsigned i = 0; i < sizeof codes / sizeof codes[0]; i++) {{ next_code = codes[i]; measure(); }}
    return 0;
}}
"""


@pytest.mark.long
@every_loop
@every_chain
def test_the_c_text_does_what_the_values_say(chain, arithmetic, change, tmp_path, require):
    """Compiled as C99; a compiler may choose what a too large value leaves in 16 bits, and this one wraps."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    require("compiler", compiler, "no C compiler called cc or gcc")
    loop = program(chain, "c", arithmetic, change)
    codes = some_codes(chain, 1024)
    source, binary = tmp_path / "loop.c", tmp_path / "loop"
    source.write_text(loop.source() + MAIN.format(codes=", ".join(map(str, codes))), encoding="utf-8")
    strict = ["-Werror"] if change == "none" else []
    command = [compiler, "-std=c99", "-Wall", "-Wextra", *strict, "-O2", "-o", str(binary), str(source)]
    subprocess.run(command, check=True, capture_output=True)
    found = subprocess.run([str(binary)], check=True, capture_output=True, text=True).stdout.splitlines()
    assert found == [loop.printed(code) for code in codes]
