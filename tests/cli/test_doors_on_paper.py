"""Doors by facts on paper and in the calendar: order, run sheet, labels, chamber touches, asked as printed.

Every base, condition, sign and stock meets every other at least once (pairs, chosen by a greedy covering of
all pairs), and all of them are printed; the word is that of the second reading in `tapejudge`.
"""

from __future__ import annotations

import re
from itertools import combinations, product
from pathlib import Path
from typing import Any

import ics
import pytest
from doorshelf import STUDIO, put
from pypdf import PdfReader
from tapejudge import STOCKS, heat, word_of

BASES = ("", "polyester", "acetate", "pvc", "paper", "unknown")
CONDITIONS = ((), ("ok",), ("sticky",), ("squeal",), ("squeal", "sticky"), ("mould",), ("splices",))
SIGNS = ((), ("vinegar",), ("mould",), ("layers adhere",), ("white powder",), ("loose oxide",))

Fact = tuple[str, tuple[str, ...], tuple[str, ...], str]


def pairs_of(fact: Fact) -> set[tuple[int, Any, int, Any]]:
    return {(i, fact[i], j, fact[j]) for i, j in combinations(range(4), 2)}


def covering() -> list[Fact]:
    """A few dozen facts in which every pair of values that may stand together stands together."""
    every = [f for f in product(BASES, CONDITIONS, SIGNS, STOCKS) if not (f[2] and "ok" in f[1])]
    pairs = [pairs_of(one) for one in every]
    bit = {pair: 1 << number for number, pair in enumerate(set().union(*pairs))}
    holds = [sum(bit[pair] for pair in some) for some in pairs]
    still = sum(bit.values())
    chosen: list[Fact] = []
    while still:
        best = max(range(len(every)), key=lambda number: (holds[number] & still).bit_count())
        chosen.append(every[best])
        still &= ~holds[best]
    return chosen


FACTS = covering()
KEY = re.compile(r"R-\d{3}")
LIST = re.compile(r"(?:R-\d{3}|, | and )*")


def row_of(number: int, fact: Fact, stage: str = "identified") -> dict[str, str]:
    base, condition, signs, stock = fact
    return {
        "reel": f"R-{number:03}", "base": base, "condition": ";".join(condition), "signs": ";".join(signs),
        "stock": stock, "width": "1/4 in", "tracks": "2", "speed": "15 ips", "eq": "NAB",
        "level": "250 nWb/m", "stage": stage, "length": "300 ft", "box_label": f"Harbour tape {number}",
    }  # fmt: skip


def judged(fact: Fact) -> tuple[str, frozenset[str], frozenset[str], str]:
    return fact[0], frozenset(fact[1]), frozenset(fact[2]), fact[3]


@pytest.fixture
def shelf(run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "studio.toml").write_text(STUDIO)
    assert run("new", "--studio", "studio.toml").status == 0
    return tmp_path


def text_of(*names: str) -> str:
    pages = [page for name in names if name for page in PdfReader(name).pages]
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_every_pair_of_values_stands_together_once() -> None:
    assert 90 <= len(FACTS) <= 160
    assert {fact[3] for fact in FACTS} == set(STOCKS)


def test_a_label_says_when_its_reel_must_not_be_warmed(run: Any, shelf: Path) -> None:
    """By the second reading: `no heat` stands on the label whatever reason might be given, and only then."""
    rows = [row_of(number, fact) for number, fact in enumerate(FACTS)]
    assert put(run, rows).status == 0
    done = run("print", "labels", "--out", "paper")
    assert done.status == 0, done.err
    text = text_of(*done.out.split("\n"))
    told = dict(zip((row["reel"] for row in rows), by_label(text, rows), strict=True))
    wrong = []
    for row, fact in zip(rows, FACTS, strict=True):
        label = told[row["reel"]].casefold()
        forbidden = "no heat:" in label
        if forbidden != (heat(*judged(fact)) == "no"):
            wrong.append((fact, heat(*judged(fact)), told[row["reel"]]))
        word = word_of(*judged(fact), playable=False)
        if ("warm it before it is played" in label) != (word == "warm"):
            wrong.append((fact, word, told[row["reel"]]))
        if ("test first" in label) != (word == "test first"):
            wrong.append((fact, word, told[row["reel"]]))
    assert wrong == []


def by_label(text: str, rows: list[dict[str, str]]) -> list[str]:
    """The words of each label, from its key to the next one's."""
    places = [text.index(row["reel"]) for row in rows]
    return [text[start:end] for start, end in zip(places, [*places[1:], len(text)], strict=True)]


#: Cases that must go through: sound acetate is played and never warmed, a sticky listed stock is warmed.
GOOD: tuple[Fact, ...] = (
    ("acetate", ("ok",), (), ""),
    ("polyester", ("sticky",), (), "Ampex 456"),
    ("polyester", ("ok",), (), "Harbour 12"),
    ("", ("sticky", "splices"), (), "3M 226"),
)
FORBIDDEN = ("never", "other way", "find the cause", "which stock")


def test_orders_and_calendar_offer_heat_and_deck_by_the_second_reading(run: Any, shelf: Path) -> None:
    """Every third fact of the covering choice in one plan: nothing forbidden, all good reels go through."""
    facts = [*FACTS[::3], *GOOD]
    rows = [row_of(number, fact) for number, fact in enumerate(facts)]
    assert put(run, rows).status == 0
    assert run("plan", "--effort", "0.2", "--days", "20").status == 0
    done = run("orders", "--out", "paper", "--with", "line-ups,transfers,conditioning")
    assert done.status == 0, done.err
    assert run("calendar", "--out", "c.ics").status == 0
    text = text_of(*done.out.split("\n"))
    on_paper = named_after(text, "Load chamber C1: ")
    looked_at = named_after(text, "Before the first heat, look at the base of ")
    assert looked_at == on_paper  # nobody has seen one of them yet
    assert "edge-on before a lamp acetate lets light through" in text
    rung = offered(Path("c.ics").read_text(encoding="utf-8"))
    wrong = []
    for row, fact in zip(rows, facts, strict=True):
        key, word = row["reel"], word_of(*judged(fact), playable=False)
        warm, plays = key in rung["Load chamber C1: "], key in rung["transfer"]
        if warm != (key in on_paper):
            wrong.append((fact, "the calendar and the order differ"))
        if warm and heat(*judged(fact)) != "yes" and word != "look first":
            wrong.append((fact, word, "warmed"))
        if warm and heat(*judged(fact)) == "no":
            wrong.append((fact, word, "warmed"))
        if plays and word in FORBIDDEN:
            wrong.append((fact, word, "played"))
        if word == "warm" and not (warm and plays):
            wrong.append((fact, word, "good, and not warmed and played"))
        if word in ("play", "test first") and not plays:
            wrong.append((fact, word, "good, and not played"))
    assert wrong == []
    assert {word_of(*judged(fact), playable=False) for fact in facts} >= {
        "warm",
        "never",
        "which stock",
        "play",
    }


def offered(text: str) -> dict[str, set[str]]:
    """By what is offered, the reels that the calendar's events name; read by another iCalendar reader."""
    out: dict[str, set[str]] = {"Load chamber C1: ": set(), "transfer": set()}
    for event in ics.Calendar(text).events:
        told = f"{event.name}\n{event.description}"
        for line in told.split("\n"):
            for offer, keys in out.items():
                if offer in line and "NOT:" not in line:
                    keys |= set(KEY.findall(line))
    return out


def named_after(text: str, words: str) -> set[str]:
    """The keys named right behind those words, as often as these stand in the text."""
    parts = text.split(words)[1:]
    return {key for part in parts for key in KEY.findall(LIST.match(part)[0])}  # type: ignore[index]
