"""Files written whole or not at all, and what the system says of a file in words that tell what to do."""

import errno
import os
import shutil
import uuid
from pathlib import Path

_MAY_NOT = "choose a place where you may write, or ask for the right to"
_TAKEN = "a file stands where a folder is meant; name another place"
ADVICE = {
    errno.ENOSPC: "make room on the disk",
    errno.EDQUOT: "make room on the disk",
    errno.EACCES: _MAY_NOT,
    errno.EPERM: _MAY_NOT,
    errno.EROFS: _MAY_NOT,
    errno.EEXIST: _TAKEN,
    errno.ENOTDIR: _TAKEN,
    errno.EISDIR: "a folder stands where a file is meant; name a file",
    errno.ENAMETOOLONG: "shorten the name",
    errno.ENOENT: "check the name and the folder",
}


def told(error, path=None):
    """What went wrong with a file, from an `OSError`: which file, what the system says, what to do.

    >>> told(OSError(errno.ENOSPC, "No space left on device", "marks.csv"))
    'marks.csv: No space left on device; make room on the disk'
    """
    name = path or error.filename
    what = f"{name}: {error.strerror or error}" if name else error.strerror or error
    return f"{what}; {ADVICE.get(error.errno, 'look at it, and try again')}"


def write_whole(path, data):
    """Put a file with these bytes in place of what was there, at one stroke: the old one stays whole until then.

    Raises `OSError` where the system refuses; the old file is then as it was.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_whole(Path(folder) / "notes.txt", b"new")
    ...     [path.name for path in Path(folder).iterdir()]
    ['notes.txt']
    """
    target = Path(path).resolve()
    beside = target.with_name(f".{uuid.uuid4().hex}.new")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)
