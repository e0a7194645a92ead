"""Tonight as lines: what is now can be read across the room, and nothing is wider than the screen."""

from dataclasses import replace

import pytest

from core.clock import later
from core.evening.playing.left_lying import wound_back
from core.evening.playing.passes import drop_note, passes_of, start_pass, stop_pass
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import skip_step, start_step
from core.plan import Item, Member, Plan, Touch
from tui.board.digits import big, countdown
from tui.places.tonight.advice import beside
from tui.places.tonight.face import face, headline, rows
from tui.places.tonight.step_facts import Face
from tui.safe_text import cells


@pytest.fixture
def now(moment):
    return moment("2026-12-01T19:00")


@pytest.fixture
def shelf(shelf_of, make_reel):
    return shelf_of(
        make_reel("R-001", stage="conditioned", contents="Low Tide [take 2]", location="A1", box_label="[/]"),
        make_reel("R-002", contents="潮の道 " * 20),
    )


@pytest.fixture
def plan(now):
    def at(minutes):
        return later(now, minutes=minutes)

    items = (
        Item("transfer", at(0), at(45), deck="D1", reel="R-001", passes=1),
        Item("transfer", at(45), at(90), deck="D1", reel="R-002", passes=1),
        Item("transfer", at(145), at(190), deck="D1", reel="R-002", passes=1),
    )
    return Plan("x", at(0), at(20000), 0.0, "feasible", 1.0, 0.5, 0.5, items)


def text(lines):
    return "\n".join("".join(part for part, _ in line) for line in lines)


@pytest.mark.parametrize(
    ("seconds", "words"), [(1338, "22:18"), (0.2, "0:01"), (0, "0:00"), (-185, "+3:05"), (3670, "1:01:10")]
)
def test_the_countdown_in_figures(seconds, words):
    assert countdown(seconds) == words


def test_figures_are_five_lines_of_one_width():
    lines = big("18:46")
    assert len(lines) == 5 and len({len(line) for line in lines}) == 1


@pytest.mark.parametrize("width", [40, 80, 120, 200])
def test_no_line_is_wider_or_narrower_than_the_screen(shelf, plan, now, width):
    for moment in (now, later(now, minutes=50), later(now, minutes=300)):
        for line in face(Face(shelf, run_sheet(shelf, plan, moment), moment), width, 20):
            assert sum(cells(part) for part, _ in line) == width


def test_the_head_keeps_its_loud_hours_beside_a_long_lateness(shelf, plan, now):
    sheet = replace(run_sheet(shelf, plan, now), late_minutes=75, spare_minutes=-80, wind_minutes=33)
    told = "".join(part for part, _ in headline(Face(shelf, sheet, now), 80))
    assert "loud until 22:00" in told and "1 h 15 late + 33 wind, 1 h 20 too much" in told


def test_the_next_step_says_where_the_box_stands_and_what_to_set(shelf, plan, now):
    shown = text(face(Face(shelf, run_sheet(shelf, plan, now), now), 80, 20))
    assert "transfer R-001  Low Tide [take 2]" in shown
    assert "A1: [/]" in shown and "set up for 15 ips NAB 250 nWb/m" in shown


def test_before_a_tape_it_says_that_the_wind_is_slow_and_where_an_earlier_evening_left_it(shelf, plan, now):
    sticky = replace(shelf.reel("R-001"), condition=("sticky",), wind="tails")
    shelf = shelf.with_reel(sticky)
    shown = text(face(Face(shelf, run_sheet(shelf, plan, now), now), 80, 20))
    assert "tails out: wind it first" in shown and "no fast winding: 33 min at 15 ips, not planned" in shown
    assert "next, 45 min + 33 wind" in shown
    yesterday = later(now, hours=-24)
    shelf = start_pass(shelf, "R-001", 1, yesterday)
    shelf = stop_pass(shelf, "R-001 1", later(yesterday, minutes=14), "squeal")
    tape = passes_of(shelf, now)[0]
    shown = text(face(Face(shelf, run_sheet(shelf, plan, now), now, tape), 80, 20))
    assert "stands at 14:00: on two reels, no wind" in shown and "STOPPED" not in shown
    own = wound_back(shelf, "R-001")
    told = text(face(Face(own, run_sheet(own, plan, now), now, passes_of(own, now)[0]), 80, 20))
    assert "stands at 14:00: wind to there, the pass goes on" in told
    assert "patch tracks 1-16" in shown and "A1: [/]" in shown and "next, 45 min" in shown
    assert "45 min + " not in shown, "it is not wound any more"


def test_before_a_line_up_and_a_load_it_says_what_must_come_first(shelf_of, make_reel, now):
    """What the paper and the command say of a calibration tape, and an empty run before the first load."""
    shelf = shelf_of(make_reel("R-002", condition=("sticky",)), make_reel("CAL-1", role="calibration"))
    align = Item("align", now, later(now, minutes=15), deck="D1", calibration="CAL-1")
    warm = (Member("R-002", later(now, hours=8), now, now),)
    touches = (Touch("load", now, later(now, minutes=10)),)
    load = Item("condition", now, later(now, hours=8), chamber="C1", members=warm, touches=touches)
    plan = Plan("x", now, later(now, hours=90), 0.0, "feasible", 1.0, 0.5, 0.5, (align,))
    shown = " ".join(text(face(Face(shelf, run_sheet(shelf, plan, now), now), 80, 20)).split())
    assert "CAL-1: test it by hand first" in shown
    sheet = run_sheet(shelf, replace(plan, items=(load,)), now)
    told = beside(shelf, sheet, sheet.current, now, None)
    assert "C1 had no empty run yet: run it empty first, and read two places" in told
    fresh = shelf.with_reel(replace(shelf.reel("R-002"), condition=("ok",)))
    stopped = stop_pass(
        start_pass(fresh, "R-002", 1, later(now, hours=-24)),
        "R-002 1",
        later(now, hours=-24, minutes=14),
        "x",
    )
    told = beside(stopped, sheet, sheet.current, now, None)
    assert "R-002 stands at 14:00, on two reels: by hand, slowly, onto one reel" in " ".join(told)


def test_a_running_pass_shows_what_is_left_and_where_the_tape_is(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    shelf = start_pass(start_step(shelf, step, now), "R-001", 1, now)
    shelf = drop_note(shelf, "R-001 1", later(now, minutes=4), "dropout")
    at = later(now, minutes=10)
    tape = passes_of(shelf, at)[0]
    shown = text(face(Face(shelf, run_sheet(shelf, plan, at), at, tape, plain=True), 80, 20))
    assert "at 10:00 of 33:20, 750 ft" in shown
    assert "1 note, last 4:00 dropout" in shown
    assert "##" in shown


def test_a_pass_past_its_estimate_says_so_calmly(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    shelf = start_pass(start_step(shelf, step, now), "R-001", 1, now)
    at = later(now, minutes=34)
    sheet, tape = run_sheet(shelf, plan, at), passes_of(shelf, at)[0]
    told = beside(shelf, sheet, sheet.current, at, None)
    shown = text(face(Face(shelf, sheet, at, tape, told, plain=True), 80, 20)).splitlines()
    assert [line.rstrip() for line in shown[2:9]] == [
        "   NOW    TRANSFER R-001  LOW TIDE [TAKE 2]                         pass 1 of 1",
        "",
        "    ######      ######  ######    at 34:00, 0:40 over the estimate, 2550 ft",
        "    ##  ##  ##  ##  ##  ##  ##    no notes yet",
        "    ##  ##      ##  ##  ##  ##    its end is due",
        "    ##  ##  ##  ##  ##  ##  ##",
        "    ######      ######  ######",
    ]


def test_what_was_caught_up_with_as_not_done_says_so_whole(shelf, plan, now):
    step = run_sheet(shelf, plan, now).current
    shown = skip_step(shelf, step, now, "not done: still to do")
    assert "not done: still to do" in text(face(Face(shown, run_sheet(shown, plan, now), now), 80, 20))
    shown = skip_step(shelf, step, now, "no light")
    assert "skipped: no light" in text(face(Face(shown, run_sheet(shown, plan, now), now), 80, 20))


def test_what_will_not_fit_is_named(shelf, plan, now):
    at = later(now, minutes=60)
    shown = text(face(Face(shelf, run_sheet(shelf, plan, at), at), 80, 20))
    assert "will not fit tonight: transfer R-002" in shown


def test_an_empty_evening_says_what_could_fill_it(shelf_of, make_reel, now):
    mouldy = make_reel("R-009", stage="found", signs=("mould",))  # its box is opened by nobody
    shelf = shelf_of(make_reel("R-007", stage="transferred"), make_reel("R-008", stage="found"), mouldy)
    shown = text(face(Face(shelf, run_sheet(shelf, None, now), now), 80, 20))
    assert "could be verified: R-007" in shown and "could be looked at: R-008" in shown
    assert "R-009" not in shown


def test_a_row_says_what_its_step_asks_first(shelf_of, make_reel, plan, now):
    """By the screen as by the command: in short where it waits, whole where it is next."""
    reels = make_reel("R-001", stage="conditioned", box_label="moisi"), make_reel("R-002", notes="vinegar")
    shelf = shelf_of(*reels)
    sheet = run_sheet(shelf, plan, now)
    lines = [
        line.rstrip() for line in text(line for _, line in rows(Face(shelf, sheet, now), 80)).splitlines()
    ]
    first = next(number for number, line in enumerate(lines) if "transfer R-001" in line)
    assert lines[first + 1].strip().startswith('! R-001 says "moisi" on its box: look, with gloves')
    then = next(number for number, line in enumerate(lines) if "transfer R-002" in line)
    assert lines[then + 1].strip() == '! R-002 says "vinegar" in its notes'
