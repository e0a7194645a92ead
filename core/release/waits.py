"""What is missing, by what it waits for: tapes, each person, you, the players."""

from __future__ import annotations

from collections.abc import Iterable

from core.values import dataclass

TAPES, YOU, PLAYERS = "the tapes", "you", "the players"


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is missing: who or what it waits for, and a sentence without the song's name."""

    waits_for: str
    says: str
    song: str = ""
    title: str = ""

    @property
    def sentence(self) -> str:
        """With the song before it."""
        return f"{self.song} {self.title}".strip() + f": {self.says}" if self.song else self.says


def grouped(missing: Iterable[Missing]) -> dict[str, list[Missing]]:
    """By what it waits for: tapes first, then each person by name, you, and the players to be asked."""
    by: dict[str, list[Missing]] = {}
    for one in missing:
        by.setdefault(one.waits_for, []).append(one)
    people = [who for who in by if who not in (TAPES, YOU, PLAYERS)]
    return {who: by[who] for who in (TAPES, *people, YOU, PLAYERS) if who in by}


def waits_words(missing: Iterable[Missing]) -> str:
    """How much waits for whom: ``waits for tapes (9), 2 people (3), you (8)``."""
    by = grouped(missing)
    people = [who for who in by if who not in (TAPES, YOU, PLAYERS)]
    one = people[0] if len(people) == 1 else f"{len(people)} people"
    waits = {TAPES: by.get(TAPES, ()), one: [what for who in people for what in by[who]]}
    waits |= {who: by.get(who, ()) for who in (YOU, PLAYERS)}
    told = ", ".join(f"{who.removeprefix('the ')} ({len(some)})" for who, some in waits.items() if some)
    return f"waits for {told}" if told else "nothing is missing"
