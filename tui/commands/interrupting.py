"""Ctrl+C during long work: the first asks the work to stop, the second ends it at once."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable
from types import FrameType, TracebackType


class Interrupting:
    """Within it, an interrupt is noted instead of raised; ``asked`` tells of it."""

    def __init__(self) -> None:
        self._asked = threading.Event()
        self._before: signal.Handlers | Callable[[int, FrameType | None], object] | int | None = None

    def asked(self) -> bool:
        """True once the person has interrupted."""
        return self._asked.is_set()

    def __enter__(self) -> Interrupting:
        if threading.current_thread() is threading.main_thread():
            self._before = signal.signal(signal.SIGINT, self._heard)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)

    def _heard(self, number: int, frame: FrameType | None) -> None:
        if self._asked.is_set():
            raise KeyboardInterrupt
        self._asked.set()
