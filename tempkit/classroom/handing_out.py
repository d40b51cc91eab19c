"""Hand the book out to one student: new files come, the student's own work stays. Run as the student, not as root.

    python -m tempkit handout BOOK FOLDER [-- COMMAND ...]

The command, a student's server, starts in the folder once the files are there, and starts too where they cannot come.
`student_server.py` shows the student what was done.
"""

import contextlib
import errno
import hashlib
import json
import os
import shutil
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

PARTS = ("notebooks", "data")
LIST = ".handed-out.json"
LEFT_OUT = ("my-", ".", "__")
ROOM = 2**20  # bytes of the disk that a hand-out leaves to the student
NOTICE = "TEMPKIT_NOTICE"
FULL = (errno.ENOSPC, errno.EDQUOT)


@dataclass(frozen=True)
class HandedOut:
    """What a hand-out did, as paths inside the folder.

    new, renewed : names; beside : pairs of old and new name; left : pairs of a name and why it could not be brought

    >>> HandedOut((), (), (("notebooks/01.ipynb", "notebooks/01-new.ipynb"),)).text()
    'the book has changed: notebooks/01-new.ipynb lies beside your notebooks/01.ipynb'
    """

    new: tuple = ()
    renewed: tuple = ()
    beside: tuple = ()
    left: tuple = ()

    def said(self):
        """A tuple of sentences for the student; empty where nothing was done."""
        said = [f"{len(self.new)} new files"] * bool(self.new)
        said += [f"{len(self.renewed)} renewed, as the book has changed: {_some(self.renewed)}"] * bool(self.renewed)
        said += [f"the book has changed: {new} lies beside your {old}" for old, new in self.beside]
        for why in dict.fromkeys(why for _, why in self.left):
            said.append(f"not brought, as {why}: {_some([name for name, reason in self.left if reason == why])}")
        return tuple(said)

    def text(self):
        """The sentences in a line."""
        return "; ".join(self.said())


def _some(names):
    return ", ".join(names[:3]) + f" and {len(names) - 3} more" * (len(names) > 3)


def hand_out(book, folder):
    """Copy the book's notebooks and data into a student's folder: `HandedOut`. Only what changed is written.

    A file that the student does not have is copied. One that is as it was handed out is renewed when the book's has
    changed. One that the student has changed is never touched: where the book's has changed since, the new one is laid
    beside it, once, as NAME-new.ipynb (then NAME-new-2.ipynb). What counts in a notebook is what stands in its cells:
    to run and save it changes nothing. Files whose name starts with "my-" are the student's. Where a link, or a file
    or folder of the student's, stands in the way, it is left alone and told once. What cannot be written (a full disk,
    of which the last megabyte is left to the student; a read-only folder) is told, and the old file stays whole.
    Raises `ValueError` for a book without notebooks.
    """
    book, folder = Path(book), Path(folder)
    if not (book / "notebooks").is_dir():
        raise ValueError(f"{book} holds no notebooks: give the folder of the book, the one with README.md")
    sources = list(_files(book))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        return HandedOut(left=((str(folder), _why(error)),))
    handed = _list(folder)
    before = dict(handed)
    done = {"new": [], "renewed": [], "beside": [], "left": []}
    for source in sources:
        name = source.relative_to(book).as_posix()
        try:
            kind, told = _one(source, folder, name, handed)
        except OSError as error:
            kind, told = "left", (name, _why(error))
        if kind:
            done[kind].append(told)
    if handed != before:
        try:
            _atomically(folder / LIST, json.dumps(handed, indent=1, sort_keys=True).encode(), room=0)
        except OSError as error:
            done["left"].append((LIST, _why(error)))
    return HandedOut(**{kind: tuple(told) for kind, told in done.items()})


def _files(book):
    for part in PARTS:
        for path in sorted((book / part).rglob("*")):
            inside = path.relative_to(book).parts[1:]
            if path.is_file() and not any(each.startswith(LEFT_OUT) for each in inside):
                yield path


def _one(source, folder, name, handed):
    """One file of the book; returns what was done and the name to tell, and notes it in `handed`."""
    target, content = folder / name, source.read_bytes()
    now, before = f"{_digest(content)} {_words(name, content)}", handed.get(name)
    in_the_way = _in_the_way(target, folder)
    if before == now and (in_the_way or target.exists()):
        return None, name
    if in_the_way:
        handed[name] = now
        return "left", (name, in_the_way)
    if not target.exists():
        _atomically(target, content)
        handed[name] = now
        return "new", name
    mine, now_words, before_words = _words(name, target.read_bytes()), now.split()[-1], (before or " ").split(" ")[-1]
    beside = None
    if mine == before_words:
        _atomically(target, content)
    elif now_words not in (mine, before_words):
        beside = _free_name(target, now_words)
        if beside:
            _atomically(beside, content)
    handed[name] = now
    if beside:
        return "beside", (name, beside.relative_to(folder).as_posix())
    return ("renewed" if mine == before_words else None), name


def _in_the_way(target, folder):
    """What stands where a file, or a folder on the way to it, should be, in words; None where nothing does."""
    for path in (target, *target.parents):
        name = path.relative_to(folder).as_posix()
        if path == folder:
            return None
        if path.is_symlink():
            return f"{name} is a link"
        if path.exists() and not (path.is_file() if path == target else path.is_dir()):
            return f"{name} is no {'file' if path == target else 'folder'}: rename it"


def _free_name(target, words):
    """The first name beside the target that is free; None where the book's words already lie beside it."""
    number = 1
    while True:
        extra = "-new" if number == 1 else f"-new-{number}"
        path = target.with_name(f"{target.stem}{extra}{target.suffix}")
        if not path.exists() and not path.is_symlink():
            return path
        if path.is_file() and _words(path.name, path.read_bytes()) == words:
            return None
        number += 1


def _digest(content):
    return hashlib.sha256(content).hexdigest()


def _words(name, content):
    """Digest of what a person wrote: of a notebook the cells' sources and attached pictures, blank cells left out."""
    try:
        cells = json.loads(content)["cells"] if name.endswith(".ipynb") else None
        written = [(c["cell_type"], "".join(c["source"]), c.get("attachments") or None) for c in cells]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return _digest(content)
    return _digest(json.dumps([each for each in written if each[1].strip()]).encode())


def _why(error):
    """An `OSError` in words that say what to do."""
    if error.errno in FULL:
        return "your disk is full (delete what you no longer need)"
    if error.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
        return "it may not be written or read"
    if isinstance(error, FileExistsError | NotADirectoryError | IsADirectoryError):
        return "something else stands in its place (rename it)"
    return (error.strerror or str(error)).lower()


def _list(folder):
    """What was handed out before: name to digest of the file and of its words; empty where it cannot be read."""
    try:
        found = json.loads((folder / LIST).read_text(encoding="utf-8")) if (folder / LIST).is_file() else {}
    except (OSError, ValueError, RecursionError):
        return {}
    return {k: v for k, v in found.items() if isinstance(v, str)} if isinstance(found, dict) else {}


def _atomically(path, content, room=ROOM):
    path.parent.mkdir(parents=True, exist_ok=True)
    if shutil.disk_usage(path.parent).free < len(content) + room:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
    part = path.with_name(f".{path.name}.part")
    part.unlink(missing_ok=True)
    try:
        with part.open("xb") as file:
            file.write(content)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def start(book, folder, command, memory=None):
    """Hand the book out, then become the command in that folder, held to `memory` bytes in each of its processes.

    memory : None takes MEM_LIMIT of the environment, which a hub sets, where there is one; on Linux a process that
    wants more private memory than that gets a `MemoryError`, and the others go on. Does not return.

    The command starts whatever became of the hand-out, in the folder or the nearest one above it that is there, so
    that nobody is kept from their own files; TEMPKIT_NOTICE tells it what to show the student.
    """
    folder = Path(folder)
    executable = shutil.which(command[0])
    if executable is None:
        raise ValueError(f"{command[0]}: no such command; check what stands after --")
    memory = memory or int(os.environ.get("MEM_LIMIT") or 0)
    if memory:
        limit_memory(memory)
    first = not _list(folder)
    try:
        done = hand_out(book, folder)
        said, news = done.said(), replace(done, new=() if first else done.new).said()
    except (OSError, ValueError, MemoryError) as error:
        said = news = (f"the book could not be brought; tell your instructor: {error or 'out of memory'}",)
    news += _make_room(Path.home())
    with contextlib.suppress(OSError):
        print("; ".join(said), flush=True)
    os.environ[NOTICE] = "\n".join(news)
    there = (path for path in (folder, *folder.parents) if os.access(path, os.R_OK | os.X_OK) and path.is_dir())
    os.chdir(next(there, "."))
    os.execv(executable, command)


def _make_room(home):
    """Where a home has no room, let a Jupyter server write what it needs to run elsewhere; what to tell of it."""
    with contextlib.suppress(OSError), tempfile.TemporaryFile(dir=home) as probe:
        probe.write(bytes(ROOM))
        probe.flush()
        return ()
    with contextlib.suppress(OSError):
        place = tempfile.mkdtemp(prefix="tempkit-")
        places = ("JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "JUPYTERLAB_WORKSPACES_DIR", "IPYTHONDIR")
        os.environ |= {"TMPDIR": place} | {name: f"{place}/{name.lower()}" for name in places}
    return ("your disk has less than 1 MB of room, or may not be written to: what you save now may be lost",)


def limit_memory(size):
    """Hold this process, and every process it starts, to `size` bytes of private memory each (Linux only)."""
    import resource

    _, most = resource.getrlimit(resource.RLIMIT_DATA)
    size = size if most == resource.RLIM_INFINITY else min(size, most)
    resource.setrlimit(resource.RLIMIT_DATA, (size, size))
