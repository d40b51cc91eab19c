"""What `python -m tempkit describe` says, to the last printed digit, and what it does with a bad file."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings

from tempkit import book
from tempkit.__main__ import main
from tempkit.chain import Design, Limits, describe, file, points_c, problems, scenario
from test_chainfile import DESIGNS

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "data" / "chains"


def of_file(name, scale="degC"):
    return describe(file.read(FOLDER / f"{name}.toml"), book.Book(scale))


def row(text, label):
    """The rest of the only line that starts with a label."""
    (found,) = [line for line in text.splitlines() if line.strip().startswith(label)]
    return found.strip().removeprefix(label).strip()


# All figures below by hand: 5 V / 1024 = 4.8828 mV; / 8 mV/degC = 0.61035 degC; 0.4 V / 4.8828 mV = 81.92,
# 1.48 V / 4.8828 mV = 303.1; 5 - 3 = 2 V, 5.6 - 5 = 0.6 V; 5 - 1.48 = 3.52 V.


def test_the_north_bench():
    text = of_file("north-bench")
    assert text.splitlines()[:2] == ["North bench, air above the seedlings", "=" * 36]
    assert row(text, "one step") == "4.88 mV, worth 0.610 °C at 42.5 °C"
    assert row(text, "codes") == "81 at −25.0 °C, 303 at 110.0 °C"
    assert row(text, "supply window") == "3.000 V to 5.600 V"
    assert row(text, "supply headroom") == "2.000 V above the bottom, 0.600 V below the top of the window"
    assert row(text, "at its tolerance") == "1.750 V above the bottom, 0.350 V below the top"
    assert row(text, "signal headroom") == "0.400 V above 0 V, 3.520 V below the reference"
    assert row(text, "sees") == "−25.0 °C to 110.0 °C"
    assert row(text, "assumed") == "5.000 V ±5 % (4.750 V to 5.250 V)"
    assert row(text, "measured") == "not yet"
    assert "WHAT CANNOT WORK\n  nothing found" in text


def test_calibration_and_what_the_budget_asks_for():
    text = of_file("north-bench-ice-point")
    assert row(text, "calibration") == "at 0.0 °C, by a thermometer with u = 0.05 °C"
    assert row(text, "for the budget") == "drift ±50.0 ppm/°C, self-heating up to 0.20 °C, lead drop up to 1.00 mV"


def test_the_reading_error_at_both_ends_of_the_tolerance():
    """By hand at 27 degC, 0.816 V: codes 167 (5 V), 175 (4.75 V), 159 (5.25 V); the program believes 5 V."""
    text = of_file("north-bench")
    assert row(text, "true temperature").split("  ")[0] == "18.0 °C"
    for start, code in (("at 5.000 V assumed", 167), ("at 4.750 V", 175), ("at 5.250 V", 159)):
        error = (code + 0.5) * 625 / 1024 - 75 - 27
        assert row(text, start).split("  ")[-1].strip() == f"{error:+.2f} °C".replace("-", "−")


def test_a_measured_supply_takes_the_place_of_the_tolerance():
    text = of_file("north-bench-measured")
    assert row(text, "supply headroom").startswith("1.830 V above the bottom, 0.770 V below")
    assert row(text, "measured") == "4.830 V"
    assert "at 4.830 V measured" in text
    assert "at its tolerance" not in text
    assert "at 4.750 V" not in text


def test_a_ratiometric_chain_does_not_care():
    text = of_file("north-bench-ratiometric")
    errors = {row(text, start) for start in ("at 5.000 V assumed", "at 4.750 V", "at 5.250 V")}
    assert len(errors) == 1
    assert row(text, "ratiometric") == "follows the supply; the sensor's figures hold at 5.000 V"


def test_a_low_reference_is_finer_and_cut_off():
    """By hand: 1.2 V / 1024 = 1.1719 mV; 0.4 V / 1.1719 mV = 341.3; 1.2 V is 75 degC."""
    text = of_file("south-bench-low-reference")
    assert row(text, "one step") == "1.17 mV, worth 0.146 °C at 42.5 °C"
    assert row(text, "codes") == "341 at −25.0 °C, 1023 at 110.0 °C"
    assert row(text, "sees") == "−25.0 °C to 75.0 °C"
    assert row(text, "signal headroom") == "0.400 V above 0 V, 0.280 V above the reference"
    assert row(text, "source resistance") == "1.00 kΩ"
    assert "above 75.0 °C every code is the top code, 1023" in text


def test_degrees_fahrenheit_throughout():
    text = of_file("south-bench-low-reference", "degF")
    assert row(text, "one step").endswith("worth 0.264 °F at 108.5 °F")
    assert row(text, "sees") == "−13.0 °F to 167.0 °F"
    assert "above 167.0 °F every code" in text
    assert row(text, "limits") == "±2.7 °F"
    assert [line for line in text.splitlines() if "°C" in line] == [
        "  kind              linear, 600 mV at 0 °C, 8 mV/°C"  # the sensor's own specification
    ]


def test_a_supply_that_nobody_stated_is_said_to_be_so():
    text = describe(Design("Bench", scenario(nominal_v=2.5, kind="fixed")))
    assert row(text, "supply   ") == "not stated: give circuit.supply_v to have it checked"


def test_what_cannot_work():
    low = Design("Bench", scenario(nominal_v=2.5))
    assert "below the sensor's window of 3 to 5.6 V" in describe(low)
    assert row(describe(low), "supply headroom").startswith("0.500 V below the bottom, 3.100 V below the top")
    nearly = scenario(nominal_v=3.1)
    assert nearly.problems() == ()
    first = problems(Design("Bench", nearly))[0]
    assert first.startswith("should the reference be 2.945 V: the supply of 2.945 V is below")
    measured = replace(nearly, reference=replace(nearly.reference, true_v=3.1))
    assert problems(Design("Bench", measured)) == []


def test_a_signal_wholly_beyond_the_reference():
    text = describe(Design("Bench", scenario(nominal_v=0.05, kind="fixed")))
    assert row(text, "sees").startswith("nothing")
    assert row(text, "at 0.050 V assumed").split() == ["saturated"] * 3


@pytest.mark.parametrize(
    ("alarm", "expected"),
    [
        (None, [8.75, 42.5, 76.25]),
        (Limits(low_c=18.0, high_c=27.0), [18.0, 22.5, 27.0]),
        (Limits(low_c=3.0), [-2.0, 3.0, 8.0]),
        (Limits(high_c=108.0), [103.0, 108.0, 110.0]),
        (Limits(low_c=-300.0), [8.75, 42.5, 76.25]),
    ],
)
def test_where_the_error_is_looked_at(alarm, expected):
    assert points_c(Design("Bench", scenario(), alarm=alarm)) == expected


@settings(max_examples=200)
@given(DESIGNS)
def test_every_design_that_a_file_can_hold_is_described(design):
    for scale in book.SCALES:
        assert describe(design, book.Book(scale)).startswith(design.title)


# ---- the command


def run(*arguments, **environment):
    command = [sys.executable, "-m", "tempkit", *map(str, arguments)]
    environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **environment}
    return subprocess.run(command, capture_output=True, cwd=ROOT, env=environment)


def test_the_command_prints_and_ends_with_0():
    done = run("describe", FOLDER / "north-bench.toml", "--scale", "degF")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.decode().splitlines() == of_file("north-bench", "degF").splitlines()


@pytest.mark.parametrize(("encoding", "sign"), [("cp1252", "-25.0 °C"), ("ascii", "-25.0 degC")])
def test_a_terminal_without_our_signs_gets_plainer_ones(encoding, sign):
    done = run("describe", FOLDER / "north-bench.toml", PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    assert sign in done.stdout.decode(encoding)
    assert "?" not in done.stdout.decode(encoding)


def test_a_bad_file_is_a_message_on_stderr_and_2(tmp_path):
    path = tmp_path / "bench.toml"
    path.write_text((FOLDER / "north-bench.toml").read_text("utf-8").replace("0.05 ", "5 "), encoding="utf-8")
    done = run("describe", path)
    message = done.stderr.decode()
    assert (done.returncode, done.stdout) == (2, b"")
    assert "reference.tolerance = 5: must be a number, 0 to below 1 (relative)" in message
    assert "Traceback" not in message


def test_a_missing_file_and_a_missing_command(capsys):
    assert main(["describe", "no-such-bench.toml"]) == 2
    assert "no-such-bench.toml: no such file" in capsys.readouterr().err
    for arguments in ([], ["describe"], ["describe", "x.toml", "--scale", "K"]):
        with pytest.raises(SystemExit) as caught:
            main(arguments)
        assert caught.value.code == 2


def test_the_scale_of_the_book_holds_until_another_is_asked_for(capsys, no_book):
    book.choose(scale="degF")
    path = str(FOLDER / "north-bench.toml")
    assert main(["describe", path]) == 0
    assert "230.0 °F" in capsys.readouterr().out
    assert main(["describe", path, "--scale", "degC"]) == 0
    assert "110.0 °C" in capsys.readouterr().out
    no_book.write_text("{", encoding="utf-8")
    assert main(["describe", path]) == 2
    assert "delete the file and choose again" in capsys.readouterr().err
