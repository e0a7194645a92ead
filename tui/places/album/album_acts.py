"""What is done on the album's page: moving, what-if, carrier, paper, handing over."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from core.capture.files.progress import Asked, Told
from core.release.carriers import carriers
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.acts.held import Acts
from tui.frame.acts.printing import print_off
from tui.places.album.album_lines import LeftOutLine, SongLine
from tui.places.album.on_album import OnAlbum
from tui.workers.reading import Reading

if TYPE_CHECKING:
    from core.workbook.parcels.parcel import HandedOver


class AlbumActs(Acts[OnAlbum]):
    """What is done with the album as a whole."""

    # Order, sides, carrier -------------------------------------------------------------------------------

    def action_song_on(self, step: int) -> None:
        """Moves the song one place."""
        one, release = self.here.one, self.home.book.release
        if one is not None:
            self.home.do(lambda: release.move(self.here.album, one.song.key, step))

    def action_left_out(self) -> None:
        """Leaves the song out to see how it is without it, or puts it back; the shelf stays as it is."""
        line = self.here.line
        if isinstance(line, LeftOutLine):
            self.here.without = tuple(key for key in self.here.without if key != line.song.key)
        elif isinstance(line, SongLine) and self.here.page is not None:
            if len(self.here.page.songs) == 1:
                self.here.say("it is the last song that is left", bad=True)
                return
            self.here.without = (*self.here.without, line.one.song.key)
        self.here.laid()

    def action_free(self) -> None:
        """Sides split freely so that the longer is shortest, or in the given order."""
        self.here.free = not self.here.free
        self.here.laid()

    def action_take_free(self) -> None:
        """The order that is shown becomes the album's."""
        page, release = self.here.page, self.home.book.release
        if page is None:
            return
        if self.here.without:
            self.here.say("put back first what is left out", bad=True)
            return
        keys = [one.song.key for side in page.sides(free=True) for one in side]
        self.here.free = False
        self.here.keep(lambda: release.order(self.here.album, keys), "this is the album's order now")

    def action_carrier(self) -> None:
        """Chooses what the album is made for."""
        page, release = self.here.page, self.home.book.release
        if page is None:
            return
        choices = [(one.carrier.key, f"{one.carrier.name}: {one.verdict}") for one in page.fits]
        question = AskChoice(f"{page.name}: on what?", choices, page.carrier.key, words="Sources: F3.")

        def taken(key: str | None) -> None:
            if key:
                name = next(one.name for one in carriers() if one.key == key)
                self.here.keep(lambda: release.carrier(self.here.album, key), f"{name} is chosen")

        self.home.push_screen(question, taken)

    def action_gap(self) -> None:
        """Seconds between two songs."""
        page, release = self.here.page, self.home.book.release
        if page is None:
            return

        def taken(text: str | None) -> None:
            if text:
                seconds = Fraction(text.replace(",", ".").removesuffix("s").strip())
                self.here.keep(lambda: release.gap(self.here.album, seconds), f"{text} s between two songs")

        question = AskText(
            "Seconds between two songs?", draft=f"gap {self.here.album}", text=f"{float(page.gap):g}",
            check=_no_seconds,
        )  # fmt: skip
        self.home.push_screen(question, taken)

    def action_next_album(self) -> None:
        """The shelf's next album."""
        names = self.home.book.release.albums()
        if len(names) < 2:
            self.here.say("there is one album")
            return
        here = names.index(self.here.album) if self.here.album in names else -1
        self.here.album, self.here.without = names[(here + 1) % len(names)], ()
        self.here.laid()

    # Looking, paper, handing over ------------------------------------------------------------------------

    def action_card(self) -> None:
        """The song's card."""
        if self.here.one is not None:
            self.home.open_door("song", self.here.one.song.key)

    def action_parts(self) -> None:
        """The song's parts."""
        if self.here.one is not None:
            self.home.open_door("parts", self.here.one.song.key)

    def action_pages(self) -> None:
        """Prints the album sheet with its credits."""
        papers, name = self.home.book.papers, self.here.album
        print_off(self.home, f"{name}, sheet and credits", lambda folder: papers.album(folder, album=name))

    def action_hand_over(self) -> None:
        """Asks for a new folder, and lays the whole album out in it."""
        from tui.asking.files.folder import AskFolder

        words = "A new BagIt folder: copies in their places, sheets, mixes, credits, a page to begin at."
        question = AskFolder(
            f"{self.here.album}: hand over in which new folder?", words, "album bags", new=True
        )
        self.home.push_screen(question, self._bag)

    def _bag(self, folder: Path | None) -> None:
        if folder is None:
            return
        home, name = self.home, self.here.album

        def work(told: Told, asked: Asked) -> HandedOver:
            return home.book.parcel.hand_over(folder, album=name, progress=told, cancelled=asked)

        def done(made: HandedOver) -> None:
            gone = f"; left out: {'; '.join(made.left_out)}" if made.left_out else ""
            home.say(f"ready to hand over: {folder}{gone}", bad=bool(gone))

        Reading(home, name, "copied", work, done).start()
        self.here.say(home.keyed("laying the album out ... {album.stop} stops"))
        self.here.refresh_foot()


def _no_seconds(text: str) -> str | None:
    try:
        seconds = Fraction(text.replace(",", ".").removesuffix("s").strip())
    except (ValueError, ZeroDivisionError):
        return "seconds in figures, such as 2 or 1.5"
    return None if 0 <= seconds <= 60 else "0 to 60 s"
