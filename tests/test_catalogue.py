"""The invented maker's catalogue: reading its pages, each page's trap, and one source for the figures of the book."""

import dataclasses
import re
import tomllib
from html.parser import HTMLParser

import msgspec
import numpy as np
import pytest

import generated
from tempkit import constants
from tempkit.__main__ import main
from tempkit.chain import (
    INVENTED,
    ChainFileError,
    Converter,
    Specification,
    curve,
    read,
    specification,
    specification_names,
    specification_text,
)
from tempkit.chain.catalogue import FOLDER, power_of_ten
from tempkit.choose import catalogue as parts_of_the_book
from tempkit.draw import catalogue_page_html, specification_page
from tempkit.draw.catalogue_page import legs_words
from tempkit.faults import bench_card, bench_steps

NAMES = ["air-sensor", "board", "platinum", "thermistor", "thermocouple-amplifier"]
PARTS = parts_of_the_book()


class Page(HTMLParser):
    """Alt texts and visible words of a page."""

    def __init__(self, html):
        super().__init__()
        self.alts, self.words, self.tags, self.hidden = [], [], [], 0
        self.feed(html)
        self.text = " ".join(" ".join(self.words).split())

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.hidden += tag in ("style", "title")
        if tag == "img":
            self.alts.append(dict(attributes).get("alt"))

    def handle_endtag(self, tag):
        self.hidden -= tag in ("style", "title")

    def handle_data(self, data):
        if not self.hidden:
            self.words.append(data)


@pytest.fixture(scope="module", params=NAMES)
def spec(request):
    return specification(request.param)


@pytest.fixture(scope="module")
def page(spec):
    return Page(catalogue_page_html(spec))


# ---- reading


def test_every_part_has_its_page():
    assert specification_names() == NAMES
    assert len({specification(name).trap.what for name in NAMES}) == len(NAMES)


def test_a_name_that_is_not_there_is_told_with_those_that_are():
    with pytest.raises(ValueError, match="did you mean platinum.*" + ", ".join(NAMES)):
        specification("platnum")
    for name in ("../parts", "air-sensor.toml", "", None, 3):
        with pytest.raises(ValueError, match="no such page"):
            specification(name)


def test_an_empty_catalogue_is_told(tmp_path):
    with pytest.raises(ValueError, match="holds no pages"):
        specification("board", tmp_path)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"title": 3}, "Expected `str`, got `int` - at `$.title`"),
        ({"tilte": "x"}, "unknown field `tilte`"),
        ({"graph": "pie"}, "'pie'"),
        ({"values": [{"name": "a", "unit": "V", "typicl": 1}]}, "unknown field `typicl`"),
        ({"values": [{"name": "a", "unit": "V"}]}, "a: give one value or more"),
        ({"values": [{"name": "a", "unit": "V", "low": 2.0, "high": 1.0}]}, "a: give one value or more"),
        ({"values": [{"name": "a", "unit": "furlong", "high": 1.0}]}, "unit 'furlong' is not known"),
        ({"values": [{"name": "a", "unit": "V", "low": 1.0, "high": 1.5, "either": True}]}, "leave out low"),
        ({"values": [{"name": n, "key": "k", "unit": "V", "high": 1.0} for n in "ab"]}, "key k stands on two lines"),
    ],
)
def test_a_file_that_is_no_page(change, said, tmp_path):
    import tomli_w

    raw = tomllib.loads((FOLDER / "board.toml").read_text(encoding="utf-8")) | change
    (tmp_path / "board.toml").write_text(tomli_w.dumps(raw), encoding="utf-8")
    with pytest.raises(ChainFileError, match=re.escape(said)) as caught:
        specification("board", tmp_path)
    assert str(tmp_path / "board.toml") in str(caught.value)


@pytest.mark.parametrize("data", [b"\xff\xfe", b"title = ", b"title = 1\ntitle = 2"])
def test_a_file_that_is_no_toml(data, tmp_path):
    (tmp_path / "board.toml").write_bytes(data)
    with pytest.raises(ChainFileError, match="is not a page of the catalogue"):
        specification("board", tmp_path)


def test_a_page_cannot_be_changed(spec):
    with pytest.raises(AttributeError):
        spec.title = "another"
    with pytest.raises(AttributeError):
        spec.values[0].high = 1.0


def test_a_figure_comes_in_its_base_unit_to_the_last_digit():
    board = specification("board")
    assert (board.figure("sample_s"), board.figure("hold_f"), board.figure("clock_hz")) == (1.2e-6, 11e-12, 21e6)
    assert specification("thermistor").figure("r25_tolerance", "high") == 0.01
    assert board.figure("bits", "high") is None
    with pytest.raises(ValueError, match="did you mean hold_f"):
        board.figure("hold_ff")
    assert [power_of_ten(unit) for unit in ("mV/°C", "m/s²", "MHz", "%", "MΩ")] == [-3, 0, 6, -2, 6]


# ---- the trap of each page


def test_each_page_has_a_trap_that_a_careful_reader_finds(spec, page):
    """What misleads stands in large type or at the drawing, what puts it right in a table or in the small type."""
    trap = spec.trap
    large = [figure for figure, _ in spec.headline]
    assert trap.tempts in large or trap.tempts == f"seen {spec.seen}"
    for text in (" ".join(specification_text(spec).split()), page.text):
        assert trap.tempts in text and trap.careful in text
        assert trap.key not in text and trap.what not in text


def test_the_careful_reading_is_not_the_tempting_one(spec):
    figure, careful = (re.findall(r"\d+(?:\.\d+)?", text) for text in (spec.trap.tempts, spec.trap.careful))
    assert len(spec.trap.key.split()) > 10 and (not figure or careful[-1:] != figure)


# ---- the page


def test_the_text_is_well_laid_out(spec):
    text = specification_text(spec)
    assert max(map(len, text.splitlines())) <= 98 and INVENTED in text
    assert not [line for line in text.splitlines() if line != line.rstrip()]
    heads = [line for line in text.splitlines() if line.endswith("conditions")]
    assert len(heads) == 3 and len({line.index("lowest") for line in heads}) == 1
    for row in spec.rows():
        assert any(line.startswith(row.name) for line in text.splitlines()), row.name


def test_the_page_says_what_the_text_says(spec, page):
    for row in spec.rows():
        for cell in row.cells():
            assert cell in page.text, cell
    for word in (spec.title, INVENTED, spec.conditions, *spec.notes, *(name for _, name, _ in spec.legs)):
        assert word in page.text
    assert not {"script", "link", "iframe"} & set(page.tags)


def test_its_pictures_have_their_words(spec, page):
    assert page.alts == [curve(spec).words(), legs_words(spec)]
    for _, limit in ((row[0], row[3]) for row in curve(spec).rows()):
        assert limit in page.alts[0]
    for number, name, _ in spec.legs:
        assert f"{number} {name}" in page.alts[1]
    assert spec.seen in page.alts[1]


def test_what_a_page_says_is_escaped():
    raw = msgspec.to_builtins(specification("board"))
    raw |= {"title": "<b>&", "notes": ["<script>1</script>"], "legs": [["1", "<i>", "\"'"]], "seen": "<u>"}
    row = {"name": "<a>", "unit": "V", "high": 1, "at": "<c>"}
    raw |= {"headline": [["<d>", "<e>"]], "values": [*raw["values"], row]}
    html = catalogue_page_html(msgspec.convert(raw, Specification))
    for tag in ("<b>", "<script", "<i>", "<u>", "<a>", "<c>", "<d>", "<e>"):
        assert tag not in html
    assert "&lt;script&gt;1" in html


def test_in_a_notebook_it_is_the_same_page(spec):
    shown = specification_page(spec.name)
    assert repr(shown) == shown.words() == specification_text(spec)
    inside, printed = Page(shown._repr_html_()), Page(catalogue_page_html(spec))
    assert inside.text == printed.text and inside.alts == printed.alts
    assert "h1" not in inside.tags and inside.tags.count("h3") == printed.tags.count("h1") == 1  # a chapter has its own


def test_from_below_the_legs_run_the_other_way_round():
    spec = specification("thermocouple-amplifier")
    assert legs_words(spec).endswith("the right from the top: 1 in −, 2 in +, 3 ground.")
    raw = msgspec.to_builtins(spec) | {"seen": "from above"}
    assert "On the left from the top: 1 in −" in legs_words(msgspec.convert(raw, Specification))


def test_legs_stand_inside_their_drawing(spec):
    from tempkit.draw.catalogue_page import LEGS, legs_drawing

    figure = legs_drawing(spec)
    figure.canvas.draw()
    boxes = [text.get_window_extent() for text in figure.axes[0].texts]
    assert len(boxes) == 2 * len(spec.legs)
    assert all(0 <= box.x0 and box.x1 <= LEGS[0] and 0 <= box.y0 and box.y1 <= LEGS[1] for box in boxes)
    assert not [1 for i, one in enumerate(boxes) for other in boxes[:i] if one.overlaps(other)]


# ---- its curves, by another route


def test_the_curve_of_the_thermistor_holds_every_bead():
    """Beads at the ends of all tolerances, by the beta equation itself: the limit is the worst of them, to 2 %."""
    spec = specification("thermistor")
    its = curve(spec)
    t_k, r25, beta = its.x + 273.15, spec.figure("r25_ohm"), spec.figure("beta_k")
    worst = np.zeros_like(t_k)
    for by_r in (-0.01, 0.01):
        for by_beta in (-0.01, 0.01):
            r = r25 * (1 + by_r) * np.exp(beta * (1 + by_beta) * (1 / t_k - 1 / 298.15))
            reads_k = 1 / (1 / 298.15 + np.log(r / r25) / beta)
            worst = np.maximum(worst, abs(reads_k - t_k))
    assert its.limit == pytest.approx(worst + spec.figure("accuracy_c", "high"), rel=0.02)


def test_the_curve_of_the_amplifier_is_that_of_the_chain():
    chain = read(generated.ROOT / "data" / "chains" / "north-bench-thermocouple-k.toml").chain
    its = curve(specification("thermocouple-amplifier"))
    assert its.y == pytest.approx(chain.volts(its.x))


def test_the_graph_of_the_platinum_sensor_is_iec_60751():
    """Class B, IEC 60751: 0.3 + 0.005 |t|; 100 Ω and 138.51 Ω at 0 and 100 °C."""
    its = curve(specification("platinum"))
    assert its.limit == pytest.approx(0.3 + 0.005 * abs(its.x))
    at = dict(zip(its.x.round(6), its.y, strict=True))
    assert (at[0.0], round(at[100.0], 2)) == (100.0, 138.51)


# ---- one source: what the book uses is what the catalogue prints


def within(value, page, key):
    """True where a value is what the page prints as typical or as limit, or lies between the two."""
    typical, high = page.figure(key), page.figure(key, "high")
    return typical <= value <= (typical if high is None else high)


AIR, BOARD = specification("air-sensor"), specification("board")
THERMISTOR, PLATINUM, AMPLIFIER = (specification(n) for n in ("thermistor", "platinum", "thermocouple-amplifier"))
STEEP = "steep"  # a second linear sensor of the designer's list, of which the catalogue has no page


def ends(page, key):
    return tuple(page.figure(key, end) for end in ("low", "high"))


def test_the_constants_are_those_of_the_air_sensor():
    assert float(constants.SENSOR_AT_0C_V) == AIR.figure("at_0c_v")
    assert float(constants.SENSOR_SLOPE_V_PER_C) == AIR.figure("slope_v_per_c")
    assert tuple(map(float, constants.SENSOR_RANGE_C)) == ends(AIR, "range_c")
    assert tuple(map(float, constants.SENSOR_SUPPLY_V)) == ends(AIR, "supply_v")
    assert float(constants.SENSOR_ACCURACY_C) == AIR.figure("accuracy_c", "high")
    assert float(constants.SUPPLY_V) == BOARD.figure("supply_v")


def test_the_limits_at_0_degrees_are_those_of_the_accuracy():
    off_v = AIR.figure("accuracy_c", "high") * AIR.figure("slope_v_per_c")
    at_0c = AIR.figure("at_0c_v")
    assert ends(AIR, "at_0c_v") == pytest.approx((at_0c - off_v, at_0c + off_v))
    cold_v = AMPLIFIER.figure("cold_accuracy_c", "high") * AMPLIFIER.figure("cold_slope_v_per_c")
    at_0c = AMPLIFIER.figure("cold_at_0c_v")
    assert ends(AMPLIFIER, "cold_at_0c_v") == pytest.approx((at_0c - cold_v, at_0c + cold_v))


@pytest.mark.parametrize(
    ("page", "power_w", "dissipation", "heats"),
    [
        (AIR, 90e-6 * 5.6, "dissipation_w_per_k", "self_heating_c"),
        (THERMISTOR, 2.5**2 / 9100, "dissipation_w_per_k", "self_heating_c"),
        (PLATINUM, 0.001**2 * 110, "dissipation_w_per_k", "self_heating_c"),
        (PLATINUM, 0.0025**2 * 1000, "dissipation_m_w_per_k", "self_heating_m_c"),
    ],
)  # fmt: skip
def test_self_heating_follows_from_power_and_dissipation(page, power_w, dissipation, heats):
    """Power over dissipation, IEC 60539-1; printed with one digit, so to 6 %."""
    assert power_w / page.figure(dissipation, "low") == pytest.approx(page.figure(heats, "high"), rel=0.06)


def check_sensor(sensor, grades):
    """A sensor as the book uses it against its page; `grades` holds the limits that the page has."""
    name = type(sensor).__name__
    page = {"LinearSensor": AIR, "BetaThermistor": THERMISTOR, "PlatinumSensor": PLATINUM}.get(name)
    if name == "Thermocouple":
        low, high = ends(AMPLIFIER, "range_c")
        assert low <= sensor.range_c[0] and sensor.range_c[1] <= high and sensor.letter == "K"
        return
    low, high = ends(page, "range_bare_c" if name == "PlatinumSensor" else "range_c")
    assert low <= sensor.range_c[0] and sensor.range_c[1] <= high
    if name == "LinearSensor":
        assert (sensor.at_0c_v, sensor.slope_v_per_c) == (AIR.figure("at_0c_v"), AIR.figure("slope_v_per_c"))
        low, high = ends(AIR, "supply_v")
        assert low <= sensor.supply_v[0] and sensor.supply_v[1] <= high
        assert sensor.accuracy_c in {AIR.figure(key, "high") for key in grades}
    elif name == "BetaThermistor":
        assert (sensor.r25_ohm, sensor.beta_k) == (THERMISTOR.figure("r25_ohm"), THERMISTOR.figure("beta_k"))
        for field in ("r25_tolerance", "beta_tolerance"):
            known = {THERMISTOR.figure(field + grade, "high") for grade in ("", "_s")}
            assert getattr(sensor, field) in known | {0.0}
        assert sensor.accuracy_c in {THERMISTOR.figure("accuracy_c", "high"), 0.0}
    else:
        at_0 = PLATINUM.figure(f"tolerance_{sensor.tolerance_class.lower()}_c", "high")
        assert sensor.tolerance_c(0.0) == at_0
        assert sensor.r0_ohm in (100.0, 1000.0)


TAU = {"LinearSensor": AIR, "BetaThermistor": THERMISTOR, "PlatinumSensor": PLATINUM, "Thermocouple": AMPLIFIER}


@pytest.mark.parametrize("path", generated.CHAINS, ids=lambda path: path.stem)
def test_chain_files_use_the_catalogue(path):
    design = read(path)
    chain, name = design.chain, type(design.chain.sensor).__name__
    if name == "CurrentOutput":
        assert chain.sensor.range_c == ends(AIR, "range_c")
        return
    check_sensor(chain.sensor, ["accuracy_c"])
    boxed = path.stem.startswith("cold-frame")
    assert within(design.response.tau_s, TAU[name], "tau_box_s" if boxed else "tau_s")
    if name == "LinearSensor":
        assert design.noise.input_v == AIR.figure("noise_v", "high")
    if name == "Thermocouple":
        check_amplifier(chain.circuit, "")
    if chain.converter.bits == BOARD.figure("bits"):
        for field in ("offset_lsb", "gain_lsb", "inl_lsb"):
            assert getattr(chain.converter, field) == BOARD.figure(field, "high")
        check_reference(chain.reference)
    if design.outputs:
        assert design.outputs.lamp_current_a <= BOARD.figure("pin_a", "high")


def check_reference(reference):
    supply = reference.kind == "supply"
    assert reference.nominal_v == BOARD.figure("supply_v" if supply else "inner_v")
    if not supply:
        low, high = (reference.nominal_v * (1 + sign * reference.tolerance) for sign in (-1, 1))
        assert (low, high) == pytest.approx(ends(BOARD, "inner_v"))


def check_amplifier(circuit, grade):
    assert circuit.gain == AMPLIFIER.figure(f"gain{grade}")
    assert circuit.bias_v == AMPLIFIER.figure(f"bias{grade}_v")
    assert circuit.gain_tolerance == AMPLIFIER.figure("gain_tolerance", "high")
    assert circuit.offset_v == AMPLIFIER.figure("offset_v", "high")
    assert circuit.cold_accuracy_c == AMPLIFIER.figure(f"cold_accuracy{grade}_c", "high")
    if circuit.cold_at_0c_v is not None:
        line = AIR.figure("at_0c_v"), AIR.figure("slope_v_per_c")
        assert circuit.cold_line() == line
        assert line == (AMPLIFIER.figure("cold_at_0c_v"), AMPLIFIER.figure("cold_slope_v_per_c"))


@pytest.mark.parametrize("front", [f for f in PARTS.front_ends if STEEP not in f.name], ids=lambda front: front.name)
def test_the_designers_list_uses_the_catalogue(front):
    name = type(front.sensor).__name__
    page = TAU[name]
    if "thermistor 0.2" in front.name:  # grade T, with its table
        assert front.sensor.accuracy_c == page.figure("accuracy_t_c", "high")
    check_sensor(front.sensor, ["accuracy_c", "accuracy_q_c", "accuracy_r_c"])
    assert within(front.tau_s, page, "tau_s")
    if name == "LinearSensor":
        grade = "noise_r_v" if front.sensor.accuracy_c == AIR.figure("accuracy_r_c", "high") else "noise_v"
        assert (front.noise_v, front.self_heating_c) == (AIR.figure(grade, "high"), AIR.figure("self_heating_c"))
    elif name == "Thermocouple":
        check_amplifier(front.circuit, "_n")
        assert front.noise_v == AMPLIFIER.figure("noise_n_v", "high")
    else:
        large = name == "PlatinumSensor" and front.sensor.r0_ohm == 1000.0
        assert front.self_heating_c == page.figure("self_heating_m_c" if large else "self_heating_c", "high")


def test_the_list_has_the_boards_own_converter_and_references():
    own = next(each.part for each in PARTS.converters if each.part.bits == BOARD.figure("bits"))
    assert own == Converter(bits=10, **{k: BOARD.figure(k, "high") for k in ("offset_lsb", "gain_lsb", "inl_lsb")})
    for name in ("the 5 V supply", "1.2 V in the board"):
        check_reference(next(each.part for each in PARTS.references if each.name == name))


def test_the_bench_card_uses_the_catalogue():
    card = bench_card(read(generated.ROOT / "data" / "chains" / "north-bench.toml"))
    rows = {row[0]: row for section in card.sections for row in section.rows}
    line = f"{1000 * AIR.figure('at_0c_v'):g} mV at 0 °C, {1000 * AIR.figure('slope_v_per_c'):g} mV/°C"
    supply = "supply {:g} V to {:g} V".format(*ends(AIR, "supply_v"))
    assert line in rows["sensor"][1] and supply in rows["sensor"][2]
    assert float(bench_steps.PIN_A) == BOARD.figure("pin_a", "high")
    assert float(bench_steps.BOARD_A) == BOARD.figure("supply_current_a", "high")
    assert f"a pin gives some {1000 * BOARD.figure('pin_a', 'high'):g} mA" in rows["buzzer, sounds by itself"][2]
    assert f"the board taken as {1000 * BOARD.figure('supply_current_a', 'high'):g} mA" in rows["all together"][2]


def test_a_bench_that_is_not_of_the_catalogue_is_found():
    """The checks above can fail: a steeper sensor, a wider range, another grade."""
    sensor = read(generated.ROOT / "data" / "chains" / "north-bench.toml").chain.sensor
    check_sensor(sensor, ["accuracy_c"])
    wrong = {"slope_v_per_c": 0.009, "range_c": (-30.0, 110.0), "accuracy_c": 1.4, "supply_v": (2.9, 5.0)}
    for name, value in wrong.items():
        with pytest.raises(AssertionError):
            check_sensor(dataclasses.replace(sensor, **{name: value}), ["accuracy_c"])


# ---- the command


def test_the_command_lists_all_pages(capsys):
    assert main(["catalogue"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == NAMES


def test_the_command_prints_a_page_and_writes_it(tmp_path, capsys):
    place = tmp_path / "board.html"
    assert main(["catalogue", "board"]) == 0
    text = capsys.readouterr().out
    assert text == specification_text(BOARD)
    assert main(["catalogue", "board", "--html", str(place)]) == 0
    assert capsys.readouterr().out == f"{text}\nWritten: {place}\n"
    assert Page(place.read_text(encoding="utf-8")).text == Page(catalogue_page_html(BOARD)).text


def test_what_the_command_refuses(tmp_path, capsys):
    for arguments in (["catalogue", "thermo"], ["catalogue", "--html", str(tmp_path / "x.html")]):
        assert main(arguments) == 2
        said = capsys.readouterr().err
        assert ", ".join(NAMES) in said and "Traceback" not in said
    assert not list(tmp_path.iterdir())
