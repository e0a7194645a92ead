"""From a mix in a folder to the album's page, by command: what comes out, and what is refused in one line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile


@pytest.fixture
def mix(tmp_path: Path) -> Any:
    """Writes a mix that sounds from 1 s on for so many seconds, louder with every number."""

    def write(name: str, seconds: float = 12, loud: float = 0.1, channels: int = 2, rate: int = 96000) -> str:
        rng = np.random.default_rng(len(name))
        sound = loud * rng.uniform(-1, 1, (int((seconds + 2) * rate), channels))
        sound[:rate] = 0
        sound[-rate:] = 0
        soundfile.write(tmp_path / name, sound, rate, subtype="PCM_24")
        return str(tmp_path / name)

    return write


def test_a_mix_comes_home_and_never_displaces_the_one(run: Any, shelf: Path, mix: Any) -> None:
    first = run("mix", "S-01", mix("first.wav"), "--as", "the-one", "--note", "final", "--json")
    assert first.status == 0
    (kept,) = first.json["mixes"]
    assert kept["stands"] == "the-one" and kept["last_sound"] - kept["first_sound"] == pytest.approx(
        12, abs=0.01
    )
    second = run("mix", "S-01", mix("other.wav", 11), "--json").json["mixes"]
    assert [one["stands"] for one in second] == ["the-one", "rough"]
    page = run("album", "Salt Road", "--json")
    song = next(one for one in page.json["songs"] if one["song"] == "S-01")
    assert song["from"] == "the one" and song["seconds"] == pytest.approx(12, abs=0.01)
    run("mix", "S-01", "2", "--as", "the-one")
    again = run("mix", "S-01", "--json").json["mixes"]
    assert [one["stands"] for one in again] == ["to-approve", "the-one"]
    run("undo")
    assert [one["stands"] for one in run("mix", "S-01", "--json").json["mixes"]] == ["the-one", "rough"]
    told = run("mix", "S-01", "2", "--by", "Ulla", "--note", "drier")
    assert "by Ulla: drier" in told.out and "final" in told.out
    assert run("mix", "S-01", "2").status == 2 and run("mix", "S-01", "9", "--by", "Ulla").status == 1


def test_odd_mixes_are_told_and_wrong_ones_refused(run: Any, shelf: Path, mix: Any, tmp_path: Path) -> None:
    mono = run("mix", "S-01", mix("mono.wav", channels=1, rate=44100))
    assert mono.status == 0 and "it is mono" in mono.err and "44.1 kHz" in mono.err
    assert "more than a tenth shorter" in mono.err
    twice = run("mix", "S-02", str(tmp_path / "mono.wav"))
    assert twice.status == 1 and "came home already, as mix 1 of S-01" in twice.err
    assert twice.err.count("\n") == 1
    (tmp_path / "no.wav").write_text("no sound")
    no = run("mix", "S-01", str(tmp_path / "no.wav"))
    assert no.status == 2 and "no.wav" in no.err and no.err.count("\n") == 1
    assert run("mix", "S-99", str(tmp_path / "mono.wav")).status == 1
    two = 0.1 * np.random.default_rng(3).uniform(-1, 1, (2, 2 * 48000))
    for name, left, right, says in (
        ("same", two[0], two[0], "mono in two channels"),
        ("turned", two[0] + 0.3 * two[1], -two[0], "its two sides are opposed"),
        ("dead", two[0], 0 * two[1], "nothing sounds on its right side"),
        ("wide", two[0], two[1], ""),
    ):
        soundfile.write(tmp_path / f"{name}.wav", np.stack([left, right], axis=1), 48000, subtype="PCM_24")
        told = run("mix", "S-01", str(tmp_path / f"{name}.wav")).err
        assert says in told if says else "side" not in told and "two channels" not in told, (name, told)
    assert run("mix", "S-01", "7", "--as", "rough").status == 1


def test_steps_in_ones_own_words(run: Any, shelf: Path) -> None:
    assert run("step", "S-01", "fly the chorus in", "--who", "Ulla", "--by", "2026-12-20").status == 0
    assert run("step", "S-01", "mix", "--after", "1").status == 0
    told = run("album", "Salt Road").out
    assert "fly the chorus in, Ulla, by 2026-12-20" in told
    assert "mix; waits for step 1 (fly the chorus in)" in told
    assert run("step", "S-01", "1", "done").status == 0
    assert "waits for step 1" not in run("album", "Salt Road").out
    for words in (
        ("S-01", "1", "done"), ("S-01", "9", "done"), ("S-01", "x", "--by", "2020-01-01"),
        ("S-01", "x", "--after", "9"), ("S-01", "x", "--after", "R-999"),
    ):  # fmt: skip
        refused = run("step", *words)
        assert refused.status == 1 and refused.err.count("\n") == 1
    assert run("step", "S-01", "x", "--by", "soon").status == 2
    late = run("step", "S-01", "x", "--by", "2040-12-20")
    assert late.status == 1 and "more than 4 years ahead: look at its year" in late.err
    run("undo")
    assert "waits for step 1" in run("album", "Salt Road").out


def test_players_are_asked(run: Any, shelf: Path) -> None:
    page = run("album", "Salt Road", "--json").json
    player = page["credits"][0]["player"]
    assert f"credits: ask {player}" in page["missing"]
    odd = run("credit", f"{player}s", "--asked", "2026-11-20")  # kept, and told that no sheet has it
    assert odd.status == 0 and f"did you mean {player}?" in odd.err
    for words in (
        ("--named", "N. N."),  # a name that was never asked for
        ("--asked", "2026-12-24"),  # still to come
    ):
        refused = run("credit", player, *words)
        assert refused.status == 1 and refused.err.count("\n") == 1
    run("credit", player, "--asked", "2026-11-20")
    assert "is older" in run("credit", player, "--agreed", "2026-11-19").err
    assert any("has not answered" in line for line in run("album", "Salt Road", "--json").json["missing"])
    run("credit", player, "--agreed", "2026-11-22", "--named", "N. N.")
    credit = run("album", "Salt Road", "--json").json["credits"][0]
    assert credit["named"] == "N. N." and credit["agreed"]
    assert not any(player in line for line in run("album", "Salt Road", "--json").json["missing"])


def test_two_songs_on_one_place_and_one_on_two_albums_are_told(run: Any, shelf: Path) -> None:
    run("set", "song", "S-04", "order=3")
    run("set", "song", "S-09", "album=Second")
    run("set", "song", "S-08", "album=Salt Road; Second")
    said = run("album", "Salt Road", "--json").json["missing"]
    assert "S-03 and S-04 have one place on the album: 3" in said
    assert any(line.startswith("S-08 names 2 albums") for line in said)
    run("wish", "S-06 by 2026-12-16")
    assert "for 2026-12-16; " in run("album", "Salt Road").out
    assert run("wish", "S-06 by 2020-01-01").status == 1


def test_the_album_without_a_song(run: Any, shelf: Path) -> None:
    whole = run("album", "salt  road", "--json").json
    key = whole["songs"][0]["song"]
    less = run("album", "Salt Road", "--without", key, "--json").json
    assert [one["song"] for one in less["songs"]] == [one["song"] for one in whole["songs"]][1:]
    if whole["songs"][0]["seconds"] is not None:
        assert less["seconds"] == pytest.approx(
            whole["seconds"] - whole["songs"][0]["seconds"] - whole["gap_seconds"]
        )
    for carrier in whole["carriers"]:
        assert sorted(song for side in carrier["sides"] for song in side) == sorted(
            one["song"] for one in whole["songs"] if one["seconds"] is not None
        )
    assert run("album", "Salt Road", "--without", "S-99").status == 1
    assert run("album", "No Such").status == 1


def test_what_was_said_of_an_album_comes_back_from_an_export(
    run: Any, shelf: Path, mix: Any, tmp_path: Path
) -> None:
    run("mix", "S-01", mix("first.wav"), "--as", "the-one")
    run("step", "S-01", "master it")
    run("credit", "Tove Hask", "--asked", "2026-11-20")
    before = run("album", "Salt Road", "--json").json
    run("export", "out")
    run("--shelf", "again.json", "new", "--studio", "out/studio.toml")
    files = [str(path) for path in sorted(Path("out").iterdir()) if path.suffix in (".csv", ".json")]
    assert run("--shelf", "again.json", "import", *files).status == 0
    assert run("--shelf", "again.json", "album", "Salt Road", "--json").json == before


@pytest.mark.parametrize("name", ["", " ", "Tove\nHask"])
def test_a_player_without_a_name_is_refused_and_undo_goes_on(run: Any, shelf: Path, name: str) -> None:
    assert run("credit", "Tove Hask", "--asked", "2026-11-20").status == 0
    ran = run("credit", name, "--asked", "2026-11-20")
    assert (ran.status, ran.err.count("\n")) == (1, 1) and "a player needs a name" in ran.err
    assert run("credit", "Tove Hask", "--named", "  ").status == 1
    assert run("undo").status == 0 and run("export", "out").status == 0


def test_a_mix_that_was_cut_off_does_not_come_home(run: Any, shelf: Path, mix: Any) -> None:
    whole = Path(mix("whole.wav"))
    cut = whole.with_name("cut.wav")
    cut.write_bytes(whole.read_bytes()[: whole.stat().st_size * 19 // 20])
    ran = run("mix", "S-01", str(cut))
    assert ran.status == 2 and "cut short" in ran.err and "bring the whole file" in ran.err
    assert run("album", "Salt Road", "--json").json["songs"][0]["state"] != "in work"


def test_what_is_odd_about_the_one_stays_among_what_is_missing(run: Any, shelf: Path, mix: Any) -> None:
    silent = Path(mix("silent.wav"))
    sound, rate = soundfile.read(silent)
    soundfile.write(silent, sound * 0, rate, subtype="PCM_24")
    assert run("mix", "S-01", str(silent), "--as", "the-one").status == 0
    assert any("is the one, but nothing sounds in it" in one for one in
               run("album", "Salt Road", "--json").json["missing"])  # fmt: skip


def test_one_code_on_two_songs_is_told(run: Any, shelf: Path) -> None:
    for text, says in (
        ("isrc=4;5;17", "column isrc: '4;5;17' is not an ISRC: two letters,"),
        ("iswc=T-034.524.680-2", "is not an ISWC: it has a check digit of 2 where 1 is right"),
    ):
        refused = run("set", "song", "S-03", text)
        assert refused.status == 1 and says in refused.err
    run("set", "song", "S-03", "isrc=AA-6Q7-20-00047")
    run("set", "song", "S-04", "isrc=aa6q72000047")
    assert "S-03 and S-04 have one ISRC: AA6Q72000047" in run("album", "Salt Road", "--json").json["missing"]


def test_it_fits_only_where_every_length_is_known(run: Any, shelf: Path) -> None:
    by_target = [one for one in run("album", "Salt Road", "--json").json["songs"] if one["from"] == "target"]
    assert run("set", "song", by_target[0]["song"], "target_length=").status == 0
    told = run("album", "Salt Road", "--json").json
    unknown = [one for one in told["songs"] if one["seconds"] is None]
    assert unknown and {one["fits"] for one in told["carriers"]} <= {None, False}
    for one in unknown:
        run("set", "song", one["song"], "target_length=1:00")
    assert any(one["fits"] for one in run("album", "Salt Road", "--json").json["carriers"])
    assert {one["agreed"] for one in told["credits"] if one["answered"] is None} <= {None}


def test_the_one_whose_file_was_written_over_or_is_gone_is_told_before_it_is_handed_over(
    run: Any, shelf: Path, mix: Any
) -> None:
    """Exported anew under the same name, as mixing programs do: what came home is not what lies there."""
    path = mix("slip.wav")
    assert run("mix", "S-01", path, "--as", "the-one").status == 0

    def page() -> tuple[str, str]:
        told = run("album", "Salt Road", "--json").json
        song = next(one for one in told["songs"] if one["song"] == "S-01")
        return song["state"], " ".join(told["missing"])

    before = page()
    mix("slip.wav", 11)
    state, missing = page()
    assert state == "mixed" and "slip.wav has changed since it came home: bring it home again" in missing
    bag = run("bag", "out", "--album", "Salt Road")
    assert bag.status == 2 and "mix 1 of S-01, the one," in bag.err and "bring it home again" in bag.err
    Path(path).unlink()
    assert "slip.wav is not where it lay" in page()[1]
    assert run("mix", "S-01", mix("slip2.wav"), "--as", "the-one").status == 0
    assert page()[0] == before[0] and "is not where it lay" not in page()[1]
