"""Which figures a problem may use and who gets which: frozen vectors, two tolerances, walk of practice."""

import hashlib
import os
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.exercises import (
    Choice,
    Column,
    Draw,
    Number,
    Option,
    Posed,
    Problem,
    Table,
    Wrong,
    figures_digest,
    offered,
    other_figures,
    personal,
    personal_then,
    personally,
    problems,
    usable_sets,
)
from tempkit.exercises.figures import apart, count, figures_at, tidy_code, usable

# Worked out once with this package and frozen: a student's figures must be the same for years.
FROZEN = [
    ("01-temperature-from-volts", ("spring", "h01", "ab-12"), (846, 600, 8, -25, 110)),
    ("01-temperature-from-volts", ("spring", "h01", "cd-34"), (821, 600, 8, -25, 110)),
    ("01-temperature-from-volts", ("autumn", "h02", "ab-12"), (785, 600, 8, -25, 110)),
    ("02-step-in-degrees", ("spring", "h01", "ab-12"), (2.5, 12, 600, 8, -25, 110)),
    ("02-step-in-degrees", ("autumn", "h02", "ab-12"), (1.8, 8, 350, 18, -15, 110)),
    ("02-code-for-temperature", ("spring", "h01", "ab-12"), (22.4, 5, 10, 600, 8, -25, 110)),
    ("02-code-for-temperature", ("spring", "h01", "cd-34"), (26.2, 3.3, 8, 350, 18, -15, 110)),
    ("02-code-for-temperature", ("autumn", "h02", "ab-12"), (26.2, 2.5, 10, 350, 18, -15, 110)),
    ("03-supply-error", ("spring", "h01", "ab-12"), (5.25, 21, 350, 18, -15, 110)),
    ("03-supply-error", ("spring", "h01", "cd-34"), (5.12, 27, 350, 18, -15, 110)),
    ("04-code-to-degrees", ("spring", "h01", "ab-12"), (172, 5, 10, 600, 8, -25, 110)),
    ("04-code-to-degrees", ("autumn", "h02", "ab-12"), (167, 5, 10, 600, 8, -25, 110)),
]


def bench(sensible=None, tolerance=0.1, wrong=None, a=(1, 2, 3), b=(10, 20)):
    """A small problem of this file: the sum of two figures."""
    ways = wrong or (
        Wrong("difference", lambda f: f.b - f.a, "These were taken away."),
        Wrong("product", lambda f: f.a * f.b, "These were multiplied."),
        Wrong("first", lambda f: f.a, "One is missing."),
    )
    answer = Number(lambda f: f.a + f.b, "voltage", "mV", tolerance, "Room for rounding.", ways)
    lists = (Draw("a", tuple(a)), Draw("b", tuple(b)))
    return Problem(
        "99-sum", 1, "Sum", "Add.", "{a} mV and {b} mV?", lists, answer, ("Add.", "Both."), str, sensible
    )


@pytest.mark.parametrize(("name", "who", "figures"), FROZEN)
def test_personal_figures_are_frozen(name, who, figures):
    assert tuple(personal(problems(name)[name], *who)) == figures


def test_personal_figures_follow_from_sha256_alone():
    """The rule written out again: a digest as a number, modulo the count of sets, until one is usable."""
    problem = bench()
    for number in range(50):
        for attempt in range(100):
            words = ("figures 1", "99-sum", "1", "SPRING", "H01", f"S{number}", str(attempt))
            digest = hashlib.sha256("\x1f".join(words).encode()).hexdigest()
            figures = figures_at(problem, int(digest, 16) % 6)
            if usable(problem, figures):
                break
        assert personal(problem, "spring", "h01", f"s{number}") == figures


def test_personal_figures_do_not_hang_on_the_hash_seed():
    program = (
        "from tempkit.exercises import personal, problems\n"
        "print([tuple(personal(p, 'spring', 'h01', 'ab-12')) for p in problems('02').values()])"
    )
    told = {
        subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("0", "12345")
    }
    assert len(told) == 1


def test_codes_are_compared_without_case_and_outer_spaces():
    problem = problems("02-code-for-temperature")["02-code-for-temperature"]
    assert personal(problem, " Spring", "H01", "AB-12 ") == personal(problem, "spring", "h01", "ab-12")
    with pytest.raises(ValueError, match="code is empty"):
        tidy_code("  ")


def test_a_new_version_draws_anew():
    problem = problems("02-code-for-temperature")["02-code-for-temperature"]
    newer = replace(problem, version=problem.version + 1)
    students = [f"s{number}" for number in range(20)]
    assert [personal(problem, "c", "s", s) for s in students] != [
        personal(newer, "c", "s", s) for s in students
    ]


def test_ways_nearer_than_two_tolerances_are_not_offered():
    near = (
        Wrong("near-answer", lambda f: f.a + f.b + 0.2, "Exactly two tolerances away: too near."),
        Wrong("one", lambda f: f.a, "Kept."),
        Wrong("near-one", lambda f: f.a + 0.15, "Too near the way before it."),
        Wrong("missing", lambda f: None, "Does not exist here."),
        Wrong("two", lambda f: f.b, "Kept."),
    )
    problem = bench(wrong=near)
    assert [way.key for way, _ in offered(problem, figures_at(problem, 0))] == ["one", "two"]


def test_sets_with_fewer_than_two_ways_are_not_used():
    problem = bench(
        wrong=(Wrong("a", lambda f: f.a, "A."), Wrong("b", lambda f: 1.0, "Same as a where a is 1."))
    )
    assert {f.a for f in usable_sets(problem)} == {2, 3}
    assert other_figures(problem).a != 1
    hopeless = bench(wrong=(Wrong("a", lambda f: f.a, "A."),))
    assert usable_sets(hopeless) == ()
    for draw in (other_figures, lambda p: personal(p, "c", "s", "x")):
        with pytest.raises(ValueError, match="99-sum"):
            draw(hopeless)


DOUBLED = Wrong("doubled", lambda f: 2 * f.b, "One was taken twice: the same where both are alike.")
PRODUCT = Wrong("product", lambda f: f.a * f.b, "These were multiplied.")
DIFFERENCE = Wrong("difference", lambda f: f.b - f.a, "These were taken away.")


def alike(problem):
    """The usable sets whose two figures are alike."""
    return {tuple(f) for f in usable_sets(problem) if f.a == f.b}


def test_sets_for_which_a_slip_gives_the_right_answer_are_not_used():
    """There are wrong ways enough without this one; the set that hides it is left out all the same."""
    ways, lists = (PRODUCT, DIFFERENCE, DOUBLED), {"a": (3, 10, 20), "b": (10, 20)}
    assert alike(bench(wrong=ways, **lists)) == set()
    assert len(usable_sets(bench(wrong=ways, **lists))) == 4
    near = replace(DOUBLED, value=lambda f: 2 * f.b + 0.15)
    assert alike(bench(wrong=(*ways[:2], near), **lists)) == set(), "within two tolerances"
    for told in (replace(DOUBLED, value=lambda f: 2 * f.b if f.a != f.b else None), replace(DOUBLED, faint=True)):
        assert alike(bench(wrong=(*ways[:2], told), **lists)) == {(10, 10), (20, 20)}


@pytest.mark.parametrize(
    "text, kept",
    [
        ("{a} mV and {b} mV, not 13 mV?", {1, 2}),
        ("{a} mV and {b} mV, not 0.013 V?", {1, 2}),
        ("{a} mV and {b} mV, not 13 °C?", {1, 2, 3}),
        ("{a} mV and {b} mV at 13 places?", {1, 2, 3}),
        ("{a} mV and {b} mV, not \N{MINUS SIGN}13 mV?", {1, 2, 3}),
    ],
)
def test_sets_whose_text_holds_the_answer_are_not_used(text, kept):
    problem = replace(bench(b=(10,)), asks=text)
    assert {f.a for f in usable_sets(problem)} == kept
    assert {f.a for f in usable_sets(replace(problem, echoes=True))} == {1, 2, 3}


def test_a_number_alone_in_the_text_is_the_answer_where_none_has_a_unit():
    def count_of(quantity, unit, text):
        problem = bench(b=(10,))
        return {f.a for f in usable_sets(replace(problem, asks=text, answer=replace(
            problem.answer, quantity=quantity, unit=unit)))}  # fmt: skip

    assert count_of("samples", "samples", "{a} and {b}, not 13?") == {1, 2}
    assert count_of("samples", "samples", "{a} and {b}, not 13 readings?") == {1, 2}
    assert count_of("samples", "samples", "{a} and {b}, not 13 mV?") == {1, 2, 3}
    assert count_of("voltage", "mV", "{a} and {b}, not 13?") == {1, 2, 3}, "a unit has to be given with it"


def test_a_table_is_told_by_its_text_only_where_every_number_is():
    def sets(text):
        ways = (Wrong("swapped", lambda f: ((f.b,), (f.a,)), "Swapped."), Wrong("none", lambda f: ((0,), (0,)), "No."))
        pair = Table(lambda f: ("first", "second"), (Column("sum", "voltage", "mV", 0.1),),
                     lambda f: ((f.a + f.b,), (f.a + f.b + 1,)), "Room.", ways)  # fmt: skip
        return {f.a for f in usable_sets(replace(bench(b=(10,)), asks=text, answer=pair))}

    assert sets("{a} mV and {b} mV, not 13 mV?") == {1, 2, 3}
    assert sets("{a} mV and {b} mV, not 13 mV, not 14 mV?") == {1, 2}


def test_figures_given_out_under_a_looser_rule_are_found_by_their_digest():
    strict = bench(wrong=(PRODUCT, DIFFERENCE, DOUBLED), a=(10, 20, 30), b=(10, 20), sensible=lambda f: f.a < 30)
    loose = replace(strict, answer=replace(strict.answer, wrong=(PRODUCT, DIFFERENCE)))
    found = set()
    for number in range(40):
        who = ("spring", "h01", f"s{number}")
        then, now = personal(loose, *who), personal(strict, *who)
        assert personal_then(strict, 1, figures_digest(loose, then), *who) == then
        assert personal_then(strict, 1, figures_digest(strict, now), *who) == now
        assert personal_then(strict, 1, figures_digest(strict, figures_at(strict, 2)), *who) is None, "not sensible"
        assert personal_then(strict, 2, figures_digest(strict, now), *who) is None, "another version's digest"
        found.add(then == now)
    assert found == {True, False}


def pick(version=1):
    """A choice of five of this file; the first is right."""
    options = tuple(Option(key, key.upper(), f"{key}.") for key in ("one", "two", "three", "four", "five"))
    lists = (Draw("a", (1, 2, 3)),)
    return Problem("99-pick", version, "Pick", "Pick.", "{a}?", lists, Choice(options, "one"), ("A.", "B."), str)


def test_the_order_of_options_follows_from_sha256_alone():
    def digest(key, *words):
        return hashlib.sha256("\x1f".join(("figures 1", "99-pick", "1", "order", *words, key)).encode()).digest()

    for number in range(50):
        posed = personally(pick(), "spring", "h01 ", f"s{number}")
        keys = sorted(dict(posed.options), key=lambda key: digest(key, "SPRING", "H01", f"S{number}"))
        assert [key for key, _ in posed.options] == keys and dict(posed.options)["two"] == "TWO"
    for turn in range(5):
        keys = [key for key, _ in Posed(pick(), figures_at(pick(), 0), turn).options]
        assert keys == sorted(keys, key=lambda key: digest(key, "practice", str(turn)))


def test_every_option_comes_first_by_chance():
    """500 students, 5 options: 100 each; four standard deviations (9 each) to both sides."""
    places = [[key for key, _ in personally(pick(), "c", "s", f"s{n}").options].index("one") for n in range(500)]
    assert all(64 <= places.count(place) <= 136 for place in range(5))


def test_only_sensible_sets_are_used():
    assert {f.a for f in usable_sets(bench(sensible=lambda f: f.a > 1))} == {2, 3}


@given(st.floats(-100, 100), st.floats(-100, 100), st.floats(0.001, 10))
def test_apart_means_more_than_two_tolerances(a, b, tolerance):
    if abs(abs(a - b) - 2 * tolerance) > 1e-6:
        assert apart((a,), (b,), (tolerance,)) == (abs(a - b) > 2 * tolerance)


def test_a_table_is_apart_where_one_cell_is():
    assert apart((1.0, 2.0), (1.0, 3.0), (0.1, 0.1))
    assert not apart((1.0, 2.0), (1.1, 2.1), (0.1, 0.1))


def test_practice_walks_through_every_usable_set_once_before_it_repeats():
    for problem in (bench(), *problems("01").values()):
        wanted = usable_sets(problem)
        walk = [other_figures(problem, turn) for turn in range(len(wanted) + 1)]
        assert set(walk[:-1]) == set(wanted) and walk[-1] == walk[0]


def test_practice_starts_with_the_first_values_of_the_lists():
    assert tuple(other_figures(problems("02-step-in-degrees")["02-step-in-degrees"]))[:4] == (5, 10, 600, 8)


def test_many_sets_are_sampled_always_alike():
    problem = bench(a=range(1, 501), b=range(1000, 1300))
    assert count(problem) == 150_000
    first, again = usable_sets(problem), usable_sets(problem)
    assert first == again and 1_900 < len(first) <= 2_000
    assert all(usable(problem, figures) for figures in first[:50])
    assert len(usable_sets(bench(a=range(2, 101), b=range(1000, 1100)))) > 9_000
