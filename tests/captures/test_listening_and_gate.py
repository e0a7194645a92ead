"""What the gate to verified counts as open: the places that the list shows, the length as it is now."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.errors import Refused
from core.findings import Finding
from core.quantities import read_quantity


def dropouts(many: int) -> tuple[Finding, ...]:
    """Dropouts on track 4, two seconds apart, each with a zero run right beside it."""
    found = []
    for n in range(many):
        at = 1.0 + 0.2 * n * 3
        found.append(Finding("dropout", 4, at, at + 0.05, "remark", "a dropout", size=20.0 + n))
        found.append(Finding("zero run", 4, at + 0.1, at + 0.11, "remark", "zeros", size=1.0))
    return tuple(found)


def test_the_list_goes_on_behind_what_was_heard_until_nothing_is_open(book, capture):
    check = replace(book.captures.check("R-022", [capture]), findings=dropouts(14) + tuple(
        replace(one, track=5) for one in dropouts(14)))  # fmt: skip
    book.captures.keep_check(check)
    with pytest.raises(Refused, match="28 places not listened to"):
        book.mark("R-022", "verified")
    _, first = book.hearing.to_hear("R-022")
    assert len(first) == 20
    for place in first:
        book.captures.mark_place("R-022", 1, place.finding, "fine")
    with pytest.raises(Refused, match="8 places not listened to"):
        book.mark("R-022", "verified")
    _, second = book.hearing.to_hear("R-022")
    assert second[:20] == first and len(second) == 28, "each keeps its number"
    for place in second[20:]:
        book.captures.mark_place("R-022", 1, place.finding, "fine")
    assert book.mark("R-022", "verified").reel("R-022").stage == "verified"


def with_length(book, text: str) -> None:
    reel = book.shelf.reel("R-022")
    length = read_quantity(text, "length")
    told = replace(reel, length=length, pack_diameter=None, hub_diameter=None)
    book.change(lambda shelf: shelf.with_reel(told), what="length")


def test_a_length_that_is_put_right_opens_or_shuts_the_gate(book, capture, hear):
    seconds = book.captures.check("R-022", [capture]).seconds
    speed = book.shelf.reel("R-022").speed.number
    true = f"{float(seconds) * float(speed) / 12:.2f} ft"  # length = speed times time
    with_length(book, "1200 ft")
    check = book.captures.check("R-022", [capture])
    book.captures.keep_check(check)
    assert "short" in {one.kind for one in check.findings}
    hear(book, "R-022")
    with pytest.raises(Refused, match="still open in pass 1: short"):
        book.mark("R-022", "verified")
    with_length(book, true)
    assert book.mark("R-022", "verified").reel("R-022").stage == "verified"
    book.undo()
    with_length(book, "1200 ft")
    with pytest.raises(Refused, match="still open in pass 1: short"):
        book.mark("R-022", "verified")
