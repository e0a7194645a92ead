"""One list of keys: stable ids, no clash within a place, a foot that fits, keys bound anew, docs."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tui.frame.drawn.foot_line import chosen
from tui.keys.key import PLACES
from tui.keys.keys import KEYS, both_cases, key_table, keys_of, own_keymap, shown, shown_keys

TOGETHER = [
    ("chart", "reel", "any", "list"), ("card", "reel", "any", "list"), ("songs", "any", "list"),
    ("week", "any", "list"), ("sheet", "any"), ("run", "any", "list"), ("ask", "ticks", "list"), ("bell",),
    ("tonight", "any", "list"), ("chamber", "any", "list"), ("lineup", "any", "list"),
]  # fmt: skip


def test_every_key_has_an_id_of_its_own_and_a_known_place() -> None:
    assert max(Counter(key.id for key in KEYS).values()) == 1
    assert {key.place for key in KEYS} <= set(PLACES)


@pytest.mark.parametrize("places", TOGETHER)
def test_no_key_means_two_things_at_once(places: tuple[str, ...]) -> None:
    """A place's own key may stand before one that works everywhere; two of one place never share one."""
    own = [one for key in keys_of(*places[:-1]) if key.place != "any" for one in key.keys.split(",")]
    assert [one for one, times in Counter(own).items() if times > 1] == []


def test_letters_work_in_both_cases() -> None:
    assert both_cases("b,f1,space") == "b,B,f1,space"


@pytest.mark.parametrize("places", TOGETHER[:6])
@pytest.mark.parametrize("width", [60, 80, 120, 200])
def test_the_foot_fits_and_always_tells_how_to_learn_the_keys(places: tuple[str, ...], width: int) -> None:
    keys = keys_of(*places)
    gap, kept = chosen(keys, {}, width - 1)
    taken = sum(len(shown_keys(key)[0]) + len(key.word) + 2 + len(gap) for key in kept)
    assert taken <= width
    assert kept[-1].id == "any.keys"


def test_at_eighty_columns_the_chart_shows_the_keys_one_works_with() -> None:
    _, kept = chosen([key for key in keys_of("chart", "reel", "any") if key.id != "any.chart"], {}, 79)
    words = [f"{shown_keys(key)[0]} {key.word}" for key in kept]
    for wanted in (
        "Space done",
        "B back",
        "N note",
        "Enter card",
        "/ find",
        "T tonight",
        "W week",
        "S songs",
        "? keys",
    ):
        assert wanted in words


@pytest.mark.parametrize("place", ["chart", "tonight", "week", "songs", "lineup", "chamber"])
def test_the_foot_shows_no_key_twice(place: str) -> None:
    _, kept = chosen(keys_of(place, "any"), {}, 199)
    names = [shown_keys(key)[0] for key in kept]
    assert len(names) == len(set(names))


def test_keys_can_be_bound_anew() -> None:
    keymap, troubles = own_keymap({"reel.done": "f13,é", "any.nothing": "y"})
    assert keymap == {"reel.done": "f13,é,É"}
    assert troubles == ("any.nothing is not the id of a key",)


def test_a_key_that_is_taken_is_refused() -> None:
    keymap, troubles = own_keymap({"reel.done": "b"})
    assert keymap == {}
    assert "reel.back" in troubles[0]


def test_two_keys_can_change_places() -> None:
    keymap, troubles = own_keymap({"reel.done": "b", "reel.back": "space"})
    assert set(keymap) == {"reel.done", "reel.back"}
    assert troubles == ()


def test_keys_are_called_as_they_are_on_the_keyboard() -> None:
    assert [shown(key) for key in ("question_mark", "ctrl+q", "b", "pageup")] == ["?", "Ctrl+Q", "B", "PgUp"]


def test_the_page_of_keys_is_made_from_the_list() -> None:
    page = Path(__file__).parents[2] / "docs" / "keys.md"
    assert key_table() in page.read_text(encoding="utf-8")


def test_no_two_of_the_keys_that_work_everywhere_are_one() -> None:
    from tui.keys.keys import KEYS

    pressed = [one for key in KEYS if key.id.startswith("any.") for one in key.keys.split(",")]
    assert sorted({one for one in pressed if pressed.count(one) > 1}) == []
