"""Around a pass: what to patch, a note in one key and from any place, the real length, the songs' places."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from core.capture.files.names import fits_rule, named_by
from core.evening.playing.passes import drop_note, end_pass, notes_of, start_pass
from core.evening.playing.real_length import real_length, take_length
from core.evening.playing.song_spans import spans_heard, take_spans
from core.songs.song import Need


async def tape_runs(seat: Any, book: Any, minutes: float) -> None:
    """R-001 plays since so many minutes."""
    book.mark("R-001", "aligned")
    seat.app.took_over()
    await seat.go_to("transfer R-001")
    await seat.press("space", "escape")
    await seat.wait(minutes=minutes)


def eight_inputs(shelf: Any) -> Any:
    """A recorder of eight inputs with one guide track."""
    capture = replace(shelf.studio.capture, inputs=8, guide_tracks=1, file_names="{reel}_p{pass}_t{track}")
    return replace(shelf, studio=replace(shelf.studio, capture=capture))


async def test_before_and_between_passes_it_says_what_to_patch(book: Any, at_machine: Any) -> None:
    book.change(eight_inputs, what="eight inputs")
    book.mark("R-001", "aligned")
    async with at_machine(book, size=(80, 24)) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape", "u")  # it is the next step now
        assert "patch tracks 1-8, pass 1 of 3; track 1 in each" in seat.text
        assert "file R-001_p1_t01 to R-001_p1_t08" in seat.text
        wound = seat.shelf.reel("R-001").tails
        assert ("tails out: wind it first" if wound else "heads out: no wind first") in seat.text
        await seat.press("space")  # the calendar was asked about before
        await seat.wait(minutes=32)
        await seat.press("space")  # the first pass is over
        beside = " ".join(line[42:80].strip(" │") for line in seat.text.splitlines())
        assert "patch tracks 1, 9-15, pass 2 of 3; track 1 in each" in " ".join(beside.split())
        assert "tails out: wind it first" in " ".join(beside.split())


async def test_a_tape_that_runs_before_the_evening_begins_is_not_told_that_it_ended(
    book: Any, at_machine: Any
) -> None:
    async with at_machine(book, size=(80, 24)) as seat:
        await tape_runs(seat, book, 1)
        assert "pass 1 of 1" in seat.text and "evening ended" not in seat.text


async def test_one_timed_note_is_taken_off_in_the_middle_of_others_and_comes_back(
    book: Any, at_machine: Any
) -> None:
    def told() -> list[str]:
        return [one.kind for _, one in notes_of(book.shelf, "R-001")]

    async with at_machine(book, size=(80, 24)) as seat:
        await tape_runs(seat, book, 4)
        await seat.press("2")
        await seat.wait(minutes=1)
        await seat.press("n", "1")
        await seat.wait(minutes=1)
        await seat.press("n", "3", "enter")
        assert "Ctrl+T takes the note off" in seat.text
        await seat.press("up", "ctrl+t")
        assert "taken off: dropout at 5:00. U takes it back" in seat.text and told() == ["squeal", "splice"]
        await seat.press("escape", "u")
        assert told() == ["squeal", "dropout", "splice"]
        await seat.press("ctrl+y")
        assert told() == ["squeal", "splice"]
        await seat.press("enter", "ctrl+t", "ctrl+t")  # with the last of them the page closes
        assert told() == [] and "Notes of R-001, pass 1" not in seat.text


async def test_a_bare_digit_drops_a_note_and_names_it(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await seat.press("1")
        assert "no note waits for its kind" in seat.text
        await tape_runs(seat, book, 4)
        await seat.press("2")
        await seat.wait(minutes=1)
        await seat.press("n", "1")
        told = [(one.seconds, one.kind) for _, one in notes_of(seat.shelf, "R-001")]
        assert told == [(240.0, "squeal"), (300.0, "dropout")]


@pytest.mark.parametrize("place", ["c", "w", "s", "f2"])
async def test_from_every_place_n_notes_the_tape_that_plays(book: Any, at_machine: Any, place: str) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 4)
        await seat.press(place, "n")
        assert "note at 4:00 of R-001: T, then a digit gives its kind" in seat.text
        await seat.press("t", "3")
        ((_, note),) = notes_of(seat.shelf, "R-001")
        assert (note.seconds, note.kind) == (240.0, "splice")


async def test_a_tape_that_ran_longer_is_taken_as_that_long(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 33 + 20 / 60)
        await seat.press("space")
        # 33:20 at 15 ips are 2000 s of 15 in: 2500 ft, where 2400 ft were thought.
        assert "R-001: it ran 33:20, reckoned 32:00: take 2500 ft?" in seat.text
        await seat.press("enter")
        assert str(seat.shelf.reel("R-001").length) == "2500 ft"
        # All of it is played, and verifying takes as long as before: the plan goes on.
        assert seat.app.stale() is None
        await seat.press("u")
        assert str(seat.shelf.reel("R-001").length) == "2400 ft"
        assert seat.app.stale() is None and "plans again" not in seat.text, "the plan knew it so"
        assert "taken back: length of R-001 taken as 2500 ft" in seat.text
        await seat.press("ctrl+y")
        assert str(seat.shelf.reel("R-001").length) == "2500 ft" and seat.app.stale() is None


async def test_a_tape_that_ran_as_long_as_reckoned_asks_nothing(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 32.1)
        await seat.press("space")
        assert "reckoned" not in seat.text and seat.shelf.reel("R-001").stage == "transferred"


async def test_songs_places_are_taken_from_the_notes(book: Any, at_machine: Any) -> None:
    songs = [song for song in book.shelf.songs.values() if song.span_on("R-001") is not None]
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 1)
        await seat.press("6")
        await seat.wait(minutes=4)
        await seat.press("7")
        await seat.wait(minutes=27)
        await seat.press("space")
        assert "take these as its songs' places?" in seat.text and "1:00-5:00" in seat.text
        await seat.press("enter")
        kept = [song.span_on("R-001") for song in seat.shelf.songs.values() if song.key == songs[0].key]
        spans = [seat.shelf.songs[song.key].span_on("R-001") for song in songs]
        assert any((one.start, one.end) == (60, 300) for one in [*kept, *spans])


async def test_a_song_that_was_ended_behind_the_tape_ends_with_the_tape(book: Any, at_machine: Any) -> None:
    """The tape ran out unseen at 31:00; `7` was pressed at 34:00."""
    async with at_machine(book) as seat:
        await tape_runs(seat, book, 20)
        await seat.press("6")
        await seat.wait(minutes=14)
        await seat.press("7", "a")
        await seat.types("3100")
        asked = 0
        while "take these as its songs' places?" not in seat.text and asked < 3:
            await seat.press("enter")
            asked += 1
        assert "20:00-31:00" in seat.text and "34:00" not in seat.text.split("places?")[1][:80], seat.text


def test_songs_are_matched_by_their_words_and_then_by_their_order(book: Any) -> None:
    shelf, at = book.shelf, book.now()
    first, second = list(shelf.songs.values())[:2]
    shelf = shelf.with_song(
        *(replace(song, needs=()) for song in shelf.songs.values()),
        replace(first, needs=(Need("R-008", Fraction(300), Fraction(500)),)),
        replace(second, needs=(Need("R-008"),)),
    )
    shelf = start_pass(shelf, "R-008", 1, at)
    key = "R-008 1"
    for seconds, kind, words in (
        (30.0, "song start", second.title),
        (250.0, "song end", ""),
        (310.0, "song start", ""),
        (480.0, "song end", ""),
    ):
        shelf = drop_note(shelf, key, at, kind, words, seconds)
    told = spans_heard(shelf, "R-008", 1)
    assert [(one.song, one.start, one.end) for one in told] == [
        (second.key, 30.0, 250.0),
        (first.key, 310.0, 480.0),
    ]
    after = take_spans(shelf, told)
    assert after.song(first.key).needs == (Need("R-008", Fraction(310), Fraction(480)),)
    assert spans_heard(after, "R-008", 1) == ()  # nothing new any more
    third = drop_note(drop_note(shelf, key, at, "song start", "", 500.0), key, at, "song end", "", 600.0)
    assert spans_heard(third, "R-008", 1) == ()  # more songs than the tape is needed by: nobody guesses


def test_a_length_that_no_reel_holds_is_refused(book: Any) -> None:
    from core.clock import later
    from core.errors import Refused
    from core.quantities import read_quantity

    at = book.now()
    reel = replace(book.shelf.reel("R-008"), reel_size=read_quantity("7 in", "length"))
    shelf = start_pass(book.shelf.with_reel(reel), "R-008", 1, at)
    shelf = end_pass(shelf, "R-008 1", later(at, minutes=90), 90 * 60.0)
    ran = real_length(shelf, "R-008")
    assert ran is not None and ran.feet == 6750  # 5400 s of 15 in
    with pytest.raises(Refused, match="more than a 7 in reel holds"):
        take_length(shelf, ran)


def test_a_files_name_is_by_the_rule_and_fits_it() -> None:
    rule = "{reel}_p{pass}_t{track}"
    assert named_by(rule, "R-001", 2, (9,), "2026-12-01") == "R-001_p2_t09"
    assert fits_rule("R-001_p2_t09", rule, "R-001", 2, (9, 10))
    assert named_by("", "R/1", 1, (1, 2), "2026-12-01") == "R-1 1"


async def test_a_tape_found_bad_while_it_runs_is_stopped_by_the_bell(book: Any, at_machine: Any) -> None:
    """Tonight says so in the running step, the bell's done key stops the tape, and no key goes on with it."""
    from tui.frame.bell import BellScreen

    async with at_machine(book, size=(80, 24)) as seat:
        await tape_runs(seat, book, 3)
        assert "STOP" not in seat.text
        fields = {"condition": (), "signs": ("layers adhere",)}
        book.change(lambda shelf: shelf.with_reel(replace(shelf.reel("R-001"), **fields)), what="it sticks")
        seat.app.took_over()
        await seat.wait(seconds=1)
        assert isinstance(seat.app.screen, BellScreen) and "STOP  -  R-001" in seat.text
        await seat.press("l")
        assert "STOP IT NOW" in seat.text and "STOP: layers stick to one another" in seat.text
        assert "!! Stop R-001 on D1 now" in seat.text
        seat.app.quiet_until = None
        await seat.wait(seconds=1)
        await seat.press("space")
        (tape,) = [one for one in seat.shelf.of_kind("pass").values() if one["reel"] == "R-001"]
        assert tape["state"] == "stopped"
        assert "STOP" not in seat.text
        await seat.go_to("transfer R-001")
        await seat.press("space")
        (tape,) = [one for one in seat.shelf.of_kind("pass").values() if one["reel"] == "R-001"]
        assert tape["state"] == "stopped"


async def test_a_tape_that_nobody_inspected_is_looked_at_by_the_key_that_would_play_it(
    book: Any, at_machine: Any
) -> None:
    blank = replace(book.shelf.reel("R-008"), condition=(), stage="identified")
    book.change(lambda shelf: shelf.with_reel(blank), what="nobody looked")
    async with at_machine(book) as seat:
        await seat.press("c", *["down"] * 7)  # on the chart the same
        assert "R-008 waits, its condition is not known" in seat.text
        await seat.press("space")
        assert "What is R-008?" in seat.text
        await seat.press("escape", "t")
        await seat.go_to("transfer R-008")
        await seat.press("space")
        if "calendar for the pocket" in seat.text:
            await seat.press("escape")
        if "start" in seat.text and "all the same" in seat.text:
            await seat.press("enter")
        assert "What is R-008?" in seat.text and not seat.passes()
        await seat.press("1", "pagedown", "enter")
        assert seat.shelf.reel("R-008").condition == ("ok",) and not seat.passes()
        assert "R-008: written down" in seat.text


def test_passes_of_one_tape_are_told_by_command_and_make_no_plan_old(
    book: Any, clock: Any, monkeypatch: Any, capfd: Any
) -> None:
    from tui.cli import main

    book.change(eight_inputs, what="eight inputs")
    unwound = replace(book.shelf.reel("R-001"), wind="heads")
    book.change(lambda shelf: shelf.with_reel(unwound), what="heads out")
    book.mark("R-001", "aligned")
    book.plans.keep_plan(book.plans.kept_plan())
    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)

    def told(*verbs: str) -> str:
        assert main(["tonight", *verbs]) == 0
        return "".join(capfd.readouterr())

    def number_of(step: str, listed: str) -> str:
        (number,) = (line.split()[0] for line in listed.splitlines() if line[3:].endswith(step))
        return number

    look = number_of("identify R-004", told())
    said = told("begin", look)  # out of its turn
    assert said.index("identify R-004") < said.index("transfer R-001")
    assert number_of("identify R-004  runs", said) == look, "a number stays with its step"
    told("skip", look, "--because", "later")
    number = number_of("transfer R-001", told())
    assert "transfer R-001  pass 1 of 3 runs" in told("begin", number)
    clock.on(minutes=32)
    said = told("end")  # what runs
    assert "transfer R-001: pass 1 of 3 is over; `tonight begin transfer R-001` plays the next" in said
    assert "patch tracks 1, 9-15, pass 2 of 3; track 1 in each; tails out: wind it first" in said
    assert "not wound or warmed as it was" not in said
    assert main(["tonight", "end", number]) == 1
    assert "pass 1 of 3 is over" in capfd.readouterr().err
    assert "pass 2 of 3 runs" in told("begin", "transfer", "R-001")


async def test_a_look_that_told_no_condition_is_still_to_be_made(book: Any, at_machine: Any) -> None:
    passed = replace(book.shelf.reel("R-004"), condition=(), stage="identified")
    book.change(lambda shelf: shelf.with_reel(passed), what="identified for a reason")
    async with at_machine(book) as seat:
        await seat.go_to("identify R-004")
        assert seat.app.screen.step.state == "waiting"
        await seat.press("space")
        if "calendar for the pocket" in seat.text:
            await seat.press("escape")
        await seat.press("space")
        assert "What is R-004?" in seat.text
        await seat.press("1", "pagedown", "enter")
        assert seat.shelf.reel("R-004").condition == ("ok",)
        steps = {one["kind"]: one["state"] for one in seat.shelf.of_kind("actual").values()}
        assert steps == {"identify": "done"}
