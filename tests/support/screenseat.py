"""Someone at the keyboard, who reads the screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import screenwait


class Seat:
    """Someone at the keyboard, who reads the screen."""

    def __init__(self, pilot: Any) -> None:
        self.pilot, self.app = pilot, pilot.app

    @property
    def text(self) -> str:
        """The screen as it stands."""
        strips = self.app.screen._compositor.render_strips()
        return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)

    async def press(self, *keys: str) -> None:
        """Presses keys, and lets the screen do its work."""
        for key in keys:
            await self.pilot.press(key)
            for _ in range(3):
                await self.pilot.pause()
        if self.app._exception is not None:
            raise self.app._exception

    async def types(self, text: str) -> None:
        """Types a text into what is open."""
        signs = {" ": "space", "/": "slash", "-": "minus", "_": "underscore", ".": "full_stop", ":": "colon"}
        await self.press(*(signs.get(letter, letter) for letter in text))

    async def until(self, seen: str | Callable[[], bool]) -> None:
        """Waits until the screen shows that."""

        def holds() -> bool:
            return seen in self.text if isinstance(seen, str) else seen()

        await screenwait.until(self.pilot, holds, lambda: f"{seen!r} is not in:\n{self.text}")
