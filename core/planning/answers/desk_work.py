"""What could be done at a desk and is in no plan, what holds others up first."""

from __future__ import annotations

from collections.abc import Iterator

from core.plan import Plan
from core.reels import minutes, needs
from core.shelf import Shelf
from core.values import dataclass

#: Minutes that desk work is reckoned at: common practice, only to spread it over the evenings.
FACTS, SHEET, SONG = 10, 20, 5


@dataclass(frozen=True, slots=True)
class DeskWork:
    """Work without deck or chamber: what to do, to what, and minutes reckoned for it."""

    what: str
    about: str
    minutes: int


def desk_work(shelf: Shelf, plan: Plan) -> Iterator[DeskWork]:
    """What could be done at a desk and is not in the plan, what holds others up first."""
    planned = {(item.kind, reel) for item in plan.items for reel in item.reels}
    looks = int(minutes.identify_minutes(shelf.studio))
    for reel in shelf.reels.values():
        if reel.calibration or reel.past("transferred") or reel.set_aside:
            continue
        if needs.stays_closed(reel):
            continue
        missing = needs.unknown_facts(reel, shelf.studio)
        if reel.stage == "found" and ("identify", reel.key) not in planned:
            yield DeskWork("identify", reel.key, looks)
        elif missing and reel.stage != "found":
            yield DeskWork(f"find out the {' and '.join(missing)} of", reel.key, FACTS)
    for reel in shelf.reels.values():
        if reel.stage == "transferred" and ("verify", reel.key) not in planned:
            yield DeskWork("verify", reel.key, minutes.verify_minutes(reel, shelf.studio))
    yield from paper_work(shelf)


def paper_work(shelf: Shelf) -> Iterator[DeskWork]:
    """Sheets and songs that are not complete; the box of a mouldy tape is opened for none of them."""
    named = {row.reel for row in shelf.sheets if row.reel}
    sung = {row.song for row in shelf.sheets}
    for song in shelf.songs.values():
        if not song.needs:
            yield DeskWork("write down the reels of", song.title or song.key, SONG)
        elif song.key not in sung:
            yield DeskWork("write down the parts of", song.title or song.key, SHEET)
    for reel in shelf.reels.values():
        many = not reel.calibration and reel.tracks is not None and reel.tracks > 2
        if many and reel.key not in named and not needs.stays_closed(reel):
            yield DeskWork("write the track sheet of", reel.key, SHEET)
    unsung = dict.fromkeys(row.sheet for row in shelf.sheets if not row.song and row.part)
    for sheet in unsung:
        yield DeskWork("write the song on sheet", sheet, SONG)
