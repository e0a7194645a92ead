"""Pictures of the places at 80x24, 120x40 and without colour, held against those that were looked at once."""

from __future__ import annotations

from typing import Any

import pytest

PICTURES = [
    ("chart", (80, 24), (), False),
    ("chart", (120, 40), (), False),
    ("chart", (80, 24), (), True),
    ("card", (80, 24), ("enter",), False),
    ("songs", (80, 24), ("s",), True),
    ("sheet", (120, 40), ("g",), False),
]


@pytest.mark.parametrize(
    ("place", "size", "keys", "bare"),
    PICTURES,
    ids=[f"{name}-{width}x{height}{'-bare' * bare}" for name, (width, height), _, bare in PICTURES],
)
def test_the_place_looks_as_it_did(
    book: Any,
    snap_compare: Any,
    seen: Any,
    until: Any,
    monkeypatch: pytest.MonkeyPatch,
    place: str,
    size: tuple[int, int],
    keys: tuple[str, ...],
    bare: bool,
) -> None:
    from tui.app import ReelturnApp

    if bare:
        monkeypatch.setenv("NO_COLOR", "1")

    async def settle(pilot: Any) -> None:
        await until(pilot, lambda: any("machine time" in line for line in seen(pilot.app)))
        await pilot.press(*keys)
        await pilot.pause()

    assert snap_compare(ReelturnApp(book), terminal_size=size, run_before=settle)
