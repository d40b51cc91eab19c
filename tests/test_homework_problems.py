"""Every problem of the book: right is right, wrong ways are recognised, nothing gives the answer away."""

import hashlib
import re

import pytest

from tempkit.homework import catalogue, problems
from tempkit.homework.checking import check
from tempkit.homework.figures import cells, offered, personal, tolerances, usable, usable_sets
from tempkit.homework.problem import Choice, Number, Table
from tempkit.homework.reading import read

ALL = problems()
NUMERIC = [problem for problem in ALL if not isinstance(problem.answer, Choice)]
CHOICES = [problem for problem in ALL if isinstance(problem.answer, Choice)]
PRINTED = re.compile(r"(?<![\w.])[\N{MINUS SIGN}-]?\d+(?:\.\d+)?")


def by_id(problem):
    return problem.id


def personal_sets(problem, students=200):
    """The different sets that 200 students get."""
    return sorted({personal(problem, "spring", "h01", f"student-{number}") for number in range(students)})


def typed(answer, value):
    """A computed answer as somebody would type it, with its unit."""
    if isinstance(answer, Number):
        return f"{value!r} {answer.unit}".strip()
    return [f"{v!r} {c.unit}" for row in value for v, c in zip(row, answer.columns, strict=True)]


def numbers_in(text):
    return [read(found).value for found in PRINTED.findall(text)]


@pytest.fixture(params=ALL, ids=by_id)
def problem(request):
    return request.param


@pytest.fixture(params=NUMERIC, ids=by_id)
def numeric(request):
    return request.param


def test_ids_are_unique_and_every_chapter_with_problems_has_six():
    assert len({problem.id for problem in ALL}) == len(ALL)
    assert all(len(problems(number)) >= 6 for number in catalogue.chapters())
    assert {1, 2, 3, 4} <= set(catalogue.chapters())


def test_a_problem_is_complete(problem):
    assert re.fullmatch(r"\d\d(-[a-z0-9]+)+", problem.id) and problem.chapter in catalogue.chapters()
    assert problem.version >= 1 and problem.title and problem.goal.count(".") == 1
    assert 2 <= len(problem.hints) <= 3
    answer = problem.answer
    if isinstance(answer, Choice):
        assert len(answer.options) >= 3 and len({option.key for option in answer.options}) == len(
            answer.options
        )
    else:
        assert (
            answer.reason.endswith(".") and len({way.key for way in answer.wrong}) == len(answer.wrong) >= 2
        )


def test_texts_are_sentences_with_every_figure_filled_in(problem):
    for figures in personal_sets(problem, 20):
        texts = [problem.say(text, figures) for text in (problem.text, *problem.hints)]
        texts += [problem.solution(figures)]
        for text in texts:
            assert "{" not in text and "  " not in text and not re.search(r"-\d", text), text
        assert texts[0][-1] in ".?)" and all(hint[-1] in ".?" for hint in texts[1:-1])


def test_the_right_answer_is_right(problem):
    for figures in personal_sets(problem):
        posed = catalogue.Posed(problem, figures)
        verdict = posed.check(posed.model_answer())
        assert verdict.right and verdict.way is None, (figures, verdict)


def test_an_answer_rounded_by_its_tolerance_is_right(numeric):
    """The far edge of the tolerance is still right, half as far again is not."""
    answer = numeric.answer
    for figures in personal_sets(numeric, 40):
        value, width = cells(answer, answer.value(figures)), tolerances(answer, figures)
        for side in (-1, 1):
            for reach, right in ((1.0, True), (1.5, False)):
                moved = [v + side * reach * w for v, w in zip(value, width, strict=True)]
                verdict = check(numeric, figures, _typed_cells(answer, moved))
                assert verdict.right is (right or not any(width)), (figures, reach, verdict)


def _typed_cells(answer, values):
    if isinstance(answer, Number):
        return f"{values[0]!r} {answer.unit}"
    units = [column.unit for column in answer.columns] * (len(values) // len(answer.columns))
    return [f"{value!r} {unit}" for value, unit in zip(values, units, strict=True)]


def test_every_offered_wrong_way_is_recognised_as_itself(numeric):
    for figures in personal_sets(numeric):
        for way, value in offered(numeric, figures):
            verdict = check(numeric, figures, typed(numeric.answer, value))
            assert (verdict.right, verdict.way) == (False, way.key), (figures, verdict)
            assert numeric.say(way.remark, figures) in verdict.remark


def test_every_wrong_way_is_offered_somewhere(numeric):
    seen = {way.key for figures in usable_sets(numeric) for way, _ in offered(numeric, figures)}
    assert seen == {way.key for way in numeric.answer.wrong}


def test_two_tolerances_part_everything_that_is_told_apart(numeric):
    for figures in personal_sets(numeric):
        width = tolerances(numeric.answer, figures)
        values = [cells(numeric.answer, numeric.answer.value(figures))]
        values += [cells(numeric.answer, value) for _, value in offered(numeric, figures)]
        assert len(values) >= 3
        for i, one in enumerate(values):
            for other in values[:i]:
                gaps = [abs(a - b) - 2 * w for a, b, w in zip(one, other, width, strict=True)]
                assert max(gaps) > 0, (figures, one, other)


@pytest.mark.parametrize("problem", CHOICES, ids=by_id)
def test_every_option_of_a_choice_answers_with_its_own_remark(problem):
    for figures in personal_sets(problem, 30):
        right = problem.answer.keys(figures)
        assert 0 < len(right) < len(problem.answer.options)
        for option in problem.answer.options:
            verdict = check(problem, figures, [option.key] if problem.answer.several else option.key)
            if option.key in right and len(right) > 1:
                assert not verdict.right and "missing" in verdict.remark
            else:
                assert verdict.right == (option.key in right)
                assert problem.say(option.remark, figures) == verdict.remark


def test_the_place_of_the_right_option_varies():
    places = {
        [option.key for option in problem.answer.options].index(problem.answer.right)
        for problem in CHOICES
        if isinstance(problem.answer.right, str)
    }
    assert len(places) >= 3


def test_the_solution_ends_in_the_computed_answer(numeric):
    answer = numeric.answer
    for figures in personal_sets(numeric):
        wanted, width = cells(answer, answer.value(figures)), tolerances(answer, figures)
        printed = re.findall(r"= ([\N{MINUS SIGN}\d][\d.]*) ?(\S*?)[,.]?(?=\s|$)", numeric.solution(figures))
        found = [read(number).value for number, _ in printed[-len(wanted) :]]
        assert len(found) == len(wanted)
        for value, goal, tol in zip(found, wanted, width, strict=True):
            assert abs(value - goal) <= tol * (1 + 1e-9) + 1e-9 * abs(goal), (
                figures,
                numeric.solution(figures),
            )
        if isinstance(answer, Number) and answer.unit not in ("", "code", "bit"):
            assert printed[-1][1] == answer.unit


def test_hints_and_remarks_do_not_give_the_number(numeric):
    answer = numeric.answer
    for figures in personal_sets(numeric, 60):
        given = set(numbers_in(numeric.say(numeric.text, figures)))
        wanted, width = cells(answer, answer.value(figures)), tolerances(answer, figures)
        told = [*numeric.hints, *(way.remark for way, _ in offered(numeric, figures))]
        for text in told:
            for number in set(numbers_in(numeric.say(text, figures))) - given:
                assert all(abs(number - goal) > tol for goal, tol in zip(wanted, width, strict=True)), text


def test_personal_figures_vary_and_are_usable(problem):
    sets = personal_sets(problem)
    assert all(usable(problem, figures) for figures in sets)
    assert len(sets) >= min(len(usable_sets(problem)), 30) * 0.8


def test_no_sensor_of_the_book_gives_less_than_no_volts(problem):
    if {"at_0c_mv", "slope_mv_per_c", "low_c"} <= set(problem.names):
        for f in usable_sets(problem):
            assert f.at_0c_mv + f.slope_mv_per_c * f.low_c >= 0


def test_every_answer_kind_is_in_use():
    kinds = {type(problem.answer) for problem in ALL}
    assert kinds == {Number, Choice, Table}
    assert any(problem.answer.several for problem in CHOICES)
    assert any(len(problem.answer.columns) > 1 for problem in ALL if isinstance(problem.answer, Table))
    assert any(len(problem.answer.columns) == 1 for problem in ALL if isinstance(problem.answer, Table))
    assert any(problem.answer.unit == "code" for problem in ALL if isinstance(problem.answer, Number))


DIGESTS = {
    1: "730e1d7133f9b241",
    2: "fa6438e24fca672f",
    3: "edc8d9b629a10b00",
    4: "fd8dd054fff7e199",
    5: "fe58d56dccfaeebe",
    6: "206a88dd28f69491",
    7: "4be77ced905f3d77",
    8: "89ca5a15f49b6a25",
    9: "c243faf24a3a5c9f",
    10: "5090f28b00a095a1",
    11: "fd82c03a8b15be72",
    12: "3ef7358b4a0c0ec7",
    13: "c28f418f6bca4947",
}


@pytest.mark.parametrize("chapter", DIGESTS)
def test_a_version_of_a_problem_keeps_its_lists(chapter):
    """A list that changes under people's feet changes their figures: raise the version, then this digest."""
    told = "\n".join(f"{p.id} {p.version} {[(d.names, d.values) for d in p.figures]}" for p in problems(chapter))
    assert hashlib.sha256(told.encode()).hexdigest()[:16] == DIGESTS[chapter]


def test_every_chapter_with_problems_has_its_digest():
    assert set(DIGESTS) == set(catalogue.chapters())
