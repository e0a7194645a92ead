"""Credits: who plays what on the recordings used, whether they were asked, how they are named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import date

from core.errors import Refused
from core.shelf import Shelf
from core.songs.parts import SongParts


@dataclass(frozen=True, slots=True)
class Asked:
    """What is known of one player: when asked and answered (ISO dates), and the name on the sleeve."""

    player: str
    asked: str = ""
    answered: str = ""
    agreed: bool = True
    named: str = ""

    def to_json(self) -> dict[str, object]:
        """As the shelf keeps it."""
        return asdict(self)


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


def asked_of(shelf: Shelf, player: str) -> Asked:
    """What the shelf keeps of a player."""
    kept = shelf.of_kind("credit").get(player)
    return Asked(**kept) if kept else Asked(player)


def with_asked(shelf: Shelf, asked: Asked, today: date) -> Shelf:
    """The shelf with what is known of a player.

    Refused without a name, for an answer to what was never asked or was asked later, and for a day that is
    still to come.
    """
    if not asked.player.strip() or not asked.player.isprintable():
        raise Refused("a player needs a name, as the track sheets write it")
    if asked.named and not asked.named.strip():
        raise Refused(f"{asked.player}: a name on the sleeve needs some letters")
    if (asked.answered or asked.named) and not asked.asked:
        what = "answer" if asked.answered else "name on the sleeve"
        raise Refused(f"{asked.player} was never asked: the {what} comes after --asked DATE")
    for day in (asked.asked, asked.answered):
        if day > today.isoformat():
            raise Refused(f"{day} is still to come: {asked.player} cannot have been asked or answered then")
    if asked.answered and asked.answered < asked.asked:
        raise Refused(f"{asked.player} was asked on {asked.asked}: an answer of {asked.answered} is older")
    return shelf.with_record("credit", asked.player, asked.to_json())
