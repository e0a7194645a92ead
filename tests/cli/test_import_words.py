"""Files as people leave them: the forms' own words for columns, rows that are still coming."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]


def reel(run: Run, tmp_path: Path, key: str) -> dict[str, str]:
    """The row of that reel in an export."""
    assert run("export", "out").status == 0
    with (tmp_path / "out" / "reels.csv").open(newline="", encoding="utf-8") as file:
        return next(row for row in csv.DictReader(file) if row["reel"] == key)


def test_words_and_place_are_what_the_form_of_the_boxes_calls_so(
    run: Run, shelf: Path, tmp_path: Path
) -> None:
    (tmp_path / "own.csv").write_text("reel|words|width|place\nB-1|Low Tide|1/4 in|A3\n", encoding="utf-8")
    looked = run("import", "--look", "own.csv")
    assert "columns understood: reel, box_label, width, location" in looked.out
    said = "own.csv row 1: words is read as box_label, place is read as location"
    assert "not understood" not in looked.out and said in looked.err
    told = run("import", "own.csv")
    assert told.status == 0 and said in told.err
    back = reel(run, tmp_path, "B-1")
    assert (back["box_label"], back["location"]) == ("Low Tide", "A3") and "words" not in back
    # Beside the column itself it is a column of one's own, kept as given, as every other is.
    (tmp_path / "more.csv").write_text("reel,location,place\nB-2,A4,upstairs\n", encoding="utf-8")
    assert run("import", "more.csv").status == 0
    back = reel(run, tmp_path, "B-2")
    assert (back["location"], back["place"]) == ("A4", "upstairs")
    assert run("new", "--studio", "out/studio.toml", "--shelf", "again.json").status == 0
    assert run("import", "out/reels.csv", "--shelf", "again.json").status == 0
    assert run("export", "once more", "--shelf", "again.json").status == 0
    assert (tmp_path / "once more/reels.csv").read_bytes() == (tmp_path / "out/reels.csv").read_bytes()


def test_a_list_of_reels_that_heads_their_keys_key_is_read(run: Run, shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text("key,words,width\nB-1,Low Tide,1/4 in\n", encoding="utf-8")
    told = run("import", "own.csv")
    assert told.status == 0 and "words is read as box_label, key is read as reel" in told.err
    assert reel(run, tmp_path, "B-1")["box_label"] == "Low Tide"
    # The key of a song is another thing, and of a list that may be either nothing is guessed.
    for head in ("key,title,artist", "key,notes", "key,speed"):
        (tmp_path / "other.csv").write_text(f"{head}\n{head}\n", encoding="utf-8")
        assert run("import", "other.csv").status == 2
    # Beside the column itself, and on a sheet, it is a column of one's own.
    for name, text in (("more", "reel,key\nB-2,mine\n"), ("sheet", "sheet,track,key\nT-1,1,A minor\n")):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
        told = run("import", f"{name}.csv")
        assert told.status == 0 and "kept as given: 'key'" in told.err


@pytest.mark.parametrize("half", ["B-2\n", "B-2,1/4 in,"])
def test_a_file_that_grows_behind_its_reading_is_refused_too(
    run: Run, shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, half: str
) -> None:
    """A program that saves a row at a time writes before, while and after it is read: nothing is taken."""
    from core.store.exchange.imports import Import

    own = tmp_path / "own.csv"
    own.write_text(f"reel\n{half}", encoding="utf-8")
    lay, before = Import.run, shelf.read_bytes()

    def growing(bringing: Any) -> Any:
        with own.open("a", encoding="utf-8") as file:
            file.write("B-3\n")
        return lay(bringing)

    monkeypatch.setattr(Import, "run", growing)
    told = run("import", "own.csv")
    assert told.status == 2 and told.err.startswith("reelturn: own.csv: it changed while it was read"), told
    assert len(told.err.splitlines()) == 1 and shelf.read_bytes() == before
    monkeypatch.setattr(Import, "run", lay)
    assert run("import", "own.csv").status == (0 if half == "B-2\n" else 1)
