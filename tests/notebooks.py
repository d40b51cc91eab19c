"""Run the notebooks again and store their outputs: python tests/notebooks.py [NAME...]

NAME is a number or a file name ("03", "03-supply-and-reference"); without names, the whole book. A notebook
is stored only when every cell ran, and always in one form, so that running it twice changes nothing.
`--check` runs and stores nothing; it says which files would change. `--form` runs nothing either: it prints the figures
of the form of each chapter (see tests/form.py), in brackets where they are beyond the limits.
"""

import argparse
import os
import re
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError, CellTimeoutError, DeadKernelError

import form
import house

FOLDER = Path(__file__).resolve().parent.parent / "notebooks"
KERNEL = {"display_name": "Python 3", "language": "python", "name": "python3"}
LANGUAGE = {
    "codemirror_mode": {"name": "ipython", "version": 3},
    "file_extension": ".py",
    "mimetype": "text/x-python",
    "name": "python",
    "nbconvert_exporter": "python",
    "pygments_lexer": "ipython3",
}
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
KEPT_CELL_METADATA = {"tags", "jupyter", form.FOLD}
RANDOM_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|[0-9a-f]{8}")


def in_the_book(folder=FOLDER):
    """The notebooks of the book in order; a reader's own (my-*) are not among them."""
    return sorted(path for path in folder.glob("*.ipynb") if not path.name.startswith("my-"))


def read(path):
    return nbformat.read(path, as_version=4)


def as_text(notebook):
    """The one text of a notebook: sorted keys, one space of indent, letters as they are, a last line end."""
    return nbformat.writes(notebook).rstrip("\n") + "\n"


def run(notebook, folder=FOLDER):
    """Run all cells of a notebook in a fresh kernel, in place."""
    NotebookClient(
        notebook,
        timeout=120,
        kernel_name="python3",
        resources={"metadata": {"path": str(folder)}},
        store_widget_state=False,
        record_timing=False,
        coalesce_streams=True,
    ).execute()


def complaints(notebook):
    """What forbids storing a notebook that has run, one line each."""
    for number, cell in enumerate(notebook.cells):
        for output in cell.get("outputs", ()):
            if output.output_type == "stream" and output.name == "stderr":
                yield f"cell {number} ({cell.id}) wrote to stderr: {output.text.strip()}"
            if output.output_type == "error" and "raises-exception" not in cell.metadata.get("tags", ()):
                yield f"cell {number} ({cell.id}) raised {output.ename}: {output.evalue}"


def normalise(notebook):
    """Bring a notebook into the one form that is stored, in place."""
    notebook.metadata = nbformat.from_dict({"kernelspec": KERNEL, "language_info": LANGUAGE})
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    name_cells(notebook)
    for cell in notebook.cells:
        kept = {key: value for key, value in cell.metadata.items() if key in KEPT_CELL_METADATA}
        kept |= {form.FOLD: True} if form.folds(cell) and "\n" not in cell.source.strip() else {}
        cell.metadata = nbformat.from_dict(kept)
        for output in cell.get("outputs", ()):
            normalise_output(output)


def normalise_output(output):
    """Drop what changes from run to run: the number of a live widget, and the paths in a traceback.

    Without the widget's number a reader with no kernel sees the text/html stored beside it in any front end,
    instead of a widget that cannot be found; a running notebook makes its own.
    """
    if output.output_type == "error":
        output.traceback = [f"{output.ename}: {output.evalue}"]
    elif "text/plain" in output.get("data", ()):
        output.data.pop(WIDGET_VIEW, None)


def name_cells(notebook):
    """Give a readable id, from the heading above, to each cell that has a random one; keep all others."""
    taken = {cell.id for cell in notebook.cells if not RANDOM_ID.fullmatch(cell.id)}
    section = "top"
    for cell in notebook.cells:
        heading = re.search(r"^#+ +(.+)$", cell.source, re.M) if cell.cell_type == "markdown" else None
        section = slug(heading[1]) if heading else section
        if RANDOM_ID.fullmatch(cell.id):
            cell.id = free_name(section, taken)
            taken.add(cell.id)


def slug(text):
    """A heading as an id: "What a step is worth" -> "what-a-step-is-worth"."""
    words = re.sub(r"[^a-z0-9]+", " ", text.lower()).split()
    return "-".join(words)[:40].rstrip("-") or "cell"


def free_name(stem, taken):
    number = next(n for n in range(1, len(taken) + 2) if f"{stem}-{n}" not in taken)
    return f"{stem}-{number}"


def fresh(path):
    """The text a notebook should have, and a list of complaints: run it in a new kernel."""
    notebook = read(path)
    try:
        run(notebook, path.parent)
    except CellExecutionError as error:
        return None, [f"a cell raised {error.ename}: {error.evalue}\n{error}"]
    except (CellTimeoutError, DeadKernelError) as error:
        return None, [f"{type(error).__name__}: {error}"]
    found = list(complaints(notebook))
    normalise(notebook)
    return as_text(notebook), found


def store(path, check=False):
    """Run one notebook and store it; returns (what happened, whether all is well)."""
    text, found = fresh(path)
    if found:
        return f"{path.name}: NOT stored\n  " + "\n  ".join(found), False
    if text == path.read_text(encoding="utf-8"):
        return f"{path.name}: unchanged", True
    if check:
        return f"{path.name}: would change", False
    path.write_text(text, encoding="utf-8", newline="\n")
    return f"{path.name}: stored", True


def chosen(names, folder=FOLDER):
    """The notebooks meant by numbers or names; raises SystemExit that lists the book for an unknown one."""
    book = in_the_book(folder)
    if not names:
        return book
    wanted = [Path(name).name.removesuffix(".ipynb") for name in names]
    for name in wanted:
        if not any(name in (path.stem, path.stem.partition("-")[0]) for path in book):
            sys.exit(f"no notebook {name}: there are {', '.join(path.stem for path in book)}")
    return [path for path in book if path.stem in wanted or path.stem.partition("-")[0] in wanted]


def chapters(paths):
    """The chapters among notebooks, by number."""
    return {path.stem[:2]: read(path) for path in paths if path.stem[:2].isdigit() and path.stem[:2] < "90"}


def main(arguments=None):
    parser = argparse.ArgumentParser(description="Run the notebooks again and store their outputs.")
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help='"03" or "03-supply-and-reference"; none means all'
    )
    parser.add_argument("--check", action="store_true", help="store nothing; say which files would change")
    parser.add_argument("--form", action="store_true", help="run nothing; print the figures of each chapter's form")
    options = parser.parse_args(arguments)
    house.away_from_reader()
    paths = chosen(options.names)
    if options.form:
        print(*form.table(chapters(paths)), sep="\n")
        return 0
    with ProcessPoolExecutor(min(len(paths), os.cpu_count() or 1) or 1, get_context("spawn")) as pool:
        results = list(pool.map(store, paths, [options.check] * len(paths)))
    for message, _ in results:
        print(message)
    return 0 if all(fine for _, fine in results) else 1


if __name__ == "__main__":
    sys.exit(main())
