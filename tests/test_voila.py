"""The book as pages without code, by README.md's command, in a real browser."""

import contextlib
import importlib.util
import re
import shlex
import socket
import sys
import time
import urllib.parse

import pytest

import browser
from house import require

pytestmark = pytest.mark.browser
LEFT = "/voila/api/shutdown/"  # a page that is left asks for its kernel's end; Voila 0.5.13 itself refuses that (403)
CHAPTERS = ("03-supply-and-reference", "07-thresholds")


def command(port):
    """The words of README.md's line, run by this Python, with this port and no browser of its own."""
    readme = (browser.ROOT / "README.md").read_text(encoding="utf-8")
    (line,) = re.findall(r"^\S+ (-m voila .*)$", readme, re.M)
    return [sys.executable, *shlex.split(line), "--no-browser", f"--port={port}"]


@pytest.fixture(scope="module")
def pages():
    """The address of a server of these pages."""
    require("voila", importlib.util.find_spec("voila"), "not installed (tests/requirements-voila.txt)")
    require("browser", not browser.missing(), browser.missing())
    port = browser.free_port()
    with browser.serving(command(port)) as (folder, server):
        end = time.monotonic() + browser.PATIENCE_MS / 1000
        while not listening(port):
            assert server.poll() is None and time.monotonic() < end, (folder / "server.txt").read_text()
            time.sleep(0.1)
        yield f"http://127.0.0.1:{port}/"


def listening(port):
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
        return True
    return False


@pytest.fixture
def page(pages, chromium):
    """A page that reaches this machine only: what is asked elsewhere is kept in `page.elsewhere` and not fetched."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, base_url=pages)
    page = context.new_page()
    page.set_default_timeout(browser.PATIENCE_MS)
    page.elsewhere = []

    def ours(url):
        return urllib.parse.urlsplit(url).hostname in ("127.0.0.1", None)

    def hear(said):
        url = said.location["url"]
        if said.type == "error" and ours(url) and LEFT not in url:
            errors.append(f"{said.text} {url}")

    def route(way, request):
        if ours(request.url):
            way.continue_()
        else:
            page.elsewhere.append(request.resource_type)
            way.abort()

    page.route("**/*", route)
    errors = []
    page.on("console", hear)
    page.on("pageerror", lambda error: errors.append(f"uncaught: {error}"))
    yield page
    context.close()
    assert errors == []


@pytest.mark.parametrize("name", CHAPTERS)
def test_a_chapter_without_its_code(page, name):
    """Text, picture and a slider that moves it; no line of code, and nothing but style sheets asked elsewhere."""
    page.goto(f"voila/render/{name}.ipynb")
    box = page.locator(".tempkit-explorer:has(.tempkit-slide)").first
    picture = box.locator("img").first
    picture.wait_for()
    assert page.locator("h1").first.inner_text().startswith(name[:2])
    assert not page.locator(".jp-InputArea-editor:visible, .highlight:visible").count()
    assert "Traceback" not in page.locator("body").inner_text()
    before, told = picture.get_attribute("src"), box.locator(".tempkit-words").first.inner_text()
    box.locator("input[type=range]").first.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    assert browser.until(page, lambda: picture.get_attribute("src") != before)
    assert browser.until(page, lambda: box.locator(".tempkit-words").first.inner_text() != told)
    assert set(page.elsewhere) <= {"stylesheet"}


def test_a_chapter_leads_to_the_next(page):
    page.goto("voila/render/03-supply-and-reference.ipynb")
    page.locator(".tempkit-explorer img").first.wait_for()
    page.locator("a[href='04-codes-to-degrees.ipynb']").last.click()
    page.locator("h1", has_text="04 Codes to degrees").wait_for()
    page.locator(".tempkit-explorer img").first.wait_for()


def test_back_row_size(page):
    page.goto("voila/render/03-supply-and-reference.ipynb")
    box = page.locator(".tempkit-explorer:has(.tempkit-slide)").first
    width = "Math.max(0, ...[...document.querySelectorAll('.tempkit-explorer img')].map((each) => each.width))"
    box.locator("img").first.wait_for()
    before = page.evaluate(width)
    box.get_by_role("button", name="Back-row size").click()
    assert browser.until(page, lambda: page.evaluate(width) > 1.1 * before)
