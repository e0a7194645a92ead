"""While the tape runs: notes at the key press, stopping with a why, going on."""

from __future__ import annotations

from datetime import datetime

from core.clock import clock_text
from core.evening.afterwards.left_running import left_running
from core.evening.around.unset import plays_on
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
from core.evening.playing.when import When
from core.evening.tonight.sheet import Step
from core.evening.tonight.transfer import open_pass, runs_on, stop_line_up
from core.lineup.reach import of_other_width
from core.logbook.passes import for_a_squeal, noted, pass_key, played
from core.logbook.running import line_ups_running, winds_running
from core.standing.gates import ready_to_play
from core.standing.left_to_play import BACK_SECONDS, to_play
from tui.frame.acts.held import Acts
from tui.keys.keys import called
from tui.places.tonight.acts.goes_on import ask_stopped
from tui.places.tonight.acts.mishaps import MishapActs
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.acts.step_acts import StepActs
from tui.places.tonight.advice import before_it_goes_on
from tui.places.tonight.evening import Evening

WHYS = (*STOPPED_FOR, "other")
EARLIER, DECK = "earlier", "deck"


class PassActs(Acts[Evening]):
    """What the keys do to the pass that runs or stands stopped."""

    def __init__(self, here: Evening, steps: StepActs, mishaps: MishapActs, replans: ReplanActs) -> None:
        super().__init__(here)
        self.steps, self.mishaps, self.replans = steps, mishaps, replans

    def stopped_tape(self) -> TapePass | None:
        """The stopped pass of the step under the cursor, else of the current one, else of this evening."""
        now, shelf = self.home.now(), self.home.shelf
        tonight = (one for one in self.here.sheet.steps if one.kind == "transfer")
        for step in (self.here.step, self.here.sheet.current, *tonight):
            tape = open_pass(shelf, step, now) if step is not None else None
            if tape is not None and tape.state == "stopped":
                return tape
        return None

    def action_drop(self) -> None:
        """Drops a note where the tape is now; a digit names its kind, words can wait."""
        if self.home.stamp():
            self.here.laid()

    def action_kind(self, number: int) -> None:
        """Names the note that was dropped last; while a tape runs a bare digit drops one and names it."""
        key, kind = self.home.unnamed_note, NOTE_KINDS[number - 1]
        note = noted(self.home.shelf).get(key)
        self.home.named_note()
        if note is None:
            self.home.stamp(kind)
            self.here.laid()
            return
        at = clock_text(int(note.seconds))
        adds = self.home.keyed("{tonight.words} adds words when there is time")
        said = f"{kind} at {at}; {adds}"
        self.here.alter(lambda shelf: reword_note(shelf, key, kind=kind), f"{kind} at {at}", said)

    def action_words(self) -> None:
        """Words for the notes of the pass; where there are none, the reel's card."""
        from tui.places.tonight.notes_page import NotesPage

        tape = self.here.shown_tape()
        notes = (
            [key for key, one in notes_of(self.home.shelf, tape.reel) if one.number == tape.number]
            if tape is not None
            else []
        )
        if tape is None or not notes:
            if self.here.step is not None and self.here.step.kind == "align":
                self._open_line_up(self.here.step)
            else:
                self.action_card()
            return
        self.home.push_screen(NotesPage(tape.reel, tape.number, self.home.unnamed_note))

    def _open_line_up(self, step: Step) -> None:
        """The sheet of a line-up, for the reel with most tracks of those that are played on it."""
        shelf, item, plan = self.home.shelf, step.item, self.home.plan
        planned = plays_on(plan, item) if item is not None and plan is not None else ()
        later = [
            one.subject for one in self.here.sheet.steps if one.kind == "transfer" and one.state != "done"
        ]
        wanted = dict(item.setup) if item is not None else {}
        keys = (*(key for key in planned if key in shelf.reels), *later)
        tapes = [shelf.reel(key) for key in (*keys, *(one.key for one in shelf.transferable()))]
        fitting = [
            one.key for one in tapes if any(part.reel.setup.words() == wanted for part in to_play(shelf, one))
        ]
        if item is None or not fitting:
            self.here.say("no reel of that set-up is on the shelf any more", bad=True)
            return
        mine = [key for key in fitting if key in planned] or fitting[:1]
        tape = shelf.reels.get(item.calibration)
        others = {one.key for one in of_other_width(tape, [shelf.reel(key) for key in mine])}
        alike = [key for key in mine if key not in others] or mine  # as on paper: the tape's own width first
        widest = max(alike, key=lambda key: shelf.reel(key).tracks or 1)  # the first of several alike
        self.home.open_door("line-up", widest, step.subject, item.calibration, item.by)

    def action_card(self) -> None:
        """Opens the card of the step's reel."""
        step, shelf = self.here.step, self.home.shelf
        keys = [key for key in (step.subject, *step.reels) if key in shelf.reels] if step else []
        if keys:
            self.home.open_door("reel", keys[0], tuple(dict.fromkeys(keys)))
        elif step is not None:
            self.here.say("this step is not about one reel")

    def action_capture(self) -> None:
        """Opens the captures of the step's reel."""
        step = self.here.step
        if step is not None and step.subject in self.home.shelf.reels:
            self.home.open_door("captures", step.subject)

    def action_halt(self) -> None:
        """The tape was stopped at this moment; why, and when it really was, can be said at once."""
        tape, now = self.here.running_tape(), self.home.now()
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
        if not self.here.alter(
            lambda shelf: stop_pass(shelf, key, now, "stopped"), f"stop pass {key}", said, at=now
        ):
            return
        self._ask_why(key, tape)

    def _stop_line_up(self, now: datetime) -> None:
        winds = winds_running(self.home.shelf, now) and not line_ups_running(self.home.shelf, now)
        what = "the wind" if winds else "the line-up"
        if self.here.alter(
            lambda s: stop_line_up(s, now, "stopped"), f"stop {what}", f"{what} is stopped", at=now
        ):
            self.replans.after_pass()  # what waited for the deck

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
        self.home.push_screen(question, lambda why: self._say_why(key, why))

    def _say_why(self, key: str, why: str | None) -> None:
        from tui.asking.asking import AskText
        from tui.asking.when import ask_when

        if why == EARLIER:
            tape = played(self.home.shelf)[key]
            ask_when(
                self.home, "When did it stop?", f"stop {key}", tape, lambda when: self._earlier(key, when)
            )
        elif why == DECK:
            self.mishaps.deck_fails()
        elif why == "other":
            question = AskText("Why was it stopped?", draft=f"stopped {key}")
            self.home.push_screen(question, lambda words: self._keep_why(key, words))
        else:
            self._keep_why(key, why)

    def _earlier(self, key: str, when: When) -> None:
        """Noticed late: the tape stood since then, and all places follow; then why is asked again."""
        place = when.place if when.told_by == "tape" else None
        said = f"{key} stopped {when.words}"
        if self.here.alter(
            lambda shelf: stopped_before(shelf, key, when.moment, place), f"stop pass {key}", said
        ):
            stands = self.stopped_tape()
            if stands is not None:
                self._ask_why(key, stands)

    def _keep_why(self, key: str, why: str | None) -> None:
        if why:
            said = f"stopped: {why}; {before_it_goes_on(why)}{self._goes_on()} goes on"
            self.here.alter(lambda shelf: stopped_for(shelf, key, why), f"why pass {key} stopped", said)
        if not any(self.home.now() < span.end for span in self.here.sheet.bench):
            self.replans.after_pass()  # it goes on on another evening: what waited for its end is planned now
        if for_a_squeal(why or ""):
            self.mishaps.squealed(played(self.home.shelf)[key].reel)
        elif why == "splice":
            self.mishaps.joint_let_go(played(self.home.shelf)[key].reel)

    def _goes_on(self) -> str:
        return called("tonight.resume", self.home.own_keys)

    def action_resume(self) -> None:
        """Goes on with the stopped pass, some seconds before it stopped."""
        tape = self.stopped_tape()
        if tape is None:
            return
        # Its row may have moved to another time since; then the row that waits is the one that begins.
        mine = [one for one in self.here.sheet.steps if (one.kind, one.subject) == ("transfer", tape.reel)]
        waits = next((one for one in mine if one.state == "waiting"), None)
        if waits is not None and not any(one.state == "running" for one in mine):
            self.steps.begins(waits)
            return
        begun, now = self.here.sheet.transfer_begun(tape.reel), self.home.now()

        def asked() -> None:
            ask_stopped(self.home, self.here.alter, tape.reel, lambda why: self._runs_on(tape, why))

        if begun is None:
            asked()
        else:
            self.steps.as_the_hours_are(begun, now, asked)

    def _runs_on(self, tape: TapePass, why: str) -> None:
        key, now = pass_key(tape.reel, tape.number), self.home.now()
        start = clock_text(int(max(0.0, tape.position - BACK_SECONDS)))
        back = f"{BACK_SECONDS:g} s before it stopped: piece {tape.pieces + 1}"
        said = f"{tape.reel} goes on from {start}, {back}"
        what = f"go on with pass {key}"
        self.here.alter(lambda shelf: runs_on(shelf, key, now, why), what, said, at=now, because=why)

    def reason_not(self, action: str) -> str | None:
        """Notes and stopping need a running tape, going on a stopped one."""
        if action == "drop" and self.here.running_tape() is None:
            return "no tape is running"
        stands = self.here.running_tape() or self.stopped_tape()
        if action == "halt" and stands is None and not self._line_up_runs():
            return "no tape is running"
        if action == "resume" and (self.here.running_tape() is not None or self.stopped_tape() is None):
            return "no tape stands stopped"
        tape = self.stopped_tape() if action == "resume" else None
        if tape is not None:
            return ready_to_play(self.home.shelf, self.home.shelf.reel(tape.reel), self.home.now())
        if action.startswith("kind(") and not self.home.unnamed_note and self.here.running_tape() is None:
            return f"no note waits for its kind: {called('tonight.note', self.home.own_keys)} drops one"
        return super().reason_not(action)
