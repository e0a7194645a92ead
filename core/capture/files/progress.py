"""How far a check has come, for whoever waits for it; light enough to be loaded by any face."""

from __future__ import annotations

from collections.abc import Callable

from core.values import dataclass


class Cancelled(Exception):
    """The person stopped the check; nothing was kept, and no file is left open."""


@dataclass(frozen=True, slots=True)
class Progress:
    """What of the files of a pass has been read, hashed and measured."""

    bytes_done: int
    bytes_total: int
    seconds: float
    """Elapsed since the check began."""

    @property
    def share(self) -> float:
        """0 to 1."""
        return min(1.0, self.bytes_done / self.bytes_total) if self.bytes_total else 1.0

    @property
    def megabytes_per_second(self) -> float:
        """10^6 bytes a second, over all the time so far; 0 before any time has passed."""
        return self.bytes_done / 1e6 / self.seconds if self.seconds > 0 else 0.0

    @property
    def seconds_left(self) -> float | None:
        """What is left at the speed so far; None before anything was read."""
        if not self.bytes_done:
            return None
        return self.seconds * max(0, self.bytes_total - self.bytes_done) / self.bytes_done


Told = Callable[[Progress], None]
"""Takes what was reached, again and again, in the thread that checks."""

Asked = Callable[[], bool]
"""Whether the person wants the check to stop."""


def never() -> bool:
    """The answer where nobody can stop a check."""
    return False
