"""When it goes wrong: each mishap one dialog, one change, one key to take it back, then planning again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from core.errors import Refused
from core.evening.around.hours import without_helper
from core.studio.opening import opening
from tui.places.tonight.acts.mishaps import PROBLEMS
from tui.places.tonight.mishap.wrong_box import found_in
from tui.places.tonight.times import of_evening, start_and_end

LINE = {name: number for number, name in enumerate(PROBLEMS)}


@pytest.fixture
def asked(monkeypatch: Any) -> list[str]:
    """Planning again is told of but not waited for."""
    from tui.places.tonight.acts.replan import ReplanActs

    found: list[str] = []
    monkeypatch.setattr(ReplanActs, "replan", lambda self, happened, **how: found.append(happened))
    return found


async def mishap(seat: Any, step: str, what: str, *answers: str) -> None:
    """Opens the list on that step, chooses, and answers."""
    await seat.go_to(step)
    await seat.press("p")
    await seat.choose(LINE[what])
    for answer in answers:
        await seat.types(answer)


async def test_beside_a_line_up_tonights_reels_are_chosen_from_the_tape_that_plays_first(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await mishap(seat, "line up D1 to 15 ips NAB 250 nWb/m", "repaired")
        first, *others = [line.strip(" │›") for line in seat.text.splitlines() if " R-0" in line]
        assert first.startswith("1 R-001") and len(others) > 1
        await seat.press("end", "enter")  # another: by its key
        await seat.types("R-008")
        assert seat.shelf.reel("R-008").splices == 0 and asked


async def test_joints_that_let_go_stop_the_tape_and_are_counted(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")
        await seat.wait(minutes=12)
        await mishap(seat, "transfer R-001", "splice", "")
        assert seat.shelf.reel("R-001").splices == 1
        (stopped,) = seat.passes()
        assert (stopped["state"], stopped["pieces"][-1]["why"]) == ("stopped", "splice")
        await mishap(seat, "transfer R-001", "repaired")
        assert seat.shelf.reel("R-001").splices == 0
        await seat.press("space")  # the same pass goes on from before the joint
        (again,) = seat.passes()
        assert again["state"] == "running" and again["pieces"][-1]["from"] == 12 * 60 - 10
        await seat.press("u", "u")
        assert seat.shelf.reel("R-001").splices == 1
        assert len(asked) == 2


async def test_a_reel_is_set_aside_with_the_reason(book: Any, at_machine: Any, asked: list[str]) -> None:
    async with at_machine(book) as seat:
        await mishap(seat, "transfer R-008", "aside", "went to a specialist")
        assert seat.shelf.reel("R-008").set_aside == "went to a specialist"
        await seat.press("u")
        assert seat.shelf.reel("R-008").set_aside == ""


async def test_the_helper_does_not_come(book: Any, at_machine: Any, asked: list[str]) -> None:
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")  # out of its turn: what stands below a tape that is next
        assert "R-008: patch tracks 1-16" in seat.text and "wind" in seat.text
        now = book.now()
        loud = opening(seat.shelf.studio, "loud", now, now.replace(hour=23))
        await mishap(seat, "transfer R-008", "helper")
        await seat.press("2")
        await seat.types("until 2010")
        (there,) = opening(seat.shelf.studio, "helper", now, now.replace(hour=23))
        assert f"{there.end:%H:%M}" == "20:10" and len(seat.shelf.studio.hours) > 1
        assert opening(seat.shelf.studio, "loud", now, now.replace(hour=23)) == loud
        await seat.press("u")
        await mishap(seat, "transfer R-008", "helper")
        await seat.press("1")
        shelf = seat.shelf
        assert opening(shelf.studio, "helper", now, now.replace(hour=23)) == ()
        (bench,) = opening(shelf.studio, "bench", now, now.replace(hour=23))
        assert f"{bench.start:%H:%M}-{bench.end:%H:%M}" == "19:00-22:30"
        following = now.replace(day=8)  # the Tuesday after is as it was
        assert opening(shelf.studio, "helper", following, following.replace(hour=23))
        await seat.press("u")
        assert opening(seat.shelf.studio, "helper", now, now.replace(hour=23))


def test_nobody_is_expected_twice_or_on_a_monday(book: Any) -> None:
    day = book.now().date()
    alone = without_helper(book.shelf, day)
    with pytest.raises(Refused, match="nobody is expected on Tue 1 Dec"):
        without_helper(alone, day)
    with pytest.raises(Refused, match="nobody is expected on Mon 7 Dec"):
        without_helper(book.shelf, day.replace(day=7))


async def test_a_step_that_was_done_by_paper_has_its_real_time(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    async with at_machine(book) as seat:
        await seat.wait(minutes=60)
        await mishap(seat, "line up D1 to 15 ips NAB 250 nWb/m", "paper", "19:05-19:22")
        (kept,) = seat.shelf.of_kind("actual").values()
        assert (kept["state"], kept["started"][11:16], kept["finished"][11:16]) == ("done", "19:05", "19:22")
        assert seat.shelf.of_kind("deck")["D1"]["at"][11:16] == "19:22"
        told = [e for e in seat.shelf.history if e.key == "R-001" and e.new == "aligned"]
        assert f"{told[-1].at:%H:%M}" == "19:22"


async def test_one_span_takes_a_reason_and_leaves_the_reel_untransferred(book: Any, at_machine: Any) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await mishap(seat, "transfer R-001", "span", "12:30-16:45 only the second song")
        (kept,) = seat.passes()
        assert (kept["span"], kept["because"]) == ([750.0, 1005.0], "only the second song")
        await seat.wait(minutes=4, seconds=15)
        await seat.press("space")
        assert seat.shelf.reel("R-001").stage == "aligned"
        assert seat.passes()[0]["state"] == "done"
        assert "skipped: one span only" in seat.text


async def test_a_wrong_answer_is_refused_in_the_dialog(book: Any, at_machine: Any, asked: list[str]) -> None:
    async with at_machine(book) as seat:
        await mishap(seat, "transfer R-008", "box", "R-999")
        assert "! no reel 'R-999' on this shelf" in seat.text
        await seat.press("escape")
        await mishap(seat, "transfer R-001", "again")
        await seat.press("backspace", "backspace", "backspace")
        await seat.types("900")
        assert "! between 0 and 72 hours" in seat.text
        await seat.press("escape")
        assert seat.shelf.reel("R-001").stage == "conditioned" and asked == []


def test_chains_of_boxes_are_read() -> None:
    assert found_in("R-004", "R-002") == {"R-004": "R-002"}
    assert found_in("R-004", "R-004=R-002, R-002=R-007") == {"R-004": "R-002", "R-002": "R-007"}
    for text in ("R-004", "R-004=", "R-004=R-002,,"):
        with pytest.raises(Refused):
            found_in("R-004", text)


def test_times_of_an_evening_run_past_midnight(book: Any) -> None:
    now = book.now().replace(hour=23, minute=50)
    where = book.shelf.studio.zone
    assert of_evening("0:20", now.date(), where).isoformat() == "2026-12-02T00:20:00+00:00"
    start, end = start_and_end("19:05-19:40", now.date(), where, now)
    assert start is not None and (start.hour, end.minute) == (19, 40)
    assert start_and_end("1905-1940", now.date(), where, now) == (start, end)
    assert start_and_end("19.05-19.40", now.date(), where, now) == (start, end)
    for text in ("2460", "194", "23:55", "0:20", "19:40-19:05", "19:70", "late", ""):
        with pytest.raises(ValueError):
            start_and_end(text, now.date(), where, now)


async def test_after_a_mishap_the_evenings_are_planned_again_and_it_is_said_what_moves(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr("tui.places.tonight.acts.replan.EFFORT", 0.01)
    number = book.plans.kept_plan().number
    async with at_machine(book) as seat:
        await mishap(seat, "transfer R-001", "again", "")
        await seat.until(lambda: "Planned again" in seat.text)
        assert "R-001" in seat.text
        await seat.press("enter")
        assert "the new plan is kept" in seat.text
        plan = book.plans.kept_plan()
        assert plan.number == number + 1
        tonight = [item for item in plan.items if item.start.date() == book.now().date()]
        assert not any(item.kind == "transfer" and item.reel == "R-001" for item in tonight)


async def test_a_plan_that_is_not_wanted_leaves_the_kept_one(
    book: Any, at_machine: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr("tui.places.tonight.acts.replan.EFFORT", 0.01)
    before = book.plans.kept_plan()
    async with at_machine(book) as seat:
        await seat.press("r")
        await seat.until(lambda: "Planned again" in seat.text)
        await seat.press("escape")
        assert book.plans.kept_plan() == before


async def test_a_reel_that_cannot_be_warmed_again_is_told_before_hours_are_asked(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-008", "transferred", because="played already")
    async with at_machine(book) as seat:
        await mishap(seat, "verify R-008", "again")
        assert "R-008 is transferred: go back to identified first" in seat.text
        assert "How many hours" not in seat.text and asked == []


@pytest.mark.parametrize(
    ("line", "sign", "says"),
    [
        (0, "condition sticky", "warm"),  # brown gum: a sick binder, treated and not played on
        (1, "signs white powder", "powder"),  # wiped, never warmed
        (2, "condition squeal", ""),
    ],
)
async def test_a_squeal_leads_to_what_the_heads_show(
    book: Any, at_machine: Any, asked: list[str], line: int, sign: str, says: str
) -> None:
    """A squeal alone never makes a tape sticky: gas and oven reports of lubricant; ARSC list, 2016."""
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "escape")
        await seat.wait(minutes=3)
        await mishap(seat, "transfer R-008", "squeal")
        assert "wipe the heads" in seat.text
        await seat.choose(line)
        reel = seat.shelf.reel("R-008")
        kind, _, word = sign.partition(" ")
        assert word in getattr(reel, kind)
        assert ("sticky" in reel.condition) == (line == 0)
        assert [one["state"] for one in seat.passes()] in ([], ["stopped"])
        assert says in seat.text
        assert asked


@pytest.mark.parametrize("answer", ["escape", "3", "4"])
async def test_a_squeal_told_by_the_key_that_stops_the_tape_asks_as_the_list_does_and_it_runs_on_by_neither(
    book: Any, at_machine: Any, asked: list[str], answer: str
) -> None:
    book.mark("R-008", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "escape")
        await seat.wait(minutes=10)
        await seat.press("e", "2")
        assert "R-008 squeals: stop the tape, then wipe the heads with a dry swab" in seat.text
        await seat.press(answer)
        assert "squeal" in seat.shelf.reel("R-008").condition and asked == ["R-008 squeals"]
        await seat.press("g")
        assert seat.passes()[-1]["state"] == "stopped", seat.text
        await seat.press("u")
        assert "squeal" not in seat.shelf.reel("R-008").condition


async def test_a_squeal_told_in_words_of_ones_own_asks_what_lies_on_the_heads_too(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-008", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "escape")
        await seat.wait(minutes=10)
        await seat.press("e", "4")
        await seat.types("it squeals loudly")
        assert "R-008 squeals: stop the tape, then wipe the heads with a dry swab" in seat.text


async def test_a_treated_tape_that_squealed_goes_on_once_somebody_looked_at_the_heads(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    """What was warmed may be gumming up again: heads and guides are looked at before it runs on."""
    from core.conditioning.advisor import advice_of

    book.mark("R-001", "aligned")
    assert advice_of(book.shelf, book.shelf.reel("R-001"), book.now()).rule == "treated"
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "2", "escape")
        await seat.press("g")
        assert "R-001 goes on: it squealed, and nobody has looked what lies on the heads" in " ".join(
            seat.text.replace("│", "").split()
        )
        await seat.press("escape")
        assert seat.passes()[-1]["state"] == "stopped", "nothing answered, nothing runs"
        await seat.go_to("transfer R-001")
        await seat.press("space", "3")
        assert seat.passes()[-1]["state"] == "running" and "NOW    TRANSFER R-001" in seat.text
        assert seat.passes()[-1]["pieces"][0]["heads"] == "clean"
        await seat.wait(minutes=2)
        await seat.press("e", "1", "g")
        assert seat.passes()[-1]["state"] == "running", "told once"
        await seat.wait(minutes=2)
        await seat.press("e", "2", "escape", "g", "1")
        assert seat.passes()[-1]["state"] == "stopped", "gum: it is warmed first"
        assert "it does not run on" in seat.text


async def test_the_key_that_stops_for_a_splice_asks_as_the_list_does(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "3")
        assert "A splice of R-001 let go" in seat.text
        await seat.press("escape")
        assert seat.shelf.reel("R-001").splices == 1
        await seat.press("g")
        assert "R-001 goes on: its 1 splice is not remade" in seat.text
        await seat.press("1")
        assert seat.passes()[-1]["state"] == "running" and not seat.shelf.reel("R-001").splices


async def test_a_tape_that_stands_on_the_deck_is_lifted_off_before_another_runs_there(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    """The same evening too: R-008 was stopped a moment ago, and R-001 is to run on its deck."""
    book.mark("R-008", "aligned")
    book.mark("R-001", "aligned")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-008")
        await seat.press("space", "escape")
        await seat.wait(minutes=5)
        await seat.press("p", "5", "enter")
        await seat.go_to("transfer R-001")
        await seat.press("space")
        text = " ".join(seat.text.replace("│", "").split())
        assert "is R-008 lifted off?" in text and "R-008 lies on both reels of D1 at 5:00" in text
        await seat.press("escape")
        assert [one["reel"] for one in seat.passes()] == ["R-008"]
        await seat.press("space", "enter")
        assert seat.shelf.of_kind("pass")["R-008 1"]["holds"] == "off"
        assert "is R-008 lifted off?" not in seat.text


async def test_a_warmth_that_a_list_told_of_counts_on_after_the_squeal_that_ended_it(
    book: Any, at_machine: Any, asked: list[str]
) -> None:
    """R-001 was warmed before the shelf was begun: what the next load is for it is a second treatment."""
    from core.evening.playing.again import treatments_had

    book.mark("R-001", "aligned")
    assert treatments_had(book.shelf, "R-001") == 1
    async with at_machine(book) as seat:
        await seat.plays(minutes=10)
        await seat.press("e", "2", "1")
        assert seat.shelf.reel("R-001").conditioned_at is None
        assert treatments_had(seat.shelf, "R-001") == 1
        seat.app.open_door("reel", "R-001")
        await seat.settle()
        assert "never warmed" not in seat.text
    book.change(
        lambda shelf: shelf.with_reel(replace(shelf.reel("R-001"), conditioned_at=book.now())), what="warmed"
    )
    assert treatments_had(book.shelf, "R-001") == 2
