"""Leaving the step under the cursor out tonight, and doing one once more."""

from __future__ import annotations

from core.evening.around.tight_end import only_offered
from core.evening.tonight.sheet import OVER
from core.evening.tonight.steps import (
    repeat_step,
    words,
)
from core.evening.tonight.transfer import leave_out
from tui.frame.acts.held import Acts
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.evening import Evening


class SkipActs(Acts[Evening]):
    """What takes a step out of the evening, or has it once more."""

    def __init__(self, here: Evening, replans: ReplanActs) -> None:
        super().__init__(here)
        self.replans = replans

    def action_skip(self) -> None:
        """Leaves the step out tonight; a tape that runs for it stops."""
        from tui.asking.asking import AskText

        step, at = self.here.step, self.home.now()
        if step is None:
            return
        offered = only_offered(step)
        if offered:
            self.here.say(offered, bad=True)
            return
        if step.state in OVER:
            why = f": {step.because}" if step.state == "struck" else ""
            self.here.say(f"{words(step)} is {step.state} already{why}", bad=True)
            return
        question = AskText(f"Skip {words(step)} tonight?", "Say why; it is kept.", draft=f"skip {step.key}")

        def answered(why: str | None) -> None:
            if why:
                self.here.alter(
                    lambda s: leave_out(s, step, at, why),
                    f"skip {words(step)}",
                    f"{words(step)} is skipped: {why}",
                    at=at,
                    because=why,
                )
                self.here.on_from(step)
                self.replans.after_pass()  # what waited for the deck

        self.home.push_screen(question, answered)

    def action_again(self) -> None:
        """Does a step once more that was done or skipped."""
        step, at = self.here.step, self.home.now()
        if step is None:
            return
        if step.state not in ("done", "skipped"):
            works = self.home.keyed("{tonight.go} works it")
            self.here.say(f"{words(step)} is {step.state}: {works}", bad=True)
            return
        said = f"{words(step)}: once more since {at:%H:%M}"
        if self.here.alter(lambda shelf: repeat_step(shelf, step, at), f"repeat {words(step)}", said, at=at):
            current = self.here.sheet.current
            self.here.laid(current.key if current is not None else "")
