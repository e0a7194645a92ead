"""Waits for a screen by what there is left to do, never by the clock: a busy machine changes nothing.

Textual's own wait takes the program for idle after 20 ms in which it used little processor time. That is slow
where nothing is left to do, and too short where the machine gives the program no turn.
"""

import asyncio
from collections.abc import Callable
from time import monotonic
from typing import Any
from weakref import WeakSet

import pytest
from textual.app import App
from textual.screen import Screen

_PAINT = Screen._compositor_refresh
_SHUT = App._shutdown

ROUNDS = 3
"""Turns of the event loop with nothing else to do, after which a screen counts as settled."""
UPDATES = 40
"""How often a screen may ask to be laid out again within one wait."""
TURN_SECONDS = 0.002
"""What threads get between the first two looks at a condition; each time half as much again."""
LONGEST_TURN_SECONDS = 0.03
"""What they get at the most: looking takes time from what is waited for."""
PATIENCE_SECONDS = 120.0
"""After this a condition that never comes is told as a failure; no test is to come near it."""


async def settled(min_sleep: float = 0.0, max_sleep: float = 0.0) -> None:
    """Returns when the event loop has nothing to do but this, and the screen is laid out as it stands."""
    loop: Any = asyncio.get_running_loop()
    still, rounds = 0, 0
    while still < ROUNDS:
        await asyncio.sleep(0)
        still = 0 if loop._ready else still + 1
        if still and rounds < UPDATES and _updated():
            still, rounds = 0, rounds + 1


_DUE: WeakSet[Any] = WeakSet()
"""Screens that were to be painted since they last were."""


def _updated() -> bool:
    """Does at once what the open screen's timer would do a 60th of a second later."""
    from textual._context import active_app

    app = active_app.get(None)
    screen = app.screen_stack[-1] if app is not None and app.screen_stack else None
    if screen is None or not screen.is_running or not screen._update_timer._active.is_set():
        return False
    screen._on_timer_update()
    return True


def _paint_later(screen: Any) -> None:
    """What is to be painted, the compositor remembers: no terminal looks while a test presses keys."""
    if screen is screen.app.screen and not screen.app.is_inline:
        screen._dirty_widgets.clear()
        _DUE.add(screen)
    else:
        _PAINT(screen)


def painted(app: Any) -> None:
    """Paints what is due, as for a terminal: for a test that counts what is drawn."""
    if app.screen_stack and app.screen in _DUE:
        _DUE.discard(app.screen)
        _PAINT(app.screen)


async def _painted_at_last(app: Any) -> None:
    """The picture in which a test ends is painted; what a test reads on the way is drawn as it reads."""
    if app._exception is None:
        painted(app)
    await _SHUT(app)


async def _all_heard(pilot: Any, timeout: float = 0.0) -> bool:
    """True when every widget has heard what was said to it: an event loop with nothing to do tells that as
    well as Textual's own word to each of them and back, several times a key."""
    await settled()
    return pilot.app._exception is None


def wait_by_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pilots of this test wait until the event loop has settled."""
    monkeypatch.setattr("textual.app.wait_for_idle", settled)
    monkeypatch.setattr("textual.pilot.wait_for_idle", settled)
    monkeypatch.setattr("textual.pilot.Pilot._wait_for_screen", _all_heard)
    monkeypatch.setattr(Screen, "_compositor_refresh", _paint_later)
    monkeypatch.setattr(App, "_shutdown", _painted_at_last)
    monkeypatch.setattr("tui.frame.by_itself.DEAF_SECONDS", 0.0)  # tests press when they have seen


_PARSED: dict[tuple[Any, ...], list[Any]] = {}


def parse_each_style_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Programs of one process share what was parsed of the same style sheet in the same colours."""
    from textual.css.stylesheet import Stylesheet

    parse = Stylesheet._parse_rules

    def parsed(sheet: Any, css: str, read_from: Any, *told: Any, **more: Any) -> list[Any]:
        key = (css, read_from, told, *sorted(more.items()), *sheet._variables.items())
        if key not in _PARSED:
            _PARSED[key] = parse(sheet, css, read_from, *told, **more)
        return _PARSED[key]

    monkeypatch.setattr(Stylesheet, "_parse_rules", parsed)


async def until(pilot: Any, holds: Callable[[], bool], screen: Callable[[], str]) -> None:
    """Waits until that holds; what a thread works on is waited for as well."""
    given_up, turn = monotonic() + PATIENCE_SECONDS, TURN_SECONDS
    while True:
        await pilot.pause()
        if pilot.app._exception is not None:
            raise pilot.app._exception
        if holds():
            return
        if monotonic() > given_up:
            raise AssertionError("the screen never came to that:\n" + screen())
        await asyncio.sleep(turn)
        turn = min(turn * 1.5, LONGEST_TURN_SECONDS)
