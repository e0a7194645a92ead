"""A tape cut between two captures, and a song that goes on on the next tape: at the command line."""

from __future__ import annotations

import csv

import madeupsongs as songs
import numpy as np
import scipy.signal
import soundfile

RATE = 8_000
CUT, BACK = 42.0, 45.6
"""Seconds of the song that were taken out of one tape."""
PLAYED = songs.swaying(1.0, 1.006, 0.001, 28, 0.7)


def write(path, tracks) -> None:
    hiss = np.random.default_rng(3).standard_normal((tracks[0].size, len(tracks)))
    soundfile.write(path, np.clip(np.stack(tracks, 1) + 1e-4 * hiss, -1, 1), RATE, "PCM_24")


def along(curve, at):
    return np.interp(at, *np.array(curve).T)


def test_both_sides_of_a_cut_are_laid_and_the_cut_is_told(run, shelf, band):
    whole = 0.8 * band["drums"] + 0.6 * band["guitar"] + 0.9 * band["bass"]
    left = np.concatenate((whole[: round(CUT * RATE)], whole[round(BACK * RATE) :]))
    write(shelf / "cut.wav", [songs.played(left, RATE, PLAYED, 85)] * 2)
    assert run("check", "R-4", "cut.wav").status in (0, 1)
    told = run("tie", "R-1", "R-4", "--json")
    assert told.status == 0, told.err
    tie = told.json
    at = np.concatenate((np.arange(6.0, 41.0), np.arange(47.0, 84.0)))
    true = np.array([_heard_at(x) for x in at])
    assert np.abs(along(tie["curve"], at) - true).max() < 0.001
    assert "cut at 4" in tie["says"] and "3.60 s there are on R-1 only" in tie["says"]
    back = run("tie", "R-4", "R-1", "--json").json
    assert np.abs(along(back["curve"], true) - at).max() < 0.001 and "on R-1 only" in back["says"]


def test_a_song_that_goes_on_from_one_tape_to_the_next_lies_along_both(run, shelf, band):
    """The clock's own tape ends in the middle; an old mix holds both halves: the second is laid over it."""
    (shelf / "more.csv").write_text(
        "reel,role,width,tracks,speed,base,condition\nR-8,multitrack,1/4 in,2,15 ips,polyester,ok\n"
        "R-9,mix,1/4 in,2,15 ips,polyester,ok\n"
    )
    (shelf / "on.csv").write_text("song,title,needs\nS-2,Other,R-4; R-8; R-9\n")
    (shelf / "sheet.csv").write_text("sheet,reel,song,track,part,take\nT-8,R-8,S-2,1,drums,1\n")
    assert run("import", "more.csv", "on.csv", "sheet.csv", "--update").status == 0
    whole = 0.8 * band["drums"] + 0.6 * band["guitar"]
    played = [(songs.swaying(1, 1.004, 5e-4, 20, 0), 46), (songs.swaying(48, 0.997, 5e-4, 24, 1), 50)]
    for name, reel, (song, seconds) in zip(("a.wav", "b.wav"), ("R-4", "R-8"), played, strict=True):
        write(shelf / name, [songs.played(band[part], RATE, song, seconds) for part in ("drums", "guitar")])
        assert run("check", reel, name).status in (0, 1)
    write(shelf / "mix.wav", [songs.played(whole, RATE, PLAYED, 95)] * 2)
    assert run("check", "R-9", "mix.wav").status in (0, 1)
    assert any("R-8: nothing ties it" in line for line in run("parts", "S-2", "--json").json["open"])
    told = run("tie", "--song", "S-2")
    assert "R-8 lies by sound over R-9" in told.out, told.out + told.err
    ties = {frozenset((t["one"]["reel"], t["two"]["reel"])): t for t in run("tie", "--json").json}
    for reel, (song, seconds) in zip(("R-4", "R-8"), played, strict=True):
        tie, at = ties[frozenset((reel, "R-9"))], np.arange(4.0, seconds - 4)
        curve = tie["curve"] if tie["one"]["reel"] == reel else [node[::-1] for node in tie["curve"]]
        assert np.abs(PLAYED(along(curve, at)) - song(at)).max() < 0.001
    _both_halves_are_laid(run, shelf, band["drums"], played[0][0])


def _both_halves_are_laid(run, shelf, drums, song):
    """The part is used from both tapes, in time; page, list and sheet tell what is on neither."""
    found = run("parts", "S-2", "--json").json
    (part,) = found["parts"]
    assert [one["reel"] for one in part["use"]] == ["R-4"] and [o["reel"] for o in part["goes_on"]] == ["R-8"]
    assert "goes on on R-8:1 from 0:47, 0.8 s before it are on no tape" in part["why"]
    assert not any(one["reel"] == "R-8" and one["track"] == 1 for one in found["not_used"])
    assert not any("at first hand" in line for line in found["open"])
    assert run("lay", "S-2", "--out", "laid").status == 0
    rows = {row["reel"]: row for row in csv.DictReader((shelf / "laid/parts.csv").open(newline=""))}
    true = songs.played(drums, RATE, song, 96)
    for reel, seconds in (("R-4", (5, 20, 40)), ("R-8", (50, 60, 70))):
        laid, rate = soundfile.read(shelf / "laid" / rows[reel]["file"])
        for second in seconds:
            cut = slice(second * rate, (second + 1) * rate)
            like = scipy.signal.correlate(laid[cut], true[cut], "full", "fft")
            off = 1000 * (int(like.argmax()) - rate + 1) / rate
            assert abs(off) < (0.2 if reel == "R-4" else 25), (reel, second)  # R-4 ends at 46 s
    sheet = (shelf / "laid/how to lay.txt").read_text()
    assert "2 files, 8000 Hz" in sheet and "0.8 s before it are on no tape" in sheet
    ends = list(csv.DictReader((shelf / "laid/markers.csv").open(newline="")))[-1]
    assert ends["words"] == "Other ends" and 95 < float(ends["seconds"]) < 98


def _heard_at(song: float) -> float:
    """The second of the cut tape's capture at which that second of the song is heard."""
    u = np.linspace(0, 85, 8501)
    return float(np.interp(song if song < CUT else song - (BACK - CUT), PLAYED(u), u))


def test_right_up_to_a_cut_a_copy_follows_its_curve_and_the_sheet_says_where_it_is():
    from types import SimpleNamespace

    from core.album.copies.smooth import smooth_places
    from core.album.place import Curve

    steady = [(float(t), t - 1.0) for t in range(2, 35)]
    after = [(t + 3.5, float(t)) for t in range(35, 60)]
    curve = Curve((*steady, (34.7, 33.7), (37.201, 33.701), *after))  # it stood for two and a half seconds
    places = smooth_places(SimpleNamespace(curve=curve))
    beside = np.array([33.1, 33.4, 33.69, 33.71, 34.2, 34.9])
    assert np.abs(places(beside) - beside - [1.0, 1.0, 1.0, 3.5, 3.5, 3.5]).max() < 1e-6
    assert curve.cuts() == (33,)
