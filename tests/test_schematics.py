"""The circuit diagrams: every value of the chain is on them, nothing overlaps, nothing is cut off."""

import base64
import html
import io
import itertools
import re
from dataclasses import replace

import matplotlib
import numpy as np
import pytest
from matplotlib.transforms import Bbox
from PIL import Image

from tempkit import book
from tempkit.chain import LinearSensor, scenario
from tempkit.draw import circuit_diagram, diagram, words

LONG = LinearSensor(at_0c_v=-0.123456, slope_v_per_c=-0.00123456)
CASES = {
    "supply": scenario(),
    "supply measured": scenario(true_v=4.83),
    "source resistance": scenario(source_ohm=10_000.0),
    "ratiometric": scenario(ratiometric_at_v=5.0, true_v=4.83),
    "fixed": scenario(nominal_v=1.2, kind="fixed", supply_v=5.0, source_ohm=1000.0, true_v=1.183),
    "fixed, no supply stated": scenario(nominal_v=2.5, kind="fixed", bits=24),
    "long": replace(scenario(nominal_v=123.456, source_ohm=123e6, ratiometric_at_v=4.987), sensor=LONG),
}


def every_drawing(cases):
    """A fixture: a finished figure and its chain, for every case, size and style."""

    @pytest.fixture(scope="module", params=itertools.product(cases, (False, True), ("iec", "ieee")), ids=str)
    def drawn(request):
        name, room, style = request.param
        figure = diagram(cases[name], room=room, style=style)
        figure.canvas.draw()
        return figure, cases[name]

    return drawn


drawn = every_drawing(CASES)


def texts(figure):
    return [text for text in figure.axes[0].texts if text.get_text()]


def said(figure):
    return [text.get_text() for text in texts(figure)]


def boxes(figure):
    return {text: text.get_window_extent() for text in texts(figure)}


def line_pieces(figure):
    """Every straight piece of every line as a bounding box [px]; None where a line is interrupted."""
    for line in figure.axes[0].lines:
        points = line.get_transform().transform(line.get_xydata())
        for start, end in itertools.pairwise(points):
            if np.isfinite([*start, *end]).all():
                yield start, end


def crosses(box, start, end):
    """True where the piece from start to end enters the box; sampled at a pixel."""
    count = int(np.hypot(*(end - start))) + 2
    x, y = (np.linspace(start[axis], end[axis], count) for axis in (0, 1))
    return bool(((x > box.x0) & (x < box.x1) & (y > box.y0) & (y < box.y1)).any())


def test_no_text_overlaps_another(drawn):
    for (one, box), (two, other) in itertools.combinations(boxes(drawn[0]).items(), 2):
        common = Bbox.intersection(box, other)
        assert common is None or min(common.width, common.height) < 1, (one, two)


def test_no_line_runs_through_a_text(drawn):
    figure, _ = drawn
    pieces = list(line_pieces(figure))
    assert len(pieces) > 20
    rounds = [patch.get_window_extent() for patch in figure.axes[0].patches]
    for text, box in boxes(figure).items():
        assert not [piece for piece in pieces if crosses(box, *piece)], text
        assert not [each for each in rounds if box.overlaps(each)], text


def test_nothing_is_cut_off(drawn):
    figure, _ = drawn
    width, height = figure.canvas.get_width_height()
    for box in boxes(figure).values():
        assert box.x0 >= 2 and box.y0 >= 2 and box.x1 <= width - 2 and box.y1 <= height - 2
    for start, end in line_pieces(figure):
        for x, y in (start, end):
            assert 2 <= x <= width - 2 and 2 <= y <= height - 2


def test_ink_on_white(drawn):
    figure, _ = drawn
    assert matplotlib.colors.to_hex(figure.get_facecolor()) == "#ffffff"
    assert {text.get_color() for text in texts(figure)} == {"#111111"}
    assert {line.get_color() for line in figure.axes[0].lines} == {"#111111"}


def test_the_values_of_the_chain_are_on_it(drawn):
    figure, chain = drawn
    found = "\n".join(said(figure))
    assert f"{chain.reference.nominal_v:.3f} V" in found
    assert f"{chain.converter.bits} bit" in found
    assert f"{chain.sensor.slope_v_per_c * 1000:g} mV/°C".lstrip("-") in found
    assert "100 nF" in found
    assert ("Ω" in found) == (chain.circuit.source_ohm > 0)
    assert ("ratiometric" in found) == (chain.circuit.ratiometric_at_v is not None)
    assert ("measured" in found) == (chain.reference.true_v is not None)
    assert ("fixed" in found) == (chain.reference.kind == "fixed")
    assert {"supply", "output", "ground", "reference"} <= set(said(figure))


def test_the_default_chain_to_the_letter():
    assert said(diagram(scenario())) == [
        "100 nF", "linear sensor", "600 mV at 0 °C", "8 mV/°C", "supply", "ground", "output", "input",
        "converter", "10 bit", "∩ / #", "ground", "reference", "supply and reference: 5.000 V ±5 %",
    ]  # fmt: skip


def test_the_supply_feeds_the_converter_only_where_it_is_the_reference():
    """The supply rail ends at the sensor, or goes on to the converter."""
    for name, reaches in (("supply", True), ("fixed", False)):
        figure = diagram(CASES[name])
        top = max(piece[0][1] for piece in line_pieces(figure))
        rail_end = max(end[0] for start, end in line_pieces(figure) if start[1] == end[1] == top)
        converter = next(box for text, box in boxes(figure).items() if text.get_text() == "converter")
        assert (rail_end > converter.x0) == reaches


def turns(figure):
    """Most changes of direction, up or down, within one line of the drawing."""
    heights = [np.diff(line.get_ydata()) for line in figure.axes[0].lines]
    steps = [np.sign(each[np.isfinite(each) & (np.abs(each) > 1e-9)]) for each in heights]
    return max(int((np.diff(each) != 0).sum()) for each in steps)


def test_the_styles_differ_as_the_standards_do():
    """IEC 60617: a box, and signs of analog and digital; IEEE 315: a zigzag, and letters (from memory)."""
    chain = CASES["source resistance"]
    iec, ieee = (diagram(chain, style=style) for style in ("iec", "ieee"))
    assert turns(iec) <= 2 < 5 <= turns(ieee)
    assert "∩ / #" in said(iec) and "A / D" in said(ieee)
    with pytest.raises(ValueError, match="style 'din' is not one of iec, ieee"):
        diagram(chain, style="din")


def test_the_back_row_gets_larger_type_and_thicker_lines():
    desk, room = diagram(scenario()), diagram(scenario(), room=True)
    assert texts(room)[0].get_fontsize() > 2 * texts(desk)[0].get_fontsize()
    assert room.axes[0].lines[0].get_linewidth() > 1.5 * desk.axes[0].lines[0].get_linewidth()
    assert len(said(room)) < len(said(desk))


def test_the_words_say_what_is_drawn():
    plain = words(CASES["supply"])
    assert "a supply of 5.000 V ±5 % feeds the sensor (linear, 600 mV at 0 °C, 8 mV/°C)" in plain
    assert "directly to the input of a 10-bit converter" in plain
    assert "reference is the supply itself" in plain
    fixed = words(CASES["fixed"])
    assert "through 1.00 kΩ" in fixed
    assert "fixed voltage source of 1.200 V" in fixed
    assert "A meter says 1.183 V" in fixed
    assert "that is not stated" in words(CASES["fixed, no supply stated"])
    assert "specified at 5.000 V" in words(CASES["ratiometric"])


def test_a_notebook_gets_picture_and_words():
    bundle = circuit_diagram(scenario())._repr_mimebundle_()
    assert bundle["text/plain"] == words(scenario())
    alt, data = re.fullmatch(r'<img alt="([^"]+)".*base64,([^"]+)">', bundle["text/html"]).groups()
    assert html.unescape(alt) == words(scenario())
    picture = Image.open(io.BytesIO(base64.b64decode(data)))
    assert picture.format == "PNG"
    assert f'width="{picture.width}"' in bundle["text/html"]
    assert picture.convert("RGB").getpixel((0, 0)) == (255, 255, 255)


def test_the_size_follows_the_book_unless_told():
    desk = circuit_diagram(scenario()).width
    book.choose(room=True)
    assert circuit_diagram(scenario()).width > desk
    assert circuit_diagram(scenario(), room=False).width == desk


def test_nothing_is_left_behind():
    """No figure in pyplot's keeping, no setting of matplotlib or schemdraw changed."""
    diagram(scenario())
    from matplotlib._pylab_helpers import Gcf
    from schemdraw.schemdraw import schemdrawstyle

    before = dict(matplotlib.rcParams), dict(schemdrawstyle)
    diagram(CASES["fixed"], room=True, style="ieee")
    assert (dict(matplotlib.rcParams), dict(schemdrawstyle)) == before
    assert Gcf.get_all_fig_managers() == []
