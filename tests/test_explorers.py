"""Every explorer, driven in-process: all sliders at their ends, random settings, files, sizes, scales, pictures."""

import html
import importlib
import pkgutil
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import traitlets
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import tempkit.explorers
from tempkit.book import Book, choose
from tempkit.chain import file
from tempkit.draw import Fact, Facts, Look, Rails
from tempkit.draw.rails import RAILS
from tempkit.exercises import Amount, Prediction
from tempkit.explorers import Explorer, north_bench
from tempkit.explorers.panel import Slide
from tempkit.explorers.prediction import PredictionBox
from tempkit.explorers.stage import number_table


def _modules():
    names = [module.name for module in pkgutil.iter_modules(tempkit.explorers.__path__)]
    modules = [importlib.import_module(f"tempkit.explorers.{name}") for name in sorted(names)]
    return {module.__name__.rpartition(".")[2]: module for module in modules if hasattr(module, "PLAN")}


MODULES = _modules()
SIZES_AND_SCALES = [Book("degC", False), Book("degF", True)]
every_explorer = pytest.mark.parametrize("name", list(MODULES))


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    """An error in a callback is raised here, not only told."""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")


def make(name, **options):
    return Explorer(MODULES[name].PLAN, **options)


def first_slide(explorer):
    """The first slider that changes what is told as the explorer starts; the explorer is reset."""
    for control in explorer.plan.controls:
        if not control.options:
            told = [explorer.move(**{control.name: at_share(control, share)}) for share in (0.4, 0.75)]
            explorer.reset()
            if told[0] != told[1]:
                return control
    raise AssertionError("no slider changes what is told")


def at_share(control, share):
    """A place on a slider, a share of the way from its low end to its high end, in its own steps."""
    return round(control.low + share * (control.high - control.low), control.digits)


def move_first(explorer, share):
    control = first_slide(explorer)
    return explorer.move(**{control.name: at_share(control, share)})


def image(explorer):
    return explorer._image.value


def check(explorer):
    """The words are sentences with a number, and the picture carries them as its alt text."""
    words = explorer.words()
    assert re.search(r"\d", words) and words.endswith("."), words
    assert "nan" not in words.split() and "None" not in words, words
    assert f'alt="{words.split(chr(38))[0].split(chr(60))[0].split(chr(34))[0][:20]}' in image(explorer)
    assert "cannot be shown" not in explorer._told.value


def written_example():
    """The names that the example of an explorer in DEVELOPERS.md makes, run as it stands."""
    page = Path(__file__).resolve().parent.parent / "DEVELOPERS.md"
    part = page.read_text(encoding="utf-8").partition("## How to add")[2].partition("**An explorer.**")[2]
    made = {}
    exec(re.search(r"```python\n(.*?)```", part, re.DOTALL)[1], made)
    return made


@pytest.mark.parametrize("book", SIZES_AND_SCALES, ids=["desk-degC", "room-degF"])
def test_the_written_example_is_an_explorer(book):
    """Each of its controls at both ends; the picture follows every one."""
    explorer = Explorer(written_example()["PLAN"], book=book)
    check_together(explorer)
    for control in explorer.plan.controls:
        shown = {image(explorer)}
        for end in (control.low, control.high):
            explorer.move(**{control.name: end})
            check(explorer)
            check_inside(explorer)
            shown.add(image(explorer))
        assert len(shown) == 3, f"{control.name} has no effect"
        explorer.reset()


def test_a_sentence_without_its_fact_is_refused():
    facts = Facts([Fact("now", "shown now", lambda result, book: "1 V")])
    with pytest.raises(ValueError, match="{then}, which is no fact: write one of now"):
        facts.sentences("Now {now}, then {then}.")


def test_the_five_explorers_are_here():
    assert {"whole_chain", "spec_line", "bit_depth", "reference", "loop_walk"} <= set(MODULES)


@every_explorer
@pytest.mark.parametrize("book", SIZES_AND_SCALES, ids=["desk-degC", "room-degF"])
def test_each_control_at_its_ends(name, book):
    """A choice also shows what is chosen, a value of None included."""
    explorer = make(name, book=book)
    check(explorer)
    for control in explorer.plan.controls:
        widget = explorer._inputs[control.name]
        start = widget.value
        for place, (value, told) in enumerate(control.options):
            widget.value = value
            assert (widget.index, widget.label) == (place, told)
            check(explorer)
        for value in () if control.options else (widget.low, widget.high):
            widget.value = value
            check(explorer)
        widget.value = start
        assert not control.options or widget.index is not None, control.name


@every_explorer
def test_a_moved_slider_changes_picture_or_words(name):
    """Each control has an effect in some setting of the choices."""
    explorer = make(name)
    choices = {c.name: [value for value, _ in c.options] for c in explorer.plan.controls if c.options}
    states = [{}] + [{name: value} for name, values in choices.items() for value in values]
    states += [{c.name: c.low + 0.8 * (c.high - c.low)} for c in explorer.plan.controls if c.digits and not c.options]
    for control in explorer.plan.controls:
        assert any(has_effect(explorer, control, state) for state in states), f"{control.name} has no effect"


def has_effect(explorer, control, state):
    explorer.reset()
    explorer.move(**state)
    widget = explorer._inputs[control.name]
    before = (image(explorer), explorer.words())
    others = [value for value, _ in control.options if value != widget.value] or [widget.low, widget.high]
    for value in others:
        widget.value = value
        if (image(explorer), explorer.words()) != before:
            return True
    return False


@st.composite
def any_settings(draw, explorer):
    values = {}
    for control in explorer.plan.controls:
        widget = explorer._inputs[control.name]
        if control.options:
            values[control.name] = draw(st.sampled_from([value for _, value in widget.options]))
        elif control.step == int(control.step) and control.digits == 0:
            values[control.name] = draw(st.integers(int(control.low), int(control.high)))
        else:
            values[control.name] = draw(st.floats(control.low, control.high))
    return values


@every_explorer
@pytest.mark.parametrize("examples", [10, pytest.param(100, marks=pytest.mark.long)])
def test_random_settings_are_drawn_and_told(name, examples):
    explorer = make(name)

    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(any_settings(explorer))
    def run(values):
        explorer.move(**values)
        check(explorer)

    run()


@every_explorer
@pytest.mark.parametrize("room", [False, True])
@pytest.mark.parametrize("shares", [(0.6,), pytest.param((0.1, 0.41, 0.44, 0.9), marks=pytest.mark.long)])
def test_kept_background_equals_a_full_draw(name, room, shares):
    """The fast picture has not one pixel that a full draw has not."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    explorer = make(name, room=room)
    for share in shares:
        move_first(explorer, share)
        picture = explorer._picture
        picture.png()
        fast = np.array(picture.canvas.buffer_rgba())
        for artist in picture._movers:
            artist.set_animated(False)
        canvas = FigureCanvasAgg(picture.figure)
        canvas.draw()
        full = np.array(canvas.buffer_rgba())
        for artist in picture._movers:
            artist.set_animated(True)
        picture.figure.set_canvas(picture.canvas)
        assert np.array_equal(fast, full), f"{(fast != full).any(axis=2).sum()} pixels differ at {share}"


@every_explorer
def test_back_row_type_is_large_enough(name):
    """Capitals of 22 px on a screen of 720 px, 3 %: type of 30 px or more in DejaVu Sans (cap height 0.729 em)."""
    explorer = make(name, room=True)
    picture = explorer._picture
    pixels_per_point = picture.figure.dpi / 72
    for text in picture.figure.findobj(lambda artist: hasattr(artist, "get_fontsize") and artist.get_text().strip()):
        if text.get_visible():
            assert text.get_fontsize() * pixels_per_point * 0.729 >= 22 - 0.05, text.get_text()


@every_explorer
@pytest.mark.parametrize("room", [False, True])
def test_text_is_ink_and_stays_inside(name, room):
    """Text is at 7:1 or better on paper, and no visible text is cut by the picture's edge."""
    explorer = make(name, room=room)
    move_first(explorer, 0.44)
    check_inside(explorer)


def check_inside(explorer):
    picture = explorer._picture
    width, height = picture.look.size
    renderer = picture.canvas.get_renderer()
    for axes in picture.figure.axes:
        for label in (axes.xaxis.label, axes.yaxis.label):
            if axes.axison and label.get_text():
                box = label.get_window_extent(renderer)
                assert box.x0 >= -1 and box.y0 >= -1 and box.x1 <= width + 1 and box.y1 <= height + 1, label.get_text()
    for text in picture.figure.findobj(lambda artist: hasattr(artist, "get_fontsize") and artist.get_text().strip()):
        if not text.get_visible() or not text.axes or not text.axes.get_visible():
            continue
        assert contrast_with_white(text.get_color()) >= 7, text.get_text()
        box = text.get_window_extent(renderer)
        if box.width and text in shown_ticks(text):
            assert box.x0 >= -1 and box.y0 >= -1 and box.x1 <= width + 1 and box.y1 <= height + 1, text.get_text()


def shown_ticks(text):
    """A text that is not a tick label counts as shown; a tick label only where its tick lies inside the limits."""
    axes = text.axes
    for axis, span in ((axes.xaxis, axes.get_xlim()), (axes.yaxis, axes.get_ylim())):
        for tick in axis.get_major_ticks():
            if text in (tick.label1, tick.label2):
                return [text] if min(span) <= tick.get_loc() <= max(span) else []
    return [text]


def contrast_with_white(colour):
    """Contrast ratio as WCAG 2.2 defines it."""
    from matplotlib.colors import to_rgb

    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05)


HANDLES = {
    "bit_depth": {"t_c"},
    "divider_choice": {"t_c", "low_c", "high_c", "fixed_kohm"},
    "fault_hunt": {"t_c"},
    "junction": {"t_c", "cold_c"},
    "lead_error": {"length_m"},
    "loop_walk": {"t_c"},
    "reference": {"t_c", "true_v"},
    "spec_line": {"t_c", "sensor_supply_v"},
    "whole_chain": {"t_c", "true_v"},
}


@every_explorer
def test_what_can_be_dragged_names_a_control(name):
    """A mark, or a rail, that can be taken hold of says which control it moves, and the explorer has that control."""
    explorer = make(name)
    picture = explorer._picture
    marks = [mark for chart in getattr(picture, "charts", ()) for mark in chart.marks]
    marks += RAILS if isinstance(picture, Rails) else ()
    handles = {getattr(mark, field, "") for mark in marks for field in ("handle", "handle_y", "end_handle")} - {""}
    assert HANDLES.get(name, set()) <= handles <= set(explorer.settings())


@every_explorer
def test_reset_brings_back_the_start(name):
    sliders = [control for control in MODULES[name].PLAN.controls if not control.options]
    explorer = make(name, **{control.name: at_share(control, 0.4) for control in sliders})
    before = (explorer.settings(), explorer.words(), image(explorer))
    explorer.move(**{control.name: at_share(control, 0.75) for control in sliders})
    assert explorer.words() != before[1]
    explorer.reset()
    assert (explorer.settings(), explorer.words(), image(explorer)) == before


@every_explorer
def test_design_files_are_saved_and_loaded(name, tmp_path):
    path = tmp_path / "my-design.toml"
    explorer = make(name)
    explorer._file.value = str(path)
    for control in explorer.plan.controls:
        if control.put and not control.options:
            middle = control.low + 0.5 * (control.high - control.low)
            explorer._inputs[control.name].value = middle if control.digits else round(middle)
    saved = explorer.design()
    explorer.save()
    assert "Saved" in explorer._file_note.value
    assert file.read(path) == saved
    other = make(name)
    other._file.value = str(path)
    other.load()
    assert "Loaded" in other._file_note.value, other._file_note.value
    assert other.design() == saved
    own = {control.name for control in explorer.plan.controls if control.get is None}
    resting = {name for name, widget in explorer._inputs.items() if widget.disabled}
    shared = set(explorer.settings()) - own - resting
    assert {key: other.settings()[key] for key in shared} == pytest.approx(
        {key: explorer.settings()[key] for key in shared}
    )


@pytest.mark.parametrize("room", [False, True])
def test_the_highest_code_there_can_be_stands_inside_the_picture(room):
    explorer = make("reference", room=room)
    explorer.move(true_v=5.5, bits=16)
    check_inside(explorer)


def test_saving_over_a_file_keeps_what_it_held(tmp_path):
    path = tmp_path / "my-design.toml"
    path.write_text("# the reader's own notes\n", encoding="utf-8")
    explorer = make("reference")
    explorer._file.value = str(path)
    explorer.save()
    assert (tmp_path / "my-design-before.toml").read_text(encoding="utf-8") == "# the reader's own notes\n"
    assert "my-design-before.toml" in explorer._file_note.value


def test_a_file_that_cannot_be_used_is_explained_and_changes_nothing(tmp_path):
    path = tmp_path / "my-design.toml"
    path.write_text("format = 1\ntitle = 'x'\nbits = 3\n", encoding="utf-8")
    explorer = make("reference")
    before = explorer.words()
    for name in (str(path), str(tmp_path / "not-there.toml")):
        explorer._file.value = name
        explorer.load()
        assert "Not loaded" in explorer._file_note.value
    assert explorer.words() == before


def test_a_design_beyond_the_sliders_widens_them(tmp_path):
    """Nothing is clamped: a 20-bit converter from a file stays one."""
    path = tmp_path / "my-design.toml"
    text = file.dumps(north_bench()).replace("bits = 10", "bits = 20")
    path.write_text(text, encoding="utf-8")
    explorer = make("reference")
    explorer._file.value = str(path)
    explorer.load()
    assert explorer.settings()["bits"] == 20 and explorer.result().codes == 2**20


@every_explorer
def test_degF_changes_every_temperature_told(name):
    celsius, fahrenheit = make(name, book=Book("degC")), make(name, book=Book("degF"))
    assert "°C" in celsius.words() and "°F" not in celsius.words()
    assert "°F" in fahrenheit.words() and "°C" not in fahrenheit.words()
    values = [value for _, value in fahrenheit.plan.facts(fahrenheit.result(), fahrenheit.book)]
    assert not [value for value in values if re.search(r"\d °C", value) and "°F" not in value]


@every_explorer
def test_the_choice_for_the_whole_book_reaches_every_explorer(name):
    choose(scale="degF", room=True)
    explorer = make(name)
    assert explorer.book == Book("degF", True)
    assert "tempkit-room" in explorer._dom_classes


@every_explorer
def test_buttons_work(name):
    explorer = make(name)
    desk = image(explorer)
    explorer._room_button.value = True
    assert image(explorer) != desk and explorer._picture.look == Look(True)
    explorer._room_button.value = False
    assert image(explorer) == desk


@every_explorer
def test_number_table_holds_what_the_words_say(name):
    explorer = make(name)
    numbers = set(re.findall(r"\d+\.\d+|\d{3,}", explorer.words()))
    table = " ".join(f"{row} {value}" for row, value in explorer.plan.facts(explorer.result(), explorer.book))
    missing = {number for number in numbers if number not in table}
    assert not missing, f"the table lacks {missing}: {table}"


@every_explorer
def test_stored_output_needs_no_kernel(name):
    bundle = make(name)._repr_mimebundle_()
    assert bundle["text/plain"] == make(name).words()
    assert bundle["text/html"].startswith("<img alt=") and "<table>" in bundle["text/html"]
    assert "<script" not in bundle["text/html"] and "<svg" not in bundle["text/html"]


@every_explorer
def test_an_error_is_told_with_what_to_do(name, monkeypatch):
    explorer = make(name)
    monkeypatch.delenv("TEMPKIT_STRICT")

    def broken(*_, **__):
        raise RuntimeError("the maths gave up")

    slide = explorer._inputs[first_slide(explorer).name]
    explorer.plan = tempkit.explorers.stage.Plan(**{**vars(explorer.plan), "compute": broken})
    slide.value = to_other_end(slide)
    assert "the maths gave up" in explorer._told.value and "Reset" in explorer._told.value
    assert image(explorer) == ""
    monkeypatch.setenv("TEMPKIT_STRICT", "1")
    with pytest.raises(RuntimeError, match="gave up"):
        slide.value = to_other_end(slide)


def to_other_end(slide):
    return slide.low if slide.value == slide.high else slide.high


def test_unknown_control_is_named():
    with pytest.raises(ValueError, match="no control is called speed"):
        make("reference").move(speed=3)


def test_slide_refuses_what_lies_outside():
    slide = Slide(value=1.0, low=0.0, high=2.0, label="supply, V", unit="V")
    for value in (2.1, -0.1, float("nan"), float("inf")):
        with pytest.raises(traitlets.TraitError, match="supply, V"):
            slide.value = value
    assert slide.value == 1.0


def test_a_screen_reader_hears_only_settled_values():
    """During a drag nothing is heard, and nothing old stands there to be read."""
    explorer = make("reference")
    explorer._inputs["t_c"].value = 40.0
    assert text_of(explorer._spoken) == ""
    explorer._inputs["t_c"].settled += 1
    assert "40.0 °C" in explorer._spoken.value and 'role="status"' in explorer._spoken.value
    explorer._inputs["kind"].value = "fixed"
    assert "fixed reference" in explorer._spoken.value


def text_of(widget):
    return html.unescape(re.sub("<[^>]*>", "", widget.value))


def check_together(explorer):
    """Words, picture, live region and number table, opened before or only now, tell of the same state."""
    words, button = explorer.words(), explorer._table_button
    alt = html.unescape(re.search('alt="([^"]*)"', image(explorer))[1])
    assert (text_of(explorer._told), alt, text_of(explorer._spoken)) == (words, words, words)
    table = number_table(explorer.plan.title, explorer.plan.facts(explorer.result(), explorer.book))
    assert not button.value or explorer._table.value == table
    button.value = not button.value
    assert not button.value or explorer._table.value == table


def a_changed_place(control, widget):
    others = [value for value, _ in control.options if value != widget.value]
    return others[-1] if others else widget.low + (0.25 if control.digits else 0) * (widget.high - widget.low)


@every_explorer
@pytest.mark.parametrize("book", SIZES_AND_SCALES, ids=["desk-degC", "room-degF"])
def test_words_picture_table_and_what_is_heard_hold_together(name, book, tmp_path):
    """After every kind of change, in whatever order; the table is opened and shut in between."""
    explorer = make(name, book=book)
    check_together(explorer)
    for control in explorer.plan.controls:
        widget = explorer._inputs[control.name]
        widget.value = a_changed_place(control, widget)
        if not control.options:
            widget.settled += 1
        check_together(explorer)
    explorer.reset()
    check_together(explorer)
    control = first_slide(explorer)
    slide = explorer._inputs[control.name]
    value = next(value for share in (0.55, 0.8) if (value := at_share(slide, share)) != slide.value)
    slide.enter(f"{value:.{control.digits}f}".replace(".", ","))
    assert not slide.said and slide.value == pytest.approx(value)
    check_together(explorer)
    explorer._file.value = str(tmp_path / "my-design.toml")
    explorer.save()
    move_first(explorer, 0.3)
    check_together(explorer)
    explorer.load()
    check_together(explorer)
    explorer._room_button.value = not book.room
    check_together(explorer)
    there = {control.name: at_share(control, 0.35)}
    asked = Prediction("99-x", "What?", "Look.", "So.", number=Amount(lambda: 1.0, "V"), settings=there)
    PredictionBox(asked, explorer).go()
    assert explorer.settings()[control.name] == pytest.approx(there[control.name])
    check_together(explorer)
    explorer.reset()
    check_together(explorer)


def test_after_an_error_nothing_of_the_last_state_is_left(monkeypatch):
    explorer = make("reference")
    explorer._table_button.value = True
    monkeypatch.delenv("TEMPKIT_STRICT")
    explorer.plan = replace(explorer.plan, words=lambda *_: 1 / 0)
    explorer._inputs["t_c"].value = 30.0
    assert text_of(explorer._spoken) == text_of(explorer._told) and "cannot be shown" in text_of(explorer._told)
    assert image(explorer) == explorer._table.value == ""


# ---- typed numbers

TEMPERATURES = [
    ("18", 18.0),
    ("2,5", 2.5),
    ("2.5", 2.5),
    ("\N{MINUS SIGN}5.0", -5.0),
    ("-5,0 °C", -5.0),
    ("25.2 degC", 25.2),
    ("77 °F", 25.0),
    ("300 K", 26.85),
    ("1e2", 100.0),
]


@pytest.mark.parametrize("text, t_c", TEMPERATURES)
def test_a_typed_number_is_read_as_on_the_answer_cards(text, t_c):
    explorer = make("reference")
    explorer._inputs["t_c"].enter(text)
    assert explorer.settings()["t_c"] == pytest.approx(t_c) and not explorer._inputs["t_c"].said
    check_together(explorer)
    fahrenheit = make("reference", book=Book("degF"))
    fahrenheit._inputs["t_c"].enter(f"{t_c} °C")
    assert fahrenheit.settings()["t_c"] == pytest.approx(t_c)


@pytest.mark.parametrize("name, control, text, value", [
    ("reference", "true_v", "4750 mV", 4.75),
    ("spec_line", "at_0c_mv", "0,6 V", 600.0),
    ("spec_line", "accuracy_c", "3.6 °F", 2.0),
    ("spec_line", "slope_mv", "0,008 V/°C", 8.0),
    ("lead_error", "allowed_ohm", "250 mohm", None),
    ("lead_error", "allowed_ohm", "2,5 Ω", 2.5),
    ("error_budget", "offset_lsb", "2 LSB", 2.0),
    ("error_budget", "drift_ppm", "50 ppm/°C", 50.0),
    ("fault_hunt", "log", "7", 7),
    ("fault_hunt", "log", "7.5", None),
    ("bit_depth", "bits", "9,5 bits", None),
    ("bit_depth", "bits", "9.0 bit", 9),
    ("thresholds", "on_delay", "3 V", None),
    ("lag", "swing_min", "90 s", 1.5),
])  # fmt: skip
def test_units_of_typed_numbers(name, control, text, value):
    """A value of None is refused: the last one is kept, and why, the range and the unit are told."""
    explorer = make(name)
    before, slide = explorer.settings(), explorer._inputs[control]
    slide.enter(text)
    if value is None:
        assert f"“{text}” is not taken" in slide.said and slide.unit in slide.said and " as before" in slide.said
        assert explorer.settings() == before
        explorer.reset()
        assert not slide.said
    else:
        assert explorer.settings()[control] == pytest.approx(value) and not slide.said


@pytest.mark.parametrize("text", ["", "abc", "999", "-41", "2 5", "1.2.3", "5 V", "25 °C 3", "nan", "0x19", "25" * 90])
def test_what_is_refused_keeps_the_last_value_and_says_why(text):
    explorer = make("whole_chain")
    explorer.move(t_c=18.5)
    slide = explorer._inputs["t_c"]
    slide.enter(text)
    assert explorer.settings()["t_c"] == 18.5 and f"“{text[:40]}” is not taken. " in slide.said
    assert slide.said.endswith(" Type one from −40 to 125 °C. It is 18.5 °C as before.")
    slide.enter("19")
    assert slide.value == 19.0 and slide.said == ""


def test_how_a_lone_comma_was_read_is_told():
    slide = make("calibration_line")._inputs["altitude_m"]
    slide.enter("1,250")
    assert slide.value == 1.25 and slide.said.startswith("1,250 was read as 1.250")


def test_ends_of_a_range_can_be_typed_in_either_scale():
    for book, other in ((Book("degF"), Book("degC")), (Book("degC"), Book("degF"))):
        explorer = make("thresholds", book=book)
        for name in ("low_c", "high_c"):
            control = next(each for each in explorer.plan.controls if each.name == name)
            for end_c in (control.low, control.high):
                explorer._inputs[name].enter(f"{other.from_celsius(end_c):.6f} {other.sign}")
                assert explorer.settings()[name] == pytest.approx(end_c), explorer._inputs[name].said


def test_callbacks_from_other_threads_do_not_tear_the_picture():
    from concurrent.futures import ThreadPoolExecutor

    explorer = make("reference")
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda t_c: explorer.move(t_c=float(t_c)), range(-20, 60)))
    words = explorer.words()
    explorer._draw()
    assert words.split(".")[0] in image(explorer)


def test_choices_are_kept_for_the_book():
    from tempkit.book import current
    from tempkit.explorers.whole_chain import Choices

    choices = Choices()
    choices.scale.value = "degF"
    choices.room.value = True
    assert current() == Book("degF", True)
    assert "°F" in Choices().words() and "back row" in choices._told.value
