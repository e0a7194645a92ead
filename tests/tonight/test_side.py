"""A wide terminal's right third: what to fetch, the tracks and notes of the pass; none in a narrow one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any


async def test_what_to_fetch_then_tracks_and_notes(book: Any, at_machine: Any) -> None:
    async with at_machine(book, size=(120, 40)) as seat:
        assert "│ To fetch, along the shelf" in seat.text
        at = seat.text.index
        assert at("│ A1") < at("│   R-001 Low Tide / Lanterns") < at("│ shelf D1") < at("│   CAL-1")
        assert at("│   CAL-1") < at("│ Tracks of R-001") < at("│  1 kick"), "to patch before it is threaded"
        await seat.press("space", "escape")
        await seat.wait(minutes=15)
        await seat.press("space")
        assert "│ Tracks of R-001" in seat.text and "│  1 kick" in seat.text
        await seat.press("space")  # the tape runs
        assert "│ Notes of pass 1: none yet" in seat.text
        await seat.wait(minutes=3)
        await seat.press("n", "1")
        assert "│ 3:00 dropout" in seat.text
        assert "CAL-1" not in "".join(line.partition("│")[2] for line in seat.text.split("\n"))


async def test_a_narrow_terminal_has_no_third_to_spare(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        assert "To fetch, along the shelf" not in seat.text
        assert "line up D1 to 15 ips NAB 250 nWb/m" in seat.text


async def test_at_eighty_columns_the_facts_of_the_step_are_told_whole(book: Any, at_machine: Any) -> None:
    words = "the leader joint at the head is dry, wind it by hand as far as the first white leader tape"
    reel = replace(book.shelf.reel("R-001"), notes=words)
    book.change(lambda shelf: shelf.with_reel(reel), what="note")
    async with at_machine(book) as seat:
        await seat.press("space", "escape")
        await seat.wait(minutes=15)
        await seat.press("space")
        told = " ".join(seat.text.split())
        assert words in told  # before the tape runs
        assert not any(line.endswith("..") for line in seat.text.split("\n"))


async def test_a_reels_card_shows_songs_tracks_and_notes_beside_its_fields(
    book: Any, at_machine: Any, clock: Any
) -> None:
    from core.logbook.passes import TapeNote, with_note

    book.change(lambda s: with_note(s, TapeNote("R-001", 1, book.now(), 300.0, "dropout")), what="note")
    for size, there in (((120, 40), True), ((80, 24), False)):
        async with at_machine(book, size=size) as seat:
            seat.app.open_door("reel", "R-001")
            await seat.settle()
            text = seat.text
            assert ("│ Its songs" in text and "│  1 kick" in text and "│ 5:00 dropout" in text) is there
            assert "box label" in text


async def test_a_songs_card_shows_where_it_lies_and_what_its_tracks_carry(book: Any, at_machine: Any) -> None:
    async with at_machine(book, size=(120, 40)) as seat:
        seat.app.open_door("song", "S-01", ("S-01",))
        await seat.settle()
        told = "\n".join(line.partition("│")[2] for line in seat.text.split("\n"))
        assert "R-001 0:40-5:10" in told and "Tracks of R-001" in told and " 1 kick" in told
    async with at_machine(book) as seat:
        seat.app.open_door("song", "S-01", ("S-01",))
        await seat.settle()
        assert "Tracks of R-001" not in seat.text
