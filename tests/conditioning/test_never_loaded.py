"""Whatever a reel's row says, only polyester without vinegar and mould gets into a chamber, or back."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import chain, combinations, product

import pytest

from core.conditioning.advisor import advice_of
from core.conditioning.loads.kept_loads import loads_of
from core.errors import Refused
from core.evening.warming.load import load
from core.evening.warming.load_broken import break_off, go_on
from core.reels.reel import BASES, CONDITIONS, STAGES, Reel
from core.shelf import Shelf
from core.studio.studio import Studio

Make = Callable[..., Reel]
EVERY = [
    frozenset(s) for s in chain.from_iterable(combinations(CONDITIONS, n) for n in range(len(CONDITIONS) + 1))
]
STOCKS = ("", "Ampex 456", "Sony PR-150", "Scotch 111", "nobody's")


def may_be_warmed(reel: Reel) -> bool:
    """The never, said once more and by itself: rule 3 of the owner, and what heat would not mend."""
    known = reel.base or ("polyester" if reel.stock == "Ampex 456" else "unknown")  # of these, 456 alone
    if known != "polyester" or {"vinegar", "mould"} & set(reel.condition):
        return False
    sick = "sticky" in reel.condition or reel.stock == "Ampex 456"
    cold = reel.stock == "Sony PR-150" and bool({"sticky", "squeal"} & set(reel.condition))
    return not cold and (sick or "squeal" not in reel.condition)


@pytest.mark.parametrize("base", ["", *BASES])
def test_over_every_base_condition_stock_and_stage(
    base: str, studio: Studio, reel: Make, now: datetime
) -> None:
    went_in = 0
    for condition, stock, stage in product(EVERY, STOCKS, STAGES):
        one = reel(base=base, condition=tuple(sorted(condition)), stock=stock, stage=stage)
        try:
            load(Shelf(studio).with_reel(one), "C1", ["R-1"], now, "to see")
        except Refused:
            continue
        went_in += 1
        assert may_be_warmed(one), one
    assert (went_in > 0) == (base in ("", "polyester"))


def test_what_is_found_out_while_the_warmth_is_off_keeps_a_reel_out(
    studio: Studio, reel: Make, now: datetime
) -> None:
    sick = reel(base="polyester", condition=("sticky",))
    warm = load(Shelf(studio).with_reel(sick), "C1", ["R-1"], now)
    (key,) = loads_of(warm)
    off = break_off(warm, key, now + timedelta(hours=1), "power")
    for base, condition in product(BASES, EVERY):
        found = off.with_reel(replace(off.reel("R-1"), base=base, condition=tuple(sorted(condition))))
        on = now + timedelta(hours=1, minutes=5)
        if may_be_warmed(found.reel("R-1")) and advice_of(found, found.reel("R-1"), on).word == "warm":
            assert go_on(found, key, now + timedelta(hours=1, minutes=5)).reel("R-1").chamber == "C1"
            continue
        with pytest.raises(Refused):
            go_on(found, key, now + timedelta(hours=1, minutes=5))
