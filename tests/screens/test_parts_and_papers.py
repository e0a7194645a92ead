"""From the loose sheets to the parts by keys alone, and both onto paper."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from pypdf import PdfReader

from core.findings import Strip
from core.songs.song import Need, SheetRow
from core.workbook.workbook import Workbook


@pytest.fixture
def with_papers(book: Any) -> Any:
    """The made-up shelf with a bounce on a second reel, and two loose sheets."""
    rows = (
        SheetRow("T-2", 1, "R-008", "S-01", "1978", "rhythm", copied_from="R-001:1-3"),
        SheetRow("T-2", 2, "R-008", "S-01", "1978", "voice", "Ada Lind", "4"),
        SheetRow("L-1", 3, "", "S-01", "1978", "whistle", "Ada Lind", found_in="R-008"),
        SheetRow("L-2", 1, "", "", "", "[/] bells"),
    )
    book.change(lambda shelf: replace(shelf, sheets=(*shelf.sheets, *rows)), what="papers")
    return book


async def test_keys_lead_from_the_loose_sheets_to_a_parts_list_without_gaps(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    book = with_papers
    async with opened(book) as pilot:
        await pilot.press("s")
        await until(pilot, lambda: any("2 loose sheets" in line for line in seen(pilot.app)))
        await pilot.press("l")
        await until(pilot, lambda: any("L-1" in line and "R-008" in line for line in seen(pilot.app)))
        await pilot.press("space")
        await until(
            pilot, lambda: any(row.sheet == "L-1" and row.reel == "R-008" for row in book.shelf.sheets)
        )
        assert "proposed" in book.shelf.of_kind("sheet place")["L-1"]["because"]
        await until(pilot, lambda: any("Decided" in line for line in seen(pilot.app)))  # all worked out anew
        assert any("L-1 belongs to R-008. U takes it back" in line for line in seen(pilot.app))
        assert not any("No track sheet is loose" in line for line in seen(pilot.app))
        await pilot.press("up", "up", "down", "y")  # why a sheet lies where it does
        await until(pilot, lambda: any("because: proposed" in line for line in seen(pilot.app)))
        await pilot.press("escape", "v")  # from the sheet to the parts of its song
        await until(pilot, lambda: any("whistle" in line and "R-008:3" in line for line in seen(pilot.app)))
        shown = "\n".join(seen(pilot.app))
        assert "voice" in shown and "R-008:2" in shown and "timecode" not in shown
        assert "not used: R-008:1 (its sources are used: R-001:1-3)" in shown
        await pilot.press("y")
        await until(pilot, lambda: any("What else carries it" in line for line in seen(pilot.app)))
        await pilot.press("escape", "end", "y")  # what is open stands whole on a page
        await until(pilot, lambda: any("Low Tide: open" in line for line in seen(pilot.app)))
        await pilot.press("escape", "f")
        await until(pilot, lambda: any("bounce of R-001:1-3" in line for line in seen(pilot.app)))


async def test_copies_in_a_ring_are_told_whole_on_the_place(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    """As an older program could keep them: an import and every edit refuse them."""
    ring = (SheetRow("T-8", 9, "R-008", "S-01", part="a", copied_from="R-009:9"),
            SheetRow("T-9", 9, "R-009", "S-01", part="a", copied_from="R-008:9"))  # fmt: skip
    with_papers.change(lambda shelf: replace(shelf, sheets=(*shelf.sheets, *ring)), what="ring")
    async with opened(with_papers) as pilot:
        await pilot.press("s", "p")
        await until(pilot, lambda: any("copies in a ring" in line for line in seen(pilot.app)))
        told = " ".join(" ".join(seen(pilot.app)).split())
        assert "(R-008:9)" in told and "one of them is the oldest, empty its copied_from" in told


async def test_a_sheet_is_of_none_and_loose_again_and_undone(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    book = with_papers
    async with opened(book) as pilot:
        await pilot.press("f4")
        await until(pilot, lambda: any("L-2" in line for line in seen(pilot.app)))
        await pilot.press("x")
        await until(pilot, lambda: bool(book.shelf.of_kind("sheet place")))
        await until(pilot, lambda: any("of no tape we have" in line for line in seen(pilot.app)))

        def on_it() -> bool:  # the cursor goes along with the sheet that was decided
            return any(line.startswith("\u203a L-1") and "of no tape" in line for line in seen(pilot.app))

        await until(pilot, on_it)
        await pilot.press("u")
        await until(pilot, lambda: not book.shelf.of_kind("sheet place"))


async def test_a_foot_that_is_out_of_date_takes_nothing_else_back(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    book = with_papers
    async with opened(book) as pilot:
        await pilot.press("s", "l")
        await until(pilot, lambda: any("L-1" in line and "R-008" in line for line in seen(pilot.app)))
        await pilot.press("space")
        await until(pilot, lambda: any("L-1 belongs to R-008. U takes it back" in x for x in seen(pilot.app)))
        other = Workbook.open(book.path, book.now)  # another program
        other.change(lambda shelf: shelf.choosing("paper", "Letter"), what="paper is Letter")
        await pilot.press("u")
        await until(pilot, lambda: any("since then: paper is Letter" in line for line in seen(pilot.app)))
        assert book.shelf.chosen.paper_size == "Letter"
        await pilot.press("u")
        await until(pilot, lambda: any("taken back: paper is Letter" in line for line in seen(pilot.app)))
        await pilot.press("u")
        await until(pilot, lambda: any("taken back: sheet L-1 belongs" in line for line in seen(pilot.app)))


async def test_the_owner_chooses_the_bounce_by_key(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    book = with_papers
    async with opened(book) as pilot:
        await pilot.press("s", "p")
        await until(pilot, lambda: any("kick" in line and "R-001:1" in line for line in seen(pilot.app)))
        await pilot.press("e", "2")
        await until(pilot, lambda: any("kick" in line and "R-008:1*" in line for line in seen(pilot.app)))
        await until(pilot, lambda: any("snare" in line and "R-008:1" in line for line in seen(pilot.app)))
        assert any("kick: R-008:1 is used; in: R-008:1; out: R-001:1-3" in line for line in seen(pilot.app))
        await pilot.press("u")
        await until(pilot, lambda: any("kick" in line and "R-001:1 " in line for line in seen(pilot.app)))


async def test_two_names_are_one_part_by_key(with_papers: Any, opened: Any, seen: Any, until: Any) -> None:
    book = with_papers
    row = SheetRow("T-3", 1, "R-003", "S-01", part="kik drum", take="9")
    book.change(lambda shelf: replace(shelf, sheets=(*shelf.sheets, row)), what="another name")
    async with opened(book) as pilot:
        await pilot.press("s", "p", "m")
        await until(pilot, lambda: any("same part as kick?" in line for line in seen(pilot.app)))
        await until(pilot, lambda: any("1 kik drum" in line for line in seen(pilot.app)))  # the likeliest
        await pilot.press("1")
        await until(
            pilot, lambda: any("'kick' and 'kik drum' are one part" in line for line in seen(pilot.app))
        )


async def test_from_a_part_to_its_track_on_the_sheet(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    song = with_papers.shelf.song("S-01")
    long = replace(song, title="The Long Low Tide of the Year")
    with_papers.change(lambda shelf: shelf.with_song(long), what="a long title")
    async with opened(with_papers) as pilot:
        await pilot.press("s", "p")
        await until(pilot, lambda: " to hand" in seen(pilot.app)[0])  # the title is cut, never the figures
        assert "The Lo" in seen(pilot.app)[0] and "The Long Low Tide of the Year" not in seen(pilot.app)[0]
        await pilot.press("down", "enter")
        await until(pilot, lambda: any("track 2" in line and "snare" in line for line in seen(pilot.app)))


async def test_loose_sheets_are_found_as_one_types(
    with_papers: Any, opened: Any, typed: Any, seen: Any, until: Any
) -> None:
    async with opened(with_papers) as pilot:
        await pilot.press("slash")
        await typed(pilot, "whistle")
        await until(
            pilot, lambda: any("1 loose sheet answers too: L-1 (F4" in line for line in seen(pilot.app))
        )


async def test_the_songs_card_tells_the_family(with_papers: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(with_papers) as pilot:
        await pilot.press("s", "enter", "end")
        await until(pilot, lambda: any("bounce of R-001:1-3" in line for line in seen(pilot.app)))


async def test_parts_and_family_are_printed_by_one_key(
    with_papers: Any, opened: Any, until: Any, tmp_path: Any
) -> None:
    async with opened(with_papers) as pilot:
        pilot.app.print_folder = str(tmp_path)
        await pilot.press("s", "p", "p")
        await until(pilot, lambda: (tmp_path / "parts-S-01.pdf").is_file())
    (page,) = (page.extract_text() for page in PdfReader(tmp_path / "parts-S-01.pdf").pages)
    parts, _, family = page.partition("Family")
    assert "Parts: Low Tide" in parts and "R-001:1" in parts and "its sources are used" in parts
    assert "bounce of R-001:1-3" in family


def test_loose_sheets_are_printed_with_the_rest(with_papers: Any, tmp_path: Any) -> None:
    from core.paper.shelf.loose_sheets import loose_sheet_list
    from core.paper.shelf.track_sheet import track_sheets
    from core.sheets.proposals import papers_of

    shelf, made = with_papers.shelf, with_papers.now()
    (tmp_path / "a.pdf").write_bytes(loose_sheet_list(shelf, papers_of(shelf, {}), made=made))
    (tmp_path / "b.pdf").write_bytes(track_sheets(shelf, (), made=made, loose=True))
    listed = PdfReader(tmp_path / "a.pdf").pages[0].extract_text()
    assert "L-1" in listed and "R-008" in listed and "found in that box" in listed
    grids = "\n".join(page.extract_text() for page in PdfReader(tmp_path / "b.pdf").pages)
    assert "whistle" in grids and "[/] bells" in grids


def _levels(seconds: int, *spans: tuple[int, int]) -> dict[str, Any]:
    """A strip of sixteen tracks, a column a second: all of them sound in those spans."""
    row = bytearray([255] * seconds)
    for first, last in spans:
        row[first:last] = bytes([40] * (last - first))
    rows = tuple([bytes(row)] * 16)
    return Strip(float(seconds), tuple(range(1, 17)), seconds, rows, rows).to_json()


async def test_a_stretch_that_sounds_is_made_a_songs_span_by_one_key(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    book = with_papers
    check = {"reel": "R-001", "pass": 1, "tracks": list(range(1, 17)), "seconds": 500.0, "verdict": "pass",
             "files": [], "findings": [], "channels": [], "timecode": [], "at": "2026-11-20"}  # fmt: skip

    def captured(shelf: Any) -> Any:
        """R-001 is captured, and its sheet has a span that leaves its second song bare."""
        song = shelf.songs["S-01"]
        spanned = replace(song, needs=(Need("R-001", Fraction(10), Fraction(200)), Need("R-003")))
        strip = _levels(500, (10, 200), (230, 480))
        shelf = shelf.with_song(spanned).with_record("check", "R-001 pass 1", check)
        return shelf.with_record("strip", "R-001 pass 1", strip)

    book.change(captured, what="captured")
    async with opened(book) as pilot:
        await pilot.press("f4")
        await until(
            pilot,
            lambda: any("R-001 3:50-8:00, 4:10 long, 16 tracks sound" in line for line in seen(pilot.app)),
        )
        await pilot.press("end", "space")
        await until(pilot, lambda: any("Which song is R-001 3:50-8:00?" in line for line in seen(pilot.app)))
        await pilot.press("2")
        need = Need("R-001", Fraction(230), Fraction(480))
        await until(pilot, lambda: need in book.shelf.songs["S-02"].needs)
        await pilot.press("u")
        await until(pilot, lambda: need not in book.shelf.songs["S-02"].needs)


async def test_the_loose_sheets_listen_by_one_key_and_say_where_nothing_is_there_to_hear(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(with_papers) as pilot:
        await pilot.press("f4")
        await until(pilot, lambda: any("L-2" in line for line in seen(pilot.app)))
        await pilot.press("h")
        await until(pilot, lambda: any("Listen for what?" in line for line in seen(pilot.app)))
        await pilot.press("1")
        await until(pilot, lambda: any("of every stretch that sounds the song is told" in line
                                       for line in seen(pilot.app)))  # fmt: skip
        await pilot.press("h")
        await until(pilot, lambda: any("Listen for what?" in line for line in seen(pilot.app)))
        await pilot.press("2")
        await until(pilot, lambda: any("sharing wants two or more" in line for line in seen(pilot.app)))


async def test_a_wide_terminal_has_beside_each_place_what_hangs_on_the_line_under_the_cursor(
    with_papers: Any, opened: Any, seen: Any, until: Any
) -> None:
    """The right third of loose sheets, parts, a song's clock and the studio; none of it in a narrow one."""

    def beside(pilot: Any) -> str:
        return " ".join(" ".join(line.partition("│")[2].split()) for line in seen(pilot.app))

    for size in ((120, 40), (80, 24)):
        wide = size[0] > 100
        async with opened(with_papers, size) as pilot:
            await pilot.press("s", "l")
            await until(pilot, lambda: any("L-1" in line and "R-008" in line for line in seen(pilot.app)))
            assert ("found in the box of R-008" in beside(pilot)) is wide
            assert ("3 whistle" in beside(pilot)) is wide, "what is written on the sheet"
            pilot.app.open_door("parts", "S-01")
            await until(pilot, lambda: any("kick" in line for line in seen(pilot.app)))
            assert ("Used" in beside(pilot) and "first recording" in beside(pilot)) is wide
            pilot.app.open_door("in time", "S-01")
            await until(
                pilot, lambda: any("zero is" in line or "no tape" in line for line in seen(pilot.app))
            )
            pilot.app.switch_mode("studio")
            await until(pilot, lambda: any("setup minutes" in line for line in seen(pilot.app)))
            listed = pilot.app.screen.query_one("FieldList")
            listed.cursor = next(n for n, one in enumerate(listed.lines) if one.name == "deck 0 id")
            await until(pilot, lambda wide=wide: ("What hangs on it" in beside(pilot)) is wide)
            assert ("of those still to be played" in beside(pilot)) is wide
