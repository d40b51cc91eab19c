"""The reader's choices: stored in one file, read back, and never guessed from a damaged one."""

import json
import os

import numpy as np
import pytest

from references import reference
from tempkit import book
from tempkit.book import Book, tidy


def test_without_a_file_degc_and_desk_size(no_book):
    assert not no_book.exists()
    assert book.current() == Book(scale="degC", room=False)


def test_a_choice_is_stored_and_read_back(no_book):
    assert book.choose(scale="degF") == Book("degF")
    assert json.loads(no_book.read_text(encoding="utf-8")) == {"scale": "degF", "room": False}
    assert book.choose(room=True) == Book("degF", room=True)
    assert book.current() == Book("degF", room=True)
    assert book.choose(scale="degC", room=False) == book.current() == Book()


def test_a_wrong_choice_leaves_the_stored_one(no_book):
    book.choose(scale="degF")
    with pytest.raises(ValueError, match="scale 'K' is not one of degC, degF"):
        book.choose(scale="K")
    with pytest.raises(TypeError):
        book.choose(colour="blue")
    assert book.current() == Book("degF")


def test_the_file_lies_beside_the_notebook_unless_named(monkeypatch, tmp_path):
    monkeypatch.delenv("TEMPKIT_BOOK")
    monkeypatch.chdir(tmp_path)
    book.choose(room=True)
    assert [path.name for path in tmp_path.iterdir()] == ["my-book.json"]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[1, 2]",
        b"null",
        b'"degF"',
        b'{"scale": "K"}',
        b'{"scale": null}',
        b'{"room": "no"}',
        b'{"colour": "blue"}',
        b"\xff\xfe",
    ],
)
def test_a_damaged_file_is_named_and_the_way_out_too(no_book, content):
    no_book.write_bytes(content)
    with pytest.raises(ValueError) as error:
        book.current()
    assert str(no_book.resolve()) in str(error.value)
    assert "delete the file and choose again" in str(error.value)
    assert no_book.read_bytes() == content


@pytest.mark.parametrize(
    ("content", "wrong"),
    [
        (b"{", "it is no JSON, or cut off"),
        (b"[" * 100_000, "it is no JSON, or cut off"),
        (b"\xff\xfe", "it is no JSON, or cut off"),
        (b"[1, 2]", "it holds no choices by name; the names are scale, room"),
        (b'{"colour": "blue"}', "'colour' is no choice; the names are scale, room"),
        (b'{"scale": "K"}', "scale 'K' is not one of degC, degF"),
        (b'{"room": "no"}', "room 'no' is neither true nor false"),
    ],
)
def test_what_is_wrong_with_a_damaged_file_is_said(no_book, content, wrong):
    no_book.write_bytes(content)
    with pytest.raises(ValueError) as error:
        book.current()
    assert wrong in str(error.value) and "__init__" not in str(error.value)


def test_a_folder_in_the_place_of_the_file_is_said(no_book):
    no_book.mkdir()
    for call in (book.current, lambda: book.choose(scale="degF")):
        with pytest.raises(ValueError, match="cannot be read: .*a folder stands where a file is meant"):
            call()


def test_a_choice_is_stored_whole_or_not_at_all(no_book, monkeypatch):
    book.choose(scale="degF")

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(ValueError, match="your choices cannot be kept: .*No space left on device; make room"):
            book.choose(scale="degC")
    assert book.current() == Book("degF")
    assert [path.name for path in no_book.parent.iterdir()] == [no_book.name]


def test_degf_as_in_sp_811():
    """Source: NIST SP 811 (2008) App. B."""
    units = reference("temp-units")
    for t_c, t_f in zip(units.inputs["C"], units.expected["F"], strict=True):
        assert Book("degF").from_celsius(t_c) == pytest.approx(t_f, abs=units.tolerance["abs"])
        assert Book("degF").to_celsius(t_f) == pytest.approx(t_c, abs=units.tolerance["abs"])


def test_degc_stays_as_it_is():
    t_c = np.array([18.0, 27.0])
    assert Book().from_celsius(t_c) is t_c
    assert Book().to_celsius(27.0) == Book().span_from_celsius(27.0) == 27.0


def test_a_span_and_a_temperature_are_printed_differently():
    reader = Book("degF")
    assert reader.temperature(10.0) == "50.0 °F"
    assert reader.span(10.0) == "18.0 °F"
    assert reader.span(10.0, signed=True) == "+18.0 °F"
    assert reader.span(-10.0, digits=0) == "−18 °F"
    assert Book().temperature(-40.0, digits=0) == "−40 °C"
    assert (Book().sign, reader.sign) == ("°C", "°F")


@pytest.mark.parametrize(
    ("number", "digits", "signed", "text"),
    [
        (-0.04, 1, False, "0.0"),
        (-0.04, 1, True, "0.0"),
        (-0.06, 1, False, "−0.1"),
        (0.0, 2, True, "0.00"),
        (2.0, 0, True, "+2"),
        (np.float64(24.951171875), 2, False, "24.95"),
    ],
)
def test_tidy(number, digits, signed, text):
    assert tidy(number, digits, signed) == text
