"""How far a reading of captures has come, on one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.words import size_words
from tui.board.glyphs import glyphs

if TYPE_CHECKING:
    from core.capture.files.progress import Progress


def reading_words(
    what: str, progress: Progress | None, width: int, *, plain: bool = False, stop: str = "E",
    sized: bool = True,
) -> str:  # fmt: skip
    """``R-022 measured 43 % of 22.1 MB, 212 MB/s, 0:08 left ━━━──── E stops``; the key is ``stop``.

    Where what is counted is not bytes, ``sized`` is false.
    """
    if progress is None or not progress.bytes_total:
        return f" {what}: begins ...   {stop} stops"
    left = progress.seconds_left
    ends = f", {int(left // 60)}:{int(left % 60):02d} left" if left is not None else ""
    size = (
        f" of {size_words(progress.bytes_total)}, {progress.megabytes_per_second:.0f} MB/s" if sized else ""
    )
    words = f" {what} {progress.share:.0%}{size}{ends} "
    signs = glyphs(plain=plain)
    room = max(0, min(30, width - len(words) - len(f" {stop} stops ")))
    full = round(room * progress.share)
    return f"{words}{signs.bar * full}{signs.rest * (room - full)} {stop} stops"
