"""The picture that follows the hand: from a slider's event to the changed picture on the screen, in a real browser.

Three ways stand in one notebook and take turns: the explorer of chapter 00; the same picture drawn afresh by
pyplot, as most people do; and a line of text only, the least that anything costs that asks the kernel.
"""

import io
import statistics

from tests import browser

from .measure import Comparison, UnavailableError, timed

NAME = "my-speed.ipynb"
WARM_UP, EVENTS = 8, 48
CELLS = (
    "from tempkit.explorers import whole_chain\nwhole_chain.explorer()",
    """import ipywidgets
from tempkit.explorers.panel import Slide
slide = Slide(value=25.0, low=-40.0, high=125.0, label="label", unit="°C")
label = ipywidgets.HTML("25.0 °C")
slide.observe(lambda change: setattr(label, "value", f"{change['new']:.1f} °C"), "value")
ipywidgets.VBox([slide, label])""",
    """import matplotlib.pyplot as plt
from tempkit.chain import scenario, walk
from tempkit.draw import Look
from tempkit.explorers import whole_chain
def draw(t_c):
    rails, way = whole_chain.PLAN.picture(Look(), None), walk(scenario(), t_c)
    rails.figure = plt.figure(figsize=(9.6, 5.0), dpi=100)
    rails.build(rails.frame(way))
    rails.move(way)
    for artist in rails.figure.findobj():
        artist.set_animated(False)
    plt.show()
again = Slide(value=25.0, low=-40.0, high=125.0, label="pyplot", unit="°C")
ipywidgets.VBox([again, ipywidgets.interactive_output(draw, {"t_c": again})])""",
)
EVENT_TO_PICTURE = """async ([cell, share, which, words, patience_ms]) => {
  const scope = document.querySelectorAll(".jp-CodeCell")[cell].querySelector(".jp-OutputArea");
  const range = scope.querySelectorAll("input[type=range]")[which];
  const picture = () => words ? null : scope.querySelector("img");
  const texts = () => [...scope.querySelectorAll(words || ".widget-html-content")];
  const seen = () => picture() ? picture().src : texts().map((each) => each.textContent).join();
  const before = seen();
  return await new Promise((done) => {
    let start = 0;
    const observer = new MutationObserver(async () => {
      if (scope.querySelector("img, .widget-html-content") === null || seen() === before) return;
      observer.disconnect();
      if (picture()) await picture().decode();
      requestAnimationFrame(() => done(performance.now() - start));
    });
    observer.observe(scope, { subtree: true, childList: true, characterData: true, attributes: true });
    start = performance.now();
    range.value = Number(range.min) + share * (Number(range.max) - Number(range.min));
    range.dispatchEvent(new Event("input", { bubbles: true }));
    setTimeout(() => done(null), patience_ms);
  });
}"""


def in_browser():
    """Seconds of every event, for the explorer, the label and pyplot, taken in turn in one notebook."""
    if browser.missing():
        raise UnavailableError(browser.missing())
    with browser.started_lab() as lab, browser.chromium() as started:
        page = opened(lab, started, CELLS)
        page.locator(".jp-CodeCell img").nth(1).wait_for()
        return rounds(page, len(CELLS), EVENTS)


def opened(lab, started, sources):
    """A page with a notebook of these cells, which have run."""
    import nbformat

    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    notebook = nbformat.v4.new_notebook(cells=cells, metadata=kernel)
    nbformat.write(notebook, lab.folder / "notebooks" / NAME)
    page = lab.open(started.new_page(viewport={"width": 1280, "height": 2400}), NAME)
    browser.run_all(page)
    page.locator(".jp-CodeCell input[type=range]").nth(len(sources) - 1).wait_for()
    return page


def rounds(page, cells, events):
    """Seconds of every event of every cell, taken in turn after some to warm up."""
    moving = [slider_that_shows(page, cell) for cell in range(cells)]
    taken = [[event(page, cell, i, moving[cell]) for cell in range(cells)] for i in range(WARM_UP + events)]
    return [[each for each in way if each is not None] for way in zip(*taken[WARM_UP:], strict=True)]


def slider_that_shows(page, cell):
    """The first slider of a cell that changes the picture at every one of three moves, else the first that changes
    the words: its number, and the selector of what to watch, empty for the picture."""
    sliders = page.locator(".jp-CodeCell").nth(cell).locator("input[type=range]").count()
    for words in ("", ".tempkit-words"):
        for which in range(sliders):
            if None not in [event(page, cell, i, (which, words), 2000) for i in range(3)]:
                return which, words
    raise ValueError(f"no slider of cell {cell} changes what is seen")


def event(page, cell, i, watched, patience_ms=3_000):
    """Seconds of one event, after a moment of quiet, at a place of its own on the slider; None if nothing changed."""
    page.wait_for_timeout(100)
    told = page.evaluate(EVENT_TO_PICTURE, [cell, 0.3 + 0.4 * (i * 37 % 97) / 97, *watched, patience_ms])
    return None if told is None else told / 1e3


def p95(numbers):
    """The 95th percentile: the smallest number that at least 95 of 100 do not exceed."""
    return sorted(numbers)[-(-95 * len(numbers) // 100) - 1]


def comparisons():
    """Rows for the browser, then for what the kernel does in that time, part by part."""
    explorer, label, pyplot = in_browser()
    for name, measure in (("median", statistics.median), ("95th percentile", p95)):
        for against, other, aim in (("the same drawn by pyplot", pyplot, 0.2), ("a label only", label, 2.2)):
            what = f"slider to picture, {name}"
            yield Comparison(what, given(measure(explorer)), given(measure(other)), against, aim, rounds=1)
    yield from kernel_rows()


def given(number):
    return lambda: number


def kernel_rows():
    """What one event costs in this process: the whole callback, and each of its parts as a share of it."""
    from tempkit.explorers import whole_chain

    explorer = whole_chain.explorer()
    picture, slide = explorer._picture, explorer._inputs["t_c"]
    values = iter(range(10**6))

    def move():
        slide.value = 10.0 + 0.7 * (next(values) * 37 % 97)

    def afresh():
        picture._frame = None
        picture.show(explorer.result())
        picture.figure.savefig(io.BytesIO(), dpi=100)

    yield Comparison("kernel: the whole callback", timed(move), timed(afresh), "a full draw and savefig", 0.5, 15)
    way, words = explorer.result(), explorer.words()
    png = picture.png()
    parts = {
        "compute and words": lambda: (explorer.result(), explorer.words()),
        "move artists": lambda: picture.show(way),
        "draw them": picture.paint,
        "encode PNG": picture.encode,
        "HTML": lambda: html(png, words),
    }
    for name, part in parts.items():
        yield Comparison(f"kernel: {name}", timed(part), timed(move), "the whole callback", 1.0, 15)


def html(png, words):
    from tempkit.draw import img

    return img(png, words, 960)
