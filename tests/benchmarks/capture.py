"""How fast a capture is checked: a generated 1 GB file of 16 channels, 24 bit, 96 kHz.

    nice python tests/benchmarks/capture.py [--seconds 217] [--folder /tmp] [--turns 3] [--skip-tools]

Prints, measured in one run: SHA-256 alone, reading and measuring alone, the whole check with one and with
two workers, `sha256sum` followed by `sox stats`, and ffmpeg's `astats`, all on the same file; libltc on the
same track of timecode; CPU seconds by part; peak memory on this file and on one of a tenth of its length;
and how far the levels differ. The file is deleted afterwards.

Speeds are 10^6 bytes a CPU-second. What is compared takes turns, and the best of the turns counts, since
machines are noisy.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import re
import resource
import shutil
import struct
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from capture_stages import watched

from core.capture.check import check_capture
from core.capture.files.samples import Scale, body, buffer_for, to_raised
from core.capture.files.wave.opened import read_header
from core.capture.scan import Scan
from core.capture.timecode.decode import TimecodeReader, looks_like_timecode
from core.capture.weighing.facts import ReelFacts, StudioFacts

RATE, CHANNELS = 96000, 16
FACTS = ReelFacts("BENCH", CHANNELS, timecode_track=CHANNELS, timecode_rate="25")


def programme(frames: int, start: int, rng: np.random.Generator) -> np.ndarray:
    """A second or so of fifteen tracks that decay, sustain, are struck and rest, over hiss."""
    at = (start + np.arange(frames)) / RATE
    out = rng.standard_normal((frames, CHANNELS)).astype(np.float32) * np.float32(10 ** (-66 / 20))
    fresh = (at - start / RATE).astype(np.float32)
    for channel in range(CHANNELS - 1):
        hertz = 110 * 2 ** (rng.integers(0, 24) / 12)
        wave = sum(np.sin(2 * np.pi * hertz * k * at) / k for k in (1, 2, 3)).astype(np.float32)
        shape = (np.exp(-3 * fresh), np.minimum(1, fresh / 0.02), np.exp(-12 * fresh))[channel % 3]
        if channel % 3 == 2:
            wave = rng.standard_normal(frames).astype(np.float32)
        out[:, channel] += np.float32(rng.uniform(0.03, 0.2)) * shape * wave
    return out


def write_file(path: Path, seconds: float) -> None:
    """The file, second by second; the last channel carries 25-frame timecode."""
    from core.capture.timecode.encode import timecode
    from core.capture.timecode.labels import rate_named

    code = timecode("01:00:00:00", int(seconds * 25) + 25, rate_named("25"), RATE)
    rng = np.random.default_rng(1)
    frames = int(seconds * RATE)
    size = frames * CHANNELS * 3
    fmt = struct.pack("<HHIIHH", 1, CHANNELS, RATE, RATE * CHANNELS * 3, CHANNELS * 3, 24)
    with open(path, "wb") as file:
        file.write(b"RIFF" + struct.pack("<I", size + 36) + b"WAVEfmt " + struct.pack("<I", 16) + fmt)
        file.write(b"data" + struct.pack("<I", size))
        for start in range(0, frames, RATE):
            block = programme(min(RATE, frames - start), start, rng)
            block[:, -1] += 0.5 * code[start : start + len(block)]
            whole = np.clip(np.round(block * 2**23), -(2**23), 2**23 - 1).astype("<i4")
            file.write(whole.view(np.uint8).reshape(-1, 4)[:, :3].tobytes())


def cost(run) -> tuple[float, float, object]:  # type: ignore[no-untyped-def]
    """CPU and wall seconds of one run, and its result."""
    wall, cpu = time.perf_counter(), time.process_time()
    result = run()
    return time.process_time() - cpu, time.perf_counter() - wall, result


def in_turns(runs, turns: int):  # type: ignore[no-untyped-def]
    """By name the best CPU seconds, the best wall seconds, and the last result."""
    best = {name: (1e9, 1e9, None) for name in runs}
    for _ in range(turns):
        for name, run in runs.items():
            cpu, wall, result = cost(run)
            best[name] = min(cpu, best[name][0]), min(wall, best[name][1]), result
    return best


def tool(command: list[str]) -> tuple[float, str]:
    """CPU seconds of another program, and what it said."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, capture_output=True, text=True, timeout=600)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, done.stdout + done.stderr


def digest(path: Path) -> str:
    """SHA-256 of the file, read in blocks."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def compare(found, said: str, peak_word: str, rms_word: str, name: str) -> None:  # type: ignore[no-untyped-def]
    """How far peak and RMS differ from what another program printed, channel by channel."""
    peaks = [float(v) for v in re.findall(rf"{peak_word}:?\s+(-?[\d.]+)", said)[:CHANNELS]]
    levels = [float(v) for v in re.findall(rf"{rms_word}:?\s+(-?[\d.]+)", said)[:CHANNELS]]
    if len(peaks) == len(levels) == CHANNELS:
        off = max(abs(c.peak_dbfs - p) for c, p in zip(found.channels, peaks, strict=True))
        off_rms = max(abs(c.rms_dbfs - p) for c, p in zip(found.channels, levels, strict=True))
        print(f"  largest difference from {name}: peak {off:.4f} dB, RMS {off_rms:.4f} dB")


def main() -> None:
    """Generate, measure, print, delete."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=217.0)
    parser.add_argument("--folder", type=Path, default=Path("/tmp"))
    parser.add_argument("--turns", type=int, default=3)
    parser.add_argument("--skip-tools", action="store_true")
    told = parser.parse_args()
    path = told.folder / f"reelturn-benchmark-{os.getpid()}.wav"
    short = path.with_suffix(".short.wav")
    try:
        write_file(path, told.seconds)
        write_file(short, told.seconds / 10)
        run(path, short, told.turns, told.skip_tools)
    finally:
        path.unlink(missing_ok=True)
        short.unlink(missing_ok=True)


def peak_memory(path: Path, workers: int) -> float:
    """MB that a process needs at most which does nothing but check the file (Linux)."""
    code = (
        "import re, sys; from pathlib import Path; from core.capture.check import check_capture;"
        "from core.capture.weighing.facts import ReelFacts, StudioFacts;"
        "check_capture(ReelFacts('B', 16, timecode_track=16), StudioFacts(), [Path(sys.argv[1])],"
        " workers=int(sys.argv[2]));"
        "print(re.search(r'VmHWM:\\s+(\\d+)', Path('/proc/self/status').read_text())[1])"
    )
    command = [sys.executable, "-c", code, str(path), str(workers)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return float(done.stdout) * 1024 / 1e6


def scan_alone(path: Path) -> None:
    """Everything that is measured, with nothing hashed and nothing held against a reel."""
    header = read_header(path)
    scan = Scan(header.channels, header.sample_rate, Scale.of(header), header.frames)
    buffer = buffer_for(header, 8192)
    with open(path, "rb", buffering=0) as file:
        file.seek(header.sound_start)
        for start in range(0, header.frames, 8192):
            frames = min(8192, header.frames - start)
            file.readinto(body(buffer, frames * header.frame_bytes))
            scan.feed(frames, lambda first, rows: to_raised(buffer, header, first, rows))
    scan.finish()


def by_part(path: Path, turns: int) -> None:
    """A table of CPU seconds a gigabyte, the best of the turns for every part."""
    best: dict[str, float] = {}
    total = 1e9
    for _ in range(turns):
        with watched() as parts:
            cpu, _, _ = cost(lambda: check_capture(FACTS, StudioFacts(), [path]))
        parts["all else"] = cpu - sum(parts.values())
        total = min(total, cpu)
        for part, seconds in parts.items():
            best[part] = min(best.get(part, 1e9), seconds)
    giga = path.stat().st_size / 1e9
    for part, seconds in sorted(best.items(), key=lambda one: -one[1]):
        print(f"  {part:34} {seconds / giga:6.3f} CPU-s a GB")
    print(f"  {'together':34} {total / giga:6.3f}")


def two_programs(path: Path) -> float:
    """CPU seconds of `sha256sum`, then `sox stats`."""
    return tool(["sha256sum", str(path)])[0] + tool(["sox", str(path), "-n", "stats"])[0]


def against_libltc(path: Path, found) -> None:  # type: ignore[no-untyped-def]
    """The timecode's track alone, read by ours and by libltc where it is installed."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))
    from libltc_reference import LibLtc

    try:
        libltc = LibLtc()
    except OSError:
        print("libltc is not installed")
        return
    raw = np.memmap(path, np.uint8, "r")
    frames = (len(raw) - 44) // (3 * CHANNELS)
    last = np.ndarray((frames,), "<i4", raw, 44 + 3 * CHANNELS - 4, (3 * CHANNELS,))
    sound = ((last >> 8) / np.float32(2**23)).astype(np.float32)
    looks_like_timecode(sound[: 5 * RATE], RATE)

    def ours() -> int:
        reader = TimecodeReader(RATE, "25")
        for at in range(0, len(sound), 65536):
            reader.feed(sound[at : at + 65536])
        return reader.finish().frames_read

    runs = {"ours": ours, "libltc": lambda: libltc.count(sound, RATE, 25.0)}
    best = in_turns(runs, 4)
    for name, (cpu, _, frames) in best.items():
        print(f"timecode of one track, {name:7} {len(sound) / cpu / 1e6:5.0f} million samples a CPU-second; "
              f"{frames} frames")  # fmt: skip
    print(f"  in the check: {[(one.frames_read, one.frames_inferred) for one in found.timecode]}")


def run(path: Path, short: Path, turns: int, skip_tools: bool) -> None:
    """All figures for one file."""
    mega = path.stat().st_size / 1e6
    check_capture(FACTS, StudioFacts(), [short])
    print(
        f"{mega:.0f} MB, {CHANNELS} channels; load average {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"
    )
    runs = {
        "SHA-256 alone": lambda: digest(path),
        "scan alone": lambda: scan_alone(path),
        "check, one worker": lambda: check_capture(FACTS, StudioFacts(), [path]),
        "check, two workers": lambda: check_capture(FACTS, StudioFacts(), [path], workers=2),
    }
    if not skip_tools and shutil.which("sox") and shutil.which("sha256sum"):
        runs["sha256sum, sox stats"] = lambda: two_programs(path)
    best = in_turns(runs, turns)
    for name, (cpu, wall, result) in best.items():
        cpu = cpu if not isinstance(result, float) else min(result, cpu + result)
        print(f"{name:21} {mega / cpu:6.0f} MB a CPU-second, CPU {cpu:5.2f} s, wall {wall:5.2f} s")
    found, twice = best["check, one worker"][2], best["check, two workers"][2]
    slower = max(best["SHA-256 alone"][1], best["scan alone"][1])
    print(
        f"  two workers over the slower of hash and scan alone: {best['check, two workers'][1] / slower:.2f}"
    )
    print(f"  same result with one and two workers: {found == twice}")
    for which in (path, short):
        size = which.stat().st_size / 1e6
        print(f"peak memory on {size:.0f} MB: {peak_memory(which, 1):.0f} MB with one worker, "
              f"{peak_memory(which, 2):.0f} MB with two")  # fmt: skip
    by_part(path, turns)
    against_libltc(path, found)
    if not skip_tools and shutil.which("ffmpeg"):
        seconds, said = tool(["ffmpeg", "-hide_banner", "-nostats", "-i", str(path), "-af", "astats", "-f",
                              "null", "-"])  # fmt: skip
        print(f"ffmpeg astats: {mega / seconds:.0f} MB a CPU-second")
        compare(found, said, "Peak level dB", "RMS level dB", "ffmpeg")


if __name__ == "__main__":
    sys.exit(main())
