"""The fields of a card with the right third of a wide terminal beside them, drawn in one list."""

from __future__ import annotations

from tui.asking.field_list import FieldList
from tui.frame.drawn.beside import Beside


class FieldsBeside(FieldList, Beside):
    """A list of fields, and lines at its right."""
