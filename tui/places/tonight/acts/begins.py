"""The evening begins: what was not marked, what to fetch, switch on, who comes; catching up in one go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from core.evening.afterwards.catch_up import Caught, behind, caught_up, reasons_wanted, unseen
from core.evening.afterwards.lay_before import Before, as_told, decks_before
from core.evening.around.begins import in_short, still_to_fetch, switched_on, who_comes
from core.evening.around.fetch import by_place
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import tape_of, to_try, words
from core.shelf import Shelf
from core.words import counted, listed
from tui.board.chamber import missed_turns
from tui.frame.acts.held import Acts
from tui.frame.acts.plan_again import waits_since
from tui.frame.text_page import Lines, TextPage
from tui.places.tonight.acts.deck_free import ask_before
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.evening import Evening
from tui.places.tonight.paper.catch_form import catch_form, title, told_by
from tui.places.tonight.paper.unproved import ask_each
from tui.safe_text import cells


class BeginActs(Acts[Evening]):
    """What the keys at the beginning of an evening do, and the one that marks many steps at once."""

    def __init__(self, here: Evening, replans: ReplanActs) -> None:
        super().__init__(here)
        self.replans = replans

    def action_begin(self) -> None:
        """Shows what to fetch, by its place on the shelf, what to switch on, and who comes."""
        self.home.push_screen(TextPage("Before you begin", self.beginning))

    def beginning(self) -> Lines:
        """The lines of that page."""
        shelf, sheet = self.home.shelf, self.here.sheet
        lines: list[tuple[str, str]] = []
        late = self.home.unmarked()
        if late:
            told = self.home.keyed(
                f"{title(late, earlier=True)}: {{ask.out}}, then {{tonight.catch_up}} goes through them"
            )
            lines += [("head", "Not marked"), ("bad", told)]
            lines += [("word", f"{step.planned.start:%a %H:%M}  {words(step)}") for step in late]
        stale = self.home.stale()
        lines += [("head", "The plan"), ("bad", stale)] if stale else []
        lines.append(("head", "Fetch"))
        places = by_place(still_to_fetch(shelf, sheet, self.home.now()))
        for place, rows in places.items():
            lines.append(("next", place))
            lines += [
                ("bad" if "not put back" in row.lies.aside else "word", f"  {row.words}") for row in rows
            ]
        lines += [] if places else [("word", "nothing: no open step wants a tape from the shelf")]
        lines.append(("head", "Switch on"))
        on = switched_on(shelf, sheet)
        lines += [
            ("word", f"{name}, for {_short(step)} at {(step.expected or step.planned).start:%H:%M}")
            for name, step in on
        ]
        lines += [] if on else [("word", "nothing")]
        helper = who_comes(shelf, sheet)
        return [*lines, ("head", "Who comes"), ("word", helper or "nobody is expected, and nobody is wanted")]

    def begin_line(self) -> str:
        """The same on one line, until the first step of the evening has begun; empty then."""
        if any(step.started for step in self.here.sheet.steps):
            return ""
        home = self.home
        for shortest in (False, True):
            short = in_short(home.shelf, self.here.sheet, home.now(), shortest=shortest)
            line = home.keyed(f"{{tonight.begin}} before you begin: {short}") if short else ""
            if cells(line) + 4 <= self.here.size.width:
                break
        return line

    # Many steps at once ----------------------------------------------------------------------------------

    def action_catch_up(self) -> None:
        """What was not marked on earlier evenings comes first, then tonight's steps until now."""
        from tui.asking.look.looking import look_along

        now = self.home.now()
        earlier = self.home.unmarked()
        missed = [one.step(now) for one in missed_turns(self.home.shelf, now)]
        steps = earlier or sorted((*missed, *behind(self.here.sheet, now)), key=lambda one: one.planned.start)
        if not steps:
            self.here.say("every step that was to be over by now is marked")
            return

        def answered(values: dict[str, str] | None) -> None:
            if values is not None:
                told = told_by(values, steps, self.home.shelf.studio.zone, now)
                looks = unseen(self.home.shelf, told)
                look_along(self.home, looks, then=lambda: self._caught(told, now))

        self.home.push_screen(catch_form(self.home.shelf, steps, now, earlier=bool(earlier)), answered)

    def _caught(self, told: Sequence[Caught], now: datetime) -> None:
        """Each doubtful verify by itself, one reason for all other gates, one change, one plan at the end."""
        wanted = self.home.do(lambda: reasons_wanted(self.home.shelf, told), over=False)
        if wanted is None:
            return  # another program wrote meanwhile
        began = [(one.step, one.started) for one in told if one.how == "done" and one.started is not None]
        found = decks_before(self.home.shelf, began)
        ask_before(self.home, found, lambda off: self._decks_free(told, wanted, off, now))

    def _decks_free(
        self,
        told: Sequence[Caught],
        wanted: Sequence[tuple[Caught, str]],
        off: Sequence[Before],
        now: datetime,
    ) -> None:
        doubts = [(one, why) for one, why in wanted if one.step.kind == "verify" and not one.because]
        gates = [f"{words(one.step)}: {why}" for one, why in wanted if one.step.kind != "verify"]
        ask_each(self.home, doubts, told, lambda each: self._gates_met(each, gates, off, now))

    def _gates_met(
        self, told: Sequence[Caught], wanted: Sequence[str], off: Sequence[Before], now: datetime
    ) -> None:
        from tui.asking.reason import ask_reason

        if not wanted:
            self._catch(told, off, now, "")
            return
        alike = gates_alike(wanted)
        lines = "\n".join(alike[:6]) + (f"\nand {len(alike) - 6} more" if len(alike) > 6 else "")
        question = ask_reason(
            f"{counted(len(wanted), 'gate')} not met: all the same?",
            f"{lines}\nSay why; it is kept with each.",
            step=f"catching up, {self.here.sheet.day}",
        )
        self.home.push_screen(question, lambda why: self._catch(told, off, now, why, wanted) if why else None)

    def _catch(
        self,
        told: Sequence[Caught],
        off: Sequence[Before],
        now: datetime,
        why: str,
        wanted: Sequence[str] = (),
    ) -> None:
        """All of it as one change; its history says which steps the reason was asked for."""
        from tui.asking.about_tape import ask_tried

        own = [f"{words(one.step)}: {one.because}" for one in told if one.how == "done" and one.because]
        common = f"{why} (for {listed([one.partition(': ')[0] for one in wanted])})" if wanted else why
        because = "; ".join(filter(None, (common, *own)))
        left = unseen(self.home.shelf, told)
        done = sum(one.how == "done" for one in told) - len(left)
        other = len(told) - done
        what = f"catch up: {done} done" + (f", {other} not done" if other else "")
        what += f" (the look at {listed(left)}: nobody told its condition)" if left else ""
        doubtful = [one.step.subject for one in told if one.how == "moved" and one.because]
        what += f" (left, not proved: {listed(doubtful)})" if doubtful else ""
        what += "".join(f"; {one.done}" for one in off)
        untold = _not_tried(self.home.shelf, told)  # before they ran

        def act(shelf: Shelf) -> Shelf:
            return caught_up(as_told(shelf, off), told, why, now=now)

        if not self.here.alter(act, what, what, at=now, because=because):
            return
        current = self.here.sheet.after(told[-1].step.key)
        self.here.laid(current.key if current is not None else "")
        more = len(self.home.unmarked() or behind(self.here.sheet, self.home.now()))
        if more:  # a plan made now would take what is still to be told for not done
            plans = self.home.keyed("then {tonight.replan} plans")
            self.here.say(f"{what}; {counted(more, 'step')} still to mark, {plans}")
        elif self.home.stale() or other or self.here.sheet.will_not_fit or waits_since(self.home) is not None:
            self.replans.replan(what)
        for tape in reversed(untold):  # the last one pushed is answered first
            ask_tried(self.home, tape)


def _not_tried(shelf: Shelf, told: Sequence[Caught]) -> list[str]:
    """The tapes that ran by what is told now, and were to be tried by hand before; each once, in order."""
    ran = [one for one in told if one.how == "done" and one.started is not None and one.step.started is None]
    asked = [tape_of(one.step) for one in ran if one.started and to_try(shelf, one.step, one.started)]
    return list(dict.fromkeys(asked))


def _short(step: Step) -> str:
    return f"the line-up of {step.subject}" if step.kind == "align" else words(step)


def gates_alike(wanted: Sequence[str]) -> list[str]:
    """``verify R-008 and R-013: why``: the steps whose gates are not met for the same reason, in one line."""
    alike: dict[tuple[str, str], list[str]] = {}
    for one in wanted:
        step, _, why = one.partition(": ")
        verb, _, subject = step.partition(" ")
        alike.setdefault((verb, why), []).append(subject)
    return [f"{verb} {listed(subjects)}: {why}" for (verb, why), subjects in alike.items()]
