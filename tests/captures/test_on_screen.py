"""Captures on the screen: from transferred to verified by evidence alone, with keys only."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from time import monotonic, sleep
from types import SimpleNamespace
from typing import Any

import pytest

from core.capture.files.progress import Progress
from core.findings import AudioFile, ChannelMeasure, Check, Finding, Strip
from core.standing.back_to_tape import due_from
from core.standing.kept_checks import listened
from tui.board.next_step import next_step
from tui.board.reading_words import reading_words
from tui.commands.captures.check_ import told
from tui.commands.demo_ import CAPTURE
from tui.places.captures.lane_levels import Lanes
from tui.places.captures.lanes import lane_lines, shuts_first
from tui.text.captures.findings import check_lines


async def test_a_reel_comes_from_transferred_to_verified_by_evidence_alone(
    book: Any, capture: Path, copy: Path, at_captures: Any, tmp_path: Path
) -> None:
    """Files found by name, measured, copy compared, the worst places listened to, verified, printed."""
    async with at_captures(book, "R-022") as seat:
        assert "transferred" in seat.text and "no check is kept" in seat.text
        await seat.press("f")
        assert CAPTURE in seat.text and "22.1 MB" in seat.text
        await seat.press("enter")
        await seat.until("R-022 pass 1: remarks, kept")
        assert "REMARKS: look or listen" in seat.text and "pass 1 of 1, 8 tracks, 0:09.6" in seat.text
        await seat.until("dropout something in the left guitar")
        assert "You noted:" in seat.text
        await seat.press("v")
        assert "places not listened to" in " ".join(seat.text.split())
        await seat.press("escape", "d")
        await seat.types(f"{tmp_path}/seco")
        line = seat.app.screen.query_one("Input")
        await seat.until(lambda: line._suggestion.endswith("second-place/"))
        await seat.press("right", "enter")
        await seat.until("second copy equal")
        places = seat.app.screen.check.listening_list()
        await seat.press("home", *["space"] * len(places))
        marks = seat.app.shelf.of_kind("listened")["R-022 pass 1"]["marks"]
        assert set(marks.values()) == {"fine"} and len(marks) == len(places) >= 2
        await seat.press("p")
        await seat.until(lambda: any((tmp_path / "paper").glob("capture-R-022.pdf")))
        await seat.press("v")
        await seat.until("R-022 is verified")
    event = [one for one in book.shelf.history if one.key == "R-022" and one.field == "stage"][-1]
    assert (event.new, event.because) == ("verified", "")


async def test_a_check_that_is_stopped_keeps_nothing(
    book: Any, capture: Path, at_captures: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The reading stands at its first block until E is pressed."""
    measure = book.captures.check

    def slow(*given: Any, progress: Any, cancelled: Any, **more: Any) -> Any:
        def told(reached: Progress) -> None:
            progress(reached)
            ends = monotonic() + 60  # where the screen fails, the thread does not outlive the test
            while not cancelled() and monotonic() < ends:
                sleep(0.001)  # the machine is left to the screen

        return measure(*given, progress=told, cancelled=cancelled, **more)

    monkeypatch.setattr(book.captures, "check", slow)
    async with at_captures(book, "R-022") as seat:
        before = book.path.read_bytes()
        await seat.press("f", "enter")
        await seat.until("of 22.1 MB")
        assert "E stops" in seat.text and "MB/s" in seat.text
        await seat.press("f")
        assert "is being measured" in seat.text
        await seat.press("escape", "w", "c", "d")
        await seat.until("of 22.1 MB")
        await seat.press("e")
        await seat.until("stopped, nothing was kept")
        assert seat.app.reading is None and "no check is kept" in seat.text
    assert book.path.read_bytes() == before and "check" not in book.shelf.records


async def test_a_changed_file_is_told_loudly(
    book: Any, capture: Path, at_captures: Any, flip: Any, hear: Any
) -> None:
    book.captures.check("R-022", [capture])
    hear(book, "R-022")
    book.mark("R-022", "verified")
    flip(capture)
    async with at_captures(book, "R-022") as seat:
        await seat.press("l")
        await seat.until("verified no more")
        assert "files CHANGED" in seat.text and "transferred" in seat.text.splitlines()[0]
        await seat.press("escape", "enter")
        assert "!! R-022: a checked file changed: put it back, or check anew" in seat.text


async def test_files_that_are_none_are_told_in_one_line(book: Any, at_captures: Any, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear all")
    async with at_captures(book, "R-022") as seat:
        await seat.press("f")
        assert "No file in" in seat.text
        await seat.press("tab")
        await seat.types(f"{tmp_path}/nothing.wav")
        await seat.press("enter")
        assert "! nothing is there" in seat.text
        await seat.press("escape", "f")
        line = seat.app.screen.query_one("Input")
        assert line.value.endswith("nothing.wav")  # what was typed is there again
        line.value = f"{tmp_path}/letter.txt"
        await seat.press("enter")
        await seat.until("nothing was kept")
        await seat.until("letter.txt is not audio that can be read (WAV, RF64, BW64, FLAC and AIFF")
    assert "check" not in book.shelf.records


def made_strip(tracks: int, seconds: float = 60.0) -> Strip:
    loud, quiet = bytes([20] * 300 + [120] * 300), bytes([40] * 300 + [120] * 300)
    return Strip(seconds, tuple(range(1, tracks + 1)), 600, (loud,) * tracks, (quiet,) * tracks)


@pytest.mark.parametrize("tracks", [1, 2, 8, 16, 24])
@pytest.mark.parametrize("width", [80, 120])
def test_every_track_has_a_lane_that_fits(tracks: int, width: int) -> None:
    """16 and 24 tracks stand side by side where there are 24 lines of screen."""
    lines = lane_lines(Lanes(made_strip(tracks), ()), width, 12)
    assert len(lines) <= 13
    drawn = ["".join(text for text, _ in line) for line in lines]
    assert all(len(line) <= width for line in drawn)
    assert all(f"{track:>3}" in "\n".join(drawn) for track in range(1, tracks + 1))


def test_letters_stand_where_something_was_found_and_fails_are_capitals() -> None:
    found = (
        Finding("dropout", 1, 30.0, 30.1, "remark", "x"),
        Finding("clipping", 2, 15.0, 15.1, "fail", "x"),
        Finding("hum", 2, 0.0, 60.0, "remark", "x"),
    )
    lines = lane_lines(Lanes(made_strip(2), found, found[0], plain=True), 67, 12)
    first, second, clock = ("".join(text for text, _ in line) for line in lines)
    assert first.index("d") == 6 + 30 and second.index("C") == 6 + 15
    assert second[:6].endswith("h|") and clock.index("^") == 6 + 30
    assert first.isascii() and second.isascii()


def test_what_keeps_a_tape_from_being_verified_stands_before_what_only_weighs() -> None:
    """A capture that is too short, and whose tracks are copies of one another: fifteen remarks on them."""
    copies = [Finding("copy", n, 0.0, 60.0, "remark", "a copy", other=n + 1) for n in (1, 2)]
    hum, dc = (Finding(kind, 1, 0.0, 60.0, "note", kind) for kind in ("hum", "dc"))
    silent = Finding("silence", 1, 0.0, 60.0, "remark", "nothing on it")
    short = Finding("short", None, 0.0, 60.0, "remark", "a minute for twenty")
    found = (*copies, hum, dc, silent, short)
    assert [one.kind for one in sorted(found, key=shuts_first)] == [
        "silence",
        "short",
        "copy",
        "copy",
        "hum",
        "dc",
    ]
    lines = ["".join(text for text, _ in line) for line in lane_lines(Lanes(made_strip(2), found), 67, 12)]
    assert lines[0].startswith("  1sy|"), "the gravest first of those that have room"
    assert lines[-1].startswith("    l "), "what is so of the whole pass stands below, before the clock"


def test_the_lanes_show_treble_that_goes_where_the_level_stays() -> None:
    level, gone = bytes([24] * 600), bytes([128 - column // 30 for column in range(600)])
    strip = Strip(60.0, (1,), 600, (level,), (level,), (gone,))
    drawn = ["".join(text for text, _ in lane_lines(Lanes(strip, (), plain=True, treble=treble), 67, 12)[0])
             for treble in (False, True)]  # fmt: skip
    assert len(set(drawn[0][6:66])) == 1
    heights = [" ..::--==".index(sign) for sign in drawn[1][6:66].replace("=", "=")]
    assert heights[0] > heights[-1] and heights == sorted(heights, reverse=True)


def test_how_far_a_reading_is_and_how_long_it_takes_still() -> None:
    words = reading_words("R-022 measured", Progress(250_000_000, 1_000_000_000, 2.0), 80)
    assert words.startswith(" R-022 measured 25% of 1.0 GB, 125 MB/s, 0:06 left") and len(words) <= 80
    assert "begins" in reading_words("R-022 measured", None, 80)


async def test_what_the_check_tells_of_the_tape_goes_to_its_history_by_one_key_and_never_by_itself(
    book: Any, at_captures: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    says = "From 0:33.0 on the treble goes as from dirty heads: 2.1 micrometres of spacing at 1:36.0."
    dull = Finding("dull", None, 33.0, 96.0, "remark", says, size=21.0)
    drops = [Finding("dropout", 1, at, at + 0.1, "remark", "Drops out.", size=99.0) for at in range(10, 34)]
    file = AudioFile("R-022.wav", "0" * 64, 1000, "WAV", "PCM_24", 96000, 8, 100, 96.0, "whole")
    level = ChannelMeasure(1, 0, 0, -3.0, -2.9, -20.0, 0.0, 0, 0)
    check = Check("R-022", (file,), (level,), (*drops, dull), tracks=(1,), seconds=96.0)
    assert next(check_lines(check)) and says in list(check_lines(check))[2]  # above two dozen dropouts
    book.captures.keep_check(check)
    assert told(book, check, as_json=False) == 0
    assert "to be played again from 0:23 on; --warm first" in capsys.readouterr().err
    async with at_captures(book, "R-022") as seat:
        await seat.until("u: From 0:33.0 on")  # it goes on from there: the first place of the list
        await seat.press("y")
        await seat.until("this check kept no treble")
        assert not any(says in one.note for one in book.shelf.history)
        await seat.press("b")
        await seat.until("for its history")
        await seat.press("enter")
        await seat.until("what becomes of it")
        assert book.shelf.reel("R-022").stage == "transferred" and "from 0:23 to the end" in seat.text
        await seat.press("2")
        await seat.until("R-022 waits again")
    assert book.shelf.reel("R-022").stage == "conditioned"
    waits, now = book.shelf.reel("R-022"), datetime.now(tz=UTC)
    assert due_from(book.shelf, waits) == "0:23"
    step = next_step(book.shelf, waits, "conditioned", now, lambda _: ("D1", None))
    assert step.words.endswith("transfer, from 0:23")
    noted = [one for one in book.shelf.history if one.key == "R-022" and one.field == "note"]
    assert noted[-1].note == f"The check of pass 1: {says} 24 dropouts on track 1."
    book.undo()
    assert book.shelf.reel("R-022").stage == "transferred"
    assert any(one.note.startswith(f"The check of pass 1: {says}") for one in book.shelf.history)


async def test_a_check_that_tells_nothing_of_the_tape_offers_nothing(book: Any, at_captures: Any) -> None:
    async with at_captures(book, "R-022") as seat:
        await seat.press("b")
        await seat.until("check")
        assert "for its history" not in seat.text


async def test_a_place_is_heard_and_answered_while_it_plays(
    book: Any, capture: Path, at_captures: Any, monkeypatch: Any
) -> None:
    played: list[int] = []
    device = SimpleNamespace(play=lambda sound, rate: played.append(len(sound)), stop=lambda: None)
    monkeypatch.setitem(sys.modules, "sounddevice", device)
    book.captures.check("R-022", [capture])
    async with at_captures(book, "R-022") as seat:
        await seat.press("h")
        await seat.until("plays 01-")
        assert len(played) == 1
        await seat.press("space")  # fine, and the next place plays
        await seat.until(lambda: len(played) == 2)
        (check,) = book.captures.kept_checks("R-022")
        assert list(listened(book.shelf, check.to_json()).values()) == ["fine"]
        await seat.press("x")  # that was the last place
        await seat.until("dropout at 6.901 s: to be captured again")
        assert len(played) == 2
    folder = book.path.parent / "listening" / "R-022-pass-1"
    assert (folder / "list.csv").exists() and (folder / "all.m3u8").exists()


async def test_where_nothing_plays_the_folder_is_told(
    book: Any, capture: Path, at_captures: Any, monkeypatch: Any
) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    book.captures.check("R-022", [capture])
    async with at_captures(book, "R-022", (120, 40)) as seat:
        await seat.press("h")
        await seat.until("excerpts lie in")
