"""Listening to the places of a check, and answering each: fine, or to be captured again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.logbook.files import Mark
from core.standing.kept_checks import listened, place_key
from tui.frame.acts.held import Acts
from tui.places.captures.on_captures import OnCaptures, read
from tui.workers.playing import Player

if TYPE_CHECKING:
    from core.capture.listening import Excerpt


class ListeningActs(Acts[OnCaptures]):
    """What the keys do with the place under the cursor."""

    def __init__(self, here: OnCaptures) -> None:
        super().__init__(here)
        self.player = Player()
        self._excerpts: tuple[Excerpt, ...] = ()  # what was cut for listening, and of which check
        self._heard_of = ""

    def action_hear(self) -> None:
        """Plays the place under the cursor; the first time all excerpts are written, in a thread."""
        check = self.here.check
        if check is None:
            return
        key = f"{self.here.reel} {check.pass_number} {check.at}"
        if key == self._heard_of and all(one.path.exists() for one in self._excerpts):
            self._hear()
            return
        book, reel, number = self.home.book, self.here.reel, check.pass_number

        def done(found: tuple[Excerpt, ...]) -> None:
            self._heard_of, self._excerpts = key, found
            self._hear()

        read(
            self.here,
            "cut into excerpts",
            lambda told, asked: book.hearing.excerpts(reel, number, None, asked),
            done,
        )

    def _hear(self) -> None:
        """The excerpt of the place under the cursor, else the first; where nothing plays, its folder."""
        from tui.workers.playing import show_folder

        mine = self._excerpt()
        if mine is None:
            self.home.say("this is about the whole of it: there is no place to hear", bad=True)
            return
        trouble = self.player.play(mine.path)
        folder = mine.path.parent
        if not trouble:
            answers = self.home.keyed("{capture.fine} fine, {capture.again} capture again")
            self.home.say(f"plays {mine.path.name}: {answers}")
        elif show_folder(folder):
            self.home.say(f"{mine.path.name} lies in {folder}, opened for you")
        else:
            lie = f"{len(self._excerpts)} excerpts lie in {folder}"
            self.home.say(f"{lie}: any player opens them ({trouble})")

    def _excerpt(self) -> Excerpt | None:
        """The excerpt of the place under the cursor; None for what is no place."""
        return next((one for one in self._excerpts if one.place.finding == self.here.finding), None)

    def closed(self) -> None:
        """Nothing plays on behind one's back."""
        self.player.stop()

    def action_fine(self) -> None:
        """The place was listened to and is fine; once more takes that back."""
        self._mark_place("fine", "listened, fine")

    def action_again(self) -> None:
        """The place is to be captured again: the gate to verified stays shut until then."""
        self._mark_place("again", "to be captured again")

    def _mark_place(self, mark: Mark, said: str) -> None:
        finding, record, check = self.here.finding, self.here.record(self.here.check), self.here.check
        if finding is None or record is None or check is None:
            return
        old = listened(self.home.shelf, record).get(place_key(finding))
        new, words = (None, "not listened to") if old == mark else (mark, said)
        book, number = self.home.book, check.pass_number
        self.home.do(
            lambda: book.captures.mark_place(self.here.reel, number, finding, new),
            self.home.undoable(f"{finding.kind} at {finding.start:.3f} s: {words}"),
        )
        if new:
            self.here.place_on(1)
            if self._excerpts and self.player.can:
                self.player.stop()
                if self._excerpt() is not None:
                    self._hear()  # one answer, and the next place plays
