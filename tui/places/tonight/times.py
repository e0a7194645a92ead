"""Times as a person writes them on the sheet, as the evening's own rule reads them."""

from __future__ import annotations

from core.evening.playing.when import of_evening, start_and_end

__all__ = ["of_evening", "start_and_end"]
