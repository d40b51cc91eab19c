"""The book handed out to students, and a class of five on one server."""

import contextlib
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

import hub
from browser import chromium, free_port, menu, until, write_settings
from tempkit.classroom import hand_out
from tempkit.classroom.handing_out import LIST


@pytest.fixture
def book(tmp_path):
    """A small book."""
    root = tmp_path / "the book"
    for name in ("notebooks/01-a.ipynb", "notebooks/my-notes.ipynb", "notebooks/.hidden", "data/chains/b.toml"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(f"first {name}", encoding="utf-8")
    return root


def files(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
        for path in folder.rglob("*")
        if path.is_file() and path.name != LIST
    }


def test_a_first_login_brings_the_whole_book(book, tmp_path):
    done = hand_out(book, tmp_path / "ada")
    assert files(tmp_path / "ada") == {
        "notebooks/01-a.ipynb": "first notebooks/01-a.ipynb",
        "data/chains/b.toml": "first data/chains/b.toml",
    }
    assert done.text() == "2 new files"
    assert hand_out(book, tmp_path / "ada").text() == ""


def test_a_students_work_is_never_overwritten(book, tmp_path):
    mine = tmp_path / "ada" / "notebooks" / "01-a.ipynb"
    hand_out(book, tmp_path / "ada")
    mine.write_text("my work", encoding="utf-8")
    (mine.parent / "my-diary.ipynb").write_text("mine too", encoding="utf-8")
    assert hand_out(book, tmp_path / "ada").text() == ""
    (book / "notebooks" / "01-a.ipynb").write_text("second", encoding="utf-8")
    done = hand_out(book, tmp_path / "ada")
    assert done.beside == (("notebooks/01-a.ipynb", "notebooks/01-a-new.ipynb"),)
    assert hand_out(book, tmp_path / "ada").text() == ""
    (book / "notebooks" / "01-a.ipynb").write_text("third", encoding="utf-8")
    assert hand_out(book, tmp_path / "ada").beside[0][1] == "notebooks/01-a-new-2.ipynb"
    found = files(tmp_path / "ada")
    assert [found[f"notebooks/{name}.ipynb"] for name in ("01-a", "01-a-new", "01-a-new-2", "my-diary")] == [
        "my work",
        "second",
        "third",
        "mine too",
    ]


def test_a_file_as_it_was_handed_out_is_renewed_and_a_lost_one_comes_back(book, tmp_path):
    hand_out(book, tmp_path / "ada")
    (book / "notebooks" / "01-a.ipynb").write_text("second", encoding="utf-8")
    (tmp_path / "ada" / "data" / "chains" / "b.toml").unlink()
    done = hand_out(book, tmp_path / "ada")
    assert (done.renewed, done.new) == (("notebooks/01-a.ipynb",), ("data/chains/b.toml",))
    assert files(tmp_path / "ada")["notebooks/01-a.ipynb"] == "second"


@pytest.mark.parametrize("damage", ["", "[1, 2]", "{", '{"notebooks/01-a.ipynb": 7}'])
def test_a_damaged_list_loses_nothing(damage, book, tmp_path):
    hand_out(book, tmp_path / "ada")
    (tmp_path / "ada" / "notebooks" / "01-a.ipynb").write_text("my work", encoding="utf-8")
    (tmp_path / "ada" / LIST).write_text(damage, encoding="utf-8")
    hand_out(book, tmp_path / "ada")
    assert files(tmp_path / "ada")["notebooks/01-a.ipynb"] == "my work"


def test_no_file_is_written_through_a_link(book, tmp_path):
    """A student may lay a link where a file or folder should come: nothing outside the folder changes."""
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "01-a.ipynb").write_text("not the student's", encoding="utf-8")
    (tmp_path / "ada").mkdir()
    (tmp_path / "ada" / "notebooks").symlink_to(outside)
    hand_out(book, tmp_path / "ada")
    assert files(outside) == {"01-a.ipynb": "not the student's"}
    (tmp_path / "bob" / "notebooks").mkdir(parents=True)
    (tmp_path / "bob" / "notebooks" / "01-a.ipynb").symlink_to(outside / "01-a.ipynb")
    hand_out(book, tmp_path / "bob")
    assert files(outside) == {"01-a.ipynb": "not the student's"}


def test_a_folder_where_a_file_should_be_is_left_alone_and_told_once(book, tmp_path):
    (tmp_path / "ada" / "notebooks" / "01-a.ipynb").mkdir(parents=True)
    done = hand_out(book, tmp_path / "ada")
    assert done.new == ("data/chains/b.toml",)
    why = "notebooks/01-a.ipynb is no file: rename it"
    assert done.text() == f"1 new files; not brought, as {why}: notebooks/01-a.ipynb"
    assert hand_out(book, tmp_path / "ada").text() == ""
    (tmp_path / "ada" / "notebooks" / "01-a.ipynb").rmdir()
    assert hand_out(book, tmp_path / "ada").new == ("notebooks/01-a.ipynb",)


@pytest.mark.parametrize("place", ["", "data", "data/chains"])
def test_a_file_where_a_folder_should_be_is_left_alone_and_told(place, book, tmp_path):
    in_the_way = tmp_path / "ada" / place
    in_the_way.parent.mkdir(parents=True, exist_ok=True)
    in_the_way.write_text("mine")
    done = hand_out(book, tmp_path / "ada")
    assert done.new == (("notebooks/01-a.ipynb",) if place else ())
    assert re.fullmatch("(1 new files; )?not brought, as .*rename it.*: .+", done.text())
    assert in_the_way.read_text() == "mine"


def test_only_what_changed_is_written(book, tmp_path):
    """Not even a folder's own time changes where nothing is new; a renewed file is the only one that is written."""
    hand_out(book, tmp_path / "ada")
    before = written(tmp_path / "ada")
    hand_out(book, tmp_path / "ada")
    assert written(tmp_path / "ada") == before
    (book / "notebooks" / "01-a.ipynb").write_text("second", encoding="utf-8")
    hand_out(book, tmp_path / "ada")
    after = written(tmp_path / "ada")
    assert {name for name in after if after[name] != before[name]} <= {"notebooks/01-a.ipynb", "notebooks", LIST, "."}


def written(folder):
    """Of each file and folder in there, which one it is and when it was last written."""
    found = {path: path.lstat() for path in [folder, *folder.rglob("*")]}
    return {path.relative_to(folder).as_posix(): (at.st_ino, at.st_mtime_ns) for path, at in found.items()}


def test_the_copy_beside_is_laid_once_even_where_the_list_is_lost(book, tmp_path):
    hand_out(book, tmp_path / "ada")
    (tmp_path / "ada" / "notebooks" / "01-a.ipynb").write_text("my work", encoding="utf-8")
    (book / "notebooks" / "01-a.ipynb").write_text("second", encoding="utf-8")
    assert hand_out(book, tmp_path / "ada").beside
    (tmp_path / "ada" / LIST).unlink()
    (tmp_path / "ada" / LIST).mkdir()
    for _ in range(2):
        assert hand_out(book, tmp_path / "ada").beside == ()
    assert "notebooks/01-a-new-2.ipynb" not in files(tmp_path / "ada")


def notebook(*sources, **changes):
    """The text of a notebook with these code cells; every cell gets the changes."""
    cells = [{"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None, "source": s} | changes
             for s in sources]  # fmt: skip
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    return json.dumps({"cells": cells, "metadata": kernel, "nbformat": 4, "nbformat_minor": 4})


RAN = {"execution_count": 7, "outputs": [{"output_type": "stream", "name": "stdout", "text": "42\n"}], "id": "new"}


@pytest.mark.parametrize(
    ("mine", "theirs", "kind"),
    [
        (notebook("a = 1", **RAN), notebook("a = 2"), "renewed"),
        (notebook(["a ", "= 1"], metadata={"trusted": True, "scrolled": True}), notebook("a = 2"), "renewed"),
        (notebook("a = 1", "", **RAN), notebook("a = 2"), "renewed"),  # Shift+Enter on the last cell adds an empty one
        (notebook("a = 1", **RAN), notebook("a = 1", execution_count=1), "renewed"),
        (notebook("a = 3"), notebook("a = 2"), "beside"),
        (notebook("a = 1", "my note"), notebook("a = 2"), "beside"),
        (notebook("a = 1", cell_type="markdown"), notebook("a = 2"), "beside"),
        (notebook("a = 1", attachments={"x.png": {"image/png": "AAAA"}}), notebook("a = 2"), "beside"),
        (notebook("a = 3"), notebook("a = 1", execution_count=1), None),
        (notebook("a = 2", **RAN), notebook("a = 2"), None),
        ('{"cells": 7}', notebook("a = 2"), "beside"),
        ("[" * 100_000, notebook("a = 2"), "beside"),
    ],
)
def test_what_counts_in_a_notebook_is_what_stands_in_its_cells(mine, theirs, kind, book, tmp_path):
    name = "notebooks/01-a.ipynb"
    (book / name).write_text(notebook("a = 1"))
    hand_out(book, tmp_path / "ada")
    (tmp_path / "ada" / name).write_text(mine)
    (book / name).write_text(theirs)
    done = hand_out(book, tmp_path / "ada")
    assert [each for each in ("new", "renewed", "beside", "left") if getattr(done, each)] == [kind] * bool(kind)
    assert files(tmp_path / "ada")[name] == (theirs if kind == "renewed" else mine)
    assert hand_out(book, tmp_path / "ada").text() == ""


# ---- disks that are full or may not be written to, each a real one that only the command sees


def on_a_disk(size, code, book, tmp_path, require):
    """Run code where BOOK is the book and DISK a new disk of that size."""
    require("disk", not hub.no_disk(), hub.no_disk())
    (tmp_path / "disk").mkdir()
    names = f"BOOK, DISK = Path({str(book)!r}), Path({str(tmp_path / 'disk')!r})"
    code = f"import subprocess\nfrom pathlib import Path\nfrom tempkit.classroom import handing_out\n{names}\n{code}"
    done = subprocess.run(hub.on_own_disk(size, tmp_path / "disk", [sys.executable, "-c", code]), capture_output=True)
    assert done.returncode == 0, done.stderr.decode()


def test_a_full_disk_costs_no_file_and_the_rest_comes_when_there_is_room(book, tmp_path, require):
    """The disk says itself that it is full, as one with a quota does: nothing half-written stays."""
    code = """
for name in "cdef":
    (BOOK / "notebooks" / name).write_bytes(name.encode() * 100_000)
handing_out.shutil.disk_usage = lambda path: type("Usage", (), {"free": 10**9})
(DISK / "mine").write_bytes(b"m" * 50_000)
done = handing_out.hand_out(BOOK, DISK)
assert {kind for kind in ("new", "left") if getattr(done, kind)} == {"new", "left"}, done
assert "your disk is full (delete what you no longer need)" in done.text(), done.text()
held = {path.name: path.read_bytes() for path in DISK.rglob("*") if path.is_file()}
assert held.pop("mine") == b"m" * 50_000 and not [name for name in held if name.endswith(".part")]
for name in "cdef":
    assert held.get(name, name.encode() * 100_000) == name.encode() * 100_000
assert 1 <= len([name for name in "cdef" if name in held]) < 4
(BOOK / "notebooks" / "c").write_bytes(b"C" * 200_000)
assert "notebooks/c" in dict(handing_out.hand_out(BOOK, DISK).left)
assert (DISK / "notebooks" / "c").read_bytes()[:1] == b"c"
subprocess.run(["mount", "-o", "remount,size=2m", str(DISK)], check=True)
done = handing_out.hand_out(BOOK, DISK)
assert done.renewed == ("notebooks/c",) and done.left == (), done
assert all((DISK / "notebooks" / name).stat().st_size == 100_000 for name in "def")
"""
    on_a_disk("300k", code, book, tmp_path, require)


def test_the_last_megabyte_of_a_disk_is_left_to_the_student(book, tmp_path, require):
    code = """
for name in "cdef":
    (BOOK / "notebooks" / name).write_bytes(bytes(300_000))
done = handing_out.hand_out(BOOK, DISK)
assert len(done.new) == 5 and dict(done.left).keys() == {"notebooks/f"} and "your disk is full" in done.text(), done
(DISK / "mine").write_bytes(bytes(2**20))
"""
    on_a_disk("2m", code, book, tmp_path, require)


def test_a_folder_that_may_not_be_written_to_is_told(book, tmp_path, require):
    code = """
handing_out.hand_out(BOOK, DISK)
(BOOK / "notebooks" / "01-a.ipynb").write_text("second")
subprocess.run(["mount", "-o", "remount,ro", str(DISK)], check=True)
done = handing_out.hand_out(BOOK, DISK)
assert done.text() == "not brought, as it may not be written or read: notebooks/01-a.ipynb", done
assert (DISK / "notebooks" / "01-a.ipynb").read_text() == "first notebooks/01-a.ipynb"
assert len(handing_out.hand_out(BOOK, DISK / "new").left) == 1
subprocess.run(["mount", "-o", "remount,rw", str(DISK)], check=True)
assert handing_out.hand_out(BOOK, DISK).renewed == ("notebooks/01-a.ipynb",)
"""
    on_a_disk("4m", code, book, tmp_path, require)


def test_a_folder_without_notebooks_is_no_book(tmp_path):
    with pytest.raises(ValueError, match="holds no notebooks"):
        hand_out(tmp_path, tmp_path / "ada")


def handout(book, folder, *command, **settings):
    words = [sys.executable, "-m", "tempkit", "handout", str(book), str(folder), "--", *command]
    return subprocess.run(words, capture_output=True, text=True, env=dict(hub.os.environ, **settings))


def test_the_command_starts_in_the_students_folder(book, tmp_path):
    done = handout(book, tmp_path / "ada", sys.executable, "-c", "import os; print(sorted(os.listdir()))")
    assert done.stdout == f"2 new files\n{[LIST, 'data', 'notebooks']}\n"
    missing = handout(book, tmp_path / "ada", "no-such-server")
    assert missing.returncode == 2 and "no-such-server: no such command" in missing.stderr


def test_the_command_starts_whatever_became_of_the_hand_out(book, tmp_path):
    """An update that the instructor has only half done, and a file where the student's folder should be."""
    tell = "import os; print(os.getcwd()); print(os.environ['TEMPKIT_NOTICE'])"
    (tmp_path / "ada").write_text("mine")
    done = handout(book, tmp_path / "ada", sys.executable, "-c", tell, HOME=str(tmp_path))
    assert done.stdout.splitlines()[1] == str(tmp_path) and "stands in its place" in done.stdout.splitlines()[2]
    (book / "notebooks").rename(book / "notebooks.old")
    done = handout(book, tmp_path / "bob", sys.executable, "-c", tell, HOME=str(tmp_path))
    assert done.stdout.splitlines()[1] == str(tmp_path)
    assert "tell your instructor" in done.stdout.splitlines()[2] and "holds no notebooks" in done.stdout
    with open("/dev/full", "w") as log:  # noqa: PTH123
        words = [sys.executable, "-m", "tempkit", "handout", str(book), str(tmp_path), "--", "true"]
        assert subprocess.run(words, stdout=log).returncode == 0


def test_what_could_not_be_brought_by_hand_is_an_error(book, tmp_path):
    (tmp_path / "ada").write_text("mine")
    words = [sys.executable, "-m", "tempkit", "handout", str(book), str(tmp_path / "ada")]
    done = subprocess.run(words, capture_output=True, text=True)
    assert done.returncode == 2 and done.stderr.startswith("not brought, as something else stands in its place")


def test_a_first_login_is_no_news_and_a_later_one_is(book, tmp_path):
    tell = [sys.executable, "-c", "import os; print(os.environ['TEMPKIT_NOTICE'])"]
    assert handout(book, tmp_path / "ada", *tell).stdout == "2 new files\n\n"
    (book / "notebooks" / "01-a.ipynb").write_text("second", encoding="utf-8")
    said = "1 renewed, as the book has changed: notebooks/01-a.ipynb\n"
    assert handout(book, tmp_path / "ada", *tell).stdout == 2 * said


MY_WORK = notebook("print(6 * 7)")
PREPARE = f"""
import os, subprocess, sys
from pathlib import Path
home, kind = Path(sys.argv[1]), sys.argv[2]
(home / "book").mkdir()
for folder in (home, home / "book"):
    (folder / "my-work.ipynb").write_text({MY_WORK!r})
if kind == "a file":
    (home / "book" / "my-work.ipynb").unlink()
    (home / "book").rmdir()
    (home / "book").write_text("mine")
elif kind == "full":
    try:
        with (home / "book" / "big").open("wb", buffering=0) as file:
            while file.write(bytes(1024)):
                pass
    except OSError:
        pass
else:
    subprocess.run(["mount", "-o", "remount,ro", str(home)], check=True)
os.chdir(home)
os.execvp(sys.argv[3], sys.argv[3:])
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("kind", "size", "said"),
    [
        ("full", "300k", "your disk is full (delete what you no longer need): "),
        ("read-only", "300k", "may not be written or read: "),
        ("a file", "4m", "something else stands in its place (rename it): book"),
    ],
)
def test_a_students_server_starts_tells_them_and_opens_their_files(kind, size, said, book, tmp_path, require):
    """A real server with its home on a real disk of its own: the first page tells, then own files open."""
    require("disk", not hub.no_disk(), hub.no_disk())
    home, port = tmp_path / "home", free_port()
    home.mkdir()
    server = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", f"--port={port}"]
    server += ["--ServerApp.port_retries=0", "--IdentityProvider.token=known", *class_options()]
    command = [sys.executable, "-m", "tempkit", "handout", str(book), "book", "--", *server]
    command = hub.on_own_disk(size, home, [sys.executable, "-c", PREPARE, str(home), kind, *command])
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "IPYTHON"))}
    with (tmp_path / "server.txt").open("wb") as log:
        kept |= {"HOME": str(home), "PYTHONPATH": str(hub.ROOT), "TMPDIR": str(tmp_path)}
        process = subprocess.Popen(command, env=kept, stdout=log, stderr=subprocess.STDOUT)
    try:
        ask = asker(f"http://127.0.0.1:{port}/", process)
        assert said in ask("lab/tree/my-work.ipynb")
        assert "jupyter-config-data" in ask("lab/tree/my-work.ipynb") and "jupyter-config-data" in ask("lab")
        assert "print(6 * 7)" in ask("api/contents/my-work.ipynb")
        if json.loads(ask("api/contents/my-work.ipynb"))["writable"]:
            assert json.loads(ask("api/contents/my-work.ipynb/checkpoints", {}))["id"] == "checkpoint"
        wanted = {"path": "my-work.ipynb", "name": "", "type": "notebook", "kernel": {"name": "python3"}}
        assert json.loads(ask("api/sessions", wanted))["kernel"]["id"]
        if kind == "full":
            ask("api/contents/big", method="DELETE")
            ask("api/contents/my-work.ipynb", {"type": "notebook", "content": json.loads(MY_WORK)}, "PUT")
    finally:
        process.terminate()
        process.wait(30)


def class_options():
    """What the hub gives to each student's server, of what this is about."""
    text = (hub.ROOT / ".classroom" / "jupyterhub_config.py").read_text(encoding="utf-8")
    options = re.findall(r'"(--(?:ServerApp.jpserver|FileContents)[^"]+)"', text)
    assert len(options) == 2
    return options


def asker(url, process):
    """A function that asks a server, as soon as it answers."""

    def ask(path, content=None, method=None):
        data = None if content is None else json.dumps(content).encode()
        headers = {"Authorization": "token known"}
        request = urllib.request.Request(url + path, data, headers, method=method)
        with urllib.request.urlopen(request, timeout=60) as answer:
            return answer.read().decode()

    end = time.monotonic() + 90
    while time.monotonic() < end and process.poll() is None:
        with contextlib.suppress(OSError):
            ask("api/status")
            return ask
        time.sleep(0.2)
    raise RuntimeError(f"the server did not answer; it ended with {process.poll()}")


GREEDY = """
try:
    b = bytearray({size} * 2**20)
    print("has it")
except MemoryError:
    print("refused")
"""


@pytest.mark.skipif(sys.platform != "linux", reason="limits of private memory are those of Linux")
@pytest.mark.parametrize(("size", "said"), [(100, "has it"), (400, "refused")])
def test_a_process_that_wants_too_much_memory_is_refused(size, said, book, tmp_path):
    done = handout(book, tmp_path / "ada", sys.executable, "-c", GREEDY.format(size=size), MEM_LIMIT=str(300 * 2**20))
    assert done.stdout.splitlines()[-1] == said


@pytest.mark.browser
def test_five_students_at_once(tmp_path, require):
    """They log in together, run a chapter together and move a slider; each has their own book and their own limit."""
    why = hub.missing()
    require("hub", not why, why)
    names = [f"student{number}" for number in range(1, 6)]
    with hub.started_hub() as room, chromium() as browser:
        pages = [hub.log_in(room, browser, name) for name in names]
        for page, name in zip(pages, names, strict=True):
            hub.open_chapter(room, page, name)
            hub.run(page)
        for page in pages:
            hub.wait_for_all(page)
            hub.slider_s(page, 31.0)
            page.keyboard.press("Control+s")
        for name in names:
            mine, theirs = (place / "notebooks" / hub.CHAPTER for place in (room.book_of(name), hub.ROOT))
            assert until(pages[0], lambda mine=mine, theirs=theirs: mine.read_bytes() != theirs.read_bytes())
            limits = [Path(f"/proc/{pid}/limits").read_text() for pid in room.processes(name)]
            held = [line.split() for text in limits for line in text.splitlines() if line.startswith("Max data size")]
            assert len(held) >= 2 and {words[3] for words in held} == {str(2**30)}
            assert 20 < room.memory_mb(name) < 1000
        state = {path.name for path in (room.students.parent / "state").iterdir()}
        assert {"jupyterhub.sqlite", "jupyterhub_cookie_secret", "jupyterhub.log"} <= state
        assert not [path for path in room.students.parent.iterdir() if path.name.startswith("jupyterhub")]
        # To run and save is no change: an update renews the chapter, and a chapter with a word changed stays.
        for part in ("notebooks", "data"):
            shutil.copytree(hub.ROOT / part, tmp_path / "new" / part, ignore=shutil.ignore_patterns("my-*"))
        chapter = tmp_path / "new" / "notebooks" / hub.CHAPTER
        chapter.write_text(chapter.read_text(encoding="utf-8").replace("## Predict first", "## First"), "utf-8")
        assert hand_out(tmp_path / "new", room.book_of(names[0])).renewed == (f"notebooks/{hub.CHAPTER}",)


@pytest.mark.browser
def test_a_student_with_a_full_disk_reads_why_and_gets_at_their_work(require):
    """Their home is a disk of 300 kB, full: the page says so, then their own notebook opens, runs and is deleted."""
    why = hub.missing() or hub.no_disk()
    require("hub", not hub.missing(), why)
    require("disk", not why, why)
    with hub.started_hub(disk="300k") as room, chromium() as browser:
        notebooks = room.book_of("ada") / "notebooks"
        notebooks.mkdir(parents=True)
        (notebooks / "my-work.ipynb").write_text(MY_WORK)
        write_settings(room.students / "ada" / ".jupyter" / "lab" / "user-settings")
        with pytest.raises(OSError, match="No space"), (notebooks / "big").open("wb", buffering=0) as file:
            while True:
                file.write(bytes(1024))
        page = hub.log_in(room, browser, "ada")
        page.locator("li", has_text="your disk is full (delete what you no longer need)").wait_for()
        page.click("text=Open the book")
        hub.open_chapter(room, page, "ada", "my-work.ipynb")
        menu(page, "Run", "Run All Cells")
        page.locator(".jp-OutputArea-output", has_text="42").wait_for()
        page.locator(".jp-DirListing-item", has_text="big").click(button="right")
        page.locator('.lm-Menu-item[data-command="filebrowser:delete"]').click()
        page.locator(".jp-Dialog button:has-text('Delete')").click()
        assert until(page, lambda: not (notebooks / "big").exists())


@pytest.mark.long
def test_a_class_is_heard_by_this_machine_alone_unless_there_is_a_certificate(tmp_path, require):
    require("hub", not hub.missing(), hub.missing())
    port = free_port()
    with hub.running_hub(f"--JupyterHub.bind_url=http://127.0.0.1:{port}") as (folder, process):
        hub.answering(f"http://127.0.0.1:{port}", process, folder / "hub.txt")
        with pytest.raises(OSError):
            socket.create_connection(("127.0.0.2", port), 5)  # another address of this machine
    for url in (f"http://:{port}", f"http://0.0.0.0:{port}"):
        with hub.running_hub(f"--JupyterHub.bind_url={url}") as (folder, process):
            assert process.wait(90) != 0
            assert "no certificate, so not at http://" in (folder / "hub.txt").read_text()
    names = {"TEMPKIT_CERTIFICATE": str(tmp_path / "certificate.pem"), "TEMPKIT_KEY": str(tmp_path / "key.pem")}
    make = ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "1", "-subj", "/CN=localhost"]
    subprocess.run([*make, "-keyout", names["TEMPKIT_KEY"], "-out", names["TEMPKIT_CERTIFICATE"]], check=True)
    with hub.running_hub(f"--JupyterHub.bind_url=https://:{port}", **names) as (folder, process):
        hub.answering(f"https://127.0.0.2:{port}", process, folder / "hub.txt")


def settings_of(**environment):
    """What the configuration sets in this environment."""
    text = (hub.ROOT / ".classroom" / "jupyterhub_config.py").read_text(encoding="utf-8")
    names = {"__file__": "x/y/z", "get_config": lambda: config}
    from traitlets.config import Config

    config = Config()
    with pytest.MonkeyPatch.context() as patch:
        for name, value in environment.items():
            patch.setenv(name, value)
        exec(text, names)
    return config.JupyterHub


@pytest.mark.long
def test_the_address_of_a_class_is_this_machine_alone_or_encrypted(tmp_path, require):
    require("hub", not hub.missing(), hub.missing())
    assert settings_of().bind_url == "http://127.0.0.1:8000"
    files = {name: str(tmp_path / name) for name in ("TEMPKIT_CERTIFICATE", "TEMPKIT_KEY")}
    for name in files:
        (tmp_path / name).write_text("-")
    assert settings_of(**files).bind_url == "https://:8000"
    assert settings_of(**files, TEMPKIT_ACCOUNTS="demo", TEMPKIT_PASSWORD="12345678").bind_url == "http://127.0.0.1:8000"
    for name in files:
        with pytest.raises(SystemExit, match="must both name a file"):
            settings_of(**{name: files[name]})
        with pytest.raises(SystemExit, match="no-such-file"):
            settings_of(**files | {name: "no-such-file"})


CONFIGURED = """
import json, sys
from traitlets.config import Config
made = Config()
get_config = lambda: made
__file__ = sys.argv[1]
exec(open(sys.argv[1], encoding="utf-8").read())
print(json.dumps([made.JupyterHub.db_url, made.JupyterHub.cookie_secret_file, made.ConfigurableHTTPProxy.pid_file,
                  made.JupyterHub.logging_config["handlers"]["file"]["filename"]]))
"""


def configured(state):
    settings = {"TEMPKIT_HUB": str(state), "TEMPKIT_ACCOUNTS": "demo", "TEMPKIT_PASSWORD": hub.PASSWORD}
    words = [sys.executable, "-c", CONFIGURED, str(hub.ROOT / ".classroom" / "jupyterhub_config.py")]
    return subprocess.run(words, capture_output=True, text=True, env=hub.os.environ | settings)


@pytest.mark.long
def test_the_hubs_state_lies_outside_of_the_book_and_is_closed_to_students(tmp_path, require):
    """Database, cookie secret and log hold logins and the key to all; git ignores them wherever they lie."""
    require("hub", not hub.missing(), hub.missing())
    state = tmp_path / "deep" / "state"
    for _ in range(2):
        done = configured(state)
        assert done.returncode == 0, done.stderr
        assert state.stat().st_mode & 0o777 == 0o700
        state.chmod(0o755)
    places = json.loads(done.stdout)
    assert len(places) == 4 and all(str(state) in place for place in places)
    for inside in (hub.ROOT, hub.ROOT / "data" / "state"):
        refused = configured(inside)
        assert refused.returncode and "lies in the book, which students read" in refused.stderr
    assert not (hub.ROOT / "data" / "state").exists()
    names = [place.rpartition("/")[2] for place in places]
    listed = subprocess.run(
        ["git", "check-ignore", *names, *(f".classroom/{name}" for name in names), "jupyterhub.sqlite-wal"],
        cwd=hub.ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert len(listed.stdout.splitlines()) == 9


def test_the_configuration_refuses_a_demo_without_a_password(tmp_path):
    require_nothing = {"TEMPKIT_ACCOUNTS": "demo", "TEMPKIT_PASSWORD": "short"}
    text = (hub.ROOT / ".classroom" / "jupyterhub_config.py").read_text(encoding="utf-8")
    code = f"import os; os.environ.update({json.dumps(require_nothing)})\nget_config = lambda: None\n"
    done = subprocess.run([sys.executable, "-c", code + f"__file__ = 'x/y/z'\n{text}"], capture_output=True, text=True)
    assert done.returncode and "needs TEMPKIT_PASSWORD" in done.stderr
