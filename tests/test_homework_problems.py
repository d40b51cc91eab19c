"""Every problem of the book: right is right, wrong ways are recognised, nothing gives the answer away."""

import hashlib
import re

import pytest

from tempkit.exercises import (
    SHEETS,
    Choice,
    Number,
    Table,
    catalogue,
    cells,
    check,
    factor_of,
    offered,
    personal,
    problems,
    read,
    tolerances,
    usable_sets,
)
from tempkit.exercises.figures import usable

ALL = tuple(problems().values())
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
    return _typed_cells(answer, cells(answer, value))


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
        texts = [problem.say(text, figures) for text in (problem.asks, *problem.hints)]
        texts += [problem.solution(figures)]
        assert all(line and "{" not in line for line in problem.listed(figures))
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
                if factor := factor_of(answer):
                    moved = [value[0] * factor ** (side * reach)]
                verdict = check(numeric, figures, _typed_cells(answer, moved))
                assert verdict.right is (right or not any(width)), (figures, reach, verdict)


def _typed_cells(answer, values):
    if isinstance(answer, Number):
        return f"{values[0]!r} {answer.unit}"
    places = [(r, c) for r in range(99) for c in range(len(answer.columns)) if (r, c) not in answer.shown]
    units = [answer.columns[c].unit for _, c in places[: len(values)]]
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
                if factor := factor_of(numeric.answer):
                    gaps = [max(one[0] / other[0], other[0] / one[0]) - factor**2]
                assert max(gaps) > 0, (figures, one, other)


DIGITS = re.compile(r"(two|three|four|five) digits")
PLACES = ("two", "three", "four", "five")
FAINT = {("02-step-in-degrees", "highest-code")}


def test_no_drawn_set_hides_a_slip(numeric):
    """Whoever goes a wrong way that exists for the figures is not right, nor after rounding to the digits asked for.
    Only the slip of one step in 2^N may be smaller than these digits."""
    answer = numeric.answer
    assert {(numeric.id, way.key) for way in answer.wrong if way.faint} == {f for f in FAINT if f[0] == numeric.id}
    for figures in usable_sets(numeric):
        goal, width = cells(answer, answer.value(figures)), tolerances(answer, figures)
        asked = DIGITS.search(catalogue.Posed(numeric, figures).text)
        for way in answer.wrong:
            value = way.value(figures)
            if value is None or way.faint:
                continue
            slipped = cells(answer, value)
            assert any(abs(a - b) > w for a, b, w in zip(slipped, goal, width, strict=True)), (figures, way.key)
            assert not check(numeric, figures, typed(answer, value)).right, (figures, way.key)
            if asked:
                digits = 2 + PLACES.index(asked[1])
                assert [f"{v:.{digits}g}" for v in slipped] != [f"{v:.{digits}g}" for v in goal], (figures, way.key)


COPIED = re.compile(r"(?<![\w.])([\N{MINUS SIGN}-]?\d+(?:\.\d+)?(?: ?[^\s\d,;:()?]+)?)")
ECHOES = {"07-eight-states"}


def test_no_number_of_the_text_is_the_answer(numeric):
    """Copied from the text with the word behind it, or alone, a number is not the answer: but for a table of states,
    whose text says that 1 and 0 stand for them."""
    assert numeric.echoes == (numeric.id in ECHOES)
    if numeric.echoes or isinstance(numeric.answer, Table):
        return
    for figures in usable_sets(numeric):
        for copied in COPIED.findall(numeric.text(figures)):
            verdict = check(numeric, figures, copied.rstrip(".'"))
            assert not verdict.right, (figures, copied)


def test_sets_enough_for_a_class_are_left(numeric):
    """A fifth of a class at most has the same set, and every practice has others to go on with."""
    assert len(usable_sets(numeric)) >= (4 if numeric.figures else 1)
    drawn = [personal(numeric, "spring", "h01", f"student-{number}") for number in range(200)]
    assert max(map(drawn.count, set(drawn))) <= 200 * max(0.2, 2 / len(set(drawn)))


def longest_is_right(problem, pick=max):
    """The share of the sets in which the longest option is a right one (of several as long, by their part)."""
    shares = []
    for figures in usable_sets(problem):
        lengths = {o.key: len(problem.say(o.text, figures)) for o in problem.answer.options}
        ends = [key for key, length in lengths.items() if length == pick(lengths.values())]
        shares.append(len(problem.answer.keys(figures).intersection(ends)) / len(ends))
    return sum(shares) / len(shares)


def chance(problem):
    """The share of right options."""
    return len(problem.answer.keys(usable_sets(problem)[0])) / len(problem.answer.options)


@pytest.mark.parametrize("several", [True, False])
@pytest.mark.parametrize("pick", [max, min])
def test_neither_the_longest_nor_the_shortest_option_is_right_more_often_than_by_chance(pick, several):
    """Who always takes the longest (or the shortest) gets no more than chance and a standard deviation give."""
    chosen = [problem for problem in CHOICES if problem.answer.several is several]
    by_chance = [chance(problem) for problem in chosen]
    margin = sum(share * (1 - share) for share in by_chance) ** 0.5
    assert sum(longest_is_right(problem, pick) for problem in chosen) <= sum(by_chance) + margin


def test_no_right_option_stands_out_by_its_length():
    for problem in CHOICES:
        if problem.answer.several or callable(problem.answer.right):
            continue
        for figures in usable_sets(problem):
            lengths = {o.key: len(problem.say(o.text, figures)) for o in problem.answer.options}
            right = lengths.pop(problem.answer.right)
            assert 0.75 * min(lengths.values()) <= right <= 1.2 * max(lengths.values()), problem.id


def test_the_right_option_comes_first_by_chance():
    """Over all choices and 40 students each: within three standard deviations."""
    hits = wanted = spread = 0
    for problem in CHOICES:
        for number in range(40):
            posed = catalogue.personally(problem, "spring", "h01", f"student-{number}")
            right = problem.answer.keys(posed.figures)
            share = len(right) / len(posed.options)
            hits, wanted, spread = hits + (posed.options[0][0] in right), wanted + share, spread + share * (1 - share)
    assert abs(hits - wanted) <= 3 * spread**0.5


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
        given = set(numbers_in(numeric.text(figures)))
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


def test_how_sure_is_asked_at_most_six_times_in_a_chapter_and_on_a_sheet():
    for asked in (*(problems(number).values() for number in catalogue.chapters()), *(s.problems for s in SHEETS)):
        assert sum(problem.asks_how_sure for problem in asked) <= 6


def test_what_a_problem_shows_is_in_use_and_declared_as_data():
    """A picture is a `Graph` of the figures, whose alt text names both axes and every curve."""
    assert sum(bool(problem.listing) for problem in ALL) >= 3
    pictured = [problem for problem in ALL if problem.picture]
    assert len(pictured) >= 2
    for problem in pictured:
        for figures in personal_sets(problem, 20):
            graph = problem.picture(figures)
            assert graph == problem.picture(figures) and hash(graph) is not None
            assert graph.x.name in graph.alt and graph.y.name in graph.alt
            assert all(f"{curve.name} at".casefold() in graph.alt.casefold() for curve in graph.curves)


def test_every_answer_kind_is_in_use():
    kinds = {type(problem.answer) for problem in ALL}
    assert kinds == {Number, Choice, Table}
    assert any(problem.answer.several for problem in CHOICES)
    assert any(problem.answer.in_order for problem in CHOICES)
    assert any(problem.answer.shown for problem in ALL if isinstance(problem.answer, Table))
    assert any(factor_of(problem.answer) for problem in ALL)
    assert any(len(problem.answer.columns) > 1 for problem in ALL if isinstance(problem.answer, Table))
    assert any(len(problem.answer.columns) == 1 for problem in ALL if isinstance(problem.answer, Table))
    assert any(problem.answer.unit == "code" for problem in ALL if isinstance(problem.answer, Number))


DIGESTS = {
    1: "2b8deacf73c0c7f9",
    2: "eed5f0a50f692323",
    3: "ba67fb720dbabb74",
    4: "1e6d3c40e72241cd",
    5: "7a479adb4e55c396",
    6: "447de1ded3a09cb1",
    7: "8ace860dfe8da7a8",
    8: "d70db5d37cae2d22",
    9: "b498b3fad00ab5b1",
    10: "447b4b8360113d2c",
    11: "a60a00ff553d22c3",
    12: "bc0d9f4a4fce02e4",
    13: "7aac7611839bf3ac",
}


@pytest.mark.parametrize("chapter", DIGESTS)
def test_a_version_of_a_problem_keeps_its_lists(chapter):
    """A list that changes under people's feet changes their figures: raise the version, then this digest."""
    found = problems(chapter).values()
    told = "\n".join(f"{p.id} {p.version} {[(d.names, d.values) for d in p.figures]}" for p in found)
    assert hashlib.sha256(told.encode()).hexdigest()[:16] == DIGESTS[chapter]


def test_every_chapter_with_problems_has_its_digest():
    assert set(DIGESTS) == set(catalogue.chapters())
