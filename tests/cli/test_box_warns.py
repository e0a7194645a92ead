"""What a box warns of is asked about at heat and deck, by command, paper and calendar, until answered."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
from alarmshelf import STEP, Clock, plays, printed

from core.reels.box.warnings import warnings_on

SAYS = '{} says "{}" on its box: {}'
UNSMELLED = "look, with gloves and a mask, and do not smell at it"
SEE, WHY = "look and smell, and write down what is so before", "find out why before"


def plays_treated(run: Any, clock: Clock) -> None:
    """W-1 runs after its hours in the heat and its cooling, on a deck that is lined up."""
    assert run("load", "C1", "W-1").status == 0
    clock.at += timedelta(hours=4, minutes=5)
    assert run("chamber", "C1", "--out", "W-1").status == 0
    clock.at += timedelta(hours=4, minutes=5)
    for act in ("begin", "end"):
        assert run("tonight", act, STEP).status == 0
    begun = run("tonight", "begin", "transfer W-1")
    assert begun.status == 0, begun.err
    clock.at += timedelta(minutes=3)


def told_of(run: Any, key: str) -> str:
    return str(next(one for one in run("reels", "--json").json if one["reel"] == key)["next"])


@pytest.mark.parametrize(
    ("box", "words", "do"),
    [
        ("do not bake before Friday 1998", "do not bake", WHY),
        ("Ne pas lire!", "Ne pas lire", WHY),
        ("layers stuck", "layers stuck", SEE),
        ("squeals", "squeals", SEE),
        ("White powder", "White powder", SEE.replace("look and smell", UNSMELLED)),
        ("weißes Pulver", "weißes Pulver", SEE.replace("look and smell", UNSMELLED)),
    ],
)
def test_heat_asks_once_what_the_box_warns_of(there: Any, box: str, words: str, do: str) -> None:
    assert there("set", "W-1", f"box_label={box}").status == 0
    refused = there("load", "C1", "W-1", "W-2")
    assert (refused.status, SAYS.format("W-1", words, do) in refused.err) == (1, True)
    assert f'says "{words}" on its box' in there("reels").out
    assert there("tonight", "looked", "W-1").status == 0
    again = there("load", "C1", "W-1", "W-2")
    assert (again.status, "on its box" in again.err) == (0, False)


def test_a_sign_written_down_is_the_answer(there: Any) -> None:
    assert there("set", "W-1", "box_label=sheds, sticky").status == 0  # it is sticky by its condition
    assert there("set", "W-2", "box_label=squeals").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 1
    assert there("set", "W-2", "condition=sticky;squeal").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0


def test_a_reason_at_heat_is_none_for_an_order_not_to_play(there: Any) -> None:
    assert there("set", "W-1", "box_label=sour smell. DO NOT BAKE, do not play").status == 0
    refused = there("load", "C1", "W-1")
    assert 'W-1 says "sour smell", "DO NOT BAKE" and "do not play" on its box' in refused.err
    assert there("load", "C1", "W-1", "--because", "smelled at, it is another box's").status == 0
    labels = printed(there, "print", "labels")
    assert 'says "do not play" on its box' in labels and "DO NOT BAKE" not in labels.partition("says")[2]


def test_the_deck_asks_once_what_the_box_warns_of(there: Any) -> None:
    assert there("set", "P-1", "box_label=DO NOT PLAY").status == 0
    assert there("set", "C-1", "box_label=nicht abspielen").status == 0
    line = there("tonight", "begin", STEP)
    assert (line.status, SAYS.format("C-1", "nicht abspielen", WHY) in line.err) == (1, True)
    assert there("tonight", "looked", "C-1").status == 0
    for act in ("begin", "end"):
        assert there("tonight", act, STEP).status == 0
    refused = there("tonight", "begin", "transfer P-1")
    assert (refused.status, SAYS.format("P-1", "DO NOT PLAY", WHY) in refused.err) == (1, True)
    assert 'P-1 says "DO NOT PLAY" on its box' in there("tonight").out
    assert there("tonight", "begin", "transfer P-1", "--because", "its owner asks for it").status == 0
    assert 'says "DO NOT PLAY"' not in told_of(there, "P-1")  # it was answered


def test_paper_and_calendar_tell_what_the_box_warns_of(there: Any) -> None:
    assert there("set", "W-1", "box_label=do not bake").status == 0
    assert there("set", "P-1", "box_label=do not play").status == 0
    order = printed(there, "orders")
    assert 'W-1 says "do not bake" on its box' in order and 'says "do not play" on its box' in order
    labels = printed(there, "print", "labels")
    assert 'says "do not bake" on its box: find out why' in labels
    events = icalendar.Calendar.from_ical(there("calendar").out).walk("VEVENT")
    told = " ".join(str(one.get("description")) for one in events)
    assert 'W-1 says "do not bake" on its box' in told and 'it says "do not play" on its box' in told


def test_the_order_of_a_tape_whose_box_says_mould_has_the_cautions_of_mould(there: Any) -> None:
    assert "FFP2" not in printed(there, "orders")
    assert there("set", "P-1", "box_label=verschimmelt").status == 0
    order = printed(there, "orders")
    assert "FFP2" in order and "on its box: look, with gloves and a mask, and do not smell at it" in order
    assert there("set", "P-1", "box_label=wet: water damage").status == 0
    assert "FFP2" in printed(there, "orders")


def test_another_box_is_asked_about_anew(there: Any) -> None:
    assert there("set", "W-1", "box_label=mold").status == 0
    assert there("tonight", "looked", "W-1").status == 0
    assert there("tonight", "looked", "W-1").status == 1  # nothing is asked any more
    assert there("set", "W-1", "box_label=moldy").status == 0
    assert there("load", "C1", "W-1").status == 1


def test_a_warning_found_while_its_tape_is_warm_or_plays_is_told_at_once(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    heat = (
        'W-1 is in the heat of chamber C1 and says "mouldy" and "do not bake" on its box: '
        f"{UNSMELLED}, and write down what is so; find out why now, and take it out if it is so"
    )
    assert heat in there("set", "W-1", "box_label=mouldy, do not bake").err
    assert (
        heat in there("tonight").out and heat in there("chamber", "C1").out and heat in there("closing").out
    )
    assert "W-1 is in the heat" not in there("set", "W-2", "year=1984").err  # once, where it was found
    assert 'W-2 is in the heat of chamber C1 and says "do not bake" in its notes' in (
        there("note", "W-2", "card inside: do not bake").err
    )
    turn = there("tonight").out.partition("turn chamber C1")[2].partition("take out")[0]
    assert "! W-1 is in the heat" in turn  # beside the next touch, too
    assert there("tonight", "looked", "W-1").status == 0
    assert "W-1 is in the heat" not in there("tonight").out
    plays(there, clock)
    assert 'P-1 runs and says "do not play" on its box: find out why now, and stop it if it is so' in (
        there("set", "P-1", "box_label=do not play").err
    )
    assert "P-1 runs and says" in there("tonight").out


def test_a_load_that_was_broken_off_asks_before_it_goes_on_what_a_box_warns_of_since(
    there: Any, clock: Clock
) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(minutes=60)
    assert there("chamber", "C1", "--broken-off", "power").status == 0
    assert there("set", "W-1", "box_label=do not bake").status == 0
    clock.at += timedelta(minutes=10)
    refused = there("chamber", "C1", "--go-on")
    assert refused.status == 1 and SAYS.format("W-1", "do not bake", WHY) in refused.err, refused.err
    assert there("tonight", "looked", "W-1").status == 0
    assert there("chamber", "C1", "--go-on").status == 0


def test_a_row_of_history_without_a_field_is_a_note_of_which_is_asked(there: Any, tmp_path: Path) -> None:
    (tmp_path / "history.csv").write_text(
        "at,kind,key,field,old,new,note,because\n2026-11-14T16:00,reel,W-1,,,,mould on the edge,\n"
    )
    told = there("import", "history.csv")
    assert told.status == 0, told.err
    refused = there("load", "C1", "W-1", "W-2")
    assert refused.status == 1 and 'says "mould" in its notes' in refused.err


def test_what_is_noted_after_the_answer_is_a_new_sight_though_its_word_is_the_same(
    there: Any, clock: Clock
) -> None:
    assert there("set", "W-1", "box_label=mofo").status == 0
    assert there("note", "W-1", "mofo on the lid").status == 0
    assert there("tonight", "looked", "W-1").status == 0
    assert "says" not in told_of(there, "W-1")
    clock.at += timedelta(minutes=5)
    assert there("note", "W-1", "mofo na borda").status == 0
    refused = there("load", "C1", "W-1", "W-2")
    assert refused.status == 1 and 'W-1 says "mofo" in its notes' in refused.err
    assert there("tonight", "looked", "W-1").status == 0
    assert there("load", "C1", "W-1", "W-2").status == 0


def test_what_is_noted_on_the_pass_is_asked_about_while_it_runs_stands_and_has_run(
    there: Any, clock: Clock
) -> None:
    plays(there, clock)
    said = there("tonight", "note", "other", "smells of vinegar, mouldy")
    runs = (
        'P-1 runs and says "mouldy" and "vinegar" in its notes: '
        f"{UNSMELLED}, and write down what is so now, and stop it if it is so"
    )
    assert runs in said.err and runs in there("tonight").out and runs in there("closing").out
    assert there("tonight", "stop").status == 0
    assert 'P-1 stands stopped and says "mouldy"' in there("tonight").out
    refused = there("tonight", "go-on")
    assert refused.status == 1 and 'says "mouldy" and "vinegar" in its notes' in refused.err
    assert there("tonight", "looked", "P-1").status == 0
    assert there("tonight", "go-on").status == 0
    clock.at += timedelta(minutes=20)
    assert "runs and says" in there("tonight", "note", "dropout", "mould on the edge").err
    assert there("tonight", "end", "--at", clock.at.strftime("%H:%M")).status == 0
    over = 'P-1 has run and says "mould" in its notes: '
    assert over in there("tonight").out and over in there("closing").out
    assert 'says "mould" in its notes' in printed(there, "print", "labels")
    assert there("tonight", "looked", "P-1").status == 0
    assert over not in there("tonight").out


def test_a_song_named_on_a_pass_warns_of_nothing(there: Any, clock: Clock) -> None:
    plays(there, clock)
    assert "says" not in there("tonight", "note", "song start", "Mould and Vinegar").err
    assert "runs and says" not in there("tonight").out


@pytest.mark.parametrize("said", ["squeal left side", "other screech", "noise brown gum on heads"])
def test_a_squeal_or_gum_noted_on_the_pass_asks_for_the_heads(there: Any, clock: Clock, said: str) -> None:
    plays(there, clock)
    told = there("tonight", "note", *said.split())
    assert "P-1 runs and says" in told.err and "wipe the heads with a dry swab" in told.err
    assert there("tonight", "stop", "--heads", "nothing", "--because", "squeal").status == 0


@pytest.mark.parametrize("words", ["sheds a lot", "gummy heads", "klebt"])
def test_what_comes_off_a_treated_tape_as_it_runs_is_a_new_sight(
    there: Any, clock: Clock, words: str
) -> None:
    plays_treated(there, clock)
    assert "W-1 runs and says" in there("note", "W-1", words).err
    assert there("tonight", "stop").status == 0
    assert there("tonight", "go-on").status == 1
    assert there("tonight", "looked", "W-1").status == 0
    assert there("tonight", "go-on").status == 0


def test_a_base_told_while_a_treated_tape_runs_stops_it(there: Any, clock: Clock) -> None:
    plays_treated(there, clock)
    told = there("set", "W-1", "base_seen=acetate")
    assert "! Stop W-1 on D1 now: it is acetate and was warmed" in told.err, told.err
    assert there("tonight", "stop").status == 0
    assert "Stop W-1" not in there("tonight").out
    refused = there("tonight", "go-on")
    assert refused.status == 1 and "is acetate and was warmed" in refused.err
    clock.at += timedelta(minutes=2)
    assert there("tonight", "go-on", "--because", "looked at closely, it is flat").status == 0
    assert "Stop W-1" not in there("tonight").out


def test_an_order_not_to_play_keeps_no_broken_load_from_going_on(there: Any, clock: Clock) -> None:
    assert there("load", "C1", "W-1", "W-2").status == 0
    clock.at += timedelta(minutes=60)
    assert there("note", "W-1", "do not play again").status == 0
    assert there("chamber", "C1", "--broken-off", "power").status == 0
    clock.at += timedelta(minutes=10)
    assert there("chamber", "C1", "--go-on").status == 0


@pytest.mark.parametrize(
    ("words", "sign"),
    [
        ("Pulver weiß", "white powder"), ("weißer Staub", "white powder"), ("white bloom", "white powder"),
        ("dusty white edge", "white powder"), ("cristaux blancs", "white powder"),
        ("powder on edge", "white powder"), ("black spots", "mould"), ("schimmlig", "mould"),
        ("nass geworden, naß", "water"), ("residue on guides", "sticky"), ("some shed", "sticky"),
        ("coating comes off", "loose oxide"), ("screech", "squeal"),
    ],
)  # fmt: skip
def test_more_words_that_warn(words: str, sign: str) -> None:
    assert [one.sign for one in warnings_on(words)] == [sign]


@pytest.mark.parametrize("words", ["Chewing Gum Girl", "recorded in the shed", "nasser Sand", "Blanket"])
def test_names_that_warn_of_nothing(words: str) -> None:
    assert not warnings_on(words)


@pytest.mark.parametrize("words", ["Zelluloseazetat", "safety film"])
def test_a_box_that_says_acetate_in_other_words_is_looked_at_first(there: Any, words: str) -> None:
    assert there("set", "W-1", "base_seen=", f"box_label={words}").status == 0
    assert there("load", "C1", "W-1").status == 1
