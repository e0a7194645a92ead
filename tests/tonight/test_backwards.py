"""A tape that lies tails out runs backwards where the deck's row allows it; its files are turned round.

What the turned files hold is held against the captured ones as libsndfile (soundfile) and numpy read both.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import soundfile


def both_ways(book: Any) -> None:
    """D1 plays both ways, and R-001 stands aligned."""
    decks = tuple(replace(one, reverse_play=one.id == "D1") for one in book.shelf.studio.decks)
    studio = replace(book.shelf.studio, decks=decks)
    book.change(lambda shelf: replace(shelf, studio=studio), what="D1 plays both ways")
    tails = replace(book.shelf.reel("R-001"), wind="tails")
    book.change(lambda shelf: shelf.with_reel(tails), what="tails")
    book.mark("R-001", "aligned")


async def test_it_is_offered_before_the_pass_and_places_count_from_the_tail(
    book: Any, at_machine: Any, tmp_path: Path
) -> None:
    before = book.plans.kept_plan()
    both_ways(book)
    async with at_machine(book) as seat:
        assert "plans again" not in seat.text, "a deck that plays both ways moves nothing of the plan"
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape")  # no calendar
        text = " ".join(seat.text.replace("│", "").split())
        assert "R-001 lies tails out: which way does it play?" in text
        assert "saves a wind of 8 min" in text and "it lies heads out then" in text
        await seat.press("2")
        assert "from the tail" in seat.text and seat.passes()[0].get("backwards") is True
        await seat.wait(minutes=4)
        await seat.press("6")  # what sounds first is the end of the last song
        await seat.wait(minutes=4)
        await seat.press("7")
        await seat.wait(minutes=4)
        await seat.press("1")
        await seat.press("e", "1", "g")
        await seat.wait(minutes=20, seconds=10)  # 12:00 stopped, on from 11:50: the end at 32:00
        await seat.press("space")
        assert "24:00-28:00" in seat.text, "the song's place, from the tape's head"
        await seat.press("escape")
        assert "heads out; D K turns its files. U takes it back" in " ".join(seat.text.split())
        assert seat.shelf.reel("R-001").wind == "heads" and seat.shelf.reel("R-001").stage == "transferred"
        notes = {one["kind"]: one["seconds"] for one in seat.shelf.of_kind("timed note").values()}
        notes = {kind: at for kind, at in notes.items() if kind in ("song start", "song end", "dropout")}
        # 32:00 long: what was heard at 4:00, 8:00 and 12:00 from the tail; starts and ends change places.
        assert notes == {"song end": 1680.0, "song start": 1440.0, "dropout": 1200.0}
        book.change(lambda shelf: _checked(shelf, "as captured"), what="checked")
        await seat.wait(seconds=1)
        await seat.go_to("verify R-001")
        text = " ".join(seat.text.split())
        assert "played backwards and its files are not turned round: D K turns them; then check" in text
        await seat.press("space")
        await seat.wait(minutes=2)
        await seat.press("space")
        assert "verify R-001: all the same?" in seat.text and "turn them" in seat.text
        assert "(because ...)" in seat.text, "a hint stands in brackets: nobody typed it"
        await seat.press("escape")
        book.change(lambda shelf: _turned_too(_checked(shelf, "turned")), what="turned, and checked")
        await seat.wait(seconds=1)
        assert "not turned round" not in seat.text
        await seat.press("h")
        assert "R-001 heads out: wound at play speed" in seat.text
        await seat.press("escape", "i")
        assert "the tape is on the supply reel, heads out" in seat.text
    assert before is not None and book.plans.kept_plan().number == before.number
    _turned(book, tmp_path)


async def test_where_the_key_for_its_end_came_late_places_are_by_the_length_that_counts(
    book: Any, at_machine: Any
) -> None:
    both_ways(book)
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape", "2")
        await seat.wait(minutes=4)
        await seat.press("1")  # a dropout at 4:00 from the tail
        await seat.wait(minutes=32)
        await seat.press("space")
        assert "it ran 36:00, reckoned 32:00" in seat.text, seat.text
        await seat.press("escape")
        notes = [one for one in seat.shelf.of_kind("timed note").values() if one["reel"] == "R-001"]
        assert [one["seconds"] for one in notes if one["kind"] == "dropout"] == [1680.0]
        assert seat.passes()[0]["pieces"][-1]["to"] == 1920.0
        await seat.press("u")
        notes = [one for one in seat.shelf.of_kind("timed note").values() if one["reel"] == "R-001"]
        assert [one["seconds"] for one in notes if one["kind"] == "dropout"] == [1920.0]


def _checked(shelf: Any, digest: str) -> Any:
    """The check of the pass as it is kept: remarks that leave nothing open, of files with that digest."""
    check = {"reel": "R-001", "pass": 1, "verdict": "remarks", "tracks": list(range(1, 17)), "findings": []}
    return shelf.with_record("check", "R-001 pass 1", {**check, "files": [{"sha256": digest}]})


def _turned_too(shelf: Any) -> Any:
    files = [{"source": "a.wav", "path": "b.wav", "sha256": "turned"}]
    told = {"reel": "R-001", "number": 1, "at": "2026-12-01T20:00:00+00:00", "files": files}
    return shelf.with_record("turned", "R-001 pass 1", told)


def _turned(book: Any, tmp_path: Path) -> None:
    """Two pieces of two tracks: the last piece comes first, every sample is the captured one, last first."""
    rng = np.random.default_rng(7)
    whole = (rng.standard_normal((96_000, 2)) * 0.1 * 2**23).astype(np.int32) << 8
    paths = []
    for name, piece in (("R-001 1a.wav", whole[:50_000]), ("R-001 1b.flac", whole[45_000:])):
        paths.append(tmp_path / name)
        soundfile.write(paths[-1], piece, 48_000, subtype="PCM_24")
    bytes_before = [path.read_bytes() for path in paths]
    made = book.captures.turn_round("R-001", paths)
    assert [path.read_bytes() for path in paths] == bytes_before
    read = [soundfile.read(one.path, dtype="int32")[0] for one in made.files]
    assert [Path(one.source).name for one in made.files] == ["R-001 1b.flac", "R-001 1a.wav"]
    assert np.array_equal(read[0], whole[45_000:][::-1]) and np.array_equal(read[1], whole[:50_000][::-1])
    assert [Path(one.path).name for one in made.files] == sorted(Path(one.path).name for one in made.files)
    told = [event.note for event in book.reel_history() if "turned round" in event.note]
    assert told and "pass 1 was played backwards" in told[0]
    # A check says so of the turned ones, and asks for it of those that were not.
    files = [Path(one.path) for one in made.files]
    found = book.captures.check("R-001", files, tracks=(1, 2), keep=False)
    mine = [one for one in found.findings if one.kind == "reversed"]
    assert [one.weight for one in mine] == ["note"] and "turned round" in mine[0].says
    raw = book.captures.check("R-001", paths[:1], tracks=(1, 2), keep=False)
    assert [one.weight for one in raw.findings if one.kind == "reversed"] == ["remark"]
    assert book.handing_out.found_captures("R-001", 1) == files


async def test_it_is_not_offered_by_a_deck_that_does_not_or_of_a_tape_that_lies_otherwise(
    book: Any, at_machine: Any
) -> None:
    both_ways(book)
    heads = replace(book.shelf.reel("R-001"), wind="heads")
    book.change(lambda shelf: shelf.with_reel(heads), what="heads")
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        assert "or play it backwards" not in seat.text
        await seat.press("space", "escape")
        assert seat.passes() and not seat.passes()[0].get("backwards")


def test_the_commands_begin_it_and_tick_what_was_put_back(
    book: Any, clock: Any, monkeypatch: Any, capfd: Any
) -> None:
    from tui.cli import main

    monkeypatch.setenv("REELTURN_SHELF", str(book.path))
    monkeypatch.setattr("tui.commands.command.now", clock)
    begin = ("tonight", "begin", "transfer", "R-001", "--backwards")
    book.mark("R-001", "aligned")
    assert main([*begin]) == 1 and "does not run backwards" in capfd.readouterr().err
    both_ways(book)
    assert main([*begin]) == 0
    clock.on(minutes=32)
    assert main(["tonight", "end", "transfer", "R-001"]) == 0
    book.reload()
    assert book.shelf.reel("R-001").wind == "heads"
    capfd.readouterr()
    assert main(["closing", "--back"]) == 0
    out = capfd.readouterr().out
    assert "R-001 heads out: wound at play speed, tails out (back 19:32)" in out
    assert "played backwards, their files still to be turned round: R-001" in out
    assert main(["closing", "--back", "R-404"]) == 1
    assert main(["mark", "R-001", "verified"]) == 1  # nothing is checked yet: that is said first all the same
    assert "played backwards and its files are not turned round" in capfd.readouterr().err
    book.change(lambda shelf: _checked(shelf, "as captured"), what="checked")
    assert main(["mark", "R-001", "verified"]) == 1
    told = capfd.readouterr().err
    assert "played backwards and its files are not turned round: turn them (reelturn turn R-001" in told
    book.change(lambda shelf: _turned_too(_checked(shelf, "turned")), what="turned, and checked")
    assert main(["mark", "R-001", "verified"]) == 0
    assert main(["closing"]) == 0 and "turned round" not in capfd.readouterr().out


def test_channels_change_places_where_the_reel_was_turned_over(run_turn: Any, tmp_path: Path) -> None:
    sound = np.array([[1, 2, 3], [4, 5, 6]], np.int16)
    for subtype, dtype in (("PCM_16", "int16"), ("FLOAT", "float32")):
        path = tmp_path / f"R-001 {subtype}.wav"
        soundfile.write(path, sound if dtype == "int16" else sound / np.float32(8), 48_000, subtype=subtype)
        out, err = run_turn("R-001", str(path), "--turned-over")
        made, _ = soundfile.read(out.strip(), dtype=dtype)
        assert (made == (sound[::-1, ::-1] if dtype == "int16" else sound[::-1, ::-1] / np.float32(8))).all()
        assert "originals are untouched" in err
        _, err = run_turn("R-001", str(path))
        assert "is there already, and was not touched" in err


async def test_paper_and_calendar_tell_of_a_pass_that_ran_from_the_tail_as_the_screen_does(
    book: Any, at_machine: Any, tmp_path: Path
) -> None:
    from pypdf import PdfReader

    both_ways(book)
    async with at_machine(book) as seat:
        await seat.go_to("transfer R-001")
        await seat.press("space", "escape", "2")
        await seat.wait(minutes=32)
        await seat.press("space", "escape")
        assert seat.shelf.reel("R-001").wind == "heads"
    event = book.papers.calendar().decode().replace("\r\n ", "")
    left = event[event.index("Before you leave") :] if "Before you leave" in event else event
    assert "R-001 heads out: wound at play speed\\, tails out" in left
    assert "still to be turned round: R-001" in left
    (log, *more) = book.papers.reel(tmp_path, key="R-001")
    text = "".join(page.extract_text() for one in (log, *more) for page in PdfReader(one).pages)
    assert "from the tail, end" in " ".join(text.split())
    text = "".join(
        page.extract_text() for one in book.papers.tonight(tmp_path) for page in PdfReader(one).pages
    )
    assert "R-001 heads out: wound at play speed, tails out" in " ".join(text.split())
