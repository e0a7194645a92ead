"""What is said of a load that has begun, by whichever door it did."""

from __future__ import annotations

from collections.abc import Sequence

from core.conditioning.base_look import look_lines, looks_asked
from core.conditioning.beyond_published import about_load
from core.conditioning.loads.trial import trial_words
from core.evening.playing.left_lying import ONTO_ONE, on_two_reels
from core.evening.warming.let_in import let_in
from core.shelf import Shelf
from core.words import listed


def told_of_load(before: Shelf, after: Shelf, chamber: str, reels: Sequence[str]) -> tuple[str, ...]:
    """No empty run yet, what is beyond the published, what came in by a reason, tapes that lie on two reels,
    bases that nobody saw.
    """
    missing, unseen = trial_words(after, chamber), looks_asked(before, reels)
    look = f"nobody has seen the base of {listed(unseen)}: {' '.join(look_lines())}" if unseen else ""
    apart = [f"{key} {stands}: {ONTO_ONE}" for key in reels if (stands := on_two_reels(before, key))]
    told = (missing, *about_load(before, chamber, reels), *let_in(after, reels), *apart, look)
    return tuple(one for one in told if one)
