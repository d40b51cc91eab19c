"""Chapter 04's explorer: the loop walk, what its words and its table say, and what the picture draws."""

from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
from matplotlib.text import Text

from tempkit.board.loop import ARITHMETICS, CHANGES, LANGUAGES
from tempkit.book import Book
from tempkit.chain import Design, scenario
from tempkit.draw import ORANGE, Look
from tempkit.explorers import loop_walk, north_bench
from tempkit.explorers.loop_walk import claimed

BOOK = Book()
TURN_C = 65536 / 5000 * 5 / 1024 / 0.008  # one turn of 16 bits, in codes, in volts, in degrees: 8 degC


def at(change="none", t_c=25.0, arithmetic="integers", language="c", design=None):
    return loop_walk.compute(design or north_bench(), t_c, language, arithmetic, change)


class Cells(HTMLParser):
    """The texts of a table's cells, row by row."""

    def __init__(self, text):
        super().__init__()
        self.rows = []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        if tag == "tr":
            self.rows.append([])
        elif tag in ("th", "td"):
            self.rows[-1].append("")
        elif tag == "br":
            self.rows[-1][-1] += " "

    def handle_data(self, text):
        if self.rows:
            self.rows[-1][-1] += text


def cells(result):
    return Cells(loop_walk.table(result, BOOK)).rows


# ---- compute


def test_the_wrapped_product_of_the_bench():
    """815000 - 12 x 65536 = 28568; (28568 + 2500) / 1024 = 30.3 -> 30 mV; -712.5 -> -713 tenths: worked by hand."""
    found = at("product16")
    assert found.now.values(163)["product"] == 28568
    assert (found.right_c, found.reading_c) == (24.8, -71.3)
    assert found.error_c == pytest.approx(-96.3, abs=1e-9)


def test_a_wrapping_loop_jumps_once_a_turn():
    """The independent count: 135 degC of range over 8 degC a turn."""
    t_c, claims_c = at("product16").curve
    jumps = np.count_nonzero(np.diff(claims_c) < -3.0)
    assert jumps == pytest.approx((t_c[-1] - t_c[0]) / TURN_C, abs=1.0)
    highest_mv = 32 + 2  # 32767 / 1024 mV, and half a step of 2500 / 1024 mV
    assert np.abs(claims_c - -75.0).max() <= (highest_mv + 1) / 8


@pytest.mark.parametrize("arithmetic", ARITHMETICS)
def test_forgetting_the_32_is_off_by_32_degrees_fahrenheit(arithmetic):
    _, claims_c = at("span", arithmetic=arithmetic).curve
    _, right_c = at(arithmetic=arithmetic).curve
    np.testing.assert_allclose(claims_c - right_c, -32 / 1.8, atol=0.051 / 1.8)


@pytest.mark.parametrize("arithmetic", ARITHMETICS)
def test_forgetting_the_offset_is_off_by_75_degrees(arithmetic):
    """600 mV over 8 mV/degC, at every temperature; integers round half a tenth away from zero, to both sides."""
    claims_c, right_c = at("offset", arithmetic=arithmetic).curve[1], at(arithmetic=arithmetic).curve[1]
    np.testing.assert_allclose(claims_c - right_c, 75.0, atol=1e-9 + 0.1 * (arithmetic == "integers"))


def test_the_highest_code_for_the_count_hides_from_the_print():
    """At 23 degC both loops print 23.0; at 110 degC they differ by 0.1 % of 1.48 V, about 0.18 degC."""
    assert at("count", 23.0).reading_c == at(t_c=23.0).reading_c == 23.0
    warm = at("count", 110.0, "float")
    assert warm.reading_c - warm.right_c == pytest.approx(1.4819 / 1023 / 0.008, abs=1e-3)


def test_outside_the_range_there_is_nothing_to_print():
    found = at("offset", t_c=130.0)
    assert (found.code, found.reading_c, found.error_c) == (None, None, None)
    assert "no code" in loop_walk.words(found, BOOK)
    assert {row[2] for row in cells(found)[1:]} == {"none"}
    near = at("offset", t_c=108.0).near
    assert np.isnan(near[1][near[0] > 110.0]).all() and np.isfinite(near[1][near[0] <= 110.0]).all()


# ---- words and tables


def test_words_tell_the_product_and_what_is_left():
    words = loop_walk.words(at("product16"), BOOK)
    assert "815000 does not fit in 16 bits; 28568" in words
    assert "−71.3 degC" in words and "off by −96.3 °C" in words


def test_words_in_python_say_that_its_own_integers_do_not_wrap():
    assert "own integers do not wrap" in loop_walk.words(at("product16", language="python"), BOOK)


def test_a_loop_without_that_line_says_so():
    words = loop_walk.words(at("product16", arithmetic="float"), BOOK)
    assert "no product of integers" in words and "in place of" not in words


def test_a_change_that_the_print_hides_is_named():
    assert "the print alone shows nothing" in loop_walk.words(at("count", 23.0), BOOK)


def test_words_follow_the_readers_scale():
    words = loop_walk.words(at("offset"), Book("degF"))
    assert words.startswith("At 77.0 °F") and words.endswith("off by +134.6 °F.")


def test_the_table_is_the_whole_loop():
    """Lines, meanings and values in order; nothing is marked where nothing was changed."""
    found = cells(at())
    assert [row[2] for row in found[1:]] == [
        "5000",
        "163",
        "815000",
        "798",
        "248",
        "766",
        "24.8 degC  76.6 degF",
    ]
    assert found[3][0] == "int32_t product = code * supply_mv;"
    assert "≠" not in str(found) and "should be" not in str(found)


def test_the_table_marks_what_differs_in_words_and_by_a_sign():
    found = cells(at("product16"))
    assert found[3][0] == (
        "int16_t product = code * supply_mv; changed; it should be int32_t product = code * supply_mv;"
    )
    assert found[3][2] == "28568 ≠, should be 815000"
    assert [("≠" in row[2]) for row in found[1:]] == [False, False, True, True, True, True, True]
    assert [("should be" in row[0]) for row in found[1:]] == [False, False, True, False, False, False, False]


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("arithmetic", ARITHMETICS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_every_setting_can_be_told(language, arithmetic, change):
    found = at(change, language=language, arithmetic=arithmetic)
    words = loop_walk.words(found, BOOK)
    assert 2 <= words.replace("Python's own", "").count(". ") + 1 <= 4
    marked = sum("should be" in row[0] for row in cells(found))
    assert marked == (1 if found.now.changed else 0)
    assert all(value for _, value in loop_walk.FACTS.rows(found, BOOK))


def test_the_highest_code_whose_product_fits():
    """32767 / 5000 = 6.55: code 6 is the last."""
    assert ("highest code whose product fits in 16 bits", "6") in loop_walk.FACTS.rows(at(), BOOK)


# ---- picture


def picture_of(result, scale="degC", room=False):
    return loop_walk.PLAN.picture(Look(room), Book(scale)).show(result)


def ring_of(picture):
    return next(line for line in picture.panels[0][0].axes.lines if line.get_marker() == "o")


def test_jumps_are_gaps_and_stairs_are_not():
    """A line of 2 pixels across a jump would claim readings that never come."""
    for found, gaps in ((at("product16"), 135 / TURN_C), (at(), 0)):
        lines = picture_of(found).panels[0][0].axes.lines
        _, drawn = next(line for line in lines if line.get_color() == ORANGE).get_data()
        assert np.count_nonzero(np.isnan(drawn)) == pytest.approx(gaps, abs=1.0 if gaps else 0)


@pytest.mark.parametrize("room", [False, True])
def test_a_reading_off_the_chart_is_told(room):
    chain = scenario(nominal_v=1.2, kind="fixed")
    far = at("supply", design=Design("low reference (invented)", chain))
    shown = picture_of(far, room=room)
    top = shown.panels[0][0].axes.get_ylim()[1]
    assert far.reading_c > 200 and ring_of(shown).get_ydata()[0] == pytest.approx(top)
    assert "reading off the chart" in seen(shown)
    assert "reading off the chart" not in seen(picture_of(at(), room=room))


def seen(picture):
    """All words that show in a picture."""
    return [text.get_text() for text in picture.figure.findobj(Text) if text.get_visible()]


@pytest.mark.parametrize("scale", ["degC", "degF"])
def test_the_ring_stands_at_the_reading(scale):
    ring = ring_of(picture_of(at("offset"), scale))
    there = (Book(scale).from_celsius(25.0), Book(scale).from_celsius(99.8))
    assert (ring.get_xdata()[0], ring.get_ydata()[0]) == pytest.approx(there)


def test_claims_may_lie_below_absolute_zero():
    """A sensor of 1 mV/degC, volts taken for millivolts: (0.627 - 600) / 1 is no temperature, but printed."""
    sensor = replace(scenario().sensor, slope_v_per_c=0.001)
    design = Design("flat (invented)", replace(scenario(), sensor=sensor))
    found = at("millivolt", design=design, arithmetic="float")
    assert found.reading_c == pytest.approx(-599.4, abs=0.1)
    assert claimed(Book("degF"), found.reading_c) == "−1046.9 °F"
    picture_of(found, "degF").png()
    assert "°F" in loop_walk.words(found, Book("degF"))


# ---- the whole explorer


def test_the_table_always_stands_beneath_the_words():
    explorer = loop_walk.explorer(arithmetic="integers", change="product16")
    assert "28568" in explorer._beneath.value
    assert explorer._beneath.layout.display != "none"
    explorer.move(change="none")
    assert "28568" not in explorer._beneath.value and "815000" in explorer._beneath.value
    assert "815000" in explorer.static_html()
