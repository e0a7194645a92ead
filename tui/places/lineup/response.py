"""A deck's response and drift, as charts to scroll through."""

from __future__ import annotations

from typing import ClassVar

from tui.frame.text_page import TextPage


class ResponsePage(TextPage):
    """Opened from a line-up; its figures are the line-up's."""

    FIGURES: ClassVar[str] = "lineup"
