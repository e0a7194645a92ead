"""What belongs together stays together on a sheet, and what is said reads well."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from core.clock import later
from core.evening.playing.passes import start_pass, stop_pass
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.steps import finish_step, start_step
from core.findings import ChannelMeasure, Check
from core.paper.evening.lineup_sheet import lineup_pdf
from core.paper.evening.week import week
from core.paper.evening.work_order import work_order
from core.paper.kept.capture_report import capture_report
from core.paper.look.evenings import evenings
from core.paper.look.files import put_beside
from core.paper.prints import print_reels
from core.plan import Plan
from core.shelf import Shelf

Words = Callable[[bytes], str]


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize("reels", [1, 2, 3, 4])
def test_a_reel_s_own_tones_stand_on_the_page_that_names_the_reel(
    shelf: Shelf, plan: Plan, made: datetime, size: str, reels: int
) -> None:
    first = shelf.reel("R-001")
    align, play = plan.items[1], plan.items[2]
    keys = [f"R-1{number}" for number in range(reels)]
    there = shelf.with_reel(*(replace(first, key=key, tones="1 kHz; 10 kHz") for key in keys))
    plays = [replace(play, reel=key, start=later(play.start, minutes=n)) for n, key in enumerate(keys)]
    pdf = lineup_pdf(there, replace(plan, items=(align, *plays)), align, size=size, made=made)
    texts = [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]
    assert sum(text.count("its own part") for text in texts) == reels
    for text in texts:  # each tone: a row for tracks 1 to 8, one for 9 to 16, and its sentence below
        assert text.count("1000 Hz *") == 2 * text.count("its own part")


@pytest.mark.parametrize("reels", [4, 5, 6, 7])
def test_what_is_said_of_a_reel_stands_on_the_page_that_names_it(
    shelf: Shelf, plan: Plan, made: datetime, reels: int
) -> None:
    first, play = shelf.reel("R-001"), plan.items[2]
    keys = [f"R-1{number}" for number in range(reels)]
    there = shelf.with_reel(
        *(replace(first, key=key, contents=f"Tide {key}", notes=f"note of {key}") for key in keys)
    )
    plays = [replace(play, reel=key, start=later(play.start, minutes=n)) for n, key in enumerate(keys)]
    order = replace(plan, items=(plan.items[1], *plays))
    pdf = work_order(there, order, evenings(there, order)[0], made=made)
    texts = [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]
    assert all("The reels" not in text or re.search(r"The reels\s+R-1", text) for text in texts)
    for key in keys:
        named = [number for number, text in enumerate(texts) if re.search(f"{key} +Tide {key}", text)]
        assert named == [number for number, text in enumerate(texts) if f"note of {key}" in text]


@pytest.mark.parametrize("before", range(2, 12))
def test_the_tapes_of_one_touch_stand_under_its_time_on_one_page(
    shelf: Shelf, plan: Plan, made: datetime, before: int
) -> None:
    """A line that stands alone at the head of a page would say neither when, nor what is done."""
    load = next(item for item in plan.items if item.kind == "condition")
    first, play = shelf.reel("R-001"), plan.items[2]
    keys = [f"R-3{number:02}" for number in range(before)]
    there = shelf.with_reel(*(replace(first, key=key) for key in keys))
    start = later(load.start, hours=-2)
    plays = [replace(play, reel=key, start=later(start, minutes=n)) for n, key in enumerate(keys)]
    order = replace(plan, items=(*plays, load))
    evening = next(one for one in evenings(there, order) if load in one.loads)
    pdf = work_order(there, order, evening, made=made)
    texts = [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages]
    tables = [found[1] for text in texts for found in re.finditer(r"from place to place then (\S+)", text)]
    assert tables and all(re.fullmatch(r"\d\d:\d\d", first) for first in tables), tables


def test_a_tape_that_lies_on_two_reels_is_told_where_it_is_fetched_and_warmed(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """Half of it would stay cold: common practice is to bring it onto one reel, or to warm both."""
    load = next(item for item in plan.items if item.kind == "condition")
    key = load.reels[0]
    ran = start_pass(shelf.with_reel(replace(shelf.reel(key), condition=("ok",), stock="")), key, 1, made)
    halted = stop_pass(ran, f"{key} 1", later(made, minutes=14), "squeal")
    stopped = halted.with_reel(shelf.reel(key))
    order = replace(plan, items=(load,))
    text = " ".join(words(work_order(stopped, order, evenings(stopped, order)[0], made=made)).split())
    assert text.count("stands at 14:00, on two reels: fetch both") >= 2, "in the fetch list, and by its name"
    assert (
        f"! {key} stands at 14:00, on two reels: by hand, slowly, onto one reel before it is warmed" in text
    )
    whole = " ".join(words(work_order(shelf, order, evenings(shelf, order)[0], made=made)).split())
    assert "two reels" not in whole


def test_no_offset_has_no_sign(shelf: Shelf, made: datetime, words: Words) -> None:
    quiet = ChannelMeasure(1, 0, 0, -3.2, -3.0, None, -0.0000001, 0, 0)
    text = words(capture_report(shelf, Check("R-001", (), channels=(quiet,)), made=made))
    assert "0.0000%" in text and "-0.0000%" not in text
    off = replace(quiet, dc=-0.002)
    assert "-0.2000%" in words(capture_report(shelf, Check("R-001", (), channels=(off,)), made=made))


def test_a_block_too_narrow_for_its_reel_still_names_it(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """Forty minutes before the next line-up: the last digits stand in the gap."""
    align, play = plan.items[1], plan.items[2]
    reel = replace(shelf.reel("R-001"), key="R-777")
    short = replace(play, reel="R-777", end=later(play.start, minutes=15))
    after = replace(align, start=later(short.end, minutes=40), end=later(short.end, minutes=55))
    saturday = next(item for item in plan.items if item.kind == "condition")  # makes hours narrow
    pdf = week(shelf.with_reel(reel), replace(plan, items=(align, short, after, saturday)), made=made)
    chart = PdfReader(BytesIO(pdf)).pages[0].extract_text().split("Evening by evening")[0]
    assert "777" in chart


def test_labels_of_two_other_reels_leave_the_printed_ones_alone(
    shelf: Shelf, made: datetime, tmp_path: Any
) -> None:
    def labels(*keys: str) -> Any:
        (path,) = print_reels(shelf, keys, tmp_path, what=["labels"], made=made)
        return path

    first = labels("R-001", "R-002")
    kept = first.read_bytes()
    second, third = labels("R-003", "R-005"), labels("R-001", "R-006")
    assert [p.name for p in (first, second, third)] == [
        "labels-2-reels.pdf",
        "labels-2-reels-2.pdf",
        "labels-2-reels-3.pdf",
    ]
    assert first.read_bytes() == kept
    assert labels("R-003", "R-005") == second  # the same sheet again takes its own name
    assert len(list(tmp_path.iterdir())) == 3


def test_what_only_looks_like_a_file_is_numbered_past(tmp_path: Any) -> None:
    (tmp_path / "a.pdf").mkdir()
    (tmp_path / "a-2.pdf").symlink_to(tmp_path / "nowhere")
    assert put_beside(tmp_path, "a.pdf", b"new").name == "a-3.pdf"


def test_an_order_printed_in_mid_evening_puts_back_what_is_out_already(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """Its plan holds what is left only; the deck that was lined up and its tape are out all the same."""
    align = plan.items[1]
    step = next(one for one in run_sheet(shelf, plan, align.start).steps if one.kind == "align")
    done = finish_step(start_step(shelf, step, align.start), step, align.end)
    left = replace(plan, items=(plan.items[0],))
    text = " ".join(words(work_order(done, left, evenings(done, left)[0], made=made)).split())
    assert "CAL-1 wound tails out" in text and "D1: path cleaned, cover on, power off" in text
    fresh = " ".join(words(work_order(shelf, left, evenings(shelf, left)[0], made=made)).split())
    assert "CAL-1" not in fresh.partition("Before you leave")[2]


def test_a_pass_that_stands_on_its_way_is_ordered_from_there_without_a_wind(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    """14:00 of 33:20 were played, 10 s are played twice: 19:30 left, from five minutes past the start on."""
    play = plan.items[2]
    key = play.reel
    aligned = shelf.with_reel(replace(shelf.reel(key), condition=("ok",), stock=""))
    ran = stop_pass(start_pass(aligned, key, 1, made), f"{key} 1", later(made, minutes=14), "late")
    order = replace(plan, items=(plan.items[1], play))
    text = " ".join(words(work_order(ran, order, evenings(ran, order)[0], made=made)).split())
    begins, ends = later(play.start, minutes=5), later(play.start, minutes=5 + 19.5)
    assert f"pass 1 goes on from 14:00, no wind, tracks 1-16: {begins:%H:%M} to {ends:%H:%M}" in text
    assert "wind back" not in text
