"""Names of parts that may be one: likeness only proposes, it never joins."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from functools import lru_cache

from core.songs.written.part_names import Equals, folded, sided

_ALIKE = 0.82  # ratio of difflib from which two names are shown side by side; a choice of ours


def likely_equal(sheets: Mapping[str, set[str]], equals: Equals) -> Iterator[tuple[str, str]]:
    """Pairs of names that may be one part and are not said to be: alike, or one short for the other.

    ``sheets`` tells on which sheets each name stands: two names on one sheet are two parts.
    """
    by_sheets: dict[frozenset[str], list[tuple[str, str, str]]] = {}
    for name, its in sheets.items():
        by_sheets.setdefault(frozenset(its), []).append((name, *sided(name, equals)))
    groups = list(by_sheets.items())
    for number, (on, mine) in enumerate(groups):
        for there, theirs in groups[number + 1 :]:
            for one, base, side in mine if not on & there else ():
                for other, other_base, other_side in theirs:
                    if side == other_side and base != other_base and _alike(base, other_base):
                        yield one, other


def may_be_one(one: str, other: str, equals: Equals) -> bool:
    """True for names that are one part, or like enough to be; sides count nothing."""
    base, other_base = sided(one, equals)[0], sided(other, equals)[0]
    return base == other_base or _alike(base, other_base)


def likeness(one: str, other: str) -> float:
    """How alike two names are, 0 to 1, a short form of the other being like it."""
    a, b = folded(one), folded(other)
    return 1.0 if _alike(a, b) else SequenceMatcher(None, a, b).ratio()


_BESIDE_NAME = frozenset(
    ("drum", "drums", "guitar", "gtr", "mic", "di", "vocal", "vox", "track", "lead", "main")
)
"""Words that may be left out of a name on a track sheet: ``kick`` for ``kick drum``; a choice of ours."""
_SHORT_FOR = {
    "vox": "voice", "vocal": "voice", "vocals": "voice", "voc": "voice", "bgv": "backing voice",
    "bv": "backing voice", "bd": "kick", "sd": "snare", "kit": "drums", "hh": "hihat", "hat": "hihat",
    "hats": "hihat", "oh": "overhead", "ohs": "overhead", "overheads": "overhead", "perc": "percussion",
    "tamb": "tambourine", "gtr": "guitar", "gt": "guitar", "pno": "piano", "kbd": "keyboard",
    "keys": "keyboard",
}  # fmt: skip
"""Short forms that are common practice on track sheets; from memory. They only propose, never join."""


@lru_cache(maxsize=20_000)
def _spelt_out(name: str) -> tuple[str, ...]:
    """The words of a name, short forms spelt out, ``bass drum`` being the kick."""
    words = " ".join(_SHORT_FOR.get(word, word) for word in name.replace("-", "").split())
    return tuple(words.replace("bass drum", "kick").split())


@lru_cache(maxsize=50_000)
def _alike(one: str, other: str) -> bool:
    if re.findall(r"\d+", one) != re.findall(r"\d+", other):
        return False
    whole, short = sorted((_spelt_out(one), _spelt_out(other)), key=len, reverse=True)
    if short and set(short) <= set(whole) and set(whole) - set(short) <= _BESIDE_NAME:
        return True
    a, b = one.split(), other.split()
    if len(a) == len(b) and all(_short(x, y) or _short(y, x) for x, y in zip(a, b, strict=True)):
        return True
    return SequenceMatcher(None, one, other).ratio() >= _ALIKE


def _short(word: str, whole: str) -> bool:
    """True where the word's letters stand in the whole in their order, from its first on: gtr, guitar."""
    if word == whole:
        return True
    if len(word) < 2 or not whole.startswith(word[0]):
        return False
    letters = iter(whole)
    return all(letter in letters for letter in word)
