"""Chain files: exact round trip, errors that name key, value and range, and nothing but those errors."""

import os
import pickle
import re
import threading
import tomllib
from datetime import date
from pathlib import Path

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tempkit.chain import (
    Calibration,
    Chain,
    ChainFileError,
    Converter,
    Design,
    Direct,
    Extras,
    Limits,
    LinearSensor,
    Link,
    Noise,
    Outputs,
    Reference,
    Response,
    Smoothing,
    file,
    scenario,
)
from tempkit.chain.tables import TABLES

CHAINS = sorted((Path(__file__).parent.parent / "data" / "chains").glob("*.toml"))
NORTH = next(path for path in CHAINS if path.stem == "north-bench")
TEXT = NORTH.read_text(encoding="utf-8")


def between(low, high):
    return st.floats(low, high, allow_nan=False)


def pairs(low, high):
    two = st.lists(between(low, high), min_size=2, max_size=2, unique=True)
    return two.map(sorted).map(tuple)


def maybe(strategy):
    return st.none() | strategy


@st.composite
def chains(draw):
    sensor = LinearSensor(
        at_0c_v=draw(between(-1000, 1000)),
        slope_v_per_c=draw(between(-100, 100).filter(lambda slope: abs(slope) >= 1e-9)),
        range_c=draw(pairs(-273.15, 5000)),
        supply_v=draw(pairs(0.001, 1000)),
        accuracy_c=draw(between(0, 1000)),
    )
    volts = between(0.001, 1000)
    circuit = Direct(draw(between(0, 1e12)), draw(volts), draw(maybe(volts)))
    kinds = st.sampled_from(["supply", "fixed"])
    reference = Reference(draw(volts), draw(between(0, 0.999)), draw(kinds), draw(maybe(volts)))
    errors = [draw(between(0, 2**24)) for _ in range(3)]
    converter = Converter(draw(st.integers(1, 24)), draw(st.sampled_from(["floor", "round"])), *errors)
    return Chain(sensor=sensor, circuit=circuit, reference=reference, converter=converter)


@st.composite
def alarms(draw):
    low_c, high_c = draw(pairs(-273.15, 5000))
    which = draw(st.sampled_from(["both", "low", "high"]))
    return Limits(
        low_c=None if which == "high" else low_c,
        high_c=None if which == "low" else high_c,
        deadband_c=draw(between(0, 1000)),
        on_delay_samples=draw(st.integers(1, 10**6)),
        off_delay_samples=draw(st.integers(1, 10**6)),
        sample_period_s=draw(between(1e-6, 1e7)),
    )


TITLES = st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=200)
SECONDS = between(0, 1e7)
DRIFTS, DROPS, UP_TO_1000 = between(0, 100_000), between(0, 1000), between(0, 1000)
DESIGNS = st.builds(
    Design,
    title=TITLES,
    chain=chains(),
    noise=maybe(st.builds(Noise, between(0, 1000), st.integers(1, 10**6))),
    response=maybe(st.builds(Response, SECONDS)),
    smoothing=maybe(st.builds(Smoothing, SECONDS)),
    alarm=maybe(alarms()),
    outputs=maybe(st.builds(Outputs, between(0, 10))),
    link=maybe(st.builds(Link, st.integers(1, 10**8), st.sampled_from(["8N1", "7E2", "5O1.5"]))),
    budget=maybe(st.builds(Extras, DRIFTS, between(0.001, 1000), DROPS, between(0, 1000), DROPS)),
    calibration=maybe(st.builds(Calibration, between(-273.15, 0), UP_TO_1000, maybe(between(1, 5000)), UP_TO_1000)),
)


# ---- good files


def test_the_whole_example():
    design = file.read(NORTH)
    assert design == Design(
        title="North bench, air above the seedlings",
        chain=Chain(
            sensor=LinearSensor(0.6, 0.008, (-25.0, 110.0), (3.0, 5.6), 1.5),
            circuit=Direct(),
            reference=Reference(5.0, 0.05, "supply"),
            converter=Converter(10, "floor", 2.0, 2.0, 1.0),
        ),
        noise=Noise(0.002, 16),
        response=Response(40.0),
        smoothing=Smoothing(5.0),
        alarm=Limits(18.0, 27.0, 0.5, 5, 5, 1.0),
        outputs=Outputs(0.006),
        link=Link(9600, "8N1"),
    )
    assert design.chain.code(25.0) == 163


@pytest.mark.parametrize("path", CHAINS, ids=lambda path: path.stem)
def test_our_files_are_read_and_say_that_they_are_invented(path):
    design = file.read(path)
    assert file.loads(file.dumps(design)) == design
    assert "nvented" in path.read_text(encoding="utf-8").splitlines()[0]
    assert f"`{path.name}`" in (path.parent.parent / "README.md").read_text(encoding="utf-8")


def test_what_our_files_show():
    by_name = {path.stem: file.read(path).chain for path in CHAINS}
    assert by_name["south-bench-low-reference"].span_c()[1] == pytest.approx(75.0)
    assert by_name["cold-frame-3v3"].converter.codes == 4096
    ratiometric = by_name["north-bench-ratiometric"]
    assert ratiometric.code(25.0) == ratiometric.with_true_reference(4.75).code(25.0)
    assert by_name["north-bench-measured"].reference.actual_v == 4.83


@given(DESIGNS)
def test_round_trip_is_exact(design):
    assert file.loads(file.dumps(design)) == design


def test_only_the_first_four_tables_are_needed():
    wanted = ("format", "title", "sensor", "circuit", "reference", "converter")
    raw = {key: value for key, value in tomllib.loads(TEXT).items() if key in wanted}
    assert file.loads(tomli_w.dumps(raw)).alarm is None
    for key in wanted:
        with pytest.raises(ChainFileError, match=rf"(?m)\b{key}\b.*missing"):
            file.loads(tomli_w.dumps({name: value for name, value in raw.items() if name != key}))


def test_optional_keys_of_the_circuit():
    circuit = 'kind = "direct"\nsource_ohm = 470\nsupply_v = 4.9\nratiometric_at_v = 5'
    chain = file.loads(TEXT.replace('kind = "direct"', circuit)).chain
    assert chain.circuit == Direct(470.0, 4.9, 5.0)


def test_a_mark_at_the_start_and_foreign_line_ends_are_read(tmp_path):
    path = tmp_path / "bench.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert file.read(path) == file.read(NORTH)


# ---- bad files: key, value, allowed range, what to do

BAD_VALUES = [
    ("at_0c_v = 0.6", "at_0c_v = 5000", ("sensor.at_0c_v = 5000", "-1000 to 1000 V", "600 mV is 0.6")),
    ("slope_v_per_c = 0.008", "slope_v_per_c = 0", ("sensor.slope_v_per_c 0 V/degC", "must not be zero")),
    ("slope_v_per_c = 0.008", "slope_v_per_c = 1e3", ("slope_v_per_c = 1000.0", "-100 to 100 V/degC")),
    ("[-25.0, 110.0]", "[-25.0]", ("range_c = [-25.0]", "two numbers of degC", "-273.15 to 5000 degC")),
    ("[-25.0, 110.0]", "[-400, 110]", ("sensor.range_c = [-400, 110]", "-273.15 to 5000 degC")),
    ("[-25.0, 110.0]", "[110, -25]", ("sensor.range_c (110, -25) degC", "lower value first")),
    ("[3.0, 5.6]", '"3.0 to 5.6"', ('sensor.supply_v = "3.0 to 5.6" is a text', "0.001 to 1000 V")),
    ("accuracy_c = 1.5", "accuracy_c = -1.5", ("accuracy_c = -1.5", "0 to 1000 degC", "without a sign")),
    ("nominal_v = 5.0", "nominal_v = 0", ("reference.nominal_v = 0", "0.001 to 1000 V")),
    ("nominal_v = 5.0", "nominal_v = nan", ("reference.nominal_v = nan", "0.001 to 1000 V")),
    ("nominal_v = 5.0", "nominal_v = inf", ("reference.nominal_v = inf", "0.001 to 1000 V")),
    ("nominal_v = 5.0", 'nominal_v = "5 V"', ('nominal_v = "5 V" is a text', "a number, 0.001 to 1000 V")),
    ("nominal_v = 5.0", "nominal_v = 2026-01-01", ("2026-01-01 is a date or time", "a number")),
    ("nominal_v = 5.0", "nominal_v = {v = 5}", ("nominal_v = { ... } is a table", "a number")),
    ("# true_v = 4.83", "true_v = -4.83 #", ("reference.true_v = -4.83", "0.001 to 1000 V")),
    ("tolerance = 0.05", "tolerance = 5", ("reference.tolerance = 5", "0 to below 1", "5 % is 0.05")),
    ("tolerance = 0.05", "tolerance = 1", ("reference.tolerance = 1", "0 to below 1")),
    ('kind = "supply"', 'kind = "usb"', ('reference.kind = "usb"', '"supply", "fixed"')),
    ("bits = 10", "bits = 25", ("converter.bits = 25", "1 to 24 bit")),
    ("bits = 10", "bits = 10.0", ("converter.bits = 10.0 is a number", "a whole number, 1 to 24 bit")),
    ("bits = 10", "bits = true", ("converter.bits = true is true or false", "a whole number, 1 to 24 bit")),
    ('"floor"', '"ceil"', ('converter.transfer = "ceil"', '"floor", "round"')),
    ("inl_lsb = 1.0", "inl_lsb = -1", ("converter.inl_lsb = -1", "0 to 16777216 LSB")),
    ("input_v = 0.002", "input_v = -1", ("noise.input_v = -1", "0 to 1000 V")),
    ("samples = 16", "samples = 0", ("noise.samples = 0", "1 to 1000000 samples")),
    ("tau_s = 40.0", "tau_s = -1", ("response.tau_s = -1", "0 to 10000000 s")),
    ("tau_s = 5.0", "tau_s = [5]", ("smoothing.tau_s = [5] is an array", "0 to 10000000 s")),
    ("low_c = 18.0", "low_c = -300", ("alarm.low_c = -300", "-273.15 to 5000 degC")),
    ("low_c = 18.0", "low_c = 28.0", ("alarm.low_c 28 degC", "below high_c 27 degC", "swap")),
    ("low_c = 18.0\nhigh_c = 27.0", "", ("alarm", "low_c or high_c [degC]", "at least one limit")),
    ("deadband_c = 0.5", "deadband_c = -0.5", ("alarm.deadband_c = -0.5", "0 to 1000 degC")),
    ("on_delay_samples = 5", "on_delay_samples = 0", ("alarm.on_delay_samples = 0", "1 to 1000000 samples")),
    ("sample_period_s = 1.0", "sample_period_s = 0", ("alarm.sample_period_s = 0", "1e-06 to 10000000 s")),
    ("lamp_current_a = 0.006", "lamp_current_a = 60", ("outputs.lamp_current_a = 60", "0 to 10 A", "6 mA")),
    ("baud = 9600", "baud = 0", ("link.baud = 0", "1 to 100000000 bit/s")),
    ("[link]", "[budget]\nmeter_u_v = -1\n[link]", ("budget.meter_u_v = -1", "0 to 1000 V")),
    ("[link]", "[budget]\nreference_drift_ppm_per_c = 50\n[link]", ("budget.board_swing_c 0 degC", "may warm")),
    ("[link]", "[calibration]\nfirst_c = 0\n[link]", ("calibration.thermometer_u_c: missing", "0 to 1000 degC")),
    ('"8N1"', '"8X1"', ('link.frame = "8X1"', "parity N, E, O, M or S", '"8N1"')),
    ('"8N1"', '"8N1\\n"', ('link.frame = "8N1\\n"', "data bits 5 to 9")),
    ("format = 1", "format = 2", ("format = 2", "this program reads format 1")),
    ('"North bench, air above the seedlings"', '""', ('title = ""', "1 to 200 printable characters")),
    ('"North bench, air above the seedlings"', '"\\u001b[2J"', ("title = ", "printable characters")),
    ('kind = "direct"', 'kind = "direct"\nsource_ohm = -1', ("circuit.source_ohm = -1", "0 to 1e+12 ohm")),
    ('kind = "direct"', 'kind = "direct"\nsupply_v = 0', ("circuit.supply_v = 0", "0.001 to 1000 V")),
]


@pytest.mark.parametrize(("old", "new", "parts"), BAD_VALUES, ids=[new or old for old, new, _ in BAD_VALUES])
def test_a_bad_value_is_named_with_its_range(old, new, parts):
    assert old in TEXT
    with pytest.raises(ChainFileError) as caught:
        file.loads(TEXT.replace(old, new, 1), "bench.toml")
    assert len(caught.value.problems) == 1
    assert str(caught.value).startswith("bench.toml: ")
    for part in parts:
        assert part in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "parts"),
    [
        ("tolerance =", "tolerence =", ("reference.tolerence", "did you mean tolerance?", "true_v")),
        ("tau_s = 40.0", "zzz = 1", ("response.zzz: no such key", "allowed here: tau_s")),
        ("[alarm]", "[alarn]", ("alarn: no such key or table", "did you mean alarm?", "smoothing")),
        ("format = 1", 'format = 1\n"a b" = 2', ('"a b": no such key or table', "allowed here: format")),
        ("at_0c_v = 0.6", "", ("sensor.at_0c_v: missing", "-1000 to 1000 V")),
        ('kind = "linear"', "", ("sensor.kind: missing", '"linear"')),
        ('kind = "linear"', 'kind = "thermistro"', ("no such kind of sensor", '"linear"')),
        ('kind = "linear"', "kind = 5", ("sensor.kind = 5", "no such kind of sensor", '"linear"')),
        ('kind = "direct"', 'kind = "straight"', ('circuit.kind = "straight"', "of circuit", '"direct"')),
        ("[outputs]\n", "[[outputs]]\n", ("outputs = ", "is an array", "must be a table, written [outputs]")),
    ],
)
def test_keys_and_kinds_that_do_not_exist(old, new, parts):
    assert old in TEXT
    with pytest.raises(ChainFileError) as caught:
        file.loads(TEXT.replace(old, new, 1))
    for part in parts:
        assert part in str(caught.value)


def test_every_kind_there_is_stands_in_the_message():
    for name in ("sensor", "circuit"):
        with pytest.raises(ChainFileError) as caught:
            file.loads(re.sub(rf'(\[{name}\]\nkind = )"\w+"', r'\1"none of these"', TEXT))
        for kind in TABLES[name]:
            assert f'"{kind}"' in str(caught.value)


def test_a_circuit_that_needs_a_supply_says_so():
    text = TEXT.replace('kind = "direct"', 'kind = "direct"\nratiometric_at_v = 5.0')
    with pytest.raises(ChainFileError, match=r"circuit\.supply_v is missing"):
        file.loads(text.replace('kind = "supply"', 'kind = "fixed"'))


def test_all_that_is_wrong_is_said_at_once():
    text = TEXT.replace("bits = 10", "bits = 99").replace("tolerance = 0.05", "tolerance = 5")
    with pytest.raises(ChainFileError) as caught:
        file.loads(text.replace("baud", "boud"))
    assert [problem.split(" ")[0] for problem in caught.value.problems] == [
        "reference.tolerance", "converter.bits", "link.boud:",
    ]  # fmt: skip
    assert "3 things to correct" in str(caught.value)


def test_a_syntax_error_gives_line_and_column():
    with pytest.raises(ChainFileError, match=r"line 8, column 10: not TOML: .*at_0c_v ="):
        file.loads(TEXT.replace("at_0c_v = 0.6", "at_0c_v ="))
    with pytest.raises(ChainFileError, match="not TOML"):
        file.loads("title = [1,")


def test_the_error_survives_a_way_through_another_process():
    error = ChainFileError("bench.toml", ["one", "two"])
    assert str(pickle.loads(pickle.dumps(error))) == str(error)


# ---- files that mean harm

MILLION = 1_000_000


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("#" * (MILLION + 1), "larger than 1 MB"),
        ("a." * 200_000 + "a = 1", "line 1 is longer than 500 characters"),
        ("[" + "a." * 200_000 + "a]", "line 1 is longer than 500 characters"),
        ("x = [\n" + "[\n" * 300_000, "nested too deep"),
        ("x = " + "9" * 600, "longer than 500"),
        ("sensor = " + "9" * 400, "must be a table"),
        ("\n".join(f"key{number} = 1" for number in range(2000)), "and 1976 more"),
        ("\0", "not TOML"),
        ('title = "\ud800"', 'title = "\\ud800"'),
    ],
    ids=["size", "dots", "dots in a table", "depth", "digits", "number", "keys", "nul", "half a sign"],
)
def test_hostile_text_is_refused(text, part):
    with pytest.raises(ChainFileError) as caught:
        file.loads(text)
    assert part in str(caught.value)
    assert len(str(caught.value)) < 10_000


@pytest.mark.parametrize(
    ("data", "part"),
    [
        (b"#" * (MILLION + 1), "larger than 1 MB"),
        (b'title = "\xff"', "byte 9 is not UTF-8"),
        (b"", "missing"),
    ],
)
def test_hostile_files_are_refused(data, part, tmp_path):
    path = tmp_path / "bench.toml"
    path.write_bytes(data)
    with pytest.raises(ChainFileError) as caught:
        file.read(path)
    assert part in str(caught.value)
    assert "bench.toml" in str(caught.value)


def test_a_folder_and_a_missing_file_are_named(tmp_path):
    with pytest.raises(ChainFileError, match="is not a file"):
        file.read(tmp_path)
    with pytest.raises(ChainFileError, match="no such file"):
        file.read(tmp_path / "none.toml")


SCALARS = st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | st.text(max_size=20) | st.dates()
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
)
PLACES = [(table, key) for table, kinds in TABLES.items() for part in kinds.values() for key in part.keys()]


def only_chain_file_errors(text):
    try:
        return file.loads(text)
    except ChainFileError as error:
        assert error.problems
        return None


@given(st.text(max_size=300))
def test_any_text_gives_nothing_but_chain_file_errors(text):
    assert only_chain_file_errors(text) is None


@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(st.sampled_from(PLACES), VALUES), min_size=1, max_size=3), VALUES)
def test_any_value_anywhere_gives_nothing_but_chain_file_errors(changes, extra):
    raw = tomllib.loads(TEXT)
    for (table, key), value in changes:
        raw.setdefault(table, {})[key] = value
    design = only_chain_file_errors(tomli_w.dumps(raw))
    if design is not None:
        assert file.loads(file.dumps(design)) == design
    assert only_chain_file_errors(tomli_w.dumps({"sensor": extra, "extra": extra})) is None


@settings(max_examples=200)
@given(st.integers(0, len(TEXT) - 1), st.integers(0, 60), st.text(max_size=5))
def test_a_damaged_file_gives_nothing_but_chain_file_errors(start, count, noise):
    only_chain_file_errors(TEXT[:start] + noise + TEXT[start + count :])


# ---- writing


def test_writing_replaces_at_one_stroke(tmp_path):
    path = tmp_path / "bench.toml"
    design = file.read(NORTH)
    file.write(design, path)
    path.chmod(0o640)
    file.write(Design("Another", scenario(bits=12)), path)
    assert file.read(path).chain.converter.bits == 12
    assert os.name == "nt" or path.stat().st_mode & 0o777 == 0o640
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("design", "part"),
    [
        (Design("", scenario()), "title"),
        (Design("Bench", scenario(nominal_v=5e6)), "reference.nominal_v = 5000000.0"),
        (Design(1j, scenario()), "cannot be written"),
        (Design("Bench", scenario(), noise=Response(5.0)), "noise = Response: cannot be written"),
        (Design(date(2026, 1, 1), scenario()), "title = 2026-01-01 is a date or time"),
    ],
    ids=["no title", "out of range", "complex", "wrong thing", "wrong title"],
)
def test_what_could_not_be_read_back_is_not_written(design, part, tmp_path):
    path = tmp_path / "bench.toml"
    path.write_text(TEXT, encoding="utf-8")
    with pytest.raises(ChainFileError) as caught:
        file.write(design, path)
    assert part in str(caught.value)
    assert path.read_text(encoding="utf-8") == TEXT
    assert list(tmp_path.iterdir()) == [path]


def test_a_place_that_cannot_be_written_is_named(tmp_path):
    with pytest.raises(ChainFileError, match=r"bench\.toml: cannot be written"):
        file.write(Design("Bench", scenario()), tmp_path / "no-folder" / "bench.toml")
    folder = tmp_path / "folder"
    folder.mkdir()
    with pytest.raises(ChainFileError, match="folder: cannot be written"):
        file.write(Design("Bench", scenario()), folder)
    assert list(tmp_path.iterdir()) == [folder]


def test_numbers_of_numpy_are_written_as_numbers():
    import numpy as np

    chain = scenario(nominal_v=np.float64(5.0), bits=np.int64(10))
    assert file.loads(file.dumps(Design("Bench", chain))).chain == scenario()


def test_several_writers_leave_one_whole_file(tmp_path):
    path = tmp_path / "bench.toml"
    designs = [Design(f"Bench {bits}", scenario(bits=bits)) for bits in range(8, 16)]
    threads = [threading.Thread(target=file.write, args=(design, path)) for design in designs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert file.read(path) in designs
    assert list(tmp_path.iterdir()) == [path]
