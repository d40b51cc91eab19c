"""Hand the book out to one student: new files come, the student's own work stays. Run as the student, not as root.

    python -m tempkit handout BOOK FOLDER [-- COMMAND ...]

The command, a student's server, starts in the folder once the files are there.
"""

import hashlib
import json
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

PARTS = ("notebooks", "data")
LIST = ".handed-out.json"
LEFT_OUT = ("my-", ".", "__")


@dataclass(frozen=True)
class HandedOut:
    """What a hand-out did, as paths inside the folder: `new`, `renewed`, `beside` (pairs of old and new name).

    >>> HandedOut((), (), (("notebooks/01.ipynb", "notebooks/01-new.ipynb"),)).text()
    'the book has changed: notebooks/01-new.ipynb lies beside your notebooks/01.ipynb'
    """

    new: tuple
    renewed: tuple
    beside: tuple

    def text(self):
        """A line for the student; empty where nothing was done."""
        said = [f"{len(self.new)} new files"] * bool(self.new) + [f"{len(self.renewed)} renewed"] * bool(self.renewed)
        said += [f"the book has changed: {new} lies beside your {old}" for old, new in self.beside]
        return "; ".join(said)


def hand_out(book, folder):
    """Copy the book's notebooks and data into a student's folder: `HandedOut`.

    A file that the student does not have is copied. One that is as it was handed out is renewed when the book's has
    changed. One that the student has changed is never touched: where the book's has changed since, the new one is laid
    beside it, once, as NAME-new.ipynb (then NAME-new-2.ipynb). Files whose name starts with "my-" are the student's.
    A link in the folder, or a folder where a file should be, is left alone. Raises `ValueError` for a book without
    notebooks.
    """
    book, folder = Path(book), Path(folder)
    if not (book / "notebooks").is_dir():
        raise ValueError(f"{book} holds no notebooks: give the folder of the book, the one with README.md")
    folder.mkdir(parents=True, exist_ok=True)
    handed = _list(folder)
    done = {"new": [], "renewed": [], "beside": []}
    for source in _files(book):
        name = source.relative_to(book).as_posix()
        kind, told = _one(source, folder, name, handed)
        if kind:
            done[kind].append(told)
    _atomically(folder / LIST, json.dumps(handed, indent=1, sort_keys=True).encode())
    return HandedOut(*(tuple(done[kind]) for kind in ("new", "renewed", "beside")))


def _files(book):
    for part in PARTS:
        for path in sorted((book / part).rglob("*")):
            inside = path.relative_to(book).parts[1:]
            if path.is_file() and not any(each.startswith(LEFT_OUT) for each in inside):
                yield path


def _one(source, folder, name, handed):
    """One file of the book; returns what was done and the name to tell, and notes it in `handed`."""
    target, content = folder / name, source.read_bytes()
    now, before = _digest(content), handed.get(name)
    if _reached_by_link(target, folder):
        return None, name
    if not target.exists():
        _atomically(target, content)
        handed[name] = now
        return "new", name
    if not target.is_file() or before == now:
        return None, name
    mine = _digest(target.read_bytes())
    handed[name] = now
    if mine == now:
        return None, name
    if mine == before:
        _atomically(target, content)
        return "renewed", name
    beside = _free_name(target)
    _atomically(beside, content)
    return "beside", (name, beside.relative_to(folder).as_posix())


def _reached_by_link(target, folder):
    inside = [target, *target.parents]
    return any(path.is_symlink() for path in inside[: inside.index(folder)])


def _free_name(target):
    number = 1
    while True:
        extra = "-new" if number == 1 else f"-new-{number}"
        path = target.with_name(f"{target.stem}{extra}{target.suffix}")
        if not path.exists() and not path.is_symlink():
            return path
        number += 1


def _digest(content):
    return hashlib.sha256(content).hexdigest()


def _list(folder):
    """What was handed out before: name to digest; empty where the list is missing or damaged."""
    try:
        found = json.loads((folder / LIST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {k: v for k, v in found.items() if isinstance(v, str)} if isinstance(found, dict) else {}


def _atomically(path, content):
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.part")
    part.write_bytes(content)
    part.replace(path)


def start(book, folder, command, memory=None):
    """Hand the book out, then become the command in that folder, held to `memory` bytes in each of its processes.

    memory : None takes MEM_LIMIT of the environment, which a hub sets, where there is one; on Linux a process that
    wants more private memory than that gets a `MemoryError`, and the others go on. Does not return.
    """
    print(hand_out(book, folder).text(), flush=True)
    memory = memory or int(os.environ.get("MEM_LIMIT") or 0)
    if memory:
        limit_memory(memory)
    os.chdir(folder)
    executable = shutil.which(command[0])
    if executable is None:
        raise ValueError(f"{command[0]}: no such command; check what stands after --")
    os.execv(executable, command)


def limit_memory(size):
    """Hold this process, and every process it starts, to `size` bytes of private memory each (Linux only)."""
    import resource

    _, most = resource.getrlimit(resource.RLIMIT_DATA)
    size = size if most == resource.RLIM_INFINITY else min(size, most)
    resource.setrlimit(resource.RLIMIT_DATA, (size, size))
