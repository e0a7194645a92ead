# ruff: noqa: E501
"""How surely copies are told from other sound, how tapes that were cut are laid, and how the made-up captures lie.

    nice python tests/benchmarks/clock_claims.py [ROW ...] [--seed 100] [--songs 3]

Rows: claims cut demo; all of them without a word. Songs are computed as those of clock.py. ``demo`` lays out the
made-up shelf with its captures in a temporary folder, ties its song of three tapes and a mix by the command, and
holds the printed curves against the maps by which the tapes were made. Nothing is judged; read the rows.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

import madeupsongs as songs
from clock import run_named  # the benchmark beside this one

from core.album.sound.by_sound import lay_by_sound, match_on_curve
from core.album.sound.heard import Heard
from core.album.sound.spectra import WORK_HZ


def heard(sound: np.ndarray, seed: int, snr: float = 25.0) -> Heard:
    return Heard.of(np.float32(songs.in_noise(sound, WORK_HZ, seed, snr)), WORK_HZ)


def claims(seed: int, count: int) -> None:
    """Every track of a band, and of another take, held against a mix of all six along a known curve."""
    true, false, cpu = [], [], []
    for number in range(count):
        tracks, others = (songs.band(78, WORK_HZ, seed + 61 * number + step) for step in (0, 30))
        song = songs.swaying(2.0, 1.006, 0.001, 25, number)
        mix = heard(-songs.played(songs.mixed(tracks, number), WORK_HZ, song, 74), 1)
        u = np.linspace(0, 74, 741)
        at = np.arange(3.0, 74.0)
        curve = at, np.interp(at, song(u), u) + 0.01
        for made, some in ((true, tracks), (false, others)):
            for track in some.values():
                began = time.process_time()
                match = match_on_curve(heard(track, 2), mix, curve)
                cpu.append(time.process_time() - began)
                made.append((match.quality, match.agree, match.proved) if match else (0.0, 0.0, False))
    figures = [np.array(one, float) for one in (true, false)]
    print(
        f"| a track in a mix of six, opposed and swaying; what is not in it, {count} bands of 78 s | {int(figures[0][:, 2].sum())} of "
        f"{len(true)} proved: {figures[0][:, 0].min():.1f} to {figures[0][:, 0].max():.1f} times chance, {figures[0][:, 1].min():.2f} to "
        f"{figures[0][:, 1].max():.2f} agree; {int(figures[1][:, 2].sum())} of {len(false)} proved: at most {figures[1][:, 0].max():.1f} "
        f"times, {figures[1][:, 1].max():.2f}; {np.median(cpu):.2f} CPU-s a pair |", flush=True,
    )  # fmt: skip


def cut(seed: int, count: int) -> None:
    """Songs out of which 0.4 to 15 s were taken before one of two captures; held from either side."""
    laid = every = 0
    off, places, cpu = [], [], []
    for number in range(2 * count):
        rng = np.random.default_rng(seed + number)
        mix = songs.mixed(songs.band(150, WORK_HZ, seed + 73 * number), number)
        at, gone = rng.uniform(35, 95), float(np.exp(rng.uniform(np.log(0.4), np.log(15))))
        first, second = songs.swaying(1, 0.995, 0.0008, 22, number), songs.swaying(3, 1.01, 0.001, 30, 1)
        left = np.concatenate((mix[: round(at * WORK_HZ)], mix[round((at + gone) * WORK_HZ) :]))
        whole = heard(songs.played(mix, WORK_HZ, first, 145), 1, 15)
        short = heard(songs.played(left, WORK_HZ, second, (150 - gone - 4) / 1.01), 2, 15)
        for one, two, turned in ((whole, short, False), (short, whole, True)):
            began = time.process_time()
            match = lay_by_sound(one, two).match
            cpu.append(time.process_time() - began)
            every += 1
            if match is None:
                continue
            of_whole, of_short = (match.there, match.here) if turned else (match.here, match.there)
            played = second(of_short)
            error = first(of_whole) - np.where(played < at, played, played + gone)
            off += (1000 * error[match.sure]).tolist()
            u = np.linspace(0, 145, 14501)
            true = np.interp(at, (second if turned else first)(u), u)
            places += [abs(where - true) for where, _ in match.cuts[:1]]
            laid += len(match.cuts) == 1
    print(
        f"| a tape cut between two captures, {2 * count} songs of 150 s less 0.4 to 15 s, from either side | one cut told in "
        f"{laid} of {every}, its place within {np.median(places):.2f} s (median), {max(places):.2f} s at most; nodes on both sides "
        f"RMS {np.sqrt(np.mean(np.square(off))):.3f}, most {np.abs(off).max():.3f} ms; {min(cpu):.1f} to {max(cpu):.1f} CPU-s |", flush=True,
    )  # fmt: skip


def demo(seed: int, count: int) -> None:
    """The made-up song of three tapes and a mix, by the command; its places against the maps."""
    from core.capture.made_up.tapes import MAPS, SONG_SECONDS
    from tui.cli import main as reelturn

    def ran(*words: str) -> tuple[int, str]:
        out = io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
            status = reelturn(list(words))
        return status, out.getvalue()

    with tempfile.TemporaryDirectory() as folder:
        os.environ["REELTURN_SHELF"] = str(Path(folder) / "shelf.json")
        ran("demo", "--captured", "--dir", folder)
        ran("tie", "--song", "S-11")
        parts = json.loads(ran("parts", "S-11", "--json")[1])
        stranger = ran("tie", "K-101", "K-105")[0]
    told: dict[str, tuple[str, float]] = {}
    for part in parts["parts"]:
        curve = np.array(part["place"]["curve"])
        for reel in {source["reel"] for source in part["use"]}:
            run = MAPS[reel]
            u = np.linspace(-run.start / run.speed + 0.5, (SONG_SECONDS - run.start) / run.speed - 1.5, 500)
            error = 1000 * np.abs(np.interp(u, *curve.T) - run.song(u)).max()
            told[reel] = part["place"]["by"], max(error, told.get(reel, ("", 0.0))[1])
    rows = "; ".join(f"{reel} by {by}, most {error:.3f} ms" for reel, (by, error) in sorted(told.items()))
    loops = ", ".join(f"{loop['misfit_ms']:.2f}" for loop in parts["loops"])
    print(
        f"| the made-up song of three tapes and a mix | {rows}; rings miss by {loops} ms; another take to the same click "
        f"{'refused' if stranger == 1 else 'NOT refused'} |", flush=True,
    )  # fmt: skip


ROWS: dict[str, Callable[[int, int], None]] = {"claims": claims, "cut": cut, "demo": demo}


if __name__ == "__main__":
    run_named(ROWS, __doc__)
