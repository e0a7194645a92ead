"""The words that the program uses, each told in a sentence or two, with its source."""

from __future__ import annotations

from difflib import get_close_matches
from functools import cache

from core.tape.tables import Row, table
from core.values import dataclass

TABLE = "glossary"


@dataclass(frozen=True, slots=True)
class Entry:
    """One word: what else is said for it, what it is, the places where it stands, its row."""

    word: str
    also: tuple[str, ...]
    says: str
    places: tuple[str, ...]
    row: Row

    @property
    def key(self) -> str:
        """As `source_of` takes it."""
        return f"{TABLE}.{self.row.key}"

    @property
    def told(self) -> str:
        """The word with what it is, and its source where it is more than common practice."""
        cited = "" if self.row.standing == "common practice" else f" ({self.row.standing})"
        return f"{self.word}: {self.says}{cited}"


@cache
def entries() -> tuple[Entry, ...]:
    """All words, in the alphabet's order."""
    found = [
        Entry(
            row.values["word"],
            tuple(row.values["also"]),
            row.values["says"],
            tuple(row.values["places"]),
            row,
        )
        for row in table(TABLE).values()
    ]
    return tuple(sorted(found, key=lambda one: one.word.casefold()))


@cache
def _by_name() -> dict[str, Entry]:
    named = {_plain(other): one for one in entries() for other in one.also}
    return named | {_plain(one.word): one for one in entries()}


def entry_of(text: str) -> Entry | None:
    """The word of that name, in any case, its plural too; None where the program has none such."""
    named, plain = _by_name(), _plain(text)
    for name in (plain, plain.removesuffix("s"), plain.removesuffix("es")):
        if name in named:
            return named[name]
    return None


def words_of(places: tuple[str, ...]) -> tuple[Entry, ...]:
    """The words of those places."""
    return tuple(one for one in entries() if set(one.places) & set(places))


def nearest_word(text: str) -> str:
    """The word that is most like this one; empty where none is near."""
    near = get_close_matches(_plain(text), list(_by_name()), 1, 0.7)
    return _by_name()[near[0]].word if near else ""


def _plain(text: str) -> str:
    return "".join(text.casefold().replace("-", " ").replace("_", " ").split())
