"""What was answered about a first studio, read strictly; ValueError says what is right."""

from __future__ import annotations

import re
from collections.abc import Callable

from core.store.rows.never_was import beyond, right_figure
from core.store.studio.clock_span import clock_time
from core.tape.tables import Values, table


def deck_kinds() -> list[Values]:
    """The kinds of deck of the table, by width and tracks."""
    return [row.values for row in table("presets").values()]


def _name(text: str) -> str:
    if not (0 < len(text.strip()) <= 40 and text.isprintable() and any(map(str.isalnum, text))):
        raise ValueError("a name of at most 40 characters, a letter or a digit among them")
    return text


def _zone(text: str) -> str:
    from core.clock import zone, zones_near
    from core.errors import Unusable

    try:
        zone(text)
    except Unusable:
        near = zones_near(text)
        if near:  # the first of them stands in the line then, for Enter to take
            raise ValueError(f"a time zone: did you mean {' or '.join(near)}?", text, near[0]) from None
        raise ValueError("a time zone: a large town such as Lisbon, or a country") from None
    return text


def _decks(text: str) -> list[int]:
    most = len(deck_kinds())
    found = [one for one in re.split(r"[,;\s]+", text.strip()) if one]
    if not found or not all(one.isdigit() and 1 <= int(one) <= most for one in found):
        raise ValueError(f"numbers from 1 to {most}, joined by commas")
    return [int(one) for one in found]


def _yes_or_no(text: str) -> bool:
    plain = text.strip().casefold()
    if plain not in ("y", "yes", "n", "no"):
        raise ValueError("yes or no")
    return plain.startswith("y")


def _count(name: str) -> Callable[[str], int]:
    """A whole number such as can be for that key of the studio."""

    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,4}", text.strip()) or beyond(name, int(text)):
            raise ValueError(right_figure(name))
        return int(text)

    return read


def _clock(text: str) -> str:
    if text.strip().casefold() == "never":
        return "never"
    found = clock_time(text)
    if found is None:
        raise ValueError("a time of day such as 22:00, or never")
    return found
