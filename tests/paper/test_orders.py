"""Printed evenings, read back by an independent PDF library."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from io import BytesIO
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from pypdf import PdfReader

from core.clock import later
from core.errors import Unusable
from core.evening.mark import line_up
from core.paper.evening.orders import print_orders
from core.paper.evening.work_order import work_order
from core.paper.look.evenings import evenings
from core.paper.look.files import safe_name
from core.plan import Item, Plan
from core.shelf import Shelf

SAMPLES = str(Path(__file__).with_name("conftest.py"))
Words = Callable[[bytes], str]


@pytest.fixture(scope="module")
def printed(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("orders")
    return {path.name: path.read_bytes() for path in print_orders(shelf, plan, folder, made=made)}


def test_there_is_a_sheet_for_every_evening_and_one_of_the_weeks(printed: dict[str, bytes]) -> None:
    assert list(printed) == [
        "order-2026-12-01.pdf",
        "order-2026-12-03.pdf",  # the chamber's empty run, and nothing else
        "order-2026-12-05.pdf",
        "order-2026-12-07.pdf",
        "order-2026-12-08.pdf",
        "weeks-from-2026-12-01.pdf",
    ]


def test_the_evening_tells_every_step_with_its_clock_time(printed: dict[str, bytes], words: Words) -> None:
    text = " ".join(words(printed["order-2026-12-01.pdf"]).split())
    for line in (
        "Work order, Tue 1 Dec 2026",
        "19:00",
        "Identify R-004",
        "Line up D1 to 15 ips NAB 250 nWb/m",
        "touch-up, with CAL-1",
        "Transfer R-001",
        "pass 1, tracks 1-16: 19:32 to 20:06",
        "Verify R-001",
        "Shelf A2",
        "loud until 22:00",
    ):
        assert line in text


def test_an_order_printed_in_mid_evening_lists_what_is_left_and_says_what_is_done(
    shelf: Shelf, plan: Plan, made: datetime, words: Words, tmp_path: Path
) -> None:
    from core.evening.tonight.planned_step import item_step
    from core.evening.tonight.steps import finish_step, start_step
    from core.paper.evening.calendar import calendar

    look, align = (item_step(one) for one in plan.items[:2])
    when = align.planned.start
    lined = finish_step(start_step(shelf, align, when), align, align.planned.end)
    now = later(align.planned.end, minutes=5)
    text = " ".join(words(print_orders(lined, plan, tmp_path, made=now)[0].read_bytes()).split())
    assert f"Done already: line up D1 {align.planned.end:%H:%M}" in text
    assert "Line up D1 to" not in text and "Identify R-004" in text and "Transfer R-001" in text
    # what was looked at on another evening is neither fetched nor listed, on paper and in the calendar
    seen = lined.with_reel(replace(lined.reel("R-004"), condition=("ok",), stage="identified"))
    first = print_orders(seen, plan, tmp_path, made=now)[0].read_bytes()
    text = " ".join(words(first).split())
    assert "Done already: identify R-004 and line up D1" in text and "Identify R-004" not in text
    assert "R-004" not in text.partition("Step by step")[0].partition("Done already")[0], "nor fetched"
    told = calendar(seen, plan, now).decode().replace("\r\n ", "")
    assert "Identify R-004" not in told and "Identify R-004" in calendar(lined, plan, now).decode()
    assert look.subject == "R-004"


def test_a_line_up_that_stood_before_its_time_is_no_step_once_the_bench_is_over(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """Made 19:25; a plan of mid evening has it anew at 21:10; told at 22:45, behind the bench's end."""
    from core.paper.evening.calendar import calendar
    from tui.board.evenings import item_words

    (align,) = [one for one in plan.items if one.kind == "align" and one.start.day == 1]
    (look,) = [one for one in plan.items if one.kind == "identify"]
    deck = shelf.studio.deck("D1")
    assert deck is not None and align.setup
    tape = shelf.reel("R-001")
    stands = line_up(shelf, deck, tape.setup, align.end)
    again = replace(align, start=later(align.start, hours=2), end=later(align.end, hours=2), calibration="")
    for items in ((again,), (look, again)):
        told = calendar(stands, replace(plan, items=items), later(align.start, hours=3, minutes=35)).decode()
        assert "Line up D1" not in told.replace("\r\n ", "")
    assert "stands at 15 ips NAB 250 nWb/m already" in item_words(stands, again, plan)
    assert "touch-up" in item_words(shelf, again, plan)


def test_an_evening_of_a_line_up_alone_fetches_no_tape_and_speaks_of_no_chamber(
    shelf: Shelf, plan: Plan, made: datetime, words: Words, tmp_path: Path
) -> None:
    (align,) = [one for one in plan.items if one.kind == "align" and one.start.day == 1]
    alone = replace(plan, items=(replace(align, reel="", calibration=""),))
    first, *_ = print_orders(shelf, alone, tmp_path, made=made)
    text = " ".join(words(first.read_bytes()).split())
    assert "Nothing: no tape is touched tonight." in text, text
    assert "is in a chamber" not in text


def test_a_line_up_says_which_deck_it_is_for_whoever_has_only_the_paper(
    shelf: Shelf, plan: Plan, made: datetime, words: Words, tmp_path: Path
) -> None:
    def told(there: Shelf, folder: str) -> str:
        first, *_ = print_orders(there, plan, tmp_path / folder, made=made)
        return " ".join(words(first.read_bytes()).split())

    assert "D1 is the deck for 1 in, 24 tracks" in told(shelf, "two")
    one = replace(shelf, studio=replace(shelf.studio, decks=shelf.studio.decks[:1]))
    assert "is the deck for" not in told(one, "one")  # of one deck nobody asks which


def test_what_was_told_is_no_assumption_and_what_was_heard_needs_no_word(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    def told(there: Shelf) -> str:
        return " ".join(words(work_order(there, plan, evenings(there, plan)[0], made=made)).split())

    reel = shelf.reel("R-001")
    setup = " ".join(filter(None, reel.setup.words().values()))
    assert f"{setup} (not heard yet)" in told(shelf) and "assumed)" not in told(shelf)
    heard = shelf.with_reel(replace(reel, heard=made))
    assert setup in told(heard) and f"{setup} (" not in told(heard)
    likely = replace(shelf, studio=replace(shelf.studio, assume_level=reel.level))
    blank = likely.with_reel(replace(reel, level=None, heard=made))
    assert f"{setup} (level assumed)" in told(blank)


def test_what_of_a_set_up_is_not_known_is_not_called_assumed(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    blank = replace(shelf.reel("R-001"), eq="", level=None)
    order = words(work_order(shelf.with_reel(blank), plan, evenings(shelf, plan)[0], made=made))
    assert "15 ips (not heard yet), equalisation and level not known" in " ".join(order.split())


def test_every_page_names_plan_shelf_and_its_number(printed: dict[str, bytes]) -> None:
    for pdf in printed.values():
        pages = PdfReader(BytesIO(pdf)).pages
        for number, page in enumerate(pages, start=1):
            text = page.extract_text()
            assert f"page {number} of {len(pages)}" in text
            assert "Printed Tue 1 Dec 2026 18:52 from plan 12, made Tue 1 Dec 2026 18:40" in text
            assert "shelf quay, revision 41" in text


def test_a_load_tells_every_turn_and_each_reels_place(printed: dict[str, bytes], words: Words) -> None:
    text = " ".join(words(printed["order-2026-12-05.pdf"]).split())
    for line in (
        "Load chamber C1: R-002 and R-003",
        "11:00",
        "13:00",
        "15:00",
        "17:00",
        "Take out of C1: R-003; turn R-002",
        "place 1 stays empty: a fan's motor may be under it",
        "second thermometer",
        "place 4-5, over",
        "cools until Sun 6 Dec 01:00",
        "Conditioning log, chamber C1",
        "from 52 to 56 °C",
        "Above 60 °C: switch off",
    ):
        assert line in text


def test_cautions_are_those_of_the_evenings_work(printed: dict[str, bytes], words: Words) -> None:
    heat = words(printed["order-2026-12-05.pdf"])
    bench = words(printed["order-2026-12-07.pdf"])
    assert "extinguisher" in heat and "extinguisher" not in bench
    assert "Isopropyl" in bench and "Isopropyl" not in heat
    assert "blades" in bench and "blades" not in heat
    for text in (heat, bench):
        assert "Local rules, the appliance's own instructions and people licensed" in " ".join(text.split())


def test_a_full_line_up_says_that_the_helper_is_needed(printed: dict[str, bytes], words: Words) -> None:
    assert "helper 19:00 to 22:00, needed" in words(printed["order-2026-12-08.pdf"])


def test_passes_of_many_tracks_carry_the_guide_track(printed: dict[str, bytes], words: Words) -> None:
    text = " ".join(words(printed["order-2026-12-08.pdf"]).split())
    assert "pass 2, tracks 1, 17-24" in text


def test_the_line_up_sheet_has_a_target_and_a_blank_for_every_track_that_is_played(
    printed: dict[str, bytes], words: Words
) -> None:
    text = " ".join(words(printed["order-2026-12-01.pdf"]).split())
    assert "Line-up, D1 to 15 ips NAB 250 nWb/m" in text
    assert "track 1 2 3 4 5 6 7 8" in text and "track 9 10 11 12 13 14 15 16" in text
    assert "tr. 17" not in text
    assert "1 kHz level" in text and "+0.0" in text


def test_text_that_looks_like_markup_is_printed_as_it_is(printed: dict[str, bytes], words: Words) -> None:
    text = " ".join(words(printed["order-2026-12-01.pdf"]).split())
    assert "<b>unclosed & <img src='/etc/passwd'/> {{x}} %s \\N" in text


def test_titles_in_any_script_are_on_the_page(printed: dict[str, bytes], words: Words) -> None:
    text = words(printed["order-2026-12-05.pdf"])
    assert "潮騒の歌" in text and "파도" in text
    assert "תולוק" in text or "קולות" in text


def test_the_same_plan_prints_the_same_bytes_in_another_process(
    printed: dict[str, bytes], tmp_path: Path
) -> None:
    code = (
        "import importlib.util, sys, pathlib\n"
        f"spec = importlib.util.spec_from_file_location('samples', {SAMPLES!r})\n"
        "made = importlib.util.module_from_spec(spec); spec.loader.exec_module(made)\n"
        "from core.paper.evening.orders import print_orders\n"
        "shelf, folder = made.a_shelf_with_every_sheet(), pathlib.Path(sys.argv[1])\n"
        "print_orders(shelf, made.a_plan(), folder, made=made.at(1, '18:52'))\n"
    )
    env = {"PYTHONHASHSEED": "7", "PATH": "/usr/bin", "PYTHONPATH": str(Path(__file__).parents[2])}
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "again")], check=True, env=env)
    for name, pdf in printed.items():
        assert (tmp_path / "again" / name).read_bytes() == pdf


def test_the_file_is_dated_by_the_moment_of_printing(printed: dict[str, bytes]) -> None:
    for pdf in printed.values():
        told = PdfReader(BytesIO(pdf)).metadata
        assert told is not None and told.creation_date_raw == "D:20261201185200+00'00'"


@pytest.mark.parametrize(("size", "box"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_all_text_stays_inside_the_page(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path, size: str, box: tuple[int, int]
) -> None:
    paths = print_orders(shelf, plan, tmp_path, size=size, made=made)
    for path in paths:
        for page in PdfReader(path).pages:
            assert (round(page.mediabox.width), round(page.mediabox.height)) == box
            starts: list[tuple[float, float]] = []

            def seen(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
                if text.strip():
                    starts.append((tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]))  # noqa: B023

            page.extract_text(visitor_text=seen)
            assert starts
            assert all(0 < x < box[0] - 20 and 20 < y < box[1] - 20 for x, y in starts)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="a second reader, where it is installed")
def test_a_second_reader_finds_no_word_beyond_the_margins(printed: dict[str, bytes], tmp_path: Path) -> None:
    import re

    for name, pdf in printed.items():
        (tmp_path / name).write_bytes(pdf)
        boxes = subprocess.run(
            ["pdftotext", "-bbox", name, "-"], cwd=tmp_path, capture_output=True, text=True
        )
        words = re.findall(r'<word xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)"', boxes.stdout)
        assert words
        assert all(float(left) >= 38 and float(right) <= 595.3 - 38 for left, right in words)


def test_a_load_that_runs_already_goes_on_where_its_reels_lie(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    load = plan.items[4]
    noon = later(load.start, hours=3)
    running = replace(load, touches=tuple(touch for touch in load.touches if touch.start >= noon))
    inside = [replace(shelf.reel(key), chamber=load.chamber, loaded_at=load.start) for key in load.reels]
    shelf = shelf.with_reel(*inside)
    path = print_orders(shelf, replace(plan, start=noon, items=(running,)), tmp_path, made=made)[0]
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]
    assert "Load chamber" not in pages[0] and "11:00" not in pages[0]
    assert pages[0].index("13:00 take out R-003") < pages[0].index("turn R-002 place 4-5 place 2-3, over")
    assert "take out R-002 place 4-5" not in pages[0]  # it stays in the heat
    log = next(text for text in pages if "Conditioning log" in text)
    assert "09:00" in log and "17:00" in log


def test_nothing_at_all_still_prints_a_page(
    empty: tuple[Shelf, Plan], made: datetime, tmp_path: Path
) -> None:
    shelf, plan = empty
    (path,) = print_orders(shelf, plan, tmp_path, made=made)
    assert "Nothing is planned in these days." in PdfReader(path).pages[0].extract_text()


def test_a_stale_plan_says_so_on_every_page(shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path) -> None:
    says = "The shelf has changed since this plan was made: plan again."
    for path in print_orders(shelf, plan, tmp_path, made=made, stale=says):
        assert all(says in page.extract_text() for page in PdfReader(path).pages)


def test_a_reel_that_left_the_shelf_is_named_as_such(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    bare = replace(shelf, reels={key: reel for key, reel in shelf.reels.items() if key != "R-001"})
    path = print_orders(bare, plan, tmp_path, made=made)[0]
    assert "not on the shelf any more" in PdfReader(path).pages[0].extract_text()


def test_a_night_on_which_the_clock_goes_back_names_the_zone(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    start = datetime(2026, 10, 25, 0, 30, tzinfo=ZoneInfo("Europe/Lisbon"))
    night = Item("transfer", start, later(start, minutes=110), "R-001", "D1", 1)
    path = print_orders(shelf, replace(plan, items=(night,), start=start), tmp_path, made=made)[0]
    text = " ".join(PdfReader(path).pages[0].extract_text().split())
    assert "Sat 24 Oct 2026" in text and "00:30" in text and "01:20 WET" in text


def test_a_letter_that_cannot_be_printed_is_named_at_the_foot(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    odd = shelf.with_reel(replace(shelf.reels["R-001"], contents="Low Light \U0001f3b5"))
    pages = PdfReader(print_orders(odd, plan, tmp_path, made=made)[0]).pages
    assert "stands for what could not be printed: U+1F3B5 musical note" in pages[-1].extract_text()


def test_a_folder_that_cannot_be_written_to_is_one_clear_line(
    shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path
) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file")
    with pytest.raises(Unusable, match="cannot print into"):
        print_orders(shelf, plan, taken, made=made)


def test_an_unknown_paper_size_is_refused(shelf: Shelf, plan: Plan, made: datetime, tmp_path: Path) -> None:
    with pytest.raises(Unusable, match="not one of A4 and Letter"):
        print_orders(shelf, plan, tmp_path, size="B5", made=made)


def test_names_of_files_are_plain_and_never_alike() -> None:
    assert safe_name("R-001") == "R-001"
    for text in ("../../etc/passwd", "a/b", "a b", "潮", "", "x" * 200, "..", "CON|<>?*"):
        name = safe_name(text)
        assert name and all((letter.isalnum() and letter.isascii()) or letter == "-" for letter in name)
    assert len({safe_name(text) for text in ("a/b", "a b", "a:b", "潮", "歌")}) == 5


def said_on(printed: dict[str, bytes], words: Words, day: str) -> str:
    """The work order's text of that date, its lines joined."""
    return " ".join(words(printed[f"order-2026-12-{day}.pdf"]).split())


#: What must be read where its work is on the sheet, and not where it is not.
ON_THE_SHEET = {
    "condition": ("smoke alarm", "fire blanket", "RCD", "motor of a food dryer"),
    "repair": ("Lighter fuel", "closed metal bin"),
    "align": ("pacemaker", "a metre away slowly", "Isopropyl of 99 %", "rubber rollers"),
}  # fmt: skip


@pytest.mark.parametrize("kind", ON_THE_SHEET)
def test_a_caution_is_read_where_its_work_is_and_nowhere_else(
    shelf: Shelf, plan: Plan, printed: dict[str, bytes], words: Words, kind: str
) -> None:

    kinds = {"load": "condition", "turn": "condition", "take out": "condition"}
    met = set()
    for evening in evenings(shelf, plan):
        there = kind in {kinds.get(step.kind, step.kind) for step in evening.steps}
        text = said_on(printed, words, f"{evening.day:%d}")
        met.add(there)
        assert all((line in text) == there for line in ON_THE_SHEET[kind]), (evening.day, kind)
    assert met == {True, False}


def test_mould_and_white_powder_call_for_mask_filter_and_no_fan(
    shelf: Shelf, plan: Plan, made: datetime
) -> None:

    start = plan.start
    look = replace(plan, items=(Item("identify", start, later(start, minutes=10), reel="R-001"),))
    (evening,) = evenings(shelf, look)
    pages = PdfReader(BytesIO(work_order(shelf, look, evening, made=made))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    for line in ("FFP2, N95", "HEPA filter", "never under a fan", "White powder", "or it is mould"):
        assert line in text, line


def test_an_order_of_mid_evening_has_no_line_up_on_which_its_deck_stands(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """D1 was lined up at 19:00 with that set-up; a plan of 19:05 lines up once more for its own transfer."""
    five = later(plan.items[0].start, minutes=5)
    deck, reel = shelf.studio.deck("D1"), shelf.reel("R-001")
    assert deck is not None
    stands = line_up(shelf, deck, reel.setup, plan.items[0].start)
    for told, has in ((shelf, True), (stands, False)):
        new = replace(plan, start=five)
        text = words(work_order(told, new, evenings(told, new)[0], made=made))
        assert ("Line up D1" in text) == has


def test_tape_that_must_not_be_wound_fast_tells_what_that_costs(
    shelf: Shelf, printed: dict[str, bytes], words: Words
) -> None:
    """1200 ft at 15 ips take 16 min, at 180 ips 1 min 20 s: plain arithmetic."""
    text = said_on(printed, words, "07")
    slow = "no fast winding: 16 min at 15 ips, not planned"
    told = f"{slow}: if it lies tails out, wind it once it is"
    assert told in text and text.count(slow) >= 2, "in its step, and among the reels"
    studio = "or give the deck a gentle wind speed in the studio and plan again"
    assert any(f"{told} {first}, {studio}" in text for first in ("looked at", "warmed and cooled"))
    assert "wind back" not in text, "no time of a fast wind stands beside the words that forbid one"
    assert "No fast winding of treated or spliced tape" in text
