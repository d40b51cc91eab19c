"""From logs to causes: a confusion matrix over logs never seen before, and the checks that tell two apart."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from tempkit.chain import file
from tempkit.faults import (
    NEEDS_CODE,
    HandTest,
    alike_keys,
    fault,
    heard_lines,
    points,
    possible,
    rank,
    read_lines,
    signs,
    tell_apart,
)
from tempkit.faults import ranking as faultmatch
from tempkit.faults.deciding_checks import ENOUGH, met
from tempkit.faults.ranking import SEED, confusion

FOLDER = Path(__file__).resolve().parent.parent / "data" / "chains"
DESIGNS = {
    name: file.read(FOLDER / f"{name}.toml")
    for name in ("north-bench", "south-bench-low-reference", "cold-frame-3v3")
}
NORTH = DESIGNS["north-bench"]
TEST = HandTest(21.0)
LOGS = 12
KEYS = [each.key for each in possible(NORTH)]


def logs(key, design=NORTH, count=LOGS, seed=2026):
    """Logs of benches that no signature was made from."""
    assert seed != SEED
    rng = np.random.default_rng(seed)
    return [heard_lines(fault(key).case(design, rng), TEST) for _ in range(count)]


SILENT = "healthy, the buzzer never sounded"


def first_of(log, key, design):
    """The cause that ranks first. A healthy log of what only the buzzer's current shows is told apart by its reading:
    where that never passed the high limit, nothing was there to be seen."""
    found = rank(log, design, TEST).best.fault.key
    quiet = found == "healthy" and key in ("sag", "leads")
    return SILENT if quiet and read_lines(log).reading_c.max() < design.alarm.high_c + 0.1 else found


@pytest.fixture(scope="module")
def matrix():
    """For each design and true cause: how often each cause ranks first."""
    found = {}
    for name, design in DESIGNS.items():
        for each in possible(design):
            firsts = [first_of(log, each.key, design) for log in logs(each.key, design)]
            found[name, each.key] = {key: firsts.count(key) for key in set(firsts)}
    return found


@pytest.mark.slow
def test_the_true_cause_ranks_first_or_ties_with_its_likes(matrix):
    """10 of 12 logs for every cause, and 99 of 100 over all: a buzzer that never sounded shows no sag."""
    right = {}
    for (name, key), firsts in matrix.items():
        likes = {key, SILENT, *alike_keys(DESIGNS[name], TEST)[key]}
        right[name, key] = sum(count for found, count in firsts.items() if found in likes)
    assert min(right.values()) >= LOGS - 2, {at: matrix[at] for at, count in right.items() if count < LOGS - 2}
    assert sum(right.values()) >= 0.99 * LOGS * len(right)


@pytest.mark.slow
def test_a_healthy_log_is_called_healthy(matrix):
    for name in DESIGNS:
        assert matrix[name, "healthy"] == {"healthy": LOGS}
    for log in logs("healthy", count=5):
        ranking = rank(log, NORTH, TEST)
        assert ranking.healthy and ranking.score("healthy") + ranking.score("lamp") > 0.8


@pytest.mark.slow
def test_faulty_logs_are_not_called_healthy_but_by_their_likes(matrix):
    for name, design in DESIGNS.items():
        likes = {"healthy", *alike_keys(design, TEST)["healthy"]}
        for each in possible(design):
            if each.key not in {*likes, "sag", "leads"}:
                assert matrix[name, each.key].get("healthy", 0) == 0, (name, each.key)


# What a fault that the matcher does not know, nor its likes, may be taken for; every other is "something else".
STAND_INS = {
    "north-bench": {
        "healthy": {"sag", "leads"}, "lamp": {"sag", "leads"}, "turned": {"no ground"}, "no signal": {"leads"},
        "constant": {"integer"}, "integer": {"constant"}, "other supply": {"healthy"}, "leads": {"noisy"},
        "sag": {"leads", "healthy"}, "noisy": {"leads"},
    },
    "south-bench-low-reference": {
        "healthy": {"leads"}, "lamp": {"leads"}, "sag": {"leads"}, "noisy": {"leads"}, "no supply": {"other supply"},
        "other supply": {"no supply"}, "integer": {"offset"}, "offset": {"integer"},
    },
    "cold-frame-3v3": {
        "healthy": {"count"}, "lamp": {"count"}, "turned": {"no ground"}, "count": {"healthy"},
        "other supply": {"healthy"},
    },
}  # fmt: skip


@pytest.mark.parametrize("name", DESIGNS)
def test_a_fault_left_out_of_the_matcher_becomes_something_else(name, monkeypatch):
    """Each fault's log, of a bench never simulated: known, it ranks first; unknown, belief goes to "something else"
    or to the few that it resembles most, and is never lost."""
    design = DESIGNS[name]
    known, likes = faultmatch.signatures(design, TEST), alike_keys(design, TEST)
    for key in known:
        out = {key, *likes[key]}
        found = logs(key, design, 4, seed=4711)
        whole = [rank(log, design, TEST) for log in found]
        assert sum(first_of(log, key, design) in {*out, SILENT} for log in found) >= 3, key
        rest = {k: v for k, v in known.items() if k not in out}
        with monkeypatch.context() as patch:
            patch.setattr(faultmatch, "signatures", lambda *_, rest=rest: rest)
            without = [rank(log, design, TEST) for log in found]
        for before, after in zip(whole, without, strict=True):
            assert after.score("else") > before.score("else") and before.score("else") < 0.01
            assert not out & {cause.fault.key for cause in after.causes}
            assert after.best.fault.key in {"else", *STAND_INS[name].get(key, ())}, key


def test_a_sag_is_missed_only_where_the_buzzer_never_sounded():
    for log in logs("sag", count=40):
        if rank(log, NORTH, TEST).healthy:
            assert read_lines(log).reading_c.max() < NORTH.alarm.high_c + 0.1


def test_what_no_log_can_tell_is_named():
    """A lamp carries no code; and where the reference is fixed, neither sag nor noise of the supply reaches it."""
    assert alike_keys(NORTH, TEST)["healthy"] == ("lamp",)
    fixed = alike_keys(DESIGNS["south-bench-low-reference"], TEST)["healthy"]
    assert {"lamp", "sag", "noisy"} <= set(fixed)
    assert confusion(NORTH, TEST)["healthy", "lamp"] == pytest.approx(0.5, abs=0.02)


def test_no_bench_speaks_for_itself():
    """Of its own fault's benches all but itself count; of another fault's, all but the one of the same number."""
    known = faultmatch.signatures(NORTH, TEST)
    own, other = known["sag"][:12], known["healthy"][:12]
    used = np.ones(own.shape[1], bool)
    for benches in (own, other):
        doubts = faultmatch._doubts(benches)
        rest = [faultmatch._log_densities(own[i], np.delete(benches, i, 0), used, doubts) for i in range(12)]
        expected = [np.log(np.mean(np.exp(each))) for each in rest]
        assert faultmatch._levels(own, benches, used) == pytest.approx(expected)


def test_being_alike_goes_both_ways():
    for design in DESIGNS.values():
        likes = alike_keys(design, TEST)
        assert all(a in likes[b] for a in likes for b in likes[a])


def test_without_the_code_less_can_be_told():
    """0.09 degC more from 2^N - 1 hides in the sensor's limits, unless the code stands beside the reading."""
    without = alike_keys(NORTH, TEST, tuple(~NEEDS_CODE))
    assert "count" in without["healthy"] and "count" not in alike_keys(NORTH, TEST)["healthy"]
    log = [line.replace(b"code=", b"kode=") for line in logs("count", count=1)[0]]
    ranking = rank(log, NORTH, TEST)
    assert {"count", "healthy"} <= {each.key for each in ranking.alike} | {ranking.best.fault.key}
    assert rank(logs("count", count=1)[0], NORTH, TEST).best.fault.key == "count"


def test_bare_readings_are_enough_for_what_is_plain():
    for key in ("no supply", "no signal", "other supply", "noisy"):
        bare = [b"%.1f\r\n" % value for value in read_lines(logs(key, count=1)[0]).reading_c]
        assert rank(bare, NORTH, TEST).best.fault.key == key


def test_scores_are_shares():
    ranking = rank(logs("sag", count=1)[0], NORTH, TEST)
    scores = [cause.score for cause in ranking.causes]
    assert sum(scores) == pytest.approx(1.0)
    assert scores == sorted(scores, reverse=True)
    assert {cause.fault.key for cause in ranking.causes} == {*KEYS, "else"}
    with pytest.raises(ValueError, match="cause 'gremlin' is not one of"):
        ranking.score("gremlin")


def test_what_fits_no_fault_is_called_something_else():
    """A saw-tooth of 33 degC every ten lines, following the code faithfully: no fault here does that."""
    lines = []
    for place in range(175):
        code = 140 + 6.0 * (place % 10)
        read_c = (code + 0.5) * 625 / 1024 - 75
        lines.append(b"t=%.1f code=%.1f read=%.1f\r\n" % (1.03 * place, code, read_c))
    assert rank(lines, NORTH, TEST).best.fault.key == "else"


def test_an_empty_log_is_refused():
    with pytest.raises(ValueError, match="the log has 0 lines"):
        rank([], NORTH, TEST)
    found = signs(read_lines([b"hello\r\n"]), NORTH, TEST)
    assert np.isnan(found["level_c"]) and found["unreadable"] == 0.0


# ---- checks


@pytest.mark.parametrize("first, second", list(combinations(KEYS, 2)))
def test_a_check_exists_for_every_pair_and_its_volts_are_right(first, second):
    """A meter's two volts are those of fresh benches with these faults, within three of the tolerances."""
    check = tell_apart(first, second, NORTH, TEST)
    assert check.words.endswith((".", "?")) and check.kind in ("meter", "look")
    if "turned" in (first, second):
        assert check.kind == "look" and check.words.startswith("Remove the power at once.")
    if check.kind == "look":
        return
    assert check.apart >= ENOUGH
    for key, said_v in ((first, check.first_v), (second, check.second_v)):
        case = fault(key).case(NORTH, np.random.default_rng(77))
        rest, loud, lit = (points(case, 21.0, **on) for on in ({}, {"buzzer": True}, {"lamp": True}))
        at = {"rest": rest, "buzzer": loud, "lamp": lit}
        found_v = getattr(at.get(check.state, loud), check.place)
        if check.state == "change":
            found_v -= getattr(rest, check.place)
        assert found_v == pytest.approx(said_v, abs=3 * met(key, NORTH, 21.0)[check.place, check.state].tolerance_v)


def test_checks_of_the_kinds_that_matter():
    lamp = tell_apart("healthy", "lamp", NORTH, TEST)
    assert (lamp.kind, lamp.place, lamp.state) == ("meter", "lamp_v", "lamp")
    sag = tell_apart("sag", "leads", NORTH, TEST)
    assert sag.state == "change"
    assert tell_apart("constant", "offset", NORTH, TEST).words.count("line of the program") == 2
    cut = tell_apart("no signal", "no supply", NORTH, TEST)
    assert cut.place == "sensor_output_v" and cut.first_v == pytest.approx(0.768, abs=0.02) and cut.second_v < 0.01


def test_a_cold_room_near_the_end_of_the_range_is_measured_too():
    frame = DESIGNS["cold-frame-3v3"]
    assert met("healthy", frame, -25.0)["pin_v", "rest"].mean_v == pytest.approx(0.4, abs=0.02)
    cold = replace(TEST, room_c=-23.0)
    assert rank(heard_lines(fault("healthy").case(frame), cold), frame, cold).healthy
