"""Kinds of sensor and circuit, a file each: what stands in this folder is found, and is a kind from then on."""

from importlib import import_module
from inspect import isabstract
from pkgutil import iter_modules

from tempkit.chain.parts.bases import Circuit, Sensor

_MODULES = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]


def kinds(role):
    """Every kind of "sensor" or "circuit": its word in a chain file to its class.

    Raises `TypeError` for a class that leaves out what a part must say, or takes a word that another has.

    >>> "platinum" in kinds("sensor"), "divider" in kinds("circuit")
    (True, True)
    """
    found = {}
    for each in (each for module in _MODULES for each in vars(module).values() if _is_kind(each, module)):
        if each.role == role:
            check(each, found)
            found[each.kind] = each
    return found


def _is_kind(each, module):
    """True for the parts that a file makes; a base stands in `bases`, or calls itself abstract."""
    ours = isinstance(each, type) and issubclass(each, Sensor | Circuit) and each.__module__ == module.__name__
    return ours and module.__name__ != Sensor.__module__ and not vars(each).get("abstract")


def check(kind, others):
    """Raise `TypeError` for a class of a part that leaves something out, or whose word stands for another class.

    >>> check(kinds("circuit")["divider"], {})
    """
    missing = sorted(kind.__abstractmethods__) if isabstract(kind) else []
    missing += [name for name in ("kind", "called", *kind.must_name) if not isinstance(getattr(kind, name, None), str)]
    if missing:
        raise TypeError(f"{kind.__name__} of {kind.__module__} is no part yet: it lacks {', '.join(missing)}")
    if kind.kind in others:
        other = others[kind.kind].__name__
        raise TypeError(f"{kind.__name__} and {other} are both {kind.kind!r}: give one of them another word")
