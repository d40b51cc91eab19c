"""What is said about an answer: order of remarks, units, near misses; and nothing that is typed raises."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tempkit.exercises import (
    Column,
    Draw,
    Number,
    Posed,
    Problem,
    Table,
    Wrong,
    check,
    factor_of,
    other_figures,
    problem,
    problems,
)
from tempkit.exercises.catalogue import chapters
from tempkit.exercises.figures import figures_at

STEP_MV = problem("02-step-in-mv")
STEP_C = problem("02-step-in-degrees")
CODE = problem("02-code-for-temperature")
READING = problem("04-code-to-degrees")
EVERY = [Posed(found, other_figures(found)) for found in problems().values()]


def posed(answer, **figures):
    """A problem of this file with one set of figures."""
    lists = tuple(Draw(name, (value,)) for name, value in figures.items())
    made = Problem("99-made", 1, "Made", "Made.", "What?", lists, answer, ("A.", "B."), str)
    return Posed(made, figures_at(made, 0))


def test_the_example_of_the_scenario():
    """5 V over 1024 steps at 8 mV/degC is 0.610 degC: three digits are right, with either decimal mark."""
    for text in ("0.610 °C", "0,610 °C", "0.6103515625 degC", "6.10e-1 °C", "0.610 K"):
        verdict = STEP_C.check(text)
        assert verdict.right and verdict.understood and verdict.way is None, verdict
    assert repr(STEP_C.check("0.610", unit="°C")) == "✓ Right: 0.6104 °C."


def test_a_unit_is_needed_where_there_is_a_choice():
    verdict = STEP_C.check("0.610")
    assert not verdict.understood and "unit" in verdict.remark
    assert CODE.check("163").right and CODE.check("163 counts").right


def test_a_pasted_unit_goes_before_the_chosen_one_and_that_is_said():
    verdict = STEP_MV.check("4.883 mV", unit="V")
    assert verdict.right and "You typed mV and chose V" in verdict.remark
    assert "You typed" not in STEP_MV.check("4.883 mV", unit="mV").remark
    assert STEP_MV.check("0.004883", unit="V").right and STEP_MV.check("4883 µV").right


def test_a_unit_of_another_family_is_refused():
    verdict = STEP_C.check("4.88 mV", unit="°C")
    assert not verdict.understood and "voltage" in verdict.remark and "temperature span" in verdict.remark
    assert "not known" in STEP_C.check("4.88 furlongs").remark
    assert not STEP_C.check("4.88", unit="mV").understood
    assert "without a unit" in problem("02-codes-of-range").check("223 mV").remark


def test_a_temperature_and_a_span_change_scale_differently():
    span = problem("04-span-in-fahrenheit")
    assert span.figures.span_c == 0.5
    assert span.check("0.9 °F").right and span.check("0.9").right and span.check("0.9°").right
    assert span.check("32.9 °F").way == "added-32"
    reading = problem("04-reading-in-fahrenheit")
    assert reading.check("76.8 °F").right
    warm = problem("01-temperature-from-volts")
    assert [warm.check(text).right for text in ("21.75 °C", "71.15 °F", "294.9 K")] == [True, True, True]


@pytest.mark.parametrize(
    ("which", "given"),
    [
        ("04-span-in-fahrenheit", "0.5 °C"),
        ("04-reading-in-fahrenheit", "24.9 °C"),
        ("07-deadband-fahrenheit", "26.5 °C"),
        ("04-span-in-fahrenheit", "0.5 K"),
    ],
)
def test_where_the_conversion_is_asked_another_unit_is_not_taken(which, given):
    for verdict in (problem(which).check(given), problem(which).check(given.split()[0], unit=given.split()[1])):
        assert not verdict.understood and "asks for °F" in verdict.remark


def test_a_right_figure_in_the_wrong_unit_has_its_own_remark():
    verdict = STEP_MV.check("4.883 V")
    assert not verdict.right and verdict.way is None
    assert verdict.remark == (
        "The figure is right for another unit: mV instead of V. Between them lies a factor of 1000."
    )
    assert "another unit" in READING.check("24.79 °F").remark


def test_a_factor_of_a_thousand_is_named():
    answer = Number(
        lambda f: f.v,
        "percent",
        "%",
        0.01,
        "R.",
        (Wrong("a", lambda f: 1, "A"), Wrong("b", lambda f: 2, "B")),
    )
    assert "factor of 1000" in posed(answer, v=5.0).check("5000 %").remark
    assert "factor of 100" in posed(answer, v=5.0).check("0.05 %").remark


def test_a_lone_comma_that_meant_a_thousand_is_answered():
    answer = Number(lambda f: f.v, "number", "", 0.5, "R.")
    verdict = posed(answer, v=1234.0).check("1,234")
    assert (
        not verdict.right
        and "If a thousand was meant" in verdict.remark
        and "read as 1.234" in verdict.remark
    )
    right = posed(answer, v=1.234).check("1,234")
    assert right.right and "read as 1.234" in right.remark


def test_remarks_of_wrong_ways_come_before_general_ones():
    """A near miss and a unit slip: where a wrong way has the same value, it speaks first."""
    answer = Number(lambda f: f.v, "voltage", "mV", 1.0, "R.", (Wrong("near", lambda f: 52.5, "Wrong way."),))
    assert posed(answer, v=50.0).check("52.5 mV").remark == "Wrong way."
    shifted = Number(
        lambda f: f.v, "voltage", "mV", 1.0, "R.", (Wrong("volts", lambda f: 50_000.0, "Wrong way."),)
    )
    assert posed(shifted, v=50.0).check("50 V").way == "volts"


def test_a_near_miss_is_called_close():
    answer = Number(lambda f: f.v, "voltage", "mV", 1.0, "R.")
    for text, close in (("52.9 mV", True), ("47.1 mV", True), ("53.2 mV", False)):
        verdict = posed(answer, v=50.0).check(text)
        assert not verdict.right and ("Close" in verdict.remark and "rounding" in verdict.remark) is close


def test_the_sign_is_named():
    assert "sign" in problem("03-supply-error").check("-5.26 °C").remark


def test_codes_have_their_own_remarks():
    assert CODE.check("164").way == "rounded"
    assert "Off by one" in CODE.check("162").remark
    assert "whole number" in CODE.check("163.6").remark
    assert CODE.check("200").remark.startswith("No usual slip")


def test_a_wrong_way_rounded_like_an_answer_is_still_recognised():
    """39.06 °C, sixty-four times the answer: its rounding is as many times the tolerance."""
    assert STEP_C.check("39.1 °C").way == STEP_C.check("39.0625 °C").way == "multiplied"


def test_choices():
    choice = problem("03-after-a-change")
    assert choice.check("discard").right
    assert choice.check("average").way == "average"
    text = choice.problem.answer.options[1].text
    assert choice.check(text).right
    for nonsense in ("", "maybe", "discard; average"):
        verdict = choice.check(nonsense)
        assert not verdict.understood and verdict.remark == "Choose one of the answers offered."


def test_a_right_value_with_too_few_digits_is_its_own_state():
    """Neither right nor an attempt, whatever wrong way is near; and it says how many digits are wanted."""
    fine = STEP_C.other()
    for text, told in (("0.14 °C", "to two digits; give three digits"), ("0.1 °C", "to one digit; give three digits")):
        verdict = fine.check(text)
        assert (verdict.right, verdict.way, verdict.rounded, verdict.attempt) == (False, None, True, False)
        assert told in verdict.remark and repr(verdict).startswith("≈ Too few digits: Right, but ")
    warm = problem("01-temperature-from-volts")
    assert warm.check("22 °C").remark == "Right, but to two digits; give it to 0.1 °C."
    assert fine.check("0.24 °F").rounded and fine.check("0.244 °F").right
    assert problem("02-codes-of-range").check("220").remark == "Right, but to two digits; here every digit counts."
    assert fine.check("0.140 °C").attempt, "its third digit is wrong, not missing"
    boiling = problem("09-boiling-point")
    assert boiling.check("100 °C").way == "hundred", "what a wrong way gives exactly is that way"


def test_a_table_with_too_few_digits_names_its_cells():
    table = problem("04-four-codes")
    right = table.model_answer()
    assert table.check([right[0], "16.2 °C", *right[2:]]).right
    verdict = table.check([right[0], "16 °C", *right[2:]])
    assert verdict.rounded and "Code 149, reading to two digits, give it to 0.1 °C" in verdict.remark


@pytest.mark.parametrize(
    ("which", "printed"),
    [
        ("02-step-in-mv", "4.883 mV"),
        ("03-supply-error", "5.3 °C"),
        ("04-code-to-degrees", "24.8 °C"),
        ("05-difference", "0.28 °C"),
        ("06-smoothed-noise", "0.13 °C"),
        ("08-trailing-a-ramp", "1.0 °C"),
        ("09-point-uncertainty", "0.15 °C"),
    ],
)
def test_what_the_chapter_prints_for_the_same_question_is_right(which, printed):
    assert problem(which).check(printed).right


def test_every_text_says_how_many_digits_it_wants():
    said = {made.problem.id: made.text for made in EVERY if not hasattr(made.problem.answer, "options")}
    wanted = re.compile(r"[.?)] Give (?:(?!Give).)*(digits|whole numbers?|to [\d.]+( \S+)?)\.$")
    rough = {made.problem.id: factor_of(made.problem.answer) for made in EVERY if factor_of(made.problem.answer)}
    assert rough and all(wanted.search(text) for name, text in said.items() if name not in rough)
    told = {name: f" An estimate will do: right within a factor of {factor:g}." for name, factor in rough.items()}
    assert all(said[name].endswith(sentence) for name, sentence in told.items())
    assert said["02-step-in-mv"].count("digits") == 1
    assert said["04-four-codes"].endswith("Give voltage to 1 mV and reading to 0.1 °C.")
    for number in (made for made in EVERY if isinstance(made.problem.answer, Number)):
        assert not re.search(r"[Gg]ive .*digits", number.problem.text(number.figures))


def test_how_many_digits_are_asked_for_must_be_declared():
    with pytest.raises(ValueError, match="how many digits"):
        Number(lambda f: 1.0, "voltage", "mV", lambda f: 0.1, "R.")


def test_the_nearest_explanation_is_told():
    """A sign slip, a unit slip and a slip by 1000 beside wrong ways that lie near, but not as near."""
    ways = (Wrong("minus", lambda f: -50.9, "Way."), Wrong("small", lambda f: 0.5, "Way."))
    made = posed(Number(lambda f: f.v, "voltage", "mV", 1.0, "R.", ways), v=50.0)
    assert made.check("-50 mV").remark == "The size is right, the sign is not."
    assert made.check("-50.8 mV").way == "minus"
    assert "another unit" in made.check("0.05 mV").remark and made.check("0.45 mV").way == "small"


def test_a_comma_groups_thousands_where_a_whole_number_is_asked_for():
    count = posed(Number(lambda f: f.v, "number", "", 0.0, "R.", whole=True), v=1024)
    assert count.check("1,024").right and count.check("1024").right and count.check("1 024").right
    made = posed(Number(lambda f: f.v, "number", "", 0.5, "R."), v=90000.0)
    assert not made.check("90,000").right and "thousand" in made.check("90,000").remark


def test_a_bare_degree_is_that_of_the_only_scale_in_the_text():
    assert READING.check("24.8°").right and READING.check("24.8 degrees", unit="°C").right
    assert READING.check("24.8 degrees").right and READING.check("76.6 °", unit="°F").right
    boiling = problem("09-boiling-point")
    assert boiling.check("98.6 degrees C").right and STEP_MV.check("4.883 mVolt.").right
    made = posed(Number(lambda f: f.v, "temperature", "°C", 0.5, "R."), v=90.0)
    assert not made.check("90°").understood and "which scale" in made.check("90°").remark
    assert CODE.check("code 163").right and CODE.check("Code 163.").right


def test_no_message_holds_an_internal_key():
    for made in EVERY:
        answer = made.problem.answer
        keys = [o.key for o in answer.options] if hasattr(answer, "options") else [way.key for way in answer.wrong]
        for text in ("", "nonsense", "1 mV", "-1"):
            remark = made.check(text).remark
            assert not [key for key in keys if "-" in key and key in remark], remark


def test_several_of_many():
    several = problem("01-supply-window")
    assert several.check("two-fresh; three-flat; four-flat; usb-low").right
    assert several.check(["usb-low", "two-fresh", "four-flat", "three-flat", "usb-low"]).right
    missing = several.check(["usb-low"])
    assert not missing.right and missing.way is None and "missing" in missing.remark
    astray = several.check(["usb-low", "four-fresh"])
    assert astray.way == "four-fresh" and "above the window" in astray.remark
    assert not several.check([]).understood and not several.check("what").understood


def test_a_list_of_numbers():
    """The sensor of the scenario, 600 mV and 8 mV/degC: 0.4 V at -25 degC, 1.48 V at 110 degC."""
    ends = problem("01-range-in-volts")
    assert ends.check("0.4; 1.48").right and ends.check("400 mV\n1480 mV").right
    assert ends.check(["0,4", "1,48"]).value == ((0.4,), (1.48,))
    assert ends.check("1.48; 0.4").way == "swapped"
    half = ends.check("0.4; 0.88")
    assert half.remark.startswith("1 of 2 numbers are right. Look again at: Output at 110 °C.")
    assert half.way == "forgot-offset"
    assert "2 numbers are needed, 1 were given" in ends.check("0.4").remark
    refused = ends.check("0.4; warm")
    assert not refused.understood and refused.remark.startswith("Output at 110 °C: No number")


def test_a_table_names_the_cells_to_look_at_again():
    table = problem("04-four-codes")
    right = table.model_answer()
    assert table.check(right).right
    slipped = [*right[:3], "25 °C", *right[4:]]
    verdict = table.check(slipped)
    assert (verdict.right, verdict.way) == (False, None)
    assert "7 of 8 numbers are right. Look again at: Code 158, reading." in verdict.remark


def test_of_two_ways_that_fit_the_wrong_cells_the_one_that_fits_all_is_meant():
    answer = Table(
        rows=lambda f: ("one", "two"),
        columns=(Column("v", "voltage", "V", 0.1),),
        value=lambda f: ((1.0,), (2.0,)),
        reason="R.",
        wrong=(
            Wrong("both", lambda f: ((9.0,), (5.0,)), "Both."),
            Wrong("second", lambda f: ((1.0,), (5.0,)), "Second."),
        ),
    )
    made = posed(answer)
    assert made.check("1; 5").way == "second"
    assert made.check("9; 5").way == "both"
    assert made.check("9; 2").way == "both"


@given(st.text(max_size=40), st.sampled_from(EVERY), st.one_of(st.none(), st.text(max_size=6), st.just("mV")))
@example("1e999", STEP_C, "°C")
@example("nan", STEP_C, "°C")
@example("9" * 5000, CODE, None)
@example("-", READING, "")
def test_nothing_that_is_typed_raises(text, made, unit):
    verdict = made.check(text, unit)
    assert verdict.remark and not (verdict.right and not verdict.understood)


@pytest.mark.parametrize("thing", [None, 25, 25.5, b"25", float("nan"), ["25"], {}])
def test_things_that_are_no_text_do_not_raise(thing):
    for made in EVERY:
        if not hasattr(made.problem.answer, "options") and not isinstance(made.problem.answer, Table):
            assert made.check(thing).remark


@given(st.integers(-(10**6), 10**6), st.sampled_from(["", " mV", " V", " °C", " K", " %", " kΩ"]))
def test_any_number_gets_a_verdict(number, unit):
    for made in EVERY:
        assert made.check(f"{number / 1000}{unit}").remark


def test_a_refusal_is_told_from_a_wrong_answer():
    assert [str(STEP_MV.check(text))[:9] for text in ("4.883 mV", "7 mV", "?")] == [
        "✓ Right: ",
        "✗ Not yet",
        "? Not rea",
    ]


def test_check_is_the_same_as_the_method():
    made = STEP_MV
    assert check(made.problem, made.figures, "4.883", "mV") == made.check("4.883", "mV")


def test_problems_are_found_by_chapter_and_by_id():
    assert problems("02") == problems(2) and problems("02-step-in-mv") == {"02-step-in-mv": STEP_MV.problem}
    assert len(problems()) == sum(len(problems(number)) for number in chapters())
    for wrong, said in (
        ("77", "chapters with problems are"),
        ("02-nothing", "02-step-in-mv"),
        ("", "chapters with"),
    ):
        with pytest.raises(ValueError, match=said):
            problems(wrong)
    with pytest.raises(ValueError, match="choose one of its problems"):
        problem("02")


def test_a_student_gets_personal_figures():
    mine = problem("02-code-for-temperature", course="spring", sheet="h01", student="cd-34")
    assert mine.figures.t_c == 26.2 and mine.figures.reference_v == 3.3
    assert mine.check(mine.model_answer()).right
    with pytest.raises(ValueError, match="code is empty"):
        problem("02-code-for-temperature", student="cd-34")


def test_a_number_needs_a_unit_of_its_family():
    with pytest.raises(ValueError, match="not one of voltage"):
        Number(lambda f: 1.0, "voltage", "°C", 0.1, "R.")
