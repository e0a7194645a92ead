"""The inspection list and the same lines behind an order: the form's fields, in its order, by its digits."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from io import BytesIO

import pytest
from pypdf import PdfReader

from core.errors import Refused
from core.paper.evening.orders import evening_sheets
from core.paper.look.evenings import Evening, evenings
from core.paper.look.page import bind, origin
from core.paper.shelf.inspection_list import inspection_list
from core.plan import Plan
from core.reels.looked_at import ANSWERS, LOOKED_AT, wanted
from core.reels.reel import Reel
from core.shelf import Shelf


def boxes(shelf: Shelf, count: int) -> Shelf:
    reels = {f"B-{n}": Reel(f"B-{n}", f"box {n}", location=f"A{count - n}") for n in range(count)}
    return replace(shelf, reels=reels, songs={}, sheets=())


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_ten_lines_a_page_along_the_shelf(shelf: Shelf, made: datetime, size: str) -> None:
    pdf = PdfReader(BytesIO(inspection_list(boxes(shelf, 23), size=size, made=made)))
    told = [page.extract_text() for page in pdf.pages]
    assert len(told) == 3
    found = [[n for n in range(23) if f"box {n}\n" in text] for text in told]
    assert [len(page) for page in found] == [10, 10, 3]
    assert found[0] == list(range(13, 23))  # A1 to A10: counted down, and A10 is not before A2


def test_the_lines_ask_what_the_form_asks_with_its_digits(
    shelf: Shelf, made: datetime, words: Callable[[bytes], str]
) -> None:
    text = " ".join(words(inspection_list(boxes(shelf, 1), made=made)).split())
    heads = [{"base_seen": "seen"}.get(name, name) for name in LOOKED_AT]
    assert " ".join(["reel", *heads]) in text
    for answers in ANSWERS.values():
        assert ", ".join(f"{digit} {word}" for digit, word in enumerate(answers, 1)) in text


def test_nothing_to_inspect_is_said(shelf: Shelf, made: datetime) -> None:
    with pytest.raises(Refused, match="no reel is left to look at"):
        inspection_list(replace(shelf, reels={}), made=made)
    mouldy = replace(boxes(shelf, 1).reels["B-0"], signs=("mould",))
    with pytest.raises(Refused, match="no reel is left to look at"):  # nobody opens that box to look
        inspection_list(replace(shelf, reels={"B-0": mouldy}), made=made)


def test_behind_an_order_lies_a_line_for_every_reel_that_is_looked_at_that_evening(
    shelf: Shelf, plan: Plan, made: datetime, words: Callable[[bytes], str]
) -> None:
    told = 0
    chosen = shelf.choosing("fill in", ["looks"])
    for evening in evenings(shelf, plan):
        sheets = evening_sheets(chosen, plan, evening)
        text = " ".join(words(bind(sheets, origin(chosen, plan, made), "A4")).split())
        looked = [step.subject for step in evening.steps if step.kind == "identify"]
        assert ("What is seen" in text) == bool(looked)
        if looked:
            told += 1
            assert f"Space on {looked[0]}" in text and "2 sticky" in text
    assert told


def test_an_evening_that_mostly_looks_has_its_lines_behind_it_unless_others_were_chosen(
    shelf: Shelf, plan: Plan
) -> None:
    unchosen = shelf.choosing("fill in", None)
    for evening in evenings(unchosen, plan):
        looks = tuple(step for step in evening.steps if step.kind == "identify")
        if looks:
            only = replace(evening, steps=looks)
            titles = [sheet.title for sheet in evening_sheets(unchosen, plan, only)]
            assert [title.partition(",")[0] for title in titles] == ["Work order", "What is seen"]
            other = next(step for step in evening.steps if step.kind != "identify" and not step.touch)
            for mixed, sheets in ((looks[:1], 1), ((*looks[:1], *looks[:1]), 2)):  # one look, two beside it
                some = replace(evening, steps=(other, *mixed))
                assert len(evening_sheets(unchosen, plan, some)) == sheets


def _order(
    shelf: Shelf, plan: Plan, made: datetime, evening: Evening, fill_in: list[str] | None = None
) -> tuple[int, str]:
    """The pages of an evening's sheets and their words; where nothing is told, nothing was chosen."""
    unchosen = shelf.choosing("fill in", fill_in)
    pdf = bind(evening_sheets(unchosen, plan, evening), origin(unchosen, plan, made), "A4")
    pages = [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]
    return len(pages), " ".join(" ".join(pages).split())


def test_an_order_has_the_lines_for_a_look_on_its_own_two_pages_and_above_the_cautions(
    shelf: Shelf, plan: Plan, made: datetime
) -> None:
    evening = next(one for one in evenings(shelf, plan) if any(s.kind == "identify" for s in one.steps))
    pages, text = _order(shelf, plan, made, evening)
    heads = " ".join(["reel", *({"base_seen": "seen"}.get(name, name) for name in LOOKED_AT)])
    assert pages <= 2 and heads in text and "Space on R-004" in text and "inspection list" not in text
    assert text.index("Step by step") < text.index("What is seen") < text.index("Take care")
    none = shelf.choosing("fill in", [])
    sheets = bind(evening_sheets(none, plan, evening), origin(none, plan, made), "A4")
    assert "What is seen" not in " ".join(p.extract_text() for p in PdfReader(BytesIO(sheets)).pages)


def test_where_they_would_take_one_page_more_the_lines_are_set_closer(
    shelf: Shelf, plan: Plan, made: datetime
) -> None:
    """Twelve tapes to look at in one evening, most of which is something else, and more of it each time."""
    evening = next(one for one in evenings(shelf, plan) if any(s.kind == "identify" for s in one.steps))
    found = {f"B-{n}": Reel(f"B-{n}", f"box {n}") for n in range(12)}
    look = next(step for step in evening.steps if step.kind == "identify")
    item = look.item
    assert item is not None
    looks = tuple(replace(look, subject=key, item=replace(item, reel=key)) for key in found)
    other = tuple(step for step in evening.steps if step.kind != "identify" and not step.touch)
    told, more = set(), replace(shelf, reels={**shelf.reels, **found})
    heads = " ".join(["reel", *({"base_seen": "seen"}.get(name, name) for name in LOOKED_AT)])
    ways = ("To identify is to look", "Digit or word: condition 1 ok, 2 sticky", "base was seen")
    for count, times in ((1, 1), (3, 4), (6, 4), (3, 5), (12, 4)):
        many = replace(evening, steps=(*other * times, *looks[:count]))
        pages, text = _order(more, plan, made, many)
        bare, _ = _order(more, plan, made, many, fill_in=[])
        how = [one for one in ways if one in text]
        assert len(how) == 1 and "inspection list" not in text
        assert text.index("Step by step") < text.index(heads) < text.index("Take care")
        assert pages <= max(2, bare) or how[0] == ways[0], (count, times, pages, bare)
        told.add((how[0], pages > max(2, bare)))
    assert told == {(ways[0], False), (ways[1], False), (ways[0], True)}


def test_under_each_step_stands_a_line_for_what_is_not_known_and_nothing_more(
    shelf: Shelf, plan: Plan, made: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.paper.evening.work_order.LINES", ("under each",))
    evening = next(one for one in evenings(shelf, plan) if any(s.kind == "identify" for s in one.steps))
    key = next(step.subject for step in evening.steps if step.kind == "identify")
    for reel in (Reel(key, "a box"), replace(shelf.reels[key], splices=2)):
        more = replace(shelf, reels={**shelf.reels, key: reel})
        _, text = _order(more, plan, made, evening)
        step = text.partition(f"Identify {key}:")[2].partition("The reels")[0]
        blank = [words for name, words in LOOKED_AT.items() if name in wanted(reel)]
        assert " ".join(blank) in step and "What is seen" not in text
        assert reel.splices is None or "splices" not in step
