"""What is done on the album's page: moving, what-if, mixes, steps, players, wishes, paper."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from core.capture.files.progress import Asked, Told
from core.clock import clock_text
from core.errors import Refused
from core.release.album import Album, AlbumSong
from core.release.carriers import carriers
from core.release.mixes import AS, SAID, Mix
from core.release.steps import read_step
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.place import Place
from tui.frame.printing import print_off
from tui.places.album.album_lines import LeftOutLine, Line, PlayerLine, SongLine
from tui.places.album.album_list import AlbumList
from tui.workers.reading import Reading

if TYPE_CHECKING:
    from core.workbook.parcel import HandedOver


class AlbumActs(Place):
    """The keys of the album's place; ``without`` and ``free`` are what-ifs and change no shelf."""

    def __init__(self) -> None:
        super().__init__()
        self.album = ""
        self.page: Album | None = None
        self.without: tuple[str, ...] = ()
        self.free = False

    @property
    def line(self) -> Line | None:
        """The line under the cursor."""
        return self.query_one(AlbumList).line if self.is_laid_out else None

    @property
    def one(self) -> AlbumSong | None:
        """The song under the cursor."""
        line = self.line
        return line.one if isinstance(line, SongLine) else None

    def _do(self, work: Callable[[], Any], said: str) -> None:
        if self.home.do(lambda: (work(), True)) is not None:
            self.say(f"{said}. {self.home.takes_back}")

    # Order, sides, carrier -------------------------------------------------------------------------------

    def action_song_on(self, step: int) -> None:
        """Moves the song one place."""
        one, release = self.one, self.home.book.release
        if one is not None:
            self.home.do(lambda: release.move(self.album, one.song.key, step))

    def action_left_out(self) -> None:
        """Leaves the song out to see how it is without it, or puts it back; the shelf stays as it is."""
        line = self.line
        if isinstance(line, LeftOutLine):
            self.without = tuple(key for key in self.without if key != line.song.key)
        elif isinstance(line, SongLine) and self.page is not None:
            if len(self.page.songs) == 1:
                self.say("it is the last song that is left", bad=True)
                return
            self.without = (*self.without, line.one.song.key)
        self.laid()

    def action_free(self) -> None:
        """Sides split freely so that the longer is shortest, or in the given order."""
        self.free = not self.free
        self.laid()

    def action_take_free(self) -> None:
        """The order that is shown becomes the album's."""
        page, release = self.page, self.home.book.release
        if page is None:
            return
        if self.without:
            self.say("put back first what is left out", bad=True)
            return
        keys = [one.song.key for side in page.sides(free=True) for one in side]
        self.free = False
        self._do(lambda: release.order(self.album, keys), "this is the album's order now")

    def action_carrier(self) -> None:
        """Chooses what the album is made for."""
        page, release = self.page, self.home.book.release
        if page is None:
            return
        choices = [(one.carrier.key, f"{one.carrier.name}: {one.says}") for one in page.fits]
        question = AskChoice(f"{page.name}: on what?", choices, page.carrier.key, words="Sources: F3.")

        def taken(key: str | None) -> None:
            if key:
                name = next(one.name for one in carriers() if one.key == key)
                self._do(lambda: release.carrier(self.album, key), f"{name} is chosen")

        self.app.push_screen(question, taken)

    def action_gap(self) -> None:
        """Seconds between two songs."""
        page, release = self.page, self.home.book.release
        if page is None:
            return

        def taken(text: str | None) -> None:
            if text:
                seconds = Fraction(text.replace(",", ".").removesuffix("s").strip())
                self._do(lambda: release.gap(self.album, seconds), f"{text} s between two songs")

        question = AskText(
            "Seconds between two songs?", draft=f"gap {self.album}", text=f"{float(page.gap):g}",
            check=_no_seconds,
        )  # fmt: skip
        self.app.push_screen(question, taken)

    def action_next_album(self) -> None:
        """The shelf's next album."""
        names = self.home.book.release.albums()
        if len(names) < 2:
            self.say("there is one album")
            return
        here = names.index(self.album) if self.album in names else -1
        self.album, self.without = names[(here + 1) % len(names)], ()
        self.laid()

    # Mixes -----------------------------------------------------------------------------------------------

    def action_mix_home(self) -> None:
        """Asks for the file of a mix, then measures and keeps it."""
        from tui.asking.sound_files import AskFiles

        one, release = self.one, self.home.book.release
        if one is None:
            return
        folder = release.mix_folder()
        found = release.new_mixes()
        words = f"New in {folder}, the newest first:" if found else f"Nothing new lies in {folder}."
        question = AskFiles(f"A mix of {one.name} came home: which file?", words, found, folder,
                            f"mix {one.song.key}", first_only=True)  # fmt: skip
        self.app.push_screen(question, lambda files: self._measure(one, files) if files else None)

    def _measure(self, one: AlbumSong, files: tuple[Path, ...]) -> None:
        release, home = self.home.book.release, self.home

        def work(told: Told, asked: Asked) -> list[Mix]:
            return [
                release.measured_mix(one.song.key, file, progress=told, cancelled=asked) for file in files
            ]

        def done(mixes: list[Mix]) -> None:
            said = ""
            for mix in mixes:
                kept = home.do(partial(release.keep_mix, mix))
                if kept is None:
                    return
                number, remarks = kept[0].number, kept[1]
                said = f"mix {number} of {one.name} came home, {clock_text(kept[0].seconds)}"
                said += (
                    f": {'; '.join(remarks)}"
                    if remarks
                    else home.keyed("; {album.stands} says how it stands")
                )
            home.say(said)

        Reading(home, one.name, "measured", work, done).start()
        self.say(home.keyed(f"measuring {files[0].name} ... {{album.stop}} stops"))
        self.refresh_foot()

    def action_halt(self) -> None:
        """Stops what is being read; nothing is kept of it."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.say("stopping ...")

    def tick(self, now: Any) -> None:
        """Once a second: how far the reading has come."""
        super().tick(now)
        reading = self.home.reading
        if reading is not None and reading.progress is not None and not reading.stopped:
            stops = self.home.keyed("{album.stop} stops")
            self.say(f"{reading.reel} is being {reading.word}: {reading.progress.share:.0%}   {stops}")

    def action_stands(self) -> None:
        """How the newest mix stands; with several, which of them is asked first."""
        one = self.one
        if one is None or not one.mixes:
            return
        if len(one.mixes) == 1:
            self._ask_stands(one, one.mixes[0])
            return
        choices = [(str(mix.number), f"mix {mix.number}  {SAID[mix.stands]}  {Path(mix.file).name}")
                   for mix in reversed(one.mixes)]  # fmt: skip
        by_number = {str(mix.number): mix for mix in one.mixes}
        question = AskChoice(f"Which mix of {one.name}?", choices)
        self.app.push_screen(question, lambda n: self._ask_stands(one, by_number[n]) if n else None)

    def _ask_stands(self, one: AlbumSong, mix: Mix) -> None:
        release = self.home.book.release
        words = f"{Path(mix.file).name}, {clock_text(mix.seconds)}, {_level(mix.loudness_lufs)}"
        words = "; ".join((words, *release.remarks(mix)))
        question = AskChoice(f"How does mix {mix.number} of {one.name} stand?",
                             [(stands, SAID[stands]) for stands in AS], mix.stands, words=words)  # fmt: skip

        def taken(stands: Any) -> None:
            if stands:
                said = f"mix {mix.number} of {one.name}: {SAID[stands]}"
                self._do(lambda: release.mix_stands(one.song.key, mix.number, stands), said)

        self.app.push_screen(question, taken)

    # Steps, wishes, players ------------------------------------------------------------------------------

    def _read_day(self, text: str) -> date:
        from core.planning.wishes.wish_words import read_day

        return read_day(text, self.home.now().date())

    def action_step(self) -> None:
        """Asks for a step in the owner's words."""
        one, release = self.one, self.home.book.release
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
                    self.say(f"{what}: kept for {one.name}. {self.home.takes_back}")

        draft = f"step {one.song.key}"
        words = "In your words; then, if you like, ; who NAME ; by DATE ; after STEP, REEL or PERSON."
        self.app.push_screen(
            AskText(f"What is left to do on {one.name}?", words, draft=draft,
                    hint="edit the breath; who Ulla; by sat", check=check), taken,
        )  # fmt: skip

    def action_step_done(self) -> None:
        """The next step is done; with several, which of them is asked."""
        one, release = self.one, self.home.book.release
        if one is None:
            return
        left = [step for step in one.steps if not step.done]

        def taken(number: str | None) -> None:
            if number:
                text = next(step.text for step in left if str(step.number) == number)
                self._do(lambda: release.step_done(one.song.key, int(number)), f"done: {text}")

        if len(left) == 1:
            taken(str(left[0].number))
        elif left:
            choices = [(str(step.number), f"{step.number}  {step.text}") for step in left]
            self.app.push_screen(AskChoice(f"{one.name}: which is done?", choices), taken)

    def action_wish(self) -> None:
        """A wished date for the song, for the next plan."""
        one, plans = self.one, self.home.book.plans
        if one is None:
            return

        def taken(text: str | None) -> None:
            if text:
                wish = self.home.do(lambda: plans.wish(f"{one.song.key} by {text}"))
                if wish is None:
                    self.home.drafts[draft] = text
                else:
                    self.say(self.home.keyed(f"wished: {wish.words}; {{any.plan}} plans for it"))

        draft = f"wish {one.song.key}"
        question = AskText(f"By when is {one.name} wanted?", "A wish for the next plan.", draft=draft,
                           hint="2026-12-24, or sat", check=self._no_day)  # fmt: skip
        self.app.push_screen(question, taken)

    def _no_day(self, text: str) -> str | None:
        try:
            day = self._read_day(text)
        except (Refused, ValueError) as error:
            return str(error)
        return f"{day.isoformat()} is past" if day < self.home.now().date() else None

    def action_player(self) -> None:
        """Asked, answered, or how the player is named on the sleeve."""
        line = self.line
        if not isinstance(line, PlayerLine):
            return
        player, release, today = line.credit.player, self.home.book.release, self.home.now().date()
        asked = bool(line.credit.asked.asked)
        first = {} if asked else dict.fromkeys(("yes", "no", "named"), "never asked")
        choices = [("asked", "asked today"), ("yes", "said yes today"), ("no", "said no today"),
                   ("named", f"the name on the sleeve: {line.credit.name}")]  # fmt: skip

        def taken(what: str | None) -> None:
            if what == "asked":
                self._do(lambda: release.ask(player, asked=today), f"{player} was asked")
            elif what in ("yes", "no"):
                self._do(
                    lambda: release.ask(player, answered=today, agreed=what == "yes"), f"{player} said {what}"
                )
            elif what == "named":
                self._ask_name(player, line.credit.name)

        here = "yes" if asked and line.credit.open else "asked"
        self.app.push_screen(AskChoice(f"{player}", choices, here, why_not=first), taken)

    def _ask_name(self, player: str, name: str) -> None:
        release = self.home.book.release

        def taken(text: str | None) -> None:
            if text:
                self._do(lambda: release.ask(player, named=text), f"{player} is named {text} on the sleeve")

        self.app.push_screen(
            AskText(f"{player}: how named on the sleeve?", draft=f"named {player}", text=name), taken
        )

    # Looking, paper, handing over ------------------------------------------------------------------------

    def action_card(self) -> None:
        """The song's card."""
        if self.one is not None:
            self.home.open_door("song", self.one.song.key)

    def action_parts(self) -> None:
        """The song's parts."""
        if self.one is not None:
            self.home.open_door("parts", self.one.song.key)

    def action_pages(self) -> None:
        """Prints the album sheet with its credits."""
        papers, name = self.home.book.papers, self.album
        print_off(self.home, f"{name}, sheet and credits", lambda folder: papers.album(folder, album=name))

    def action_hand_over(self) -> None:
        """Asks for a new folder, and lays the whole album out in it."""
        from tui.asking.folder import AskFolder

        words = "A new BagIt folder: copies in their places, sheets, mixes, credits, a page to begin at."
        question = AskFolder(f"{self.album}: hand over in which new folder?", words, "album bags", new=True)
        self.app.push_screen(question, self._bag)

    def _bag(self, folder: Path | None) -> None:
        if folder is None:
            return
        home, name = self.home, self.album

        def work(told: Told, asked: Asked) -> HandedOver:
            return home.book.parcel.hand_over(folder, album=name, progress=told, cancelled=asked)

        def done(made: HandedOver) -> None:
            gone = f"; left out: {'; '.join(made.left_out)}" if made.left_out else ""
            home.say(f"ready to hand over: {folder}{gone}", bad=bool(gone))

        Reading(home, name, "copied", work, done).start()
        self.say(home.keyed("laying the album out ... {album.stop} stops"))
        self.refresh_foot()


def _no_seconds(text: str) -> str | None:
    try:
        seconds = Fraction(text.replace(",", ".").removesuffix("s").strip())
    except (ValueError, ZeroDivisionError):
        return "seconds in figures, such as 2 or 1.5"
    return None if 0 <= seconds <= 60 else "0 to 60 s"


def _level(lufs: float | None) -> str:
    return "nothing sounds" if lufs is None else f"{lufs:.1f} LUFS"
