"""That the evenings were to be planned again when the program was left, as the next start finds it."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from core.store.beside.plan_again import asked, planned

if TYPE_CHECKING:
    from tui.home import Home

WAITS = "the evenings were to be planned again when the program was left: {any.tonight} plans"


def waits_since(home: Home) -> datetime | None:
    """Since when the kept plan waits to be made anew; one that was made since then is that plan."""
    since = asked(home.book.path)
    if since is None:
        return None
    kept = home.plan
    if kept is None or (kept.made_at is not None and kept.made_at >= since):
        planned(home.book.path)
        return None
    return since
