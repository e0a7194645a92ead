"""What of the screen library has private names only, each under a plain one: nothing else reaches inside.

The library is pinned, since these may change with any version of it.
"""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from textual.app import App
    from textual.events import Event
    from textual.geometry import Size
    from textual.message import Message
    from textual.screen import Screen
    from textual.widget import Widget

Handles = Callable[[MessagePump, "Message"], Coroutine[Any, Any, None]]


def laid_out_for(screen: Screen[Any]) -> Size:
    """The size for which that screen is laid out, which may not be told to it yet."""
    return screen._compositor.size


def hand_on(widget: Widget, event: Event) -> None:
    """Gives that widget an event as if it had the cursor."""
    widget._forward_event(event)


def without_toasts(app: App[Any]) -> None:
    """No screen of that program has widgets for toasts and tooltips: each opens sooner."""
    app._disable_tooltips = app._disable_notifications = True


def closes(app: App[Any]) -> bool:
    """True once that program ends."""
    return app._closed or app._closing


def not_composed(app: App[Any]) -> str | None:
    """The first place of that program in which nobody has been and that is not composed; None if none."""
    return next((name for name in app.MODES if name not in app._screen_stacks), None)


def compose_ahead(app: App[Any], place: str) -> None:
    """Composes that place though nobody goes there yet."""
    app._init_mode(place)


def handle_through(around: Callable[[Handles], Handles]) -> None:
    """From now on each message is handled as ``around`` does, which is given the library's own way."""
    MessagePump._dispatch_message = around(MessagePump._dispatch_message)  # type: ignore[method-assign,assignment]


def hear_faults(kind: type[App[Any]], hears: Callable[[Any, Exception], bool]) -> None:
    """Tells ``hears`` of faults outside of any message; where that says False, the program ends."""
    own = kind._handle_exception

    def heard(app: App[Any], error: Exception) -> None:
        if not hears(app, error):
            own(app, error)

    kind._handle_exception = heard  # type: ignore[method-assign,assignment]
