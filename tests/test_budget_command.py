"""What `python -m tempkit budget` prints, to the last digit, and how it refuses."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tempkit.__main__ import main
from tempkit.book import Book
from tempkit.chain import file
from tempkit.uncertainty import budget_table
from tempkit.uncertainty.table import WIDTHS

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "data" / "chains"
NORTH = str(FOLDER / "north-bench.toml")


def table(name="north-bench", scale="degC", at=None):
    return budget_table(file.read(FOLDER / f"{name}.toml"), Book(scale), at)


def row(text, label):
    """The cells of the first line that starts with a label."""
    line = next(line for line in text.splitlines() if line.strip().startswith(label))
    return re.split(r"\s{2,}", line.strip().removeprefix(label).strip())


def test_the_north_bench_at_25():
    """The figures by hand stand beside tests/test_chainbudget.py's BY_HAND; here to three digits."""
    text = table(at=25.0)
    assert text.splitlines()[:2] == ["North bench, air above the seedlings", "=" * 36]
    assert "ERROR BUDGET of the reading at 25.0 °C" in text
    assert row(text, "sensor accuracy") == ["±1.50 °C", "rectangular", "1.00 °C/°C", "0.866 °C", "7.7 %"]
    assert row(text, "reference voltage") == ["±250 mV", "rectangular", "−20.0 °C/V", "2.89 °C", "85.7 %"]
    assert row(text, "converter offset") == ["±2.00 LSB", "rectangular", "0.610 °C/LSB", "0.705 °C", "5.1 %"]
    assert row(text, "noise at the pin") == ["u = 0.500 mV", "normal", "125 °C/V", "0.0625 °C", "0.0 %"]
    assert row(text, "combined standard uncertainty") == ["u_c = 3.12 °C, degrees of freedom infinite"]
    assert row(text, "expanded uncertainty") == ["U = 6.11 °C, k = 1.96, level 95 %"]
    assert row(text, "worst case, sum of the limits")[0].startswith("±8.79 °C")
    assert row(text, "correction to add to a reading") == ["0 °C"]
    assert row(text, "where lower edges are read") == ["+0.305 °C more, half a step"]


def test_without_a_temperature_it_takes_the_middle_of_the_alarm_window():
    assert "reading at 22.5 °C" in table()
    assert "reading at 72.5 °F" in table(scale="degF")


def test_degrees_fahrenheit():
    """77 degF is 25 degC; spans are 1.8 times as large, shares the same: 3.118140 * 1.8 = 5.613."""
    text = table(scale="degF", at=77.0)
    assert row(text, "sensor accuracy") == ["±2.70 °F", "rectangular", "1.00 °F/°F", "1.56 °F", "7.7 %"]
    assert row(text, "combined standard uncertainty") == ["u_c = 5.61 °F, degrees of freedom infinite"]
    assert "°C" not in text


def test_a_known_reference_is_a_correction():
    text = table("north-bench-measured", at=25.0)
    assert row(text, "correction to add to a reading") == ["−3.52 °C"]
    assert row(text, "for reference voltage") == ["−3.52 °C"]


def test_a_calibration_gives_a_second_table():
    before, after = table("north-bench-ice-point", at=25.0).split("AFTER A CALIBRATION at 0.0 °C")
    assert row(before, "sensor accuracy")[3] == "0.866 °C"
    assert row(after, "sensor accuracy")[3] == "0 °C"
    assert row(after, "thermometer of the calibration")[:2] == ["u = 0.0500 °C", "normal"]
    # Of the pin's 801.3 mV the ice point has 600.5 mV, lead drop included: 5 % of 200.8 mV is 1.255 degC, / root 3.
    assert row(after, "reference voltage")[3] == "0.725 °C"


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.toml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("scale", ["degC", "degF"])
def test_columns_stay_apart_in_every_file(path, scale):
    lines = budget_table(file.read(path), Book(scale)).splitlines()
    rows = [line for line in lines if line.endswith(" %") and "level" not in line]
    assert len(rows) >= 5
    assert {len(line) for line in rows} == {2 + sum(WIDTHS)}
    assert all(len(re.split(r"\s{2,}", line.strip())) == 6 for line in rows)
    labels = [line[2 : 2 + WIDTHS[0]] for line in lines if "u_c =" in line or "half a step" in line]
    assert labels and all(label.endswith(" ") for label in labels)


def test_exit_codes(capsys):
    assert main(["budget", NORTH, "--at", "25"]) == 0
    assert "U = 6.11 °C" in capsys.readouterr().out
    for at, word in (("200", "200.0 °C is outside the sensor's range"), ("nan", "outside the sensor's range")):
        assert main(["budget", NORTH, "--at", at]) == 2
        printed = capsys.readouterr()
        assert word in printed.err
        assert printed.out == ""
    assert main(["budget", "no-such-bench.toml"]) == 2
    assert "no such file" in capsys.readouterr().err
    assert main(["budget", str(FOLDER / "south-bench-low-reference.toml"), "--at", "76"]) == 2
    assert "saturated" in capsys.readouterr().err


def test_from_a_shell(tmp_path):
    run = [sys.executable, "-m", "tempkit", "budget", NORTH, "--at", "-10", "--scale", "degC"]
    plain = os.environ | {"PYTHONIOENCODING": "ascii"}
    done = subprocess.run(run, cwd=tmp_path, env=plain, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "reading at -10.0 degC" in done.stdout


def test_a_saturated_code_is_told_in_the_readers_scale():
    """68 degF are 20 degC; 176 degF are 80 degC, where the sensor gives 1.24 V and the reference is 1.2 V."""
    assert "ERROR BUDGET of the reading at 68.0 °F" in table("south-bench-low-reference", "degF", 68.0)
    with pytest.raises(ValueError, match=r"temperature 176\.0 °F gives 1\.24 V.*saturated") as caught:
        table("south-bench-low-reference", "degF", 176.0)
    assert "degC" not in str(caught.value) and "°C" not in str(caught.value)
