"""Credits: who plays what on the recordings used, whether they were asked, how they are named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field

from core.release.people.asking import Asked, asked_of
from core.shelf import Shelf
from core.songs.parts import SongParts
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Credit:
    """One player of an album: parts by song, and what is known of the asking."""

    player: str
    plays: tuple[tuple[str, tuple[str, ...]], ...]
    asked: Asked = field(default_factory=lambda: Asked(""))

    @property
    def name(self) -> str:
        """As it stands on the sleeve."""
        return self.asked.named or self.player

    @property
    def says(self) -> str:
        """How the asking stands: ``to be asked``, ``asked 2026-12-01``, ``said yes 2026-12-03``."""
        if not self.asked.asked:
            return "to be asked"
        if not self.asked.answered:
            return f"asked {self.asked.asked}, no answer yet"
        return f"said {'yes' if self.asked.agreed else 'no'} {self.asked.answered}"

    @property
    def plays_words(self) -> str:
        """``S-01 bass, voice; S-02 bass``."""
        return "; ".join(f"{song} {', '.join(parts)}" for song, parts in self.plays)

    @property
    def open(self) -> str:
        """What is still to be done about this player; empty where all is said."""
        if not self.asked.asked:
            return f"ask {self.player}"
        if not self.asked.answered:
            return f"{self.player} was asked on {self.asked.asked} and has not answered"
        return "" if self.asked.agreed else f"{self.player} said no on {self.asked.answered}"


def players_of(name: str) -> tuple[str, ...]:
    """The people of one cell of a sheet: divided by ``;``, ``&``, ``/``, a comma or ``and``."""
    import re

    found = (part.strip() for part in re.split(r"[;&/,]| and ", name))
    return tuple(dict.fromkeys(one for one in found if one))


def credits_of(shelf: Shelf, songs: Iterable[SongParts]) -> tuple[Credit, ...]:
    """Every player of the tracks that are used, with song and parts, in the order of first hearing."""
    plays: dict[str, dict[str, dict[str, None]]] = {}
    for song in songs:
        for part in song.parts:
            for source in part.sounding:
                for player in players_of(source.player):
                    plays.setdefault(player, {}).setdefault(song.song, {})[source.part or part.name] = None
    return tuple(
        Credit(player, tuple((song, tuple(parts)) for song, parts in songs_.items()), asked_of(shelf, player))
        for player, songs_ in plays.items()
    )


def not_on_sheets(shelf: Shelf, player: str) -> str:
    """What is to be said of a player whom no track sheet names; empty for one that some sheet does."""
    from difflib import get_close_matches

    there = dict.fromkeys(one for row in shelf.sheets for one in players_of(row.player))
    if player in there:
        return ""
    near = get_close_matches(player, there, 1)
    hint = f": did you mean {near[0]}?" if near else ": the credits list whom the sheets name"
    return f"no track sheet names {player} as a player{hint}"
