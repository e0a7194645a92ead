"""Pictures of the week at 80x24, 120x40 and without colour, held against those that were looked at once."""

from __future__ import annotations

from typing import Any

import pytest

PICTURES = [
    ("week", (80, 24), ("w", "right"), False),
    ("week", (120, 40), ("w",), False),
    ("week", (80, 24), ("w", "end"), True),
    ("wishes", (80, 24), ("w", "right", "p", "l"), True),
]


@pytest.mark.parametrize(
    ("place", "size", "keys", "bare"),
    PICTURES,
    ids=[f"{name}-{width}x{height}{'-bare' * bare}" for name, (width, height), _, bare in PICTURES],
)
def test_the_week_looks_as_it_did(
    planned: Any,
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

    assert snap_compare(ReelturnApp(planned), terminal_size=size, run_before=settle)
