"""Asking the players: when each was asked and answered, and the name on the sleeve."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date

from core.errors import Refused
from core.shelf import Shelf
from core.values import dataclass


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
