"""Printing from inside: which sheets, and into which folder."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import RenderResult
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input

from core.errors import ReelturnError
from core.workbook.papers import PRINTABLE
from tui.asking.asking import Question
from tui.asking.choosing import Choices
from tui.faults import fault_words
from tui.keys import bindings
from tui.safe_text import plain

if TYPE_CHECKING:
    from tui.home import Home


class PaperLine(Widget):
    """On which paper, and the key that takes the other."""

    def render(self) -> RenderResult:
        """As the shelf has it now."""
        home = cast("Home", self.app)
        other = "A4" if home.shelf.paper_size == "Letter" else "Letter"
        return plain(f"on {home.shelf.paper_size} paper   {home.keyed('{any.paper}')} takes {other}")


class AskPrint(Question[None]):
    """What to print, and where to put the files."""

    BINDINGS: ClassVar[list[BindingType]] = [
        key for key in bindings("any") if isinstance(key, Binding) and key.id == "any.paper"
    ]
    FOOT = "Tab goes to the folder   {ask.yes} prints   {ask.out} leaves"

    def __init__(self) -> None:
        super().__init__("Print")

    def answers(self) -> Iterable[Widget]:
        """The kinds of sheet, those that cannot be printed now with the reason; then the folder."""
        no_plan = self.home.keyed("no plan is kept: {any.plan} plans")
        why_not = {} if self.home.plan is not None else {"orders": no_plan}
        yield Choices(list(PRINTABLE.items()), why_not=why_not)
        folder = self.home.print_folder or str(self.home.book.path.parent / "paper")
        yield Input(folder, select_on_focus=False)
        yield PaperLine()

    def action_paper(self) -> None:
        """The other paper, here too."""
        self.home.action_paper()
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
        choices = self.query_one(Choices)
        if choices.chosen in choices.why_not:
            self.trouble(choices.why_not[choices.chosen])
            return
        folder = self.query_one(Input).value.strip()
        if not folder:
            self.trouble("name a folder")
            return
        home, what = self.home, choices.chosen
        work: Callable[[Path], list[Path]] = getattr(home.book.papers, what)
        self.dismiss(None)
        print_off(home, PRINTABLE[what], work, folder)


def print_off(home: Home, what: str, work: Callable[[Path], list[Path]], folder: str = "") -> None:
    """Prints in a thread, into the folder chosen last where none is told; says where it went."""
    folder = folder or home.print_folder or str(home.book.path.parent / "paper")
    home.say(f"printing {what} ...")

    def printed() -> None:
        try:
            files = work(Path(folder).expanduser())
            named = files[0].name if len(files) == 1 else f"{len(files)} files"
            said, bad = f"{named} printed into {folder}", False
        except ReelturnError as error:
            said, bad = str(error), True
        except OSError as error:
            said, bad = f"could not print into {folder}: {error.strerror or error}", True
        except Exception as error:
            said, bad = fault_words(error, home.book.path, home.now()), True
        home.call_from_thread(home.say, said, bad=bad)

    home.run_worker(printed, thread=True, group="print", exit_on_error=False)
