"""Fixtures for every test."""

import pytest

import house


@pytest.fixture(autouse=True)
def no_book(monkeypatch, tmp_path_factory):
    """Every test starts with a file of choices and a folder of answers of its own, neither there yet."""
    path = tmp_path_factory.mktemp("book") / "my-book.json"
    monkeypatch.setenv("TEMPKIT_BOOK", str(path))
    monkeypatch.setenv("TEMPKIT_ANSWERS", str(path.parent / "records"))
    return path


@pytest.fixture
def require():
    """`require(tool, available, reason)`: skip without the tool, or fail where TEMPKIT_REQUIRE names it."""
    return house.require
