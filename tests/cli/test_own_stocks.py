"""The owner's own rows of the stocks table: what they lack and what they are against is said at each door.

Ampex 456 becomes sticky and is polyester: Wikipedia, Sticky-shed syndrome; 3M 111 is acetate by the
table's sources.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

AGAINST = {
    "sticky by the table": (("Ampex 456", "sticky=no"), "sticky no, where the table has yes"),
    "another base": (
        ("Scotch 111", "base=polyester", "sticky=yes"),
        "base polyester, where the table has acetate",
    ),
    "by its bare number": (("456", "makers=Zonal", "sticky=no"), "sticky no, where the table has yes"),
    "reports that differ": (("Agfa PEM 468", "sticky=no"), "sticky no, where the table has test first"),
}


@pytest.mark.parametrize("what", AGAINST)
def test_an_own_row_against_the_tables_takes_a_reason_and_keeps_it(there: Any, what: str) -> None:
    row, told = AGAINST[what]
    refused = there("stocks", *row)
    assert refused.status == 1 and told in refused.err and "--because" in refused.err, refused.err
    assert "the owner's own" not in there("stocks").out
    taken = there("stocks", *row, "--because", "forty boxes of it ran clean")
    assert taken.status == 0 and "the owner's own (because: forty boxes of it ran clean)" in taken.out
    assert "the owner's own: forty boxes of it ran clean" in there("stocks").out
    assert there("stocks", row[0], "note=seen in three cellars").status == 0  # the reason stands
    assert "forty boxes of it ran clean" in there("stocks").out
    anew = there("stocks", row[0], "base=pvc")  # for what it was given for
    assert anew.status == (0 if what == "reports that differ" else 1), anew.err


def test_an_own_row_that_says_what_the_table_says_or_does_not_know_needs_no_reason(there: Any) -> None:
    for row in (("Ampex 456", "sticky=yes"), ("Agfa PEM 468", "base=polyester"), ("Harbour 12", "sticky=no")):
        assert there("stocks", *row).status == 0
    assert there("stocks", "Ampex 456", "sticky=no", "--because", "new old stock").status == 0
    assert there("stocks", "Ampex 456", "sticky=yes").status == 0  # the reason goes with what it was for
    assert "new old stock" not in there("stocks", "--json").out


def test_own_rows_in_a_file_say_each_what_they_are_against_and_why(there: Any, tmp_path: Path) -> None:
    assert there("stocks", "Ampex 456", "sticky=no", "--because", "new old stock").status == 0
    assert there("stocks", "Scotch 111", "base=pvc", "--because", "burns so").status == 0
    assert there("export", "out").status == 0
    assert there("stocks", "--drop", "Ampex 456").status == 0
    assert there("stocks", "--drop", "Scotch 111").status == 0
    records = tmp_path / "out" / "records.json"
    kept = json.loads(records.read_text())
    for one in kept["records"]:
        if one["key"] == "Scotch 111":
            del one["value"]["because"]
    records.write_text(json.dumps(kept))
    for how in (("--look",), ("--update",)):
        said = there("import", "out/records.json", *how).err
        assert (
            "stock Ampex 456: sticky no, where the table has yes: taken as your own row, because: new old"
            in said
        )
        assert (
            "stock Scotch 111: base pvc, where the table has acetate: taken as your own row, no reason"
            in said
        )
    assert there("import", "out/records.json", "--update").err.count("own row") == 0


def test_an_own_row_says_what_it_lacks_at_command_and_file_and_shows_itself(
    there: Any, tmp_path: Path
) -> None:
    for name, missing in (("9911", "no maker"), ("Harbour", "no number"), ("Harbour 12", ""), ("456", "")):
        told = there("stocks", name, "sticky=no", "--because", "mine run clean")
        assert told.status == 0
        assert (f"stock {name}: {missing} is told: it counts for a box that says {name}" in told.err) == bool(
            missing
        )
        assert missing or "is told" not in told.err
    assert there("stocks", "9911", "makers=Harbour").err == ""
    assert there("stocks", "Acme 111", "makers=Acme").out.startswith("Acme 111: ")
    assert there("export", "out").status == 0
    rows = (tmp_path / "out" / "records.json").read_text()
    (tmp_path / "out" / "records.json").write_text(rows.replace('"Harbour"', '"Quay"'))
    brought = there("import", "out/records.json", "--update")
    assert "stock Quay: no number is told" in brought.err and "9911" not in brought.err
    assert there("stocks", "Ampex 456", "sticky=yes").status == 0
    row = ("456", "makers=Zonal", "sticky=no", "base=acetate")
    shown = there("stocks", *row, "--because", "the boxes say Zonal").out
    assert "Zonal" in shown and "sticky no, base acetate" in shown, shown


def test_the_owners_stocks_have_a_door(there: Any) -> None:
    assert there("stocks", "Harbour 12", "sticky=yes", "base_mil=1.5 mil", "makers=Quay;Pier").status == 0
    words = {one["reel"]: one["advice"] for one in there("reels", "--json").json}
    assert (words["P-1"], words["C-1"]) == ("warm", "warm")
    (row,) = [one for one in there("stocks", "--json").json if one["standing"] == "the owner's own"]
    assert (row["base_mil"], row["makers"]) == (1.5, ["Quay", "Pier"])
    for wrong in (("sticky=maybe",), ("colour=red",), ("base_mil=12",), ()):
        assert there("stocks", "Harbour 12", *wrong).status in (1, 2)
    assert there("stocks", "--drop", "harbour-12").status == 0
    assert {one["advice"] for one in there("reels", "--json").json if one["reel"] == "P-1"} <= {
        "play",
        "test first",
    }
    assert there("undo").status == 0
    assert there("stocks", "--json").out.count("the owner's own") == 1


@pytest.mark.parametrize(
    ("years", "taken"),
    [("abc", False), ("1985-1975", False), ("1234", False), ("1975-1985", True), ("1970s", True),
     ("to 1967", True), ("all", True)],
)  # fmt: skip
def test_the_years_of_an_own_row_are_years(there: Any, tmp_path: Path, years: str, taken: bool) -> None:
    told = there("stocks", "Harbour 99", f"years={years}", "sticky=no", "base=polyester")
    says = f"stock Harbour 99: years is when it was made, as 1975-1985, 1970s or to 1967, not {years!r}"
    assert (told.status == 0) is taken and (says in told.err) is not taken
    assert there("stocks", "Harbour 99", "years=1970s", "sticky=no", "base=polyester").status == 0
    assert there("export", "out").status == 0
    records = tmp_path / "out" / "records.json"
    records.write_text(records.read_text().replace("1970s", years))
    brought = there("import", "--update", "out/records.json")
    assert (brought.status == 0) is taken and (says in brought.err) is not taken
