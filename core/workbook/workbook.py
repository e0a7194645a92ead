"""The joint: a shelf on the disk with everything that can be done on it; both faces call it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused
from core.shelf import Shelf
from core.store.book import Saying
from core.store.shelf_file import Kept
from core.workbook.handing_out import CaptureOut
from core.workbook.plans import PlanBook
from core.workbook.songs import SongBook

if TYPE_CHECKING:
    from core.reels.estimate import Estimate


class Workbook(CaptureOut, PlanBook, SongBook):
    """A shelf with its acts, its plan, its papers and its checks."""

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

    def load(self, chamber: str, reels: Sequence[str], at: datetime | None = None, note: str = "") -> Shelf:
        """A chamber load has started."""
        from core.evening.load import load

        moment = (at or self.now()).replace(second=0, microsecond=0)
        what = f"load {chamber}: {', '.join(reels)}"
        return self.change(lambda shelf: load(shelf, chamber, reels, moment), what=what, note=note, at=moment)

    def orders(self, folder: Path, size: str = "") -> list[Path]:
        """Prints the kept plan as work orders into the folder and names them."""
        from core.paper.orders import print_orders

        plan = self.needed_plan()
        return print_orders(
            self.shelf,
            plan,
            folder,
            size=size or self.shelf.paper_size,
            made=self.now(),
            stale=self.plan_is_stale(),
        )

    def logs(self, folder: Path, size: str = "", loads: Sequence[str] = ()) -> list[Path]:
        """Prints the chamber logs as they were kept, of those loads or of all."""
        from core.paper.prints import print_loads

        return print_loads(
            self.shelf, folder, keys=loads, size=size or self.shelf.paper_size, made=self.now()
        )

    def lineups(self, folder: Path, size: str = "", deck: str = "", newest: bool = False) -> list[Path]:
        """Prints the line-ups as they were kept, of one deck or of all."""
        from core.paper.prints import print_lineups

        return print_lineups(
            self.shelf, folder, deck=deck, size=size or self.shelf.paper_size, made=self.now(), newest=newest
        )

    def cards(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a card of every reel."""
        return self._reel_sheets("cards", folder, size)

    def labels(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a label for every box."""
        return self._reel_sheets("labels", folder, size)

    def new_labels(self, was: Mapping[str, str], folder: Path, size: str = "") -> list[Path]:
        """Prints new labels for boxes that held another tape; ``was`` tells by reel what each said before."""
        from core.paper.prints import print_reels

        made = self.now()
        return print_reels(
            self.shelf,
            list(was),
            folder,
            what=["labels"],
            size=size or self.shelf.paper_size,
            made=made,
            was=was,
        )

    def sheets(self, folder: Path, size: str = "") -> list[Path]:
        """Prints every reel's track sheets, blank where there are none."""
        return self._reel_sheets("track sheets", folder, size)

    def _reel_sheets(self, what: str, folder: Path, size: str) -> list[Path]:
        from core.paper.prints import print_reels

        reels, plan = list(self.shelf.reels), self.kept_plan()
        return print_reels(
            self.shelf,
            reels,
            folder,
            what=[what],
            plan=plan,
            size=size or self.shelf.paper_size,
            made=self.now(),
        )

    def slips(self, folder: Path, size: str = "") -> list[Path]:
        """Prints what the kept plan changed against the one before it; Refused where there is none before."""
        from core.paper.prints import print_changes

        before = self.kept_plan("before")
        if before is None:
            raise Refused("only one plan was made yet: there is nothing that it changed")
        return [
            print_changes(
                self.shelf,
                before,
                self.needed_plan(),
                folder,
                size=size or self.shelf.paper_size,
                made=self.now(),
            )
        ]

    def reports(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a report of every check that is kept."""
        from core.paper.prints import print_reports

        return print_reports(self.shelf, folder, size=size or self.shelf.paper_size, made=self.now())

    def calendar(self) -> bytes:
        """The kept plan as iCalendar."""
        from core.paper.calendar import calendar

        plan = self.needed_plan()
        before = self.kept_plan("before")
        return calendar(self.shelf, plan, self.now(), stale=self.plan_is_stale(), before=before)

    def estimate(self, reel: str) -> Estimate:
        """What the reel will take, each figure with how it was got."""
        from core.reels.estimate import estimate

        return estimate(self.shelf.reel(reel), self.shelf.studio, self.shelf.own_stocks())
