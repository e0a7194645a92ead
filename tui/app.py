"""The full-screen program: its places, what works everywhere, and the one door to the shelf."""

from __future__ import annotations

import locale
import os
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual.app import App
from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.command import Provider
from textual.events import Resize
from textual.geometry import Size
from textual.reactive import reactive
from textual.screen import Screen

from core.errors import ReelturnError
from core.plan import Plan
from core.shelf import Shelf
from tui.board.chamber import NextTouch, next_touches
from tui.board.rows import Board
from tui.doors import PLACE_SCREENS
from tui.faults import shows_faults, tell
from tui.key_words import keyed
from tui.keys import bindings, own_keymap
from tui.themes import NO_COLOUR, THEMES

if TYPE_CHECKING:
    from core.workbook.workbook import Workbook
    from tui.workers.planning import Search
    from tui.workers.reading import Reading, ReadOver

T = TypeVar("T")
#: The least terminal in which the chart's own columns have room.
LEAST = Size(60, 16)
_FIGURES = "Where figures come from"
_NO_SETTINGS: Mapping[str, Any] = {}


def _key_commands() -> type[Provider]:
    from tui.palette import KeyCommands

    return KeyCommands


class ReelturnApp(App[int]):
    """One open shelf. ``shelf`` is what was last read; every change goes through ``do``."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "app.tcss")
    TITLE = "Reelturn"
    MODES = PLACE_SCREENS
    DEFAULT_MODE = "chart"
    BINDINGS: ClassVar[list[BindingType]] = bindings("any")
    COMMANDS: ClassVar[set[Any]] = {_key_commands}

    shelf: reactive[Shelf] = reactive(Shelf, always_update=True, init=False)  # type: ignore[arg-type]

    def __init__(self, workbook: Workbook, once_open: Callable[[], None] = lambda: None) -> None:
        self.book = workbook
        self._once_open = once_open
        self.drafts: dict[str, str] = {}
        self.own_keys: dict[str, str] = {}
        self.plain_signs = not _draws_signs()
        self.next_touch: NextTouch | None = None
        self.quiet_until: datetime | None = None
        self.print_folder = ""
        self.kinds_opened: set[type] = set()
        self.faults: dict[Any, None] = {}
        self._is_open = False
        self.search: Search | None = None
        self.reading: Reading | None = None
        self._board: Board | None = None
        self._plan: tuple[Any, Plan | None] = (None, None)
        self._settings: Mapping[str, Any] | None = None  # those that were taken over last
        # Told at once, so that no colour at all is sent; later the library would send greys.
        super().__init__(ansi_color=True if "NO_COLOR" in os.environ else None)
        # There are no toasts and no tooltips here; without their widgets every screen opens sooner.
        self._disable_tooltips = self._disable_notifications = True
        self.set_reactive(ReelturnApp.shelf, workbook.shelf)
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = self._first_look()
        self._take_settings()

    def _first_look(self) -> str:
        wanted = str(self.shelf.of_kind("setting").get("look") or os.environ.get("TEXTUAL_THEME") or "")
        if self.no_color:
            return NO_COLOUR.name
        return wanted if wanted in self.available_themes else THEMES[0].name

    def _take_settings(self) -> None:
        settings = self.shelf.records.get("setting", _NO_SETTINGS)
        if settings is self._settings:
            return
        self._settings = settings
        self.own_keys, self.key_troubles = own_keymap(settings.get("keys"))
        self.set_keymap(self.own_keys)
        if "plain signs" in settings:
            self.plain_signs = bool(settings["plain signs"])

    def now(self) -> datetime:
        """This moment, as the workbook's clock tells it."""
        return self.book.now()

    def on_mount(self) -> None:
        """The clock starts: once a second the chambers, the clock and the shelf's file are looked at."""
        self.next_touch = next(iter(next_touches(self.shelf)), None)
        self.set_interval(1.0, self.tick)

    def on_resize(self, event: Resize) -> None:
        """Says so where there is no room; the place below stays as it is."""
        if self._is_open:
            self._look_at_size(event.size)

    def _look_at_size(self, size: Size) -> None:
        if size.width < LEAST.width or size.height < LEAST.height:
            from tui.frame.too_small import TooSmall

            if not isinstance(self.screen, TooSmall):
                self.push_screen(TooSmall())

    def on_ready(self) -> None:
        """What must be heard first is an overdue turn."""
        self._is_open = True
        if self.key_troubles:
            self.say(f"own keys left out: {'; '.join(self.key_troubles)}", bad=True)
        self.tick()
        self._look_at_size(self.size)
        self.call_after_refresh(self._once_open)

    def tick(self) -> None:
        """One second's round; also called by tests that move the clock. A part that fails stops no other."""
        if not self.screen_stack:
            return  # the program is being left
        for part in (self._read_again, self._ring, self._tick_screen):
            try:
                part()
            except Exception as error:
                if shows_faults():
                    raise
                tell(self, error)

    def _read_again(self) -> None:
        if self.book.reload() or self.book.shelf is not self.shelf:
            self.took_over("the shelf was changed by another program: read again")

    def _ring(self) -> None:
        from tui.workers.bell import ring

        ring(self, self.now())

    def _tick_screen(self) -> None:
        tick = getattr(self.screen, "tick", None)
        if tick is not None:
            tick(self.now())

    @property
    def goes_on(self) -> bool:
        """Whether a fault is only told: once the first picture stands, and until the program is left."""
        return self._is_open and not self._closing and not self._closed

    def _handle_exception(self, error: Exception) -> None:
        """A fault outside of a message: in a timer, in a thread's work, in what was put off to later."""
        if shows_faults() or not self.goes_on:
            super()._handle_exception(error)
        else:
            tell(self, error)

    async def without(self, screen: Screen[Any]) -> None:
        """Takes away a screen that could not be opened whole."""
        if screen is self.screen and len(self.screen_stack) > 1:
            await self.pop_screen()

    # The shelf -------------------------------------------------------------------------------------------

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

    def do(self, work: Callable[[], T], said: str = "") -> T | None:
        """Does something to the shelf; an error becomes one line at the foot, and None comes back."""
        try:
            done = work()
        except ReelturnError as error:
            self.say(str(error), bad=True)
            return None
        except OSError as error:
            self.say(
                f"the shelf could not be written: {error.strerror or error}; nothing was changed", bad=True
            )
            return None
        self.took_over(said)
        return done

    def took_over(self, said: str = "") -> None:
        """Shows the shelf as it is after a change, ours or another program's."""
        self.next_touch = next(iter(next_touches(self.book.shelf)), None)
        self.shelf = self.book.shelf
        self._take_settings()
        if said:
            self.say(said)

    def keyed(self, sentence: str) -> str:
        """A sentence of ours with the keys that are bound now in place of their ids."""
        return keyed(sentence, self.own_keys)

    @property
    def takes_back(self) -> str:
        """How a change is taken back, by the key that does it now."""
        return self.keyed("{any.undo} takes it back")

    def say(self, text: str, *, bad: bool = False) -> None:
        """Says one line at the foot of the place that is open, also from under a question."""
        for screen in reversed(self.screen_stack):
            if hasattr(screen, "say"):
                screen.say(text, bad=bad)
                return

    @property
    def units(self) -> Mapping[str, str]:
        """In which units quantities are shown, by their kind."""
        chosen = self.shelf.of_kind("setting").get("units")
        return chosen if isinstance(chosen, Mapping) else {}

    def promises(self) -> Mapping[str, datetime | None]:
        """The time that is promised for each song, by the kept plan."""
        return self.book.plans.promises()[0]

    def stale(self) -> str | None:
        """A sentence, where the shelf has changed in a way that the kept plan does not fit."""
        return self.book.plans.plan_is_stale() if self.plan is not None else None

    # What works everywhere -------------------------------------------------------------------------------

    async def run_action(self, action: Any, default_namespace: Any = None, namespaces: Any = None) -> bool:
        """Says why, where a key is pressed that cannot be used now."""
        if isinstance(action, str):
            why_not = getattr(self.screen, "reason_not", None)
            reason = why_not(action) if why_not is not None else None
            if reason:
                self.say(f"not now: {reason}", bad=True)
                return True
        return await super().run_action(action, default_namespace, namespaces)

    def action_place(self, name: str) -> None:
        """Goes to a place; cards that are open in the one left stay open there."""
        self.switch_mode(name)

    def action_out(self) -> None:
        """One step out of wherever one is."""
        out = getattr(self.screen, "action_out", None)
        if out is not None:
            out()

    def pop_screen(self) -> AwaitComplete:
        """Takes the uppermost screen away; the one below is drawn once, when all of that is done."""
        drawing = ExitStack()
        popped = super().pop_screen()
        drawing.enter_context(self.batch_update())

        def draw() -> None:
            drawing.close()
            self.screen.refresh()

        async def gone() -> None:
            try:
                await popped
            finally:
                self.call_next(draw)

        self.call_next(gone)
        return popped

    async def action_find(self) -> None:
        """Find as you type, on the chart."""
        await self._bare("chart")
        self.screen.open_find()  # type: ignore[attr-defined]

    async def _bare(self, place: str) -> None:
        """Goes to a place with nothing open on top of it."""
        if self.current_mode != place:
            await self.switch_mode(place)
        while len(self.screen_stack) > 1:
            await self.pop_screen()

    def action_undo(self) -> None:
        """Takes back the last change."""
        sentence = self.do(self.book.undo)
        if sentence:
            # What is to be done comes first: a long act is cut at the edge of the screen.
            plans = self.keyed("taken back; the plan does not fit that, {any.plan} plans again:")
            self.say(sentence.replace("taken back:", plans, 1) if self.stale() else sentence)

    def action_print(self) -> None:
        """Asks what to print."""
        from tui.frame.printing import AskPrint

        self.push_screen(AskPrint())

    async def action_plan(self) -> None:
        """Plans the evenings again, in the week's place."""
        await self._bare("week")
        self.call_after_refresh(self.screen.start_planning)  # type: ignore[attr-defined]

    def action_look(self) -> None:
        """The next look."""
        names = [theme.name for theme in THEMES]
        here = names.index(self.theme) if self.theme in names else -1
        self.theme = names[(here + 1) % len(names)]
        name = self.theme
        self.keep_setting("look", name, f"look: {name.removeprefix('reelturn-').replace('-', ' ')}")

    def action_signs(self) -> None:
        """Plain letters, or signs again."""
        self.plain_signs = not self.plain_signs
        self.keep_setting("plain signs", self.plain_signs, "plain letters" if self.plain_signs else "signs")

    def action_paper(self) -> None:
        """The other paper, for everything that is printed from now on."""
        size = "A4" if self.shelf.paper_size == "Letter" else "Letter"
        self.keep_setting("paper", size, f"printed on {size} from now on. {self.takes_back}")

    def action_figures(self) -> None:
        """Where the figures of the place that is open come from."""
        from tui.frame.text_page import TextPage
        from tui.text.figures import figures_lines

        where = getattr(self.screen, "FIGURES", "") or self.current_mode
        if getattr(self.screen, "title_words", "") != _FIGURES:
            self.push_screen(TextPage(_FIGURES, lambda: tuple(figures_lines(where, self.shelf))))

    def action_units(self) -> None:
        """Other units for what is shown."""
        from tui.frame.units import AskUnits

        self.push_screen(AskUnits())

    def action_keys(self) -> None:
        """The keys of the place that is open."""
        from tui.frame.help import KeysPage

        self.push_screen(KeysPage(self.screen))

    def keep_setting(self, name: str, value: Any, said: str) -> None:
        """Keeps one of the owner's choices on the shelf."""
        what = f"set {name}"
        self.do(
            lambda: self.book.change(lambda shelf: shelf.with_record("setting", name, value), what=what), said
        )

    def get_default_screen(self) -> Screen[Any]:
        """Only there until the first place is."""
        return Screen(id="_default")

    def stop_planning(self) -> None:
        """Tells a search that runs to stop; its thread ends by itself soon after."""
        if self.search is not None:
            self.search.stop()
        if self.reading is not None:
            self.reading.stop()

    def on_read_over(self, event: ReadOver) -> None:
        """Captures were read, or reading was stopped."""
        event.reading.over(event.found, event.trouble)

    async def action_quit(self) -> None:
        """Leaves; typing that was never finished is asked about first, and a running search is stopped."""
        from tui.frame.leaving import leave

        await leave(self)


def _draws_signs() -> bool:
    """True where the terminal's encoding has the signs that we draw with."""
    encoding = locale.getpreferredencoding(False)
    try:
        "•━─›▌".encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return os.environ.get("TERM") not in ("linux", "dumb")


def run(workbook: Workbook) -> int:
    """Opens the full-screen program on a shelf; the exit status."""

    def opened() -> None:
        from tui.workers.ahead import at_ease

        at_ease(app)

    app = ReelturnApp(workbook, once_open=opened)
    return app.run() or 0
