"""A tape that shed is played again from the minute that its check tells: asked for, planned, printed, run."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from core.clock import clock_text
from core.evening.after_check import again_after_check
from core.evening.tonight.patching import patching
from core.evening.tonight.planned_step import item_step
from core.evening.tonight.transfer import press
from core.findings import AudioFile, ChannelMeasure, Check, Finding
from core.logbook.passes import played, played_of
from core.paper.look.run import runs_left
from core.quantities import read_quantity
from core.reels.length import play_seconds
from core.reels.minutes import transfer_minutes
from core.songs.song import Need
from core.standing.back_to_tape import due_from
from core.standing.left_to_play import to_play
from core.standing.proof import unproved
from core.workbook.workbook import Workbook
from tui.cli import main

SINCE, AT = 740.0, datetime(2026, 12, 1, 18, 52, tzinfo=UTC)


def dull_check(since: float = SINCE) -> Check:
    """Treble goes from ten seconds behind ``since`` on."""
    begins = since + 10
    says = f"From {clock_text(int(begins))} on the treble goes as from dirty heads."
    found = Finding("dull", None, begins, 1900.0, "remark", says, size=21.0)
    file = AudioFile("R-022.wav", "0" * 64, 1000, "WAV", "PCM_24", 96000, 8, 100, 2000.0, "whole")
    level = ChannelMeasure(1, 0, 0, -3.0, -2.9, -20.0, 0.0, 0, 0)
    return Check("R-022", (file,), (level,), (found,), tracks=(1,), seconds=2000.0)


@pytest.fixture
def checked(book: Any) -> Any:
    """R-022, 33:20 long and needed by a song, with a check that tells a minute."""
    length = read_quantity("2500 ft", "length")

    def needed(shelf: Any) -> Any:
        song = shelf.songs["S-01"]
        longer = shelf.with_reel(replace(shelf.reel("R-022"), length=length))
        return longer.with_song(replace(song, needs=(*song.needs, Need("R-022", None, None))))

    book.change(needed, what="longer")
    book.captures.keep_check(dull_check())
    return book


def opened_at(path: Any) -> Any:
    """The shelf as it is on the disk."""
    return Workbook.open(path, lambda: AT).shelf


def planned(book: Any) -> Any:
    """The transfer of R-022 in a plan made now."""
    plan = book.plans.plan(effort=0)
    (item,) = (one for one in plan.items if one.kind == "transfer" and one.reel == "R-022")
    return item


def long(book: Any) -> float:
    return float(play_seconds(book.shelf.reel("R-022"), book.shelf.studio) or 0)


async def test_the_key_sends_it_back_from_the_minute_and_never_by_itself(
    checked: Any, at_captures: Any
) -> None:
    assert checked.shelf.reel("R-022").stage == "transferred"
    async with at_captures(checked, "R-022") as seat:
        await seat.press("b", "enter")
        await seat.until("played again from 12:20 to the end")
        assert "plan all of it to be played again" in seat.text
        await seat.press("2")
        await seat.until("R-022 waits again")
    (one,) = played_of(checked.shelf, "R-022")
    assert (one.again, one.state, one.holds, one.clean_every) == (SINCE, "stopped", "own", 0)
    assert due_from(checked.shelf, checked.shelf.reel("R-022")) == "12:20"
    checked.undo()
    assert checked.shelf.reel("R-022").stage == "transferred" and not played_of(checked.shelf, "R-022")


@pytest.mark.parametrize("how", ["play", "clean", "whole"])
def test_the_plan_holds_its_minutes_and_no_more(checked: Any, how: Any) -> None:
    """Load, a wind of what lies behind the minute, that much played again; five minutes for every stop."""
    checked.change(lambda shelf: again_after_check(shelf, "R-022", how, AT, "dull"), what="again")
    shelf = checked.shelf
    item, reel = planned(checked), shelf.reel("R-022")
    deck, rest = shelf.studio.deck(item.deck), long(checked) - SINCE
    takes = (item.end - item.start).total_seconds() / 60
    whole = transfer_minutes(reel, deck, shelf.studio, own=shelf.own_stocks())
    if how == "whole":
        assert takes == whole and not played_of(shelf, "R-022")
        return
    wind = rest * float(reel.speed.number / deck.wind_speed.number)
    stops = -(-(rest - 60) // 300) - 1 if how == "clean" else 0
    exact = float(shelf.studio.minutes.load) + (rest + wind) / 60 + stops * float(shelf.studio.minutes.clean)
    grid = shelf.studio.minutes.grid
    assert takes == -(-exact // grid) * grid < whole or how == "clean"
    assert item.passes == 1 and to_play(shelf, reel)[0].left == (1,)


def test_its_songs_wait_until_it_was_played(checked: Any) -> None:
    def waits() -> bool:
        return any("R-022" in one.waits_for for one in checked.songs.readiness() if one.song.key == "S-01")

    checked.change(lambda shelf: shelf.with_reel(replace(shelf.reel("R-022"), stage="verified")), what="v")
    assert not waits()
    checked.change(lambda shelf: again_after_check(shelf, "R-022", "play", AT, "dull"), what="again")
    assert waits()


def test_the_order_and_tonight_patch_it_from_there_to_the_end(checked: Any) -> None:
    checked.change(lambda shelf: again_after_check(shelf, "R-022", "clean", AT, "dull"), what="again")
    item = planned(checked)
    wind, run = runs_left(checked.shelf, item, checked.shelf.reel("R-022"))
    assert (wind.kind, wind.again) == ("wind", "to 12:20")
    assert run.again.startswith("from 12:20 to the end, as a file of its own, stop and clean at 17:20")
    assert run.end <= item.end < run.end + timedelta(minutes=10)
    patch, wound, cleaned = patching(checked.shelf, item_step(item))
    assert "from 12:20 to the end" in patch and wound.startswith("wind it to 12:20") and "17:20" in cleaned


def test_it_runs_from_there_and_is_done_at_its_end(checked: Any) -> None:
    checked.change(lambda shelf: again_after_check(shelf, "R-022", "play", AT, "dull"), what="again")
    item = planned(checked)
    step, shelf = item_step(item), checked.shelf
    begun = press(shelf, step, item.start, "all the same")
    (one,) = played_of(begun, "R-022")
    assert (one.state, one.again, one.last.start, len(one.pieces)) == ("running", None, SINCE, 2)
    over = item.start + timedelta(seconds=long(checked) - SINCE)
    ended = press(begun, replace(step, state="running", started=item.start), over, "all the same")
    assert ended.reel("R-022").stage == "transferred"
    (done,) = played(ended).values()
    assert done.state == "done" and abs((done.last.to or 0) - long(checked)) < 1


def test_the_gate_wants_a_check_of_what_was_played_since(checked: Any) -> None:
    checked.change(lambda shelf: again_after_check(shelf, "R-022", "play", AT, "dull"), what="again")
    item = planned(checked)
    over = item.start + timedelta(minutes=30)
    running = replace(item_step(item), state="running", started=item.start)
    ended = press(press(checked.shelf, item_step(item), item.start, "why"), running, over, "why")
    why = unproved(ended, ended.reel("R-022"))
    assert why == "pass 1 ran again since its check: check its files, both in order, the new one from 12:20"


def test_by_command_it_is_sent_back_and_the_history_has_it(checked: Any, capsys: Any) -> None:
    shelf = str(checked.path)
    assert main(["again", "R-022", "--clean", "--shelf", shelf]) == 0
    told = capsys.readouterr().out
    assert told == "R-022 is conditioned, to be played again: pass 1 from 12:20 to the end\n"
    (one,) = played_of(opened_at(checked.path), "R-022")
    assert one.again == SINCE and one.to_clean[0] == SINCE + 300
    assert any("as from dirty heads" in event.note for event in opened_at(checked.path).history)
    assert main(["again", "R-022", "--shelf", shelf]) == 1  # it waits already
    assert "waits for its pass already" in capsys.readouterr().err
    assert main(["undo", "--shelf", shelf]) == 0
    assert main(["again", "R-022", "--from", "15:00", "--json", "--shelf", shelf]) == 0
    assert '"from": 900.0' in capsys.readouterr().out


def test_a_minute_that_the_tape_has_not_and_a_clean_check_are_refused(checked: Any, capsys: Any) -> None:
    shelf = str(checked.path)
    assert main(["again", "R-022", "--from", "59:00", "--shelf", shelf]) == 1
    assert "plays no longer than that" in capsys.readouterr().err
    assert main(["again", "R-022", "--from", "early", "--shelf", shelf]) == 2
    checked.captures.keep_check(replace(dull_check(), findings=()))
    assert main(["again", "R-022", "--shelf", shelf]) == 1
    assert "say why (--because)" in capsys.readouterr().err
    assert main(["again", "R-022", "--because", "it squealed", "--shelf", shelf]) == 0
    assert "all of it" in capsys.readouterr().out
