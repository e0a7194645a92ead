"""Chart, songs, song card and week tell a song's date in the words that the workbook tells it in."""

from __future__ import annotations

from typing import Any


async def test_every_place_tells_the_same_date(on_disk: Any, opened: Any, seen: Any, until: Any) -> None:
    on_disk.plans.plan(days=14, effort=0.1)
    dates = on_disk.plans.song_dates()
    ahead = [one for one in dates.values() if one.ahead]
    assert ahead and all(" in 100" in one.words for one in ahead)
    first = min(ahead, key=lambda one: (one.planned, one.told.song.key))
    async with opened(on_disk) as pilot:
        await pilot.resize_terminal(110, 24)
        chart = f"; {first.told.song.title} {first.words}"
        await until(pilot, lambda: any(chart in line for line in seen(pilot.app)))
        await pilot.resize_terminal(80, 24)
        await pilot.press("s")
        for one in ahead:
            await until(pilot, lambda one=one: any(one.words in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "SongCard")
        here = dates[pilot.app.screen.key]
        await until(pilot, lambda: any(here.words in line for line in seen(pilot.app)))
        await pilot.press("escape", "w")
        await until(pilot, lambda: pilot.app.current_mode == "week")
        await pilot.resize_terminal(80, 60)
        for one in ahead:
            words = f"{one.told.song.title}: {one.words}"
            await until(pilot, lambda words=words: any(words in line for line in seen(pilot.app)))


async def test_a_date_in_the_past_is_not_ready_in_any_place(
    on_disk: Any, opened: Any, seen: Any, until: Any, monkeypatch: Any
) -> None:
    from dataclasses import replace

    from core.clock import later

    def unloaded(shelf: Any) -> Any:
        reels = {key: replace(reel, chamber="", loaded_at=None) for key, reel in shelf.reels.items()}
        return replace(shelf, reels=reels)

    on_disk.change(unloaded, what="empty the chamber: no bell")
    on_disk.plans.plan(days=7, effort=0.1)
    long_after = later(on_disk.now(), hours=24 * 60)
    monkeypatch.setattr(on_disk, "now", lambda: long_after)
    gone = [one for one in on_disk.plans.song_dates().values() if one.over]
    assert gone
    async with opened(on_disk) as pilot:
        assert not any("planned" in line and "in 100" in line for line in seen(pilot.app))
        await pilot.press("s")
        await until(pilot, lambda: any(gone[0].words in line for line in seen(pilot.app)))
        title = gone[0].told.song.title
        assert all("ready" not in line for line in seen(pilot.app) if title in line)
