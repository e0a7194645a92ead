"""An unmarked tape is named by its harmonies, at the command line: another take, or the very recording."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile
from madeuptakes import take, written
from quay import STUDIO

from core.album.sound.anew.harmony import CLASSES, ROWS_A_SECOND, harmony_of
from core.album.sound.anew.takes import alike

RATE = 8_000
HEAD = "reel,box_label,role,width,tracks,speed,base,condition\n"


@pytest.fixture(scope="module")
def two_takes() -> tuple[dict[str, np.ndarray], ...]:
    """A song with a whole band; again, lower and without its singer; and another song."""
    song, other = written(3), written(12)
    again = take(song, 2, form="ABA", semitones=-0.4, without=("voice",))
    return take(song, 1, form="ABA"), again, take(other, 5, form="ABA", without=("drums",))


@pytest.fixture
def unmarked(run, tmp_path, two_takes) -> Path:
    """K-1 has a sheet, K-2 another song; U-1 is another take of the first, U-2 a copy."""
    first, again, other = two_takes
    copy = 0.5 * np.pad(sum(first.values()), (3 * RATE, 0))
    for name, tracks in (("K-1", [*first.values()]), ("U-1", [*again.values()]), ("K-2", [*other.values()]),
                         ("U-2", [copy, -copy])):  # fmt: skip
        sound = np.clip(0.8 * np.stack(tracks, 1), -1, 1)
        soundfile.write(tmp_path / f"{name}.wav", sound, RATE, "PCM_24")
    (tmp_path / "studio.toml").write_text(STUDIO)
    (tmp_path / "reels.csv").write_text(
        HEAD + "K-1,,multitrack,1/4 in,4,15 ips,polyester,ok\nK-2,,multitrack,1/4 in,3,15 ips,polyester,ok\n"
        "U-1,(no label),multitrack,1/4 in,3,15 ips,polyester,ok\nU-2,,mix,1/4 in,2,15 ips,polyester,ok\n"
    )
    (tmp_path / "songs.csv").write_text("song,title,needs\nS-1,Eel Weir,K-1\nS-2,Other,K-2\n")
    (tmp_path / "sheets.csv").write_text(
        "sheet,reel,song,track,part\nT-1,K-1,S-1,1,bass\nT-1,K-1,S-1,2,guitar\nT-1,K-1,S-1,3,voice\n"
        "T-1,K-1,S-1,4,drums\nT-2,K-2,S-2,1,bass\nL-1,,S-1,1,bass\n"
    )
    assert run("new", "--studio", "studio.toml").status == 0
    assert run("import", "reels.csv", "songs.csv", "sheets.csv").status == 0
    for reel in ("K-1", "K-2", "U-1", "U-2"):
        assert run("check", reel, f"{reel}.wav").status in (0, 1)
    return tmp_path


def test_an_unmarked_take_is_named_at_every_door_and_a_copy_is_told_from_it(run, unmarked):
    looked = run("tie", "--takes")
    assert looked.status == 0, looked.err
    take_line, copy_line, last = looked.out.splitlines()
    assert (
        take_line.startswith("U-1 0:0") and "sounds like another take of Eel Weir, as on K-1 (" in take_line
    )
    assert "times chance" in take_line
    assert copy_line.startswith("U-2 0:0") and "is the very recording of Eel Weir, as on K-1 (" in copy_line
    assert last == "2 stretches of no known song, 2 captured songs: 2 sound like one"
    found = run("papers", "--json").json["stretches"]
    assert [(one["reel"], one["sounds_like"]) for one in found] == [("U-1", "S-1"), ("U-2", "S-1")]
    assert "another take of Eel Weir" in run("papers").out
    (sheet,) = run("papers", "--json").json["sheets"]
    assert "sounds like S-1" in sheet["because"]
    told = [line for line in run("parts", "Eel Weir", "--json").json["open"] if "nothing tells of it" in line]
    assert [line[:3] for line in told] == ["U-1", "U-2"] and "or add it to needs" in told[0]
    assert not any("nothing tells" in line for line in run("parts", "S-2", "--json").json["open"])
    assert run("tie", "U-2", "K-1").status == 0  # proved by waveform, too
    assert run("rename", "U-1", "U-9").status == 0 and run("rename", "S-1", "S-9").status == 0
    assert any(line.startswith("U-9 0:0") for line in run("parts", "S-9", "--json").json["open"])
    assert run("set", "S-9", "needs=K-1; U-9@0:00-1:20").status == 0  # told now
    assert not any(line.startswith("U-9 0:0") for line in run("parts", "S-9", "--json").json["open"])
    assert run("tie", "--takes", "K-1", "K-2").status == 2


def test_harmonies_tell_a_song_in_another_key_and_not_another_song(two_takes):
    first, again, other = (harmony_of([*tracks.values()]) for tracks in two_takes)
    assert first.shape[1] == CLASSES and len(first) > 60 * ROWS_A_SECOND
    same, strange = alike(first, again), alike(first, other)
    assert same is not None and same.one_song and same.semitones == pytest.approx(0.4, abs=0.34)
    assert strange is not None and not strange.one_song
    assert alike(first, again[:30]) is None  # too short to tell
    silent = np.zeros((200, CLASSES), np.float32)
    assert not alike(silent, first).one_song and not alike(silent, silent).one_song
