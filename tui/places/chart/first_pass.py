"""Putting in what is on the shelf: first the boxes, then what was seen of the tapes, or files."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from core.evening.around.where_it_lies import reels_to_look_at
from tui.asking.choosing import AskChoice

if TYPE_CHECKING:
    from tui.home import Home

#: Told the key of the reel that was written down last; None where none was.
Added = Callable[[str | None], None]


def ask_first_pass(home: Home, added: Added) -> None:
    """Asks which way; each is one change a line, and Escape ends it."""
    left = reels_to_look_at(home.shelf)
    choices = [
        ("boxes", "boxes, one after the other: words, width, place"),
        ("looks", "what was seen, reel after reel" + (f" ({len(left)} to look at)" if left else "")),
        ("list", "print the inspection list for that"),
        ("files", "from files (CSV, xlsx, ods): a look first, then all or nothing"),
    ]
    none = "all were looked at" if home.shelf.reels else "no reel yet"
    why_not = {} if left else {"looks": none, "list": none}

    def chosen(way: str | None) -> None:
        if way == "boxes":
            _boxes(home, added)
        elif way == "looks":
            from tui.asking.look.looking import look_along

            look_along(home, [reel.key for reel in reels_to_look_at(home.shelf)])
        elif way == "list":
            from core.workbook.papers import PRINTABLE
            from tui.frame.acts.printing import print_off

            print_off(home, PRINTABLE["inspection"], home.book.papers.inspection)
        elif way == "files":
            from tui.asking.files.files_in import ask_files_in

            ask_files_in(home)

    home.push_screen(AskChoice("What to put in?", choices, why_not=why_not), chosen)


def _boxes(home: Home, added: Added) -> None:
    from tui.places.chart.boxes import PARTS, AskBoxes
    from tui.places.chart.reel_run import next_reel

    reels = list(home.shelf.reels.values())
    last = reels[-1] if reels else None
    before = {name: str(getattr(last, name) or "") if last else "" for name in PARTS}
    home.push_screen(AskBoxes(next_reel(home.shelf), before), added)
