"""How many keys an evening's usual troubles take, on the made-up shelf with its own plan.

    python tests/benchmarks/evening.py [CASE...]

Each case presses keys inside the program, headless, at 80x24, looks at the shelf whether the thing was done,
and prints how many keys that took, those that enter typed text among them. A case that was not done ends the
script with a word.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tui.app import ReelturnApp  # noqa: E402
from tui.commands.demo_ import lay_out  # noqa: E402

BEGINS = datetime(2026, 12, 1, 18, 55, tzinfo=ZoneInfo("Europe/Lisbon"))
SIGNS = {" ": "space", ":": "colon", "-": "minus", ".": "full_stop", ";": "semicolon"}


class Moved:
    """A clock that stands until it is moved on."""

    def __init__(self) -> None:
        self.moment = BEGINS.astimezone(UTC)

    def __call__(self) -> datetime:
        return self.moment

    def to(self, hour: int, minute: int) -> None:
        """Goes to that time of the evening."""
        self.moment = BEGINS.replace(hour=hour, minute=minute).astimezone(UTC)


class Hand:
    """Presses keys, and counts them."""

    def __init__(self, pilot: Any, clock: Moved) -> None:
        self.pilot, self.app, self.clock, self.keys = pilot, pilot.app, clock, 0

    async def press(self, *keys: str) -> None:
        """Presses keys one after the other; each counts."""
        for key in keys:
            await self.pilot.press(SIGNS.get(key, key))
            await self.pilot.pause()
            self.keys += 1

    async def wait(self, hour: int, minute: int) -> None:
        """Lets time pass to then."""
        self.clock.to(hour, minute)
        self.app.tick()
        await self.pilot.pause()

    @property
    def shelf(self) -> Any:
        """The shelf as it is."""
        return self.app.shelf


async def stop_early(hand: Hand) -> None:
    """At 21:20: I must stop at 21:50, and stay at home."""
    await hand.wait(21, 20)
    await hand.press("p", "1", "d")
    asked = "stay at home" in "".join(str(one) for one in getattr(hand.app.screen, "choices", ()))
    await hand.press("1" if asked else "enter")  # nobody is asked to stay for a cold chamber
    hours = next(row for row in hand.shelf.studio.hours if BEGINS.date() in row.dates and row.bench)
    must(hours.to_minutes == 21 * 60 + 50, "the evening ends at 21:50")


async def catch_up(hand: Hand) -> None:
    """Ten steps of the evening, or as many as there are, that were done and not marked."""
    await hand.wait(22, 40)
    from core.evening.afterwards.catch_up import behind

    count = len(behind(hand.app.screen.sheet, hand.app.now()))
    await hand.press("m", "pagedown", "enter")
    looks = 0  # boxes that nobody looked into: nothing is told of them, and they are left
    while str(getattr(hand.app.screen, "title_words", "")).startswith("What is "):
        await hand.press("pagedown", "enter")
        looks += 1
    if "verified?" in str(getattr(hand.app.screen, "title_words", "")):
        await hand.press("3")  # files that nobody checked: left, all of them
    if "gate" in str(getattr(hand.app.screen, "title_words", "")):
        await hand.press(*"paper", "enter")
    told = hand.shelf.of_kind("actual").values()
    unproved = sum(one["kind"] == "verify" and one["state"] == "skipped" for one in told)
    done = [one for one in hand.shelf.of_kind("actual").values() if one["state"] == "done"]
    must(len(done) == count - looks - unproved, f"{count - looks - unproved} steps are marked")
    print(f"  ({count} steps, {looks} of them looks, {unproved} verifies left)")


async def by_paper(hand: Hand) -> None:
    """A transfer with a stop and two notes, from the sheet that was carried."""
    step = next(one for one in hand.app.screen.sheet.steps if one.kind == "transfer")
    await hand.wait(22, 20)
    place = hand.app.screen
    place.list.cursor = place.list._keys.index(step.key)  # the step one stands at
    await hand.press("p", "6", "enter")  # paper; its first line may stay empty
    await hand.press(*"1910-20 930 1", "enter", *"1925-50", "enter")  # as the hints show it
    await hand.press(*"400 1; 720 2", "enter", "enter", "enter")
    if "all the same" in str(getattr(hand.app.screen, "title_words", "")):
        await hand.press(*"ok", "enter")
    notes = [one for one in hand.shelf.of_kind("timed note").values() if one["reel"] == step.subject]
    must(hand.shelf.reel(step.subject).past("transferred"), f"{step.subject} is transferred")
    must(sum(one["at"].startswith("2026-12-01") for one in notes) == 2, "two notes are kept")


async def identify(hand: Hand) -> None:
    """A box that nobody looked at: begun, and what is seen of it."""
    step = next(one for one in hand.app.screen.sheet.steps if one.kind == "identify")
    await hand.wait(step.planned.start.hour, step.planned.start.minute)
    place = hand.app.screen
    place.list.cursor = place.list._keys.index(step.key)
    await hand.press("space")
    if "calendar" in str(getattr(hand.app.screen, "title_words", "")):
        await hand.press("escape")
    await hand.wait(step.planned.end.hour, step.planned.end.minute)
    await hand.press("space", "home", "down", "down", "1", "1", "1", "pagedown", "enter")
    must(hand.shelf.reel(step.subject).stage == "identified", f"{step.subject} is identified")


async def closing(hand: Hand) -> None:
    """What is to be looked at before one leaves, on the screen."""
    await hand.wait(22, 20)
    await hand.press("h")
    must("Before you leave" in hand.app.screen.heading(), "the closing look is shown")


def must(holds: bool, what: str) -> None:
    """Ends the script where that is not so."""
    if not holds:
        raise SystemExit(f"not done: {what}")


CASES: dict[str, tuple[Callable[[Hand], Awaitable[None]], int]] = {
    "stop early": (stop_early, 6),
    "catch up": (catch_up, 30),
    "a transfer with a stop and two notes by paper": (by_paper, 60),
    "identify": (identify, 12),
    "closing look": (closing, 2),
}


async def run() -> None:
    """Every case on a shelf of its own."""
    wanted = sys.argv[1:]
    for name, (case, most) in CASES.items():
        if wanted and name not in wanted:
            continue
        with tempfile.TemporaryDirectory() as folder:
            clock = Moved()
            book = lay_out(Path(folder), clock)
            book.plans.keep_plan(book.plans.plan(days=14, effort=1.0, keep=False))
            async with ReelturnApp(book).run_test(size=(80, 24)) as pilot:
                hand = Hand(pilot, clock)
                await pilot.pause()
                await pilot.press("t")
                await pilot.pause()
                clock.moment += timedelta(seconds=1)
                await case(hand)
                print(f"{name}: {hand.keys} keys (at most {most} wanted)")


if __name__ == "__main__":
    asyncio.run(run())
