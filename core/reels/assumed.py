"""What a reel is planned as where nothing tells: the set-up that is likely, and what a look will find."""

from __future__ import annotations

from dataclasses import replace

from core.reels.needs import NONE, OwnStocks, inspect_first, listed_sticky
from core.reels.reel import Reel
from core.studio.studio import Studio


def with_setup(reel: Reel, studio: Studio) -> Reel:
    """The reel with a blank equalisation and level as the studio assumes them; a blank where it does not."""
    eq, level = reel.eq.strip() or studio.assume_eq, reel.level or studio.assume_level
    same = eq == reel.eq and level is reel.level
    return reel if same else replace(reel, eq=eq, level=level)


def likely(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> Reel:
    """The reel as it most likely is found when someone looks; one that was inspected is itself."""
    if not reel.condition and not reel.past("conditioned"):
        return replace(reel, condition=(likely_condition(reel, studio, own),))
    return reel


def as_known(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> Reel:
    """The reel by what is known of it: one of a listed stock counts as sticky before anyone looks."""
    return likely(reel, studio, own) if listed_sticky(reel, own) else reel


def likely_condition(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> str:
    """``sticky`` if its stock is known to become so, else what the studio assumes."""
    return "sticky" if listed_sticky(reel, own) else studio.assume_condition


def rests_on_condition(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> tuple[str, ...]:
    """What a repair or an entry in a load rests on: ``condition ok`` or ``condition sticky``, or nothing."""
    if reel.calibration and reel.past("conditioned"):
        return ()
    return (f"condition {likely_condition(reel, studio, own)}",) if inspect_first(reel) else ()


def rests_on(reel: Reel, setup_told: Reel, studio: Studio, own: OwnStocks = NONE) -> tuple[str, ...]:
    """What a transfer rests on: its condition, then equalisation and level where only assumed.

    ``setup_told``: the reel, or its part, with the set-up as the shelf tells it.
    """
    out = list(rests_on_condition(reel, studio, own))
    if not setup_told.eq.strip() and studio.assume_eq:
        out.append(f"eq {studio.assume_eq}")
    if setup_told.level is None and studio.assume_level is not None:
        out.append(f"level {studio.assume_level}")
    return tuple(out)
