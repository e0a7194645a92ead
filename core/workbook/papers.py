"""What is printed of a shelf, and its calendar: each paper from the shelf and its kept plan as they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Refused

if TYPE_CHECKING:
    from core.store.book import Book
    from core.workbook.loose_sheets import LooseSheets
    from core.workbook.plans import Plans
    from core.workbook.release import Release
    from core.workbook.songs import Songs

#: Every sheet that can be printed at any time, by the name of the method that prints it, and what it is.
PRINTABLE = {
    "tonight": "tonight's work order alone, or the next evening's",
    "reel": "all sheets of one reel: card, label, track sheets, transfer log",
    "everything": "everything that you ticked, in one go",
    "orders": "work orders of the kept plan",
    "labels": "box labels, to cut out",
    "cards": "reel cards",
    "sheets": "track sheets",
    "inspection": "inspection list: a line for every reel to look at",
    "logs": "chamber logs, as kept",
    "lineups": "line-up sheets, as kept",
    "slips": "change slips, against the plan before",
    "reports": "capture reports of the kept checks",
    "parts": "parts and family of every song, or of one",
    "album": "the album: its sheet and its credits",
    "loose": "loose sheets, with the tapes proposed",
}


#: What is printed in one go where nothing was chosen, and what is no sheet of its own.
IN_ONE_GO = ("orders",)
SCOPES = ("tonight", "reel", "everything")


class Papers:
    """A shelf's papers; every one of them names the files that it wrote."""

    def __init__(
        self, book: Book, plans: Plans, songs: Songs, loose_sheets: LooseSheets, release: Release
    ) -> None:
        self.book = book
        self.plans = plans
        self.songs = songs
        self.loose_sheets = loose_sheets
        self.release = release

    @property
    def in_one_go(self) -> tuple[str, ...]:
        """The sheets that *everything* prints, as the owner chose them once."""
        kept = self.book.shelf.chosen.sheets
        return tuple(one for one in PRINTABLE if one in kept and one not in SCOPES) or IN_ONE_GO

    def choose_in_one_go(self, names: Sequence[str]) -> None:
        """Keeps which sheets *everything* prints from now on; one undo."""
        if tuple(names) != self.in_one_go:
            self.book.change(lambda shelf: shelf.choosing("sheets", [*names]), what="choose what is printed")

    def tonight(self, folder: Path, size: str = "") -> list[Path]:
        """Prints the order of tonight, else of the next evening, alone; Refused where nothing is planned."""
        from core.clock import evening_of
        from core.paper.evening.orders import evening_from, print_orders

        shelf, plan, made = self.book.shelf, self.plans.needed_plan(), self.book.now()
        day = evening_from(shelf, plan, evening_of(made.astimezone(shelf.studio.zone)))
        if day is None:
            raise Refused("nothing is planned tonight or later: plan again")
        stale = self.plans.plan_is_stale()
        return print_orders(
            shelf, plan, folder, size=size or shelf.chosen.paper_size, made=made, stale=stale, only=day
        )

    def reel(self, folder: Path, size: str = "", key: str = "") -> list[Path]:
        """Prints all sheets of one reel: card, label, track sheets, and the log of its planned transfer."""
        from core.paper.evening.transfer_log import transfer_pdf
        from core.paper.look.files import put, safe_name
        from core.paper.prints import print_reels

        shelf, plan, made = self.book.shelf, self.plans.kept_plan(), self.book.now()
        if not key:
            raise Refused("name the reel whose sheets are to be printed")
        size = size or shelf.chosen.paper_size
        paths = print_reels(shelf, [key], folder, plan=plan, size=size, made=made)
        for number, item in enumerate(one for one in (plan.items if plan else ()) if one.reel == key):
            if item.kind == "transfer" and plan is not None:
                name = f"transfer-log-{safe_name(key)}{f'-{number}' if item.segment else ''}.pdf"
                paths.append(put(folder, name, transfer_pdf(shelf, plan, item, size=size, made=made)))
        return paths

    def everything(self, folder: Path, size: str = "") -> list[Path]:
        """Prints all sheets that were chosen, passing over those that there are none of, unless it is all."""
        paths: list[Path] = []
        refused: list[Refused] = []
        for name in self.in_one_go:
            try:
                paths += getattr(self, name)(folder, size)
            except Refused as error:
                refused.append(error)
        if not paths and refused:
            raise refused[0]
        return paths

    def parts(self, folder: Path, size: str = "", song: str = "") -> list[Path]:
        """Prints the parts page and the family page of one song, or of all; Refused where there is none."""
        from core.paper.look.files import put, safe_name
        from core.paper.shelf.song_parts import song_pages

        shelf = self.book.shelf
        keys = [song] if song else list(shelf.songs)
        if not keys:
            raise Refused("there is no song yet: add one first")
        told = [(self.songs.parts(key), self.songs.family(key)) for key in keys]
        pdf = song_pages(shelf, told, size=size or shelf.chosen.paper_size, made=self.book.now())
        name = safe_name(told[0][0].song) if song else f"{len(told)}-songs"
        return [put(folder, f"parts-{name}.pdf", pdf)]

    def album(self, folder: Path, size: str = "", album: str = "") -> list[Path]:
        """Prints the sheet and the credits of one album, or of each; Refused where there is none."""
        from core.paper.look.files import put, safe_name
        from core.paper.shelf.album_sheet import album_pages

        names = [album] if album else list(self.release.albums())
        if not names:
            raise Refused("no song names an album yet: a song's card has a field for it")
        out = []
        for name in names:
            page = self.release.album(name)
            pdf = album_pages(
                self.book.shelf, [page], size=size or self.book.shelf.chosen.paper_size, made=self.book.now()
            )
            out.append(put(folder, f"album-{safe_name(page.name)}.pdf", pdf))
        return out

    def loose(self, folder: Path, size: str = "") -> list[Path]:
        """Prints the list of loose sheets, and each of them as its grid."""
        from core.paper.look.files import put
        from core.paper.shelf.loose_sheets import loose_sheet_list

        shelf, made = self.book.shelf, self.book.now()
        size = size or shelf.chosen.paper_size
        listed = loose_sheet_list(shelf, self.loose_sheets.proposals(), size=size, made=made)
        return [put(folder, "loose-sheets.pdf", listed), *self._loose_grids(folder, size)]

    def choose_fill_in(self, names: Sequence[str]) -> None:
        """Keeps which sheets to fill in are printed behind every work order from now on; one undo."""
        self.book.change(lambda shelf: shelf.choosing("fill in", [*names]), what="choose sheets to fill in")

    def orders(self, folder: Path, size: str = "") -> list[Path]:
        """Prints the kept plan as work orders into the folder and names them."""
        from core.paper.evening.orders import print_orders

        plan = self.plans.needed_plan()
        return print_orders(
            self.book.shelf,
            plan,
            folder,
            size=size or self.book.shelf.chosen.paper_size,
            made=self.book.now(),
            stale=self.plans.plan_is_stale(),
        )

    def inspection(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a line for every reel that nobody has looked at; Refused where all were."""
        from core.paper.look.files import put_beside
        from core.paper.shelf.inspection_list import inspection_list

        shelf = self.book.shelf
        pdf = inspection_list(shelf, size=size or shelf.chosen.paper_size, made=self.book.now())
        return [put_beside(folder, "inspection-list.pdf", pdf)]

    def logs(self, folder: Path, size: str = "", loads: Sequence[str] = ()) -> list[Path]:
        """Prints the chamber logs as they were kept, of those loads or of all."""
        from core.paper.prints import print_loads

        return print_loads(
            self.book.shelf,
            folder,
            keys=loads,
            size=size or self.book.shelf.chosen.paper_size,
            made=self.book.now(),
        )

    def lineups(self, folder: Path, size: str = "", deck: str = "", *, newest: bool = False) -> list[Path]:
        """Prints the line-ups as they were kept, of one deck or of all."""
        from core.paper.prints import print_lineups

        return print_lineups(
            self.book.shelf,
            folder,
            deck=deck,
            size=size or self.book.shelf.chosen.paper_size,
            made=self.book.now(),
            newest=newest,
        )

    def cards(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a card of every reel."""
        return self._reel_sheets("cards", folder, size)

    def labels(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a label for every box."""
        return self._reel_sheets("labels", folder, size)

    def new_labels(self, was: Mapping[str, str], folder: Path, size: str = "") -> list[Path]:
        """Prints new labels for boxes that held another tape; ``was`` tells by reel what each said before."""
        from core.paper.prints import print_reels

        made = self.book.now()
        return print_reels(
            self.book.shelf,
            list(was),
            folder,
            what=["labels"],
            size=size or self.book.shelf.chosen.paper_size,
            made=made,
            was=was,
        )

    def sheets(self, folder: Path, size: str = "") -> list[Path]:
        """Prints every reel's track sheets, blank where there are none, and the loose ones."""
        return [*self._reel_sheets("track sheets", folder, size), *self._loose_grids(folder, size)]

    def _loose_grids(self, folder: Path, size: str) -> list[Path]:
        from core.paper.look.files import put
        from core.paper.shelf.track_sheet import track_sheets

        shelf = self.book.shelf
        if all(row.reel in shelf.reels for row in shelf.sheets):
            return []
        pdf = track_sheets(shelf, (), size=size or shelf.chosen.paper_size, made=self.book.now(), loose=True)
        return [put(folder, "track-sheets-loose.pdf", pdf)]

    def _reel_sheets(self, what: str, folder: Path, size: str) -> list[Path]:
        from core.paper.prints import print_reels

        reels, plan = list(self.book.shelf.reels), self.plans.kept_plan()
        return print_reels(
            self.book.shelf,
            reels,
            folder,
            what=[what],
            plan=plan,
            size=size or self.book.shelf.chosen.paper_size,
            made=self.book.now(),
        )

    def slips(self, folder: Path, size: str = "") -> list[Path]:
        """Prints what the kept plan changed against the one before it; Refused where there is none before."""
        from core.paper.prints import print_changes

        before = self.plans.kept_plan("before")
        if before is None:
            raise Refused("only one plan was made yet: there is nothing that it changed")
        return [
            print_changes(
                self.book.shelf,
                before,
                self.plans.needed_plan(),
                folder,
                size=size or self.book.shelf.chosen.paper_size,
                made=self.book.now(),
            )
        ]

    def reports(self, folder: Path, size: str = "") -> list[Path]:
        """Prints a report of every check that is kept."""
        from core.paper.prints import print_reports

        return print_reports(
            self.book.shelf, folder, size=size or self.book.shelf.chosen.paper_size, made=self.book.now()
        )

    def calendar(self) -> bytes:
        """The kept plan as iCalendar; what the calendar before had and this one has not is taken back."""
        from core.paper.evening.calendar import calendar
        from core.paper.evening.taken_back import sent_of
        from core.store.beside.sent_events import last_sent, sent

        plan, stale = self.plans.needed_plan(), self.plans.plan_is_stale()
        before, were = self.plans.kept_plan("before"), last_sent(self.book.path)
        made = calendar(self.book.shelf, plan, self.book.now(), stale=stale, before=before, sent=were)
        sent(self.book.path, sent_of(made))
        return made
