"""A link that really runs, followed in the notebook; the pretend board speaks where no port is named."""

import tempfile
import threading
from dataclasses import replace
from pathlib import Path

import ipywidgets

from tempkit import book as books
from tempkit.board import Link, Partner
from tempkit.chain import write
from tempkit.draw import Keys, Look, Shown
from tempkit.explorers.controls import SECONDS, completed, noise_of
from tempkit.explorers.stage import STYLE, heard, north_bench, paragraph
from tempkit.explorers.trace import PICTURE, trace
from tempkit.explorers.trace import words as told

PERIOD_S = 0.5
PRETEND = ("--scene", "lively")
IDLE = (
    "No link runs yet. Press Start. Name the port of your board first, as `python -m tempkit board ports` prints it; "
    "with no name the pretend board speaks, and its readings are invented."
)


LABELS = """<style>
.tempkit-watch .widget-text .widget-label, .tempkit-explorer.tempkit-watch .widget-dropdown .widget-label {
  width: auto; margin-left: 1em; color: var(--jp-ui-font-color1, #1a1a1a); }
.tempkit-watch:not(.tempkit-room) .widget-label { font-size: 14px; }
.tempkit-watch .widget-dropdown select { min-width: 5.5em; }
.tempkit-watch .widget-text, .tempkit-watch .widget-dropdown { width: auto; height: auto; }
.tempkit-watch.tempkit-room .widget-text input { min-width: 11em; }
</style>"""


class Watch(Shown):
    """A box with a start button, the name of a port, and the trace of what comes over it.

    design : what the pretend board is, and whose limits are drawn; port, baud : of a real board, port "" for the
    pretend one; out : a file that gets every line, None for no file, one that exists is gone on with. Nothing runs
    before `start()` or its button, and nothing after `stop()`; the notebook waits for neither.
    """

    def __init__(self, design=None, port="", baud=9600, out=None, book=None, pretend=PRETEND):
        design = design or north_bench()
        self._design = replace(completed(design), noise=noise_of(design))
        self._baud, self._out, self._pretend = baud, out, pretend
        self.book = book or books.current()
        self._picture = PICTURE(Look(self.book.room), self.book)
        self._lock, self._stop, self._thread = threading.RLock(), threading.Event(), None
        self._words = IDLE
        self._image, self._told = ipywidgets.HTML(), ipywidgets.HTML(paragraph(IDLE))
        self._port = ipywidgets.Text(value=port, placeholder="pretend board", description="port")
        options = [(words, seconds) for seconds, words in SECONDS.options]
        self._shown = ipywidgets.Dropdown(options=options, value=SECONDS.start, description=SECONDS.label)
        self._button = ipywidgets.Button(description="Start", tooltip="start or stop the link")
        self._button.on_click(lambda _: self._run(self._button.description == "Start"))
        row = ipywidgets.HBox([self._button, self._port, self._shown], layout={"flex_flow": "row wrap"})
        style = ipywidgets.HTML(STYLE + LABELS, layout={"display": "none"})
        self._spoken = ipywidgets.HTML(heard("", "tempkit-heard"))
        super().__init__([style, Keys(), row, self._image, self._told, self._spoken])
        self.add_class("tempkit-explorer")
        self.add_class("tempkit-watch")
        super().size(self.book.room)

    # ---- what the reader can do

    def start(self):
        """Begin to listen; returns at once."""
        self._run(True)

    def stop(self, timeout_s=10.0):
        """Hang up, and wait until that is done; True once it is."""
        self._run(False)
        thread = self._thread
        if thread is not None:
            thread.join(timeout_s)
        return thread is None or not thread.is_alive()

    def size(self, room):
        """Take back-row size (`room` True) or desk size; what runs is drawn in it from now on."""
        super().size(room)
        self._picture = PICTURE(Look(room), self.book)

    def words(self):
        """What is shown just now."""
        return self._words

    def _run(self, on):
        with self._lock:
            if on == (self._button.description == "Stop"):
                return
            self._button.description = "Stop" if on else "Start"
            self._stop.set()
            self._news = None
            if on:
                before, self._stop = self._thread, threading.Event()
                values = (before, self._stop, self._port.value.strip())
                self._thread = threading.Thread(target=self._follow, args=values, name="watch a link", daemon=True)
                self._thread.start()

    # ---- the thread

    def _follow(self, before, stop, port):
        try:
            if before is not None:
                before.join()
            if port:
                self._listen(port, port, stop)
            else:
                self._say("The pretend board is starting; its readings are invented.", "starting")
                with tempfile.TemporaryDirectory(prefix="tempkit-watch-") as folder:
                    file = Path(folder) / "design.toml"
                    write(self._design, file)
                    with Partner(file, *self._pretend) as partner:
                        self._listen(partner.port, "", stop)
        except (OSError, ValueError) as error:
            self._image.value = ""
            self._say(f"This link cannot run: {error}. Correct it, and press Start again.", "error")
            if not stop.is_set():
                self._run(False)

    def _listen(self, port, source, stop):
        link_made = self._design.link
        settings = (self._baud if source else link_made.baud, link_made.frame, self._out)
        with Link(port, *settings, append=True) as link:
            while not stop.is_set():
                self._draw(link, source)
                if link.status().state == "stopped":
                    raise ValueError(link.status().problem)
                stop.wait(PERIOD_S)
            self._draw(link, source)

    def _draw(self, link, source):
        status, alarm = link.status(), self._design.alarm
        counts = (status.lines, status.gaps, source, status.state)
        seen = trace(link.since(0), status.at_s, float(self._shown.value), *counts, (alarm.low_c, alarm.high_c))
        words = told(seen, self.book)
        if status.problem:
            words += f" The port: {status.problem}."
        self._image.value = self._picture.show(seen).img(words)
        self._say(words, (status.state, status.gaps))

    def _say(self, words, news):
        """What is told changes all the time; it is heard where there is other news."""
        self._words, self._told.value = words, paragraph(words)
        if news != self._news:
            self._news, self._spoken.value = news, heard(words, "tempkit-heard")


def watch(design=None, **options):
    """The box that follows a running link, see `Watch`; it starts at the press of its button, or by `start()`.

    >>> watch().words()[:23]
    'No link runs yet. Press'
    """
    return Watch(design, **options)
