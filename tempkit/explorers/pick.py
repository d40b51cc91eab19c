"""A list to choose from, in which "none" is a choice like any other."""

import ipywidgets
import traitlets


class Pick(ipywidgets.Dropdown):
    """A `Dropdown` among whose values may be None; the plain one then shows an empty field.

    >>> pick = Pick(options=[("none", None), ("in proportion", 5.0)])
    >>> pick.value = 5.0
    >>> pick.value = None
    >>> pick.index, pick.label
    (0, 'none')
    """

    @traitlets.observe("value")
    def _propagate_value(self, change):
        values = [value for _, value in self.options]
        self.index = values.index(change.new) if change.new in values else None
