"""When it goes wrong: one short list, each thing one dialog, one change that can be taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from typing import cast

from core.conditioning.advisor import advice_of
from core.errors import ReelturnError
from core.evening.afterwards.by_paper import by_paper
from core.evening.afterwards.catch_up import behind
from core.evening.afterwards.lay_before import Before, as_told, decks_before
from core.evening.afterwards.paper_log import PaperLog
from core.evening.answers import ON_HEADS, Cause, squeal_says, squeals
from core.evening.deck_fails import lies_there
from core.evening.playing.again import repaired
from core.evening.playing.passes import deck_of_pass
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import deck_of_step, tape_of, to_try, words
from core.evening.tonight.transfer import gate, halt, start_span, transfer_of
from core.shelf import Shelf
from core.words import counted
from tui.frame.acts.held import Acts
from tui.places.tonight.acts.deck_free import ask_before
from tui.places.tonight.acts.hours import EveningHours
from tui.places.tonight.acts.pass_over import PassOver
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.evening import Evening
from tui.places.tonight.mishap.tape_needs import ask_again, ask_aside, ask_splice
from tui.places.tonight.mishap.wrong_box import ask_wrong_box
from tui.places.tonight.paper.paper_rows import PaperRows
from tui.safe_text import cells

#: When a step began, where that is known, and when it ended.
Times = tuple[datetime | None, datetime]

#: In the order in which they are asked for.
PROBLEMS = {
    "stop": "I must stop early",
    "box": "the box held another tape",
    "again": "it needs another conditioning",
    "squeal": "it squeals",
    "splice": "a splice let go",
    "paper": "this step was done by paper: enter its real time",
    "helper": "the helper does not come tonight, leaves early or comes late",
    "power": "the power failed, or nobody was there for a while",
    "aside": "set it aside: specialist, or not to be transferred",
    "evening": "not on an evening, or an extra one",
    "repaired": "its splices are repaired",
    "span": "play one span of it only",
    "heard": "it was heard: what it is, whether it is transferred",
    "deck": "a deck does not run",
}


class MishapActs(Acts[Evening]):
    """The list behind the problem key. The reel is that of the step under the cursor."""

    def __init__(self, here: Evening, hours: EveningHours, over: PassOver, replans: ReplanActs) -> None:
        super().__init__(here)
        self.hours, self.over, self.replans = hours, over, replans

    def action_problem(self) -> None:
        """Opens the list."""
        from tui.asking.choosing import AskChoice

        step = self.here.step
        why_not = {} if step is not None else dict.fromkeys(("paper", "span"), "no step is under the cursor")
        if step is not None and step.kind != "transfer":
            why_not["span"] = "only for a transfer"
        title = "What went wrong?" if step is None else f"What went wrong?  ({words(step)})"
        ask: dict[str, Callable[[], None]] = {
            "box": lambda: self._with_reel(self._wrong_box),
            "again": lambda: self._with_reel(self._again),
            "squeal": lambda: self._with_reel(self._squeal),
            "splice": lambda: self._with_reel(self._splice),
            "repaired": lambda: self._with_reel(self._repaired),
            "aside": lambda: self._with_reel(self._aside),
            "stop": self.hours.stop_early,
            "evening": self.hours.other_evening,
            "helper": self._helper,
            "power": self._power,
            "paper": self._paper,
            "span": self._span,
            "heard": lambda: self._with_reel(self._heard),
            "deck": self.deck_fails,
        }
        question = AskChoice(title, tuple(PROBLEMS.items()), why_not=why_not)
        self.home.push_screen(question, lambda chosen: ask[chosen]() if chosen else None)

    def _with_reel(self, then: Callable[[str], None]) -> None:
        """Goes on with the step's reel; where there are several or none, asks which."""
        from tui.asking.choosing import AskChoice

        mine = self._reels_of([self.here.step] if self.here.step else [])
        offered = mine or self._tonight()
        if len(mine) == 1:
            then(mine[0])
        elif not offered:
            self._named("", then)
        else:
            choices = [(key, f"{key}  {self.home.shelf.reel(key).box_label}") for key in offered]
            choices += [] if mine else [("", "another: type its key")]
            question = AskChoice("Which reel?", choices)
            self.home.push_screen(question, lambda key: self._named(key, then) if key is not None else None)

    def _named(self, key: str, then: Callable[[str], None]) -> None:
        from tui.asking.asking import AskText

        if key:
            then(key)
            return
        question = AskText("Which reel?", draft="mishap reel", hint="R-001", check=self._is_there)
        self.home.push_screen(question, lambda typed: then(typed) if typed else None)

    def _tonight(self) -> list[str]:
        """Tonight's reels, the one whose tape runs first."""
        steps = sorted(self.here.sheet.steps, key=lambda step: step.state != "running")
        return self._reels_of(steps)

    def _reels_of(self, steps: Iterable[Step]) -> list[str]:
        keys = [key for step in steps for key in (step.subject, *step.reels) if key in self.home.shelf.reels]
        return list(dict.fromkeys(keys))

    def _is_there(self, key: str) -> str | None:
        return None if key in self.home.shelf.reels else f"no reel {key!r} on this shelf"

    def _happened(self, act: Callable[[Shelf], Shelf], what: str, at: datetime, because: str = "") -> None:
        """One change, then planning again."""
        if self.here.alter(act, what, what, at=at, because=because):
            self.replans.replan(what)

    def hearing(self, key: str, at: datetime, first: Callable[[Shelf], Shelf] = lambda shelf: shelf) -> None:
        """Asks what was heard on that reel; ``first`` is done in the same change, such as ending the step."""
        from tui.asking.hearing import ask_hearing

        ask_hearing(
            self.home, key, at, lambda act, what: self._happened(lambda shelf: act(first(shelf)), what, at)
        )

    def _heard(self, key: str) -> None:
        self.hearing(key, self.home.now())

    # The tape -------------------------------------------------------------------------------------------

    def _wrong_box(self, key: str) -> None:
        at = self.home.now()
        ask_wrong_box(self.home, key, lambda act, what: self._happened(act, what, at))

    def _again(self, key: str) -> None:
        try:
            ask_again(self.home, key, self.home.now(), self._happened)
        except ReelturnError as error:
            self.here.say(str(error), bad=True)  # before anything is asked

    def squealed(self, reel: str) -> None:
        """It was stopped for that by its own key; left without an answer, nobody has looked yet."""
        self._squeal(reel, unanswered="not looked")

    def joint_let_go(self, reel: str) -> None:
        """It was stopped for that by its own key; left without an answer, one joint let go."""
        ask_splice(self.home, reel, self.home.now(), self._happened, unanswered=1)

    def _squeal(self, key: str, unanswered: str | None = None) -> None:
        """Stop first; what lies on the heads then tells whether to clean, warm, cool or look further."""
        from tui.asking.choosing import AskChoice

        at = self.home.now()
        question = AskChoice(
            f"{key} squeals: stop the tape, then wipe the heads with a dry swab",
            tuple(ON_HEADS.items()),
            words="Clean heads and guides and let them dry. Never force it.",
        )

        def answered(cause: str | None) -> None:
            cause = cause or unanswered
            if cause is None:
                return

            def act(shelf: Shelf) -> Shelf:
                return squeals(halt(shelf, key, at, "it squeals"), key, cast("Cause", cause))

            self._happened(act, f"{key} squeals", at, "it squeals")
            self._told_of_squeal(key, cast("Cause", cause), at)

        self.home.push_screen(question, answered)

    def _told_of_squeal(self, key: str, cause: Cause, at: datetime) -> None:
        shelf = self.home.shelf
        says = squeal_says(shelf, key, cause, at)
        self.here.say(says, bad=bool(advice_of(shelf, shelf.reel(key), at).barred_by))
        self.replans.told_first = (says,) if cells(says) + 2 > self.here.size.width else ()  # cut at the foot

    def _splice(self, key: str) -> None:
        ask_splice(self.home, key, self.home.now(), self._happened)

    def _repaired(self, key: str) -> None:
        self._happened(lambda shelf: repaired(shelf, key), f"splices of {key} repaired", self.home.now())

    def _aside(self, key: str) -> None:
        ask_aside(self.home, key, self.home.now(), self._happened)

    # The evening itself ----------------------------------------------------------------------------------

    def deck_fails(self) -> None:
        """A deck does not run: it rests until a day, its tape is lifted off, and the plan goes round it."""
        from tui.places.tonight.acts.deck_fails import ask_deck

        runs = self.here.shown_tape()
        mine = deck_of_step(self.here.step) if self.here.step is not None else ""
        mine = mine or (deck_of_pass(self.home.shelf, runs.reel) if runs is not None else "")

        def happened(act: Callable[[Shelf], Shelf], what: str, deck: str) -> None:
            now = self.home.now()
            if not self.here.alter(act, what, what, at=now):
                return
            lies = lies_there(self.home.shelf, deck, now) if deck else ""
            self.replans.told_first = (lies,) if lies else ()
            self.replans.replan(what)
            if lies:
                self.here.say(f"{what}; {lies}", bad=True)

        ask_deck(self.home, mine, self.here.sheet.day, happened)

    def _helper(self) -> None:
        from tui.places.tonight.mishap.helper import ask_helper

        because = "the helper does not come as was meant"
        ask_helper(
            self.home,
            self.here.sheet.day,
            lambda act, what: self._happened(act, what, self.home.now(), because),
        )

    def _power(self) -> None:
        from tui.frame.acts.away import ask_times

        now = self.home.now()
        ask_times(self.home, now, now)

    def _paper(self) -> None:
        from tui.places.tonight.paper.from_paper import entered, paper_form

        step, now, shelf = self.here.step, self.home.now(), self.home.shelf
        if step is None:
            return
        numbers = transfer_of(shelf, step).left if step.kind == "transfer" else ()
        if step.kind == "transfer" and not numbers:
            self.here.say(f"{words(step)}: every pass is done already", bad=True)
            return
        rows = PaperRows(self.here.sheet.day, shelf.studio.zone, now, numbers)

        def answered(values: dict[str, str] | None) -> None:
            if values is not None:
                times, log = entered(step, rows, values)
                began = times[0] or (log.pieces[0].began if log.pieces else times[1])
                found = decks_before(self.home.shelf, [(step, began)])
                ask_before(self.home, found, lambda off: self._because(step, times, log, off))

        self.home.push_screen(paper_form(shelf, step, rows, f"paper {step.key}"), answered)

    def _because(self, step: Step, times: Times, log: PaperLog, off: Sequence[Before]) -> None:
        """A gate that is not met asks for the reason."""
        from tui.asking.reason import ask_reason

        why = gate(self.home.shelf, step, times[1])
        if why is None or any(piece.stop is not None for piece in log.pieces[-1:]):
            self._by_paper(step, times, log, off, "")
            return
        question = ask_reason(
            f"{words(step)} all the same?", f"{why} Say why; it is kept.", step=f"{step.key} by paper"
        )
        self.home.push_screen(
            question, lambda because: self._by_paper(step, times, log, off, because) if because else None
        )

    def _by_paper(self, step: Step, times: Times, log: PaperLog, off: Sequence[Before], because: str) -> None:
        from tui.asking.about_tape import ask_tried

        started, finished = times
        what = f"{words(step)} by paper, {finished:%H:%M}"
        tape = tape_of(step)
        to_test = to_try(self.home.shelf, step, self.home.now()) is not None  # before the tape ran
        what += "".join(f"; {one.done} before" for one in off)

        def act(shelf: Shelf) -> Shelf:
            return by_paper(as_told(shelf, off), step, started, finished, because, log)

        if not self.here.alter(act, what, what, at=finished, because=because):
            return
        more = len(behind(self.here.sheet, self.home.now()))
        if more:  # the rest of the paper first: one plan at the end, not one each
            told = f"done by paper, {finished:%H:%M}; {counted(more, 'step')} until now still to mark"
            self.here.say(self.home.keyed(f"{told}, then {{any.plan}} plans again"))
        else:
            self.replans.replan(what)
        whole = [piece.number for piece in log.pieces[-1:] if piece.stop is None]
        if whole and self.home.shelf.reel(step.subject).past("transferred"):
            self.over.pass_over(step.subject, whole[0], by_paper=True)
        if log.squealed:
            self._told_of_squeal(step.subject, log.heads, finished)
        if to_test:
            ask_tried(self.home, tape)

    def _span(self) -> None:
        from tui.asking.about_tape import ask_tried
        from tui.asking.asking import AskText

        step, at = self.here.step, self.home.now()
        if step is None:
            return
        question = AskText(
            f"One span of {step.subject} only",
            "From and to, and why not the whole reel: 12:30-16:45 only the second song is wanted",
            draft=f"span {step.key}",
            check=lambda text: None if len(text.split(None, 1)) == 2 else "the span, then the reason",
        )

        def answered(text: str | None) -> None:
            if text is not None and to_try(self.home.shelf, step, at) is not None:
                ask_tried(self.home, step.subject, lambda: answered(text))
            elif text is not None:
                span, why = text.split(None, 1)
                self.here.alter(
                    lambda shelf: start_span(shelf, step, at, span, why),
                    f"play {span} of {step.subject}",
                    f"playing {span} of {step.subject}",
                    at=at,
                    because=why,
                )

        self.home.push_screen(question, answered)
