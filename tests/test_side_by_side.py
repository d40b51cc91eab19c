"""Designs side by side: the numbers are the budget's, and picture, words and table tell the same."""

import html
import re
from dataclasses import replace
from pathlib import Path

import pytest

from tempkit.book import Book
from tempkit.chain import Design, scenario
from tempkit.chain import file as chainfile
from tempkit.explorers import divider_choice, junction, lead_error, side_by_side
from tempkit.explorers.comparison import MIDDLE_C, row
from tempkit.uncertainty import chain_budget

CHAINS = Path(__file__).resolve().parent.parent / "data" / "chains"
FILES = {
    "linear": "north-bench",
    "linear, ratio": "north-bench-ratiometric",
    "thermistor": "north-bench-thermistor",
    "platinum, 2 wires": "north-bench-platinum-2-wire",
    "platinum, 3 wires": "north-bench-platinum-3-wire",
    "platinum, 4 wires": "north-bench-platinum-4-wire",
    "platinum, bridge": "north-bench-platinum-bridge",
    "thermocouple K": "north-bench-thermocouple-k",
}


@pytest.fixture(scope="module")
def designs():
    return {name: chainfile.read(CHAINS / f"{file}.toml") for name, file in FILES.items()}


def text_of(box):
    return html.unescape(re.sub(r"<[^>]*>", "|", box.static_html()))


def test_rows_are_the_budgets(designs):
    for name, design in designs.items():
        found = row(name, design)
        for t_c, u in zip(found.at_c, found.expanded_c, strict=True):
            assert u == chain_budget(design, t_c).expanded_c
        largest = max(chain_budget(design, MIDDLE_C).rows, key=lambda line: line.standard_c)
        assert found.largest == largest.name.replace("degC", "°C")


def test_every_middle_is_simulated_too(designs):
    """Monte Carlo of the same inputs (JCGM 101): spread as computed, 95 % of the trials within what a normal curve
    allows (1.96 u) and no closer than one rectangle alone (0.95 root 3 u)."""
    for name, design in designs.items():
        budget = chain_budget(design, MIDDLE_C)
        simulated, u = budget.simulated(trials=100_000, seed=12), budget.standard_c
        low, high = simulated.interval(0.95)
        assert simulated.values.std() == pytest.approx(u, rel=0.01), name
        assert 0.99 * 0.95 * 3**0.5 * u < (high - low) / 2 < 1.01 * 1.96 * u, name


def test_only_the_forgotten_leads_are_off_besides(designs):
    off = {name: row(name, design).off for name, design in designs.items()}
    assert [name for name, is_off in off.items() if is_off] == ["platinum, 2 wires"]
    told = side_by_side(designs, book=Book()).words()
    assert "platinum, 2 wires is read off by +2.58 °C" in told


def test_words_name_the_best_and_the_worst(designs):
    ranked = sorted(designs, key=lambda name: chain_budget(designs[name], MIDDLE_C).expanded_c)
    told = side_by_side(designs, book=Book()).words()
    assert f"that of {ranked[0]}, ±" in told and f"that of {ranked[-1]}, ±" in told


def test_where_a_design_has_no_budget_the_table_has_a_dash():
    low = chainfile.read(CHAINS / "south-bench-low-reference.toml")
    assert [each is None for each in row("low", low).expanded_c] == [False, False, False, True], "75 degC is the top"
    assert "|–|" in text_of(side_by_side({"low": low}, book=Book()))


def test_the_middle_must_be_among_the_temperatures(designs):
    with pytest.raises(ValueError, match="0.0, 50.0 degC lack 25 degC"):
        side_by_side(designs, at_c=(0.0, 50.0))


def test_what_each_needs(designs):
    told = {name: design.chain.circuit.needs(design.chain) for name, design in designs.items()}
    assert told["thermistor"] == "1 resistor" and told["platinum, bridge"] == "3 resistors, an amplifier"
    assert "3 wires, an amplifier" in told["platinum, 3 wires"] and "terminals" in told["thermocouple K"]
    assert told["linear"] == "nothing but a good reference" and told["linear, ratio"] == "nothing"


@pytest.mark.parametrize("book", [Book(), Book("degF", True)], ids=["desk", "room"])
def test_picture_stays_inside_and_has_its_words(designs, book):
    box = side_by_side(designs, book=book)
    stored = box._repr_mimebundle_()
    assert stored["text/plain"] == box.words() and f'alt="{box.words()[:30]}' in stored["text/html"]
    width, height = box.picture.look.size
    renderer = box.picture.canvas.get_renderer()
    for text in box.picture.page.texts + box.picture.panels[0][0].axes.get_yticklabels():
        place = text.get_window_extent(renderer)
        assert place.x0 >= 0 and place.y0 >= 0 and place.x1 <= width and place.y1 <= height, text.get_text()
        assert text.get_fontsize() >= box.picture.look.points(box.picture.look.body) - 1e-9


def test_the_scale_follows_the_reader(designs):
    celsius, fahrenheit = (side_by_side(designs, book=Book(scale)) for scale in ("degC", "degF"))
    assert "°F" not in celsius.words() and "°C" not in fahrenheit.words()
    u = row("thermistor", designs["thermistor"]).middle_c
    assert f"±{1.8 * u:.2f} °F" in fahrenheit.words()


def test_a_design_far_beyond_widens_the_scale():
    rough = scenario(nominal_v=5.0)
    rough = Design("rough (invented)", replace(rough, sensor=replace(rough.sensor, accuracy_c=60.0)))
    box = side_by_side({"rough": rough}, book=Book())
    box.picture.png()
    assert box.picture.panels[0][0].axes.get_xlim()[1] > 60.0


@pytest.mark.parametrize("path", sorted(CHAINS.glob("*.toml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("module", [divider_choice, lead_error, junction], ids=lambda module: module.__name__[18:])
def test_every_design_of_the_catalogue_can_be_loaded_beside_the_chapter(module, path, monkeypatch):
    """The right kind is taken, and the wrong kind is stood in for, which is told where it matters."""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")
    explorer = module.explorer()
    explorer._file.value = str(path)
    explorer.load()
    assert "Loaded" in explorer._file_note.value, explorer._file_note.value
    own = {divider_choice: "thermistor" in path.stem, lead_error: "platinum" in path.stem, junction: True}[module]
    assert ("stands in" in explorer.words()) is not own
    assert explorer.design() == chainfile.read(path)
