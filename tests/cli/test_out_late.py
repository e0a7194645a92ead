"""A tape that lay in the heat for much longer than its hours tells so, and cools in proportion longer."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from alarmshelf import Clock


def told(run: Any, key: str) -> str:
    (one,) = [one for one in run("reels", "--json").json if one["reel"] == key]
    return f"{one['next']}; {one['blocked']}"


def test_ten_hours_of_four_cool_for_ten(there: Any, clock: Clock) -> None:
    """ARSC, 2013: cool for about as long as it was warmed. A visit 15 minutes late does no harm: practice."""
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(hours=4, minutes=10)
    assert there("chamber", "--out", "W-1").status == 0
    assert "cools to 20:10" in told(there, "W-1") and "4 h 10" not in told(there, "W-1")
    clock.at += timedelta(hours=5, minutes=50)
    assert there("chamber", "--out", "W-2").status == 0
    assert "cools to Thu 08:00" in told(there, "W-2") and "had 10 h of 4 h of warmth" in told(there, "W-2")
    clock.at = datetime(2026, 12, 3, 7, 55, tzinfo=UTC)
    assert there("plan", "--days", "2", "--effort", "0.2").status == 0
    starts = {
        one["reel"]: one["start"] for one in there("plan", "--show", "--json").json["items"]
        if one["kind"] == "transfer"
    }  # fmt: skip
    assert starts["W-2"] >= "2026-12-03T08:00"
    assert "still cooling" in there("mark", "W-2", "aligned").err
    clock.at = datetime(2026, 12, 3, 8, 0, tzinfo=UTC)
    assert told(there, "W-2").startswith("had 10 h of 4 h: ")
    assert "still cooling" not in there("mark", "W-2", "aligned").err
