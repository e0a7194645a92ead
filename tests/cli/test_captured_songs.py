"""The made-up songs that were captured already: from mixes in a folder to a bag, by command alone.

Their tapes ran along known maps (core/capture/made_up/tapes.py), which nothing but these tests reads back.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import bagit
import numpy as np
import pytest

from core.capture.made_up.tapes import MAPS, PIECES
from tui.commands.demo.captured import AT, lay_captured
from tui.commands.demo_ import demo_files, lay_out


@pytest.fixture
def on(tmp_path: Path, run: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Runs a command line on the made-up shelf with its captures and mixes, in its folder."""
    lay_captured(lay_out(tmp_path, lambda: AT), tmp_path, demo_files() / "captured")
    monkeypatch.setenv("REELTURN_SHELF", str(tmp_path / "shelf.json"))
    return run


def test_songs_in_every_state_captures_that_lie_as_their_tapes_ran_and_a_bag(on: Any, tmp_path: Path) -> None:
    """One shelf for all of it, since making its sound takes a few seconds."""
    the_album_has_songs_in_every_state(on)
    captures_lie_as_their_tapes_ran(on)
    from_a_mix_in_the_folder_to_a_bag(on, tmp_path)


def the_album_has_songs_in_every_state(on: Any) -> None:
    page = on("album", "Salt Road", "--json").json
    states = {song["song"]: song["state"] for song in page["songs"]}
    assert {states[f"S-{n}"] for n in (11, 12, 13, 14, 15)} | {states["S-01"]} == {
        "captured", "in work", "mixed", "approved", "nothing known", "waiting",
    }  # fmt: skip
    lengths = {song["song"]: song["seconds"] for song in page["songs"]}
    assert lengths["S-14"] == pytest.approx(PIECES["S-14"][1], abs=0.2)
    assert on("wish").out.startswith("1  S-06 by 2026-12-16")
    said = " ".join(page["missing"])
    for words in (
        "which take begins? ask her; waits for Nell Harrow", "a digit is mistyped", "ask Jory Penna",
        "Ida Quill was asked on 2026-11-14 and has not answered",
    ):  # fmt: skip
        assert words in said, words
    assert [on("reels", "--json").json[n]["stage"] for n in range(-6, 0)] == ["verified"] * 6


def captures_lie_as_their_tapes_ran(on: Any) -> None:
    """Code on two tapes, sound on the third; another take to the same click is refused."""
    assert on("tie", "K-101", "K-103").status == 0
    refused = on("tie", "K-101", "K-105")
    assert refused.status == 1 and "share no sound that can be proved" in refused.err
    told = on("parts", "S-11", "--json").json
    assert {part["state"] for part in told["parts"]} == {"to hand"} and len(told["parts"]) == 8
    for part in told["parts"]:
        (source,) = part["use"]
        at, song = np.array(part["place"]["curve"]).T
        inside = (at > 3) & (at < 27)
        off = MAPS[source["reel"]].song(at[inside]) - song[inside]
        assert np.ptp(off) < 0.001, (source["reel"], off)


def from_a_mix_in_the_folder_to_a_bag(on: Any, made_up: Path) -> None:
    came = on("mix", "Bell Buoy", "mixes/Bell Buoy mix 1.wav", "--as", "the-one", "--by", "Ulla Brandt")
    assert came.status == 0 and came.err == "" and "the one  0:26.9" in came.out
    newer = on("mix", "S-11", "mixes/Bell Buoy mix 2.wav")
    assert "mix 1  the one" in newer.out and "mix 2  rough" in newer.out
    assert on("print", "album", "--out", "paper").status == 0
    done = on("bag", "given", "--album", "salt road")
    assert (done.status, done.out) == (0, "given\n"), done.err
    assert bagit.Bag(str(made_up / "given")).is_valid()
    data = made_up / "given" / "data"
    begins = (data / "index.txt").read_text("utf-8")
    for words in ("9. Bell Buoy (S-11)", "how it stands: approved", "mix 2, rough", "ISRC: ZZ-M4U-26-00011"):
        assert words in begins, words
    sums = {path.read_bytes() for path in data.glob("songs/S-11*/mixes/*.wav")}
    assert sums == {path.read_bytes() for path in (made_up / "mixes").glob("Bell*.wav")}
