"""Reels that are in the heat for a reason of the owner's, while what is known speaks against it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from core.conditioning.advisor import advice_of
from core.conditioning.loads.kept_loads import load_of
from core.shelf import Shelf
from core.words import ended

#: With these the base is what is open.
_LOOK = ("base-doubt", "not-inspected")
_SEE = ". See its base before it is warm: what is not polyester comes out at once"


def let_in(shelf: Shelf, keys: Iterable[str]) -> Iterator[str]:
    """A sentence for each of those reels that is in the heat for a reason, with what speaks against it."""
    for key in keys:
        reel = shelf.reels.get(key)
        load = load_of(shelf, reel) if reel is not None and reel.chamber else None
        kept = shelf.of_kind("load").get(load or "", {})
        because = str(kept.get("because") or "")
        if reel is None or reel.loaded_at is None or not because:
            continue
        told = advice_of(shelf, reel, reel.loaded_at)
        same = kept.get("advice", {}).get(key) == told.word  # else it is an alarm, which says more
        if same and told.asks is not None and told.word != "warm":
            against = told.asks if told.word == "play" else told.because
            look = _SEE if told.rule in _LOOK else ""
            yield ended(f"{key} is in {reel.chamber} for a reason of yours ({because}): {against}{look}")
