"""One tape for every row of the decision table, and beside it ones that lack a single condition of that row.

Written by hand from what is published, row by row, before the table is asked; each says the word, whether
the tape is left out of the work, and what a chamber's door says: ``yes``, ``reason`` (only with one) or
``no``.

Published: never but polyester, no vinegar, no mould (ARSC list, December 2004; ARSC Journal 39(2), 2008;
IPI user's guide for acid strips, 2001; Abbey Newsletter 21-7); layers that adhere (AV Media Matters list,
April 2001); loose oxide disputed (ARSC list, July 2013); cold and fast playing (ARSC list, January 2016;
Restoration Tips & Notes, Degrading tapes); no back coat, no binder that heat cures (a recorder mailing
list's table of sticky tapes); a second, longer treatment (ARSC list, May 2004); damp keeping (ARSC list,
December 2015); the change of binder about 1968 (AV Media Matters list, May 2000). That a box is asked about
and that an owner's word holds is practice.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from wholetable import each_holds

from core.conditioning.advice import Advice, advise
from core.conditioning.known import Known
from core.tape.tables import Row, table
from core.tape.treatments import programme

COURSE = programme(54, 4)
#: Nothing speaks against it: looked at, polyester, a stock without reports, of 1985, no back coat.
SOUND = Known(base="polyester", stock="no", year=1985, back_coat="no")
UNKNOWN = {"stock": "unknown", "year": None}
OTHER = ("acetate", "paper", "pvc")
COATED = {"back_coat": "yes"}


def tape(symptoms: str = "", **told: Any) -> Known:
    """The sound tape with other facts; symptoms joined by ``;``."""
    return replace(SOUND, symptoms=frozenset(filter(None, symptoms.split(";"))), **told)


def door(told: Advice) -> str:
    """What a chamber's door says of it."""
    return "no" if told.no_heat else "reason" if told.asks else "yes"


#: Facts; then the word, ``out`` where it is left out of the work, and the chamber's door.
CASES: list[tuple[Known, str]] = [
    (tape(), "play, reason"),
    (tape(set_aside="lent out"), "never, out, no"),
    (tape("mould"), "never, out, no"),
    (tape("vinegar"), "never, out, no"),
    (tape("loose oxide"), "never, out, no"),
    (tape("layers adhere"), "other way, out, no"),
    (tape("white powder"), "other way, out, no"),
    (tape("mould", inspected=False), "never, out, no"),
    # what its box says must be settled before anything, and a look comes before any advice
    (tape(like="Ampex 456", stock="unknown"), "which stock, out, no"),
    (tape("sticky", like="Ampex 456", stock="unknown", playable=True), "which stock, out, no"),
    (tape(inspected=False), "look first, reason"),
    (tape(inspected=False, stock="yes"), "look first, reason"),
    (tape(inspected=False, base="unknown"), "look first, no"),
    (tape(inspected=False, base="acetate"), "look first, no"),
    # sick on a base that must not be warmed, on one that nobody knows, on one that is in doubt
    *((tape("sticky", base=base, **COATED), "never, out, no") for base in ("acetate", "paper", "pvc")),
    *((tape("sticky", base=base, playable=True), "play, no") for base in ("acetate", "paper", "pvc")),
    *((tape(base=base, **UNKNOWN), "play, no") for base in ("acetate", "paper", "pvc")),
    (tape(base="acetate", stock="yes"), "never, out, no"),
    (tape("sticky", base="unknown", **COATED), "look first, out, no"),
    (tape("sticky", base="unknown", playable=True), "play, no"),
    (tape(base="unknown"), "play, no"),
    (tape(stock="yes", stock_base="acetate"), "look first, out, reason"),
    (tape(stock="yes", stock_base="acetate", base_seen=True), "warm, yes"),
    (tape(stock="yes", stock_base="acetate", playable=True), "play, reason"),
    (tape(stock_base="acetate"), "play, reason"),
    # another base written than polyester that was seen: stricter than either, and its stock's tests stand
    *((tape("sticky", base=b, seen_otherwise=True), "look first, out, no") for b in OTHER),
    (tape("sticky", base="pvc", seen_otherwise=True, playable=True), "play, no"),
    (tape(base="acetate", seen_otherwise=True, stock="yes"), "look first, out, no"),
    *((tape(base=b, seen_otherwise=True), "play, no") for b in ("acetate", "paper")),
    *((tape(base=b, seen_otherwise=True, stock="test first"), "test first, no") for b in ("acetate", "pvc")),
    (tape(base="acetate", seen_otherwise=True, **UNKNOWN), "test first, no"),
    # warmed by its stage alone
    (tape("sticky", playable=True, undated=True), "play, reason"),
    (tape("sticky", undated=True), "test first, out, reason"),
    (tape("sticky", gum=True), "warm, yes"),
    # stocks that another way than heat helps, while they are sick and only then
    (tape("sticky", route="cold", stock="test first"), "cold, out, no"),
    (tape("sticky", route="cold", stock="test first", playable=True), "play, reason"),
    (tape(route="cold"), "play, reason"),
    *((tape("sticky", route=way), "other way, out, no") for way in ("fast play", "slow unwind", "wipe")),
    *((tape("sticky", route=way, playable=True), "play, reason") for way in ("fast play", "wipe")),
    *((tape(route=way), "play, reason") for way in ("fast play", "slow unwind", "wipe")),
    (tape("sticky", route="none", **COATED), "warm, yes"),
    # sticky without a back coat: only a stock that is known to become so is warmed as it is
    *((tape("sticky", stock=stock), "test first, out, reason") for stock in ("unknown", "test first", "no")),
    *((tape("sticky", stock=stock, **COATED), "warm, yes") for stock in ("unknown", "test first", "no")),
    (tape("sticky", back_coat="unknown"), "warm, yes"),
    (tape("sticky", stock="yes"), "warm, yes"),
    (tape("sticky", playable=True), "play, reason"),
    (tape(stock="test first", tried=True), "play, reason"),
    # the heat that helps
    (tape(stock="yes"), "warm, yes"),
    (tape("squeal", stock="yes"), "warm, yes"),
    (tape("squeal;sticky", **COATED), "warm, yes"),
    (tape(stock="yes", playable=True), "play, reason"),
    (tape("sticky", failed=1, **COATED), "warm, yes"),
    (tape(failed=1), "play, reason"),
    (tape("sticky", failed=1, playable=True), "play, reason"),
    (tape("sticky", failed=1, base="unknown", **COATED), "look first, out, no"),
    (tape("sticky", failed=2, **COATED), "warm, out, reason"),
    # squeal alone
    (tape("squeal"), "find the cause, out, no"),
    (tape("squeal", route="cold"), "cold, out, no"),
    (tape("squeal", route="fast play"), "other way, out, no"),
    (tape("squeal", route="heat"), "find the cause, out, no"),
    *((tape("squeal", stock="yes", route=x, playable=True), "play, reason") for x in ("", "cold")),
    (tape("squeal", stock="yes", route="fast play", playable=True), "play, reason"),
    # tried by hand first
    (tape(stock="test first"), "test first, reason"),
    (tape(storage="damp"), "test first, reason"),
    (tape(storage="damp", tried=True), "play, reason"),
    (tape(storage="dry"), "play, reason"),
    (tape(**UNKNOWN), "test first, reason"),
    (tape(**UNKNOWN, playable=True), "test first, reason"),
    (tape(**UNKNOWN, tried=True), "play, reason"),
    (tape(year=None), "play, reason"),
    (tape(stock="unknown"), "play, reason"),
    (tape(stock="unknown", year=1960, **COATED), "test first, reason"),
    (tape(stock="unknown", year=1960, tried=True, **COATED), "play, reason"),
    (tape(year=1960, **COATED), "play, reason"),
    (tape(stock="unknown", year=1968, back_coat="unknown"), "test first, reason"),
    (tape(stock="unknown", year=1968, back_coat="unknown", tried=True), "play, reason"),
    (tape(stock="unknown", year=1967, back_coat="unknown"), "play, reason"),
    (tape(year=1968, back_coat="unknown"), "play, reason"),
]  # fmt: skip


def decided(known: Known, rows: Sequence[Row] | None = None) -> str:
    """What is decided of that tape, in the words of the cases."""
    told = advise(known, COURSE, rows)
    return ", ".join([told.word, *(["out"] if told.barred_by else []), door(told)])


def test_what_is_decided() -> None:
    def holds(case: tuple[Known, str]) -> None:
        assert decided(case[0]) == case[1]

    each_holds(CASES, holds)


#: These say no more than a row below them does, but for their reason.
REASON_ONLY = ("condition-again", "condition-listed", "warmed-by-word", "base-contradicted")


def test_a_row_that_is_gone_or_turned_is_missed() -> None:
    asked = {advise(known, COURSE).rule for known, _ in CASES}

    def holds(key: str) -> None:
        assert key in asked
        _is_missed(key)

    each_holds(table("decisions"), holds)


def _is_missed(key: str) -> None:
    rows = table("decisions")
    less = [row for name, row in rows.items() if name != key]
    word = "play" if rows[key].values["word"] != "play" else "warm"
    turned = replace(rows[key], values={**rows[key].values, "word": word})
    other = [turned if name == key else row for name, row in rows.items()]
    assert any(decided(known, other) != wanted for known, wanted in CASES)
    if key == "sound":
        return  # without the last row nothing is decided at all
    assert any(decided(known, less) != wanted for known, wanted in CASES) or key in REASON_ONLY


#: What the word alone does not tell: why, and what is done in the heat with that reel and with the rest.
SAYS = {
    "mould": ("mould: a danger to people", "without opening or wiping it", "what shows mould too"),
    "vinegar": ("the base decays", "keep it cold and away from other tapes", "Air the chamber"),
    "loose oxide": ("the coating is coming off", "do not wind it", "brush the tray where it lay"),
    "layers adhere": ("layers stick to one another", "do not unwind it", "The rest stays in"),
    "white powder": (
        "white powder",
        "whether the powder is lubricant or mould",
        "what shows powder too comes out",
    ),
}


@pytest.mark.parametrize("sign", SAYS)
def test_why_it_comes_out_and_what_is_done_then(sign: str) -> None:
    because, now, rest = SAYS[sign]
    told = advise(tape(sign), COURSE)
    assert because in told.because and now in told.now and rest in told.rest


#: What is done with a tape that runs all the same, once it stands: none of them is wound.
STOPS = {
    "mould": "bag both reels as they lie",
    "vinegar": "keep it cold and away from other tapes",
    "layers adhere": "do not pull it loose",
    "white powder": "whether the powder is lubricant or mould",
    "loose oxide": "lift it off with both reels as it lies",
    "squeal": "clean heads and guides",
}


@pytest.mark.parametrize("sign", STOPS)
def test_what_is_done_with_one_that_runs_all_the_same(sign: str) -> None:
    told = advise(tape(sign), COURSE)
    assert STOPS[sign] in told.stop and "do not wind it" in told.stop


def test_one_that_nobody_looked_at_is_looked_at_as_it_lies() -> None:
    told = advise(tape(inspected=False), COURSE)
    assert "look at it as it lies" in told.stop and "write down its condition" in told.stop


def test_rows_that_share_a_word_tell_their_own_reason() -> None:
    aside = advise(tape(set_aside="lent out"), COURSE)
    assert (aside.because, aside.now) == ("set aside: lent out", "put it where you set it aside to go")
    assert aside.rest == "The rest of the load stays in."
    assert "did not hold" in advise(tape("sticky", failed=1, **COATED), COURSE).because
    assert "treated before it is played" in advise(tape(stock="yes"), COURSE).because
    assert "dry warmth" in advise(tape("sticky", **COATED), COURSE).because
    assert "inside its playable time" in advise(tape("sticky", playable=True), COURSE).because
    by_word = advise(tape("sticky", playable=True, undated=True), COURSE)
    assert "its warmth rests on your word" in by_word.because and "by hand first" in by_word.how
    assert "nothing seen" in advise(tape(playable=True, undated=True), COURSE).because
    assert "tried=gum" in advise(tape("sticky"), COURSE).because
    told = advise(tape("sticky", base="pvc", seen_otherwise=True), COURSE)
    assert "pvc is written, and polyester was seen" in told.because and "pvc is written" in str(told.no_heat)
    weaker = advise(tape(base="pvc", seen_otherwise=True), COURSE)
    assert "as the weaker of the two" in weaker.how and "pvc is written" in weaker.because
    assert "neither smells nor clings" in advise(tape(base="acetate"), COURSE).because
    assert "weaken slowly" in advise(tape(base="pvc"), COURSE).because
    assert "reports of this stock differ" in advise(tape(stock="test first"), COURSE).because
    assert "kept damp" in advise(tape(storage="damp", **UNKNOWN), COURSE).because


#: What a tape leaves on the path of a deck, and how that is wiped; nothing for what is not known to be sick.
PATHS = {
    "mould": "particle mask, wipe the whole path",
    "vinegar": "air the room",
    "loose oxide": "brush off",
    "white powder": "gloves and a mask",
    "layers adhere": "clean heads and guides",
    "squeal": "clean heads and guides",
    "sticky": "clean heads and guides",
}


@pytest.mark.parametrize("sign", PATHS)
def test_what_is_done_with_the_path_over_which_it_ran(sign: str) -> None:
    assert PATHS[sign] in advise(tape(sign), COURSE).path


def test_what_is_not_known_to_be_sick_leaves_nothing_on_the_path() -> None:
    clean = (tape(), tape(set_aside="lent"), tape(like="Ampex 456", stock="unknown"), tape(**UNKNOWN))
    assert [advise(one, COURSE).path for one in clean] == [""] * 4
    assert advise(tape("sticky", playable=True), COURSE).path == ""
