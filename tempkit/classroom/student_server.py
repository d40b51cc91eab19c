"""Extension of a student's Jupyter server: what the hand-out did is the first page, and a full disk locks nobody out.

    jupyterhub-singleuser --ServerApp.jpserver_extensions=tempkit.classroom.student_server=True
"""

import hashlib
import html
import os
import re
import tempfile
from pathlib import Path

from tempkit.classroom.handing_out import FULL, NOTICE


def _jupyter_server_extension_points():
    return [{"module": __name__}]


def _load_jupyter_server_extension(server):
    _show_first(server, list(filter(None, os.environ.get(NOTICE, "").split("\n"))))
    _spare_checkpoints(server.contents_manager)


def _show_first(server, told):
    """Answer the first request for a page of the book with what is told; asked again, the page itself comes."""
    from jupyter_server.base.handlers import JupyterHandler
    from tornado import routing, web

    pages = re.compile(re.escape(server.base_url) + r"lab(/tree/.*|/workspaces/.*)?/?$")

    class Untold(routing.Matcher):
        def match(self, request):
            return {} if told and request.method == "GET" and pages.match(request.path) else None

    class Notice(JupyterHandler):
        @web.authenticated
        def get(self):
            page = notice_page(told, self.request.uri)
            told.clear()
            self.finish(page)

    router = server.web_app.default_router
    router.rules.insert(0, router.process_rule(routing.Rule(Untold(), Notice)))


def notice_page(said, onward):
    """A page of HTML with these sentences, and a link onward.

    >>> "<li>2 new files</li>" in notice_page(["2 new files"], "/lab")
    True
    """
    items = "".join(f"<li>{html.escape(each)}</li>" for each in said)
    return f"""<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Your book</title>
<style>body {{ font: 1.2rem/1.5 sans-serif; max-width: 45rem; margin: 3rem auto; padding: 0 1rem }}</style>
<main><h1>Your book</h1><p>Before your book opens, this is what was done in your folder. Your own work was not
touched.</p><ul>{items}</ul><p><a href="{html.escape(onward)}">Open the book</a></p></main></html>
"""


def _spare_checkpoints(manager):
    """Let a file open where the disk is too full for its checkpoint: that one then lies among the system's own."""
    from jupyter_server.services.contents.filecheckpoints import AsyncFileCheckpoints

    class Checkpoints(AsyncFileCheckpoints):
        spare = None

        def checkpoint_path(self, checkpoint_id, path):
            if self.spare is None:
                return super().checkpoint_path(checkpoint_id, path)
            return str(self.spare / hashlib.sha256(path.strip("/").encode()).hexdigest())

        async def create_checkpoint(self, contents_mgr, path):
            try:
                return await super().create_checkpoint(contents_mgr, path)
            except OSError as error:
                if self.spare or error.errno not in FULL:
                    raise
                self.spare = Path(tempfile.mkdtemp(prefix="tempkit-"))
                return await super().create_checkpoint(contents_mgr, path)

    if isinstance(manager.checkpoints, AsyncFileCheckpoints):
        manager.checkpoints = Checkpoints(**manager.checkpoints_kwargs)
