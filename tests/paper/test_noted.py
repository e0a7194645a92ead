"""Notes in a tape's history are on its card and on the order of an evening on which it is touched."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

from core.paper.evening.work_order import work_order
from core.paper.look.evenings import evenings
from core.paper.shelf.cards import reel_cards
from core.plan import Plan
from core.shelf import Event, Shelf

Words = Callable[[bytes], str]


def test_a_note_on_a_tape_is_printed_where_its_tape_is(
    shelf: Shelf, plan: Plan, made: datetime, words: Words
) -> None:
    noted = (
        Event(made - timedelta(days=1), "reel", "R-001", "note", note="leader torn & <b>taped"),
        Event(made - timedelta(days=2), "reel", "R-006", "note", note="of another tape"),
    )
    told = replace(shelf, history=noted)
    order = words(work_order(told, plan, evenings(told, plan)[0], made=made))
    assert "Note: leader torn & <b>taped (Mon 30 Nov)" in " ".join(order.split())
    assert "of another tape" not in order
    card = words(reel_cards(told, plan, [told.reel("R-001")], made=made))
    assert "note of Mon 30 Nov: leader torn & <b>taped" in " ".join(card.split())
