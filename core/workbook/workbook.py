"""The joint: a shelf on the disk with everything that can be done on it; both faces call it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING

from core.shelf import Shelf
from core.store.book import Book, Saying
from core.store.disk.shelf_file import Kept

if TYPE_CHECKING:
    from core.reels.estimate import Estimate
    from core.reels.reel import Stage
    from core.workbook.captures import Captures
    from core.workbook.in_time.hearing_claims import Claims
    from core.workbook.in_time.old_mix import OldMixes
    from core.workbook.in_time.sharing import Sharing
    from core.workbook.in_time.song_time import SongTime
    from core.workbook.in_time.take_finding import TakeFinding
    from core.workbook.laying import Laying
    from core.workbook.loose_sheets import LooseSheets
    from core.workbook.papers import Papers
    from core.workbook.parcels.handing_out import HandingOut
    from core.workbook.parcels.hearing import Hearing
    from core.workbook.parcels.parcel import Parcels
    from core.workbook.plans import Plans
    from core.workbook.release import Release
    from core.workbook.shelving import Shelving
    from core.workbook.songs import Songs
    from core.workbook.studio_changes import StudioChanges


class Workbook(Book):
    """A shelf with its acts; each room of them is loaded when it is first asked for."""

    @cached_property
    def plans(self) -> Plans:
        """Plans: made, kept, asked."""
        from core.workbook.plans import Plans

        return Plans(self)

    @cached_property
    def captures(self) -> Captures:
        """Captured files and what was measured of them."""
        from core.workbook.captures import Captures

        return Captures(self)

    @cached_property
    def hearing(self) -> Hearing:
        """What is to be listened to of its captures."""
        from core.workbook.parcels.hearing import Hearing

        return Hearing(self, self.captures)

    @cached_property
    def handing_out(self) -> HandingOut:
        """Files laid out for somebody else."""
        from core.workbook.parcels.handing_out import HandingOut

        return HandingOut(self, self.captures)

    @cached_property
    def shelving(self) -> Shelving:
        """The shelf's own order: other keys, one of two, two of one, off the shelf."""
        from core.workbook.shelving import Shelving

        return Shelving(self)

    @cached_property
    def studio_changes(self) -> StudioChanges:
        """The studio, changed on the shelf."""
        from core.workbook.studio_changes import StudioChanges

        return StudioChanges(self)

    @cached_property
    def loose(self) -> LooseSheets:
        """Loose sheets and the tapes that they could be of."""
        from core.workbook.loose_sheets import LooseSheets

        return LooseSheets(self)

    @cached_property
    def time(self) -> SongTime:
        """Songs in time: how captures lie to one another."""
        from core.workbook.in_time.song_time import SongTime

        return SongTime(self, self.captures)

    @cached_property
    def claims(self) -> Claims:
        """What a song's sheets claim, held against the sound."""
        from core.workbook.in_time.hearing_claims import Claims

        return Claims(self.time)

    @cached_property
    def songs(self) -> Songs:
        """Songs, their parts, and what is used for each."""
        from core.workbook.songs import Songs

        return Songs(self, self.time)

    @cached_property
    def takes(self) -> TakeFinding:
        """Unmarked stretches held against the songs."""
        from core.workbook.in_time.take_finding import TakeFinding

        return TakeFinding(self, self.time)

    @cached_property
    def papers(self) -> Papers:
        """What is printed, and the calendar."""
        from core.workbook.papers import Papers

        return Papers(self, self.plans, self.songs, self.loose, self.release)

    @cached_property
    def release(self) -> Release:
        """Mixes, steps and the album."""
        from core.workbook.release import Release

        return Release(self, self.plans, self.songs)

    @cached_property
    def laying(self) -> Laying:
        """Copies of the used tracks in their places."""
        from core.workbook.laying import Laying

        return Laying(self, self.songs, self.time)

    @cached_property
    def parcel(self) -> Parcels:
        """A song or an album, handed over as one folder."""
        from core.workbook.parcels.parcel import Parcels

        return Parcels(self, self.laying, self.release, self.handing_out)

    @cached_property
    def sharing(self) -> Sharing:
        """Which captures of the shelf share sound."""
        from core.workbook.in_time.sharing import Sharing

        return Sharing(self, self.time)

    @cached_property
    def old_mixes(self) -> OldMixes:
        """Old mixes held against the captured tracks."""
        from core.workbook.in_time.old_mix import OldMixes

        return OldMixes(self, self.songs, self.time)

    def mark(
        self, reel: str, stage: Stage, at: datetime | None = None, note: str = "", because: str = ""
    ) -> Shelf:
        """Moves a reel to a stage; why a reel needs no conditioning is kept where nobody says otherwise."""
        from core.evening.afterwards.left_running import nobody_was_there
        from core.evening.afterwards.told_elsewhere import marked_is_over
        from core.evening.mark import mark, none_needed

        moment = (at or self.now()).replace(second=0, microsecond=0)

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            before = kept.shelf.reel(reel)
            marked = mark(kept.shelf, reel, stage, moment, because)
            after = nobody_was_there(kept.shelf, marked, self.now())
            after = marked_is_over(kept.shelf, after, self.plans.kept_plan(), reel, moment)
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
        from core.evening.warming.as_begun import planned_load
        from core.evening.warming.load import load

        moment = (at or self.now()).replace(second=0, microsecond=0)
        what = f"load {chamber}: {', '.join(reels)}"
        planned = planned_load(self.plans.kept_plan(), chamber, reels, moment)
        return self.change(
            lambda shelf: load(shelf, chamber, reels, moment, because, planned),
            what=what,
            note=note,
            because=because,
            at=moment,
        )

    def estimate(self, reel: str) -> Estimate:
        """What the reel will take, each figure with how it was got."""
        from core.reels.estimate import estimate

        return estimate(self.shelf.reel(reel), self.shelf.studio, self.shelf.own_stocks())
