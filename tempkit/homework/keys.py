"""Keys inside a box of the book belong to its buttons and choices, not to the notebook's one-key commands.

Radio buttons of one choice get one name, so that a browser takes them for one stop with arrow keys inside.
"""

import anywidget

_SCRIPT = """
function render({ el }) {
  let box = null;
  let over = false;
  const number = Math.random().toString(36).slice(2);
  const mark = () => {
    for (const part of box.querySelectorAll("button, select, input[type=radio], input[type=checkbox]"))
      part.dataset.lmSuppressShortcuts = "true";
    for (const group of box.querySelectorAll(".widget-radio")) {
      const name = "choice-" + [...box.querySelectorAll(".widget-radio")].indexOf(group) + "-" + number;
      for (const input of group.querySelectorAll("input[type=radio]")) input.name = name;
      group.setAttribute("role", "radiogroup");
      group.setAttribute("aria-label", group.querySelector(".widget-label")?.textContent ?? "");
    }
  };
  const watcher = new MutationObserver(mark);
  const begin = () => {
    box = el.closest(".tempkit-practice, .tempkit-explorer, .tempkit-choices");
    if (box) {
      mark();
      watcher.observe(box, { childList: true, subtree: true });
    } else if (!over) {
      requestAnimationFrame(begin);
    }
  };
  begin();
  return () => {
    over = true;
    watcher.disconnect();
  };
}
export default { render };
"""


class Keys(anywidget.AnyWidget):
    """Nothing to see: in the box it stands in, Enter, Space and arrow keys work as a browser means them.

    It also tells a screen reader that radio buttons under one label belong together.

    >>> Keys().comm is not None
    True
    """

    _esm = _SCRIPT
