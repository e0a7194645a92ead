"""The joint: a shelf on the disk with everything that can be done on it; both faces call it."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from core.errors import Refused
from core.shelf import Shelf
from core.store.book import Book, Saying
from core.store.shelf_file import Kept

if TYPE_CHECKING:
    from core.capture.lineup_record import CapturedLineUp
    from core.capture.progress import Told
    from core.findings import Check
    from core.lineup.record import When
    from core.plan import Plan
    from core.reels.estimate import Estimate
    from core.songs.parts import SongParts
    from core.songs.readiness import Readiness

#: Playing a plan against evenings that go differently takes no longer; else the plan itself promises.
SIMULATE_SECONDS = 2.0


class Workbook(Book):
    """A shelf with its acts, its plan, its papers and its checks."""

    _promised: tuple[Plan, dict[str, Any]] | None = None

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

    def plan(
        self,
        start: datetime | None = None,
        days: int = 14,
        *,
        seconds: float | None = None,
        effort: float | None = None,
        progress: Any = None,
        stop: Callable[[], bool] | None = None,
        keep: bool = True,
        **wishes: Any,
    ) -> Plan:
        """Plans the evenings from ``start`` (else the next moment of the grid) and keeps the plan.

        What the owner holds or keeps off on the shelf counts; ``wishes`` say more. Interrupted, it leaves the
        kept plan as it was; with ``keep`` False nothing is kept.
        """
        from core.clock import grid_ceiling
        from core.planning.plan_evenings import plan_evenings
        from core.planning.wishes import wishes_of

        self.reload()
        begin = grid_ceiling(start or self.now(), self.shelf.studio.minutes.grid)
        made = plan_evenings(
            self.shelf,
            begin if start is None else start,
            days,
            seconds=seconds,
            effort=effort,
            progress=progress,
            stop=stop,
            wishes=replace(wishes_of(self.shelf), **wishes),
        )
        self._promised = (made, self._promises(made))
        if keep:
            self.keep_plan(made)
        return made

    def _promises(self, plan: Plan) -> dict[str, Any]:
        """By song, when it is ready in most evenings that go differently; nothing if that takes too long."""
        from core.clock import write_time
        from core.planning.simulate import simulate

        until, runs = time.monotonic() + SIMULATE_SECONDS, 60
        cut = False

        def stop() -> bool:
            nonlocal cut
            cut = cut or time.monotonic() > until
            return cut

        told = simulate(self.shelf, plan, runs=runs, stop=stop)
        return {} if cut else {one.song: one.promised and write_time(one.promised) for one in told}

    def keep_plan(self, plan: Plan) -> Plan:
        """Keeps that plan under the next number; the one before stays beside it, for what was moved."""
        from core.kept_plan import made_from

        kept = plan
        fitting = self._promised if self._promised is not None and self._promised[0] is plan else None
        promises = fitting[1] if fitting is not None else {}

        def act(shelf: Shelf) -> Shelf:
            nonlocal kept
            before = shelf.of_kind("plan").get("kept")
            number = (before or {}).get("number", 0) + 1
            kept = replace(plan, number=number, made_at=self.now())
            with_before = shelf if before is None else shelf.with_record("plan", "before", before)
            with_promises = with_before.with_record("plan", "promises", promises or None)
            rests_on = with_promises.with_record("plan", "made from", made_from(shelf))
            return rests_on.with_record("plan", "kept", kept.to_json())

        self.change(act, what="keep a plan")
        return kept

    def kept_plan(self, which: str = "kept") -> Plan | None:
        """The kept plan, or the one ``before`` it; None where none is kept."""
        from core.plan import plan_from_json

        document = self.shelf.of_kind("plan").get(which)
        return plan_from_json(document, self.shelf.studio.zone) if document else None

    def needed_plan(self) -> Plan:
        """The kept plan; Refused where none is kept."""
        plan = self.kept_plan()
        if plan is None:
            raise Refused("no plan is kept on this shelf: make one with `reelturn plan`")
        return plan

    def promises(self) -> tuple[dict[str, datetime | None], str]:
        """By song, the promised time of the kept plan, and where that is from: ``simulation`` or ``plan``."""
        plan, kept = self.kept_plan(), self.shelf.of_kind("plan").get("promises")
        if plan is None:
            return {}, "plan"
        if not kept:
            return {told.song: told.ready for told in plan.songs}, "plan"
        where = self.shelf.studio.zone
        return {s: t and datetime.fromisoformat(t).astimezone(where) for s, t in kept.items()}, "simulation"

    def plan_is_stale(self) -> str | None:
        """A sentence where the shelf changed in a way that the kept plan does not fit; None else."""
        from core.kept_plan import why_stale

        plan, then = self.kept_plan(), self.shelf.of_kind("plan").get("made from")
        if plan is None or then is None:
            return None
        return why_stale(self.shelf, plan, then, self.now())

    def orders(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints the kept plan as work orders into the folder and names them."""
        from core.paper.orders import print_orders

        plan = self.needed_plan()
        return print_orders(self.shelf, plan, folder, size=size, made=self.now(), stale=self.plan_is_stale())

    def cards(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints a card of every reel."""
        return self._reel_sheets("cards", folder, size)

    def labels(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints a label for every box."""
        return self._reel_sheets("labels", folder, size)

    def sheets(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints every reel's track sheets, blank where there are none."""
        return self._reel_sheets("track sheets", folder, size)

    def _reel_sheets(self, what: str, folder: Path, size: str) -> list[Path]:
        from core.paper.prints import print_reels

        reels, plan = list(self.shelf.reels), self.kept_plan()
        return print_reels(self.shelf, reels, folder, what=[what], plan=plan, size=size, made=self.now())

    def slips(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints what the kept plan changed against the one before it; Refused where there is none before."""
        from core.paper.prints import print_changes

        before = self.kept_plan("before")
        if before is None:
            raise Refused("only one plan was made yet: there is nothing that it changed")
        return [print_changes(self.shelf, before, self.needed_plan(), folder, size=size, made=self.now())]

    def reports(self, folder: Path, size: str = "A4") -> list[Path]:
        """Prints a report of every check that is kept."""
        from core.paper.prints import print_reports

        return print_reports(self.shelf, folder, size=size, made=self.now())

    def calendar(self) -> bytes:
        """The kept plan as iCalendar."""
        from core.paper.calendar import calendar

        plan = self.needed_plan()
        before = self.kept_plan("before")
        return calendar(self.shelf, plan, self.now(), stale=self.plan_is_stale(), before=before)

    def check(
        self,
        reel: str,
        files: Sequence[Path],
        *,
        pass_number: int = 1,
        tracks: tuple[int, ...] | None = None,
        progress: Told | None = None,
        cancelled: Callable[[], bool] | None = None,
        workers: int = 2,
    ) -> Check:
        """Measures captured files against the reel; keeps the result where anything could be measured."""
        from core.capture.check import check_capture
        from core.capture_facts import reel_facts, studio_facts

        found = check_capture(
            reel_facts(self.shelf, reel, pass_number),
            studio_facts(self.shelf.studio),
            files,
            pass_number=pass_number,
            tracks=tracks,
            thresholds=self.shelf.of_kind("setting").get("check thresholds"),
            workers=workers,
            progress=progress,
            cancelled=cancelled,
        )
        return self.keep_check(found) if found.measured else found

    def keep_check(self, found: Check) -> Check:
        """Keeps a check as the newest of its reel and pass; its strip goes into a file beside the shelf."""
        kept = found.kept(self.now(), None)
        key = f"{found.reel} pass {found.pass_number}"

        def act(shelf: Shelf) -> Shelf:
            after = shelf.with_record("check", key, kept.to_json())
            return after if found.strip is None else after.with_record("strip", key, found.strip.to_json())

        self.change(act, what=f"check {key}")
        return found.kept(kept.at or self.now(), found.strip)

    def line_up(
        self,
        deck: str,
        reel: str,
        files: Sequence[Path],
        *,
        zero_dbfs: float | None = None,
        apart_mm: float | None = None,
        when: When = "before",
    ) -> CapturedLineUp:
        """Reads a deck's line-up from a capture of a calibration reel's tones and keeps the record.

        The deck's own set-up is what the tones are held to, the calibration reel's where the deck has none.
        Without `apart_mm` the tracks are taken as laid evenly over the tape's width.
        """
        from core.capture.lineup_record import captured_line_up, hear_line_up
        from core.lineup.calibration import calibration_tape
        from core.lineup.on_shelf import keep, own_tolerances
        from core.lineup.sheet import lineup_sheet

        one, machine = self.shelf.reel(reel), self.shelf.studio.deck(deck)
        if machine is None:
            raise Refused(f"no deck {deck!r} in this studio")
        if not one.calibration:
            raise Refused(
                f"{reel} is no calibration reel: a line-up is measured from a calibration tape's tones"
            )
        tracks = one.tracks or machine.tracks
        setup = machine.lined_up or one.setup
        try:
            tape, allowed = calibration_tape(one), own_tolerances(self.shelf)
            sheet = lineup_sheet(deck, setup, tracks, tape, which="many frequencies", allowed=allowed)
        except ValueError as error:
            raise Refused(str(error)) from error
        if apart_mm is None:
            width = float(one.width.number if one.width else machine.widths[0].number)
            apart_mm = 25.4 * width * max(1, tracks - 1) / tracks
        heard = hear_line_up(files, tracks)
        made = captured_line_up(sheet, heard, self.now(), apart_mm=apart_mm, zero_dbfs=zero_dbfs, when=when)
        self.change(lambda shelf: keep(shelf, made.record), what=f"line-up of {deck} by {reel}")
        return made

    def estimate(self, reel: str) -> Estimate:
        """What the reel will take, each figure with how it was got."""
        from core.reels.estimate import estimate

        return estimate(self.shelf.reel(reel), self.shelf.studio, self.shelf.own_stocks())

    def songs(self) -> tuple[Readiness, ...]:
        """Every song's readiness now."""
        from core.evening.spans import covered
        from core.reels.needs import barred
        from core.songs.readiness import readiness

        shelf, now, own = self.shelf, self.now(), self.shelf.own_stocks()
        return tuple(
            readiness(
                song,
                shelf.reels,
                lambda reel: barred(reel, shelf.studio, now, own),
                lambda song: covered(shelf, song),
            )
            for song in shelf.songs.values()
        )

    def parts(self, song: str) -> SongParts:
        """The best source of every part of that song, and where each sits in time."""
        from core.songs.parts import song_parts

        shelf = self.shelf
        return song_parts(shelf.song(song), shelf.sheets, shelf.reels, shelf.of_kind("check"))
