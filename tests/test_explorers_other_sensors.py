"""Explorers with a design of another sensor: they work, or say clearly why not, and change nothing then."""

import html
import re
from pathlib import Path

import numpy as np
import pytest

from tempkit.book import Book
from tempkit.chain import file
from tempkit.explorers import Explorer
from test_explorers import MODULES, check

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
OTHERS = ("platinum-2-wire", "platinum-4-wire", "platinum-bridge", "thermistor", "thermocouple-k")
STRAIGHT = ("spec_line", "loop_walk")  # about a straight line itself
WORKING = ("whole_chain", "reference", "bit_depth", "noise_averaging", "error_budget", "design_project")
every_design = pytest.mark.parametrize("design", OTHERS)


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    """An error in a callback is raised here, not only told."""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")


def path_of(design):
    return CHAINS / f"north-bench-{design}.toml"


def loaded(name, design, **options):
    explorer = Explorer(MODULES[name].PLAN, **options)
    explorer._file.value = str(path_of(design))
    explorer.load()
    return explorer


@every_design
@pytest.mark.parametrize("name", [name for name in WORKING if name in MODULES])
def test_a_design_of_another_sensor_is_explored(name, design):
    explorer = loaded(name, design)
    assert "Loaded" in explorer._file_note.value, explorer._file_note.value
    check(explorer)
    for control in explorer.plan.controls:
        widget = explorer._inputs[control.name]
        start = widget.value
        for value in [value for _, value in widget.options] if control.options else [widget.low, widget.high]:
            widget.value = value
            check(explorer)
            assert not re.search(r"\b(nan|inf)\b", explorer.words())
        widget.value = start


@every_design
@pytest.mark.parametrize("name", STRAIGHT)
def test_what_is_about_a_straight_line_says_so(name, design):
    explorer = Explorer(MODULES[name].PLAN)
    before = (explorer.words(), explorer.design())
    explorer._file.value = str(path_of(design))
    explorer.load()
    assert "Not loaded" in explorer._file_note.value and "straight line" in explorer._file_note.value
    assert "linear sensor" in explorer._file_note.value
    assert (explorer.words(), explorer.design()) == before


def test_a_control_without_a_place_rests_and_changes_nothing():
    explorer = loaded("reference", "thermistor")
    output = explorer._inputs["output"]
    assert output.disabled
    assert "which rest: the sensor's output." in html.unescape(explorer._file_note.value)
    output.value = 5.0
    assert explorer.design() == file.read(path_of("thermistor"))
    explorer._file.value = str(CHAINS / "north-bench.toml")
    explorer.load()
    assert not output.disabled and "rest" not in explorer._file_note.value


def test_the_numbers_are_those_of_the_design():
    """A divider of equal halves at 25 degC: 2.5 V, code 512; forgotten leads read 2.6 degC too much."""
    told = loaded("whole_chain", "thermistor").words()
    assert "Sensor and circuit make 2.500 V of it, the converter makes code 512" in told
    leads = loaded("reference", "platinum-2-wire")
    for true_v in (3.3, 3.0):  # the reference sets the current as well
        off_c = float(re.search(r"off by \+(\d\.\d) °C", leads.move(true_v=true_v))[1])
        assert off_c == pytest.approx(2.6, abs=0.11)  # a step is 0.1 degC


def test_a_falling_staircase():
    explorer = loaded("bit_depth", "thermistor")
    explorer.move(t_c=25.0, bits=4)
    result = explorer.result()
    stairs = result.stairs(-25.0, 110.0, 50)
    assert (np.diff(stairs.codes) < 0).all() and (np.diff(stairs.begins_c) > 0).all()
    assert result.used[0] < result.used[1]
    explorer.move(bits=10)
    assert explorer.result().reading_c == explorer.design().chain.reading(explorer.result().way.code)


@pytest.mark.parametrize("book", [Book("degC", False), Book("degF", True)], ids=["desk-degC", "room-degF"])
def test_marks_of_a_wide_range_do_not_run_together(book):
    explorer = loaded("whole_chain", "thermocouple-k", book=book)
    assert 3 <= len(explorer._picture._t_marks()) <= 10
    widths = explorer._picture.x_t(100.0) - explorer._picture.x_t(0.0)
    assert widths > 40


def test_the_lens_has_warm_on_its_right():
    """A falling signal: stairs that lead down, the dot at 1 - its place in the step, edges in order."""
    explorer = loaded("whole_chain", "thermistor")
    explorer.move(t_c=22.03)
    lens, way = explorer._picture.lens, explorer.result()
    x, levels = lens.stairs.get_data()
    middles = (np.asarray(x)[0::2] + np.asarray(x)[1::2]) / 2
    assert (np.diff(np.asarray(levels)[0::2][np.argsort(middles)]) < 0).all()
    assert lens.dot.get_xdata()[0] == pytest.approx(1 - way.place_in_step)
    left, right = (float(label.get_text()) for label in lens.edges)
    assert left < 22.03 < right
