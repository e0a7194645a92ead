"""Printing from inside: which sheets, and into which folder."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.errors import ReelturnError
from core.paper.printer import NO_PRINTER, has_printer, send
from core.workbook.papers import PRINTABLE, SCOPES
from tui.asking.asking import Question
from tui.board.glyphs import glyphs
from tui.faults import fault_words
from tui.frame.drawn.line_list import LineList, Part
from tui.keys.keys import bindings
from tui.safe_text import fit, plain

if TYPE_CHECKING:
    from tui.home import Home


class Sheets(LineList):
    """What can be printed; the sheets that *everything* prints are ticked, and Space ticks or lets go."""

    BINDINGS = bindings("list", "ticks")

    def __init__(self, here: str, why_not: dict[str, str], ticked: Iterable[str], reel: str) -> None:
        named = {"reel": PRINTABLE["reel"].replace("one reel", reel or "one reel")}
        super().__init__()
        self.choices, self.why_not = tuple((PRINTABLE | named).items()), why_not
        self.ticked = set(ticked)
        self._here = next((n for n, (key, _) in enumerate(self.choices) if key == here), 0)
        self.styles.height = min(len(self.choices), 16)

    def on_mount(self) -> None:
        """As many lines as leave room for the title, the folder and the keys below."""
        self.lay(len(self.choices), self._here)
        self.styles.max_height = max(6, self.app.size.height - 12)

    @property
    def chosen(self) -> str:
        """The sheet under the cursor."""
        return self.choices[self.cursor][0]

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """The choice in words, with a box before what can be ticked."""
        key, words = self.choices[index]
        sign = glyphs(plain=getattr(self.app, "plain_signs", False)).cursor if index == self.cursor else " "
        box = "   " if key in SCOPES else "[x]" if key in self.ticked else "[ ]"
        lead = f"{sign} {box} {words}"
        if key in self.why_not:
            named = lead.partition(": ")[0]  # the reason must have room
            return [(fit(f"{named}  (not now: {self.why_not[key]})", width), "dim")]
        return [(fit(lead, width), "word")]

    def action_tick(self) -> None:
        """Ticks the sheet under the cursor for *everything*, or lets it go."""
        if self.chosen not in SCOPES:
            self.ticked ^= {self.chosen}
            self.refresh()

    def action_untick_all(self) -> None:
        """Lets all go."""
        self.ticked.clear()
        self.refresh()


class PaperLine(Widget):
    """On which paper and where to, and the keys that take the other."""

    def render(self) -> RenderResult:
        """As the shelf has it now."""
        home = cast("Home", self.app)
        other = "A4" if home.shelf.chosen.paper_size == "Letter" else "Letter"
        to, turns = "into the folder", "to the printer too"
        if to_printer(home):
            to, turns = "to the printer too", "folder only"
        paper = f"on {home.shelf.chosen.paper_size} paper   {home.keyed('{any.paper}')} takes {other}"
        if not to_printer(home) and not has_printer():
            return plain(f"{paper}   into the folder: no printer here")
        return plain(f"{paper}   {to}   {home.keyed('{any.printer}')} {turns}")


class AskPrint(Question[None]):
    """What to print, and where to put the files."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key for key in bindings("any") if isinstance(key, Binding) and key.id in ("any.paper", "any.printer")
    ]
    FOOT = "{ask.yes} prints   {ticks.tick} ticks   Tab goes to the folder   {ask.out} leaves"

    def __init__(self, reel: str = "") -> None:
        super().__init__("Print")
        self.reel = reel

    def answers(self) -> Iterable[Widget]:
        """The kinds of sheet, those that cannot be printed now with the reason; then the folder."""
        no_plan = self.home.keyed("no plan is kept: {any.plan} plans")
        why_not = {} if self.home.plan is not None else {"tonight": no_plan, "orders": no_plan}
        if not self.reel:
            why_not["reel"] = "no reel is under the cursor"
        here = self.home.printed_last or next(one for one in PRINTABLE if one not in why_not)
        yield Sheets(here, why_not, self.home.book.papers.in_one_go, self.reel)
        folder = self.home.print_folder or str(self.home.book.path.parent / "paper")
        yield Input(folder, select_on_focus=False)
        yield PaperLine()

    def action_paper(self) -> None:
        """The other paper, here too."""
        self.home.action_paper()
        self.query_one(PaperLine).refresh()

    def action_printer(self) -> None:
        """To the printer too, or not, here as well."""
        before = to_printer(self.home)
        self.home.action_printer()
        if to_printer(self.home) == before:  # what the place below says is covered by this
            self.trouble(NO_PRINTER)
        self.query_one(PaperLine).refresh()

    def on_input_changed(self, event: Input.Changed) -> None:
        """The folder is there again at the next time."""
        self.home.print_folder = event.value

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter prints from the folder's line too."""
        event.stop()
        self.action_yes()

    def action_yes(self) -> None:
        """Prints in a thread; the place stays free meanwhile."""
        choices = self.query_one(Sheets)
        if choices.chosen in choices.why_not:
            self.trouble(choices.why_not[choices.chosen])
            return
        folder = self.query_one(Input).value.strip()
        if not folder:
            self.trouble("name a folder")
            return
        home, what, papers = self.home, choices.chosen, self.home.book.papers
        home.printed_last = what
        ticked = tuple(one for one in PRINTABLE if one in choices.ticked)
        if ticked and ticked != papers.in_one_go:
            home.do(lambda: papers.choose_in_one_go(ticked))
        work: Callable[[Path], list[Path]] = getattr(papers, what)
        if what == "reel":
            work = partial(papers.reel, key=self.reel)
        self.dismiss(None)
        print_off(home, PRINTABLE[what], work, folder)


def to_printer(home: Home) -> bool:
    """True where sheets go to the system's printer too, as the owner chose."""
    return home.shelf.chosen.printer


def _sent(files: Sequence[Path], size: str) -> tuple[str, bool]:
    """What the printer said, and whether it is bad: the files are written all the same."""
    try:
        return send(files, size) or "sent to the printer", False
    except ReelturnError as error:
        return str(error), True


def print_off(home: Home, what: str, work: Callable[[Path], list[Path]], folder: str = "") -> None:
    """Prints in a thread, into the folder chosen last where none is told; says where it went."""
    folder = folder or home.print_folder or str(home.book.path.parent / "paper")
    printer = to_printer(home)
    home.say(f"printing {what} ...")

    def printed() -> None:
        try:
            files = work(Path(folder).expanduser())
            named = files[0].name if len(files) == 1 else f"{len(files)} files"
            said, bad = f"{named} printed into {folder}", False
            if printer:
                said, bad = _sent(files, home.shelf.chosen.paper_size)
                said = f"{named} in {folder}; {said}"
        except ReelturnError as error:
            said, bad = home.by_keys(str(error)), True
        except OSError as error:
            said, bad = f"could not print into {folder}: {error.strerror or error}", True
        except Exception as error:
            said, bad = fault_words(error, home.book.path, home.now()), True
        home.call_from_thread(home.say, said, bad=bad)

    home.run_worker(printed, thread=True, group="print", exit_on_error=False)
