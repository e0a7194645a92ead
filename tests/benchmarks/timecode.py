"""Timecode reader beside libltc: how much it reads, how much of that is wrong, where, and how fast.

    python tests/benchmarks/timecode.py            # all, some minutes
    python tests/benchmarks/timecode.py speed      # only the speed

Speeds are million samples per CPU-second of this process, best of six, the sound already in memory.
SNR is RMS of the code over RMS of white noise over the whole band. Seeds are fixed.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
import scipy.signal

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "support"))

from libltc_reference import LibLtc

from core.capture.timecode import decode
from core.capture.timecode.decode import TimecodeReader, looks_like_timecode
from core.capture.timecode.encode import RISE_SECONDS, edges_of, square, word_bits
from core.capture.timecode.labels import RATES, frame_number, label_of
from core.capture.timecode.runs import numbers_of

FIRST = "00:58:50:00"
AMPLITUDE = 0.5


def code(rate, frames, sample_rate, speed=None, lead=0.0):
    """Sound, place of every frame, number of every frame; `speed` is a function of seconds, or a factor."""
    bits = word_bits(FIRST, frames, rate)
    bit = sample_rate / float(rate.frames_per_second) / 80
    grid = np.arange(0, frames * 80 + 0.5, 0.5)
    factor = np.ones_like(grid) if speed is None else speed(grid * bit / sample_rate) + np.zeros_like(grid)
    places = np.concatenate([[0], np.cumsum(bit / (factor[1:] + factor[:-1]))]) + lead
    edges = np.interp(edges_of(bits), grid, places)
    sound = square(edges, round(edges[-1]), RISE_SECONDS * sample_rate, AMPLITUDE)
    sound[: int(lead)] = 0
    starts = np.interp(np.arange(frames) * 80.0, grid, places)
    return sound, starts, frame_number(FIRST, rate) + np.arange(frames)


def noisy(sound, snr, seed):
    noise = np.random.default_rng(seed).normal(size=len(sound)) * AMPLITUDE * 10 ** (-snr / 20)
    return (sound + noise).astype(np.float32)


def as_24_bit(sound):
    return np.clip(np.round(sound * 2.0**23), -(2**23), 2**23 - 1).astype(np.int32) * 256


def judge_ours(sound, places, numbers, rate, sample_rate):
    """Frames read, wrong labels among them, and the 99th percentile of their place error in samples."""
    kept = []
    original = decode.track_of
    reader = TimecodeReader(sample_rate)
    reader.feed(as_24_bit(sound))

    def keep(frames, *rest):
        from core.capture.timecode import verdict

        agreed = verdict.agreed
        verdict.agreed = lambda *args: kept.append(agreed(*args)) or kept[-1]
        try:
            return original(frames, *rest)
        finally:
            verdict.agreed = agreed

    decode.track_of = keep
    try:
        track = reader.finish()
    finally:
        decode.track_of = original
    if not kept:
        return 0, 0, float("nan"), track
    read = kept[-1]
    nearest = np.abs(read.start[:, None] - places[None, :]).argmin(axis=1)
    right = numbers_of(read, rate) == numbers[nearest]
    off = np.abs(read.start - places[nearest])[right]
    return int(right.sum()), int((~right).sum()), float(np.percentile(off, 99)) if len(off) else np.nan, track


def judge_libltc(libltc, sound, places, numbers, rate, sample_rate):
    heard = libltc.read(sound, sample_rate, float(rate.frames_per_second))
    labels = {label_of(int(number), rate): place for number, place in zip(numbers, places, strict=True)}
    right = sum(one.label in labels and abs(one.start - labels[one.label]) < 600 for one in heard)
    return right, len(heard) - right


def conditions(sample_rate):
    """Name, rate name, and the sound with its truth."""
    for name in ("24", "25", "29.97", "29.97 DF", "30"):
        yield f"{name}: clean", name, code(RATES[name], 750, sample_rate)
    for name in ("25", "29.97 DF"):
        whole = code(RATES[name], 1500, sample_rate)
        for snr in (20, 12, 6, 3, 0):
            yield f"{name}: noise {snr} dB", name, (noisy(whole[0], snr, snr), *whole[1:])
    sound, places, numbers = code(RATES["25"], 1500, sample_rate)
    seconds = np.arange(len(sound)) / sample_rate
    for name, speed in (
        ("+10 %", lambda t: 1.1), ("-10 %", lambda t: 0.9),
        ("ramp -8 to +8 %", lambda t: 0.92 + 0.16 * t / 60),
        ("wow 3 % 0.5 Hz", lambda t: 1 + 0.03 * np.sin(np.pi * t)),
        ("flutter 0.5 % 10 Hz", lambda t: 1 + 0.005 * np.sin(20 * np.pi * t)),
    ):  # fmt: skip
        bent = code(RATES["25"], 1500, sample_rate, speed)
        for snr in (30, 12, 3):
            yield f"{name}, noise {snr} dB", "25", (noisy(bent[0], snr, 7), *bent[1:])
    yield "-60 dBFS peak, 24 bit", "25", (sound * (0.001 / AMPLITUDE), places, numbers)
    yield "hum 50 Hz at -6 dB, noise 20 dB", "25", (
        noisy(sound + 0.25 * np.sin(2 * np.pi * 50 * seconds), 20, 3), places, numbers,
    )  # fmt: skip
    for low, high in ((100, 8000), (100, 3000), (300, 8000)):
        band = scipy.signal.butter(2, [low, high], "band", fs=sample_rate, output="sos")
        limited = scipy.signal.sosfilt(band, sound)
        yield f"band {low} to {high} Hz, noise 20 dB", "25", (noisy(limited, 20, 4), places, numbers)
    draw = np.random.default_rng(8)
    holed = sound.copy()
    for _ in range(45):
        at, length = draw.integers(0, len(sound)), int(draw.uniform(0.005, 0.03) * sample_rate)
        holed[at : at + length] *= 0.001
    yield "45 drop-outs of 5 to 30 ms", "25", (holed, places, numbers)


def table(libltc, sample_rate):
    print(f"\n{sample_rate} Hz".ljust(39) + "ours: read  wrong  place p99   libltc: right  wrong")
    for name, rate_name, (sound, places, numbers) in conditions(sample_rate):
        rate = RATES[rate_name]
        right, wrong, off, _ = judge_ours(sound, places, numbers, rate, sample_rate)
        theirs = judge_libltc(libltc, sound, places, numbers, rate, sample_rate)
        print(
            f"{name:38} {right:5}/{len(numbers)} {wrong:6} {off:10.3f}   "
            f"{theirs[0]:11}/{len(numbers)} {theirs[1]:5}",
            flush=True,
        )


def matrix():
    """Clean code at every rate, polarity, direction and sample rate: all frames, once, nothing else."""
    good = tried = 0
    worst = 0.0
    for rate in RATES.values():
        for sample_rate in (44100, 48000, 88200, 96000, 192000):
            sound, _, _ = code(rate, 120, sample_rate)
            for backwards in (False, True):
                for sign in (1, -1):
                    reader = TimecodeReader(sample_rate)
                    reader.feed(sign * (sound[::-1] if backwards else sound))
                    track = reader.finish()
                    tried += 1
                    good += track.frames_read == 120 and len(track.runs) == 1 and track.frames_inferred == 0
                    worst = max(worst, track.runs[0].residual_samples)
    print(f"\nclean, 5 rates x 5 sample rates x 2 directions x 2 polarities: {good} of {tried} whole; "
          f"largest RMS distance from the line {worst:.3f} samples")  # fmt: skip


def after_hiss(libltc):
    """One second of hiss, then code: how often the first two frames' time is all that is lost."""
    for snr in (15, 25, 30, 50):
        ours = theirs = 0
        for seed in range(30):
            sound, places, _ = code(RATES["25"], 75, 48000, lead=48000.0)
            sound = noisy(sound, snr, seed)
            reader = TimecodeReader(48000)
            reader.feed(sound)
            track = reader.finish()
            ours += bool(track.runs) and track.runs[0].start_sample <= places[2] and track.frames_read >= 73
            heard = libltc.read(sound, 48000, 25)
            theirs += bool(heard) and len(heard) >= 70
        print(f"1 s of hiss before, SNR {snr}: ours locks in 2 frames {ours}/30, libltc at all {theirs}/30")


def nothing_there():
    draw = np.random.default_rng(2)
    seconds = np.arange(60 * 48000) / 48000
    chord = sum(np.sin(2 * np.pi * f * seconds) for f in (220, 277.2, 329.6, 1200, 2400)) * 0.1
    for name, sound in (
        ("white noise", draw.normal(size=len(seconds)) * 0.2), ("chord with 1200 and 2400 Hz", chord),
        ("1200 Hz square", np.sign(np.sin(2 * np.pi * 1200 * seconds)) * 0.5), ("silence", 0 * seconds),
    ):  # fmt: skip
        started = time.process_time()
        reader = TimecodeReader(48000)
        reader.feed(sound.astype(np.float32))
        read = reader.finish().frames_read
        rate = len(sound) / (time.process_time() - started) / 1e6
        guess = looks_like_timecode(sound[: 5 * 48000].astype(np.float32), 48000)
        print(f"{name:30} frames read {read}, looks like timecode: {guess}, {rate:.0f} MS per CPU-second")


def cpu_seconds(work, *given):
    started = time.process_time()
    work(*given)
    return time.process_time() - started


def read_in_blocks(sound, sample_rate, block):
    reader = TimecodeReader(sample_rate)
    for at in range(0, len(sound), block):
        reader.feed(sound[at : at + block])
    return reader.finish()


def speed(libltc):
    """Readers take turns, so that a busy machine slows all of them alike."""
    for sample_rate, minutes in ((48000, 10), (96000, 5)):
        sound, _, numbers = code(RATES["29.97 DF"], int(minutes * 60 * 29.97), sample_rate)
        for snr in (60, 20):
            heard = noisy(sound, snr, 1)
            whole = as_24_bit(heard)
            best = [np.inf] * 3
            for _ in range(6):
                taken = (
                    cpu_seconds(read_in_blocks, heard, sample_rate, 65536),
                    cpu_seconds(read_in_blocks, whole, sample_rate, 16384),
                    cpu_seconds(libltc.count, heard, sample_rate, 29.97),
                )
                best = [min(pair) for pair in zip(best, taken, strict=True)]
            floats, ints, theirs = (len(sound) / seconds / 1e6 for seconds in best)
            print(f"{sample_rate} Hz, {minutes} min, SNR {snr} dB: MS per CPU-s: ours {floats:.0f} (float), "
                  f"{ints:.0f} (int); libltc {theirs:.0f}; frames of {len(numbers)}: ours "
                  f"{read_in_blocks(heard, sample_rate, 65536).frames_read}, "
                  f"libltc {libltc.count(heard, sample_rate, 29.97)}", flush=True)  # fmt: skip
    sound, _, _ = code(RATES["25"], 1500, 48000)
    heard = noisy(sound, 1, 1)
    taken = cpu_seconds(read_in_blocks, heard, 48000, 65536)
    print(f"48000 Hz, 1 dB, all by the second pass: {len(heard) / taken / 1e6:.1f} MS per CPU-second, "
          f"{len(heard) / 48000 / taken:.0f} times real time")  # fmt: skip


if __name__ == "__main__":
    reference = LibLtc()
    speed(reference)
    if sys.argv[1:] != ["speed"]:
        matrix()
        table(reference, 48000)
        table(reference, 96000)
        print()
        after_hiss(reference)
        print()
        nothing_there()
