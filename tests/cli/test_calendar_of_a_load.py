"""A load keeps the identity of its touches in the calendar, however late it began, and over a gap."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import icalendar
import pytest
from alarmshelf import Clock

CANCELLED = "CANCELLED"


def touches(run: Any) -> dict[str, tuple[str, str]]:
    """By UID, when and with what state each touch of C1 is in the calendar that is written now."""
    events = icalendar.Calendar.from_ical(run("calendar").out).walk("VEVENT")
    return {
        str(one["UID"]): (f"{one.decoded('DTSTART'):%H:%M}", str(one["STATUS"]))
        for one in events
        if "C1" in str(one["SUMMARY"])
    }


def times(run: Any, uids: list[str]) -> list[str]:
    """When those touches are; one that is cancelled, or another beside them, is an error of the test's."""
    told = touches(run)
    assert {*told} <= {*uids} and all(state != CANCELLED for _, state in told.values())
    return [told[uid][0] for uid in uids if uid in told]


@pytest.mark.parametrize("how", ["step", "command"])
def test_a_load_keeps_its_touches_begun_late_planned_again_and_gone_on_with(
    there: Any, clock: Clock, how: str
) -> None:
    """RFC 5545, 3.8.4.7: a UID is what tells a calendar that an event is the one it has already."""
    uids = [uid for uid, _ in sorted(touches(there).items(), key=lambda one: one[1])]
    assert times(there, uids) == ["12:00", "14:00", "16:00"]
    clock.at += timedelta(minutes=3)
    words = ("tonight", "begin", "load chamber C1") if how == "step" else ("load", "C1", "W-1", "W-2", "W-3")
    assert there(*words).status == 0
    assert times(there, uids) == ["12:03", "14:03", "16:03"]
    clock.at += timedelta(minutes=10)
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert times(there, uids) == ["14:03", "16:03"]  # what is over is in no new plan
    assert there("chamber", "C1", "--began", "2026-12-02T12:05").status == 0
    assert times(there, uids)[-2:] == ["14:05", "16:05"]
    assert there("chamber", "C1", "--broken-off", "no current").status == 0
    off = touches(there)
    assert {*off} <= {*uids} and {state for _, state in off.values()} == {CANCELLED}
    clock.at += timedelta(minutes=30)
    assert there("chamber", "C1", "--go-on").status == 0
    assert times(there, uids)[-2:] == ["14:35", "16:35"]
    clock.at += timedelta(hours=4)
    assert there("chamber", "--out", "W-1", "W-2", "W-3").status == 0
    assert {*touches(there)} <= {*uids}


def test_what_another_plan_has_no_more_is_cancelled_with_the_reason(there: Any) -> None:
    uids = {*touches(there)}
    for key in ("W-1", "W-2", "W-3"):
        assert there("set", key, "set_aside=lent").status == 0
    assert there("plan", "--days", "3", "--effort", "0.2").status == 0
    assert there("calendar").status == 0
    events = icalendar.Calendar.from_ical(there("calendar").out).walk("VEVENT")
    gone = [one for one in events if str(one["UID"]) in uids]
    assert len(gone) >= 2 and all(one["STATUS"] == CANCELLED for one in gone)
    for one in gone:
        assert "not planned any more" in str(one["DESCRIPTION"]) and "By plan 2" in str(one["DESCRIPTION"])
