"""axe-core on a page, and measures that it does not take: contrast, sizes of letters, what is cut.

axe-core is found in TEMPKIT_AXE (the path of axe.min.js) or in node_modules of this folder or of any above it;
tests/package.json holds its version (`npm install --prefix tests`).
"""

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
OURS = ".jp-OutputArea-output"  # all that our cells show; the notebook around it is JupyterLab's
BOXES = ".tempkit-explorer, .tempkit-practice, .tempkit-choices"
CAPITAL_PX = 22  # 3 % of a screen of 720 px

LETTERS = """(scope) => {
  // Every text that can be seen, with the height of a capital H in its own font, measured by the browser itself.
  const pen = document.createElement("canvas").getContext("2d"), found = [];
  for (const box of document.querySelectorAll(scope)) {
    const told = document.createTreeWalker(box, NodeFilter.SHOW_TEXT);
    const parts = [...box.querySelectorAll("input, select")].map((e) => [e, e.value]);
    while (told.nextNode()) parts.push([told.currentNode.parentElement, told.currentNode.data]);
    for (const [element, text] of parts) {
      const hidden = element.closest("style, .tempkit-heard, option, [type=range], [type=radio], [type=checkbox]");
      if (!text.trim() || hidden || !element.checkVisibility({ visibilityProperty: true })) continue;
      const style = getComputedStyle(element);
      pen.font = `${style.fontStyle} ${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
      found.push([Math.round(10 * pen.measureText("H").actualBoundingBoxAscent) / 10, text.trim().slice(0, 60)]);
    }
  }
  return found;
}"""

CUT = """(scope) => {
  // What sticks out of its box sideways, a box that scrolls sideways, or a control whose own text does not fit.
  const found = [];
  for (const box of document.querySelectorAll(scope)) {
    if (!box.checkVisibility()) continue;
    const edge = box.closest(".jp-OutputArea-output, .jp-Cell, body").getBoundingClientRect();
    if (box.scrollWidth > box.clientWidth + 1) found.push(`scrolls sideways: ${box.scrollWidth} > ${box.clientWidth}`);
    for (const part of box.querySelectorAll("*")) {
      if (!part.checkVisibility() || part.closest(".tempkit-heard, style")) continue;
      const place = part.getBoundingClientRect();
      if (!place.width || part.closest("[style*='overflow-x']")) continue;
      const told = `${part.tagName} ${part.className} "${(part.textContent || part.value || "").trim().slice(0, 40)}"`;
      if (place.right > edge.right + 1.5 || place.left < edge.left - 1.5) found.push(`outside: ${told}`);
      const wide = part.scrollWidth > part.clientWidth + 1 && part.clientWidth > 0;
      const high = part.scrollHeight > part.clientHeight + 3 && part.clientHeight > 0;
      const style = getComputedStyle(part);
      const shuts = (way) => ["hidden", "clip", "auto", "scroll"].includes(way);
      if ((wide && shuts(style.overflowX)) || (high && shuts(style.overflowY))) found.push(`cut: ${told}`);
    }
  }
  return [...new Set(found)];
}"""

# axe-core leaves most of a notebook's text aside, because the notebook scrolls inside a page that does not.
PALE = """(scope) => {
  // Text whose contrast is below WCAG 2.2, 1.4.6: 7:1, and 4.5:1 for large letters (24 px, or bold from 18.66 px).
  const pen = document.createElement("canvas").getContext("2d", { willReadFrequently: true }), found = [];
  const paint = (colours) => {  // the colour that these layers give, the lowest first, on white
    pen.fillStyle = "white";
    pen.fillRect(0, 0, 1, 1);
    for (const [colour, opacity] of colours) {
      pen.globalAlpha = opacity;
      pen.fillStyle = colour;
      pen.fillRect(0, 0, 1, 1);
    }
    pen.globalAlpha = 1;
    return [...pen.getImageData(0, 0, 1, 1).data].slice(0, 3);
  };
  const light = (rgb) => rgb.map((c) => c / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
    .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  for (const box of document.querySelectorAll(scope)) {
    const told = document.createTreeWalker(box, NodeFilter.SHOW_TEXT);
    const parts = [...box.querySelectorAll("input:not([type=range]), select")].map((e) => [e, e.value]);
    while (told.nextNode()) parts.push([told.currentNode.parentElement, told.currentNode.data]);
    for (const [element, text] of parts) {
      if (!text.trim() || element.closest("style, .tempkit-heard, option, :disabled")) continue;
      if (!element.checkVisibility({ visibilityProperty: true })) continue;
      const style = getComputedStyle(element), above = [];
      let opacity = 1;
      for (let e = element; e; e = e.parentElement) {
        opacity *= Number(getComputedStyle(e).opacity);
        above.unshift([getComputedStyle(e).backgroundColor, 1]);
      }
      const under = light(paint(above)), over = light(paint([...above, [style.color, opacity]]));
      const ratio = (Math.max(under, over) + 0.05) / (Math.min(under, over) + 0.05), size = parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      if (ratio < (large ? 4.5 : 7)) found.push([Math.round(100 * ratio) / 100, text.trim().slice(0, 60)]);
    }
  }
  return found;
}"""

PICTURES = """(scope) => [...document.querySelectorAll(scope)].flatMap((box) => [...box.querySelectorAll("img")])
  .filter((img) => img.checkVisibility())
  .map((img) => [img.alt, img.getBoundingClientRect().width / img.naturalWidth])"""


def script():
    """Path of axe.min.js, or None."""
    told = os.environ.get("TEMPKIT_AXE")
    places = [Path(told)] if told else []
    above = (Path(__file__).resolve().parent, *Path(__file__).resolve().parents[1:])
    places += [folder / "node_modules" / "axe-core" / "axe.min.js" for folder in above]
    return next((path for path in places if path.is_file()), None)


def missing():
    """What is not there, in words; empty where all is there."""
    return "" if script() else "axe-core is not installed (npm install --prefix tests, or TEMPKIT_AXE)"


def violations(page, include=(OURS,), exclude=()):
    """What axe-core finds in parts of a page: a list of "rule: the element: what to do", sorted, each once."""
    if not page.evaluate("() => 'axe' in window"):
        page.add_script_tag(content=script().read_text(encoding="utf-8"))
    scope = {"include": [[each] for each in include], "exclude": [[each] for each in exclude]}
    run = "async (scope) => (await axe.run(scope, { resultTypes: ['violations'] })).violations"
    return sorted({_told(rule, node) for rule in page.evaluate(run, scope) for node in rule["nodes"]})


def _told(rule, node):
    return f"{rule['id']}: {node['html'][:160]}: {' '.join(node['failureSummary'].split())[:200]}"


def small_letters(page, scope=BOXES, least=CAPITAL_PX):
    """Texts on the page whose capitals are lower than `least` pixels, with their height."""
    return [(height, text) for height, text in page.evaluate(LETTERS, scope) if height < least]


def pale(page, scope=BOXES):
    """Texts on the page that stand out too little from what is behind them, with their contrast."""
    return page.evaluate(PALE, scope)


def cut(page, scope=BOXES):
    """What of our boxes is cut, sticks out or scrolls sideways."""
    return page.evaluate(CUT, scope)


def pictures(page, scope=BOXES):
    """Alt text and scale (width on the page to width drawn) of every picture that can be seen."""
    return page.evaluate(PICTURES, scope)
