"""The album's place by keys alone: order, what-if, sides, mixes, steps, players, wishes, paper."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile


@pytest.fixture
def mix_file(tmp_path: Path) -> Path:
    """A short stereo mix in the folder beside the shelf where mixes are looked for."""
    folder = tmp_path / "mixes"
    folder.mkdir(exist_ok=True)
    (folder / "notes.txt").write_text("no sound")
    sound = 0.1 * np.random.default_rng(4).uniform(-1, 1, (96000 * 3, 2))
    soundfile.write(folder / "Low Tide mix.wav", sound, 96000, subtype="PCM_24")
    return folder / "Low Tide mix.wav"


def at(seen: Any, app: Any, *words: str) -> bool:
    """Whether one line of the screen has all these words."""
    return any(all(word in line for word in words) for line in seen(app))


async def test_the_page_answers_whether_it_fits_what_is_missing_and_who_is_asked(
    on_disk: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("s", "b")
        app = pilot.app
        await until(pilot, lambda: at(seen, app, "Salt Road: 2 songs"))
        assert at(seen, app, "1 Low Tide", "4:12", "target", "waiting")
        assert at(seen, app, "2 Lanterns", "3:21", "captured")
        assert at(seen, app, "end", "7:35 of 74:00")
        assert at(seen, app, "compact disc: fits, 66:25 to spare")
        assert at(seen, app, "0 of 2 approved; waits for tapes (1)")
        assert at(seen, app, "Missing: waits for the tapes")
        await until(pilot, lambda: at(seen, app, "Ines Moura", "to be asked"))


async def test_the_order_is_moved_by_key_and_undone(on_disk: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(on_disk) as pilot:
        await pilot.press("f11")
        await until(pilot, lambda: at(seen, pilot.app, "1 Low Tide"))
        await pilot.press("j")
        await until(pilot, lambda: at(seen, pilot.app, "2 Low Tide") and at(seen, pilot.app, "1 Lanterns"))
        assert on_disk.shelf.songs["S-01"].order == 2 and on_disk.shelf.songs["S-02"].order == 1
        await pilot.press("j")
        await until(pilot, lambda: at(seen, pilot.app, "S-01 is the last song already"))
        await pilot.press("u")
        await until(pilot, lambda: at(seen, pilot.app, "1 Low Tide"))


async def test_a_what_if_changes_no_shelf_and_sides_are_drawn(
    on_disk: Any, opened: Any, seen: Any, until: Any
) -> None:
    async with opened(on_disk) as pilot:
        app, revision = pilot.app, on_disk.shelf.revision
        await pilot.press("f11")
        await until(pilot, lambda: at(seen, app, "1 Low Tide"))
        await pilot.press("x")
        await until(pilot, lambda: at(seen, app, "without S-01: fits, 70:39"))
        assert at(seen, app, "Low Tide: left out") and on_disk.shelf.revision == revision
        await pilot.press("j")
        await until(pilot, lambda: at(seen, app, "moved with every song there"))
        await pilot.press("x")
        await until(pilot, lambda: at(seen, app, "2 Lanterns"))
        await pilot.press("i", "2")
        await until(pilot, lambda: at(seen, app, "side A", "4:12 of 19:30"))
        assert at(seen, app, "side B", "3:21 of 19:30")


async def test_a_mix_comes_home_by_keys_and_the_sheet_is_printed_in_at_most_fifteen(
    on_disk: Any, opened: Any, seen: Any, until: Any, mix_file: Path, tmp_path: Path
) -> None:
    keys = 0

    async with opened(on_disk) as pilot:
        app = pilot.app

        async def press(*pressed: str) -> None:
            nonlocal keys
            keys += len(pressed)
            await pilot.press(*pressed)

        for number in range(17):  # older ones: the dialog keeps its title and its keys on 24 lines
            old = mix_file.with_name(f"a rough mix that went by a rather long name, number {number:02}.wav")
            old.write_bytes(b"RIFF")
            os.utime(old, (1.6e9, 1.6e9))
        await press("s", "b")
        await until(pilot, lambda: at(seen, app, "1 Low Tide"))
        await press("m")
        await until(pilot, lambda: at(seen, app, "[x]", "Low Tide mix.wav"))
        if app.size.height == 24:
            shown = "\n".join(seen(app))
            assert "which file?" in shown and "Esc leaves" in shown, shown
        assert at(seen, app, "number 00.wav") or at(seen, app, "number 16.wav")
        assert not at(seen, app, "notes.txt")
        await press("enter")
        await until(pilot, lambda: bool(on_disk.shelf.of_kind("mix")))
        await until(pilot, lambda: at(seen, app, "came home", "shorter than"))
        await press("h")
        await until(pilot, lambda: at(seen, app, "LUFS, 2026-12-01; it is more than a tenth"))
        await press("3")
        await until(pilot, lambda: at(seen, app, "1 Low Tide", "0:03", "the one", "approved"))
        await press("p")
        await until(pilot, lambda: any((tmp_path / "paper").glob("album-Salt-Road*.pdf")))
        assert keys <= 15
        for old in mix_file.parent.glob("a rough mix*.wav"):
            old.unlink()
        await pilot.press("m", *str(mix_file), "enter")
        await until(pilot, lambda: at(seen, app, "came home already, as mix 1 of"))
        await pilot.press("h", "4", *"Ulla", "enter")
        await until(pilot, lambda: [one["by"] for one in on_disk.shelf.of_kind("mix").values()] == ["Ulla"])
        await pilot.press("u")
        await pilot.press("u")
        await until(pilot, lambda: at(seen, app, "1 Low Tide", "4:12", "target"))


async def test_the_album_is_laid_out_for_handing_over_by_key(
    on_disk: Any, opened: Any, seen: Any, until: Any, mix_file: Path, tmp_path: Path
) -> None:
    import bagit

    on_disk.release.keep_mix(on_disk.release.measured_mix("S-02", mix_file))
    async with opened(on_disk) as pilot:
        app, folder = pilot.app, tmp_path / "given"
        await pilot.press("f11")
        await until(pilot, lambda: at(seen, app, "1 Low Tide"))
        await pilot.press("d")
        await until(pilot, lambda: at(seen, app, "hand over in which new folder?"))
        await pilot.press(*str(folder), "enter")
        await until(pilot, lambda: (folder / "bagit.txt").is_file())
        await until(pilot, lambda: at(seen, app, "ready to hand over"))
    assert bagit.Bag(str(folder)).is_valid()
    assert mix_file.read_bytes() in [one.read_bytes() for one in folder.rglob("*.wav")]
    assert "Salt Road" in (folder / "data" / "index.html").read_text("utf-8")


async def test_steps_players_and_wishes_by_key(on_disk: Any, opened: Any, seen: Any, until: Any) -> None:
    async with opened(on_disk) as pilot:
        app = pilot.app
        await pilot.press("f11")
        await until(pilot, lambda: at(seen, app, "Ines Moura"))
        await pilot.press("down", "a", *"edit; who Ulla; by soon", "enter")
        await until(pilot, lambda: at(seen, app, "'soon' is no date"))
        await pilot.press(*["backspace"] * 4, *"sat", "enter")
        await until(pilot, lambda: at(seen, app, "2 Lanterns", "edit, Ulla"))
        (step,) = on_disk.shelf.of_kind("step").values()
        assert (step["text"], step["who"], step["by"]) == ("edit", "Ulla", "2026-12-05")
        await pilot.press("space")
        await until(pilot, lambda: all(one["done_at"] for one in on_disk.shelf.of_kind("step").values()))
        await pilot.press("y", *"2026-01-01", "enter")
        await until(pilot, lambda: at(seen, app, "2026-01-01 is past"))
        await pilot.press(*["backspace"] * 5, *"12-19", "enter")
        await until(pilot, lambda: any(one["do"] == "by" for one in on_disk.shelf.of_kind("pin").values()))
        await until(pilot, lambda: at(seen, app, "2 Lanterns", "for 19 Dec"))
        while getattr(app.screen.line, "credit", None) is None:
            await pilot.press("down")
        await pilot.press("n", "2")
        await until(pilot, lambda: at(seen, app, "never asked"))
        await pilot.press("1")
        await until(pilot, lambda: at(seen, app, "Ines Moura", "asked 2026-12-01"))
        await pilot.press("n", "4", *" (drums)", "enter")
        await until(pilot, lambda: at(seen, app, "Ines Moura (drums)"))


async def test_a_shelf_without_an_album_says_so(on_disk: Any, opened: Any, seen: Any, until: Any) -> None:
    from dataclasses import replace

    bare = {key: replace(song, album="") for key, song in on_disk.shelf.songs.items()}
    on_disk.lay_out(replace(on_disk.shelf, songs=bare))
    async with opened(on_disk) as pilot:
        await pilot.press("f11")
        await until(pilot, lambda: at(seen, pilot.app, "No song names an album"))
        await pilot.press("m", "j", "p", "escape")
        await until(pilot, lambda: type(pilot.app.screen).__name__ == "ChartScreen")
