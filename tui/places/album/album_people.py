"""Steps, wishes and players on the album's page."""

from __future__ import annotations

from datetime import date

from core.errors import Refused
from core.release.steps import read_step
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.acts.held import Acts
from tui.places.album.album_lines import PlayerLine
from tui.places.album.on_album import OnAlbum


class AlbumPeople(Acts[OnAlbum]):
    """The keys that are about what somebody is to do, and about who is asked."""

    def _read_day(self, text: str) -> date:
        from core.planning.wishes.wish_words import read_day

        return read_day(text, self.home.now().date())

    def action_step(self) -> None:
        """Asks for a step in the owner's words."""
        one, release = self.here.one, self.home.book.release
        if one is None:
            return

        def check(text: str) -> str | None:
            try:
                read_step(text, self._read_day)
            except (Refused, ValueError) as error:
                return str(error)
            return None

        def taken(text: str | None) -> None:
            if text:
                what, who, by, after = read_step(text, self._read_day)

                def keep() -> bool:
                    release.step(one.song.key, what, who=who, by=by, after=after)
                    return True

                if self.home.do(keep) is None:
                    self.home.drafts[draft] = text
                else:
                    self.here.say(self.home.undoable(f"{what}: kept for {one.name}"))

        draft = f"step {one.song.key}"
        words = "In your words; then, if you like, ; who NAME ; by DATE ; after STEP, REEL or PERSON."
        self.home.push_screen(
            AskText(f"What is left to do on {one.name}?", words, draft=draft,
                    hint="edit the breath; who Ulla; by sat", check=check), taken,
        )  # fmt: skip

    def action_step_done(self) -> None:
        """The next step is done; with several, which of them is asked."""
        one, release = self.here.one, self.home.book.release
        if one is None:
            return
        left = [step for step in one.steps if not step.done]

        def taken(number: str | None) -> None:
            if number:
                text = next(step.text for step in left if str(step.number) == number)
                self.here.keep(lambda: release.step_done(one.song.key, int(number)), f"done: {text}")

        if len(left) == 1:
            taken(str(left[0].number))
        elif left:
            choices = [(str(step.number), f"{step.number}  {step.text}") for step in left]
            self.home.push_screen(AskChoice(f"{one.name}: which is done?", choices), taken)

    def action_wish(self) -> None:
        """A wished date for the song, for the next plan."""
        one, plans = self.here.one, self.home.book.plans
        if one is None:
            return

        def taken(text: str | None) -> None:
            if text:
                wish = self.home.do(lambda: plans.wish(f"{one.song.key} by {text}"))
                if wish is None:
                    self.home.drafts[draft] = text
                else:
                    self.here.say(self.home.keyed(f"wished: {wish.words}; {{any.plan}} plans for it"))

        draft = f"wish {one.song.key}"
        question = AskText(f"By when is {one.name} wanted?", "A wish for the next plan.", draft=draft,
                           hint="2026-12-24, or sat", check=self._no_day)  # fmt: skip
        self.home.push_screen(question, taken)

    def _no_day(self, text: str) -> str | None:
        try:
            day = self._read_day(text)
        except (Refused, ValueError) as error:
            return str(error)
        return f"{day.isoformat()} is past" if day < self.home.now().date() else None

    def action_player(self) -> None:
        """Asked, answered, or how the player is named on the sleeve."""
        line = self.here.line
        if not isinstance(line, PlayerLine):
            return
        player, release, today = line.credit.player, self.home.book.release, self.home.now().date()
        asked = bool(line.credit.asked.asked)
        first = {} if asked else dict.fromkeys(("yes", "no", "named"), "never asked")
        choices = [("asked", "asked today"), ("yes", "said yes today"), ("no", "said no today"),
                   ("named", f"the name on the sleeve: {line.credit.name}")]  # fmt: skip

        def taken(what: str | None) -> None:
            if what == "asked":
                self.here.keep(lambda: release.ask(player, asked=today), f"{player} was asked")
            elif what in ("yes", "no"):
                self.here.keep(
                    lambda: release.ask(player, answered=today, agreed=what == "yes"), f"{player} said {what}"
                )
            elif what == "named":
                self._ask_name(player, line.credit.name)

        here = "yes" if asked and line.credit.open else "asked"
        self.home.push_screen(AskChoice(f"{player}", choices, here, why_not=first), taken)

    def _ask_name(self, player: str, name: str) -> None:
        release = self.home.book.release

        def taken(text: str | None) -> None:
            if text:
                self.here.keep(
                    lambda: release.ask(player, named=text), f"{player} is named {text} on the sleeve"
                )

        self.home.push_screen(
            AskText(f"{player}: how named on the sleeve?", draft=f"named {player}", text=name), taken
        )
