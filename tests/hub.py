"""A class on one server: the hub of `.classroom`, students who log in, open a chapter, run it and move a slider.

    python tests/hub.py 20        print what 20 students take: memory, time to the first picture, slider to picture

Needs tests/requirements-hub.txt, the proxy of npm on the PATH, and what `browser.py` needs.
"""

import contextlib
import functools
import importlib.util
import os
import re
import shutil
import ssl
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import browser
from browser import ROOT, chromium, free_port, press_run_all, write_settings

PASSWORD = "seedlings-2026"
CHAPTER = "03-supply-and-reference.ipynb"
PROXY = "configurable-http-proxy"
RESPONSE = """async (value) => {
  const range = document.querySelector(".jp-Notebook input[type=range]");
  const scope = range.closest(".jp-OutputArea");
  const before = scope.querySelector("img").src;
  return await new Promise((done) => {
    let start = 0;
    const observer = new MutationObserver(async () => {
      const image = scope.querySelector("img");
      if (!image || image.src === before) return;
      observer.disconnect();
      await image.decode();
      requestAnimationFrame(() => done(performance.now() - start));
    });
    observer.observe(scope, { subtree: true, childList: true, attributes: true });
    start = performance.now();
    range.value = value;
    range.dispatchEvent(new Event("input", { bubbles: true }));
  });
}"""
CONNECTED = """async () => {
  const { baseUrl } = JSON.parse(document.getElementById("jupyter-config-data").textContent);
  const headers = { "X-XSRFToken": document.cookie.match(/\\b_xsrf=([^;]+)/)[1] };
  const kernels = await (await fetch(`${baseUrl}api/kernels`, { headers })).json();
  return Array.isArray(kernels) && kernels.some((kernel) => kernel.connections && kernel.execution_state === "idle");
}"""


def missing():
    """What is not there of what the hub needs, in words; empty where all is there."""
    if importlib.util.find_spec("jupyterhub") is None:
        return "jupyterhub is not installed (tests/requirements-hub.txt)"
    if shutil.which(PROXY) is None:
        return f"{PROXY} is not on the PATH (npm install {PROXY})"
    return browser.missing()


@dataclass(frozen=True)
class Hub:
    """A running hub: its address, the folder that holds the students' folders, and its process."""

    url: str
    students: Path
    process: subprocess.Popen

    def book_of(self, name):
        """The book of one student."""
        return self.students / name / "book"

    def memory_mb(self, name):
        """Memory of a student's server and kernels [MB], what they share with others counted in part (PSS)."""
        return sum(_pss_mb(pid) for pid in self.processes(name))

    def processes(self, name):
        """Ids of the processes that belong to a student."""
        wanted = f"JUPYTERHUB_USER={name}".encode()
        for path in Path("/proc").glob("[0-9]*/environ"):
            with contextlib.suppress(OSError):
                if wanted in path.read_bytes().split(b"\0"):
                    yield int(path.parent.name)


def _pss_mb(pid):
    with contextlib.suppress(OSError):
        found = re.search(r"^Pss:\s+(\d+) kB", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)
        return int(found[1]) / 1024 if found else 0.0
    return 0.0


@contextlib.contextmanager
def started_hub(memory="1G", disk=None):
    """A `Hub` with the demo's accounts in a new folder; it and all its students' servers are ended at the end.

    disk : size such as "2m" of a disk of its own that holds the students' folders, else they lie with everything else
    """
    settings = {"TEMPKIT_ACCOUNTS": "demo", "TEMPKIT_PASSWORD": PASSWORD, "TEMPKIT_MEMORY": memory}
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    with running_hub(f"--JupyterHub.bind_url={url}", disk=disk, **settings) as (folder, hub):
        answering(url, hub, folder / "hub.txt")
        inside = Path(f"/proc/{hub.pid}/root") if disk else Path("/")
        yield Hub(url, inside / folder.relative_to("/") / "students", hub)


@contextlib.contextmanager
def running_hub(*words, disk=None, **settings):
    """A new folder, and the hub of `.classroom` started there; it says what it does in `hub.txt`."""
    with tempfile.TemporaryDirectory(prefix="tempkit-hub-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        command = [sys.executable, "-m", "jupyterhub", "-f", str(ROOT / ".classroom" / "jupyterhub_config.py"), *words]
        command += [f"--JupyterHub.hub_port={free_port()}"]
        command += [f"--ConfigurableHTTPProxy.api_url=http://127.0.0.1:{free_port()}"]
        if disk:
            (folder / "students").mkdir()
            command = on_own_disk(disk, folder / "students", command)
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("TEMPKIT_", "JUPYTER"))}
        settings |= {"TEMPKIT_STUDENTS": str(folder / "students"), "TEMPKIT_HUB": str(folder / "state")}
        settings |= {"PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"}
        settings |= {} if disk else {"JUPYTER_RUNTIME_DIR": str(folder / "runtime")}
        with (folder / "hub.txt").open("wb") as said:
            hub = subprocess.Popen(command, cwd=folder, env=kept | settings, stdout=said, stderr=subprocess.STDOUT)
            try:
                yield folder, hub
            finally:
                hub.terminate()
                try:
                    hub.wait(30)
                except subprocess.TimeoutExpired:
                    hub.kill()
                    hub.wait()


def on_own_disk(size, place, command):
    """The words that run a command which sees at `place` a new disk of this size, such as "300k", and nobody else."""
    mount = f'mount -t tmpfs -o size={size} tmpfs "$0" && exec "$@"'
    return ["unshare", "-m" if os.geteuid() == 0 else "-rm", "sh", "-c", mount, str(place), *command]


@functools.cache
def no_disk():
    """Why a command cannot have a disk of its own here; empty where it can."""
    with tempfile.TemporaryDirectory() as place:
        try:
            done = subprocess.run(on_own_disk("300k", place, ["true"]), capture_output=True, text=True)
        except (OSError, AttributeError) as error:
            return f"no disk of its own: {error}"
        return f"no disk of its own: {done.stderr}" if done.returncode else ""


def answering(url, hub, said, patience_s=90):
    """Wait until a hub answers; a certificate of its own making will do."""
    trusting = ssl._create_unverified_context() if url.startswith("https") else None
    end = time.monotonic() + patience_s
    while time.monotonic() < end and hub.poll() is None:
        with contextlib.suppress(OSError):
            urllib.request.urlopen(f"{url}/hub/api/", timeout=5, context=trusting).close()
            return
        time.sleep(0.2)
    raise RuntimeError(f"the hub did not answer:\n{said.read_text(errors='replace')[-3000:]}")


# ---- a student


def log_in(hub, chromium, name):
    """Log in, in a browser of the student's own; the page shows the server being started."""
    settings = hub.students / name / ".jupyter" / "lab" / "user-settings"
    if not settings.exists():
        write_settings(settings)
    page = chromium.new_context(viewport={"width": 1280, "height": 1600}).new_page()
    page.set_default_timeout(180_000)
    page.goto(f"{hub.url}/hub/login")
    page.fill("#username_input", name)
    page.fill("#password_input", PASSWORD)
    page.click("#login_submit")
    return page


def open_chapter(hub, page, name, chapter=CHAPTER, patience_ms=180_000):
    """Wait for the student's server, then open a chapter of their book."""
    page.wait_for_url(f"{hub.url}/user/{name}/lab**")
    page.goto(f"{hub.url}/user/{name}/lab/tree/notebooks/{chapter}?reset")
    browser.wait_for_cells(page, hub.book_of(name) / "notebooks" / chapter)
    assert browser.until(page, lambda: page.evaluate(CONNECTED), patience_ms), "the kernel is not ready"
    page.locator('.jp-Notebook-ExecutionIndicator[data-status="idle"]').first.wait_for()


def run(page):
    """Clear the outputs, press Run All, and return the moment."""
    press_run_all(page)
    return time.monotonic()


def wait_for_all(page):
    """Wait until every code cell has run, and the explorers stand there."""
    browser.wait_for_all(page, 180_000)
    page.locator(".jp-Notebook input[type=range]").first.wait_for()
    page.locator(".jp-OutputArea img").first.wait_for()


def slider_s(page, value):
    """Seconds from a move of the first slider to the changed picture."""
    return page.evaluate(RESPONSE, value) / 1e3


def measure(count, moves=10):
    """Print what a class takes: a row for each thing, median and worst."""
    names = [f"student{number:02d}" for number in range(1, count + 1)]
    with started_hub() as hub, chromium() as started:
        begun = time.monotonic()
        pages = [log_in(hub, started, name) for name in names]
        for page, name in zip(pages, names, strict=True):
            page.wait_for_url(f"{hub.url}/user/{name}/lab**")
        _print("all logged in and started", "s", [time.monotonic() - begun])
        for page, name in zip(pages, names, strict=True):
            open_chapter(hub, page, name)
        pressed = [run(page) for page in pages]
        first = []
        for page, moment in zip(pages, pressed, strict=True):
            page.locator(".jp-OutputArea img").first.wait_for()
            first.append(time.monotonic() - moment)
        _print("Run All to the first picture, all at once", "s", first)
        for page in pages:
            wait_for_all(page)
        alone = [slider_s(pages[0], 10.0 + number) for number in range(moves)]
        _print("slider to picture, one student at a time", "ms", [1e3 * each for each in alone])
        _print("memory of a student (PSS)", "MB", [hub.memory_mb(name) for name in names])


def _print(what, unit, numbers):
    print(f"{what:<45} median {statistics.median(numbers):8.1f} {unit}   worst {max(numbers):8.1f} {unit}", flush=True)


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
