"""A shelf with its plan: made, kept, promised from, asked why, and held to the owner's wishes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime
from functools import partial
from typing import TYPE_CHECKING, Literal

from core.errors import Refused
from core.workbook.keeping import (
    day_before,
    proven_before,
    rests_elsewhere,
    simulated,
    under_way,
    why_not_kept,
)

if TYPE_CHECKING:
    from core.plan import Plan
    from core.planning.answers.because import Because
    from core.planning.answers.changes import Change
    from core.planning.answers.holes import Hole
    from core.planning.answers.whatif import WhatIf
    from core.planning.answers.wish_kept import WishTold
    from core.planning.incumbent import Progress
    from core.planning.wishes.wishes import Wish, Wishes
    from core.shelf import Shelf
    from core.songs.when import SongDate
    from core.store.book import Book

    UnderWay = Plan | Literal["the shelf's"] | None
    """The plan that is under way: the one that the shelf keeps, or another, or none."""


class Plans:
    """A shelf's plans: the kept one, the one before, and what is asked of them."""

    def __init__(self, book: Book) -> None:
        self.book = book

    _promised: tuple[Plan, dict[str, object]] | None = None
    _stale: tuple[Shelf, object, str | None] | None = None

    def plan(
        self,
        start: datetime | None = None,
        days: int = 14,
        *,
        seconds: float | None = None,
        effort: float | None = None,
        progress: Callable[[Progress], None] | None = None,
        stop: Callable[[], bool] | None = None,
        keep: bool = True,
        stands: bool = False,
        slack: float | None = None,
        kept: UnderWay = "the shelf's",
    ) -> Plan:
        """Plans the evenings from ``start`` (else the next moment of the grid) and keeps the plan.

        What the owner wishes on the shelf counts; ``slack`` stands in place of the slack wished there. Where
        a kept plan is under way it starts there (``kept`` stands in its place, None for none). Interrupted,
        it leaves the kept plan as it was; with ``keep`` False nothing is kept. Refused while a tape runs.

        ``stands``, or a ``start`` at that very moment: the plan begins with the line-ups that stand already.
        """
        from core.clock import grid_ceiling
        from core.evening.playing.passes import planning_waits_for
        from core.planning.incumbent import NotMade
        from core.planning.plan_evenings import USUAL_SECONDS, plan_evenings
        from core.standing.made_before import made_before

        self.book.reload()
        shelf = self.book.shelf  # one state of it, whatever is done to the shelf while the search runs
        if (waits := planning_waits_for(shelf, self.book.now())) is not None:
            raise Refused(waits)
        first = grid_ceiling(self.book.now(), shelf.studio.minutes.grid)
        begin = start or first
        asked = self._asked(shelf, begin, slack, kept)
        sought = effort if effort is not None else USUAL_SECONDS if seconds is None else seconds
        before = made_before(shelf, first) if stands or begin < first else None
        search = partial(plan_evenings, seconds=seconds, effort=effort, progress=progress, stop=stop)
        made = None
        if before is not None and (stands or begin == before.start):
            held = replace(self._asked(shelf, first, slack, kept), made=before.decks)
            with suppress(NotMade):
                made = search(shelf, before.start, days, wishes=held)
        same = self._unchanged(shelf, asked, begin, days, sought) if made is None else None
        if same is not None:
            return self.keep_plan(same) if keep else same
        made = self._told(shelf, made or search(shelf, begin, days, wishes=asked), asked)
        if keep:
            self.keep_plan(made)
        return made

    def _told(self, shelf: Shelf, found: Plan, asked: Wishes) -> Plan:
        """The plan that was found with reasons for what is left over, what it rests on, and its promises."""
        from core.planning.answers.because import with_reasons
        from core.planning.told_otherwise import with_told
        from core.standing.of_plan.made_from import made_from

        told = with_told(shelf, with_reasons(shelf, found, asked), asked)
        made = replace(told, rests_on=made_from(shelf))
        self._promised = (made, simulated(shelf, made))
        return made

    def _asked(self, shelf: Shelf, begin: datetime, slack: float | None, kept: UnderWay) -> Wishes:
        """What the owner wishes, with that slack if any, what was left out tonight, and the kept plan."""
        from core.evening.moved_since import left_tonight
        from core.planning.wishes.wishes import wishes_of
        from core.standing.not_tonight import left_out_until

        wished = wishes_of(shelf)
        before = self.kept_plan() if kept == "the shelf's" else kept
        asked = replace(wished, kept=before, slack=wished.slack if slack is None else slack)
        out = left_out_until(shelf, begin.astimezone(shelf.studio.zone))
        kept = asked.kept if under_way(asked.kept, begin) else None
        proven = proven_before(shelf, asked, self.kept_plan())
        left = left_tonight(shelf, kept, begin) if kept is not None else ()
        return replace(asked, not_before=(*asked.not_before, *out), kept=kept, proven=proven, left=left)

    def _unchanged(
        self, shelf: Shelf, asked: Wishes, begin: datetime, days: int, sought: float
    ) -> Plan | None:
        """The kept plan once more, where nothing has changed since and no longer search is asked for.

        None where that is not so, or where time has gone over something that was planned.
        """
        from core.clock import days_later
        from core.planning.plan_evenings import plan_evenings
        from core.standing.of_plan.made_from import made_from

        kept = asked.kept
        if kept is None or rests_elsewhere(shelf, asked, kept):
            return None
        longer = kept.status != "optimal" and sought > kept.searched  # seconds or effort: about as long
        if longer or days_later(begin, days).date() != kept.until.date():
            return None
        told = shelf.of_kind("plan")
        if kept.start == begin and kept.until == days_later(begin, days):
            made = replace(kept, rests_on=made_from(shelf), moved=(), moves=())
        else:
            made = plan_evenings(shelf, begin, days, seconds=0, wishes=asked)
            ahead = [item for item in kept.items if item.end > begin]
            if made.items != tuple(ahead) or made.moves:
                return None
            reasons = {one.reel: one for one in kept.left_over}
            left = tuple(reasons.get(one.reel, one) for one in made.left_over)
            made = replace(made, left_over=left, rests_on=made_from(shelf), searched=kept.searched)
            made = replace(made, effort=kept.effort)
        made = replace(made, number=0, made_at=None)
        self._promised = (made, {name: told[name] for name in ("promises", "evenings") if name in told})
        return made

    def keep_plan(self, plan: Plan) -> Plan:
        """Keeps that plan under the next number; the one before stays beside it, for what was moved.

        It is checked once more against the shelf as it is now: Refused where that breaks a rule.
        """
        from core.evening.moved_since import with_moved
        from core.plan import plan_of
        from core.standing.of_plan.made_from import FITS_TOO, answered_meanwhile, made_from

        kept = plan
        fitting = self._promised if self._promised is not None and self._promised[0] is plan else None

        def act(shelf: Shelf) -> Shelf:
            nonlocal kept
            why = why_not_kept(shelf, plan, self.book.now())
            if why is not None:
                raise Refused(f"the plan was not kept, the shelf has changed meanwhile: {why}: plan again")
            told = fitting[1] if fitting is not None else simulated(shelf, plan)
            before = shelf.of_kind("plan").get("kept")
            number = (before or {}).get("number", 0) + 1
            kept = replace(plan, number=number, made_at=self.book.now())
            after = shelf if before is None else shelf.with_record("plan", "before", before)
            for name in ("promises", "evenings"):
                after = after.with_record("plan", name, told.get(name))
            rests = answered_meanwhile(shelf, plan.rests_on or made_from(shelf))
            after = after.with_record("plan", "made from", dict(rests)).with_record("plan", FITS_TOO, None)
            last = plan_of(before, shelf.studio.zone) if before is not None else None
            after = with_moved(after, last, kept, self.book.now())
            return after.with_record("plan", "kept", kept.to_json())

        self.book.change(act, what="keep a plan")
        return kept

    def kept_plan(self, which: str = "kept") -> Plan | None:
        """The kept plan, or the one ``before`` it; None where none is kept."""
        from core.plan import plan_of

        document = self.book.shelf.of_kind("plan").get(which)
        return plan_of(document, self.book.shelf.studio.zone) if document else None

    def needed_plan(self) -> Plan:
        """The kept plan; Refused where none is kept."""
        plan = self.kept_plan()
        if plan is None:
            raise Refused("no plan is kept on this shelf: make one with `reelturn plan`")
        return plan

    def song_dates(self) -> dict[str, SongDate]:
        """By key, every song's state and its dates by the kept plan."""
        from core.evening.around.song_dates import song_dates

        return song_dates(self.book.shelf, self.kept_plan(), self.book.now())

    def simulated_evenings(self) -> int:
        """How many evenings the kept plan was played against; 0 where it was too long for that."""
        from core.evening.around.song_dates import told_of

        return int(told_of(self.book.shelf, self.kept_plan()).get("runs", 0))

    def plan_is_stale(self) -> str | None:
        """A sentence where the shelf changed in a way that the kept plan does not fit; None else."""
        from core.standing.of_plan.kept_plan import why_stale

        shelf, now = self.book.shelf, self.book.now()
        asked = (now.date(), now.hour, now.minute)
        if self._stale is None or self._stale[0] is not shelf or self._stale[1] != asked:
            plan, then = self.kept_plan(), shelf.of_kind("plan").get("made from")
            why = None if plan is None or then is None else why_stale(shelf, plan, then, now)
            self._stale = (shelf, asked, why)
        return self._stale[2]

    # Wishes ----------------------------------------------------------------------------------------------

    def wish(self, text: str) -> Wish:
        """Keeps the wish that these words make, in place of an older one of its kind about the same thing."""
        from core.planning.wishes.wish_words import read_wish

        self.book.reload()
        wish = read_wish(text, self.book.shelf, self.book.now().date())
        self.book.change(
            lambda shelf: shelf.with_record("pin", wish.key, wish.to_record()), what=f"wish {wish.words}"
        )
        return wish

    def stands_against(self, wish: Wish) -> str:
        """Why no plan can keep that wish as the shelf is; empty where one may."""
        from core.planning.wishes.against import stands_against

        return stands_against(self.book.shelf, wish, self.book.now())

    def drop_wish(self, number: int) -> Wish:
        """Lets go of the wish of that number in the list, counted from 1."""
        from core.planning.wishes.wishes import wished_on

        self.book.reload()
        keys = [key for key, wish in wished_on(self.book.shelf).items()]
        if not 1 <= number <= len(keys):
            count = f"there are {len(keys)}" if keys else "there is none"
            raise Refused(f"no wish number {number}: {count}")
        key = keys[number - 1]
        wish = wished_on(self.book.shelf)[key]
        self.book.change(lambda shelf: shelf.with_record("pin", key, None), what=f"let go of {wish.words}")
        return wish

    def wishes_told(self, plan: Plan | None = None) -> tuple[WishTold, ...]:
        """Every wish with whether that plan, else the kept one, keeps it; why not where it does not."""
        from core.planning.answers.wish_kept import WishTold, wishes_told
        from core.planning.wishes.wishes import wished_on, wishes_of

        wishes = wished_on(self.book.shelf)
        asked = plan or self.kept_plan()
        if asked is None:
            return tuple(WishTold(wish, "new", "no plan is kept yet") for wish in wishes.values())
        then = self.book.shelf.of_kind("plan").get("made from") or {}
        known = {key for key in wishes if plan is not None or key in then.get("wished", wishes)}
        listed = tuple(wishes[key] for key in wishes if key in known)
        told = iter(wishes_told(self.book.shelf, asked, listed, wishes_of(self.book.shelf)))
        return tuple(
            next(told) if key in known else WishTold(wish, "new", "made since the plan: plan again")
            for key, wish in wishes.items()
        )

    # Reasons ---------------------------------------------------------------------------------------------

    def why(self, what: str, by: date | None = None, *, effort: float = 2.0) -> tuple[Because, ...]:
        """Why the kept plan leaves that reel over, or has that song ready no sooner.

        A song is asked for by the end of ``by``; else by the day before its planned one, or in the plan. So
        much ``effort`` goes into planning with what would do it; with none it is told as what may.
        """
        from core.planning.answers.because import why_reel, why_song
        from core.planning.wishes.wishes import wishes_of

        plan, wishes = self.from_now(self.needed_plan()), wishes_of(self.book.shelf)
        if what in self.book.shelf.reels and what not in self.book.shelf.songs:
            if by is not None:
                raise Refused(f"--by is for a song: {what} is a reel")
            reason = why_reel(self.book.shelf, plan, what, wishes, effort=effort)
            return self._with_told((reason,), plan, wishes)
        if what not in self.book.shelf.songs:
            raise Refused(f"no reel or song {what!r} on this shelf")
        wanted = by or day_before(plan, what)
        if by is None and wanted < plan.start.date():
            return ()
        reasons = why_song(self.book.shelf, plan, what, wanted, wishes, effort=effort)
        return reasons if by is not None else self._with_told(reasons, plan, wishes)

    def from_now(self, plan: Plan) -> Plan:
        """The plan with what is behind left out; whole where all of it is."""
        from core.clock import grid_ceiling

        now = grid_ceiling(self.book.now(), self.book.shelf.studio.minutes.grid)
        start = max(plan.start, now.astimezone(plan.start.tzinfo))
        return replace(plan, start=start) if start.date() < plan.until.date() else plan

    def _with_told(self, reasons: tuple[Because, ...], plan: Plan, wishes: Wishes) -> tuple[Because, ...]:
        """The reasons, with words on a left-over reel that would do."""
        from core.planning.told_otherwise import told_would_do

        left = {one.reel for one in plan.left_over if not one.barred_by}
        told = {
            one.what: told_would_do(self.book.shelf, plan, one.what, wishes)
            for one in reasons
            if one.what in left
        }
        return tuple(
            replace(one, would_do=(*one.would_do, told[one.what])) if told.get(one.what) else one
            for one in reasons
        )

    def suppose(
        self,
        changes: Mapping[str, Change] | None = None,
        *,
        seconds: float | None = None,
        effort: float | None = None,
        stop: Callable[[], bool] | None = None,
        told: Callable[[str], None] | None = None,
        found: Callable[[WhatIf], None] | None = None,
    ) -> tuple[WhatIf, ...]:
        """The rest of the kept plan's days planned as they are and with each change, compared, best first."""
        from core.clock import grid_ceiling
        from core.planning.answers.whatif import usual_changes, what_if
        from core.planning.wishes.wishes import wishes_of

        self.book.reload()
        shelf, plan = self.book.shelf, self.needed_plan()
        start = max(plan.start, grid_ceiling(self.book.now(), shelf.studio.minutes.grid))
        days = (plan.until.date() - start.date()).days
        if days < 1:
            raise Refused("the kept plan is over: make one with `reelturn plan`")
        plan = self.from_now(plan)
        return what_if(
            shelf,
            plan.start,
            days,
            usual_changes(shelf, plan) if changes is None else changes,
            seconds=seconds,
            effort=effort,
            base=plan,
            stop=stop,
            wishes=wishes_of(shelf),
            told=told,
            found=found,
        )

    def holes(self, plan: Plan | None = None) -> tuple[Hole, ...]:
        """The evenings of the plan with time left, and the desk work that could fill each."""
        from core.planning.answers.holes import holes

        asked = plan or self.kept_plan()
        return holes(self.book.shelf, asked) if asked is not None else ()
