"""What every place works on: the open shelf, the one way to change it, what is said, the doors to cards."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual.app import App
from textual.reactive import reactive
from textual.screen import Screen
from textual.theme import Theme

from core.chosen import Choice, Chosen
from core.clock import clock_text, evening_of
from core.errors import ReelturnError
from core.evening.playing.passes import drop_note, running_pass
from core.evening.playing.unnamed_note import waits_for_kind
from core.logbook.passes import NoteKind, noted, pass_key
from core.plan import Plan
from core.shelf import Shelf
from core.store.beside.half_typed import Drafts, HalfTyped
from tui.board.chamber import NextTouch, next_touches, untold_steps
from tui.board.rows import Board
from tui.keys.keys import own_keymap
from tui.keys.words import Told, as_told, keyed
from tui.one_key import OneKey
from tui.themes import NO_COLOUR, THEMES

if TYPE_CHECKING:
    from core.evening.tonight.sheet import Step
    from core.workbook.workbook import Workbook
    from tui.frame.made_up import MadeUp
    from tui.workers.planning import Search
    from tui.workers.reading import Reading

T = TypeVar("T")
_COLOURS: dict[str, tuple[Theme, dict[str, str]]] = {}  # by a look's name: the look, its colours' names


class Home(App[int]):
    """One open shelf, as places see it. ``shelf`` is what was last read; every change goes through ``do``."""

    #: Name of a card or page -> what makes its screen; places open one another's only by these.
    DOORS: ClassVar[Mapping[str, Callable[..., Screen[Any]]]] = {}

    shelf: reactive[Shelf] = reactive(Shelf, always_update=True, init=False)  # type: ignore[arg-type]

    def __init__(self, workbook: Workbook) -> None:
        self.book = workbook
        self.drafts = Drafts()  # what is half typed, by the name of where it is typed
        self.half_typed = HalfTyped(workbook.path)
        self.own_keys: dict[str, str] = {}
        self.plain_signs = False
        self.touches: tuple[NextTouch, ...] = ()  # the next of each chamber, alarms first
        self.quiet_until: datetime | None = None
        self.quiet_for: set[tuple[object, ...]] = set()  # what the bell was put off for, till then
        self.print_folder = ""
        self.printed_last = ""  # what was printed last, where the cursor stands at the next time
        self.struck = ""  # what the last change struck out of the kept plan, as a sentence
        self._unnamed = ""  # the note that was dropped last, without a kind
        self.seen_at: datetime | None = None  # when a sign of life was left beside a running tape
        self.kinds_opened: set[type] = set()
        self.one_key = OneKey(self)
        self.is_open = False
        self.last_key_at = 0.0
        self.faults: dict[object, None] = {}
        self.search: Search | None = None
        self.new_plan: Plan | None = None  # one that was searched for and is not kept yet
        self.reading: Reading | None = None
        self.made_up: MadeUp | None = None
        self._board: Board | None = None
        self._unmarked: tuple[Shelf, date, tuple[Step, ...]] | None = None
        self._plan: tuple[object, Plan | None] = (None, None)
        self._taken: Chosen | None = None  # those that were taken over last
        # Told at once, so that no colour at all is sent; later the library would send greys.
        super().__init__(ansi_color=True if "NO_COLOR" in os.environ else None)
        self.set_reactive(Home.shelf, workbook.shelf)

    def get_css_variables(self) -> dict[str, str]:
        """The colours of the look that is worn: worked out once each, and asked four times at a start."""
        worn = self.current_theme
        known = _COLOURS.get(worn.name)
        if known is None or known[0] is not worn:
            known = _COLOURS[worn.name] = (worn, super().get_css_variables())
        self.theme_variables = dict(known[1])
        return self.theme_variables

    def open_door(self, name: str, *told: object, then: Callable[[Any], None] | None = None) -> None:
        """Opens a card, page or question of another place; ``then`` takes what it answers."""
        self.push_screen(self.DOORS[name](*told), then)

    def first_look(self) -> str:
        wanted = self.shelf.chosen.look or os.environ.get("TEXTUAL_THEME", "")
        if self.no_color:
            return NO_COLOUR.name
        return wanted if wanted in self.available_themes else THEMES[0].name

    def take_choices(self) -> None:
        chosen = self.shelf.chosen
        if self._taken is not None and chosen.kept is self._taken.kept:
            return
        self._taken = chosen
        self.own_keys, self.key_troubles = own_keymap(chosen.keys)
        self.set_keymap(self.own_keys)
        if chosen.plain_signs is not None:
            self.plain_signs = chosen.plain_signs

    def now(self) -> datetime:
        """This moment, as the workbook's clock tells it."""
        return self.book.now()

    @property
    def board(self) -> Board:
        """The chart's rows for the shelf as it is, worked out anew at most once a minute."""
        now, plan, board = self.now(), self.plan, self._board
        if board is None or not board.holds(self.shelf, now, plan):
            board = self._board = Board(self.shelf, now, plan, board)
        return board

    @property
    def plan(self) -> Plan | None:
        """The kept plan."""
        record = self.shelf.of_kind("plan").get("kept")
        if self._plan[0] is not record:
            self._plan = (record, self.book.plans.kept_plan() if record is not None else None)
        return self._plan[1]

    def do(self, work: Callable[[], T], said: str | Told = "", *, over: bool = True) -> T | None:
        """Does something to the shelf; an error becomes one line at the foot, and None comes back.

        ``over``: what was answered before is done with; else it is only looked at whether it can be.
        """
        before, plan, self.struck = self.shelf, self.plan, ""
        try:
            done = work()
        except ReelturnError as error:
            self.drafts.refused()
            self.say(self.by_keys(str(error)), bad=True)
            return None
        except OSError as error:
            self.drafts.refused()
            self.say(
                f"the shelf could not be written: {error.strerror or error}; nothing was changed", bad=True
            )
            return None
        if over:
            self.drafts.done()
            if plan is not None and self.book.shelf is not before:
                self.struck = self._struck(before, plan)
            self.took_over(self.with_struck(said))
        return done

    def _struck(self, before: Shelf, plan: Plan) -> str:
        """What the last change struck out of that kept plan, as a sentence; empty for nothing."""
        from core.standing.of_plan.struck_since import struck_since

        told = struck_since(before, self.book.shelf, plan, self.now(), named=2)
        return f"{told[0].upper()}{told[1:]}" if told else ""

    def with_struck(self, said: str | Told) -> Told:
        """What was done, with what it struck out of the kept plan behind it."""
        one = as_told(said)
        return replace(one, text=". ".join(filter(None, (one.text, self.struck))))

    @property
    def next_touch(self) -> NextTouch | None:
        """The alarm, or the touch of a chamber, that comes first."""
        return next(iter(self.touches), None)

    def took_over(self, said: str | Told = "") -> None:
        """Shows the shelf as it is after a change, ours or another program's."""
        self.touches = next_touches(self.book.shelf, self.now())
        self.shelf = self.book.shelf
        self.take_choices()
        if self.made_up is not None:
            self.made_up.follow(self)
        if said:
            self.say(said)

    def keyed(self, sentence: str) -> str:
        """A sentence of ours with the keys that are bound now in place of their ids."""
        return keyed(sentence, self.own_keys)

    def by_keys(self, words: str) -> str:
        """Words of the workbook that name a command, with the key that does the same here."""
        out = self.keyed("{any.chamber}, then {chamber.out} on its line")
        words = re.sub("`chamber [^`]* --out [^`]*`", out, words)
        return words.replace("make one with `reelturn plan`", self.keyed("{any.plan} plans"))

    def undoable(self, said: str) -> Told:
        """A sentence on a change, and behind it by which key that is taken back."""
        return Told(f"{said}. {self.keyed('{any.undo} takes it back')}", undoes=True)

    def say(self, text: str | Told, *, bad: bool = False) -> None:
        """Says one line at the foot of the place that is open, also from under a question."""
        for screen in reversed(self.screen_stack):
            if hasattr(screen, "say"):
                screen.say(text, bad=bad)
                return

    @property
    def units(self) -> Mapping[str, str]:
        """In which units quantities are shown, by their kind."""
        return self.shelf.chosen.units

    def stale(self) -> str | None:
        """A sentence, where the shelf has changed in a way that the kept plan does not fit."""
        return self.book.plans.plan_is_stale() if self.plan is not None else None

    def unmarked(self) -> tuple[Step, ...]:
        """The steps of earlier evenings that nobody marked, worked out anew when shelf or day change."""
        shelf, plan, day = self.shelf, self.plan, evening_of(self.now().astimezone(self.shelf.studio.zone))
        if plan is None or evening_of(plan.start) >= day:
            return ()  # no evening of it is over: what goes through evenings is not loaded for that
        if self._unmarked is None or self._unmarked[0] is not shelf or self._unmarked[1] != day:
            from core.evening.afterwards.catch_up import unmarked

            now = self.now().astimezone(shelf.studio.zone)
            touches = untold_steps(shelf, now)
            self._unmarked = (shelf, day, unmarked(shelf, plan, now, touches))
        return self._unmarked[2]

    def unmarked_words(self) -> str:
        """A sentence on them, a load that never began above all; empty where every step is marked."""
        late = self.unmarked()
        if not late:
            return ""
        from core.evening.afterwards.catch_up import never_began
        from core.evening.afterwards.unmarked_words import unmarked_words

        return unmarked_words(late, never_began(late))

    def action_paper(self) -> None:
        """The other paper, for everything that is printed from now on."""
        size = "A4" if self.shelf.chosen.paper_size == "Letter" else "Letter"
        self.keep_choice("paper", size, self.undoable(f"printed on {size} from now on"))

    def action_printer(self) -> None:
        """To the system's printer too, or into the folder only."""
        from core.paper.printer import NO_PRINTER, has_printer

        on = self.shelf.chosen.printer
        if not on and not has_printer():
            self.say(NO_PRINTER, bad=True)
            return
        to = "into the folder only" if on else "to the printer too"
        self.keep_choice("printer", None if on else True, self.undoable(f"sheets go {to}"))

    def stamp(self, kind: NoteKind | None = None) -> bool:
        """Drops a note where the tape that plays is at this moment; False where none plays."""
        now = self.now()
        tape = running_pass(self.shelf, now)
        if tape is None:
            return False
        key, at = pass_key(tape.reel, tape.number), clock_text(int(tape.position))
        before = set(noted(self.shelf))
        here = self.current_mode == "tonight" and len(self.screen_stack) == 1  # a card has no digits
        names = "a digit gives its kind" if here else "{any.tonight}, then a digit gives its kind"
        said = f"{kind} at {at}; {{tonight.words}} adds words when there is time"
        said = self.keyed(said if kind else f"note at {at} of {tape.reel}: {names}")
        done = self.do(
            lambda: self.book.change(
                lambda shelf: drop_note(shelf, key, now, kind or "other"), what=f"note on pass {key}", at=now
            ),
            self.undoable(said) if here else said,
        )
        new = [one for one in noted(self.shelf) if one not in before]
        self._unnamed = new[-1] if done is not None and new and not kind else ""
        return True

    @property
    def unnamed_note(self) -> str:
        """The note that was dropped last and waits for its kind; empty where a digit means a new one."""
        now = self.now()
        return self._unnamed if waits_for_kind(self.shelf, self._unnamed, now) else ""

    def named_note(self) -> None:
        """No note waits for its kind any more."""
        self._unnamed = ""

    def action_stamp(self) -> None:
        """A note on the tape that plays, from any place."""
        if not self.stamp():
            self.say("no tape is running", bad=True)

    def keep_choice(self, name: Choice, value: object, said: str | Told) -> None:
        """Keeps one of the owner's choices on the shelf."""
        what = f"set {name}"
        self.do(lambda: self.book.change(lambda shelf: shelf.choosing(name, value), what=what), said)

    @property
    def goes_on(self) -> bool:
        """Whether a fault is only told: once the first picture stands, and until the program is left."""
        return self.is_open and self.is_running and self.return_code is None

    async def without(self, screen: Screen[object]) -> None:
        """Takes away a screen that could not be opened whole."""
        if screen is self.screen and len(self.screen_stack) > 1:
            await self.pop_screen()

    def stop_planning(self) -> None:
        """Tells a search that runs to stop; its thread ends by itself soon after."""
        if self.search is not None:
            self.search.stop()
        if self.reading is not None:
            self.reading.stop()
