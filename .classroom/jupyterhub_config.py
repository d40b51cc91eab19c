"""One server for a class: JupyterHub with this book. README.md in this folder says how to start it, and how safely.

Settings by environment:
    TEMPKIT_ACCOUNTS   "system" (default): accounts of this machine; "demo": any name, one password, no separation
    TEMPKIT_HUB        folder of the hub's own state: database, cookie secret, log (default ~/.local/state/tempkit-hub)
    TEMPKIT_PASSWORD   the demo's password; without one the demo does not start
    TEMPKIT_STUDENTS   demo: folder that holds a folder for each student
    TEMPKIT_MEMORY     most private memory of each process of a student, such as 1G (default)
    TEMPKIT_CERTIFICATE, TEMPKIT_KEY   files of a certificate and its key: with them, and only then, a class's hub
                       listens to other machines, by https
"""

import asyncio
import os
import sys
import time
from pathlib import Path
from urllib.parse import urlparse

c = get_config()  # noqa: F821

BOOK = Path(__file__).resolve().parents[1]
DEMO = os.environ.get("TEMPKIT_ACCOUNTS", "system") == "demo"

if DEMO:
    password = os.environ.get("TEMPKIT_PASSWORD", "")
    if len(password) < 8:
        raise SystemExit("the demo needs TEMPKIT_PASSWORD, 8 characters or more; a class needs accounts instead")
    students = Path(os.environ.get("TEMPKIT_STUDENTS", "/tmp/tempkit-demo-students"))
    c.JupyterHub.authenticator_class = "dummy"
    c.DummyAuthenticator.password = password
    c.JupyterHub.spawner_class = "simple"
    c.SimpleLocalProcessSpawner.home_dir_template = str(students / "{username}")
    arguments = ["--allow-root"] if os.geteuid() == 0 else []  # the demo's servers run as whoever started it
else:
    c.JupyterHub.authenticator_class = "pam"
    arguments = []

c.Authenticator.allow_all = True

# Passwords never cross a network in the clear: without a certificate only this machine is listened to.
certificate, key = (os.environ.get(name, "") for name in ("TEMPKIT_CERTIFICATE", "TEMPKIT_KEY"))
for name in (certificate, key) if certificate or key else ():
    if not Path(name).is_file():
        raise SystemExit(f"TEMPKIT_CERTIFICATE and TEMPKIT_KEY must both name a file, and {name!r} is none")
c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = certificate, key
c.JupyterHub.bind_url = "https://:8000" if certificate and not DEMO else "http://127.0.0.1:8000"

from jupyterhub.proxy import ConfigurableHTTPProxy  # noqa: E402


class Guarded(ConfigurableHTTPProxy):
    """The proxy; it does not start where the command line asks it to listen to others without a certificate."""

    async def start(self):
        if not self.ssl_cert and urlparse(self.public_url).hostname not in ("127.0.0.1", "::1", "localhost"):
            raise ValueError(f"no certificate, so not at {self.public_url}: set TEMPKIT_CERTIFICATE and TEMPKIT_KEY")
        await super().start()


c.JupyterHub.proxy_class = Guarded

# The student's server hands the book out first, as the student: no file is written for them by anybody else.
c.Spawner.cmd = [sys.executable, "-m", "tempkit", "handout", str(BOOK), "book", "--", "jupyterhub-singleuser"]
c.Spawner.notebook_dir = ""
c.Spawner.default_url = "/lab/tree/notebooks/00-start-here.ipynb"
c.Spawner.mem_limit = os.environ.get("TEMPKIT_MEMORY", "1G")
c.Spawner.start_timeout = 180
c.Spawner.http_timeout = 120
# A server that nobody has used for an hour ends itself; so does a kernel after half an hour. Work is on the disk.
arguments += ["--ServerApp.shutdown_no_activity_timeout=3600", "--MappingKernelManager.cull_idle_timeout=1800"]
# What the hand-out did is the first page; a file deleted is gone, so that a full disk can be cleared from the page.
arguments += ["--ServerApp.jpserver_extensions=tempkit.classroom.student_server=True"]
arguments += ["--FileContentsManager.delete_to_trash=False"]
c.Spawner.args = arguments

# The hub's own state lies outside of the book, which students read, in a folder that only the hub's account can open.
STATE = Path(os.environ.get("TEMPKIT_HUB") or Path.home() / ".local" / "state" / "tempkit-hub").resolve()
if STATE.is_relative_to(BOOK):
    raise SystemExit(f"TEMPKIT_HUB = {STATE} lies in the book, which students read: name a folder outside of {BOOK}")
STATE.mkdir(mode=0o700, parents=True, exist_ok=True)
if STATE.stat().st_uid != os.geteuid():
    raise SystemExit(f"TEMPKIT_HUB = {STATE} belongs to another account, which could read it: name another folder")
STATE.chmod(0o700)
c.JupyterHub.db_url = f"sqlite:///{STATE / 'jupyterhub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(STATE / "jupyterhub_cookie_secret")
c.ConfigurableHTTPProxy.pid_file = str(STATE / "jupyterhub-proxy.pid")
LOG = {"class": "logging.FileHandler", "filename": str(STATE / "jupyterhub.log"), "formatter": "console"}
LOG |= {"level": "INFO"}
c.JupyterHub.logging_config = {"handlers": {"file": LOG}, "loggers": {"JupyterHub": {"handlers": ["console", "file"]}}}

# Forty students press the button in the same minute: one server starts every two seconds, which is what two cores do.
# The others see the progress page meanwhile; the hub's own limit of starts at a time would show them an error.
BETWEEN_S = 2.0
last_turn = time.monotonic() - BETWEEN_S


async def wait_for_a_turn(spawner):
    global last_turn
    last_turn = max(last_turn + BETWEEN_S, time.monotonic())
    await asyncio.sleep(last_turn - time.monotonic())


c.Spawner.pre_spawn_hook = wait_for_a_turn
