"""What each table of a chain file may hold: made from the fields of the thing that the table describes."""

from dataclasses import MISSING, dataclass, fields
from functools import cached_property
from typing import Literal

import msgspec

from tempkit.chain.converter import Converter, Reference
from tempkit.chain.design import Calibration, Extras, Limits, Link, Noise, Outputs, Response, Smoothing
from tempkit.chain.parts import kinds
from tempkit.chain.quantities import Format, Title


class HeadTable(msgspec.Struct, forbid_unknown_fields=True, kw_only=True, frozen=True):
    """What stands above the tables."""

    format: Format
    title: Title


@dataclass(frozen=True)
class Table:
    """A table of the file: the thing that it describes, and the word that stands for it where a table has kinds.

    >>> Table(Noise).keys()
    ['input_v', 'samples']
    """

    model: type
    kind: str = ""

    @cached_property
    def struct(self):
        """Names, types and limits of the table's keys: fields of the model, without default where `stated`."""
        stated = getattr(self.model, "stated", ())
        rows = [("kind", Literal[self.kind])] if self.kind else []
        for each in fields(self.model):
            bare = each.default is MISSING or each.name in stated
            rows.append((each.name, each.type) if bare else (each.name, each.type, each.default))
        options = {"forbid_unknown_fields": True, "kw_only": True, "frozen": True}
        return msgspec.defstruct(f"{self.model.__name__}Table", rows, **options)

    def keys(self):
        """Names of the keys that this table may hold, what it shares with other tables last."""
        own = ("kind", *vars(self.model).get("__annotations__", ()))
        return sorted(self.struct.__struct_fields__, key=lambda name: name not in own)


# Where a table has kinds, its key `kind` picks the thing; where it has none, the key is the empty text.
TABLES = {
    **{role: {kind: Table(model, kind) for kind, model in kinds(role).items()} for role in ("sensor", "circuit")},
    "reference": {"": Table(Reference)},
    "converter": {"": Table(Converter)},
    "noise": {"": Table(Noise)},
    "response": {"": Table(Response)},
    "smoothing": {"": Table(Smoothing)},
    "alarm": {"": Table(Limits)},
    "outputs": {"": Table(Outputs)},
    "link": {"": Table(Link)},
    "budget": {"": Table(Extras)},
    "calibration": {"": Table(Calibration)},
}
CHAIN = ("sensor", "circuit", "reference", "converter")
HEAD = HeadTable.__struct_fields__
