"""What the first step into another place needs, loaded while the person looks at the first picture."""

from __future__ import annotations

import gc
import time
from contextlib import suppress
from importlib import import_module
from threading import Thread
from time import monotonic
from typing import TYPE_CHECKING

from tui.library.inside import compose_ahead
from tui.memory import settle

if TYPE_CHECKING:
    from tui.home import Home

#: From the first picture until loading begins, and between two parts, so that a key comes between.
BEGINS_SECONDS = 1.0
BREATH_SECONDS = 0.03
#: For so long no key was pressed before a place is composed ahead.
QUIET_SECONDS = 0.5
#: In the order in which an evening needs them.
LATER = (
    "tui.asking.choosing",
    "tui.places.reel.reel_card",
    "tui.places.tonight.tonight",
    "tui.places.chamber.chamber",
    "tui.places.week.week",
    "tui.places.songs.songs",
    "tui.frame.help",
    "tui.places.chart.chart_filter",
    "tui.asking.typing_line",
)


def at_ease(app: Home) -> None:
    """The first picture stands: memory is settled, and a moment later the rest is loaded in a thread."""
    settle()
    app.set_timer(BEGINS_SECONDS, lambda: Thread(target=load, args=(app,), name="ahead", daemon=True).start())


def compose(app: Home) -> None:
    """Makes the next place that nobody has been in, then the others, while no key is pressed.

    The first step into it then finds it composed. What fails here fails again where it is gone to.
    """
    if not app.goes_on or len(app.screen_stack) > 1 or monotonic() - app.last_key_at < QUIET_SECONDS:
        if app.goes_on:
            app.set_timer(QUIET_SECONDS, lambda: compose(app))
        return
    mode = next((name for name in app.MODES if not _is_composed(app, name)), None)
    if mode is None:
        return
    compose_ahead(app, mode)
    app.set_timer(BREATH_SECONDS * 3, lambda: compose(app))


def _is_composed(app: Home, place: str) -> bool:
    try:
        return bool(app.get_screen_stack(place))
    except KeyError:
        return False


def load(app: Home | None = None) -> None:
    """Loads part after part; what fails here fails again, and is told, where it is needed."""
    for name in LATER:
        try:
            import_module(name)
        except ImportError:
            return
        time.sleep(BREATH_SECONDS)
    gc.freeze()
    if app is not None and app.goes_on:
        with suppress(RuntimeError):  # the program was left meanwhile
            app.call_from_thread(compose, app)
