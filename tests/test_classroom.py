"""The book handed out to students, and a class of five on one server."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import hub
from browser import chromium
from tempkit.handout import LIST, hand_out


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


def test_a_folder_where_a_file_should_be_is_left_alone(book, tmp_path):
    (tmp_path / "ada" / "notebooks" / "01-a.ipynb").mkdir(parents=True)
    assert hand_out(book, tmp_path / "ada").new == ("data/chains/b.toml",)


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
def test_five_students_at_once(require):
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
            assert (room.book_of(name) / "notebooks" / hub.CHAPTER).is_file()
            limits = [Path(f"/proc/{pid}/limits").read_text() for pid in room.processes(name)]
            held = [line.split() for text in limits for line in text.splitlines() if line.startswith("Max data size")]
            assert len(held) >= 2 and {words[3] for words in held} == {str(2**30)}
            assert 20 < room.memory_mb(name) < 1000
        state = {path.name for path in (room.students.parent / "state").iterdir()}
        assert {"jupyterhub.sqlite", "jupyterhub_cookie_secret", "jupyterhub.log"} <= state
        assert not [path for path in room.students.parent.iterdir() if path.name.startswith("jupyterhub")]


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


def test_the_hubs_state_lies_outside_of_the_book_and_is_closed_to_students(tmp_path):
    """Database, cookie secret and log hold logins and the key to all; git ignores them wherever they lie."""
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
