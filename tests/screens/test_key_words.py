"""Sentences name the keys that are bound now: the owner's own where there are some."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import tui
from tui.keys.key import PLACES
from tui.keys.keys import KEYS
from tui.keys.words import keyed

OWN = {"any.undo": "f13", "any.plan": "f10,r", "ask.yes": "f12", "reel.stage": "f11"}


def strings_of_ours() -> Iterator[str]:
    """Every string in the code of the screen."""
    for path in Path(tui.__file__).parent.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}  # docstrings
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
                yield node.value


def test_every_key_that_a_sentence_names_is_there() -> None:
    named = [one for text in strings_of_ours() for one in re.findall(r"\{([a-z]+)\.([a-z_0-9]+)\}", text)]
    assert len(named) > 60
    known = {key.id for key in KEYS}
    assert [f"{place}.{name}" for place, name in named if f"{place}.{name}" not in known] == []


def test_no_sentence_has_a_letter_of_ours_written_into_it() -> None:
    """The verbs with which our sentences tell what a key does, after a key's own name."""
    told = re.compile(
        r"(^|[ (;:])([A-Z]|Space|Del) (takes|plans|prints|marks|stops|keeps|drops|adds|ticks)\b"
    )
    assert [text for text in strings_of_ours() if told.search(text)] == []


@pytest.mark.parametrize(
    ("own", "said"), [({}, "U takes it back, R plans"), (OWN, "F13 takes it back, F10 plans")]
)
def test_a_sentence_names_the_key_that_is_bound_first(own: dict[str, str], said: str) -> None:
    assert keyed("{any.undo} takes it back, {any.plan} plans", own) == said


def test_places_are_what_ids_begin_with() -> None:
    assert all(key.id.partition(".")[0] in PLACES for key in KEYS)


async def test_what_is_said_and_asked_names_own_keys(book: Any, opened: Any, seen: Any, until: Any) -> None:
    book.change(lambda shelf: shelf.choosing("keys", OWN), what="keys")
    async with opened(book) as pilot:
        assert any("not planned yet (F10 plans)" in line for line in seen(pilot.app))
        await pilot.press("x")
        await until(pilot, lambda: any("F12 goes on   Esc leaves" in line for line in seen(pilot.app)))
        for letter in "{any.undo}":
            await pilot.press({"{": "left_curly_bracket", "}": "right_curly_bracket"}.get(letter, letter))
        await pilot.press("f12")
        await until(
            pilot,
            lambda: any("is set aside: {any.undo}. F13 takes it back" in line for line in seen(pilot.app)),
        )
        await pilot.press("f13")
        await until(pilot, lambda: book.shelf.reels["R-001"].set_aside == "")
