"""What a shelf that comes into another's place knows nothing of: tapes in the heat, or on a deck."""

from __future__ import annotations

from collections.abc import Iterator

from core.logbook.running import running
from core.shelf import Shelf
from core.values import dataclass
from core.words import listed


@dataclass(frozen=True, slots=True)
class Forgotten:
    """Reels in one chamber since one moment, or a tape that runs on a deck (``since`` is empty)."""

    reels: tuple[str, ...]
    where: str
    since: str = ""

    @property
    def told(self) -> str:
        """What is said of it behind another shelf in this one's place."""
        if not self.since:
            on = f" on {self.where}" if self.where else ""
            return (
                f"! {listed(self.reels)} ran{on}, and this shelf knows nothing of it: stop it, or begin its "
                "step again"
            )
        again = f"`load {self.where} {' '.join(self.reels)} --at {self.since}`"
        return (
            f"! {listed(self.reels)} went into {self.where} {self.since}, and this shelf knows nothing of it:"
            f" take out what lies there, or tell it again ({again})"
        )

    def taken_back(self, again: str) -> str:
        """What is said of it where its beginning was taken back; ``again`` is the way to tell it again."""
        keys, where = listed(self.reels), self.where
        if not self.since:
            return f"if {keys} runs{f' on {where}' if where else ''}, stop it, or {again} tells it again"
        verb, them = ("lies", "it") if len(self.reels) == 1 else ("lie", "them")
        return f"if {keys} {verb} in {where}, take {them} out, or {again} tells it again"


def forgotten(was: Shelf, now: Shelf) -> Iterator[Forgotten]:
    """Each load and tape that runs by the one shelf, and of which the other tells nothing."""
    loads: dict[tuple[str, str], list[str]] = {}
    renamed = {(one.chamber, one.loaded_at) for key, one in now.reels.items() if key not in was.reels}
    for key, reel in was.reels.items():
        there = now.reels.get(key)
        if not reel.chamber or reel.loaded_at is None or (there and there.chamber == reel.chamber):
            continue
        if there is None and (reel.chamber, reel.loaded_at) in renamed:
            continue  # it is there under another key
        at = reel.loaded_at.astimezone(was.studio.zone)
        loads.setdefault((reel.chamber, f"{at:%Y-%m-%dT%H:%M}"), []).append(key)
    yield from (Forgotten(tuple(keys), chamber, since) for (chamber, since), keys in loads.items())
    here = running(now)
    yield from (Forgotten((key,), tape.deck) for key, tape in running(was).items() if key not in here)
