"""What one key does to the reel under the cursor: the same on the chart and on the reel's card."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar, Protocol

from core.clock import read_time, years_ahead
from core.conditioning.advisor import advice_of
from core.reels.assumed import with_setup
from core.reels.estimate import deck_for, decks_for
from core.reels.reel import STAGES, Stage
from core.standing.gates import asked_for
from core.studio.opening import bench_window
from tui.board.next_step import INSPECT
from tui.board.rows import ChartRow
from tui.frame.acts.held import Acts, Here


class OnReel(Here, Protocol):
    """A place that has a reel under its cursor."""

    @property
    def row(self) -> ChartRow | None:
        """The row of the reel under the cursor."""

    def other_key(self, key: str) -> None:
        """What the place does once that reel has another key, or with none is gone."""


class ReelActs(Acts[OnReel]):
    """What is done to the reel under the cursor."""

    REEL_ACTIONS: ClassVar[tuple[str, ...]] = (
        "done",
        "back",
        "note",
        "mark",
        "load",
        "set_aside",
        "sheet",
        "history",
        "why",
        "ran",
        "lineup",
        "capture",
        "heard",
        "key_acts",
    )

    @property
    def word_here(self) -> str:
        """The next step of the reel under the cursor, or its stage."""
        row = self.here.row
        if row is None:
            return ""
        from core.tape.told.glossary import entry_of

        first = row.step.words.split(" ", 1)[0].strip(",:")
        return first if entry_of(first) is not None else row.stage

    def reason_not(self, action: str) -> str | None:
        """Why that cannot be done to the reel under the cursor now."""
        row = self.here.row
        if action not in self.REEL_ACTIONS or row is None:
            return super().reason_not(action)
        if action == "done" and (self._asked(row) or row.step.words == INSPECT):
            return None
        if action == "done" and following(row) is None:
            marks = self.home.keyed("{reel.stage} marks any stage")
            return (
                f"{row.key} is verified: there is no next stage"
                if row.stage == "verified"
                else f"{no_next(row)} ({marks})"
            )
        if action == "back" and row.reel.stage == "found":
            return f"{row.key} is at the first stage"
        if action == "lineup" and deck_for(row.reel, self.home.shelf.studio) is None:
            return f"no deck plays {row.key}: its width, tracks and speed tell which"
        if action == "load" and not self.home.shelf.studio.chambers:
            return "the studio's file names no chamber"
        return super().reason_not(action)

    def action_done(self) -> None:
        """Marks the next stage as reached; a gate that is not met asks for the reason to pass it."""
        row = self.here.row
        asked = self._asked(row) if row is not None else ""
        if row is not None and asked:
            from tui.asking.about_tape import ask_stock, ask_tried

            (ask_stock if asked == "which stock" else ask_tried)(self.home, row.key)
            return
        stage = following(row) if row is not None else None
        if row is not None and (stage == "identified" or row.step.words == INSPECT):
            from tui.asking.look.looking import ask_look

            ask_look(self.home, row.key)
            return
        if row is not None and stage is not None:
            self._ask_hardly(row.key, stage)

    def _ask_hardly(self, key: str, stage: Stage) -> None:
        """One key that is pressed twice marks one stage: the next one within a minute is asked about."""
        from core.evening.hardly import hardly_there
        from tui.asking.asking import AskYes

        early = hardly_there(self.home.shelf, key, stage, self.home.now())
        if early is None:
            self.mark_reel(key, stage)
            return
        question = AskYes(f"{key}: {stage} too?", f"{early} Enter: it is {stage}. Esc: not yet.")
        self.home.push_screen(question, lambda yes: self.mark_reel(key, stage) if yes else None)

    def _asked(self, row: ChartRow) -> str:
        """What the one key asks about the tape before anything else is done with it; empty for nothing."""
        word = advice_of(self.home.shelf, row.reel, self.home.now()).word
        if row.reel.past("transferred") or row.reel.chamber:
            return ""
        tests = word == "test first" and row.step.does == "test"
        return word if word == "which stock" or tests else ""

    def mark_reel(self, key: str, stage: Stage, at: datetime | None = None, note: str = "") -> None:
        """Marks a reel, asking for the reason where a gate is not met or it goes back."""
        from tui.asking.reason import ask_reason

        home = self.home
        reel = home.shelf.reel(key)
        moment = at or home.now()
        going_back = STAGES.index(stage) < STAGES.index(reel.stage) and not (
            reel.chamber and stage == "conditioned"
        )
        why = None if going_back else asked_for(home.shelf, reel, stage, moment)
        if not going_back and why is None:
            self._mark(key, stage, at, note, "")
            return
        words = f"{key} is {reel.stage}." if going_back else why
        title = f"{key} back to {stage}" if going_back else f"{key}: {stage} all the same?"
        step = f"{key} {'back to ' if going_back else ''}{stage}"
        question = ask_reason(title, f"{words} Say why; it is kept.", step=step)
        self.home.push_screen(
            question, lambda because: self._mark(key, stage, at, note, because) if because else None
        )

    def _mark(self, key: str, stage: Stage, at: datetime | None, note: str, because: str) -> None:
        studio, moment = self.home.shelf.studio, at or self.home.now()
        closed = stage == "aligned" and bench_window(studio, moment) is None
        but = ", but counts only while the bench is open" if closed else ""
        said = self.home.undoable(f"{key} is {stage}{but}")
        self.home.do(lambda: self.home.book.mark(key, stage, at=at, note=note, because=because), said)

    def action_back(self) -> None:
        """Puts the reel back one stage, with the reason."""
        if self.here.row is not None:
            before = STAGES[STAGES.index(self.here.row.reel.stage) - 1]
            self.mark_reel(self.here.row.key, before)

    def action_heard(self) -> None:
        """Writes down what a first hearing settled."""
        from tui.asking.hearing import ask_hearing

        if self.here.row is None:
            return
        home, at = self.home, self.home.now()
        ask_hearing(
            home,
            self.here.row.key,
            at,
            lambda act, what: home.do(lambda: home.book.change(act, what=what, at=at), home.undoable(what)),
        )

    def action_note(self) -> None:
        """Adds a note to the reel's history; while a tape plays, to that tape, where it is now."""
        from tui.asking.asking import AskText

        if self.home.stamp() or self.here.row is None:
            return
        key, at = self.here.row.key, self.home.now()
        question = AskText(
            f"Note on {key}",
            self.home.keyed(
                "It goes to the reel's history with this moment's time; {reel.history} takes one off."
            ),
            draft=f"note {key}",
        )
        self.home.push_screen(question, lambda text: self._note(key, text, at))

    def _note(self, key: str, text: str | None, at: datetime) -> None:
        if text:
            self.home.do(lambda: self.home.book.note(key, text, at), self.home.undoable(f"noted on {key}"))

    def action_mark(self) -> None:
        """Marks the reel at any stage, at any time."""
        from tui.asking.choosing import AskChoice

        if self.here.row is None:
            return
        key = self.here.row.key
        choices = tuple((stage, stage) for stage in STAGES)
        question = AskChoice(f"Mark {key}", choices, following(self.here.row) or self.here.row.reel.stage)
        self.home.push_screen(question, lambda stage: self._ask_when(key, stage))

    def _ask_when(self, key: str, stage: Stage | None) -> None:
        from tui.asking.asking import AskText

        if stage is None:
            return
        now = self.home.now()

        def check(text: str) -> str | None:
            try:
                self._moment(text, now)
            except ValueError as error:
                return f"wants {error}"
            return None

        question = AskText(
            f"{key} {stage}: when?",
            self.home.keyed("{ask.yes} takes this moment; or a time such as 19:40, or 2026-12-01T19:40."),
            draft=f"when {key} {stage}",
            check=check,
            may_be_empty=True,
        )
        self.home.push_screen(
            question,
            lambda text: (
                self.mark_reel(key, stage, self._moment(text, now) if text else None)
                if text is not None
                else None
            ),
        )

    def _moment(self, text: str, now: datetime) -> datetime:
        typed = text.strip()
        if len(typed) <= 5 and ":" in typed:
            typed = f"{now.date().isoformat()}T{typed:0>5}"
        moment = read_time(typed, self.home.shelf.studio.zone)
        if wrong := years_ahead(moment, now):
            raise ValueError(wrong)
        return moment

    def action_load(self) -> None:
        """Asks which reels go into which chamber."""
        if self.here.row is not None:
            self.home.open_door("load", self.here.row.key)

    def action_set_aside(self) -> None:
        """Takes a reel out of the work with a reason, or back into it."""
        from core.evening.playing.again import set_aside, taken_up
        from tui.asking.asking import AskText

        if self.here.row is None:
            return
        key, book = self.here.row.key, self.home.book
        if self.here.row.reel.set_aside:
            what = f"take up {key}"
            self.home.do(
                lambda: book.change(lambda s: taken_up(s, key), what=what), f"{key} is in the work again"
            )
            return

        def answered(because: str | None) -> None:
            if because:
                what = f"set {key} aside"
                self.home.do(
                    lambda: book.change(lambda s: set_aside(s, key, because), what=what, because=because),
                    self.home.undoable(f"{key} is set aside: {because}"),
                )

        words = "It will not be planned or transferred. Say why, or where it went."
        self.home.push_screen(AskText(f"Do not transfer {key}?", words, draft=f"aside {key}"), answered)

    def action_key_acts(self) -> None:
        """Another key, off the shelf, two keys of one tape, two tapes of one box."""
        from tui.asking.key_acts import ask_key

        if self.here.row is not None:
            ask_key(self.home, "reel", self.here.row.key, self.here.other_key)

    def action_sheet(self) -> None:
        """Opens the track sheet."""
        if self.here.row is not None:
            self.home.open_door("track sheet", self.here.row.key)

    def action_history(self) -> None:
        """Shows what happened to the reel."""
        if self.here.row is not None:
            self.home.open_door("history", "reel", self.here.row.key)

    def action_why(self) -> None:
        """Tells what to do with the reel and why, and where each figure comes from."""
        from tui.frame.text_page import TextPage
        from tui.text.sourced_reel import reel_lines

        if self.here.row is not None:
            key, home = self.here.row.key, self.home
            page = TextPage(
                f"{key}: why, and by which figures", lambda: reel_lines(home.shelf, key, home.now())
            )
            self.home.push_screen(page)

    def action_lineup(self) -> None:
        """Opens the line-up of a deck that plays the reel, by a calibration tape of its set-up."""
        from core.standing.gates import lines_up
        from tui.asking.choosing import AskChoice

        if self.here.row is None:
            return
        reel = self.here.row.reel
        tapes = [one for one in self.home.shelf.reels.values() if one.calibration and one.width == reel.width]
        wanted = with_setup(reel, self.home.shelf.studio).setup.key[:2]
        fit = [one.key for one in tapes if one.setup.key[:2] == wanted]
        may_run = (key for key in fit if lines_up(self.home.shelf, key, self.home.now()) is None)
        fitting = next(may_run, fit[0] if fit else "")
        decks = decks_for(reel, self.home.shelf.studio)
        if len(decks) == 1:
            self.home.open_door("line-up", reel.key, decks[0].id, fitting)
            return
        choices = [
            (deck.id, f"{deck.id}, standing on {deck.lined_up}" if deck.lined_up else deck.id)
            for deck in decks
        ]
        question = AskChoice(f"Line up which deck for {reel.key}?", choices)

        def chosen(deck: str | None) -> None:
            if deck:
                self.home.open_door("line-up", reel.key, deck, fitting)

        self.home.push_screen(question, chosen)

    def action_capture(self) -> None:
        """Opens the reel's captures."""
        if self.here.row is not None:
            self.home.open_door("captures", self.here.row.key)

    def action_ran(self) -> None:
        """Asks how the reel ran after its newest load; which programme worked on which stock stands above."""
        from core.conditioning.on_shelf import worked
        from tui.asking.choosing import AskChoice
        from tui.text.sourced import BEHAVED_CHOICES, worked_words

        if self.here.row is None:
            return
        key = self.here.row.key
        told = worked_words(worked(self.home.shelf))
        self.home.push_screen(
            AskChoice(f"How did {key} run?", BEHAVED_CHOICES, words=told), lambda how: self._ran(key, how)
        )

    def _ran(self, key: str, how: str | None) -> None:
        from core.conditioning.loads.chamber_log import BEHAVED
        from core.evening.playing.again import ran

        behaved = next((word for word in BEHAVED if word and word == how), None)
        if behaved is not None:
            what = f"{key} ran with {behaved}" if behaved != "stopped" else f"{key} stopped on the deck"
            self.home.do(
                lambda: self.home.book.change(lambda s: ran(s, key, behaved, self.home.now()), what=what),
                self.home.undoable(what),
            )


def following(row: ChartRow) -> Stage | None:
    """The stage that the next step reaches; None where the next step reaches none."""
    if row.step.stage:
        return row.step.stage
    return None


def no_next(row: ChartRow) -> str:
    """Why there is no next stage to mark."""
    return f"{row.key}: {row.step.waits or row.step.words or 'nothing is left to do'}"
