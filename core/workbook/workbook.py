"""The joint: a shelf on the disk with everything that can be done on it; both faces call it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from core.shelf import Shelf
from core.store.book import Book, Saying
from core.store.shelf_file import Kept
from core.workbook.captures import Captures
from core.workbook.handing_out import HandingOut
from core.workbook.laying import Laying
from core.workbook.loose_sheets import LooseSheets
from core.workbook.papers import Papers
from core.workbook.plans import Plans
from core.workbook.release import Release
from core.workbook.shelving import Shelving
from core.workbook.song_time import SongTime
from core.workbook.songs import Songs
from core.workbook.studio_changes import StudioChanges

if TYPE_CHECKING:
    from core.reels.estimate import Estimate


class Workbook(Book):
    """A shelf with its acts; plans, captures, papers, songs, loose sheets, order, studio, handing out."""

    def __init__(self, path: Path, kept: Kept, now: Callable[[], datetime]) -> None:
        super().__init__(path, kept, now)
        self.plans = Plans(self)
        self.captures = Captures(self)
        self.handing_out = HandingOut(self, self.captures)
        self.shelving = Shelving(self)
        self.studio_changes = StudioChanges(self)
        self.loose = LooseSheets(self)
        self.time = SongTime(self, self.captures)
        self.songs = Songs(self, self.time)
        self.papers = Papers(self, self.plans, self.songs, self.loose)
        self.release = Release(self, self.plans, self.songs)
        self.laying = Laying(self, self.songs, self.time)

    def mark(
        self, reel: str, stage: str, at: datetime | None = None, note: str = "", because: str = ""
    ) -> Shelf:
        """Moves a reel to a stage; why a reel needs no conditioning is kept where nobody says otherwise."""
        from core.evening.mark import mark, none_needed

        moment = (at or self.now()).replace(second=0, microsecond=0)

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            before = kept.shelf.reel(reel)
            after = mark(kept.shelf, reel, stage, moment, because)
            why = none_needed(kept.shelf, before, moment) if stage == "conditioned" else None
            if before.past("conditioned"):
                why = None
            return after, Saying(f"mark {reel} {stage}", note, because or why or "", moment)

        return self.written(work)

    def load(
        self,
        chamber: str,
        reels: Sequence[str],
        at: datetime | None = None,
        note: str = "",
        because: str = "",
    ) -> Shelf:
        """A chamber load has started; ``because`` where the advice or the hours of home ask for a reason."""
        from core.evening.load import load

        moment = (at or self.now()).replace(second=0, microsecond=0)
        what = f"load {chamber}: {', '.join(reels)}"
        return self.change(
            lambda shelf: load(shelf, chamber, reels, moment, because),
            what=what,
            note=note,
            because=because,
            at=moment,
        )

    def estimate(self, reel: str) -> Estimate:
        """What the reel will take, each figure with how it was got."""
        from core.reels.estimate import estimate

        return estimate(self.shelf.reel(reel), self.shelf.studio, self.shelf.own_stocks())
