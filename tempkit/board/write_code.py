"""Source code for a board, written from a design: C99 or MicroPython, in whole numbers only."""

from pathlib import Path

from tempkit.board import c, micropython
from tempkit.board.whole_numbers import numbers

LANGUAGES = {"c": c.files, "micropython": micropython.files}


def write(design, language, out, **choices):
    """Write the source files of a design's chain and alarm into the folder `out`; returns their paths.

    language : "c" or "micropython"; choices : as in `tempkit.board.numbers`. Raises `ValueError` for another
    language, a design without a working alarm, or where a file of another design, or one that somebody has changed,
    would be lost.
    """
    if language not in LANGUAGES:
        raise ValueError(f"language {language!r} is not one of {', '.join(LANGUAGES)}: choose one of these")
    texts = LANGUAGES[language](numbers(design, **choices))
    out = Path(out)
    lost = [name for name, text in texts.items() if (out / name).exists() and (out / name).read_text("utf-8") != text]
    if lost:
        raise ValueError(f"{', '.join(lost)} in {out} would be lost: choose an empty folder, or move them away")
    out.mkdir(parents=True, exist_ok=True)
    for name, text in texts.items():
        (out / name).write_text(text, encoding="utf-8", newline="\n")
    return [out / name for name in texts]
