"""A song and the paper that tells of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Need:
    """A reel that a song needs, whole or from ``start`` to ``end`` in seconds of play time."""

    reel: str
    start: Fraction | None = None
    end: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Song:
    """A song: ``album`` is an album's name or empty, ``priority`` 1 (low) to 9, lengths in seconds."""

    key: str
    title: str = ""
    artist: str = ""
    album: str = ""
    order: int | None = None
    priority: int = 5
    target_length: Fraction | None = None
    needs: tuple[Need, ...] = ()
    todo: str = ""
    notes: str = ""
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One track of a track sheet; ``reel`` empty is a loose sheet, ``copied_from`` as ``R-001:3-8``."""

    sheet: str
    track: int | None
    reel: str = ""
    song: str = ""
    date: str = ""
    part: str = ""
    player: str = ""
    take: str = ""
    copied_from: str = ""
    notes: str = ""
    extra: tuple[tuple[str, str], ...] = ()
