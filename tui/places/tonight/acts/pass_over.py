"""A pass is over: what it told of the tape's length and of its songs is asked."""

from __future__ import annotations

from core.clock import clock_text
from core.evening.playing.from_the_tail import key_came_late
from core.evening.playing.real_length import real_length, take_length
from core.evening.playing.song_spans import spans_heard, take_spans
from core.logbook.passes import PlayedPass, played_of
from core.shelf import Shelf
from core.words import counted
from tui.frame.acts.held import Acts
from tui.places.tonight.acts.replan import ReplanActs
from tui.places.tonight.evening import Evening


class PassOver(Acts[Evening]):
    """What is asked once a pass was played to its end, on the screen or on paper."""

    def __init__(self, here: Evening, replans: ReplanActs) -> None:
        super().__init__(here)
        self.replans = replans

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
                self.here.alter(lambda shelf: take_length(shelf, ran), what, f"{reel} is {ran.feet} ft long")
            elif not by_paper and key_came_late(self.home.shelf, reel, number) is not self.home.shelf:
                what = f"the end of {reel} was told late: its notes by {clock_text(round(ran.reckoned))}"
                self.here.alter(lambda shelf: key_came_late(shelf, reel, number), what, what)
            self._songs_heard(reel, number)

        told = "Estimates and plans follow. Esc where the key came late, or the tape was not all played."
        self.home.push_screen(AskYes(f"{reel}: {ran.words}", told), answered)

    def _songs_heard(self, reel: str, number: int) -> None:
        from tui.asking.asking import AskYes

        spans = spans_heard(self.home.shelf, reel, number)
        if not spans:
            self.replans.after_pass()
            return

        def answered(yes: bool | None) -> None:  # noqa: FBT001  (an answer, called by the library)
            if yes:
                what = f"{counted(len(spans), 'song')} on {reel} from the notes"
                self.here.alter(lambda shelf: take_spans(shelf, spans), what, what)
            self.replans.after_pass()

        lines = "\n".join(one.words for one in spans[:8])
        self.home.push_screen(AskYes(f"{reel}: take these as its songs' places?", lines), answered)


def open_tape(shelf: Shelf, reel: str) -> PlayedPass | None:
    """The pass of that reel that runs or stands; None where there is none."""
    return next((one for one in played_of(shelf, reel) if one.state != "done"), None)
