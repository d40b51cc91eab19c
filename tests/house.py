"""The rules of the house for every test, loaded by pyproject.toml before any test: also for doctests and notebooks.

The reader's own choices are kept away from the tests, tests share the cores, and a missing tool is skipped with
its reason, or fails where TEMPKIT_REQUIRE names it (a comma-separated list, set by .ci/run).
"""

import os
import tempfile
from pathlib import Path

import pytest


def away_from_reader():
    """Point TEMPKIT_BOOK at a file that does not exist, so that no choice of the reader reaches a test."""
    os.environ["TEMPKIT_BOOK"] = str(Path(tempfile.gettempdir()) / f"tempkit-no-book-{os.getpid()}" / "book.json")


def required_tools():
    """Names in TEMPKIT_REQUIRE."""
    return {name.strip() for name in os.environ.get("TEMPKIT_REQUIRE", "").split(",") if name.strip()}


def require(tool, available, reason):
    """Go on where the tool is available; else skip with the reason, or fail if TEMPKIT_REQUIRE names it."""
    if available:
        return
    if tool in required_tools():
        pytest.fail(f"{tool} is required here (TEMPKIT_REQUIRE) and missing: {reason}", pytrace=False)
    pytest.skip(f"{tool} is missing: {reason}", allow_module_level=True)


def pytest_load_initial_conftests(early_config, args):
    """Share the tests among the cores, a file to a worker; `-n 0` or `-p no:xdist`: all in one process."""
    if early_config.pluginmanager.hasplugin("xdist") and "PYTEST_XDIST_WORKER" not in os.environ:
        args[:] = ["-n", "auto", "--dist", "loadfile", *args]


def pytest_configure(config):
    away_from_reader()
    try:
        from hypothesis import settings
    except ModuleNotFoundError:
        return
    settings.register_profile("house", deadline=None, derandomize=True)
    settings.load_profile("house")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker("long")
