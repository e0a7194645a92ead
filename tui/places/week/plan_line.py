"""How good the plan is, and what the step under the cursor is."""

from __future__ import annotations

from textwrap import wrap

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from tui.safe_text import clean, fit, plain


class PlanLine(Widget):
    """How good the plan is, and below it what the step under the cursor is, wrapped to three lines."""

    lines: reactive[tuple[str, str]] = reactive(("", ""))

    def render(self) -> RenderResult:
        """The first line as it is, the second wrapped."""
        width = max(20, self.size.width - 2)
        told = [self.lines[0], *wrap(clean(self.lines[1]), width)[:3]]
        return plain("\n".join(fit(f" {line}", self.size.width) for line in told))
