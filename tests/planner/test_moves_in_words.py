"""What a new plan moves, in sentences short enough for a screen of eighty columns."""

from __future__ import annotations

from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any
from zoneinfo import ZoneInfo

from core.moved import moved_words, things_moved
from core.plan import Move
from core.planning.bench.moves import moves
from core.planning.facts.problem import Comfort

FROM = datetime(2026, 12, 8, 19, 0, tzinfo=ZoneInfo("Europe/Lisbon"))
PROBLEM: Any = SimpleNamespace(
    jobs=[SimpleNamespace(key="R-006", calibration=False), SimpleNamespace(key="R-009", calibration=False)],
    songs=[SimpleNamespace(key="S-1", jobs=(0,), hopeless=False)],
    comfort=Comfort(marks=(540, 1980)),
    windows=(),
    decks=[SimpleNamespace(deck=SimpleNamespace(id="D1", setup_needs_helper=False))],
    scale=SimpleNamespace(moment=lambda minutes: FROM + timedelta(minutes=minutes)),
    now=0,
)


def draft(*steps: tuple[int, str, int]) -> Any:
    """A draft with those steps: job, kind, start; a line-up has no job."""
    return SimpleNamespace(
        steps=[
            SimpleNamespace(job=j, kind=kind, start=t, end=t + 10, part=0, deck=0) for j, kind, t in steps
        ],
        loads=[],
    )


def test_a_verify_moves_with_its_transfer_in_one_sentence() -> None:
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "identify", 0))
    new = draft((0, "transfer", 125), (0, "verify", 190), (1, "identify", 0))
    (said,) = moved_words(moves(PROBLEM, kept, kept, new))
    assert said == "transfer and verify of R-006: from Tue 8 Dec 19:40 to 21:05, to make room for others"


def test_a_verify_that_falls_hours_behind_its_transfer_is_told_apart() -> None:
    kept = draft((0, "transfer", 15), (0, "verify", 45), (1, "identify", 0))
    for verify, told in ((135, ", verify at 21:15"), (1480, ", verify Wed 9 Dec 19:40")):
        new = draft((0, "transfer", 25), (0, "verify", verify), (1, "identify", 0))
        (said,) = moved_words(moves(PROBLEM, kept, kept, new))
        assert (
            said
            == f"transfer and verify of R-006: from Tue 8 Dec 19:15 to 19:25{told}, to make room for others"
        )


def test_reels_of_one_load_move_in_one_sentence() -> None:
    sunday = FROM + timedelta(days=5)
    alike = [Move("warming", reel, FROM, sunday, "it was not done then") for reel in ("R-006", "R-009")]
    other = Move("warming", "R-010", FROM, sunday + timedelta(hours=8), "it was not done then")
    assert moved_words([*alike, other]) == [
        "warming of R-006 and R-009: from Tue 8 Dec 19:00 to Sun 13 Dec 19:00, it was not done then",
        "warming of R-010: from Tue 8 Dec 19:00 to Mon 14 Dec 03:00, it was not done then",
    ]


def test_a_step_that_makes_a_song_ready_sooner_says_which() -> None:
    kept, new = draft((0, "verify", 1600)), draft((0, "verify", 60))
    (told,) = moves(PROBLEM, kept, kept, new)
    assert told.why == "so that S-1 is ready sooner"


def test_what_is_new_is_told_too() -> None:
    (told,) = moves(PROBLEM, draft(), draft(), draft((1, "identify", 0)))
    assert (told.was, told.now, told.reel) == (None, FROM, "R-009")
    assert moved_words([told]) == ["identify of R-009: new on Tue 8 Dec 19:00, there is room for it now"]


def test_another_day_is_named_and_what_is_gone_is_said() -> None:
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "verify", 100))
    new = draft((0, "transfer", 1480))
    assert moved_words(moves(PROBLEM, kept, draft(), new)) == [
        "transfer of R-006: from Tue 8 Dec 19:40 to Wed 9 Dec 19:40, it no longer fits there",
        "verify of R-006: was on Tue 8 Dec 20:00, not in this plan, it no longer fits there",
        "verify of R-009: was on Tue 8 Dec 20:40, not in this plan, it no longer fits there",
    ]


def test_a_step_that_comes_sooner_was_not_pushed_away() -> None:
    kept, new = draft((0, "transfer", 1480)), draft((0, "transfer", 40))
    (told,) = moves(PROBLEM, kept, draft(), new)
    assert told.why == "there is room for it sooner"


def test_a_step_that_only_the_free_end_of_an_evening_keeps_away_says_that_it_fits_tight() -> None:
    comfort = Comfort(marks=(540, 1980), bench=((0, 210),))  # 19:00-22:30, the last 25 minutes free
    problem: Any = SimpleNamespace(
        jobs=PROBLEM.jobs, songs=(), decks=PROBLEM.decks, comfort=comfort, scale=PROBLEM.scale, now=0,
        windows=[SimpleNamespace(index=0, start=0, end=185, over=210)],
    )  # fmt: skip
    new = draft((0, "verify", 1480))
    told = [one.why for at in (190, 205) for one in moves(problem, draft((0, "verify", at)), draft(), new)]
    assert told == ["the evening's end stays free; it fits there, tight", "it no longer fits there"]


def test_a_tape_that_only_the_free_end_keeps_away_behind_a_late_one_says_so_too() -> None:
    """It was to begin at 20:10 and be over by 21:00; the tape before it is late."""
    comfort = Comfort(marks=(540, 1980), bench=((-10, 135),))  # 18:50-21:15, the last 15 minutes free
    deck = SimpleNamespace(id="D1", loud=False, setup_needs_helper=False)
    problem: Any = SimpleNamespace(
        jobs=PROBLEM.jobs, songs=(), comfort=comfort, scale=PROBLEM.scale, now=0,
        decks=[SimpleNamespace(deck=deck, runs=[((0, 120),)])], made=(SimpleNamespace(deck=0),),
        windows=[SimpleNamespace(index=0, start=-10, end=120, over=135)],
    )  # fmt: skip

    def plays(first: int, then: int) -> Any:
        """R-009 for half an hour, R-006 for fifty minutes."""
        made = draft((1, "transfer", first), (0, "transfer", then))
        made.steps[0].end, made.steps[1].end = first + 30, then + 50
        return made

    def why(late: int) -> str:
        kept, new = plays(40, 70), plays(40 + late, 1480)
        told = moves(problem, kept, draft((1, "transfer", 40 + late)), new)
        return next(one.why for one in told if one.reel == "R-006")

    assert why(5) == "the evening's end stays free; it fits there, tight"
    assert why(20) == "it no longer fits there", "it would be over behind the bench's hours"


def test_a_step_that_was_left_out_before_its_time_came_says_so() -> None:
    kept, new = draft((0, "identify", 20)), draft((0, "identify", 1480))
    told = moves(PROBLEM, kept, kept, new, left_out=lambda *_: "it was left out then: not tonight")
    assert [one.why for one in told] == ["it was left out then: not tonight"]


def test_a_step_before_which_the_plan_must_line_the_deck_up_again_says_so_and_what_follows_it_too() -> None:
    """The deck was lined up this evening already; the plan from 19:00 on holds a touch-up all the same."""
    deck = SimpleNamespace(
        deck=SimpleNamespace(id="D1", setup_needs_helper=False), full=40, touch_up=20, stands_on=2,
        runs=[((0, 185),)],
    )  # fmt: skip
    part = SimpleNamespace(setup=2)
    jobs = [SimpleNamespace(key=key, calibration=False, parts=[part]) for key in ("R-006", "R-009")]
    problem: Any = SimpleNamespace(
        jobs=jobs, songs=(), decks=[deck], comfort=PROBLEM.comfort, scale=PROBLEM.scale, now=0,
        windows=[SimpleNamespace(index=0, start=0, end=185, over=185)],
    )  # fmt: skip

    def why(*kept: tuple[int, str, int]) -> list[str]:
        new = draft((0, "transfer", 1480), (0, "verify", 1500))
        return [one.why for one in moves(problem, draft(*kept), draft(), new) if one.reel == "R-006"]

    held, gone = "the plan holds a line-up of D1 before it", "it no longer fits there"
    assert why((0, "transfer", 10), (0, "verify", 30)) == [held, held]
    assert why((0, "transfer", 20), (0, "verify", 30)) == [gone, gone]  # it has room: something else is it
    assert why((1, "verify", 0), (0, "transfer", 20)) == [held, "it is needed now"]
    assert why((-1, "align", 0), (0, "transfer", 10)) == [gone, "it is needed now"]
    deck.runs = [()]
    assert why((0, "transfer", 20), (0, "verify", 30)) == ["D1 may not run on Tue 8 Dec"] * 2


def test_what_still_fits_later_in_its_own_evening_made_room_where_it_is_put_on_another() -> None:
    """A touch came later and lies on its start: beside all that stayed it could have followed that."""
    windows = [
        SimpleNamespace(index=0, start=0, end=200, over=200),
        SimpleNamespace(index=1, start=1440, end=1640),
    ]
    problem: Any = SimpleNamespace(**{**vars(PROBLEM), "windows": windows})
    kept = draft((0, "verify", 40))

    def why(could: int, new: int) -> str:
        (told,) = moves(problem, kept, draft((0, "verify", could)), draft((0, "verify", new)))
        return told.why

    assert why(50, 1450) == "to make room for others"
    assert why(1450, 1450) == "it no longer fits there"
    assert why(50, 50) == "it no longer fits there", "at that minute it does not"


def test_a_plan_that_ends_sooner_says_so_of_what_lies_behind_its_end_and_of_what_led_there() -> None:
    """The transfer was to be a week behind this plan's end: its warming is not 'in the way' of anything."""
    until = FROM + timedelta(days=7)
    scale = SimpleNamespace(moment=PROBLEM.scale.moment, until=until)
    problem: Any = SimpleNamespace(**{**vars(PROBLEM), "scale": scale})
    told = moves(problem, draft((0, "repair", 40)), draft(), draft(), {(0, "transfer", 0): 8 * 1440})
    assert {one.kind: one.why for one in told} == dict.fromkeys(
        ("repair", "transfer"), "this plan ends on Tue 15 Dec"
    )


def test_a_reel_that_was_left_over_for_a_reason_that_is_settled_is_not_told_to_have_room_now() -> None:
    new = draft((0, "transfer", 40), (1, "transfer", 80))
    told = moves(PROBLEM, draft(), draft(), new, None, {0: "no longer barred (not known: tracks)"})
    assert [one.why for one in told] == ["no longer barred (not known: tracks)", "there is room for it now"]


def test_a_step_of_the_same_evening_makes_no_song_ready_sooner() -> None:
    kept, new = (
        draft((0, "transfer", 100), (0, "verify", 1600)),
        draft((0, "transfer", 40), (0, "verify", 60)),
    )
    told = {one.kind: one.why for one in moves(PROBLEM, kept, kept, new)}
    assert told == {"transfer": "there is room for it sooner", "verify": "so that S-1 is ready sooner"}


def test_a_transfer_for_whose_line_up_the_helper_does_not_come_says_so() -> None:
    """The full line-up was on Tuesday, with the helper; Wednesday's touch-up and transfer rest on it."""
    facts = SimpleNamespace(id="D1", setup_needs_helper=True)
    jobs = [SimpleNamespace(key="R-006", calibration=False, parts=[SimpleNamespace(setup=0)])]

    def why(full_runs: tuple[tuple[tuple[int, int], ...], ...], over: int = 200) -> str:
        deck = SimpleNamespace(
            deck=facts, full=40, touch_up=20, stands_on=-1, full_runs=full_runs, runs=[((0, 200),)] * 2
        )
        problem: Any = SimpleNamespace(
            jobs=jobs, songs=(), decks=[deck], comfort=PROBLEM.comfort, scale=PROBLEM.scale, now=0,
            windows=[
                SimpleNamespace(index=n, start=a, end=a + over, over=a + 210) for n, a in ((0, 0), (1, 1440))
            ],
        )  # fmt: skip
        full = SimpleNamespace(job=-1, kind="align", start=0, end=40, part=0, deck=0, setup=0, full=True)
        kept = draft((0, "transfer", 1460))
        kept.steps = [full, *kept.steps]
        (told,) = moves(problem, kept, draft(), draft())
        return told.why

    assert why(((), ())) == "the helper does not come on Tue 8 Dec"
    assert why((((60, 200),), ())) == "the helper is not there for its line-up on Tue 8 Dec"
    assert why((((0, 30),), ()), over=30) == "its line-up on Tue 8 Dec no longer fits there"
    assert "helper" not in why((((0, 200),), ()))


def test_what_only_is_at_another_time_of_an_evening_that_has_begun_is_one_line() -> None:
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "identify", 0))
    new = draft((0, "transfer", 50), (0, "verify", 80), (1, "identify", 1440))
    told = moves(PROBLEM, kept, kept, new)
    assert moved_words(told, FROM.date()) == [
        "identify of R-009: from Tue 8 Dec 19:00 to Wed 9 Dec 19:00, to make room for others",
        "2 steps of this evening at another time of it",
    ]
    assert len(moved_words(told)) == 2


def test_what_is_told_in_one_sentence_counts_as_one_thing_that_moved() -> None:
    """A tape with its verify is one, the evening under way is one, and what is new has moved nowhere."""
    kept = draft((0, "transfer", 40), (0, "verify", 60), (1, "identify", 0))
    new = draft((0, "transfer", 1440), (0, "verify", 1480), (1, "identify", 10), (1, "repair", 1500))
    told = moves(PROBLEM, kept, kept, new)
    assert len(told) == 4 and len(moved_words(told)) == 3
    assert things_moved(told) == things_moved(told, FROM.date()) == 2
    stays = moves(PROBLEM, kept, kept, draft((0, "transfer", 50), (0, "verify", 80), (1, "identify", 10)))
    assert (things_moved(stays), things_moved(stays, FROM.date())) == (2, 1)


def test_what_is_late_in_an_evening_under_way_gives_way_to_others_and_is_not_called_undone() -> None:
    reel = SimpleNamespace(conditioned_at=None, stage="found")
    jobs = [SimpleNamespace(key=key, calibration=False, reel=reel) for key in ("R-006", "R-009")]
    problem: Any = SimpleNamespace(**{**vars(PROBLEM), "jobs": jobs})
    gone = {(1, "identify", 0): -5}
    new = draft((1, "identify", 1440))
    when = ((-45, 160), None, (0, 160), (-45, 1500))  # the last: it is tonight still
    told = [moves(problem, draft(), draft(), new, gone, tonight=one)[0].why for one in when]
    undone = "it was not done then"
    assert told == ["late, and others come first that evening", undone, undone, undone]
