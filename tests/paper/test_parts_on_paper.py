"""A tape in parts, passes of earlier evenings, and ragged data on the transfer log, on A4 and Letter."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from core.clock import later
from core.evening.playing.passes import drop_note, end_pass, start_pass, stop_pass
from core.paper.evening.transfer_log import transfer_pdf
from core.paper.evening.work_order import work_order
from core.paper.look.evenings import evenings
from core.paper.look.run import runs_of
from core.plan import Plan
from core.reels.reel import Segment
from core.shelf import Shelf
from core.standing.left_to_play import transfer_named

#: A4 and US Letter in points (ISO 216; ANSI/ASME Y14.1), to the whole point.
SIZES = {"A4": (595, 842), "Letter": (612, 792)}


def plain(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture
def in_parts(shelf: Shelf) -> Shelf:
    setup = shelf.reel("R-001").setup
    parts = (
        Segment("R-001", Fraction(0), Fraction(900), setup, "Songs"),
        Segment("R-001", Fraction(900), Fraction(1200), setup, "Jingle"),
    )
    return replace(shelf, segments=parts)


def test_the_log_of_a_part_has_the_part_s_own_pass(
    in_parts: Shelf, plan: Plan, made: datetime, words: Any
) -> None:
    part = transfer_named(in_parts, in_parts.reel("R-001"), "Jingle")
    begun = start_pass(in_parts, "R-001", part.numbers[0], later(made, minutes=33), part=part)
    done = end_pass(begun, f"R-001 {part.numbers[0]}", later(made, minutes=38))
    item = replace(plan.items[2], segment="Jingle", passes=len(part.numbers))
    text = plain(words(transfer_pdf(done, plan, item, made=made)))
    assert "Transfer log, R-001, part Jingle" in text
    assert "a pass runs 5:00" in text
    assert "15:00 20:00 19:30" in text  # tape from, tape to, ended
    assert "Told so far: the tape is on the take-up reel" in text


def test_only_the_pass_that_is_left_has_a_time_on_the_log(
    shelf: Shelf, plan: Plan, made: datetime, words: Any
) -> None:
    capture = replace(shelf.studio.capture, inputs=8, guide_tracks=0)
    half = replace(shelf, studio=replace(shelf.studio, capture=capture))
    begun = start_pass(half, "R-001", 1, later(made, minutes=-1440))
    done = end_pass(begun, "R-001 1", later(made, minutes=-1400))
    item = replace(plan.items[2], passes=1)
    runs = [r.number for r in runs_of(item, done.reel("R-001"), done.studio) if r.kind == "pass"]
    every = transfer_named(done, done.reel("R-001"), "").numbers
    assert runs == [every[-1]]


@pytest.mark.parametrize("size", ["A4", "Letter"])
@pytest.mark.parametrize(
    "title",
    [
        "A title that goes on and on " * 12,
        "\u05e9\u05d9\u05e8 \u05e9\u05dc \u05d9\u05dd " * 8,
        "\u6f6e\u306e\u6b4c \u6d77\u8fba\u306e\u591c " * 10,
        "",
    ],
    ids=["long", "rtl", "cjk", "nothing"],
)
def test_ragged_titles_and_many_notes_stay_on_the_page(
    shelf: Shelf, plan: Plan, made: datetime, size: str, title: str
) -> None:
    reel = replace(shelf.reel("R-001"), contents=title, box_label=title, notes=title)
    noted = start_pass(shelf.with_reel(reel), "R-001", 1, made)
    for minute in range(1, 33):
        noted = drop_note(noted, "R-001 1", later(made, minutes=minute), "noise", title)
    noted = stop_pass(noted, "R-001 1", later(made, minutes=33), title or "stopped")
    for pdf in (
        transfer_pdf(noted, plan, plan.items[2], size=size, made=made),
        work_order(noted, plan, evenings(noted, plan)[0], size=size, made=made),
    ):
        pages = PdfReader(BytesIO(pdf)).pages
        for number, page in enumerate(pages, 1):
            box = page.mediabox
            assert (round(box.width), round(box.height)) == SIZES[size]
            placed: list[tuple[float, float]] = []

            def place(text: str, cm: Any, tm: Any, *_: Any, placed: Any = placed) -> None:
                if text.strip():
                    placed.append((tm[4] * cm[0] + cm[4], tm[5] * cm[3] + cm[5]))

            text = page.extract_text(visitor_text=place)
            assert f"{number} of {len(pages)}" in plain(text)
            assert all(0 < x < box.width and 0 < y < box.height for x, y in placed)
