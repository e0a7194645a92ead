# ruff: noqa: E501
"""How well captures are laid in time, and how fast: made-up songs with known maps, on fresh seeds.

    nice python tests/benchmarks/clock.py [ROW ...] [--seed 100] [--songs 3]

Rows: curve steady noise alone takes shared buried code copies oldmix; all of them without a word. Songs are computed at 12 kHz, played
along their maps by SciPy's splines of the fifth order, and brought to 48 kHz, from where the CPU seconds are
counted. Errors are those of the nodes that are called sure, against the map. Nothing is judged; read the rows.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import numpy as np
import soundfile
import soxr

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

import madeupsongs as songs

from core.album.sound.by_sound import Outcome, lay_by_sound
from core.album.sound.heard import Heard
from core.album.sound.sieve import Sieve

LOW, RATE = 12_000, 48_000


def decoded(sound: np.ndarray) -> np.ndarray:
    """At 48 kHz, as a file gives it."""
    return np.asarray(soxr.resample(sound, LOW, RATE), np.float32)


def found(one: np.ndarray, two: np.ndarray) -> tuple[Outcome, float]:
    """The outcome, and the CPU seconds from decoded sound."""
    began = time.process_time()
    outcome = lay_by_sound(Heard.of(one, RATE), Heard.of(two, RATE))
    return outcome, time.process_time() - began


def off_ms(outcome: Outcome, song: songs.Map) -> np.ndarray:
    """Errors of the sure nodes."""
    match = outcome.match
    if match is None:
        return np.array([np.inf])
    return np.asarray(1000 * (song(match.there) - match.here)[match.sure])


def rms(off: np.ndarray) -> float:
    return float(np.sqrt(np.mean(off**2)))


def pair(
    seed: int, seconds: float, sway: float, snr: float, part: str = ""
) -> tuple[songs.Map, np.ndarray, np.ndarray]:
    """A mix, or one of its tracks, and its copy: equalised, opposed by turns, within 3 % of its speed."""
    rng = np.random.default_rng(seed)
    tracks = songs.band(seconds, LOW, seed) if not part else {part: TRACKS[part](seconds, LOW, seed)}
    mix = songs.mixed(tracks, seed)
    song = songs.swaying(
        rng.uniform(2, 15), 1 + rng.uniform(-0.03, 0.03), sway, rng.uniform(12, 60), rng.uniform(0, 6)
    )
    copy = (-1) ** seed * songs.played(mix, LOW, song, 0.93 * seconds)
    copy = songs.equalised(copy, LOW, seed)
    return (
        song,
        decoded(songs.in_noise(mix, LOW, seed + 1, snr)),
        decoded(songs.in_noise(copy, LOW, seed + 2, snr)),
    )


TRACKS: dict[str, Callable[[float, int, int], np.ndarray]] = {
    "drums": songs.drums, "voice": songs.voice, "organ": songs.organ, "guitar": lambda s, r, n: songs.plucked(s, r, n, 130, 0.25, 3),
}  # fmt: skip


def curve(seed: int, count: int, sway: float = 0.001, snr: float = 10.0, what: str = "sway ±0.1 %") -> None:
    errors, most, cpu, ppm = [], [], [], []
    for number in range(count):
        song, one, two = pair(seed + 17 * number, 600, sway, snr)
        outcome, seconds = found(one, two)
        off = off_ms(outcome, song)
        errors.append(rms(off))
        most.append(float(np.abs(off).max()))
        cpu.append(seconds)
        if outcome.match is not None and not sway:
            slope = np.polyfit(outcome.match.here, outcome.match.there, 1)[0]
            true = 1 / (song(np.array(1.0)) - song(np.array(0.0)))
            ppm.append(abs(slope / true - 1) * 1e6)
    line = f", line within {max(ppm):.3f} ppm" if ppm else ""
    print(
        f"| {what}, {snr:g} dB: {count} songs of 10 minutes | RMS {min(errors):.3f} to {max(errors):.3f} ms, "
        f"most {max(most):.3f} ms{line}; {min(cpu):.1f} to {max(cpu):.1f} CPU-s |", flush=True,
    )  # fmt: skip


def alone(seed: int, count: int) -> None:
    for part in ("voice", "organ"):
        slipped, most, nodes, gaps, every = 0, 0.0, 0, 0, []
        for number in range(count):
            song, one, two = pair(seed + 31 * number, 240, 0.001, 20, part)
            outcome, _ = found(one, two)
            off = off_ms(outcome, song)
            slipped += int((np.abs(off) > 1.5).sum())
            most, nodes = max(most, float(np.abs(off).max())), nodes + len(off)
            gaps += len(outcome.match.gaps) if outcome.match else 0
            every.append(rms(off))
        print(
            f"| {part} alone, {count} of 4 minutes, 20 dB | {slipped} of {nodes} nodes a pitch period off, RMS up to "
            f"{max(every):.3f} ms, most {most:.3f} ms; {gaps} stretches without nodes named |", flush=True,
        )  # fmt: skip


def takes(seed: int, count: int) -> None:
    """Other takes to the same click, and the same sound, of single tracks and of mixes; 2 minutes each."""
    wrong = right = 0
    worst, least = (0.0, 0.0), (np.inf, np.inf)
    others = same = 0
    for number in range(8):
        one = songs.band(120, LOW, seed + 211 * number)
        two = songs.band(120, LOW, seed + 211 * number + 100)
        for name in ("drums", "bass", "guitar", ""):
            a, b = ((x[name] if name else songs.mixed(x, 7)) for x in (one, two))
            outcome, _ = found(decoded(songs.in_noise(a, LOW, 1, 20)), decoded(songs.in_noise(b, LOW, 2, 20)))
            wrong, others = wrong + (outcome.match is not None), others + 1
            tried = outcome.match or outcome.tried
            if tried is not None:
                worst = max(worst[0], tried.quality), max(worst[1], tried.agree)
        for name in ("drums", "guitar", ""):
            song = songs.swaying(5, 1.013, 0.001, 30, number)
            a = one[name] if name else songs.mixed(one, 7)
            b = songs.equalised(songs.played(a, LOW, song, 100), LOW, number)
            outcome, _ = found(decoded(songs.in_noise(a, LOW, 1, 10)), decoded(songs.in_noise(b, LOW, 2, 10)))
            same += 1
            if outcome.match is not None and np.abs(off_ms(outcome, song)).max() < 2:
                right += 1
                least = min(least[0], outcome.match.quality), min(least[1], outcome.match.agree)
    print(
        f"| another take to the same click; the same sound | {others - wrong} of {others} refused (at most "
        f"{worst[0]:.1f} times chance, {worst[1]:.2f} agree); {right} of {same} taken (at least {least[0]:.1f}, "
        f"{least[1]:.2f}) |", flush=True,
    )  # fmt: skip


def shared(seed: int, count: int) -> None:
    """Forty captures of 4 minutes: ten songs, each as a mix, a bounce, a mix of another balance, an old mix."""
    heard: list[tuple[int, Heard]] = []
    for number in range(10):
        tracks = songs.band(250, LOW, seed + 401 * number)
        for version in range(4):
            some = dict(list(tracks.items())[: 4 + version % 3])
            song = songs.swaying(1 + 2 * version, 1 + 0.012 * (version - 1.5), 0.0005, 30, version)
            sound = songs.equalised(
                songs.played(songs.mixed(some, version), LOW, song, 235), LOW, number + version
            )
            heard.append((number, Heard.of(decoded(songs.in_noise(sound, LOW, number + version, 15)), RATE)))
    began = time.process_time()
    sieves = [Sieve(one.levels) for _, one in heard]
    hits = misses = false = unrelated = 0
    for (a, (one, here)), (b, (two, there)) in combinations(enumerate(heard), 2):
        proved = bool(sieves[a].score(sieves[b])) and lay_by_sound(here, there).match is not None
        if one == two:
            hits, misses = hits + proved, misses + (not proved)
        else:
            false, unrelated = false + proved, unrelated + 1
    seconds = time.process_time() - began
    print(
        f"| which of {len(heard)} captures of 4 minutes share sound | {hits} of {hits + misses} pairs, {false} of "
        f"{unrelated} unrelated; {seconds:.0f} CPU-s with the proof of every likely pair |", flush=True,
    )  # fmt: skip


def buried(seed: int, count: int) -> None:
    """One part in a mix of eight, asked for: ten parts that are in it and ten that are not, 10 minutes."""
    hits = false = 0
    cpu = []
    for number in range(2):
        mine, other = (songs.band(600, LOW, seed + 97 * number + step) for step in (0, 40))
        mix = sum(track / np.std(track) for track in [*mine.values(), other["guitar"], other["piano"]])
        song = songs.swaying(8, 1.011, 0.0005, 40, 1.0)
        there = decoded(
            songs.in_noise(songs.equalised(songs.played(mix / 8, LOW, song, 560), LOW, number), LOW, 4, 25)
        )
        for track, is_in in [
            *((mine[k], True) for k in list(mine)[:5]),
            *((other[k], False) for k in ("drums", "bass", "voice", "organ", "drums")),
        ]:
            began = time.process_time()
            outcome = lay_by_sound(Heard.of(decoded(track), RATE), Heard.of(there, RATE), buried=True)
            cpu.append(time.process_time() - began)
            good = outcome.match is not None and (not is_in or np.abs(off_ms(outcome, song)).max() < 2)
            hits, false = hits + (good and is_in), false + (outcome.match is not None and not is_in)
    print(
        f"| one part in a mix of eight, asked for, 10 minutes | {hits} of 10 found, {false} of 10 false, "
        f"{min(cpu):.0f} to {max(cpu):.0f} CPU-s |", flush=True,
    )  # fmt: skip


def code(seed: int, count: int) -> None:
    """Frames kept by the check as a curve, against the map, in samples at 48 kHz."""
    from core.album.by_code import code_runs
    from core.capture.check import check_capture
    from core.capture.timecode.encode import timecode
    from core.capture.timecode.labels import RATES
    from core.capture.weighing.facts import ReelFacts, StudioFacts

    for name, song in (
        ("speed going from −0.1 to +0.1 %", lambda u: 3 + u * 0.999 + 0.001 * u**2 / 600),
        ("sway of ±0.1 % in 20 s", songs.swaying(3, 1.004, 0.001, 20, 1.0)),
    ):
        tape = np.asarray(timecode("01:00:00:00", 25 * 615, RATES["25"], RATE, amplitude=0.4), np.float64)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "code.wav"
            soundfile.write(path, songs.played(tape, RATE, song, 600), RATE, "PCM_24")
            course = check_capture(ReelFacts("BENCH", 1, timecode_track=1), StudioFacts(), [path]).course
        (run, *_) = code_runs(course)
        at = np.linspace(run.start, run.end, 5000)
        x, y = np.array(run.curve.nodes).T
        off = (np.interp(at, x, y) - 3600 - song(at)) * RATE
        straight = np.polyval(np.polyfit(at, song(at), 1), at)
        print(
            f"| by code, 10 minutes, {name} | RMS {rms(off):.3f}, most {np.abs(off).max():.3f} samples at 48 kHz, "
            f"{len(x)} nodes (one straight line: {1000 * np.abs(straight - song(at)).max():.1f} ms) |", flush=True,
        )  # fmt: skip


def copies(seed: int, count: int) -> None:
    """Copies of four mono files of two minutes at 96 kHz, 24 bit: as captured, and along a curve."""
    from datetime import datetime

    from core.album.copies.folder import CopyFolder
    from core.album.copies.plan import ALONG, AS_CAPTURED, Copy, Used
    from core.album.copies.write import write_group
    from core.album.place import Curve, Place
    from core.capture.pieces.pass_sound import PassSound

    rate, seconds = 96_000, 120
    nodes = tuple((float(u), float(u * 1.0004 + 0.001 * np.sin(u / 4))) for u in range(seconds + 1))
    place = Place("sound", Curve(nodes))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rng = np.random.default_rng(seed)
        paths = []
        for track in range(4):
            paths.append(folder / f"{track}.wav")
            soundfile.write(paths[-1], rng.uniform(-0.5, 0.5, rate * seconds), rate, "PCM_24")
        sound = PassSound(paths, (1, 2, 3, 4))
        for method in (AS_CAPTURED, ALONG):
            group = [
                Copy(f"{method} {track}", Used("p", "", "", ("R", 1), (track,), place, (0, 1)), method, rate, 0,
                     rate * (seconds - 2), 0.5, 0, place.curve) for track in (1, 2, 3, 4)
            ]  # fmt: skip
            began = time.process_time()
            write_group(CopyFolder(folder / "out"), sound, group, "S", datetime(2026, 1, 1), "bench", lambda n: None,
                        lambda copy, digest: None)  # fmt: skip
            took = time.process_time() - began
            samples = 4 * group[0].frames
            print(
                f"| copies {method}, hashed and read again | {samples * 3 / 1e6 / took:.0f} MB, "
                f"{samples / 1e6 / took:.1f} million samples a CPU-second |", flush=True,
            )  # fmt: skip


def oldmix(seed: int, count: int) -> None:
    """A part that no track has, for 25 of 120 seconds of a mix through room, compressor and equaliser."""
    import scipy.ndimage
    import scipy.signal

    from core.album.sound.unexplained import left_over, unexplained

    work, hit, off = 8_000, dict.fromkeys((-8, -12, -16), 0), 0
    there, without, cpu = 0, 0, []
    for number in range(4 * count):
        mine, rng = songs.band(120, work, seed + number), np.random.default_rng(seed + number)
        extra = songs.band(120, work, seed + number + 50)[("voice", "guitar", "organ")[number % 3]]
        mix, at = songs.mixed(mine, seed + number), np.arange(120 * work) / work
        on = ((at > 30) & (at < 45)) | ((at > 80) & (at < 90))
        tracks = [songs.played(row, work, lambda u, k=k: u + 5e-5 * np.sin(u / 3 + k), 120) for k, row in
                  enumerate(mine.values())]  # fmt: skip
        rows = np.float32(tracks) + np.float32(1e-4) * rng.standard_normal((len(tracks), len(at)), np.float32)
        for decibels in (None, *hit):
            whole = (
                mix
                if decibels is None
                else mix + extra * on * np.std(mix) / np.std(extra) * 10 ** (decibels / 20)
            )
            tail = rng.standard_normal(work) * np.exp(-np.arange(work) / work / 0.25)
            whole = (
                whole + 0.25 * scipy.signal.fftconvolve(whole, tail / np.sqrt((tail**2).sum()))[: len(whole)]
            )
            level = np.sqrt(scipy.ndimage.uniform_filter1d(whole**2, work // 20))
            whole = whole * np.minimum(1, (np.percentile(level, 60) / np.maximum(level, 1e-9)) ** 0.6)
            whole = songs.in_noise(songs.equalised(whole, work, number), work, number, 30)
            began = time.process_time()
            told = unexplained(*left_over(np.float32(whole), rows))
            cpu.append(time.process_time() - began)
            for second in {s for a, b, _ in told.stretches for s in range(int(a), int(b))}:
                inside = decibels is not None and (30 <= second < 45 or 80 <= second < 90)
                near = decibels is not None and (27 <= second < 48 or 77 <= second < 93)
                off += not near
                if inside:
                    hit[decibels] += 1
            there, without = (
                there + (25 if decibels == -8 else 0),
                without + (120 if decibels is None else 83),
            )
    shares = ", ".join(f"{hit[one] / there:.0%} at {one} dB" for one in hit)
    print(
        f"| a part that no track has, {4 * count} mixes of 2 minutes | seconds of it told: {shares}; {off} of {without} "
        f"seconds wrongly; {max(cpu):.1f} CPU-s at most |", flush=True,
    )  # fmt: skip


ROWS: dict[str, Callable[[int, int], None]] = {
    "curve": curve,
    "steady": lambda seed, count: curve(seed + 5, count, 0.0, 10.0, "steady speed"),
    "noise": lambda seed, count: curve(seed + 9, count, 0.001, 0.0, "noise as loud as the sound, sway ±0.1 %"),
    "alone": alone, "takes": takes, "shared": shared, "buried": buried, "code": code, "copies": copies, "oldmix": oldmix,
}  # fmt: skip


def run_named(rows: dict[str, Callable[[int, int], None]], about: str | None) -> None:
    """Runs those rows that the command line names, else all."""
    parser = argparse.ArgumentParser(description=about)
    parser.add_argument("rows", nargs="*", choices=[*rows, []], default=[])
    parser.add_argument("--seed", type=int, default=100)
    parser.add_argument("--songs", type=int, default=3)
    given = parser.parse_args()
    print("| what | measured |\n|---|---|")
    for name in given.rows or rows:
        rows[name](given.seed, given.songs)


if __name__ == "__main__":
    run_named(ROWS, __doc__)
