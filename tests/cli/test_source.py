"""Where a figure comes from, asked on the command line."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from core.studio.studio import Minutes
from core.tape.tables import table
from core.tape.where import all_keys, figure


def test_a_figure_is_told_with_source_and_standing(run: Any) -> None:
    told = run("source", "azimuth.calibration_urad")
    # 1 minute of arc is pi / 10800 rad = 290.9 µrad, about 300 µrad (arithmetic).
    assert told.status == 0 and "300 µrad" in told.out and "standing: verified" in told.out
    assert told.out.count("source: ") == 2


def test_a_value_of_a_row_as_json(run: Any) -> None:
    # IASA-TC 04, 5.4.10, Table 1: NAB at 15 ips is 3180 and 50 µs.
    told = run("source", "equalisations.nab-15.t_high_us", "--json").json
    assert (told["value"], told["standing"]) == (50, "verified")
    assert "IASA-TC 04" in told["source"][0]["title"]


def test_words_search_and_nothing_lists_all_keys(run: Any) -> None:
    found = [one["key"] for one in run("source", "full-width", "calibration", "--json").json]
    assert "lineup.fringing_hz" in found and len(found) < 10
    assert len(run("source").out.splitlines()) == len(all_keys())


def test_what_nothing_answers_to_is_told_in_one_line(run: Any) -> None:
    told = run("source", "no-such-thing")
    assert (told.status, told.out) == (1, "") and told.err.count("\n") == 1


def test_the_owners_figure_stands_in_place_of_the_tables(run: Any, shelf: Path) -> None:
    from datetime import UTC, datetime

    from core.workbook.workbook import Workbook

    own = {"lineup.level_db": {"value": 0.3, "note": "our console reads finer"}}
    book = Workbook.open(shelf, lambda: datetime(2026, 12, 1, tzinfo=UTC))
    book.change(lambda s: s.choosing("figures", own), what="set figures")
    told = run("source", "lineup.level_db")
    assert "0.3 dB" in told.out and "the owner's own" in told.out and "console reads finer" in told.out


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("heat.settle_hours", {"value": "nan"}),
        ("heat.settle_hours", 7),
        ("heat.resume_minutes", {"value": -5}),
        ("heat.reading_band_c", {"value": 1e9}),
        ("heat.hard_stop_c", {"value": 90}),
        ("heat.nonsense", {"value": 1}),
        ("heat.settle_hours", {"value": True}),
    ],
)
def test_a_figure_of_ones_own_that_cannot_be_is_refused(run: Any, shelf: Path, key: str, told: Any) -> None:
    def brought(figures: dict[str, Any]) -> Any:
        record = {"kind": "setting", "key": "figures", "value": figures}
        Path("rec.json").write_text(json.dumps({"reelturn records": 1, "records": [record]}))
        return run("import", "--update", "rec.json")

    refused = brought({"lineup.level_db": {"value": 0.3}, key: told})
    assert refused.status == 1 and key in refused.err and refused.err.count("\n") == 1
    assert brought({"lineup.level_db": {"value": 0.3}}).status == 0


def test_a_reel_is_told_with_reasons_and_the_cheapest_test(run: Any, shelf: Path) -> None:
    told = run("source", "R-001").out
    heads = ("What to do with it", "Length, play time", "Treatment of its width", "Set-up", "Handling")
    assert all(head in told for head in heads)
    assert "Because:" in told and "heat.hard_stop_c: 60 °C" in told and "Local rules" in told
    assert set(run("source", "R-001", "--json").json) == {"reel", "told"}


@pytest.mark.parametrize("key", [key for key in table("figures") if key.startswith("minutes.")])
def test_the_studios_own_minutes_are_the_tables(key: str) -> None:
    assert float(getattr(Minutes(), key.partition(".")[2])) == float(figure(key))


def test_a_place_and_a_sheet_tell_of_their_figures(run: Any) -> None:
    told = run("source", "work order")
    assert told.status == 0
    assert "minutes.verify" in told.out and "Source: Common practice of the trade" in told.out
    document = run("source", "chamber", "--json").json
    assert document["where"] == "chamber"
    keys = {row["key"] for one in document["figures"] for row in one["rows"]}
    assert {"heat.hard_stop_c", "heat.resume_minutes"} <= keys


def test_thresholds_of_a_check_are_told_with_their_reasons(run: Any) -> None:
    assert "common practice" in run("source", "thresholds.dropout_fall").out
    assert run("source", "thresholds").out.count("\n") > 10
    assert run("source", "thresholds.nothing").status == 1


def test_a_word_is_told_first_and_figures_that_have_to_do_with_it_below(run: Any) -> None:
    told = run("source", "tails", "out").out.splitlines()
    assert told[0].startswith("wind: Which end is outermost") and "heads out" in told[1]
    assert "source: Common practice of the trade" in told[2]
    azimuth = run("source", "azimuth", "--json").json
    assert azimuth[0]["key"] == "glossary.azimuth" and len(azimuth) > 3
    wrong = run("source", "azzimuth")
    assert wrong.status == 1 and "did you mean azimuth?" in wrong.err


def test_whole_words_answer_first_and_what_lies_inside_another_word_never(run: Any) -> None:
    inside = run("source", "eel")  # a key half typed: the middle of reel
    assert (inside.status, inside.out) == (1, "") and "did you mean reel?" in inside.err
    told = [one["key"] for one in run("source", "turn", "--json").json if not one["key"].startswith("gloss")]
    texts = [" ".join(run("source", key).out.casefold().split()) for key in (told[0], told[-1])]
    assert re.search(r"\bturn\b", texts[0].replace("_", " "))
    assert not re.search(r"\bturn\b", texts[1].replace("_", " ")) and re.search(r"\bturn", texts[1])
