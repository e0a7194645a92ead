"""What the key under the cursor means, wrapped to two lines."""

from __future__ import annotations

from textwrap import wrap

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from tui.safe_text import clean, fit, plain


class ToldLine(Widget):
    """Two lines at the foot of the studio."""

    text: reactive[str] = reactive("")

    def render(self) -> RenderResult:
        """The text, wrapped."""
        width = max(20, self.size.width - 2)
        told = wrap(clean(self.text.replace("`", "")), width)[:2]
        return plain("\n".join(fit(f" {line}", self.size.width) for line in told))
