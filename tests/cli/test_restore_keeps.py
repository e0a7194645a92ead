"""An older shelf in place of a newer one keeps what forbids heat and was learnt since, and says so."""

from __future__ import annotations

from typing import Any

import pytest


def row(run: Any, key: str) -> dict[str, Any]:
    return next(one for one in run("reels", "--json").json if one["reel"] == key)


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        (("base_seen=acetate",), "base acetate"),
        (("base=paper", "base_seen="), "base paper"),
        (("signs=vinegar",), "signs vinegar"),
        (("condition=mould",), "condition mould"),
        (("set_aside=to the specialist",), "set aside to the specialist"),
    ],
)
def test_a_restored_shelf_heats_nothing_that_must_not_be(
    there: Any, fact: tuple[str, ...], words: str
) -> None:
    assert there("note", "P-1", "a change, so that there is a backup").status == 0
    assert there("set", "W-1", *fact).status == 0
    before = row(there, "W-1")["advice"]
    restored = there("restore", "1")
    assert restored.status == 0
    assert f"! W-1: this backup did not know its {words}" in restored.err.replace(
        " and base seen acetate", ""
    )
    assert row(there, "W-1")["advice"] == before
    assert there("load", "C1", "W-1", "--because", "x").status == 1
    assert there("undo").status == 0 and row(there, "W-1")["advice"] == "warm"


def test_a_restored_shelf_that_lacks_nothing_is_the_backup(there: Any) -> None:
    assert there("note", "P-1", "a change, so that there is a backup").status == 0
    assert there("set", "W-1", "year=1984").status == 0
    restored = there("restore", "1")
    assert restored.status == 0 and "did not know" not in restored.err
