"""Sentences of ours that name keys: written with the key's id, told with the key that is bound now."""

from __future__ import annotations

import re
from collections.abc import Mapping

from core.values import dataclass
from tui.keys.keys import KEYS, shown_keys

_BY_ID = {key.id: key for key in KEYS}
_NAMED = re.compile(r"\{([a-z]+\.[a-z_0-9]+)\}")


def keyed(sentence: str, own: Mapping[str, str]) -> str:
    """``{any.undo} takes it back`` as ``U takes it back``, or with the key that the owner has bound first.

    Only for sentences of ours: what a person typed is put in afterwards, and is never read for keys.
    """
    return _NAMED.sub(lambda found: shown_keys(_BY_ID[found[1]], own)[0], sentence)


@dataclass(frozen=True, slots=True)
class Told:
    """``undoes``: it names that key; what it says is over once the change is taken back."""

    text: str
    undoes: bool = False

    def __bool__(self) -> bool:
        return bool(self.text)


def as_told(said: str | Told) -> Told:
    """The sentence as a value; one of words alone names no such key."""
    return said if isinstance(said, Told) else Told(said)
