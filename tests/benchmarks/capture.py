"""How fast a capture is checked: a generated 1 GB file of 16 channels, 24 bit, 96 kHz.

    python tests/benchmarks/capture.py [--seconds 217] [--folder /tmp] [--skip-tools]

Prints, per CPU-second and measured in one run: SHA-256 alone, the whole check with one and with two
workers, `sox stats` and ffmpeg's `astats` on the same file; peak memory; and how far the levels differ.
The file is deleted afterwards. Each figure is the best of three, since machines are noisy.
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

from core.capture.check import check_capture
from core.capture.facts import ReelFacts, StudioFacts

RATE, CHANNELS = 96000, 16


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


def spent(run, times: int = 3) -> tuple[float, float, object]:  # type: ignore[no-untyped-def]
    """Best CPU and wall seconds of some runs, and the last result."""
    best_cpu = best_wall = 1e9
    result = None
    for _ in range(times):
        wall, cpu = time.perf_counter(), time.process_time()
        result = run()
        best_cpu = min(best_cpu, time.process_time() - cpu)
        best_wall = min(best_wall, time.perf_counter() - wall)
    return best_cpu, best_wall, result


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
    parser.add_argument("--skip-tools", action="store_true")
    told = parser.parse_args()
    path = told.folder / f"reelturn-benchmark-{os.getpid()}.wav"
    try:
        write_file(path, told.seconds)
        run(path, told.skip_tools)
    finally:
        path.unlink(missing_ok=True)


def peak_memory(path: Path) -> float:
    """MiB that a process needs at most which does nothing but check the file."""
    code = (
        "import sys, resource; from pathlib import Path; from core.capture.check import check_capture;"
        "from core.capture.facts import ReelFacts, StudioFacts;"
        "check_capture(ReelFacts('B', 16, timecode_track=16), StudioFacts(), [Path(sys.argv[1])], workers=2);"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    return float(done.stdout)


def run(path: Path, skip_tools: bool) -> None:
    """All figures for one file."""
    mega = path.stat().st_size / 1e6
    reel = ReelFacts("BENCH", CHANNELS, timecode_track=CHANNELS, timecode_rate="25")
    facts = reel, StudioFacts()
    base = peak_memory(path)
    load, cores = os.getloadavg()[0], os.cpu_count()
    print(f"{mega:.0f} MB, {CHANNELS} channels; load average {load:.1f} on {cores} cores")
    cpu, hash_wall, _ = spent(lambda: digest(path))
    print(f"SHA-256 alone:      {mega / cpu:7.0f} MB per CPU-second, wall {hash_wall:.2f} s")
    cpu, one_wall, found = spent(lambda: check_capture(*facts, [path]))
    print(f"check, one worker:  {mega / cpu:7.0f} MB per CPU-second, wall {one_wall:.2f} s, CPU {cpu:.2f} s")
    cpu2, two_wall, twice = spent(lambda: check_capture(*facts, [path], workers=2))
    print(f"check, two workers: {mega / cpu2:7.0f} MB per CPU-second, wall {two_wall:.2f} s")
    slower = max(hash_wall, one_wall - hash_wall)
    print(f"  two workers over the slower of hash and scan alone: {two_wall / slower:.2f}")
    print(f"  same result with one and two workers: {found == twice}")
    print(f"peak memory: {base:.0f} MB, numpy and scipy included")
    for track in found.timecode:  # type: ignore[attr-defined]
        print(f"timecode: {track.frames_read} frames read, {track.frames_inferred} inferred")
    if not skip_tools:
        for name, command, words in (
            ("sox stats", ["sox", str(path), "-n", "stats"], None),
            ("ffmpeg astats", ["ffmpeg", "-hide_banner", "-nostats", "-i", str(path), "-af", "astats", "-f",
                               "null", "-"], ("Peak level dB", "RMS level dB")),
        ):  # fmt: skip
            if shutil.which(command[0]):
                seconds, said = tool(command)
                print(f"{name}: {mega / seconds:.0f} MB per CPU-second")
                if words:
                    compare(found, said, *words, name)


if __name__ == "__main__":
    sys.exit(main())
