"""Doors by facts on the screen: chart, card, load dialog, go-on and Tonight, each asked through its own keys.

A screen is slow, so a sample is asked: every fourth fact of a choice in which all pairs of base, condition,
sign and stock meet, and cases that must go through. The word is that of the second reading in `tapejudge`.
"""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from doorshelf import STUDIO, put
from tapejudge import STOCKS, heat, word_of

from core.conditioning.loads.kept_loads import loads_of
from core.workbook.workbook import Workbook
from tui.cli import main

NOW = datetime(2026, 12, 2, 9, 0, tzinfo=UTC)
BASES = ("", "polyester", "acetate", "unknown")
CONDITIONS = ((), ("ok",), ("sticky",), ("squeal",), ("squeal", "sticky"), ("mould",))
SIGNS = ((), ("vinegar",), ("mould",), ("layers adhere",), ("white powder",), ("loose oxide",))
GOOD = (
    ("polyester", ("sticky",), (), "Ampex 456"),
    ("", ("ok",), (), "3M 226"),
    ("acetate", ("ok",), (), ""),
    ("polyester", ("ok",), (), "Harbour 12"),
)


def sample() -> list[tuple[str, tuple[str, ...], tuple[str, ...], str]]:
    """Facts from the whole space, 41 apart: as that is coprime to each count, all values come up."""
    every = [f for f in product(BASES, CONDITIONS, SIGNS, STOCKS) if not (f[2] and "ok" in f[1])]
    return [*every[::41], *GOOD]


FACTS = sample()


def judged(fact: Any) -> tuple[str, frozenset[str], frozenset[str], str]:
    return fact[0], frozenset(fact[1]), frozenset(fact[2]), fact[3]


def row_of(number: int, fact: Any) -> dict[str, str]:
    base, condition, signs, stock = fact
    return {
        "reel": f"R-{number:03}", "base": base, "condition": ";".join(condition), "signs": ";".join(signs),
        "stock": stock, "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB",
        "level": "250 nWb/m", "stage": "identified", "length": "300 ft",
    }  # fmt: skip


def command(*words: str) -> Any:
    status = main(list(words))
    assert status == 0, words
    return type("Ran", (), {"status": status})


@pytest.fixture
def doors(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "doors.json"))
    monkeypatch.setattr("tui.commands.command.now", lambda: NOW)
    (tmp_path / "studio.toml").write_text(STUDIO)
    command("new", "--studio", "studio.toml")
    put(command, [row_of(number, fact) for number, fact in enumerate(FACTS)])
    return Workbook.open(tmp_path / "doors.json", lambda: NOW)


def test_the_sample_has_every_value() -> None:
    for place, values in enumerate((BASES, CONDITIONS, SIGNS, STOCKS)):
        assert {fact[place] for fact in FACTS} == set(values)
    assert {heat(*judged(fact)) for fact in FACTS} == {"yes", "reason", "no"}


async def test_the_load_dialog_lets_none_in_that_the_second_reading_keeps_out(
    doors: Any, opened: Any, until: Any
) -> None:
    from tui.asking.toggles import Toggles

    wrong = []
    async with opened(doors) as pilot:
        for number, fact in enumerate(FACTS):
            key = f"R-{number:03}"
            pilot.app.screen.rows.go_to(key)
            await pilot.press("l")
            await until(pilot, lambda: bool(pilot.app.screen.query(Toggles)))
            toggles = pilot.app.screen.query_one(Toggles)
            (line,) = [one for one in toggles.lines if one.key == f"reel {key}"]
            toggles.cursor = toggles.lines.index(line)
            if line.key not in toggles.ticked:
                await pilot.press("space")  # a reel that may not go in is not ticked by its key either
            may = line.key in toggles.ticked
            if may != (heat(*judged(fact)) != "no") or may == bool(line.why_not):
                wrong.append((fact, heat(*judged(fact)), line.why_not))
            await pilot.press("escape")
            await until(pilot, lambda: not pilot.app.screen.query(Toggles))
    assert wrong == []


async def test_chart_and_card_offer_heat_and_deck_by_the_second_reading(
    doors: Any, opened: Any, seen: Any, until: Any
) -> None:
    wrong = []
    async with opened(doors, (100, 60)) as pilot:
        for number, fact in enumerate(FACTS):
            key, word = f"R-{number:03}", word_of(*judged(fact), playable=False)
            pilot.app.screen.rows.go_to(key)
            await pilot.pause()
            row = next(line for line in seen(pilot.app) if key in line)
            await pilot.press("enter")
            await until(pilot, lambda key=key: getattr(pilot.app.screen, "key", "") == key)
            card = next(line for line in seen(pilot.app) if "next:" in line)
            await pilot.press("escape")
            await until(
                pilot, lambda: pilot.app.current_mode == "chart" and hasattr(pilot.app.screen, "rows")
            )
            for told in (row, card):
                if ("warm 4 h" in told) != (word == "warm"):
                    wrong.append((fact, word, told))
                if ("line up" in told) != (word in ("play", "test first")):
                    wrong.append((fact, word, told))
                if ("test, " in told) != (word == "test first"):
                    wrong.append((fact, word, told))
    assert wrong == []


async def test_a_load_that_was_broken_off_does_not_go_on_with_what_was_learnt_since(
    doors: Any, opened: Any, seen: Any, until: Any
) -> None:
    good = f"R-{FACTS.index(GOOD[0]):03}"
    command("load", "C1", good, "--at", "2026-12-02T08:00")
    command("chamber", "--broken-off", "power", "--at", "2026-12-02T08:40")
    assert doors.reload()
    load = next(key for key, log in loads_of(doors.shelf).items() if log.member(good))
    command("set", good, "signs=vinegar")
    async with opened(doors) as pilot:
        await until(pilot, lambda: any(f"Take {good} out of chamber C1" in line for line in seen(pilot.app)))
        await pilot.press("l", "f2", "g")  # the bell rings for it, and is put off
        await until(pilot, lambda: any(f"Is {good} out of C1?" in line for line in seen(pilot.app)))
        assert any("vinegar" in line for line in seen(pilot.app))
        await pilot.press("enter")  # not yet
        assert not loads_of(doors.shelf)[load].member(good).out
        await pilot.press("g", "down", "enter")
        await until(pilot, lambda: loads_of(doors.shelf)[load].member(good).out is not None)
        assert not doors.shelf.reel(good).chamber


async def test_the_mouldy_one_is_not_opened_by_the_key_that_identifies(
    doors: Any, opened: Any, seen: Any, until: Any
) -> None:
    command("set", "R-000", "stage=found", "signs=mould", "condition=")
    async with opened(doors) as pilot:
        await pilot.press("home", "space")
        says = "R-000: mould: a danger to people"  # not the form of a look
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
        assert not pilot.app.screen.query("OneAnswer")
        assert pilot.app.screen.row.states[1] == "barred"
        assert doors.shelf.reel("R-000").stage == "found"


@pytest.mark.parametrize("line", [0, 1])  # it is; it is another tape, and sticky all the same
async def test_the_one_key_asks_which_stock_until_it_is_answered(
    doors: Any, opened: Any, seen: Any, until: Any, line: int
) -> None:
    command("set", "R-000", "stock=Ampex 456 Grand Master", "base=polyester", "signs=", "condition=sticky")
    before = doors.reload() and doors.shelf.reel("R-000").stock
    assert before == "Ampex 456 Grand Master"
    async with opened(doors) as pilot:
        await pilot.press("home", "space")
        await until(pilot, lambda: any("is written like Ampex 456: is it?" in x for x in seen(pilot.app)))
        await pilot.press("escape", "space")  # left open, it is asked again
        await until(pilot, lambda: any("is written like Ampex 456: is it?" in x for x in seen(pilot.app)))
        await pilot.press(*["down"] * line, "enter")
        await until(pilot, lambda: not any("is written like" in x for x in seen(pilot.app)))
        assert main(["load", "C1", "R-000", "--at", "2026-12-02T08:00"]) == 0
        assert doors.reload() and doors.shelf.reel("R-000").stock.startswith("Ampex 456")


async def test_one_answer_serves_all_boxes_with_the_same_words(
    doors: Any, opened: Any, seen: Any, until: Any
) -> None:
    for key, word in (("R-000", "Agfa 468"), ("R-001", "Agfa  468"), ("R-002", "Agfa 469")):
        command("set", key, f"stock={word}", "base=polyester", "signs=", "condition=sticky")
    assert doors.reload()
    async with opened(doors) as pilot:
        await pilot.press("home", "space")
        await until(pilot, lambda: any("4 yes, and so are R-001, " in x for x in seen(pilot.app)))
        await pilot.press("4")
        await until(pilot, lambda: doors.shelf.reel("R-001").stock == "Agfa PEM 468")
        assert (
            doors.shelf.reel("R-000").stock == "Agfa PEM 468"
            and doors.shelf.reel("R-002").stock == "Agfa 469"
        )
        await pilot.press("u")
        await until(pilot, lambda: doors.shelf.reel("R-001").stock == "Agfa  468")
        assert doors.shelf.reel("R-000").stock == "Agfa 468"


async def test_the_load_dialog_asks_for_the_reason_that_the_command_asks_for(
    doors: Any, opened: Any, seen: Any, typed: Any, until: Any
) -> None:
    command("set", "R-000", "stock=Ampex 456", "base=polyester", "signs=", "condition=", "base_seen=yes")
    async with opened(doors) as pilot:
        await pilot.press("home", "l")
        await until(pilot, lambda: any("Load a chamber" in line for line in seen(pilot.app)))
        await pilot.press("enter")
        await until(pilot, lambda: any("all the same?" in line for line in seen(pilot.app)))
        assert any("R-000" in line for line in seen(pilot.app))
        await pilot.press("escape")
        await pilot.press("enter")
        await typed(pilot, "brown gum on the leader")
        await pilot.press("enter")
        await until(pilot, lambda: doors.shelf.reel("R-000").chamber == "C1")
        (record,) = doors.shelf.of_kind("load").values()
        assert record["because"] == "brown gum on the leader"


async def test_what_lay_beside_mould_says_so_at_its_row_before_it_goes_in(
    doors: Any, opened: Any, seen: Any, until: Any
) -> None:
    facts = ("stock=Ampex 456", "base=polyester", "signs=", "condition=sticky", "base_seen=yes")
    for key in ("R-000", "R-001"):
        command("set", key, *facts)
    command("load", "C1", "R-000", "R-001", "--at", "2026-12-02T08:00")
    command("set", "R-001", "signs=mould", "condition=")
    for key in ("R-000", "R-001"):
        command("chamber", "C1", "--out", key)
    assert doors.reload()
    async with opened(doors) as pilot:
        await pilot.press("home", "l")
        says = "R-000  ! was beside R-001, which has mould"
        await until(pilot, lambda: any(says in line for line in seen(pilot.app)))
