"""Captures on the command line: checks of every pass, looks, copies, manifests, bags, thresholds."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import bagit
import numpy as np
import pytest
import soundfile

Run = Callable[..., Any]


@pytest.fixture
def take(tmp_path: Path) -> Callable[..., Path]:
    """``take(name, channels)``: two seconds of hissing channels that differ."""

    def write(name: str, channels: int, level: float = 0.1) -> Path:
        rng = np.random.default_rng(sum(name.encode()))
        path = tmp_path / name
        sound = np.clip(level * rng.standard_normal((16000, channels)), -1, 1 - 2**-23)
        soundfile.write(path, sound, 8000, "PCM_24")
        return path

    return write


@pytest.fixture
def sixteen(run: Run, demo: Path, tmp_path: Path) -> str:
    """A shelf whose recorder has 8 inputs, and a 16-track reel on it that was transferred."""
    studio = (demo / "studio.toml").read_text().replace("inputs = 16", "inputs = 8")
    (tmp_path / "studio.toml").write_text(studio)
    assert run("new", "--studio", "studio.toml").status == 0
    rows = "reel,width,tracks,speed,eq,level,base,length,condition,stage\n"
    (tmp_path / "r.csv").write_text(
        f"{rows}W-1,1 in,16,15 ips,NAB,250 nWb/m,polyester,30 in,ok,transferred\n"
    )
    assert run("import", "r.csv").status == 0
    return "W-1"


def test_a_reel_of_two_passes_is_verified_by_both(run: Run, sixteen: str, take: Any) -> None:
    first = run("check", sixteen, str(take("one.wav", 8)))
    assert first.status == 0 and "still to check: pass 2" in first.err
    refused = run("mark", sixteen, "verified")
    assert refused.status == 1 and "pass 2 is not there" in refused.err
    clipped = run("check", sixteen, str(take("loud.wav", 8, level=9)), "--pass", "2", "--json")
    assert clipped.status == 1 and clipped.json["verdict"] == "fail"
    assert "pass 2 failed" in run("mark", sixteen, "verified").err
    second = run("check", sixteen, str(take("two.wav", 8)), "--pass", "2", "--json")
    assert second.status == 0 and second.json["tracks"] == list(range(9, 17))
    marked = run("mark", sixteen, "verified")
    assert marked.status == 0 and "no second copy" in marked.err


def test_pieces_that_do_not_meet_are_listened_to_before_the_reel_is_verified(
    run: Run, sixteen: str, tmp_path: Path
) -> None:
    at = np.arange(40000)[:, None] / 8000
    tones = sum(np.sin(2 * np.pi * hz * at + np.arange(16)) / 20 for hz in (110, 170.3, 263.1))
    for name, part in (("a.wav", tones[:16000]), ("b.wav", tones[20123:])):
        soundfile.write(tmp_path / name, part + 1e-5 * np.random.default_rng(1).normal(size=part.shape), 8000)
    assert run("set", sixteen, "length=70 in").status == 0
    told = run("check", sixteen, "a.wav", "b.wav")
    assert told.status == 0 and "Pieces 1 and 2 do not meet" in told.out
    refused = run("mark", sixteen, "verified")
    assert refused.status == 1 and "listened" in refused.err


def test_one_file_of_all_tracks_is_all_passes(run: Run, sixteen: str, take: Any) -> None:
    told = run("check", sixteen, str(take("all.wav", 16)))
    assert told.status == 0 and "still to check" not in told.err
    assert run("mark", sixteen, "verified").status == 0


def test_tracks_may_be_named(run: Run, sixteen: str, take: Any) -> None:
    told = run("check", sixteen, str(take("some.wav", 8)), "--tracks", "1,10-16", "--json")
    assert told.json["tracks"] == [1, *range(10, 17)]
    assert [one["track"] for one in told.json["channels"]] == [1, *range(10, 17)]


def test_without_files_the_checked_ones_are_looked_at_again(run: Run, sixteen: str, take: Any) -> None:
    whole = take("all.wav", 16)
    run("check", sixteen, str(whole))
    run("mark", sixteen, "verified")
    assert run("check", sixteen).out.splitlines() == ["W-1 pass 1: unchanged (1 file)"]
    whole.rename(whole.with_name("away"))
    away = run("check")
    assert away.status == 0 and "missing: all.wav cannot be found" in away.out
    whole.write_bytes(b"RIFF")
    changed = run("check", sixteen, "--json")
    assert changed.status == 1 and "verified no more" in changed.err
    assert changed.json["stage"] == "transferred"
    (state,) = changed.json["passes"][0]["files"]
    assert state["state"] == "changed" and "4 bytes" in state["says"]
    reel = next(one for one in run("reels", "--json").json if one["reel"] == sixteen)
    assert reel["stage"] == "transferred" and "a checked file changed" in reel["blocked"]


def test_copies_manifest_bag_and_report(run: Run, sixteen: str, take: Any, tmp_path: Path) -> None:
    whole = take("all.wav", 16)
    run("check", sixteen, str(whole))
    (tmp_path / "other").mkdir()
    missing = run("copies", sixteen, "other")
    assert missing.status == 1 and "missing: all.wav" in missing.out
    shutil.copy(whole, tmp_path / "other")
    equal = run("copies", sixteen, "other", "--json")
    assert equal.status == 0 and equal.json["passes"][0]["state"] == "unchanged"
    assert "no second copy" not in run("mark", sixteen, "verified").err
    assert run("manifest", "--out", "SHA256SUMS").out == "SHA256SUMS\n"
    if shutil.which("sha256sum"):
        assert (
            subprocess.run(["sha256sum", "-c", "SHA256SUMS"], cwd=tmp_path, capture_output=True).returncode
            == 0
        )
    assert run("manifest", sixteen).out == f"{equal.json['passes'][0]['files'][0]['sha256']}  {whole}\n"
    assert run("bag", "bag", sixteen).out == "bag\n" and bagit.Bag(str(tmp_path / "bag")).is_valid()
    assert run("bag", "bag", sixteen).status == 2
    assert run("report", "--out", "paper").out == "paper/capture-W-1.pdf\n"
    again = run("check", sixteen, "--again")
    assert again.status == 0 and "comes out the same" in again.out


def test_thresholds_are_listed_with_reasons_and_set_for_the_shelf(run: Run, sixteen: str, take: Any) -> None:
    rows = {one["name"]: one for one in run("thresholds", "--json").json["thresholds"]}
    assert rows["dropout_fall"]["value"] == 12 and all(
        one["reason"] and one["source"] for one in rows.values()
    )
    assert "usually 0.1" in run("thresholds", "speed", "0.3").out
    # Eight channels where the pass has eight; a shelf that calls another rate a fail gets one.
    assert run("check", sixteen, str(take("one.wav", 8))).status == 0
    assert run("thresholds", "weight format", "fail").status == 0
    strict = run("check", sixteen, str(take("one.wav", 8)), "--json")
    assert strict.status == 1 and strict.json["thresholds"]["weight format"] == "fail"
    assert run("thresholds", "weight format", "--usual").status == 0
    assert run("check", sixteen, str(take("one.wav", 8))).status == 0


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("check",), 2, "name the files to check"),
        (("check", "W-1"), 2, "name the files to check"),
        (("check", "X-9"), 1, "no reel 'X-9'"),
        (("check", "X-9", "nothing.wav"), 1, "no reel 'X-9'"),
        (("check", "W-1", "nothing.wav"), 2, "nothing.wav"),
        (("check", "W-1", "."), 2, "folder"),
        (("check", "W-1", "r.csv"), 2, "r.csv"),
        (("check", "W-1", "--pass", "2"), 2, "go with files"),
        (("check", "W-1", "r.csv", "--pass", "two"), 2, "not a whole number"),
        (("check", "W-1", "r.csv", "--tracks", "9-1"), 2, "not a list of tracks"),
        (("check", "--again"), 2, "goes with one reel"),
        (("copies", "W-1", "nowhere"), 1, "no check of W-1 is kept"),
        (("manifest",), 1, "no check is kept"),
        (("manifest", "X-9"), 1, "no reel 'X-9'"),
        (("bag", "b", "W-1"), 1, "no check of W-1 is kept"),
        (("report", "W-1"), 1, "no check of W-1 is kept"),
        (("thresholds", "loudness"), 2, "no threshold 'loudness'"),
        (("thresholds", "loudness", "3"), 1, "no threshold 'loudness'"),
        (("thresholds", "speed", "fast"), 1, "must be a number"),
        (("thresholds", "weight hum", "heavy"), 1, "must be one of"),
        (("thresholds", "--usual"), 2, "goes with the name"),
    ],
)
def test_what_cannot_be_done_is_one_line(
    run: Run, sixteen: str, tmp_path: Path, words: tuple[str, ...], status: int, says: str
) -> None:
    before = (tmp_path / "tapes.json").read_bytes()
    told = run(*words)
    assert told.status == status and says in told.err and len(told.err.splitlines()) == 1
    assert (tmp_path / "tapes.json").read_bytes() == before


def test_a_check_that_measures_nothing_prints_its_document_all_the_same(run: Run, sixteen: str) -> None:
    told = run("check", sixteen, "nothing.wav", "--json")
    assert told.status == 2 and told.json["files"][0]["state"] == "unreadable"
