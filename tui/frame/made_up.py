"""A made-up shelf on the screen: planned before one's eyes; its papers follow a plan that is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from core.errors import ReelturnError
from tui.desk import Desk


@dataclass(slots=True)
class MadeUp:
    """What a made-up shelf does by itself: so many days are planned, and the kept plan goes onto paper.

    ``lay_more`` lays out what the first picture need not wait for; ``papers`` prints and names the files;
    ``keep_clock`` writes down how late it is there, so that one can go on another time.
    """

    days: int
    folder: Path
    lay_more: Callable[[], object]
    papers: Callable[[], list[Path]]
    keep_clock: Callable[[], None] = lambda: None
    printed: object = None
    printing: bool = False

    def begin(self, home: Desk) -> None:
        """Lays the rest out beside the search."""
        home.run_worker(self._more, thread=True, group="made up", exit_on_error=False)

    def _more(self) -> None:
        try:
            self.lay_more()
        except (ReelturnError, OSError):
            return  # the captures are an extra: the place of captures says that there are none

    def follow(self, home: Desk) -> None:
        """After a change: prints the kept plan where another was printed last; one print at a time."""
        self.keep_clock()
        record = home.book.shelf.of_kind("plan").get("kept")
        if record is None or record is self.printed or self.printing:
            return
        self.printed, self.printing = record, True
        home.run_worker(lambda: self._print(home), thread=True, group="made up", exit_on_error=False)

    def _print(self, home: Desk) -> None:
        try:
            orders = self.papers()
            goes = home.keyed("{any.tonight} tonight, {any.chart} chart")
            said, bad = f"kept; {len(orders)} papers lie in {self.folder}: {goes}", False
        except ReelturnError as error:
            said, bad = str(error), True
        except OSError as error:
            said, bad = f"could not print into {self.folder}: {error.strerror or error}", True
        self.printing = False
        home.call_from_thread(self._told, home, said, bad=bad)

    def _told(self, home: Desk, said: str, *, bad: bool) -> None:
        home.say(said, bad=bad)
        self.follow(home)
