"""The joint: reads the shelf, lets a pure function change it, writes it; both faces call it."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from core.errors import Refused, Unusable
from core.shelf import Event, Shelf
from core.store.history import History
from core.store.shelf_file import (
    Kept,
    after_writing,
    read_shelf,
    real_path,
    refuse_if_read_only,
    stamp_of,
    write_change,
    write_first,
)

if TYPE_CHECKING:
    from core.findings import Check
    from core.plan import Plan
    from core.reels.estimate import Estimate
    from core.songs.parts import SongParts
    from core.songs.readiness import Readiness
    from core.store.imports import ImportReport
    from core.studio.studio import Studio

Act = Callable[[Shelf], Shelf]

#: Playing a plan against evenings that go differently takes no longer; else the plan itself promises.
SIMULATE_SECONDS = 2.0


@dataclass(frozen=True, slots=True)
class Saying:
    """What history tells of a change beside old and new."""

    what: str
    note: str = ""
    because: str = ""
    at: datetime | None = None
    takes_back: int = 0
    events: tuple[Event, ...] = ()  # rows that the act brings itself
    compared: bool = True  # False: the act's own rows tell everything
    replaces_history: bool = False
    silent: tuple[str, ...] = ()  # kinds of rows that history is not told of


class Workbook:
    """One shelf on the disk. ``shelf`` is what was last read or written; ``now`` tells the time."""

    def __init__(self, path: Path, kept: Kept, now: Callable[[], datetime]) -> None:
        self.path = path
        self._file = real_path(path)
        self._kept: Kept | None = kept
        self._now = now
        self._promised: tuple[Plan, dict[str, Any]] | None = None
        self.shelf = kept.shelf

    @classmethod
    def open(cls, path: Path, now: Callable[[], datetime]) -> Workbook:
        """The shelf at that path; Unusable where there is none, or it is damaged, foreign or newer."""
        return cls(path, read_shelf(real_path(path)), now)

    @classmethod
    def create(cls, path: Path, studio: Studio, now: Callable[[], datetime]) -> Workbook:
        """A new, empty shelf of that studio; Refused where something is there already."""
        file = real_path(path)
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise Unusable(
                f"{file.parent}: no folder can be made there: {error.strerror or error}"
            ) from error
        from core.store.lock import locked

        with locked(file):
            if file.exists():
                raise Unusable(
                    f"{path}: there is something already, it was not touched: name another --shelf"
                )
            write_first(file, Shelf(studio, name=file.stem), ())
        return cls.open(path, now)

    def now(self) -> datetime:
        """This moment by the studio's clock, to the second."""
        return self._now().astimezone(self.shelf.studio.zone).replace(microsecond=0)

    def reload(self) -> bool:
        """Reads the shelf again where another program has written it; True if so."""
        if self._kept is not None and stamp_of(self._file) == self._kept.stamp:
            return False
        self._kept = read_shelf(self._file)
        self.shelf = self._kept.shelf
        return True

    def change(
        self, act: Act, *, what: str, note: str = "", because: str = "", at: datetime | None = None
    ) -> Shelf:
        """Applies the act to the shelf as it is on the disk now and writes what it made, with its history.

        Whatever the act raises leaves the shelf as it was. An act that changes nothing writes nothing.
        """
        saying = Saying(what, note, because, at)
        return self._written(lambda kept: (act(kept.shelf), saying))

    def _written(self, work: Callable[[Kept], tuple[Shelf, Saying]]) -> Shelf:
        from core.store.difference import to_the_minute
        from core.store.lock import locked

        with locked(self._file):
            self.reload()
            kept = self._kept
            assert kept is not None
            refuse_if_read_only(self._file)
            new, saying = work(kept)
            new = to_the_minute(kept.shelf, new)
            events = self._events(kept.shelf, new, saying)
            if not events and not saying.replaces_history and _same(kept.shelf, new):
                return kept.shelf
            self._kept = None  # its tables are used up: if writing fails they are read again
            write_change(self._file, kept, new, events, fresh_history=saying.replaces_history)
            self._kept = after_writing(self._file, kept, new)
            self.shelf = self._kept.shelf
        return self.shelf

    def _events(self, old: Shelf, new: Shelf, saying: Saying) -> tuple[Event, ...]:
        from core.store.difference import differences
        from core.store.undo import ACT, TAKES_BACK

        told = (*saying.events, *new.history[len(old.history) :])
        if not saying.compared:
            return told
        at = (saying.at or self.now()).replace(second=0, microsecond=0)
        number = old.history.last_change() + 1  # type: ignore[attr-defined]
        rows = [
            Event(at, row.kind, row.key, row.field, row.old, row.new, saying.note, saying.because, number)
            for row in differences(old, new)
            if row.kind not in saying.silent
        ]
        out = [*rows, *(replace(event, change=event.change or number) for event in told)]
        if out:
            extra = {ACT: saying.what} | ({TAKES_BACK: str(saying.takes_back)} if saying.takes_back else {})
            out[0] = replace(out[0], extra=(*out[0].extra, *extra.items()))
        return tuple(out)

    def undo(self) -> str:
        """Takes back the last change not taken back yet, as a change of its own; says which it was."""
        from core.store.undo import to_take_back

        return self._turned("taken back", to_take_back, "nothing to take back")

    def redo(self) -> str:
        """Does over again what was last taken back, where nothing was changed since; says which it was."""
        from core.store.undo import to_do_again

        return self._turned("done again", to_do_again, "nothing to do again")

    def _turned(self, word: str, choose: Callable[[Any], Any], nothing: str) -> str:
        from core.store.difference import turned_round

        said = ""

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            nonlocal said
            change = choose(kept.shelf.history)
            if change is None:
                raise Refused(nothing)
            said = f"{word}: {change.words.removeprefix('taken back: ')}"
            back = turned_round(kept.shelf, change.rows, kept.reading)
            return back, Saying(said, takes_back=change.number)

        self._written(work)
        return said

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

        return self._written(work)

    def load(self, chamber: str, reels: Sequence[str], at: datetime | None = None, note: str = "") -> Shelf:
        """A chamber load has started."""
        from core.evening.load import load

        moment = (at or self.now()).replace(second=0, microsecond=0)
        what = f"load {chamber}: {', '.join(reels)}"
        return self.change(lambda shelf: load(shelf, chamber, reels, moment), what=what, note=note, at=moment)

    def note(self, reel: str, text: str, at: datetime | None = None) -> Shelf:
        """Adds a note to the reel's history; a note stands for good."""
        if not text.strip():
            raise Refused("a note needs some words")
        moment = (at or self.now()).replace(second=0, microsecond=0)
        event = Event(moment, "reel", reel, "note", note=text)

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            kept.shelf.reel(reel)
            return kept.shelf, Saying(f"note on {reel}", events=(event,))

        return self._written(work)

    def reel_history(self) -> Iterator[Event]:
        """When each reel came to which stage, and the notes on it, as they stand in the history."""
        history = self.shelf.history
        fields = ("stage", "note")
        if isinstance(history, History):
            return history.picked("reel", fields)
        return (event for event in history if event.kind == "reel" and event.field in fields)

    def import_files(self, paths: Sequence[Path], update: bool = False) -> ImportReport:
        """Takes in CSV, records and studio files: all rows of all files, or none."""
        from core.store.imports import Import, read_files

        files = read_files(paths)
        report: ImportReport | None = None

        def work(kept: Kept) -> tuple[Shelf, Saying]:
            nonlocal report
            bringing = Import(kept.shelf, files, update)
            shelf, events, report = bringing.run()
            return shelf, Saying(
                f"import {', '.join(path.name for path in paths)}",
                events=events,
                compared=not files.tells_history,
                replaces_history=bringing.replaces_history,
                silent=tuple({record.kind for record in files.records}),
            )

        self._written(work)
        assert report is not None
        return report

    def export(self, folder: Path) -> list[Path]:
        """Writes the shelf's files into the folder and names them."""
        from core.store.exports import export_shelf

        return export_shelf(self.shelf, folder)

    def backups(self) -> tuple[Any, ...]:
        """The shelf's backups, newest first, each with whether it can be read."""
        from core.store.restore import listed

        return listed(self.path)

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

        Interrupted, it leaves the kept plan as it was; with ``keep`` False nothing is kept.
        """
        from core.clock import grid_ceiling
        from core.planning.plan_evenings import plan_evenings
        from core.planning.wishes import Wishes

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
            wishes=Wishes(**wishes),
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
        progress: Callable[[float], None] | None = None,
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


def _same(old: Shelf, new: Shelf) -> bool:
    """True where nothing differs; values that were not touched are the same objects."""
    names = ("studio", "reels", "songs", "sheets", "segments", "records")
    return all(getattr(old, n) is getattr(new, n) or getattr(old, n) == getattr(new, n) for n in names)
