"""Events that an earlier calendar had and this one has not: sent once more, cancelled (RFC 5545, STATUS)."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from datetime import UTC, datetime, timedelta

import icalendar

NOW = "NOW: "
CANCELLED = "Cancelled: "
#: For so long an alarm that is over is sent as cancelled.
ALARM_KEPT = timedelta(days=2)


def taken_back(
    sent: Mapping[str, tuple[str, str]], known: Collection[str], made: datetime, sequence: int, plan: str
) -> Iterator[icalendar.Event]:
    """Everything of ``sent`` (by UID its start and summary) that is not ``known`` and has not begun by then.

    What began stays as it was; an alarm that is over does not. ``plan`` tells which plan has it no more.
    """
    for uid, (start, summary) in sent.items():
        at = _moment(start)
        if uid in known or at is None:
            continue
        words = summary.removeprefix(CANCELLED)
        if at > made or (words.startswith(NOW) and made - at < ALARM_KEPT):
            event = _cancelled(uid, at, words, made, sequence)
            over = "It is over." if words.startswith(NOW) else "It is not planned any more."
            event.add("description", f"{over}\n{plan}")
            yield event


def sent_of(calendar: bytes) -> dict[str, tuple[str, str]]:
    """What that calendar sends, for the next one."""
    found = {}
    for one in icalendar.Calendar.from_ical(calendar).walk("VEVENT"):
        if isinstance(one, icalendar.Event) and isinstance(one.start, datetime):
            at = one.start.astimezone(UTC).isoformat()
            found[str(one["UID"])] = at, str(one.get("SUMMARY", ""))
    return found


def _cancelled(uid: str, at: datetime, words: str, made: datetime, sequence: int) -> icalendar.Event:
    event = icalendar.Event()
    event.add("uid", uid)
    event.add("dtstamp", made.astimezone(UTC))
    event.add("sequence", sequence)
    event.add("dtstart", at.astimezone(UTC))
    event.add("summary", f"{CANCELLED}{words}")
    event.add("status", "CANCELLED")
    return event


def _moment(text: str) -> datetime | None:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return None
    return at if at.tzinfo is not None else None
