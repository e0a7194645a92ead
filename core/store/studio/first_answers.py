"""What was answered about a first studio, read strictly; ValueError says what is right."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from core.clock import NIGHT_ENDS
from core.reels.width_words import width_and_tracks
from core.store.rows.never_was import beyond, right_figure
from core.store.studio.clock_span import clock_time
from core.studio.spoken import folded, said_yes, says_never
from core.studio.studio import HoursRow
from core.tape.tables import Values, table


def deck_kinds() -> list[Values]:
    """The kinds of deck of the table, by width and tracks."""
    return [row.values for row in table("presets").values()]


def _name(text: str) -> str:
    if not (0 < len(text.strip()) <= 40 and text.isprintable() and any(map(str.isalnum, text))):
        raise ValueError("a name of at most 40 characters, a letter or a digit among them")
    return text


def _zone(text: str) -> str:
    from core.errors import Unusable
    from core.zones import is_offset, zone, zones_near

    if is_offset(text):
        raise ValueError("a time zone: an offset knows no summer time, so give a large town, or a country")
    try:
        zone(text)
    except Unusable:
        near = zones_near(text)
        if near:  # the first of them stands in the line then, for Enter to take
            raise ValueError(f"a time zone: did you mean {' or '.join(near)}?", text, near[0]) from None
        raise ValueError("a time zone: a large town such as Lisbon, or a country") from None
    return text


def no_summer_time(name: str) -> str:
    """What a zone that is no place's leaves out; empty for a place's, and where the clock changes."""
    from core.zones import zone

    year = [datetime(2026, month, 1, tzinfo=zone(name)).utcoffset() or timedelta() for month in (1, 7)]
    if ("/" in name and not name.startswith("Etc/")) or year[0] != year[1]:
        return ""
    hours = abs(year[0]) / timedelta(hours=1)
    side = "ahead of" if year[0] > timedelta() else "behind"
    where = f"{hours:g} h {side} Greenwich" if hours else "that of Greenwich in winter"
    return f"{name} is {where} all the year, without summer time; a large town tells it. Enter takes it so."


_AND = re.compile(r"\s*(?:\b(?:and|und|et|y)\b|&)\s*", re.IGNORECASE)
_WORDS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]


def joined(text: str) -> str:
    """The text with a comma for each and: ``1, 3 and 4`` as ``1, 3, 4``."""
    return re.sub(r",(?:\s*,)+", ",", _AND.sub(", ", text))


def _decks(text: str) -> list[int]:
    if folded(text) in ("all", "alle", "toutes", "tous", "todas", "todos"):
        return list(range(1, len(deck_kinds()) + 1))
    parts = [one for one in re.split(r";|,(?!\d+ ?mm\b)", joined(text)) if one.strip()]
    if not parts:
        raise ValueError(_which_decks())
    try:
        return [number for one in parts for number in _deck(one)]
    except ValueError as error:  # of several the one that is wrong is named, and the others stay
        raise ValueError(*error.args[: 1 if len(parts) == 1 else 2]) from None


def decks_meant(text: str) -> str:
    """Decks that are called by width and tracks as their numbers; all else as it is."""
    try:
        numbers = [str(one) for one in _decks(text)]
    except ValueError:
        return text
    return text if re.findall(r"\d+", text) == numbers else ", ".join(numbers)


def _which_decks() -> str:
    return f"numbers from 1 to {len(deck_kinds())}, or decks such as 1/2 in 8-track, joined by commas"


_INCHES = {"1/4": 0.25, "¼": 0.25, "quarter": 0.25, "1/2": 0.5, "½": 0.5, "half": 0.5, "1": 1.0, "2": 2.0}


def _inches(width: str) -> float:
    """A width as it is written, in inches; below nothing where it is none."""
    if metric := re.fullmatch(r"(\d+(?:[.,]\d+)?) ?mm", width):
        return float(metric[1].replace(",", ".")) / 25.4
    return _INCHES.get(re.sub(r"[ -]?(?:in\w*\.?|[\"”])$", "", width), -1.0)


def _is_wide(kind: Values, inches: float | None) -> bool:
    """True where no width is told, or one that is the kind's, within 2 %: 6.3 mm is 1/4 in."""
    return inches is None or any(abs(inches / wide - 1) <= 0.02 for wide in kind["widths_in"])


def _deck(text: str) -> list[int]:
    """The numbers in that part of the answer; those of a deck that is called by its width and tracks."""
    kinds, plain = deck_kinds(), " ".join(text.casefold().split())
    numbers = plain.split()
    if all(one.isdigit() and 1 <= int(one) <= len(kinds) for one in numbers):
        return [int(one) for one in numbers]
    called = width_and_tracks(plain)
    width, tracks = called or ("", "")
    if width.isdigit() and not tracks and width not in _INCHES:
        width, tracks = "", width  # a number that the list has not: tracks
    inches = _inches(width) if width else None
    fits = [
        place for place, kind in enumerate(kinds, 1)
        if called and _is_wide(kind, inches) and tracks in ("", str(kind["tracks"]))
    ]  # fmt: skip
    if len(fits) == 1:
        return fits
    if fits and len(fits) < len(kinds):
        raise ValueError(f"one deck: did you mean {' or '.join(map(str, fits))}?", text.strip())
    raise ValueError(_which_decks(), text.strip())


def _yes_or_no(text: str) -> bool:
    said = said_yes(text)
    if said is None:
        begun = said_yes(text.replace(",", " ").split()[0]) if text.strip(", ") else None
        raise ValueError("yes or no" if begun is None else "yes or no alone: when is asked further on")
    return said


def _count(name: str) -> Callable[[str], int]:
    """A whole number such as can be for that key of the studio."""

    def read(text: str) -> int:
        said = re.sub(r"\s+(?:tracks?|channels?|inputs?|trays?)$", "", text.strip().casefold())
        typed = str(_WORDS.index(said) + 1) if said in _WORDS else said
        if not re.fullmatch(r"\d{1,4}", typed) or beyond(name, int(typed)):
            raise ValueError(right_figure(name))
        return int(typed)

    return read


def _clock(text: str) -> str:
    if says_never(text):
        return "never"
    found = clock_time(text)
    if found is None:
        raise ValueError("a time of day such as 22:00, or never")
    return found


def loud_answer(rows: Sequence[HoursRow]) -> Callable[[str], object]:
    """What checks until when a loud deck may run: later than the bench begins, on each of its days."""

    def late(told: str) -> list[int]:
        return [row.from_minutes for row in rows if loud_until(row, told) == row.from_minutes]

    def check(text: str) -> object:
        told = _clock(text)
        if told == "never" or not late(told):
            return told
        evening = f"{(int(told[:2]) + 12) % 24:02}{told[2:]}"  # 9 is said for nine in the evening
        meant = "never" if late(evening) else evening
        begins = max(late(told))
        right = f"later than {begins // 60 % 24:02}:{begins % 60:02}, when the bench begins"
        raise ValueError(f"{right}: did you mean {meant}?", text, meant)

    return check


def loud_until(row: HoursRow, told: str) -> int | None:
    """When a loud deck ends in that row, in minutes: its beginning where none may run, None for its end.

    A time of the small hours is one of the night behind the evening.
    """
    limit = int(told[:2]) * 60 + int(told[3:])
    limit += 24 * 60 if limit < NIGHT_ENDS * 60 else 0
    return None if limit >= row.to_minutes else max(limit, row.from_minutes)
