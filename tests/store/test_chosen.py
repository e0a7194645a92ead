"""What the owner chose once is read as what it must be, whatever another program left there."""

from __future__ import annotations

from typing import get_args

import pytest

from core.chosen import Choice, Chosen


@pytest.mark.parametrize("nonsense", [7, "papyrus", ["papyrus"], {"papyrus": 7}])
def test_nonsense_counts_as_not_chosen(nonsense: object) -> None:
    chosen = Chosen({name: nonsense for name in get_args(Choice)})
    assert chosen.paper_size == "A4" and chosen.fill_in == ()
    assert chosen.figures == {} and chosen.numbers("heat.") == {}
    assert all(isinstance(unit, str) for unit in chosen.units.values())
    if not isinstance(nonsense, dict):
        assert (
            chosen.keys
            == chosen.units
            == chosen.thresholds
            == chosen.minutes_before
            == chosen.equal_parts
            == {}
        )


def test_what_was_chosen_is_read_as_it_was_kept() -> None:
    own = {"heat.settle_hours": {"value": 3, "note": "a heavy box"}, "lineup.level_db": {"value": 0.2}}
    kept = {"paper": "Letter", "fill in": ["transfers", "looks"], "figures": own, "plain signs": False}
    chosen = Chosen(kept)
    assert (chosen.paper_size, chosen.fill_in, chosen.plain_signs) == (
        "Letter",
        ("looks", "transfers"),
        False,
    )
    assert (chosen.numbers("heat."), chosen.numbers("lineup.")) == (
        {"heat.settle_hours": 3}, {"lineup.level_db": 0.2},
    )  # fmt: skip
    assert Chosen({}).plain_signs is None and not Chosen({}).look
