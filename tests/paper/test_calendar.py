"""The calendar, read back by two independent readers and held to RFC 5545."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import ics
import pytest
from icalendar import Calendar
from icalendar.cal.component import Component

from core.clock import later
from core.paper.evening.calendar import calendar
from core.paper.look.zone import changes
from core.plan import Item, Plan
from core.shelf import Shelf


def events(data: bytes) -> list[Component]:
    return list(Calendar.from_ical(data).walk("VEVENT"))


@pytest.fixture
def written(shelf: Shelf, plan: Plan, made: datetime) -> bytes:
    return calendar(shelf, plan, made)


def test_lines_are_crlf_and_at_most_75_octets(written: bytes) -> None:
    """RFC 5545, 3.1."""
    assert written.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in written.replace(b"\r\n", b"")
    assert all(len(line) <= 75 for line in written.split(b"\r\n"))
    written.decode("utf-8")


def test_what_must_be_there_is_there(written: bytes) -> None:
    """RFC 5545, 3.6, 3.6.1, 3.6.5 and 3.6.6."""
    whole = Calendar.from_ical(written)
    assert whole["VERSION"] == "2.0" and whole["PRODID"]
    (zone,) = whole.walk("VTIMEZONE")
    parts = zone.walk("STANDARD") + zone.walk("DAYLIGHT")
    assert all({"DTSTART", "TZOFFSETFROM", "TZOFFSETTO"} <= set(part) for part in parts)
    for event in whole.walk("VEVENT"):
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"} <= set(event)
        assert event["DTSTART"].params["TZID"] == zone["TZID"] == "Europe/Lisbon"
        alarms = event.walk("VALARM")
        assert alarms
        assert all(alarm["ACTION"] == "DISPLAY" and alarm["DESCRIPTION"] for alarm in alarms)
        assert all("TRIGGER" in alarm for alarm in alarms)


def test_every_touch_and_every_evening_is_an_event_with_alarms(written: bytes) -> None:
    found = {
        (str(event["SUMMARY"]), event.decoded("DTSTART").strftime("%d %H:%M")) for event in events(written)
    }
    assert found == {
        ("Tapes: transfer R-001", "01 19:00"),
        ("Tapes: run chamber C1 empty", "03 19:00"),
        ("Load chamber C1: R-002 and R-003", "05 09:00"),
        ("Turn chamber C1: R-002 and R-003", "05 11:00"),
        ("Take out of C1: R-003; turn R-002", "05 13:00"),
        ("Turn chamber C1: R-002", "05 15:00"),
        ("Take out of C1: R-002", "05 17:00"),
        ("Tapes: transfer R-003", "07 19:00"),
        ("Tapes: transfer R-005", "08 19:00"),
    }
    touch = next(event for event in events(written) if "Turn" in event["SUMMARY"])
    assert [alarm.decoded("TRIGGER") for alarm in touch.walk("VALARM")] == [
        timedelta(minutes=-10),
        timedelta(0),
    ]


def test_the_phone_tells_what_comes_first_and_each_transfer_at_its_own_time(
    written: bytes, plan: Plan
) -> None:
    tuesday = next(event for event in events(written) if "R-001" in event["SUMMARY"])
    rings = str(tuesday.walk("VALARM")[0]["DESCRIPTION"])
    transfer = next(item.start for item in plan.items if item.kind == "transfer" and item.reel == "R-001")
    assert rings.startswith("Tapes from 19:00: ") and f"transfer R-001 at {transfer:%H:%M}" in rings
    assert f"{transfer:%H:%M}" != "19:00"


def test_a_second_reader_agrees_on_times_and_alarms(written: bytes) -> None:
    theirs = {
        (e.name, e.begin.datetime.astimezone(UTC), len(e.alarms))
        for e in ics.Calendar(written.decode()).events
    }
    ours = {
        (str(e["SUMMARY"]), e.decoded("DTSTART").astimezone(UTC), len(e.walk("VALARM")))
        for e in events(written)
    }
    assert theirs == ours


def test_a_second_print_has_the_same_uids(shelf: Shelf, plan: Plan, made: datetime) -> None:
    first = [str(event["UID"]) for event in events(calendar(shelf, plan, made))]
    again = replace(plan, number=13, made_at=later(made, hours=2))
    second = events(calendar(shelf, again, later(made, hours=2)))
    assert first == [str(event["UID"]) for event in second]
    assert len(set(first)) == len(first)
    assert {int(event["SEQUENCE"]) for event in second} == {2 * 13 + shelf.revision}


def warmed(shelf: Shelf, plan: Plan) -> Shelf:
    """The shelf with the quarter-inch reel of the load treated already."""
    told = {"stage": "conditioned", "conditioned_at": later(plan.start, hours=-24)}
    return shelf.with_reel(replace(shelf.reel("R-003"), **told))


def test_what_a_new_plan_dropped_is_cancelled(shelf: Shelf, plan: Plan, made: datetime) -> None:
    shelf = warmed(shelf, plan)
    new = replace(plan, number=13, items=tuple(item for item in plan.items if item.kind != "condition"))
    gone = [e for e in events(calendar(shelf, new, made, before=plan)) if e["STATUS"] == "CANCELLED"]
    assert len(gone) == 5
    old = {str(event["UID"]) for event in events(calendar(shelf, plan, made))}
    assert {str(event["UID"]) for event in gone} <= old
    assert not any(event.walk("VALARM") for event in gone)


def test_an_evening_that_is_over_is_not_cancelled(shelf: Shelf, plan: Plan, made: datetime) -> None:
    later_on = replace(plan, number=13, start=plan.items[5].start, items=plan.items[5:])
    shelf = warmed(shelf, plan)
    found = events(calendar(shelf, later_on, made, before=plan))
    assert all(event["STATUS"] == "CONFIRMED" for event in found)


def test_a_stale_plan_says_so_in_one_line(shelf: Shelf, plan: Plan, made: datetime) -> None:
    says = "The shelf has changed since: plan again."
    data = calendar(shelf, plan, made, stale=says)
    assert Calendar.from_ical(data)["COMMENT"] == says
    assert all(str(event["DESCRIPTION"]).startswith(says) for event in events(data))


def test_nothing_planned_is_an_empty_calendar(empty: tuple[Shelf, Plan], made: datetime) -> None:
    shelf, plan = empty
    assert events(calendar(shelf, plan, made)) == []


def test_a_persons_words_cannot_add_a_line(shelf: Shelf, plan: Plan, made: datetime) -> None:
    key = "R\r\nX-BAD:1"
    odd = replace(plan, items=(replace(plan.items[0], reel=key),))
    data = calendar(shelf, odd, made)
    assert not any(line.startswith(b"X-BAD") for line in data.split(b"\r\n"))


def test_the_hour_that_comes_twice_is_told_apart(shelf: Shelf, plan: Plan, made: datetime) -> None:
    """A local time in the repeated hour is its first (RFC 5545, 3.3.5); its second is written in UTC."""
    lisbon = ZoneInfo("Europe/Lisbon")
    for hours, start in enumerate((datetime(2026, 10, 25, 1, 30, tzinfo=lisbon),) * 2):
        moment = later(start, hours=hours)
        item = Item("verify", moment, later(moment, minutes=10), "R-001")
        (event,) = events(calendar(shelf, replace(plan, items=(item,)), made))
        assert event.decoded("DTSTART").astimezone(UTC) == moment.astimezone(UTC)


def test_changes_of_the_clock_are_where_the_law_has_them() -> None:
    """Europe changes at 01:00 UTC on the last Sundays of March and October (Directive 2000/84/EC)."""
    lisbon = ZoneInfo("Europe/Lisbon")
    found = [
        after.astimezone(UTC)
        for _, after in changes(datetime(2026, 1, 1, tzinfo=lisbon), datetime(2027, 1, 1, tzinfo=lisbon))
    ]
    assert found == [datetime(2026, 3, 29, 1, tzinfo=UTC), datetime(2026, 10, 25, 1, tzinfo=UTC)]


@pytest.mark.parametrize(
    "name", ["Europe/Lisbon", "America/New_York", "Asia/Tokyo", "Australia/Lord_Howe", "UTC"]
)
def test_the_zone_in_the_file_gives_the_same_times(
    shelf: Shelf, plan: Plan, made: datetime, name: str
) -> None:
    """The file's own VTIMEZONE is worked out by hand, without the machine's zone data."""
    where = ZoneInfo(name)
    moments = [datetime(2026, month, 15, 19, tzinfo=where) for month in range(3, 13)]
    items = tuple(Item("verify", one, later(one, minutes=10), "R-001") for one in moments)
    wide = replace(plan, items=items, start=moments[0], until=moments[-1])
    whole = Calendar.from_ical(calendar(shelf, wide, made))
    told = [event["DTSTART"] for event in whole.walk("VEVENT")]
    zones = whole.walk("VTIMEZONE")
    assert bool(zones) == (name != "UTC")
    for moment, written in zip(moments, told, strict=True):
        wall = re.sub("Z$", "", written.to_ical().decode())
        local = datetime.strptime(wall, "%Y%m%dT%H%M%S")
        offset = _offset(zones[0], local) if zones else timedelta(0)
        assert (local - offset).replace(tzinfo=UTC) == moment.astimezone(UTC)


def _offset(zone: Component, local: datetime) -> timedelta:
    parts = [(part.decoded("DTSTART"), part.decoded("TZOFFSETTO")) for part in zone.subcomponents]
    return max(
        (start.replace(tzinfo=None), to) for start, to in parts if start.replace(tzinfo=None) <= local
    )[1]


def test_a_day_of_touches_alone_tells_who_stays_home_and_what_is_done_at_its_end(
    shelf: Shelf, plan: Plan, made: datetime
) -> None:
    from core.paper.evening.work_order import order_sheet
    from core.paper.look.evenings import evenings

    alone = replace(plan, items=tuple(item for item in plan.items if item.kind == "condition"))
    found = events(calendar(shelf, alone, made))
    found = [one for one in found if "run chamber" not in str(one["SUMMARY"])]
    touches = [one for one in found if " to " in str(one["DESCRIPTION"])]  # places before and after
    touches.sort(key=lambda one: one.decoded("DTSTART"))
    first, last = str(touches[0]["DESCRIPTION"]), str(touches[-1]["DESCRIPTION"])
    home = "first load 09:00, somebody home and awake until 17:10"
    assert f"Chamber only: {home}." in first and "Before you leave" not in first
    assert "Before you leave: Leave: C1: switched off and unplugged, door open" in last
    assert all("Chamber only" not in str(one["DESCRIPTION"]) for one in touches[1:])
    (day,) = (one for one in evenings(shelf, alone) if one.chamber_only)
    assert order_sheet(shelf, alone, day).aside.endswith(home)
    with_work = [one for one in evenings(shelf, plan) if any(not step.touch for step in one.steps)]
    assert with_work and all(not one.chamber_only for one in with_work)
