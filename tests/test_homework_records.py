"""The answer record: nothing that was answered is lost, and no bytes are taken for a record that are none."""

import json
import os
import stat
import threading
from datetime import UTC, datetime
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tempkit.exercises import Answer, Record, RecordError, answers, problem
from tempkit.exercises.answers import Keeper

STEP = problem("02-step-in-mv", course="BENCH-9", sheet="h01", student="ROBIN")
AT = datetime(2026, 11, 25, 19, 6, 24, tzinfo=UTC)
ONE = Answer(1, "02-step-in-mv", 1, "0123456789ab", AT, "4.88 mV", True, True)
WHOLE = Record("BENCH-9", "h01", "ROBIN", (ONE,), {"02-step-in-mv": 2})


def add(kept, text, **more):
    return kept.add(STEP, text, None, STEP.check(text), **more)


@pytest.fixture
def kept(tmp_path):
    return Keeper("bench-9", "h01", " robin ", tmp_path)


def as_json(**changes):
    """The bytes of a whole record with some entries changed, before any check."""
    whole = json.loads(answers.encode(WHOLE)) | changes
    return json.dumps(whole).encode()


def answer_json(**changes):
    return as_json(answers=[json.loads(answers.encode(WHOLE))["answers"][0] | changes])


def test_a_record_comes_back_as_it_was():
    assert answers.decode(answers.encode(WHOLE)) == WHOLE


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_a_record_saved_anew_by_a_text_editor_is_read(encoding):
    assert answers.decode(answers.encode(WHOLE).decode().encode(encoding)) == WHOLE


def test_the_form_of_the_file_is_fixed():
    """Records of earlier editions must stay readable: this is format 1, to the letter."""
    assert json.loads(answers.encode(WHOLE)) == {
        "course": "BENCH-9",
        "sheet": "h01",
        "student": "ROBIN",
        "answers": [
            {
                "number": 1,
                "problem": "02-step-in-mv",
                "version": 1,
                "figures": "0123456789ab",
                "at": "2026-11-25T19:06:24Z",
                "text": "4.88 mV",
                "read": True,
                "right": True,
                "unit": None,
            }
        ],
        "hints": {"02-step-in-mv": 2},
        "format": 1,
    }


@pytest.mark.parametrize(
    "data, reason",
    [
        (b"", "empty file"),
        (b" \n", "empty file"),
        (b"\x00" * 50, "not JSON"),
        (answers.encode(WHOLE)[:-40], "cut off"),
        (answers.encode(WHOLE) + b"{}", "trailing"),
        (as_json(student="ROBIN").replace(b"ROBIN", b"R\xff"), "not text in UTF-8"),
        (answer_json(text="\ud800"), "not JSON"),
        (b"[" * 500_000, "not an answer record"),
        (answer_json(text="x").replace(b'"x"', b"[" * 100_000 + b"]" * 100_000), "not an answer record"),
        (answer_json(number=7).replace(b": 7", b": NaN"), "not JSON"),
        (answer_json(number=7).replace(b": 7", b": 1e999"), "out of range"),
        (answer_json(number=7).replace(b": 7", b": " + b"9" * 5000), "out of range"),
        (answer_json(number=True), "Expected `int`, got `bool`"),
        (answer_json(number=1.0), "Expected `int`, got `float`"),
        (answer_json(right=1), "Expected `bool`, got `int`"),
        (answer_json(text=4.88), "at `$.answers[0].text`"),
        (answer_json(text="9" * 241), "length <= 240"),
        (answer_json(text=["1"] * 101), "length <= 100"),
        (answer_json(at="2026-11-25T19:06:24"), "timezone"),
        (answer_json(at="1066-10-14T09:00:00Z"), "year 1066"),
        (answer_json(figures="zz"), "regex"),
        (answer_json(problem="../../etc/passwd"), "regex"),
        (answer_json(extra=1), "unknown field `extra`"),
        (as_json(mark=100), "unknown field `mark`"),
        (as_json(student="../ROBIN"), "regex"),
        (as_json(student="ROBIN\n"), "regex"),
        (as_json(student="robin"), "regex"),
        (as_json(student=None), "Expected `str`, got `null`"),
        (as_json(answers={}), "Expected `array`"),
        (as_json(format=2), "format 2 is not known here"),
        (as_json().replace(b'"student"', b'"course": "B", "student"'), "stands twice"),
        (b"null", "Expected `object`"),
        (b"PK\x03\x04" + b"\x00" * 100, "not "),
        (b"x" * (answers.LARGEST_BYTES + 1), "larger than"),
    ],
)
def test_what_is_not_a_record_is_refused_with_its_reason(data, reason):
    with pytest.raises(RecordError, match=reason.replace("$", r"\$").replace("[", r"\[")):
        answers.decode(data)


@given(st.binary(max_size=400))
def test_any_bytes_are_read_safely(data):
    try:
        answers.decode(data)
    except RecordError as error:
        assert str(error)


@given(st.integers(0, 500), st.binary(min_size=1, max_size=3))
def test_a_damaged_record_is_refused_or_still_a_record(place, patch):
    whole = answers.encode(WHOLE)
    try:
        assert isinstance(answers.decode(whole[:place] + patch + whole[place + len(patch) :]), Record)
    except RecordError as error:
        assert str(error)


def test_only_plain_files_are_opened(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "whole.json").write_bytes(answers.encode(WHOLE))
    assert answers.read_record(tmp_path / "whole.json") == WHOLE
    for name, reason in (("folder", "a folder"), ("none", "No such file"), ("bad\x00name", "cannot be opened")):
        with pytest.raises(RecordError, match=reason):
            answers.read_record(tmp_path / name)


@pytest.mark.skipif(os.name != "posix", reason="links, pipes and devices of POSIX")
def test_links_and_pipes_are_not_followed_or_waited_for(tmp_path):
    (tmp_path / "link").symlink_to("/etc/hostname")
    os.mkfifo(tmp_path / "pipe")
    for name, reason in (("link", "a link"), ("pipe", "a pipe"), ("/dev/zero", "a device")):
        with pytest.raises(RecordError, match=reason):
            answers.read_record(tmp_path / name)


@pytest.mark.parametrize(
    "code", ["", "  ", "../x", "a/b", "a\\b", "a.b", "-a", "a-", "Ä", "a b", "x" * 25, "a\x00", "a\n"]
)
def test_codes_are_safe_in_a_path(code):
    if code == "a\n":
        assert answers.safe_code(code) == "A"
        return
    with pytest.raises(ValueError, match=r"code .*(empty|cannot be used)"):
        answers.safe_code(code)


def test_answers_are_kept_in_order_with_their_verdicts(kept):
    for text in ("1 mV", "words", STEP.model_answer()):
        add(kept, text)
    again = Keeper("BENCH-9", "h01", "ROBIN", kept.folder)
    found = again.answers("02-step-in-mv")
    assert [(a.number, a.read, a.right) for a in found] == [(1, True, False), (2, False, False), (3, True, True)]
    assert again.record == answers.read_record(kept.path) and kept.path.name == "h01_BENCH-9_ROBIN.json"


def test_the_same_answer_twice_running_is_one(kept):
    for text in ("1 mV", "1 mV", "2 mV", "1 mV"):
        add(kept, text)
    assert [a.text for a in kept.answers()] == ["1 mV", "2 mV", "1 mV"]


def test_an_answer_can_replace_the_unfinished_one(kept):
    add(kept, "1 mV")
    first = add(kept, "4.")
    add(kept, "4.9 mV", instead_of=first)
    assert [(a.number, a.text) for a in kept.answers()] == [(1, "1 mV"), (2, "4.9 mV")]
    second = add(kept, "4.")
    add(kept, "4.9 mV", instead_of=second)
    assert [a.text for a in kept.answers()] == ["1 mV", "4.9 mV"]


def test_odd_text_is_written_down_as_far_as_it_can_be(kept):
    for text in ("\ud800 mV", "9" * 1000, "<script>", "=1+1", "\x00"):
        add(kept, text)
    assert len(answers.read_record(kept.path).answers) == 5


def test_hints_only_grow(kept):
    for shown in (1, 3, 2):
        kept.hint("02-step-in-mv", shown)
    assert answers.read_record(kept.path).hints == {"02-step-in-mv": 3}


def test_begin_again_keeps_the_old_record(kept):
    add(kept, "1 mV")
    aside = kept.begin_again()
    assert answers.read_record(aside).answers[0].text == "1 mV" and not kept.path.exists()
    assert kept.answers() == () and kept.begin_again() is None
    add(kept, "2 mV")
    assert kept.begin_again() != aside


@pytest.mark.parametrize("damage", [b"", b"{", answers.encode(WHOLE)[:100], b"\xff" * 10])
def test_a_damaged_file_is_put_aside_and_nothing_known_is_lost(kept, damage):
    add(kept, "1 mV")
    kept.path.write_bytes(damage)
    add(kept, "2 mV")
    assert [a.text for a in answers.read_record(kept.path).answers] == ["1 mV", "2 mV"]
    (aside,) = (kept.folder / answers.OLD).iterdir()
    assert aside.read_bytes() == damage and str(aside) in kept.note


def test_a_foreign_record_under_our_name_is_put_aside(kept):
    kept.path.parent.mkdir(exist_ok=True)
    kept.path.write_bytes(answers.encode(msgspec.structs.replace(WHOLE, student="KIM")))
    assert Keeper("BENCH-9", "h01", "ROBIN", kept.folder).answers() == ()


def test_two_notebooks_on_one_sheet_lose_nothing(tmp_path):
    keepers = [Keeper("BENCH-9", "h01", "ROBIN", tmp_path) for _ in range(2)]
    threads = [
        threading.Thread(target=lambda k=k, n=n: [add(k, f"{n}{i} mV") for i in range(1, 21)])
        for n, k in enumerate(keepers, 1)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = answers.read_record(keepers[0].path).answers
    assert len({a.text for a in found}) == 40 and [a.number for a in found] == list(range(1, 41))


def test_a_folder_that_cannot_be_written_is_an_error_in_words(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(ValueError, match="cannot be made"):
        add(Keeper("BENCH-9", "h01", "ROBIN", tmp_path / "file"), "1 mV")


def test_a_write_that_fails_changes_nothing(kept, monkeypatch):
    add(kept, "1 mV")

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(ValueError, match="No space left on device.*press Check again"):
            add(kept, "2 mV")
    assert [a.text for a in kept.answers()] == ["1 mV"] == [a.text for a in answers.read_record(kept.path).answers]
    add(kept, "2 mV")
    assert len(answers.read_record(kept.path).answers) == 2


@pytest.mark.skipif(os.name != "posix", reason="other systems keep the entry of a file without being asked")
def test_the_file_is_on_the_disk_before_it_takes_its_place_and_then_its_entry_is(kept, monkeypatch):
    add(kept, "1 mV")
    seen, fsync = [], os.fsync

    def told(handle):
        seen.append((stat.S_ISDIR(os.fstat(handle).st_mode), len(answers.read_record(kept.path).answers)))
        fsync(handle)

    monkeypatch.setattr(os, "fsync", told)
    add(kept, "2 mV")
    assert seen == [(False, 1), (True, 2)]


@pytest.fixture
def read_only(kept, monkeypatch):
    """The folder of the records on a disk that takes no change; also for root, whom no permission stops."""
    opened = Path.open

    def no(path, mode="r", *a, **k):
        if set("wax+") & set(mode):
            raise OSError(30, "Read-only file system", str(path))
        return opened(path, mode, *a, **k)

    add(kept, "1 mV")
    with monkeypatch.context() as patched:
        patched.setattr(Path, "open", no)
        yield kept


def test_a_read_only_folder_still_opens_for_reading(read_only):
    again = Keeper("BENCH-9", "h01", "ROBIN", read_only.folder)
    assert [a.text for a in again.answers()] == ["1 mV"]
    assert "Read-only file system" in again.note and "no new answer is kept" in again.note


def test_the_codes_that_are_kept_can_be_entered_again_in_a_read_only_folder(kept, monkeypatch):
    answers.enter("bench-9", "robin", kept.folder)

    def full(*_):
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(answers, "write_bytes", full)
    assert answers.enter("bench-9", "robin", kept.folder) == answers.Who("BENCH-9", "ROBIN")
    with pytest.raises(ValueError, match="the codes cannot be kept .*Read-only file system"):
        answers.enter("bench-9", "kim", kept.folder)


def test_in_a_read_only_folder_nothing_else_is_promised(read_only):
    again = Keeper("BENCH-9", "h01", "ROBIN", read_only.folder)
    for change in (lambda: add(again, "2 mV"), lambda: again.hint("02-step-in-mv", 1), again.begin_again):
        with pytest.raises(ValueError, match="cannot be written .Read-only file system.: make room or"):
            change()
    assert [a.text for a in again.answers()] == ["1 mV"]


@pytest.mark.parametrize("damage", [b"{", answers.encode(msgspec.structs.replace(WHOLE, student="KIM"))])
def test_a_damaged_record_in_a_read_only_folder_is_said(read_only, damage):
    handle = os.open(read_only.path, os.O_WRONLY | os.O_TRUNC)
    os.write(handle, damage)
    os.close(handle)
    again = Keeper("BENCH-9", "h01", "ROBIN", read_only.folder)
    assert again.answers() == () and "no new answer is kept" in again.note


def test_who_answers_is_kept_for_all_sheets(tmp_path):
    assert answers.who(tmp_path) is None
    answers.enter("bench-9", "robin", tmp_path)
    assert answers.who(tmp_path) == answers.Who("BENCH-9", "ROBIN")
    (tmp_path / answers.WHO).write_bytes(b'{"course": "../x"')
    assert answers.who(tmp_path) is None


def test_the_reader_is_kept_away_from_the_tests(tmp_path, monkeypatch):
    assert answers.folder().name != answers.FOLDER
    monkeypatch.delenv("TEMPKIT_ANSWERS")
    assert str(answers.folder()) == answers.FOLDER
