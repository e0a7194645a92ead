"""The small print at the end of a sheet: which rows of which tables its figures come from."""

from __future__ import annotations

from reportlab.platypus.flowables import Flowable

from core.paper.look.text import Text, Type
from core.tape.told.shown import figures_from

_SET = Type(6.5, before=5)


def figures_foot(sheet: str, also: tuple[str, ...] = ()) -> Flowable:
    """The rows behind that kind of sheet, and those of this one sheet besides."""
    return Text(figures_from(sheet, also), _SET)
