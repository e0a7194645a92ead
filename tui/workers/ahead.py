"""What the first step into another place needs, loaded while the person looks at the first picture."""

from __future__ import annotations

import gc
import time
from importlib import import_module
from threading import Thread
from typing import TYPE_CHECKING

from tui.memory import settle

if TYPE_CHECKING:
    from tui.home import Home

#: From the first picture until loading begins, and between two parts, so that a key comes between.
BEGINS_SECONDS = 1.0
BREATH_SECONDS = 0.03
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
    app.set_timer(BEGINS_SECONDS, lambda: Thread(target=load, name="ahead", daemon=True).start())


def load() -> None:
    """Loads part after part; what fails here fails again, and is told, where it is needed."""
    for name in LATER:
        try:
            import_module(name)
        except ImportError:
            return
        time.sleep(BREATH_SECONDS)
    gc.freeze()
