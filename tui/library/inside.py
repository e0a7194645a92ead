"""What of the screen library has private names only, each under a plain one: nothing else reaches inside.

The library is pinned, since these may change with any version of it. What each is for, and why no public name
does it, stands with it; ``tests/startup/test_the_house.py`` holds that there are no more of them.
"""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

from textual.message_pump import MessagePump

if TYPE_CHECKING:
    from textual.app import App
    from textual.message import Message

Handles = Callable[[MessagePump, "Message"], Coroutine[Any, Any, None]]


def without_toasts(app: App[Any]) -> None:
    """No screen of that program has widgets for toasts and tooltips: each opens sooner.

    The library offers this to tests alone (``run_test``).
    """
    app._disable_tooltips = app._disable_notifications = True


def compose_ahead(app: App[Any], place: str) -> None:
    """Composes that place though nobody goes there yet.

    By public names a place is composed only when it is gone to, and shown.
    """
    app._init_mode(place)


def handle_through(around: Callable[[Handles], Handles]) -> None:
    """From now on each message is handled as ``around`` does, which is given the library's own way.

    A fault in a handler ends what handles the next message, and no public name comes before that: a widget's
    ``on_event`` may be overridden, but not that of the library's own widgets.
    """
    MessagePump._dispatch_message = around(MessagePump._dispatch_message)  # type: ignore[method-assign,assignment]


def hear_faults(kind: type[App[Any]], hears: Callable[[Any, Exception], bool]) -> None:
    """Tells ``hears`` of faults outside of any message; where that says False, the program ends.

    Layouts, timers and callbacks hand their faults to this one method, which ends the program.
    """
    own = kind._handle_exception

    def heard(app: App[Any], error: Exception) -> None:
        if not hears(app, error):
            own(app, error)

    kind._handle_exception = heard  # type: ignore[method-assign,assignment]
