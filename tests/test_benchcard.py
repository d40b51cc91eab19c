"""The bench card: every figure by hand for the north bench, the command, the printed page, and every design file."""

import html
import os
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from references import reference
from tempkit.__main__ import main
from tempkit.book import Book
from tempkit.chain import Design, Divider, Limits, Outputs, PlatinumSensor, scenario
from tempkit.chain import file as chainfile
from tempkit.faults import bench_card, card_text, fault, hand_test, meter_limits_v, points, possible
from tempkit.faults.bench_meter import first_codes, meter_points, signal_limits_v
from tempkit.faults.bench_steps import lamp_resistor_ohm, parts
from tempkit.faults.card import WIDTH, symptoms
from tempkit.faults.card_page import sheet_html

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "data" / "chains"
NORTH = chainfile.read(FOLDER / "north-bench.toml")
FILES = sorted(FOLDER.glob("*.toml"))


@pytest.fixture(scope="module")
def north():
    return bench_card(NORTH, 21.0)


# ---- figures


def test_the_meters_table_by_hand():
    """At 21 degC 768 mV. The sensor's 1.5 degC and the room's 1 degC are 20 mV; the meter's 0.5 % and 2 mV on top."""
    rows = {each.where: each for each in meter_points(NORTH, 21.0)}
    pin = rows["the converter's pin"]
    assert signal_limits_v(NORTH, 21.0) == pytest.approx(0.020, abs=1e-6)
    assert pin.volts == pytest.approx(0.768, abs=1e-5)
    assert (pin.low_v, pin.high_v) == pytest.approx((0.748 - 0.00374 - 0.002, 0.788 + 0.00394 + 0.002), abs=1e-5)
    supply = rows["supply, at the board"]
    assert supply.low_v == pytest.approx(4.75 - meter_limits_v(4.75))  # the design's own 5 %
    assert supply.high_v == pytest.approx(5.25 + meter_limits_v(5.25))
    supply = meter_points(chainfile.read(FOLDER / "south-bench-low-reference.toml"), 21.0)[0]
    assert supply.low_v == pytest.approx(4.75 - meter_limits_v(4.75))  # a USB source
    assert supply.high_v == pytest.approx(5.50 + meter_limits_v(5.50))


def test_self_heating_and_lead_drop_widen_the_table():
    """From the ice-point file: at most 0.2 degC and 1 mV more, which are 1.6 mV and 1 mV."""
    ice = chainfile.read(FOLDER / "north-bench-ice-point.toml")
    assert signal_limits_v(ice, 21.0) == pytest.approx(0.0226, abs=1e-5)


def test_a_measured_supply_leaves_the_meter_alone():
    measured = chainfile.read(FOLDER / "north-bench-measured.toml")
    row = meter_points(measured, 21.0)[0]
    assert row.high_v - row.low_v == pytest.approx(2 * meter_limits_v(4.83), rel=0.01)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_right_benches_lie_within_the_meters_table(path):
    """200 drawn benches without a fault: no voltage outside its row but where a drawn sensor lies beyond its limits."""
    design, rng = chainfile.read(path), np.random.default_rng(8)
    names = {"supply, at the board": "supply_v", "the converter's reference": "reference_v"}
    names["the converter's pin"] = "pin_v"
    rows = {names[each.where]: each for each in meter_points(design, 21.0) if each.where in names}
    outside = dict.fromkeys(rows, 0)
    for _ in range(200):
        at = points(fault("healthy").case(design, rng), 21.0)
        for name, row in rows.items():
            outside[name] += not row.low_v <= getattr(at, name) <= row.high_v
    assert outside["supply_v"] == outside["reference_v"] == 0
    assert outside["pin_v"] <= 200 * 0.08


def test_first_codes_by_hand():
    """u_c is 3.01 degC at 21 degC; with 1/root 3 for the room 3.07; 1.96 times it is 6.0 degC, or 9.8 codes."""
    codes = first_codes(NORTH, 21.0)
    assert codes.code == 157 and codes.reading_c == pytest.approx(21.130, abs=0.001)
    low, high = codes.likely
    assert (low, high) == (int(157.3 - 9.8), int(157.3 + 9.8))
    assert codes.widest[0] < low < codes.code < high < codes.widest[1]


def test_first_codes_hold_the_first_codes_of_simulated_benches():
    from tempkit.faults import record

    rng = np.random.default_rng(4)
    firsts = [record(fault("healthy").case(NORTH, rng), hand_test(21.0)).code[0] for _ in range(300)]
    codes = first_codes(NORTH, 21.0)
    within = np.mean([codes.likely[0] <= code <= codes.likely[1] + 1 for code in firsts])
    assert within > 0.9
    assert min(firsts) >= codes.widest[0] and max(firsts) <= codes.widest[1] + 1


def test_the_lamps_resistor_against_a_table():
    """By Ohm's law 5.25 V less 1.6 V over 6 mA are 608 ohm: 640 ohm may be 5 % smaller, and E24 (IEC 60063) has 680."""
    assert lamp_resistor_ohm(NORTH) == 680.0
    e24 = reference("e24").expected["E24"]
    for current in (0.002, 0.004, 0.0055, 0.009, 0.013):
        design = replace(NORTH, outputs=Outputs(current))
        value = lamp_resistor_ohm(design)
        (note,) = [row[2] for row in parts(design) if row[0] == "resistor of the lamp"]
        said_a = float(note.split()[-2]) / 1000
        assert 3.65 / (0.95 * value) <= said_a * (1 + 1e-9) <= current * (1 + 1e-6)
        assert 3.65 / (0.95 * value) <= current
        exact = 3.65 / current / 0.95
        above = [
            number * 10.0**power for power in (0, 1, 2, 3) for number in e24 if number * 10.0**power >= exact - 1e-9
        ]
        assert value == pytest.approx(min(above))


def test_parts_wiring_and_steps_say_what_the_design_has(north):
    text = card_text(north)
    for words in (
        "680 Ω ±5 %",
        "never above 5.66 mA",
        "86 mA",
        "100 nF",
        "9600 bit/s, 8N1",
        "1.20 W",
        "above 27.0 °C",
        "Lithium",
        "Relays",
    ):
        assert words in text, words
    wiring = [row[0] for row in north.section("WIRING, power off").rows]
    assert wiring[0].startswith("Unplug") and wiring[1].startswith("Ground") and wiring[-1].startswith("Supply, last")
    bare = card_text(bench_card(Design("bare", scenario())))
    assert "Lamp" not in bare and "Buzzer" not in bare and "Relays" in bare
    south = card_text(bench_card(chainfile.read(FOLDER / "south-bench-low-reference.toml")))
    assert "WHAT CANNOT WORK" in south and "through 1.00 kΩ" in south and "about 1.00 kΩ" in south


def rows_of(card, title):
    return [" | ".join(row) for row in card.section(title).rows]


def test_a_circuits_own_resistors_are_on_the_card():
    wanted = {
        "thermistor": ["fixed resistor | 9.10 kΩ ±1 % | preferred value, E24"],
        "platinum-bridge": [
            "upper resistors, two | 2.00 kΩ ±0.1 % | preferred value, E24",
            "balance resistor | 82.0 Ω ±0.1 % | preferred value, E24",
        ],
        "platinum-4-wire": ["resistor of the current | 3.30 kΩ ±0.1 % | preferred value, E24"],
        "thermocouple-k": ["amplifier | gain 90 ±0.5 %, offset up to ±0.0100 mV, bias 350 mV | as drawn"],
    }
    for name, rows in wanted.items():
        design = chainfile.read(FOLDER / f"north-bench-{name}.toml")
        card = bench_card(design)
        assert set(rows) <= set(rows_of(card, "PARTS")), name
        for row in rows:
            if "resistor" in row:
                alone, value, _ = row.split(" | ")
                assert f"Ohms, {alone}, out of the circuit: {value}." in rows_of(card, "BEFORE POWER")
    odd = replace(design, chain=replace(NORTH.chain, sensor=PlatinumSensor(), circuit=Divider(fixed_ohm=1030.0)))
    assert "fixed resistor | 1.03 kΩ | no preferred value: put 1030 Ω" not in rows_of(bench_card(odd), "PARTS")
    (row,) = [row for row in rows_of(bench_card(odd), "PARTS") if row.startswith("fixed resistor")]
    assert row == "fixed resistor | 1.03 kΩ | no preferred value: put 1040 Ω, E192, into the design"


@pytest.mark.parametrize(
    ("limits", "room_c", "high", "low"),
    [
        (
            Limits(18.0, 27.0, 0.5), 21.0,
            "High limit: hold the sensor between two fingers; the buzzer sounds above 27.0 °C. Let go: it returns below"
            " 26.5 °C.",
            "Low limit: lay a cold pack, dry and in a closed bag, against the sensor; the lamp lights below 18.0 °C. "
            "Take it away: it returns above 18.5 °C.",
        ),
        (
            Limits(-18.0, 60.0), 21.0,
            "High limit, 60.0 °C, out of reach of a hand: put 18.0 °C in its place, leave the other limit out, write "
            "the program anew, and the buzzer sounds at once. Then put all back, and write it again.",
            "Low limit, −18.0 °C, out of reach of a cold pack: put 24.0 °C in its place, leave the other limit out, "
            "write the program anew, and the lamp lights at once. Then put all back, and write it again.",
        ),
        (
            Limits(26.0, 40.0, 1.0), 21.0, "High limit, 40.0 °C, out of reach",
            "Low limit, 26.0 °C: the room is beyond it, so the lamp lights at once, and returns only above 27.0 °C.",
        ),
    ],
)  # fmt: skip
def test_each_limit_is_tested_with_what_there_is(limits, room_c, high, low):
    steps = rows_of(bench_card(replace(NORTH, alarm=limits), room_c), "FIRST POWER")
    for words in (high, low):
        assert sum(step.startswith(words) for step in steps) == 1, (words, steps)
    one = rows_of(bench_card(replace(NORTH, alarm=replace(limits, high_c=None)), room_c), "FIRST POWER")
    both = [step.replace(", leave the other limit out", "") for step in steps]
    assert [step for step in both if step not in one] == [step for step in both if step.startswith("High limit")]


def test_a_hand_warms_nothing_in_a_hot_room():
    card = bench_card(NORTH, 31.0)
    steps = rows_of(card, "FIRST POWER")
    assert not any("finger" in step and "Hold" in step for step in steps)
    assert any(step.startswith("Lay a cold pack") for step in steps)
    assert "For a room of 28.0 °C" in card.section("SYMPTOMS").note and "For a room" not in bench_card(
        NORTH, 28.0
    ).section("SYMPTOMS").note
    assert hand_test(28.0).hand_c == 33.0
    with pytest.raises(ValueError, match="hand_c 33 degC must be 33.1 degC or more"):
        hand_test(28.1)


def test_a_thermocouples_terminals_are_as_warm_as_the_room():
    """Both ends at 21 degC give no voltage, so the pin has the bias, 350 mV; its terminals' sensor 0.6 + 0.168 V,
    and 1 degC of its own and 1 degC of the room are 16 mV."""
    card = bench_card(chainfile.read(FOLDER / "north-bench-thermocouple-k.toml"), 21.0)
    rows = {row[0]: row[1:] for row in card.section("METER").rows}
    assert rows["the converter's pin"][0] == "0.350 V"
    assert rows["the converter's second input"] == ("0.768 V", "0.746 V to 0.790 V")
    assert card.section("FIRST CODES").rows[0][1:] == ("573", "21.0 °C")
    assert any("the converter's second input" in row for row in rows_of(card, "WIRING, power off"))


# ---- symptoms


def test_symptoms_are_computed_and_name_every_fault_once():
    rows = symptoms(NORTH, 21.0)
    named = [key for row in rows for key in row.causes]
    assert sorted(named) == sorted(each.key for each in possible(NORTH) if each.key != "healthy")
    seen = {key: row.seen for row in rows for key in row.causes}
    assert seen["lamp"] == "nothing to see in the log"
    assert seen["baud"] == "characters that cannot be read"
    assert "does not follow a warm hand" in seen["turned"] and "jumps" in seen["sag"]
    assert "stands at an end" in seen["no supply"] and "steady wave" in seen["no signal"]
    assert "prints 0.09 °C or more above what its own code says" in seen["count"]
    first = {key: row.check for row in rows for key in row.causes}
    assert first["turned"].startswith("Remove the power at once.")


def test_the_other_supply_reads_too_high_by_what_ohm_says():
    """768 mV counted against 3.3 V and taken as 5 V: 1164 mV, 49.5 degC too high; 3.3 V and the sensor may be off."""
    (row,) = [row for row in symptoms(NORTH, 21.0) if row.causes == ("other supply",)]
    low, high = map(float, re.search(r"reads ([\d.]+) °C to ([\d.]+) °C too high", row.seen).groups())
    assert low < 49.5 < high and high - low < 20


def test_another_supply_gives_another_table():
    """With a fixed reference the supply's sag and noise leave the log alone: computed, not listed."""
    south = {
        key: row for row in symptoms(chainfile.read(FOLDER / "south-bench-low-reference.toml")) for key in row.causes
    }
    assert south["sag"] is south["noisy"] is south["lamp"]
    assert south["sag"].seen == "nothing to see in the log"


# ---- text


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_design_file_gives_a_card(path):
    text = card_text(bench_card(chainfile.read(path)))
    assert max(map(len, text.splitlines())) <= WIDTH
    assert "nan" not in text and "None" not in text and "np.float" not in text
    for title in ("PARTS", "WIRING", "BEFORE POWER", "FIRST POWER", "METER", "FIRST CODES", "SYMPTOMS", "CAUTIONS"):
        assert f"\n{title}" in text


def test_degrees_fahrenheit():
    text = card_text(bench_card(NORTH, 25.0, Book("degF")))
    assert "Room: 77.0 °F" in text and "± 1.8 °F" in text and "above 80.6 °F" in text
    assert not re.search(r"\d °C(?!,)", text.replace("at 0 °C", "").replace("mV/°C", ""))


def test_an_unknown_section_is_named(north):
    with pytest.raises(ValueError, match="no section 'POETRY': there are PARTS, WIRING"):
        north.section("POETRY")


# ---- the page


class Page(HTMLParser):
    """Tags, their attributes, and text of a page; every tag but the empty ones must be closed in order."""

    EMPTY = ("meta", "img", "br")

    def __init__(self, text):
        super().__init__()
        self.open, self.tags, self.texts = [], [], []
        self.feed(text)
        assert not self.open

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open[-1:] != ["style"]:
            self.texts.append(data)


def test_the_page_is_whole_and_needs_nothing_else(north):
    text = sheet_html(north, NORTH)
    page = Page(text)
    tags = [tag for tag, _ in page.tags]
    assert not {"script", "link", "iframe", "svg"} & set(tags)
    assert not re.search(r"(src|href)=\"(?!data:image/png)", text) and "url(" not in text
    (image,) = [attributes for tag, attributes in page.tags if tag == "img"]
    assert image["alt"].startswith("Circuit diagram: a supply of 5.000 V ±5 %")
    assert dict(page.tags[tags.index("html")][1])["lang"] == "en"
    assert tags.count("h1") == 1 and tags.count("h2") == 1 + len(north.sections)
    assert all("scope" in attributes for tag, attributes in page.tags if tag == "th")


def test_the_page_says_all_that_the_text_says(north):
    said = " ".join(" ".join(Page(sheet_html(north, NORTH)).texts).split())
    for section in north.sections:
        for row in section.rows:
            for cell in row:
                assert cell in said


def test_the_page_holds_on_a_grey_printer(north):
    """Black on white only, and any paper: no colour, no fixed size of the page."""
    style = re.search(r"<style>(.*?)</style>", sheet_html(north, NORTH), re.S)[1]
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}", style)) == {"#000", "#fff"}
    assert "@page { margin: 12mm; }" in style and "size:" not in style.replace("font-size:", "").replace(
        "box-sizing:", ""
    )


def test_a_title_with_signs_is_escaped():
    design = replace(NORTH, title="Bench <script>alert(1)</script> & co")
    text = sheet_html(bench_card(design), design)
    assert "<script" not in text and html.escape(design.title) in text


# ---- the command


def test_exit_codes(capsys, tmp_path):
    path = str(FOLDER / "north-bench.toml")
    assert main(["bench", path, "--room-c", "20"]) == 0
    assert "Room: 20.0 °C" in capsys.readouterr().out
    for room, words in (("200", "room 200.0 °C is outside the sensor's range"), ("nan", "outside the sensor's range")):
        assert main(["bench", path, "--room-c", room]) == 2
        printed = capsys.readouterr()
        assert words in printed.err and printed.out == ""
    assert main(["bench", "no-such-bench.toml"]) == 2
    assert "no such file" in capsys.readouterr().err
    assert main(["bench", str(FOLDER / "south-bench-low-reference.toml"), "--room-c", "76"]) == 2
    assert "saturated" in capsys.readouterr().err
    occupied = tmp_path / "occupied"
    occupied.write_text("", encoding="utf-8")
    assert main(["bench", path, "--out", str(occupied)]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_lamp_that_cannot_light_is_refused(capsys, tmp_path):
    text = (FOLDER / "cold-frame-3v3.toml").read_text(encoding="utf-8")
    path = tmp_path / "dim.toml"
    path.write_text(text.replace("nominal_v = 3.3", "nominal_v = 1.9"), encoding="utf-8")
    assert main(["bench", str(path)]) == 2
    assert "the lamp does not light" in capsys.readouterr().err


def test_from_a_shell(tmp_path):
    file = str(FOLDER / "north-bench.toml")
    run = [sys.executable, "-m", "tempkit", "bench", file, "--room-c", "20.5", "--scale", "degC", "--out", "card"]
    done = subprocess.run(run, cwd=tmp_path, capture_output=True, env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0, done.stderr
    assert b"Room: 20.5 degC" in done.stdout
    files = {path.name for path in (tmp_path / "card").iterdir()}
    assert files == {"north-bench-bench-card.txt", "north-bench-bench-card.html"}
    stored = (tmp_path / "card" / "north-bench-bench-card.txt").read_text(encoding="utf-8")
    assert stored == card_text(bench_card(NORTH, 20.5))
