"""A load keeps the hours with which it began, also where its treatment or its tape's width goes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from doorshelf import STUDIO


def test_the_take_out_stands_where_the_treatment_goes(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    assert "take out chamber C1: W-1" in there("tonight").out
    head, _, tail = STUDIO.partition("[[treatment]]")
    Path("studio.toml").write_text(f"{head}[[{tail.partition(chr(10) + '[[')[2]}")
    done = there("import", "studio.toml", "--update")
    assert done.status == 0 and "W-1, in C1 now, keeps its 4 h: no treatment counts from" in done.err, (
        done.err
    )
    assert "take out chamber C1: W-1" in there("tonight").out


def test_the_take_out_stands_where_its_width_is_put_right(there: Any) -> None:
    assert there("load", "C1", "W-1").status == 0
    done = there("set", "W-1", "width=")
    assert done.status == 0 and "W-1, in C1 now, keeps its 4 h of warmth" in done.err
    assert "take out chamber C1: W-1" in there("tonight").out
