"""`songs --json` as other programs read it, and its dates in the words of every other face."""

from __future__ import annotations

from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar
from pypdf import PdfReader

from core.workbook.plans import Plans

KEYS = {"song", "title", "album", "state", "waits_for", "planned", "chance", "promised"}


@pytest.fixture
def planned(once: Any) -> Any:
    """The made-up shelf with a kept plan, as its JSON."""
    return once(("plan", "--days", "21", "--effort", "0.5", "--json")).json


def test_songs_as_json_say_state_and_dates(planned: Any, run: Any) -> None:
    songs = run("songs", "--json").json
    by_plan = {one["song"]: one["ready"] for one in planned["songs"]}
    assert any(one["chance"] is not None for one in songs)
    for one in songs:
        assert set(one) >= KEYS
        assert one["state"] in ("ready", "waiting", "barred", "no reels")
        if one["state"] == "waiting":
            assert one["planned"] == by_plan[one["song"]]
        if one["chance"] is not None:
            assert 0 <= one["chance"] <= 1
            held = one["promised"] is not None and _time(one["promised"]) <= _time(one["planned"])
            assert (one["chance"] >= 0.8) == held, one


def test_a_song_that_needs_no_reel_is_never_ready(shelf: Path, run: Any) -> None:
    (shelf.parent / "more.csv").write_text("song,title,album,needs\nS-99,Humming,Salt Road,\n")
    assert run("import", str(shelf.parent / "more.csv")).status == 0
    run("plan", "--seconds", "0")
    one = next(one for one in run("songs", "--json").json if one["song"] == "S-99")
    assert (one["state"], one["planned"], one["chance"], one["promised"]) == ("no reels", None, None, None)
    assert "S-99  Humming (Salt Road): no reels" in run("songs").out


def test_a_song_that_is_ready_has_no_date(planned: Any, run: Any, shelf: Path) -> None:
    song = next(one for one in run("songs", "--json").json if one["planned"])
    rows = "".join(f"{reel},verified\n" for reel in song["waits_for"])
    (shelf.parent / "done.csv").write_text(f"reel,stage\n{rows}")
    assert run("import", str(shelf.parent / "done.csv"), "--update").status == 0
    there = next(one for one in run("songs", "--json").json if one["song"] == song["song"])
    assert (there["state"], there["waits_for"]) == ("ready", [])
    assert (there["planned"], there["chance"], there["promised"]) == (None, None, None)


def test_a_date_that_has_passed_is_told_as_past(planned: Any, run: Any, monkeypatch: Any) -> None:
    long_after = datetime(2027, 3, 1, 12, tzinfo=UTC)
    monkeypatch.setattr("tui.commands.command.now", lambda: long_after)
    songs = run("songs", "--json").json
    late = [one for one in songs if one["state"] == "waiting" and one["planned"]]
    assert late
    assert all((one["chance"], one["promised"]) == (0.0, None) for one in late)
    text = run("songs").out
    assert "was planned" in text
    assert all(": ready" not in line for line in text.splitlines() if late[0]["song"] in line)


def test_every_face_tells_one_date_in_the_same_words(
    planned: Any, run: Any, shelf: Path, monkeypatch: Any
) -> None:
    monkeypatch.setitem(Plans.why.__kwdefaults__, "effort", 0.0)  # dates are told without planning anew
    words = {}
    for line in run("songs").out.splitlines():
        key, rest = line.split("  ", 1)
        said = rest.split(": ", 1)[1]
        words[key] = said.split("; waits for")[0]
    titles = {one["song"]: one["title"] for one in run("songs", "--json").json}
    ahead = {key: said for key, said in words.items() if said.startswith("planned ")}
    assert ahead
    assert run("orders", "--out", str(shelf.parent / "out")).status == 0
    weeks = next((shelf.parent / "out").glob("weeks-*.pdf"))
    paper = _flat(" ".join(page.extract_text() for page in PdfReader(BytesIO(weeks.read_bytes())).pages))
    ical = Calendar.from_ical(run("calendar").out.encode())
    told = "\n".join(str(event.get("DESCRIPTION", "")) for event in ical.walk("VEVENT"))
    command = run("plan", "--show").out
    albums = {one["song"]: one["album"] for one in run("songs", "--json").json}
    listed = "\n".join(run("album", name).out for name in sorted({*albums.values()} - {""}))
    for key in sorted(ahead):
        assert f"{titles[key]}: {ahead[key]}\n" in run("why", key).out, key
    for key, said in ahead.items():
        assert not albums[key] or f"{key} {titles[key]}: {said}" in listed, key
        assert f"{titles[key]}: {said}" in told, key
        assert _flat(said) in paper, key
        assert f"{titles[key]}: {said}" in command, key


def _flat(text: str) -> str:
    return "".join(text.split())


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)
