"""Code for the board: on the host, in a simulated 8-bit core and in MicroPython, number for number the same."""

import re
import shutil
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import eightbit
import generated
from tempkit.__main__ import main
from tempkit.alarm import Alarm, trip_codes
from tempkit.board import nearest, numbers, write
from tempkit.board.model import line
from tempkit.board.whole_numbers import NO_CODE, BoardLoop, Line, Table, at_zero, codes_of, most_off
from tempkit.chain import Design, Limits, Noise, Smoothing, read, reference_mv, scenario
from tempkit.chain.parts.thermocouple import celsius_of_mv
from tempkit.logs import read as read_log

DESIGNS = dict(generated.designs())
every_design = pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
few_designs = pytest.mark.parametrize(
    "design", dict(generated.designs((10,))).values(), ids=dict(generated.designs((10,)))
)
COUPLE = generated.ROOT / "data" / "chains" / "north-bench-thermocouple-k.toml"
CHOICES = {"stuck_readings": 12, "invalid_delay": 2}


def bench():
    return read(generated.ROOT / "data" / "chains" / "north-bench.toml")


def codes_and_model(n):
    first, last = generated.ends(n)
    codes = np.arange(first, last + 1)
    return codes, n.conversion.of(codes * n.per_code)


def trace_of(n, seed, count=4000):
    """Codes that wander over the range, with invalid ones, a stuck stretch and presses of the silence key.

    Pairs: beside each the code of a second input, 0 where there is none.
    """
    rng = np.random.default_rng(seed)
    spread = n.last_code - n.first_code
    slow = np.interp(np.arange(count), np.arange(0, count + 100, 100), rng.uniform(-0.05, 1.05, count // 100 + 1))
    codes = np.round(n.first_code + spread * slow + rng.normal(0, spread / 60, count)).astype(int)
    codes = np.clip(codes, 0, 2**n.bits - 1)
    codes[rng.random(count) < 0.01] = NO_CODE
    at = int(rng.integers(0, count - 300))
    codes[at : at + 20 * n.samples] = codes[at]
    cold = np.zeros(count, dtype=int)
    if n.cold:
        ends = (n.cold.first_code, n.cold.last_code)
        cold = np.round(np.interp(np.arange(count), np.linspace(0, count, 9), rng.uniform(*ends, 9))).astype(int)
        cold[rng.random(count) < 0.003] = rng.choice([0, NO_CODE, ends[1] + 1])
    trace = list(zip(codes.tolist(), cold.tolist(), strict=True))
    for place in sorted(rng.integers(0, count, 12).tolist(), reverse=True):
        trace.insert(place, (generated.KEY, 0))
    return trace


def model_lines(n, trace):
    """What the integer model says after each reading of a trace, as the test programs print it."""
    loop, lines = BoardLoop(n), []
    for code, cold in trace:
        if code == generated.KEY:
            loop.alarm.silence()
        elif loop.take(code, cold):
            a = loop.alarm
            told = (loop.level, a.state, a.known, a.invalid, a.silenced, *a.outputs(), loop.milli_c)
            lines.append(" ".join(str(int(each)) for each in told))
    return lines


def exact_c(chain, codes, cold_codes):
    """Readings [degC] of a thermocouple by the chain's own formula, the terminals at what their sensor says."""
    step_v = chain.converter.step_v(chain.reference.nominal_v)
    cold_c = ((cold_codes + 0.5) * step_v - chain.circuit.cold_at_0c_v) / chain.circuit.cold_slope_v_per_c
    mv = 1000 * ((codes + 0.5) * step_v - chain.circuit.bias_v) / chain.circuit.gain
    return celsius_of_mv(chain.sensor.letter, mv + reference_mv(chain.sensor.letter, cold_c))


# ---- the numbers


@every_design
def test_every_code_is_as_close_to_the_exact_chain_as_it_says(design):
    n = numbers(design)
    codes, model = codes_and_model(n)
    readings = at_zero(design.chain).reading(codes, checked=False)
    off = np.abs(model / 1000 - readings)
    assert off.max() <= n.worst_c + 1e-12
    tenth_of_step = np.abs(np.gradient(readings)) / 10
    assert (off <= (0.000501 if isinstance(n.conversion, Line) else np.maximum(0.02, tenth_of_step))).all()


def test_the_line_against_fractions():
    """Independent route: the formula of the scenario, (code + 1/2) * 5 / 1024 V, 0.6 V at 0 degC, 0.008 V/degC."""
    conversion = numbers(Design("bench", scenario(), alarm=Limits(high_c=27.0))).conversion
    for code in range(81, 304):
        exact = 1000 * ((code + Fraction(1, 2)) * 5 / 1024 - Fraction(3, 5)) * 125
        assert abs(conversion.of(code) - exact) <= Fraction(1, 2)


@given(st.lists(st.integers(-(10**6), 10**6), min_size=2, max_size=20), st.integers(0, 1000), st.integers(1, 500))
def test_a_table_meets_its_values_and_is_straight_between(values, start, width):
    table = Table(start, width, tuple(values))
    nodes = start + width * np.arange(len(values))
    assert table.of(nodes).tolist() == values
    between = np.arange(nodes[0], nodes[-1] + 1)
    assert np.abs(table.of(between) - np.interp(between, nodes, values)).max() <= 0.5 + 1e-6
    assert [table.of(int(level)) for level in between[:50]] == table.of(between[:50]).tolist()


@every_design
def test_the_trip_levels_are_where_the_readings_pass_the_limits(design):
    n, alarm = numbers(design), design.alarm
    codes, _ = codes_and_model(n)
    readings = at_zero(design.chain).reading(codes, checked=False)
    rule = n.trips
    levels = codes * n.per_code
    assert [rule.beyond(level) for level in levels.tolist()] == (
        (readings > alarm.high_c).astype(int) - (readings < alarm.low_c).astype(int)
    ).tolist()
    assert [rule.is_back(level, 1) for level in levels.tolist()] == (
        readings < alarm.high_c - alarm.deadband_c
    ).tolist()
    assert [rule.is_back(level, -1) for level in levels.tolist()] == (
        readings > alarm.low_c + alarm.deadband_c
    ).tolist()


@every_design
def test_without_smoothing_the_levels_are_the_trip_codes(design):
    """Independent route: `trip_codes` searches codes, `numbers` levels; these are finer for a thermocouple."""
    n = numbers(design)
    up = n.per_code - 1 if n.trips.rising else 0
    edges = {name: getattr(n.trips, name) + up for name in ("high_on", "low_off")}
    edges |= {name: getattr(n.trips, name) + n.per_code - 1 - up for name in ("high_off", "low_on")}
    codes = replace(n.trips, **{name: level // n.per_code for name, level in edges.items()})
    assert codes == trip_codes(at_zero(design.chain), Alarm.from_limits(design.alarm))


@few_designs
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_loop_is_the_alarm_of_the_book(design, seed):
    """Without smoothing the board's state is that of `Alarm.run` on the readings of the exact chain.

    What a cold junction adds is rounded, so pairs nearer to an edge than the figure of the header are left out.
    """
    n, alarm = numbers(design), Alarm.from_limits(design.alarm)
    codes, cold = np.array([pair for pair in trace_of(n, seed) if pair[0] != generated.KEY]).T
    valid = (codes >= n.first_code) & (codes <= n.last_code)
    if n.cold:
        readings = exact_c(design.chain, codes, cold)
        ends = at_zero(design.chain).reading(np.array(generated.ends(n)), checked=False)
        edges = np.array([*ends, alarm.low_c, alarm.low_back_c, alarm.high_back_c, alarm.high_c])
        kept = (np.abs(readings[:, None] - edges) > n.worst_c).all(axis=1)
        assert kept.mean() > 0.97
        codes, cold, valid, readings = (each[kept] for each in (codes, cold, valid, readings))
        valid &= (cold >= n.cold.first_code) & (cold <= n.cold.last_code)
        valid &= (readings >= ends[0]) & (readings <= ends[1])
    else:
        readings = design.chain.reading(np.maximum(codes, 0), checked=False)
    loop, states = BoardLoop(n), []
    for pair in zip(codes.tolist(), cold.tolist(), strict=True):
        loop.take(*pair)
        states.append((loop.alarm.state, loop.alarm.invalid))
    run = alarm.run(readings, valid=valid)
    assert states == list(zip(run.state.tolist(), run.invalid.tolist(), strict=True))
    assert {1, -1, 0} <= set(run.state.tolist()) and run.invalid.any()


def test_smoothing_follows_the_formula():
    """Against the filter in floating point: within a sixteenth of a code, as the numbers promise."""
    design = replace(bench(), noise=Noise(samples=4), smoothing=Smoothing(tau_s=20.0))
    n = numbers(design)
    rng = np.random.default_rng(8)
    loop, y = BoardLoop(n), None
    for code in np.repeat(rng.integers(n.first_code, n.last_code, 30), 4 * 40).tolist():
        if loop.take(code):
            factor = 1 - np.exp(-1.0 / 20.0)
            y = code if y is None else y + factor * (code - y)
            assert abs(loop.level / n.per_code - y) < 1 / 16


@pytest.mark.parametrize("invalid_delay", [1, 2, 3])
def test_smoothing_goes_on_while_the_invalid_call_stands(invalid_delay):
    """Record, step and board: anew with the first valid reading after a row of invalid ones, and no other."""
    design = replace(bench(), noise=Noise(), alarm=Limits(high_c=27.0, off_delay_samples=4))
    n = numbers(design, invalid_delay=invalid_delay)
    rng = np.random.default_rng(invalid_delay)
    codes = np.where(rng.random(2000) < 0.4, NO_CODE, rng.integers(160, 175, 2000))
    alarm = replace(Alarm.from_limits(design.alarm), invalid_delay=invalid_delay)
    readings = alarm.smoothed(design.chain.reading(np.maximum(codes, 1)), n.factor / 32768, valid=codes > 0)
    run, loop, standing = alarm.run(readings), BoardLoop(n), 0
    for place, code in enumerate(codes.tolist()):
        loop.take(code)
        assert (loop.alarm.invalid, loop.alarm.valid) == (run.invalid[place], run.valid[place])
        if code > 0:
            assert loop.milli_c / 1000 == pytest.approx(readings[place], abs=n.worst_c)
            standing += loop.alarm.invalid and loop.level != code * n.per_code
    assert standing > 20  # readings that were smoothed although the call stood


def test_by_hand_smoothing_after_a_row_of_invalid_readings():
    n = numbers(replace(bench(), noise=Noise(), alarm=Limits(high_c=27.0, off_delay_samples=9)))
    loop, levels = BoardLoop(n), []
    for code in (150, NO_CODE, 200, 200, 100, NO_CODE, 120):
        loop.take(code)
        levels.append(loop.level / n.per_code)
    smaller = 200 - 100 * n.factor / 32768
    assert levels == pytest.approx([150, 150, 200, 200, smaller, smaller, 120], abs=1 / 16)
    assert loop.alarm.invalid


@pytest.mark.parametrize(
    "change",
    [{}, {"smoothing": None}, {"noise": Noise(samples=3)}, {"smoothing": Smoothing(tau_s=60.0)}],
    ids=["bench", "plain", "three samples", "slow"],
)
@pytest.mark.parametrize("name", ["north-bench", "north-bench-thermistor", "north-bench-platinum-bridge"])
def test_the_headers_figure_holds_between_codes_and_for_smoothing(name, change, tmp_path):
    """Every level; and for each level the exact chain at what exact smoothing may have had there."""
    design = replace(read(generated.ROOT / "data" / "chains" / f"{name}.toml"), **change)
    n = numbers(design)
    levels = np.arange(n.first_code * n.per_code, n.last_code * n.per_code + 1)
    reading = n.conversion.of(levels) / 1000
    off = 16384 / n.factor if n.factor else 0.0
    for side in (-off, 0.0, off):
        exact = design.chain.reading(np.clip((levels + side) / n.per_code, n.first_code, n.last_code), checked=False)
        assert np.abs(reading - exact).max() <= n.worst_c * 1.001
    head = write(design, "c", tmp_path)[0].read_text(encoding="utf-8")
    told = float(re.search(r"at most (\d\.\d{4}) degC from the exact chain, at every level\.", head)[1])
    assert n.worst_c - 1e-9 <= told < n.worst_c + 1e-4
    assert ("What is rounded in smoothing is in that figure." in head) == bool(n.factor)


@pytest.mark.parametrize("samples", [3, 16])
def test_the_figure_holds_where_not_every_level_is_looked_at(samples):
    design = read(generated.ROOT / "data" / "chains" / "north-bench-thermistor.toml")
    converter = replace(design.chain.converter, bits=15)
    chain = replace(design.chain, converter=converter)
    n = numbers(replace(design, chain=chain, noise=Noise(samples=samples), smoothing=None), table_error_c=0.001)
    levels = np.arange(n.first_code * n.per_code, n.last_code * n.per_code + 1)
    most = np.abs(n.conversion.of(levels) / 1000 - chain.reading(levels / n.per_code, checked=False)).max()
    if samples == 16:
        assert levels.size > 2**18
    assert most - 1e-12 <= n.worst_c <= most + 0.0015


def test_smoothing_rounds_by_no_more_than_the_figure_takes_it_for():
    design = replace(bench(), noise=Noise(samples=4), smoothing=Smoothing(tau_s=100.0))
    n = numbers(design)
    rng = np.random.default_rng(3)
    loop, y, most = BoardLoop(n), None, 0.0
    for code in np.repeat(rng.integers(n.first_code, n.last_code, 60), 4 * 60).tolist():
        if loop.take(code):
            target = 4 * code << n.fraction_bits
            y = target if y is None else y + n.factor / 32768 * (target - y)
            most = max(most, abs(loop.level - y))
    assert 0.5 < most <= 16384 / n.factor


def test_a_code_that_stands_still_is_invalid_from_the_reading_named():
    n = numbers(replace(bench(), noise=Noise()), stuck_readings=5)
    loop, valid = BoardLoop(n), []
    for code in (150, 151, 151, 151, 151, 151, 151, 152):
        loop.take(code)
        valid.append(loop.alarm.valid)
    assert valid == [True] * 5 + [False, False, True]


def test_codes_of_leaves_out_the_ends_and_what_the_sensor_cannot_give():
    assert codes_of(scenario()) == (81, 303)
    assert codes_of(scenario(nominal_v=1.2, kind="fixed"))[1] == 1022


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"alarm": None}, "no .alarm. table"),
        ({"alarm": Limits(high_c=400.0)}, "high_c 400 degC is outside the readings"),
        ({"alarm": Limits(low_c=-25.5)}, "no code passes it"),
        ({"alarm": Limits(high_c=27.0, deadband_c=80.0)}, "high_c less deadband_c, -53 degC"),
        ({"alarm": Limits(high_c=27.0, on_delay_samples=70000)}, "on_delay 70000 is outside 1 to 65535"),
        ({"alarm": Limits(high_c=27.0, sample_period_s=1e-4)}, "sample_period_s 0.0001 s is outside 0.001 to"),
        ({"smoothing": Smoothing(tau_s=1e4)}, "tau_s 10000 s is above 655.4 s"),
        ({"noise": Noise(samples=60000), "chain": scenario(bits=16)}, "does not fit 32 bit"),
    ],
)
def test_a_design_that_cannot_work_is_refused(change, words):
    with pytest.raises(ValueError, match=words):
        numbers(replace(bench(), **change))


@pytest.mark.parametrize(
    "choice", [{"table_error_c": 0.0}, {"stuck_readings": 1}, {"invalid_delay": 70000}, {"invalid_delay": 0}]
)
def test_a_choice_that_cannot_work_is_refused(choice):
    with pytest.raises(ValueError, match=next(iter(choice))):
        numbers(bench(), **choice)


def test_a_converter_of_more_than_16_bits_is_refused():
    with pytest.raises(ValueError, match="17 is above 16 bit"):
        codes_of(scenario(bits=17))


# ---- the files


def test_write_keeps_what_somebody_has_changed(tmp_path):
    paths = write(bench(), "c", tmp_path)
    assert write(bench(), "c", tmp_path) == paths
    paths[2].write_text("/* mine */\n", encoding="utf-8")
    with pytest.raises(ValueError, match="example_main.c in .* would be lost"):
        write(bench(), "c", tmp_path)
    assert paths[2].read_text(encoding="utf-8") == "/* mine */\n"
    with pytest.raises(ValueError, match="'rust' is not one of c, micropython"):
        write(bench(), "rust", tmp_path)


def test_one_command_from_a_chain_file_to_code(tmp_path, capsys):
    file = str(generated.ROOT / "data" / "chains" / "north-bench-thermistor.toml")
    command = ["board", "code", file, "--language", "micropython", "--out", str(tmp_path / "new"), "--stuck", "50"]
    assert main(command) == 0
    assert capsys.readouterr().out.count(": written\n") == 2
    assert "STUCK_REPEATS = 49" in (tmp_path / "new" / "chain.py").read_text(encoding="utf-8")
    (tmp_path / "new" / "chain.py").write_text("mine", encoding="utf-8")
    assert main(command) == 2
    assert "would be lost" in capsys.readouterr().err


def test_the_comments_carry_the_design_and_the_cautions(tmp_path):
    evil = replace(bench(), title='bench */ int x; /* """ \\\n#include "x"')
    header = write(evil, "c", tmp_path)[0].read_text(encoding="utf-8")
    assert header.count("*/ int") == 0 and '#include "x"' in header.splitlines()[0]
    assert "High call: from level 10664 on (reading 27.005 degC)" in header
    assert "at most 0.0269 degC from the exact chain, at every level" in header and "Not a safety device" in header
    plain = write(replace(evil, smoothing=None), "c", tmp_path / "plain")[0].read_text(encoding="utf-8")
    assert "at most 0.0005 degC from the exact chain, at every level" in plain and "One input" in plain
    module = write(evil, "micropython", tmp_path)[0].read_text(encoding="utf-8")
    compile(module, "chain.py", "exec")
    assert "it wants four functions" in header and "it wants two functions" in module
    assert "Not a safety device" in module


def test_no_floating_point_in_any_file(tmp_path):
    for language in ("c", "micropython"):
        for path in write(bench(), language, tmp_path):
            lines = path.read_text(encoding="utf-8").splitlines()
            code = " ".join(line.split("#" if path.suffix == ".py" else "/*")[0] for line in lines if line[:2] != " *")
            assert not any(word in code for word in ("float", "double", "malloc", ".0 ", "math")), path.name


# ---- run for real


@every_design
def test_c_on_the_host_gives_every_code_of_the_model(design, tmp_path, require):
    require("compiler", shutil.which("gcc"), "no gcc")
    n = numbers(design)
    _, model = codes_and_model(n)
    assert [int(line) for line in generated.on_host(design, n, generated.EVERY_CODE, tmp_path)] == model.tolist()


@every_design
def test_c_in_an_8_bit_core_gives_every_code_of_the_model(design, tmp_path, require):
    require("core", eightbit.there(), eightbit.MISSING)
    n = numbers(design)
    codes, model = codes_and_model(n)
    ends = [i for i, code in enumerate(codes.tolist()) if code & 255 == 255 or code == codes[-1]]
    assert generated.in_core(design, n, tmp_path) == [f"{generated.fnv(model[: i + 1]):08x}" for i in ends]


@every_design
def test_micropython_gives_every_code_of_the_model(design, tmp_path, require):
    require("micropython", generated.micropython(), "no MicroPython interpreter")
    n = numbers(design)
    codes, model = codes_and_model(n)
    lines = generated.in_micropython(design, n, tmp_path, codes=generated.ends(n))
    assert [int(line) for line in lines] == model.tolist()


COUPLES = {name: design for name, design in DESIGNS.items() if "thermocouple" in name}
every_couple = pytest.mark.parametrize("design", COUPLES.values(), ids=COUPLES)


def on_the_grid(design, n):
    """What the integer model reads on the grid of both codes [0.001 degC], and the options of the programs."""
    codes, cold, options = generated.grid(n)
    found = np.empty(np.broadcast_shapes(codes.shape, cold.shape), dtype=int)
    for place in np.ndindex(found.shape):
        loop = BoardLoop(n)
        loop.take(int(codes[place[1]]), int(cold[place[0], 0]))
        found[place] = loop.milli_c if loop.alarm.valid else generated.NOT_VALID
    return found, options


@every_couple
def test_both_codes_of_a_thermocouple_against_the_formula(design):
    """Terminals from -20 to 70 degC, the tip over its whole range: within the header's figure, and invalid outside."""
    n = numbers(design)
    codes, cold, _ = generated.grid(n)
    found, _ = on_the_grid(design, n)
    exact = exact_c(design.chain, codes, cold)
    valid = found != generated.NOT_VALID
    assert np.abs(found / 1000 - exact)[valid].max() <= n.worst_c + 1e-9
    low, high = at_zero(design.chain).reading(np.array(generated.ends(n)), checked=False)
    cold_right = (cold >= n.cold.first_code) & (cold <= n.cold.last_code)
    right = cold_right & (codes > 0) & (codes < 2**n.bits - 1) & (exact > low) & (exact < high)
    unsure = (np.abs(exact - low) <= n.worst_c) | (np.abs(exact - high) <= n.worst_c)
    assert (right == valid)[~unsure].all() and valid.sum() > 300 and (~valid).sum() > 300


@every_couple
def test_both_codes_of_a_thermocouple_in_c_and_in_the_core(design, tmp_path, require):
    require("compiler", shutil.which("gcc"), "no gcc")
    n = numbers(design)
    model, options = on_the_grid(design, n)
    found = generated.on_host(design, n, generated.GRID, tmp_path, options=options)
    assert [int(line) for line in found] == model.ravel().tolist()
    require("core", eightbit.there(), eightbit.MISSING)
    told = generated.in_core(design, n, tmp_path, generated.GRID_IN_CORE, options)
    assert told == [f"{generated.fnv(model.ravel()):08x}"]


@every_couple
def test_both_codes_of_a_thermocouple_in_micropython(design, tmp_path, require):
    require("micropython", generated.micropython(), "no MicroPython interpreter")
    n = numbers(design)
    codes, cold, _ = generated.grid(n)
    pairs = [(code, each) for each in cold[:, 0].tolist() for code in codes.tolist()]
    loop, model = BoardLoop(n), []
    for pair in pairs:
        loop.take(*pair)
        model.append(f"{loop.level} {loop.alarm.state} {loop.milli_c}")
    lines = generated.in_micropython(design, n, tmp_path, pairs)
    assert [" ".join(np.array(line.split())[[0, 1, -1]]) for line in lines] == model


def test_warm_terminals_do_not_hide_a_warm_tip():
    """Terminals at 40 and the tip at 35 degC: with the terminals taken for 25 degC this read 19.9 degC, and no call."""
    design = replace(read(COUPLE), smoothing=None, noise=Noise())
    n, chain = numbers(design), design.chain
    loop = BoardLoop(n)
    code = replace(chain, circuit=replace(chain.circuit, cold_c=40.0)).code(35.0)
    cold_code = chain.converter.code(0.6 + 0.008 * 40.0, 2.5)
    for _ in range(5):
        loop.take(code, cold_code)
    assert loop.milli_c == pytest.approx(35_000, abs=200) and loop.alarm.outputs() == (False, True)
    assert chain.reading(code) == pytest.approx(19.9, abs=0.1)


def test_a_thermocouple_without_a_sensor_at_its_terminals_is_refused(tmp_path, capsys):
    design = read(COUPLE)
    circuit = replace(design.chain.circuit, cold_at_0c_v=None, cold_slope_v_per_c=None)
    with pytest.raises(ValueError, match="no cold_at_0c_v .* the terminals for 25 degC for ever; put a sensor there"):
        write(replace(design, chain=replace(design.chain, circuit=circuit)), "c", tmp_path / "no")
    assert not (tmp_path / "no").exists()
    flat = replace(circuit, cold_at_0c_v=0.6, cold_slope_v_per_c=1e-5)
    with pytest.raises(ValueError, match="the sensor at the terminals moves 1 codes from -20 to 70 degC"):
        numbers(replace(design, chain=replace(design.chain, circuit=flat)))
    for language in ("c", "micropython"):
        head = write(design, language, tmp_path / language)[0].read_text(encoding="utf-8")
        assert "Two inputs are read: the thermocouple's, and that of its terminals' sensor, codes 721 to 1900." in head


def traces():
    """Catalogue chains as they are, and one with every part of the loop in use."""
    for path in generated.CHAINS:
        yield path.stem, read(path)
    yield "all-parts", replace(bench(), noise=Noise(samples=3), smoothing=Smoothing(tau_s=2.0))
    yield "one-limit", replace(bench(), alarm=Limits(low_c=18.0, on_delay_samples=2), smoothing=None)


TRACES = {name: design for name, design in traces() if design.alarm}
every_trace = pytest.mark.parametrize("design", TRACES.values(), ids=TRACES)


@every_trace
def test_c_runs_a_trace_as_the_model_does(design, tmp_path, require):
    require("compiler", shutil.which("gcc"), "no gcc")
    n = numbers(design, **CHOICES)
    trace = trace_of(n, seed=5)
    feed = generated.fed(trace)
    found = generated.on_host(design, n, generated.TRACE, tmp_path, feed, **CHOICES)
    assert found == model_lines(n, trace)


@every_trace
def test_micropython_runs_a_trace_as_the_model_does(design, tmp_path, require):
    require("micropython", generated.micropython(), "no MicroPython interpreter")
    n = numbers(design, **CHOICES)
    trace = trace_of(n, seed=6)
    assert generated.in_micropython(design, n, tmp_path, trace, **CHOICES) == model_lines(n, trace)


@every_trace
def test_the_core_runs_a_trace_as_the_model_does(design, tmp_path, require):
    require("core", eightbit.there(), eightbit.MISSING)
    n = numbers(design, **CHOICES)
    trace = trace_of(n, seed=7, count=2000)
    words = [[int(word) for word in line.split()] for line in model_lines(n, trace)]
    expected = [f"{generated.fnv([each for line in words for each in line]):08x}"]
    assert generated.trace_in_core(design, n, tmp_path, trace, **CHOICES) == expected


def test_the_example_main_loop_compiles_as_strictly(tmp_path, require):
    require("compiler", shutil.which("gcc"), "no gcc")
    write(bench(), "c", tmp_path)
    generated.compiled(["gcc"], [tmp_path / "example_main.c"], tmp_path / "main.o")
    require("core", eightbit.there(), eightbit.MISSING)
    generated.compiled(eightbit.compiler(), [tmp_path / "example_main.c"], tmp_path / "main.o")


# ---- the example, on a board


def script_of(n, readings=32):
    """Codes of a morning: the middle, a call for low, none in time, an end, a call for high that goes on; in pairs."""
    low, high = sorted((n.trips.low_on, n.trips.high_on))
    span = high - low
    levels = [(low + high) // 2] * 4 + [n.trips.low_on] * 5 + [(low + high) // 2] * 5 + [n.trips.high_on] * 18
    away = span // 5 if n.trips.rising else -span // 5
    levels = [level + away * (level == n.trips.high_on) - away * (level == n.trips.low_on) for level in levels]
    cold = sum((n.cold.first_code, n.cold.last_code)) // 2 if n.cold else 0
    added = n.cold.levels.of(cold * n.samples) if n.cold else 0
    codes = [[(level - added) // n.per_code + place % 2 for place in range(n.samples)] for level in levels[:readings]]
    codes[10][0], codes[12] = NO_CODE, [2**n.bits - 1] * n.samples
    return [(code, cold) for reading in codes for code in reading]


def lines_of_the_book(n, script):
    """The lines that a board has to print, by the integer model, and its outputs after each."""
    loop, total, lines, states = BoardLoop(n), [], [], []
    for code, cold in script:
        total.append(code)
        if loop.take(code, cold):
            tenths = (10 * sum(total) + n.samples // 2) // n.samples
            code = "nan" if min(total) < 0 else f"{tenths / 10:.1f}" if n.samples > 1 else f"{total[0]}"
            reading = nearest(loop.milli_c, 100) / 10 if loop.alarm.valid else None
            t_s = len(lines) * n.period_ms / 1000
            lines.append(f"t={t_s:.1f} code={code} read={'nan' if reading is None else f'{reading:.1f}'}")
            states.append(loop.alarm.outputs())
            total = []
    return lines, states


EXAMPLES = {
    "bench": bench(),
    "one sample": replace(bench(), noise=None, smoothing=None),
    "two inputs": read(COUPLE),
    "below zero": replace(read(generated.ROOT / "data" / "chains" / "cold-frame-3v3.toml"), alarm=Limits(-5.0, 3.0)),
    "thermistor": read(generated.ROOT / "data" / "chains" / "north-bench-thermistor.toml"),
}
every_example = pytest.mark.parametrize("design", EXAMPLES.values(), ids=EXAMPLES)
PRESS_MS = 1000 + 28_400


def check_example(printed, design, n, script):
    """Lines, period, outputs and key of an example; `printed` as it came, the student's remarks with it."""
    lines, states = lines_of_the_book(n, script)
    rows = printed.decode("ascii").splitlines()
    assert [row for row in rows if not row.startswith("#")] == lines
    assert {True, False} == {lamp for lamp, _ in states} == {buzzer for _, buzzer in states}
    starts = [int(row.split()[-1]) for row in rows if row.startswith("# code")][:: n.samples]
    late = np.array(starts) - starts[0] - n.period_ms * np.arange(len(starts))
    assert abs(late).max() <= 3  # ms, at the first reading and at the last
    outputs = [row.split()[2::2] for row in rows if row.startswith("# output")]
    moments = {}
    for output, on, at in outputs:
        moments.setdefault(output, []).append((int(on), int(at)))
    assert moments["0"][0] == moments["1"][0] == (1, 0)
    pressed = [(on, at) for on, at in moments["1"] if at >= PRESS_MS]
    assert pressed[0][0] == 0 and pressed[0][1] < PRESS_MS + n.samples * 7 + 10  # heard within a reading
    assert len(pressed) == 1 and moments["0"][-1][0] == 1  # held down, it silences once; the lamp stays
    return lines


@every_example
def test_the_example_runs_on_a_host_with_four_functions(design, tmp_path, require):
    require("compiler", shutil.which("gcc"), "no gcc")
    n = numbers(design)
    script = script_of(n)
    printed = generated.example_on_host(design, n, tmp_path / "c", script, PRESS_MS)
    lines = check_example(printed, design, n, script)
    (tmp_path / "board.log").write_bytes(printed)
    log = read_log(tmp_path / "board.log")
    assert log.names == ("t", "code", "read") and len(log.column("read")) == len(lines)
    assert log.column("t").tolist() == [place * n.period_ms / 1000 for place in range(len(lines))]
    assert np.isnan(log.column("read")).sum() == 2


@every_example
def test_the_example_runs_in_micropython_with_two_functions(design, tmp_path, require):
    require("micropython", generated.micropython(), "no MicroPython interpreter")
    n = numbers(design)
    script = script_of(n)
    check_example(generated.example_in_micropython(design, n, tmp_path, script, PRESS_MS), design, n, script)


@every_example
def test_the_example_runs_in_the_core(design, tmp_path, require):
    require("core", eightbit.there(), eightbit.MISSING)
    n = numbers(design)
    script = script_of(n)
    words = " ".join(lines_of_the_book(n, script)[0]).split()
    assert generated.example_in_core(design, n, tmp_path, script, PRESS_MS) == words


@pytest.mark.parametrize("language", ["c", "micropython"])
def test_a_reading_that_takes_too_long_skips_beats(language, tmp_path, require):
    """16 codes of 7 ms do not fit into 50 ms: every third beat is kept, and nothing adds up."""
    design = replace(bench(), alarm=replace(bench().alarm, sample_period_s=0.05), smoothing=None)
    n = numbers(design)
    require(*(("compiler", shutil.which("gcc"), "no gcc") if language == "c" else
              ("micropython", generated.micropython(), "no MicroPython interpreter")))  # fmt: skip
    run = generated.example_on_host if language == "c" else generated.example_in_micropython
    rows = run(design, n, tmp_path, script_of(n), PRESS_MS).decode("ascii").splitlines()
    starts = np.array([int(row.split()[-1]) for row in rows if row.startswith("# code")][::16])
    assert abs(starts - starts[0] - 150 * np.arange(32)).max() <= 3
    told = [float(row.split()[0][2:]) for row in rows if row.startswith("t=")]
    assert told == pytest.approx([0.15 * place for place in range(32)], abs=0.051)


def test_the_line_is_that_of_the_pretend_board():
    """The same values through `boardmodel.line`: the same text but for a half, which the board rounds up."""
    n = numbers(bench())
    for text in lines_of_the_book(n, script_of(n))[0]:
        t_s, code, reading = (float(part.partition("=")[2]) for part in text.split())
        if not np.isnan(code) and not np.isnan(reading):
            assert line(t_s, code, reading, n.samples).decode().rstrip() == text


def test_nearest_of_the_texts_is_nearest_of_the_book(tmp_path):
    module = write(bench(), "micropython", tmp_path)[0].read_text(encoding="utf-8")
    names = {}
    exec(compile(module, "chain.py", "exec"), names)
    for a in range(-50, 51):
        for b in (1, 2, 3, 7, 64):
            assert names["nearest"](a, b) == nearest(a, b)


def test_a_level_that_is_unsure_counts_with_the_steeper_side():
    """10 a level up to level 5, flat behind it; there the value is off by 3, and half a level of doubt adds 5."""
    found = most_off(lambda x: np.minimum(10 * x, 50) + 3 * (x == 5), lambda x: np.minimum(10.0 * x, 50), 0, 10, 1, 0.5)
    assert found == 8.0


def test_one_file_alone_knows_the_core():
    """Elsewhere it is "an 8-bit core"; only the build's line that installs the tools names them too."""
    names = {eightbit.SIMULATOR, eightbit.COMPILER.partition("-")[0], *re.findall(r"[A-Z]{3,}\d\w*", eightbit.HEAD)}
    assert len(names) > 5
    files = [*generated.ROOT.glob("*.md"), *(generated.ROOT / "tests").rglob("*.py"), generated.ROOT / ".ci" / "run"]
    files += [path for folder in ("tempkit", "data") for path in (generated.ROOT / folder).rglob("*.*")]
    for path in files:
        if path.suffix in (".py", ".md", ".toml", "") and path.name != "eightbit.py":
            lines = [line for line in path.read_text("utf-8").splitlines() if "apt_install" not in line]
            found = [line for line in lines for name in names if re.search(rf"\b{name}\b", line, re.IGNORECASE)]
            assert not found, (path.name, found)
