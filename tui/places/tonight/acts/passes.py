"""While the tape runs: notes at the key press, stopping with a why, going on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from core.clock import clock_text
from core.evening.afterwards.left_running import left_running
from core.evening.around.unset import plays_on
from core.evening.playing.from_the_tail import key_came_late
from core.evening.playing.passes import (
    NOTE_KINDS,
    STOPPED_FOR,
    TapePass,
    notes_of,
    reword_note,
    stop_pass,
    stopped_before,
    stopped_for,
)
from core.evening.playing.real_length import real_length, take_length
from core.evening.playing.song_spans import spans_heard, take_spans
from core.evening.playing.when import When
from core.evening.tonight.sheet import Step
from core.evening.tonight.transfer import open_pass, runs_on, stop_line_up
from core.lineup.reach import of_other_width
from core.logbook.passes import PlayedPass, for_a_squeal, noted, pass_key, played, played_of
from core.logbook.running import line_ups_running, winds_running
from core.standing.gates import ready_to_play
from core.standing.left_to_play import BACK_SECONDS, to_play
from core.words import counted
from tui.keys.keys import called
from tui.places.tonight.acts.deck_free import ask_rests, ask_stopped
from tui.places.tonight.advice import before_it_goes_on
from tui.places.tonight.evening_place import EveningPlace

WHYS = (*STOPPED_FOR, "other")
EARLIER, DECK = "earlier", "deck"


class PassActs(EveningPlace):
    """What the keys do to the pass that runs or stands stopped."""

    def stopped_tape(self) -> TapePass | None:
        """The stopped pass of the step under the cursor, else of the current one, else of this evening."""
        now, shelf = self.home.now(), self.home.shelf
        tonight = (one for one in self.sheet.steps if one.kind == "transfer")
        for step in (self.step, self.sheet.current, *tonight):
            tape = open_pass(shelf, step, now) if step is not None else None
            if tape is not None and tape.state == "stopped":
                return tape
        return None

    def action_drop(self) -> None:
        """Drops a note where the tape is now; a digit names its kind, words can wait."""
        if self.home.stamp():
            self.laid()

    def action_kind(self, number: int) -> None:
        """Names the note that was dropped last; while a tape runs a bare digit drops one and names it."""
        key, kind = self.home.unnamed_note, NOTE_KINDS[number - 1]
        note = noted(self.home.shelf).get(key)
        self.home.named_note()
        if note is None:
            self.home.stamp(kind)
            self.laid()
            return
        at = clock_text(int(note.seconds))
        adds = self.home.keyed("{tonight.words} adds words when there is time")
        said = f"{kind} at {at}; {adds}"
        self.alter(lambda shelf: reword_note(shelf, key, kind=kind), f"{kind} at {at}", said)

    def action_words(self) -> None:
        """Words for the notes of the pass; where there are none, the reel's card."""
        from tui.places.tonight.notes_page import NotesPage

        tape = self.shown_tape()
        notes = (
            [key for key, one in notes_of(self.home.shelf, tape.reel) if one.number == tape.number]
            if tape is not None
            else []
        )
        if tape is None or not notes:
            if self.step is not None and self.step.kind == "align":
                self._open_line_up(self.step)
            else:
                self.action_card()
            return
        self.app.push_screen(NotesPage(tape.reel, tape.number, self.home.unnamed_note))

    def _open_line_up(self, step: Step) -> None:
        """The sheet of a line-up, for the reel with most tracks of those that are played on it."""
        shelf, item, plan = self.home.shelf, step.item, self.home.plan
        planned = plays_on(plan, item) if item is not None and plan is not None else ()
        later = [one.subject for one in self.sheet.steps if one.kind == "transfer" and one.state != "done"]
        wanted = dict(item.setup) if item is not None else {}
        keys = (*(key for key in planned if key in shelf.reels), *later)
        tapes = [shelf.reel(key) for key in (*keys, *(one.key for one in shelf.transferable()))]
        fitting = [
            one.key for one in tapes if any(part.reel.setup.words() == wanted for part in to_play(shelf, one))
        ]
        if item is None or not fitting:
            self.say("no reel of that set-up is on the shelf any more", bad=True)
            return
        mine = [key for key in fitting if key in planned] or fitting[:1]
        tape = shelf.reels.get(item.calibration)
        others = {one.key for one in of_other_width(tape, [shelf.reel(key) for key in mine])}
        alike = [key for key in mine if key not in others] or mine  # as on paper: the tape's own width first
        widest = max(alike, key=lambda key: shelf.reel(key).tracks or 1)  # the first of several alike
        self.home.open_door("line-up", widest, step.subject, item.calibration, item.by)

    def action_card(self) -> None:
        """Opens the card of the step's reel."""
        step, shelf = self.step, self.home.shelf
        keys = [key for key in (step.subject, *step.reels) if key in shelf.reels] if step else []
        if keys:
            self.home.open_door("reel", keys[0], tuple(dict.fromkeys(keys)))
        elif step is not None:
            self.say("this step is not about one reel")

    def action_capture(self) -> None:
        """Opens the captures of the step's reel."""
        step = self.step
        if step is not None and step.subject in self.home.shelf.reels:
            self.home.open_door("captures", step.subject)

    def open_tape(self, reel: str) -> PlayedPass | None:
        """The pass of that reel that runs or stands; None where there is none."""
        return next((one for one in played_of(self.home.shelf, reel) if one.state != "done"), None)

    def ask_when(self, title: str, draft: str, tape: PlayedPass | None, then: Callable[[When], None]) -> None:
        """Asks for a time of this evening, or a place on that tape; how it reads stands below."""
        from tui.asking.when import ask_when

        ask_when(self.home, title, draft, tape, then)

    def action_halt(self) -> None:
        """The tape was stopped at this moment; why, and when it really was, can be said at once."""
        tape, now = self.running_tape(), self.home.now()
        left = left_running(self.home.shelf, now) if tape is not None else None
        if left is not None:
            from tui.frame.acts.left_running import ask_left

            ask_left(self.home, left)
            return
        if tape is None:
            stands = self.stopped_tape()
            if self._line_up_runs():
                self._stop_line_up(now)
            elif stands is not None:
                self._ask_why(pass_key(stands.reel, stands.number), stands)
            return
        key = pass_key(tape.reel, tape.number)
        place = clock_text(int(tape.position))
        said = f"{tape.reel} stands at {place}; {self._goes_on()} goes on"
        if not self.alter(
            lambda shelf: stop_pass(shelf, key, now, "stopped"), f"stop pass {key}", said, at=now
        ):
            return
        self._ask_why(key, tape)

    def _stop_line_up(self, now: datetime) -> None:
        winds = winds_running(self.home.shelf, now) and not line_ups_running(self.home.shelf, now)
        what = "the wind" if winds else "the line-up"
        if self.alter(
            lambda s: stop_line_up(s, now, "stopped"), f"stop {what}", f"{what} is stopped", at=now
        ):
            self.after_pass()  # what waited for the deck

    def _line_up_runs(self) -> bool:
        shelf, now = self.home.shelf, self.home.now()
        return bool(line_ups_running(shelf, now) or winds_running(shelf, now))

    def _ask_why(self, key: str, tape: TapePass) -> None:
        from tui.asking.choosing import AskChoice

        choices = [*((why, why) for why in WHYS), (EARLIER, "it stopped earlier: at what time or place?")]
        choices.append((DECK, "the deck does not run"))
        words = "It is kept already where the tape stands; say why it was stopped."
        place = clock_text(int(tape.position))
        question = AskChoice(f"{tape.reel} stopped at {place}", choices, words=words)
        self.app.push_screen(question, lambda why: self._say_why(key, why))

    def _say_why(self, key: str, why: str | None) -> None:
        from tui.asking.asking import AskText

        if why == EARLIER:
            tape = played(self.home.shelf)[key]
            self.ask_when("When did it stop?", f"stop {key}", tape, lambda when: self._earlier(key, when))
        elif why == DECK:
            self.deck_fails()
        elif why == "other":
            question = AskText("Why was it stopped?", draft=f"stopped {key}")
            self.app.push_screen(question, lambda words: self._keep_why(key, words))
        else:
            self._keep_why(key, why)

    def _earlier(self, key: str, when: When) -> None:
        """Noticed late: the tape stood since then, and all places follow; then why is asked again."""
        place = when.place if when.told_by == "tape" else None
        said = f"{key} stopped {when.words}"
        if self.alter(lambda shelf: stopped_before(shelf, key, when.moment, place), f"stop pass {key}", said):
            stands = self.stopped_tape()
            if stands is not None:
                self._ask_why(key, stands)

    def _keep_why(self, key: str, why: str | None) -> None:
        if why:
            said = f"stopped: {why}; {before_it_goes_on(why)}{self._goes_on()} goes on"
            self.alter(lambda shelf: stopped_for(shelf, key, why), f"why pass {key} stopped", said)
        if not any(self.home.now() < span.end for span in self.sheet.bench):
            self.after_pass()  # it goes on on another evening: what waited for its end is planned now
        if for_a_squeal(why or ""):
            self.squealed(played(self.home.shelf)[key].reel)
        elif why == "splice":
            self.joint_let_go(played(self.home.shelf)[key].reel)

    def _goes_on(self) -> str:
        return called("tonight.resume", self.home.own_keys)

    def action_resume(self) -> None:
        """Goes on with the stopped pass, some seconds before it stopped."""
        tape = self.stopped_tape()
        if tape is None:
            return
        # Its row may have moved to another time since; then the row that waits is the one that begins.
        mine = [one for one in self.sheet.steps if (one.kind, one.subject) == ("transfer", tape.reel)]
        waits = next((one for one in mine if one.state == "waiting"), None)
        if waits is not None and not any(one.state == "running" for one in mine):
            self.begins(waits)
            return
        ask_rests(
            self.home,
            tape.reel,
            lambda: ask_stopped(self.home, self.alter, tape.reel, lambda why: self._runs_on(tape, why)),
        )

    def _runs_on(self, tape: TapePass, why: str) -> None:
        key, now = pass_key(tape.reel, tape.number), self.home.now()
        start = clock_text(int(max(0.0, tape.position - BACK_SECONDS)))
        back = f"{BACK_SECONDS:g} s before it stopped: piece {tape.pieces + 1}"
        said = f"{tape.reel} goes on from {start}, {back}"
        what = f"go on with pass {key}"
        self.alter(lambda shelf: runs_on(shelf, key, now, why), what, said, at=now, because=why)

    def begins(self, step: Step) -> None:
        """A step that waits begins by the one key, which asks what there is to ask."""

    # The pass is over ------------------------------------------------------------------------------------

    def pass_over(self, reel: str, number: int, *, by_paper: bool = False) -> None:
        """What the pass told: the tape's real length, then where its songs begin and end."""
        from tui.asking.asking import AskYes

        ran = real_length(self.home.shelf, reel, by_paper=by_paper)
        if ran is None:
            self._songs_heard(reel, number)
            return

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                what = f"length of {reel} taken as {ran.feet} ft"  # reads right where it is taken back too
                self.alter(lambda shelf: take_length(shelf, ran), what, f"{reel} is {ran.feet} ft long")
            elif not by_paper and key_came_late(self.home.shelf, reel, number) is not self.home.shelf:
                what = f"the end of {reel} was told late: its notes by {clock_text(round(ran.reckoned))}"
                self.alter(lambda shelf: key_came_late(shelf, reel, number), what, what)
            self._songs_heard(reel, number)

        told = "Estimates and plans follow. Esc where the key came late, or the tape was not all played."
        self.app.push_screen(AskYes(f"{reel}: {ran.words}", told), answered)

    def _songs_heard(self, reel: str, number: int) -> None:
        from tui.asking.asking import AskYes

        spans = spans_heard(self.home.shelf, reel, number)
        if not spans:
            self.after_pass()
            return

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                what = f"{counted(len(spans), 'song')} on {reel} from the notes"
                self.alter(lambda shelf: take_spans(shelf, spans), what, what)
            self.after_pass()

        lines = "\n".join(one.words for one in spans[:8])
        self.app.push_screen(AskYes(f"{reel}: take these as its songs' places?", lines), answered)

    def reason_not(self, action: str) -> str | None:
        """Notes and stopping need a running tape, going on a stopped one."""
        if action == "drop" and self.running_tape() is None:
            return "no tape is running"
        stands = self.running_tape() or self.stopped_tape()
        if action == "halt" and stands is None and not self._line_up_runs():
            return "no tape is running"
        if action == "resume" and (self.running_tape() is not None or self.stopped_tape() is None):
            return "no tape stands stopped"
        tape = self.stopped_tape() if action == "resume" else None
        if tape is not None:
            return ready_to_play(self.home.shelf, self.home.shelf.reel(tape.reel), self.home.now())
        if action.startswith("kind(") and not self.home.unnamed_note and self.running_tape() is None:
            return f"no note waits for its kind: {called('tonight.note', self.home.own_keys)} drops one"
        return super().reason_not(action)
