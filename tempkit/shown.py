"""A box of widgets that can also be read where nothing runs: the base of every explorer and every problem card."""

import weakref

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
