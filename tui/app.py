"""The full-screen program: its places, what works everywhere, and the one door to the shelf."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import ExitStack
from time import monotonic
from typing import TYPE_CHECKING, Any, ClassVar

from textual.await_complete import AwaitComplete
from textual.binding import BindingType
from textual.command import Provider
from textual.events import Event, Key, Paste, Resize
from textual.geometry import Size
from textual.screen import Screen

from core.logbook.passes import played
from core.logbook.running import runs_tonight
from tui.asking.asking import Question
from tui.board.chamber import next_touches
from tui.board.glyphs import draws_signs
from tui.doors import DOORS, PLACE_SCREENS
from tui.faults import shows_faults, tell
from tui.frame.acts.plan_again import WAITS, waits_since
from tui.frame.by_itself import ByItself
from tui.frame.drawn.scroll_sign import bars_of
from tui.frame.half_typed import keep_typed, take_up, taken_up_words, typed_is_kept
from tui.frame.opening import StyleSheet
from tui.frame.place import Place
from tui.frame.too_small import LEAST, TooSmall
from tui.home import Home
from tui.keys.keys import bindings
from tui.library.inside import hear_faults, without_toasts
from tui.themes import THEMES

if TYPE_CHECKING:
    from core.workbook.workbook import Workbook
    from tui.frame.made_up import MadeUp
    from tui.workers.reading import ReadOver

_FIGURES = "Where figures come from"
NOT_NOW = "not now: "


def _key_commands() -> type[Provider]:
    from tui.palette import KeyCommands

    return KeyCommands


class ReelturnApp(Home):
    """The program: its places, its clock, and the keys that work everywhere."""

    CSS_PATH = os.path.join(os.path.dirname(__file__), "app.tcss")
    TITLE = "Reelturn"
    MODES = PLACE_SCREENS
    DOORS = DOORS
    DEFAULT_MODE = "chart"
    BINDINGS: ClassVar[list[BindingType]] = bindings("any")
    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {_key_commands}

    def __init__(self, workbook: Workbook, once_open: Callable[[], None] = lambda: None) -> None:
        self._once_open = once_open
        if runs_tonight(workbook.shelf, workbook.now()):  # the keys are those of the step that runs
            self.DEFAULT_MODE = "tonight"  # type: ignore[misc]
        super().__init__(workbook)
        self.plain_signs = not draws_signs()
        without_toasts(self)
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = self.first_look()
        self.stylesheet = StyleSheet(self.get_css_variables())
        self.take_choices()

    def on_mount(self) -> None:
        """The clock starts: once a second the chambers, the clock and the shelf's file are looked at."""
        bars_of(self.theme, plain=self.plain_signs)
        take_up(self)
        self.touches = next_touches(self.shelf, self.now())
        self.set_interval(1.0, self.tick)

    def on_resize(self, event: Resize) -> None:
        """Says so where there is no room; the place below stays as it is."""
        if self.is_open:
            self._look_at_size(event.size)

    def _look_at_size(self, size: Size) -> None:
        small = size.width < LEAST.width or size.height < LEAST.height
        if small and not isinstance(self.screen, TooSmall):
            self.push_screen(TooSmall())

    def on_ready(self) -> None:
        """What must be heard first is an overdue turn."""
        self.is_open = True
        if waits_since(self) is not None and self.current_mode != "tonight":
            self.say(self.keyed(WAITS))
        if taken_up := taken_up_words(self):
            self.say(taken_up)
        if self.key_troubles:
            self.say(f"own keys left out: {'; '.join(self.key_troubles)}", bad=True)
        if any(one.state == "running" for one in played(self.shelf).values()):
            from tui.frame.acts.away import ask_after, last_seen

            self.call_after_refresh(ask_after, self, last_seen(self.book.path), self.now())
        self.tick()
        self._look_at_size(self.size)
        self.call_after_refresh(self._once_open)

    def tick(self) -> None:
        """One second's round; also called by tests that move the clock. A part that fails stops no other."""
        if not self.screen_stack:
            return  # the program is being left
        for part in (self._keep_typed, self._read_again, self._ring, self._watch, self._tick_screen):
            try:
                part()
            except Exception as error:
                if shows_faults():
                    raise
                tell(self, error)

    def _keep_typed(self) -> None:
        keep_typed(self)

    def _read_again(self) -> None:
        if self.book.reload():
            self.took_over("the shelf was changed by another program: read again")
        elif self.book.shelf is not self.shelf:  # by a thread of ours, which says itself what it did
            self.took_over()

    def _ring(self) -> None:
        from tui.workers.bell import ring

        ring(self, self.now())

    def _watch(self) -> None:
        if played(self.shelf):
            from tui.frame.acts.away import watch

            watch(self, self.now())

    def _tick_screen(self) -> None:
        tick = getattr(self.screen, "tick", None)
        if tick is not None:
            tick(self.now())

    async def on_event(self, event: Event) -> None:
        """A key that comes while a window opens by itself was meant for something else: nothing takes it."""
        if isinstance(event, Key) and self.one_key.must_wait(event):
            return
        if isinstance(event, Paste):  # a line takes several as one: none of them is dropped
            event.text = " ".join(one.strip() for one in event.text.splitlines() if one.strip())
        if isinstance(event, Key | Paste):
            self.last_key_at = monotonic()
            if getattr(self.screen, "deaf", False):
                event.stop()
                self.one_key.given(self)
                return
            if isinstance(event, Key) and isinstance(self.screen, ByItself):
                self.screen.hears(event.key)
        goes_down = isinstance(event, Key) and not event.is_forwarded
        taker = (self.focused or self.screen) if goes_down else None
        if isinstance(event, Key) and goes_down:
            if isinstance(self.screen, Question) and self.one_key.bounces(self.screen.opener, event):
                event.stop()
                self.one_key.given(self)
                return
            self.one_key.last = event
        await super().on_event(event)
        if taker is not None:
            self.one_key.given(taker)

    # What works everywhere -------------------------------------------------------------------------------

    async def run_action(self, action: Any, default_namespace: Any = None, namespaces: Any = None) -> bool:
        """Says why, where a key is pressed that cannot be used now."""
        if isinstance(action, str):
            why_not = getattr(self.screen, "reason_not", None)
            reason = why_not(action) if why_not is not None else None
            if reason:
                self.say(f"{NOT_NOW}{reason}", bad=True)
                return True
        if isinstance(self.screen, Place):
            self.screen.forget(NOT_NOW)
        return await super().run_action(action, default_namespace, namespaces)

    def delay_update(self, delay: float = 0.0) -> None:
        """Nothing waits: a place is laid out before it is shown, so there is no brief change to hide."""

    def action_place(self, name: str) -> None:
        """Goes to a place itself; cards that were open in it are closed, but while one is being read for."""
        if self.current_mode != name:
            if isinstance(self.screen, Place):
                self.screen.forget()
            self.switch_mode(name)
        while len(self.screen_stack) > 1 and isinstance(self.screen, Place) and self.reading is None:
            self.screen.dismiss()

    def action_out(self) -> None:
        """One step out of wherever one is."""
        out = getattr(self.screen, "action_out", None)
        if out is not None:
            out()

    def action_focus_next(self) -> None:
        """Tab: down the lines of a form, else on in a question; no line of a place is left by it."""
        if not self._tabbed(1):
            super().action_focus_next()

    def action_focus_previous(self) -> None:
        """Shift+Tab: the other way."""
        if not self._tabbed(-1):
            super().action_focus_previous()

    def _tabbed(self, lines: int) -> bool:
        move = getattr(self.screen, "action_move", None)
        if move is not None:
            move(lines)
        return move is not None or isinstance(self.screen, Place)

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
        """Takes back the last change; where the foot still names an earlier one, it is said first."""
        from tui.frame.acts.taking_back import ask_whose, take_back

        promised = getattr(self.screen, "promised", None)
        if promised is not None and self.do(self.book.next_to_take_back) is not None:
            number, words = self.book.next_to_take_back()
            if number > promised:
                self.say(self.undoable(f"since then: {words}"), bad=True)
                return
        if promised is None:
            ask_whose(self, lambda: take_back(self))
        else:
            take_back(self)  # the foot names it

    def action_redo(self) -> None:
        """Does over again what was taken back last."""
        sentence = self.do(self.book.redo)
        if sentence:
            self.say(self.undoable(sentence))

    def action_print(self) -> None:
        """Asks what to print."""
        from tui.frame.acts.printing import AskPrint

        self.push_screen(AskPrint(self.reel_here()))

    def reel_here(self) -> str:
        """The reel that the place is about, under the cursor or by its step; empty where there is none."""
        place = self.screen
        row, step = getattr(place, "row", None), getattr(place, "step", None)
        named = getattr(row, "key", "") or getattr(step, "subject", "") or getattr(place, "reel", "")
        return named if isinstance(named, str) and named in self.shelf.reels else ""

    async def plan_made_up(self) -> None:
        """A made-up shelf is planned before one's eyes, from the first picture on."""
        if self.made_up is not None:
            self.made_up.begin(self)
            if self.plan is None:
                await self.action_plan()

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
        bars_of(name, plain=self.plain_signs)
        self.keep_choice("look", name, f"look: {name.removeprefix('reelturn-').replace('-', ' ')}")

    def action_signs(self) -> None:
        """Plain letters, or signs again."""
        self.plain_signs = not self.plain_signs
        bars_of(self.theme, plain=self.plain_signs)
        self.keep_choice("plain signs", self.plain_signs, "plain letters" if self.plain_signs else "signs")

    def action_figures(self) -> None:
        """Where the figures of the place that is open come from."""
        from tui.frame.text_page import TextPage
        from tui.text.figures import figures_lines

        where = getattr(self.screen, "FIGURES", "") or self.current_mode
        if getattr(self.screen, "title_words", "") != _FIGURES:
            self.push_screen(TextPage(_FIGURES, lambda: tuple(figures_lines(where, self.shelf))))

    def action_loose_sheets(self) -> None:
        """The loose sheets, over the place that is open."""
        from tui.places.loose.loose import LooseScreen

        if not isinstance(self.screen, LooseScreen):
            self.open_door("loose sheets")

    def action_album(self) -> None:
        """The album, over the place that is open."""
        from tui.places.album.album import AlbumScreen

        if not isinstance(self.screen, AlbumScreen):
            self.open_door("album")

    def action_units(self) -> None:
        """Other units for what is shown."""
        from tui.frame.units import AskUnits

        self.push_screen(AskUnits())

    def action_keys(self) -> None:
        """The keys of the place that is open; in a line that is typed in, what the line is about."""
        from textual.widgets import Input

        if isinstance(self.focused, Input):  # whoever types on there must bind no key by it
            from tui.frame.words_page import tell

            if not tell(self, getattr(self.screen, "told_here", ())):
                self.say("there is no more to tell of this line")
            return
        from tui.frame.help import KeysPage

        self.push_screen(KeysPage(self.screen))

    def get_default_screen(self) -> Screen[object]:
        """Only there until the first place is."""
        return Screen(id="_default")

    def on_read_over(self, event: ReadOver) -> None:
        """Captures were read, or reading was stopped."""
        event.reading.over(event.found, event.trouble)

    async def action_quit(self) -> None:
        """Leaves; typing that was never finished is asked about first, and a running search is stopped."""
        from tui.frame.acts.leaving import leave

        await leave(self)


def run(workbook: Workbook, made_up: MadeUp | None = None) -> int:
    """Opens the full-screen program on a shelf, planning at once where it is made up; the exit status."""

    def opened() -> None:
        from tui.workers.ahead import at_ease

        at_ease(app)
        app.call_later(app.plan_made_up)

    app = ReelturnApp(workbook, once_open=opened)
    app.made_up = made_up
    with typed_is_kept(app):
        return app.run() or 0


def _fault_outside(app: ReelturnApp, error: Exception) -> bool:
    """Tells a fault outside of a message: in a timer, in a thread's work, in what was put off to later."""
    if shows_faults() or not app.goes_on:
        return False
    tell(app, error)
    return True


hear_faults(ReelturnApp, _fault_outside)
