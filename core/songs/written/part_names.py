"""What a part is called: sides told apart from names, the owner's own list of equals.

Two names are one part only where they fold to the same or the owner said so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

Equals = Mapping[str, str]
NO_EQUALS: Equals = MappingProxyType({})
"""Folded name -> the folded name that it stands for, as the owner said."""

_SIDES = {"l": "left", "lt": "left", "left": "left", "r": "right", "rt": "right", "right": "right"}
_CODE = frozenset(("timecode", "code", "smpte", "ltc", "tc", "sync"))
_BESIDE_CODE = frozenset(
    ("time", "ebu", "longitudinal", "tone", "pulse", "track", "fps", "frames", "df", "ndf", "drop", "non")
)
"""Words that may stand beside one of these; with any other word it is the name of a part."""


@lru_cache(maxsize=20_000)
def folded(name: str) -> str:
    """The name in one case, without points and doubled spaces."""
    return " ".join(re.sub(r"[.,()\[\]_/]+", " ", name.casefold()).split())


@lru_cache(maxsize=20_000)
def folded_take(take: str) -> str:
    """A take as it compares: ``4``, ``4.``, ``#4``, ``T4``, ``04`` and ``take 4`` are one."""
    plain = folded(take)
    match = re.fullmatch(r"(?:take|tk|t|no|nr)? ?#? ?0*(\d+) ?([a-z]?)", plain)
    return match[1] + match[2] if match else plain


@lru_cache(maxsize=20_000)
def is_timecode(name: str) -> bool:
    """True for a track that carries a clock and no part: ``SMPTE 29.97 DF``, ``code 25``, ``TC``."""
    words = folded(name).replace("-", " ").split()
    known = [word in _CODE or word in _BESIDE_CODE or word.isdigit() for word in words]
    return any(word in _CODE for word in words) and all(known)


def sided(name: str, equals: Equals = NO_EQUALS) -> tuple[str, str]:
    """The folded name without its side, and ``left``, ``right`` or nothing: left and right are one part."""
    whole = equals.get(folded(name), folded(name))
    base, _, last = whole.rpartition(" ")
    if base and last in _SIDES:
        return equals.get(base, base), _SIDES[last]
    return whole, ""


def without_side(name: str) -> str:
    """The name as typed, without the word for its side."""
    words = name.split()
    return " ".join(words[:-1]) if len(words) > 1 and folded(words[-1]) in _SIDES else name
