"""Copies in their places, laid at the command line and read by others: wavinfo, mido, sha256sum, ffprobe.

The time reference of a file whose first sample is the song's zero is 01:00:00 by EBU Tech 3285: at 48 kHz
172 800 000 samples, bytes 00 b8 4c 0a 00 00 00 00.
"""

from __future__ import annotations

import csv
import json
import os
import shutil
import struct
import subprocess
from pathlib import Path

import mido
import numpy as np
import pytest
import scipy.signal
import soundfile
import wavinfo

from core.album.copies.names import copy_name, plain_word, unlike
from core.capture.files.wave.bext import write_bext
from core.capture.files.wave.opened import read_header
from core.capture.written.wav_out import wav_head

RATE = 8_000


def rows(folder: Path) -> dict[str, dict[str, str]]:
    with open(folder / "parts.csv", newline="", encoding="utf-8") as file:
        return {row["part"]: row for row in csv.DictReader(file)}


def sound(folder: Path, row: dict[str, str]) -> np.ndarray:
    return soundfile.read(folder / row["file"], dtype="float64")[0]


def apart_ms(one: np.ndarray, two: np.ndarray, at: float) -> float:
    """How far the one lies behind the other around a second, by plain correlation of three seconds."""
    cut = slice(round(at * RATE), round((at + 3) * RATE))
    like = np.correlate(two[cut], one[cut][200:-200], "valid")
    best = int(np.argmax(np.abs(like)))
    left, middle, right = np.abs(like[best - 1 : best + 2])
    return 1000 * (best - 200 + 0.5 * (left - right) / (left - 2 * middle + right)) / RATE


def test_from_one_zero_the_parts_begin_together_and_stay_together(run, tied, captures):
    before = {path: path.read_bytes() for path in captures.iterdir()}
    done = run("lay", "S-1", "--out", "laid", "--json")
    assert done.status == 0, done.err
    told = rows(tied / "laid")
    assert {"drums", "guitar", "bass", "voice"} <= set(told)
    assert len({row["starts_at_seconds"] for row in told.values()}) == 1
    assert len({row["seconds"] for row in told.values()}) == 1
    assert told["drums"]["how"] == "as captured" and told["voice"]["how"] == "along its curve"
    one = soundfile.read(captures / "one.wav", dtype="int32")[0]
    drums = soundfile.read(tied / "laid" / told["drums"]["file"], dtype="int32")[0]
    start = round((10 + float(told["drums"]["starts_at_seconds"])) * RATE)
    inside = drums[max(0, -start) : max(0, -start) + 60 * RATE]
    assert np.array_equal(inside, one[max(0, start) : max(0, start) + 60 * RATE, 0])
    assert {path: path.read_bytes() for path in captures.iterdir()} == before


def test_what_was_played_elsewhere_lies_where_the_song_has_it(run, tied, captures, band):
    assert run("lay", "S-1", "--out", "laid").status == 0
    told = rows(tied / "laid")
    voice, start = sound(tied / "laid", told["voice"]), float(told["voice"]["starts_at_seconds"])
    true = np.zeros(len(voice))
    low = round((10 + start) * RATE)
    source = band["voice"][max(0, low) : low + len(voice)]
    true[max(0, -low) : max(0, -low) + len(source)] = source
    loud = [at for at in range(12, 70, 4) if np.std(true[at * RATE : (at + 3) * RATE]) > 0.02]
    off = [apart_ms(true, voice, at) for at in loud]
    assert len(off) > 5 and np.abs(off).max() < 0.1


def test_time_stamped_copies_are_as_captured_and_others_read_their_stamps(run, tied, captures):
    done = run("lay", "S-1", "--out", "stamped", "--way", "stamped")
    assert done.status == 0 and "ms apart as captured" in done.err
    told = rows(tied / "stamped")
    for row in told.values():
        info = wavinfo.WavInfoReader(str(tied / "stamped" / row["file"]))
        assert info.bext.time_reference == int(row["time_reference"])
        stamp = 3600 + float(row["starts_at_seconds"])
        assert abs(info.bext.time_reference / RATE - stamp) < 1 / RATE
        assert "copied as captured" in info.bext.coding_history
        assert "A=PCM,F=8000,W=24,M=mono" in info.bext.coding_history
    drums = told["drums"]
    one = soundfile.read(captures / "one.wav", dtype="int32")[0][:, 0]
    start = int(drums["time_reference"]) - 3590 * RATE
    copy = soundfile.read(tied / "stamped" / drums["file"], dtype="int32")[0]
    assert np.array_equal(copy, one[start : start + len(copy)])
    assert float(told["voice"]["runs_apart_ms"]) > 1


def test_on_the_songs_clock_all_that_is_not_at_its_speed_is_read_along_its_curve(run, tied):
    done = run("lay", "S-1", "--out", "clock", "--way", "clock", "--json")
    assert done.status == 0, done.err
    told = rows(tied / "clock")
    assert told["voice"]["how"] == "along its curve" and float(told["voice"]["runs_apart_ms"]) == 0
    info = wavinfo.WavInfoReader(str(tied / "clock" / told["voice"]["file"]))
    assert "windowed sinc" in info.bext.coding_history


def test_sums_and_markers_are_read_by_others(run, tied):
    assert run("lay", "S-1", "--out", "laid").status == 0
    sums = ["sha256sum", "-c", "SHA256SUMS"]
    checked = subprocess.run(sums, cwd=tied / "laid", capture_output=True, text=True)
    assert checked.returncode == 0 and checked.stdout.count(": OK") == len(rows(tied / "laid")) + 4
    file = mido.MidiFile(str(tied / "laid" / "markers.mid"))
    clock, heard = 0.0, {}
    for message in file:
        clock += message.time
        if message.type == "marker":
            heard[message.text] = clock
    start = float(rows(tied / "laid")["drums"]["starts_at_seconds"])
    assert heard["Low Tide begins"] == pytest.approx(-start, abs=0.002)
    assert heard["Low Tide ends"] == pytest.approx(70 - start, abs=0.01)
    with open(tied / "laid" / "markers.csv", newline="") as listed:
        assert {row["words"] for row in csv.DictReader(listed)} == set(heard)


@pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")
def test_ffprobe_reads_the_stamp(run, tied):
    assert run("lay", "S-1", "--out", "stamped", "--way", "stamped").status == 0
    row = rows(tied / "stamped")["drums"]
    done = subprocess.run(
        ["ffprobe", "-v", "error", "-show_entries", "format_tags=time_reference", "-of", "json",
         str(tied / "stamped" / row["file"])], capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert json.loads(done.stdout)["format"]["tags"]["time_reference"] == row["time_reference"]


def test_a_second_run_goes_on_where_the_first_stopped(run, tied, monkeypatch):
    from core.album.copies import write

    real, count = write.WavOut.finish, 0

    def full(self):
        nonlocal count
        count += 1
        if count == 3:
            raise OSError(28, os.strerror(28))
        return real(self)

    monkeypatch.setattr(write.WavOut, "finish", full)
    stopped = run("lay", "S-1", "--out", "laid")
    assert stopped.status == 2 and "no room left" in stopped.err and stopped.err.count("\n") == 1
    folder = tied / "laid"
    assert not (folder / "SHA256SUMS").exists() and not list(folder.glob(".*.part"))
    assert "not finished" in (folder / "how to lay.txt").read_text()
    monkeypatch.setattr(write.WavOut, "finish", real)
    again = run("lay", "S-1", "--out", "laid", "--json")
    assert again.status == 0 and len(again.json["files"]) >= 4
    third = run("lay", "S-1", "--out", "laid", "--json")
    assert third.json["kept"] == len(third.json["files"])
    spoiled = folder / third.json["files"][0]
    whole = spoiled.read_bytes()
    spoiled.write_bytes(whole[:-1] + b"\x55")  # somebody worked on it
    refused = run("lay", "S-1", "--out", "laid")
    assert refused.status == 2 and "was changed since it was laid" in refused.err
    assert run("lay", "S-2", "--out", "laid").status != 0  # nor does another song come among them
    spoiled.write_bytes(whole[:-9])
    fourth = run("lay", "S-1", "--out", "laid", "--json")
    assert fourth.json["kept"] == len(fourth.json["files"]) - 1
    assert subprocess.run(["sha256sum", "-c", "SHA256SUMS"], cwd=folder, capture_output=True).returncode == 0


def test_bad_days_are_a_line_each_and_leave_nothing_half_written(run, tied, captures, tmp_path, monkeypatch):
    (tmp_path / "taken").write_text("x")
    assert run("lay", "S-1", "--out", "taken").status == 2
    other = tmp_path / "mine"
    other.mkdir()
    (other / "letter.txt").write_text("keep me")
    assert run("lay", "S-1", "--out", "mine").status == 0 and (other / "letter.txt").read_text() == "keep me"
    foreign = tmp_path / "foreign"
    foreign.mkdir()
    name = rows(other)["drums"]["file"]
    (foreign / name).write_bytes(b"somebody's")
    refused = run("lay", "S-1", "--out", "foreign")
    assert refused.status == 2 and "was not laid here" in refused.err
    assert (foreign / name).read_bytes() == b"somebody's"
    monkeypatch.setattr(shutil, "disk_usage", lambda path: shutil._ntuple_diskusage(10**9, 10**9, 1000))
    refused = run("lay", "S-1", "--out", "tight")
    assert (
        refused.status == 2 and "are needed" in refused.err and not list((tmp_path / "tight").glob("*.wav"))
    )
    assert run("lay", "S-2", "--out", "x").status in (1, 2)
    assert run("lay", "nothing", "--out", "x").status == 1


def test_a_changed_original_is_named_and_nothing_is_laid(run, tied, captures, tmp_path):
    changed = tmp_path / "changed.wav"
    changed.write_bytes((captures / "one.wav").read_bytes())
    assert run("check", "R-1", changed, "--json").status in (0, 1)
    content = bytearray(changed.read_bytes())
    content[len(content) // 2] ^= 1
    changed.write_bytes(bytes(content))
    refused = run("lay", "S-1", "--out", "laid")
    assert refused.status == 2 and "changed.wav" in refused.err and "is not what was checked" in refused.err
    assert not list((tmp_path / "laid").glob("*.wav"))


# Names and files as such -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "name"),
    [
        ("a/b\\c:d", "a-b-c-d"),
        ("", "part"),
        ("...", "part"),
        ("x" * 300, "x" * 48),
        ("Gesang Åse 声", "Gesang Åse 声"),
        ("tab\there\nnow", "tab-here-now"),
    ],
)
def test_any_part_has_a_name_on_any_disk(part, name):
    made = copy_name("Low/Tide", part, "2", "R/1", [3])
    assert made == f"Low-Tide - {name} - take 2 - R-1 - 3"
    assert len(copy_name("声" * 99, "声" * 99, "声" * 99, "声" * 99, [1]).encode()) < 240
    assert plain_word("CON/..") == "CON"


def test_no_two_names_are_alike_to_a_disk_that_minds_no_capitals():
    assert unlike(["a", "A", "b", "a"]) == ["a", "A (2)", "b", "a (3)"]


def test_a_stamp_of_one_hour_has_the_published_bytes():
    bext = write_bext(48_000 * 3600)
    assert 48_000 * 3600 == 172_800_000 and bext[338:346] == bytes.fromhex("00b84c0a00000000")


def test_beyond_four_gibibytes_the_head_is_that_of_rf64(tmp_path):
    head = wav_head(1, 48_000, 24, is_float=False, frames=2_000_000_000, bext=write_bext(5))
    assert head[:4] == b"RF64" and head[4:8] == b"\xff" * 4 and head[12:16] == b"ds64"
    riff, data, frames = struct.unpack_from("<QQQ", head, 20)
    assert (data, frames) == (6_000_000_000, 2_000_000_000) and riff == len(head) - 8 + data
    small = wav_head(1, 48_000, 24, is_float=False, frames=1001, bext=write_bext(5), most=1000)
    path = tmp_path / "big.wav"
    counted = np.arange(1001, dtype="<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    path.write_bytes(small + counted + b"\0")
    header = read_header(path)
    assert (header.container, header.frames, header.state, header.time_reference) == (
        "RF64",
        1001,
        "whole",
        5,
    )
    assert soundfile.read(path, dtype="int32")[0][7] == 7 << 8


def test_captures_of_two_rates_as_mono_files_and_flac_lie_together(run, shelf, captures, tmp_path):
    """One mono file a track, and a mix in FLAC at another rate, tied by sound and laid from one zero."""
    one, rate = soundfile.read(captures / "one.wav", always_2d=True)
    names = []
    for track in range(4):
        names.append(tmp_path / f"R-1_{track + 1}.wav")
        soundfile.write(names[-1], one[:, track], rate, "PCM_24")
    assert run("check", "R-1", *names, "--json").status in (0, 1)
    mix, rate = soundfile.read(captures / "mix.wav", always_2d=True)
    other = 11_025
    fast = scipy.signal.resample_poly(mix, 441, 320, axis=0)
    soundfile.write(tmp_path / "mix.flac", np.clip(fast, -0.99, 0.99), other, "PCM_24")
    assert run("check", "R-3", tmp_path / "mix.flac", "--json").status in (0, 1)
    assert run("tie", "R-1", "R-3").status == 0
    assert run("use", "S-1", "drums", "R-3:1").status in (0, 1)
    done = run("lay", "S-1", "--out", "laid")
    assert done.status in (0, 1) and rows(tmp_path / "laid"), done.err
    told = rows(tmp_path / "laid")
    rates = {soundfile.info(tmp_path / "laid" / row["file"]).samplerate for row in told.values()}
    assert rates <= {RATE, other}
    for row in told.values():
        info = soundfile.info(tmp_path / "laid" / row["file"])
        assert info.frames == pytest.approx(float(row["seconds"]) * info.samplerate, abs=1)


@pytest.mark.parametrize("rate", [1.005, 0.9713, 1.0004])
def test_at_a_constant_ratio_a_tone_comes_out_where_the_ratio_puts_it(tmp_path, rate):
    """A tone is known at every moment: what is read of it must be the tone of the common clock."""
    from core.album.copies.plan import RATIO, Copy, Used
    from core.album.copies.sounding import blocks_of
    from core.album.place import Curve, Place
    from core.capture.pieces.pass_sound import PassSound

    at = np.arange(4 * 48_000) / 48_000
    soundfile.write(tmp_path / "tone.wav", 0.5 * np.sin(2 * np.pi * 997 * at), 48_000, "DOUBLE")
    curve = Curve.line(0.3, 0.0, rate, 3.0)
    used = Used("tone", "", "", ("R", 1), (1,), Place("said", curve), (0.5, 3.0))
    copy = Copy("tone", used, RATIO, 48_000, 0, 2 * 48_000, 0.25, 0, curve)
    made = np.concatenate(list(blocks_of(PassSound([tmp_path / "tone.wav"], (1,)), copy, (1,))), axis=1)[0]
    capture = 0.3 + (0.25 + np.arange(len(made)) / 48_000) / rate
    true = 0.5 * np.sin(2 * np.pi * 997 * capture)
    assert made.size == 2 * 48_000
    assert 10 * np.log10(np.mean((made - true) ** 2) / np.mean(true**2)) < -60


def test_what_is_no_part_of_it_any_more_is_taken_away_unless_somebody_changed_it(tmp_path):
    from core.album.copies.folder import CopyFolder, digest_of

    folder = CopyFolder(tmp_path)
    for name in ("stays.wav", "old.wav", "worked on.wav"):
        (tmp_path / name).write_bytes(name.encode())
        folder.keep(name, "recipe", digest_of(tmp_path / name))
    (tmp_path / "worked on.wav").write_bytes(b"louder")
    assert folder.leave_only(["stays.wav"]) == ["worked on.wav"]
    assert sorted(path.name for path in tmp_path.glob("*.wav")) == ["stays.wav", "worked on.wav"]


def test_a_bounce_that_stands_for_several_parts_is_laid_once():
    from core.album.copies.plan import Used
    from core.album.place import NOWHERE
    from core.workbook.laying import _each_once

    def on(part, track):
        return Used(part, "1", "", ("R-1", 1), (track,), NOWHERE, (0.0, 9.0))

    laid = _each_once([on("drums", 3), on("voice", 4), on("bass", 3)])
    assert [(one.part, one.tracks) for one in laid] == [("drums + bass", (3,)), ("voice", (4,))]
