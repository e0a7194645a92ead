"""What a new plan moves, in sentences short enough for a screen of eighty columns."""

from __future__ import annotations

from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

from core.planning.bench.moves import moved_words

FROM = datetime(2026, 12, 8, 19, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
PROBLEM: Any = SimpleNamespace(
    jobs=[SimpleNamespace(key="R-006"), SimpleNamespace(key="R-009")],
    scale=SimpleNamespace(moment=lambda minutes: FROM + timedelta(minutes=minutes)),
)


def draft(*steps: tuple[int, str, int]) -> Any:
    """A draft with those steps: job, kind, start."""
    return SimpleNamespace(
        steps=[SimpleNamespace(job=job, kind=kind, start=start, part=0) for job, kind, start in steps],
        loads=[],
    )


def test_a_verify_moves_with_its_transfer_in_one_sentence() -> None:
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "identify", 0))
    new = draft((0, "transfer", 125), (0, "verify", 190), (1, "identify", 0))
    (said,) = moved_words(PROBLEM, kept, kept, new)
    assert said == (
        "transfer and verify of R-006: from Tue 8 Dec 19:40 to 21:05, so that songs are ready sooner"
    )


def test_another_day_is_named_and_what_is_gone_is_said() -> None:
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "verify", 100))
    new = draft((0, "transfer", 1480))
    assert moved_words(PROBLEM, kept, draft(), new) == [
        "transfer of R-006: from Tue 8 Dec 19:40 to Wed 9 Dec 19:40, it no longer fits there",
        "verify of R-006: was on Tue 8 Dec 20:00, not in this plan, it no longer fits there",
        "verify of R-009: was on Tue 8 Dec 20:40, not in this plan, it no longer fits there",
    ]
