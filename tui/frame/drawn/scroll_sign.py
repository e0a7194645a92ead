"""The bar at the edge of a list, drawn with signs in the look without a colour: what is above and below."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from rich.segment import Segment, Segments
from textual.scrollbar import ScrollBar, ScrollBarRender

from tui.board.glyphs import SIGNS, glyphs
from tui.themes import NO_COLOUR

if TYPE_CHECKING:
    from rich.style import Style


class SignBar(ScrollBarRender):
    """A bar that is seen without a colour; it never fills its edge, so that what is above or below shows."""

    SIGN: ClassVar[str] = SIGNS.half

    @classmethod
    def render_bar(cls, *args: Any, **how: Any) -> Segments:
        """The bar as a column of signs; one that lies flat is drawn as the library does."""
        size, whole, seen = (int(how.get(name) or 0) for name in ("size", "virtual_size", "window_size"))
        if args or not how.get("vertical", True) or not 0 < seen < whole or size < 3:
            return super().render_bar(*args, **how)
        top = float(how.get("position") or 0)
        above, below = top > 0, top < whole - seen
        room = size - above - below
        length = max(1, round(room * seen / whole))
        start = above + round((room - length) * top / (whole - seen))
        signs = [" "] * size
        signs[start : start + length] = [cls.SIGN] * length
        does = ["scroll_up"] * start + ["grab"] * length + ["scroll_down"] * (size - start - length)
        return Segments([Segment(*one) for one in zip(signs, map(_grip, does), strict=True)], new_lines=True)


def _grip(does: str) -> Style:
    from rich.style import Style

    return Style(meta={"@mouse.down": does})


def bars_of(look: str, *, plain: bool) -> None:
    """From now on bars are drawn as that look wants them; ``plain``: in plain letters."""
    SignBar.SIGN = glyphs(plain=plain).half
    ScrollBar.renderer = SignBar if look == NO_COLOUR.name else ScrollBarRender
