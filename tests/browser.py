"""A real JupyterLab in a real browser: the start command of README.md on a copy of the book, away from the reader.

    with started_lab() as lab, chromium() as browser:
        page = lab.open(browser.new_page(), "00-start-here.ipynb")
        run_all(page)

Needs tests/requirements-browser.txt and an installed Chromium; `missing()` says what is not there.
"""

import contextlib
import importlib.util
import json
import os
import re
import shlex
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
PATIENCE_MS = 60_000
SETTINGS = {
    "notebook-extension/tracker": {"windowingMode": "none"},  # every cell is on the page, seen or not
    "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
}


def free_port():
    """A port of this machine that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def missing():
    """What is not there of what a browser test needs, in words; empty where all is there."""
    if importlib.util.find_spec("playwright") is None:
        return "playwright is not installed (tests/requirements-browser.txt)"
    return "" if executable() else f"none of {', '.join(BROWSERS)} is installed"


def executable():
    """Path of an installed Chromium, or None."""
    return next(filter(None, map(shutil.which, BROWSERS)), None)


def start_command():
    """The words that README.md says start the book, its last part alone, run by this Python."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = re.findall(r"^python3 -m venv .* && (\S+ -m jupyterlab .*)$", readme, re.MULTILINE)
    if len(lines) != 1:
        raise ValueError(f"README.md must hold the start command on exactly one line, found {len(lines)}")
    return [sys.executable, *shlex.split(lines[0])[1:]]


@contextlib.contextmanager
def chromium():
    """A headless browser of playwright; closed at the end."""
    from playwright.sync_api import sync_playwright

    options = ["--disable-background-networking", "--disable-gpu"]
    options += ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=executable(), args=options)
        try:
            yield browser
        finally:
            browser.close()


@contextlib.contextmanager
def started_lab():
    """A `Lab` on a copy of the book in a new folder; the server is ended and the folder removed at the end."""
    with serving(start_command()) as (folder, server):
        yield _answering(folder, server)


@contextlib.contextmanager
def serving(command):
    """A copy of the book in a new folder and a server started there by this command; `server.txt` is what it says."""
    with tempfile.TemporaryDirectory(prefix="tempkit-lab-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        for part in ("notebooks", "data"):
            ours = shutil.ignore_patterns("my-*", ".ipynb_checkpoints")
            shutil.copytree(ROOT / part, folder / part, ignore=ours)
        with (folder / "server.txt").open("wb") as said:
            streams = {"stdout": said, "stderr": subprocess.STDOUT}
            server = subprocess.Popen(command, cwd=folder, env=_environment(folder), **streams)
            try:
                yield folder, server
            finally:
                _end(server)


def _environment(folder):
    """The environment of a server that shares nothing with the reader's own: settings, kernels, choices."""
    home = folder / "jupyter"
    places = {name: home / name.lower() for name in ("CONFIG_DIR", "DATA_DIR", "RUNTIME_DIR")}
    settings = home / "settings"
    write_settings(settings)
    config = {"ServerApp": {"open_browser": False, "port": 0, "allow_root": True}}
    places["CONFIG_DIR"].mkdir(parents=True)
    (places["CONFIG_DIR"] / "jupyter_server_config.json").write_text(json.dumps(config), encoding="utf-8")
    own = {f"JUPYTER_{name}": str(path) for name, path in places.items()}
    own |= {"JUPYTERLAB_SETTINGS_DIR": str(settings), "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces")}
    own |= {"IPYTHONDIR": str(home / "ipython")}
    kept = {name: value for name, value in os.environ.items() if not name.startswith("TEMPKIT_")}
    return kept | own


def write_settings(folder):
    """Write JupyterLab's settings for a test into a folder of settings."""
    for name, content in SETTINGS.items():
        path = folder / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(content), encoding="utf-8")


def _answering(folder, server, patience_s=90):
    """The `Lab` of a started server, as soon as it answers."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end and server.poll() is None:
        for path in (folder / "jupyter" / "runtime_dir").glob("jpserver-*.json"):
            with contextlib.suppress(OSError, ValueError):
                info = json.loads(path.read_text(encoding="utf-8"))
                lab = Lab(folder, info["url"], info["token"])
                lab.ask("api/status")
                return lab
        time.sleep(0.1)
    said = (folder / "server.txt").read_text(encoding="utf-8", errors="replace")
    raise RuntimeError(f"JupyterLab did not answer within {patience_s} s:\n{said[-3000:]}")


def _end(server):
    """End a server that we started, by its own id; it ends its kernels first."""
    server.terminate()
    try:
        server.wait(20)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


@dataclass(frozen=True)
class Lab:
    """A running JupyterLab: `folder` holds its copy of the book; `url` and `token` reach it."""

    folder: Path
    url: str
    token: str

    def ask(self, path, method="GET"):
        """Ask the server's own interface; the answer's JSON, None where it has none."""
        request = urllib.request.Request(
            self.url + path, method=method, headers={"Authorization": f"token {self.token}"}
        )
        with urllib.request.urlopen(request, timeout=30) as answer:
            text = answer.read()
        return json.loads(text) if text else None

    def start_page(self):
        """The address that the start command would open in the reader's browser."""
        (page,) = (self.folder / "jupyter" / "runtime_dir").glob("jpserver-file-to-run-*-open.html")
        return re.search(r'href="([^"]+)"', page.read_text(encoding="utf-8"))[1]

    def renew(self, keep_answers=False):
        """End all kernels and bring back every stored notebook; the reader's files are gone, and the answers too."""
        end = time.monotonic() + PATIENCE_MS / 1000
        while sessions := self.ask("api/sessions"):
            assert time.monotonic() < end, f"sessions that do not end: {sessions}"
            for session in sessions:  # one that is still starting answers with an error; then ask again
                with contextlib.suppress(urllib.error.HTTPError):
                    self.ask(f"api/sessions/{session['id']}", "DELETE")
        notebooks = self.folder / "notebooks"
        for path in notebooks.glob("my-*"):
            path.unlink()
        if not keep_answers:
            shutil.rmtree(notebooks / "answers", ignore_errors=True)
        for path in notebooks.glob("*.ipynb"):
            if (ROOT / "notebooks" / path.name).is_file():
                shutil.copy2(ROOT / "notebooks" / path.name, path)

    def open(self, page, name):
        """Open a notebook of the copy in a page, in a workspace without others, and wait until it stands."""
        page.set_default_timeout(PATIENCE_MS)
        page.goto(f"{self.url}lab/tree/{name}?reset&token={self.token}")
        wait_for_cells(page, self.folder / "notebooks" / name)
        assert until(page, self.kernel_is_ready), "the kernel is not ready"
        page.locator('.jp-Notebook-ExecutionIndicator[data-status="idle"]').first.wait_for()
        return page

    def kernel_is_ready(self):
        """Whether there is a kernel that a page is connected to and that has nothing to do."""
        try:
            kernels = self.ask("api/kernels")
        except urllib.error.HTTPError:  # a kernel ended while the server was listing it
            return False
        return any(kernel["connections"] and kernel["execution_state"] == "idle" for kernel in kernels)


def wait_for_cells(page, path):
    """Wait until every cell of a stored notebook stands on the page."""
    stored = len(json.loads(path.read_text(encoding="utf-8"))["cells"])
    shown = page.locator(".jp-Notebook .jp-Cell")
    assert until(page, lambda: shown.count() == stored), f"{shown.count()} of {stored} cells are shown"


def menu(page, name, item):
    """Click an item of a menu."""
    page.locator(f".lm-MenuBar-itemLabel:text-is('{name}')").click()
    page.locator(f".lm-Menu-item:has(.lm-Menu-itemLabel:text-is('{item}'))").click()


def run_all(page):
    """Clear all outputs, run all cells by the menu, and wait until every code cell has run."""
    press_run_all(page)
    wait_for_all(page)


def unfold(page):
    """Open every section that is stored folded."""
    hidden = page.locator(".jp-showHiddenCellsButton:visible")
    while hidden.count():
        hidden.first.click()


def press_run_all(page):
    """Clear all outputs and run all cells by the menu."""
    menu(page, "Edit", "Clear Outputs of All Cells")
    assert until(page, lambda: _numbered(page).count() == 0), "the outputs are not cleared"
    menu(page, "Run", "Run All Cells")


def wait_for_all(page, patience_ms=PATIENCE_MS):
    """Wait until every code cell has run."""
    prompts = page.locator(".jp-Notebook .jp-CodeCell .jp-InputPrompt")
    ran = until(page, lambda: _numbered(page).count() == prompts.count(), patience_ms)
    assert ran, f"not all have run: {prompts.all_inner_texts()}"


def _numbered(page):
    prompts = page.locator(".jp-Notebook .jp-CodeCell .jp-InputPrompt")
    return prompts.filter(has_text=re.compile(r"\[\d+\]"))


def until(page, holds, patience_ms=PATIENCE_MS):
    """Whether `holds()` becomes true before the patience ends; the page goes on meanwhile."""
    end = time.monotonic() + patience_ms / 1000
    while not holds():
        if time.monotonic() > end:
            return False
        page.wait_for_timeout(50)
    return True


def theme(page, name):
    """Change JupyterLab's theme, "Light" or "Dark", by the menu."""
    page.locator(".lm-MenuBar-itemLabel:text-is('Settings')").click()
    page.locator(".lm-Menu-item:has(.lm-Menu-itemLabel:text-is('Theme'))").hover()
    page.locator(f".lm-Menu-item:has(.lm-Menu-itemLabel:text-is('JupyterLab {name}'))").click()
    page.locator(f"body[data-jp-theme-name='JupyterLab {name}']").wait_for(state="attached")


def heard_errors(page):
    """A list that fills with what the page reports as an error, from now on."""
    errors = []
    page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: errors.append(f"uncaught: {error}"))
    return errors
