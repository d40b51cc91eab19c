"""The rules of the house for every test, doctests and notebooks included; pyproject.toml loads them first.

The reader's own settings are kept away from the tests, tests share the cores, and a missing tool is skipped
with its reason, or fails where TEMPKIT_REQUIRE names it (a comma-separated list, set by .ci/run).
"""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

import pytest


def away_from_reader():
    """Point the settings that kernels and tests read at a new empty folder: no choice of the reader counts.

    TEMPKIT_BOOK and TEMPKIT_COURSE name files that do not exist, TEMPKIT_ANSWERS a folder for answer records;
    IPYTHONDIR holds no start-up files and its own history.
    """
    folder = Path(tempfile.mkdtemp(prefix="tempkit-tests-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    os.environ["TEMPKIT_BOOK"] = str(folder / "my-book.json")
    os.environ["TEMPKIT_ANSWERS"] = str(folder / "records")
    os.environ["TEMPKIT_COURSE"] = str(folder / "my-course.toml")
    os.environ["IPYTHONDIR"] = str(folder / "ipython")
    os.environ["PYDEVD_DISABLE_FILE_VALIDATION"] = "1"


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


@pytest.fixture(scope="module")
def lab():
    """A running JupyterLab on a copy of the book."""
    import browser

    require("browser", not browser.missing(), browser.missing())
    with browser.started_lab() as started:
        yield started


@pytest.fixture(scope="module")
def chromium():
    """A headless browser."""
    import browser

    require("browser", not browser.missing(), browser.missing())
    with browser.chromium() as started:
        yield started


@pytest.fixture
def screen():
    """Size of a new page [px]; a module that wants another one says so by a fixture of this name."""
    return {"width": 1280, "height": 900}


@pytest.fixture
def page(lab, chromium, screen):
    """A new page on the stored book, with no answers yet; at the end it must not have reported a single error."""
    import browser

    lab.renew()
    context = chromium.new_context(viewport=screen)
    new = context.new_page()
    errors = browser.heard_errors(new)
    yield new
    context.close()
    assert errors == []


def pytest_load_initial_conftests(early_config, args):
    """Share the tests among the cores, a file to a worker; `-n 0` or `-p no:xdist`: all in one process."""
    if early_config.pluginmanager.hasplugin("xdist") and "PYTEST_XDIST_WORKER" not in os.environ:
        args[:] = ["-n", "auto", "--dist", "loadfile", *args]


def pytest_configure():
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
