"""Speed or length put right while the tape runs, from another terminal or on the card: the pass follows."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from core.reels.length import play_seconds
from tui.cli import main


def by_set(shelf: Path, column: str, text: str) -> None:
    assert main(["--shelf", str(shelf), "set", "R-008", f"{column}={text}"]) == 0


def by_import(shelf: Path, column: str, text: str) -> None:
    file = shelf.parent / "heard.csv"
    file.write_text(f"reel,{column}\nR-008,{text}\n")
    assert main(["--shelf", str(shelf), "import", str(file), "--update"]) == 0


async def begun(seat: Any) -> float:
    """R-008 runs since three minutes; its play time as it was taken to be."""
    total = float(play_seconds(seat.shelf.reel("R-008"), seat.shelf.studio))
    await seat.go_to("transfer R-008")
    await seat.press("space", "enter", "enter")  # the deck is not lined up; no calendar
    await seat.wait(minutes=3)
    (one,) = [record for record in seat.passes() if record["reel"] == "R-008"]
    assert (one["state"], one["total"]) == ("running", pytest.approx(total))
    return total


@pytest.mark.parametrize("door", [by_set, by_import])
async def test_another_speed_lays_the_begun_pass_aside(
    book: Any, at_machine: Any, door: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with at_machine(book) as seat:
        total = await begun(seat)
        monkeypatch.setattr("tui.commands.command.now", seat.clock)
        door(book.path, "speed", "30 ips")
        await seat.wait(seconds=1)
        (one,) = [record for record in seat.passes() if record["reel"] == "R-008"]
        assert (one["state"], one["void"]) == ("stopped", "heard at 30 ips, not 15 ips")
        await seat.go_to("transfer R-008")
        await seat.press("space", "enter", "enter")  # it is wound back; the deck is not lined up
        (new,) = [one for one in seat.passes() if one["state"] == "running"]
        assert new["total"] == pytest.approx(total / 2)
        assert new["pieces"][0]["from"] == 0


@pytest.mark.parametrize("door", [by_set, by_import])
async def test_another_length_moves_the_end_and_keeps_what_was_played(
    book: Any, at_machine: Any, door: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """1200 ft at 15 ips play 960 s: 1200 x 12 / 15."""
    async with at_machine(book) as seat:
        total = await begun(seat)
        before = next(one for one in seat.app.screen.sheet.steps if one.subject == "R-008").expected
        monkeypatch.setattr("tui.commands.command.now", seat.clock)
        door(book.path, "length", "1200 ft")
        await seat.wait(seconds=1)
        (one,) = [record for record in seat.passes() if record["reel"] == "R-008"]
        assert total != pytest.approx(960)
        assert (one["state"], one["total"], one.get("void")) == ("running", pytest.approx(960), None)
        assert "of 16:00" in seat.text
        after = next(one for one in seat.app.screen.sheet.steps if one.subject == "R-008").expected
        assert (after.end < before.end) == (total > 960)
        await seat.press("u", "enter")  # another program did it: asked first
        (one,) = [record for record in seat.passes() if record["reel"] == "R-008"]
        assert one["total"] == pytest.approx(total)


async def test_another_speed_on_the_card_does_the_same(book: Any, at_machine: Any) -> None:
    async with at_machine(book) as seat:
        await begun(seat)
        await seat.press("c")
        seat.app.open_door("reel", "R-008")
        await seat.settle()
        from tui.asking.field_list import FieldList

        fields = seat.app.screen.query_one(FieldList)
        fields.cursor = next(n for n, line in enumerate(fields.lines) if line.name == "speed")
        await seat.press("enter", "ctrl+u")
        await seat.types("30 ips")
        (one,) = [record for record in seat.passes() if record["reel"] == "R-008"]
        assert one["void"] == "heard at 30 ips, not 15 ips"
