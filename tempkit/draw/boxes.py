"""A box of widgets that can also be read where nothing runs: the base of every explorer and every problem card."""

import weakref

import anywidget
import ipywidgets

ON_PAGE = weakref.WeakSet()


class Shown(ipywidgets.VBox):
    """A `VBox` whose stored output is plain text and HTML, so that an un-run notebook shows words, not object text.

    A subclass gives `words()` (the readout, also the alt text and the plain text) and `static_html()`. What was shown
    is kept in `ON_PAGE`, so that one switch sets the size of everything in a notebook (`size_all`).

    >>> class Note(Shown):
    ...     def words(self):
    ...         return "The bench is at 21.0 °C."
    >>> Note([]).words()
    'The bench is at 21.0 °C.'
    """

    def words(self):
        raise NotImplementedError("a shown box says in words what it shows")

    def static_html(self):
        """HTML for readers without a kernel; without scripts and without references to other files."""
        import html

        return f"<p>{html.escape(self.words())}</p>"

    def size(self, room):
        """Take back-row size (`room` True) or desk size; the rules of style go by the class."""
        (self.add_class if room else self.remove_class)("tempkit-room")

    def _repr_mimebundle_(self, **kwargs):
        ON_PAGE.add(self)
        bundle = super()._repr_mimebundle_(**kwargs)
        if bundle:
            bundle["text/plain"] = self.words()
            bundle["text/html"] = self.static_html()
        return bundle


def size_all(room):
    """Bring every box that this kernel has shown to back-row size (`room` True) or desk size."""
    for box in tuple(ON_PAGE):
        box.size(room)


# ---- Keys inside a box of the book belong to its buttons and choices, not to the notebook's one-key commands.
#
# Escape leads back to the cell, Shift+Enter and Ctrl+Enter run it, as they do in its text. Toggles tell their state.
#     Radio buttons of one choice get one name, so that a browser takes them for one stop with arrow keys inside.

_SCRIPT = """
function render({ el }) {
  let box = null;
  let over = false;
  const number = Math.random().toString(36).slice(2);
  const mark = () => {
    for (const part of box.querySelectorAll("button, select, input[type=radio], input[type=checkbox]"))
      part.dataset.lmSuppressShortcuts = "true";
    for (const part of box.querySelectorAll(".widget-toggle-button"))
      part.setAttribute("aria-pressed", part.classList.contains("mod-active"));
    for (const group of box.querySelectorAll(".widget-radio")) {
      const name = "choice-" + [...box.querySelectorAll(".widget-radio")].indexOf(group) + "-" + number;
      for (const input of group.querySelectorAll("input[type=radio]")) input.name = name;
      group.setAttribute("role", "radiogroup");
      group.setAttribute("aria-label", group.querySelector(".widget-label")?.textContent ?? "");
    }
  };
  const leave = (event) => {
    const runs = event.key === "Enter" && (event.shiftKey || event.ctrlKey || event.metaKey);
    const cell = box.closest(".jp-Cell");
    if (!cell || event.isComposing || !(runs || event.key === "Escape")) return;
    event.preventDefault();
    setTimeout(() => {  // once the control itself has seen the key
      cell.focus();
      if (runs) cell.dispatchEvent(new KeyboardEvent("keydown", event));
    });
  };
  const watcher = new MutationObserver(mark);
  const begin = () => {
    box = el.closest(".tempkit-practice, .tempkit-explorer, .tempkit-choices");
    if (box) {
      mark();
      watcher.observe(box, { childList: true, subtree: true, attributeFilter: ["class"] });
      box.addEventListener("keydown", leave, true);  // ahead of fields that keep keys to themselves
    } else if (!over) {
      requestAnimationFrame(begin);
    }
  };
  begin();
  return () => {
    over = true;
    watcher.disconnect();
    box?.removeEventListener("keydown", leave, true);
  };
}
export default { render };
"""

# The outline of what has the focus reaches 3 px beyond it: no box around may cut that, no neighbour cover it.
_STYLE = """
:is(.tempkit-practice, .tempkit-explorer, .tempkit-choices):is(.widget-box) { overflow: visible; padding: 3px; }
:is(.tempkit-practice, .tempkit-explorer, .tempkit-choices) :is(.widget-box, .widget-gridbox, .jupyter-widgets) {
  overflow: visible; }
:is(.tempkit-practice, .tempkit-explorer, .tempkit-choices) :is(button, input, select):focus-visible {
  outline: 3px solid var(--jp-brand-color1, #0b5cad) !important; outline-offset: 0; }
.widget-toggle-button[aria-pressed=true] { box-shadow: inset 0 -5px currentColor !important; }
"""


class Keys(anywidget.AnyWidget):
    """Nothing to see: in the box it stands in, Enter, Space and arrow keys work as a browser means them.

    It also tells a screen reader that radio buttons under one label belong together.

    >>> Keys().comm is not None
    True
    """

    _esm = _SCRIPT
    _css = _STYLE
