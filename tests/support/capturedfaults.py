"""Faults put into made-up tracks at random known places, up to the edges of what their words mean.

A fault is put only where the clean sound meets the definition; what only comes near one is put in as a
decoy, and finding it is false.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

Dice = np.random.Generator
APART_SECONDS = 1.2


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault, in seconds of the pass; a decoy only comes near its kind and must not be found."""

    kind: str
    track: int
    start: float
    end: float
    what: str
    decoy: bool = False


def level_db(sound: np.ndarray) -> float:
    """RMS in dB of full scale."""
    return float(10 * np.log10(np.mean(np.square(sound, dtype=np.float64)) + 1e-20)) if len(sound) else -200.0


def goes_on(clean: np.ndarray, start: int, stop: int, rate: int) -> bool:
    """Whether the sound is steady enough around and beneath a place: like level and pitches in all its parts.

    Parts of 25 ms over 0.15 s on either side keep within 5 dB, so no note begins or ends, and the spectra
    of the two sides correlate.
    """
    side, part = int(0.15 * rate), int(0.025 * rate)
    if start < side or stop + side > len(clean):
        return False
    around = clean[start - side : stop + side]
    count = len(around) // part
    parts = np.square(around[: count * part], dtype=np.float64).reshape(count, part).mean(axis=1)
    levels = 10 * np.log10(parts + 1e-20)
    if levels.min() < -48 or np.ptp(levels) > 5:
        return False
    one, two = (np.abs(np.fft.rfft(half * np.hanning(side))) for half in (around[:side], around[-side:]))
    one, two = (np.convolve(half, np.ones(5), "same") for half in (one, two))
    return float(one @ two / np.sqrt((one @ one) * (two @ two))) > 0.7


def like_a_rest(track: np.ndarray, start: int, rate: int) -> bool:
    """Whether the sound is noise on a track that rests often, where a deep fall is but one more rest."""
    near = track[max(0, start - 5 * rate) : start + 5 * rate]
    part = int(0.025 * rate)
    parts = near[: len(near) // part * part].reshape(-1, part)
    quiet = np.mean(10 * np.log10(np.square(parts, dtype=np.float64).mean(axis=1) + 1e-20) < -50)
    power = np.sort(np.abs(np.fft.rfft(track[start - part : start] * np.hanning(part))) ** 2)[::-1]
    return bool(quiet > 0.03 and power[:16].sum() < 0.7 * power.sum())


def fall(clean: np.ndarray, start: int, rate: int, seconds: float, decibels: float, ramp: float) -> int:
    """The level falls along a ramp, stays down and returns; gives the frames from half to half."""
    down = max(1, int(ramp * rate))
    hold = int(seconds * rate)
    low = 10 ** (-decibels / 20)
    gain = np.concatenate((np.linspace(1, low, down), np.full(hold, low), np.linspace(low, 1, down)))
    clean[start : start + len(gain)] *= gain.astype(np.float32)
    return len(gain)


def dropout(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """A dropout as deep, as long and as sharp as any."""
    seconds = float(np.exp(dice.uniform(np.log(0.0055), np.log(0.48))))
    decibels, ramp = float(dice.choice([14, 16, 20, 30, 45, 60])), float(dice.choice([0.0005, 0.002, 0.005]))
    whole = int((seconds + 2 * ramp) * rate)
    if seconds + 2 * ramp > 0.49 or not goes_on(track, start, start + whole, rate):
        return None
    # At half amplitude it is longer by a ramp than it stays down; from 20 ms on it is as long as a rest.
    if seconds + ramp > 0.02 and decibels > 20 and like_a_rest(track, start, rate):
        return None
    length = fall(track, start, rate, seconds, decibels, ramp)
    return length, f"{1000 * seconds:.1f} ms, {decibels:.0f} dB, ramp {1000 * ramp:.1f} ms"


def near_dropout(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """A fall that is too shallow, too short, too slow or too long."""
    seconds, decibels, ramp = ((0.05, 8.0, 0.002), (0.002, 30.0, 0.0005), (0.05, 20.0, 0.1),
                               (0.7, 30.0, 0.002))[dice.integers(4)]  # fmt: skip
    whole = int((seconds + 2 * ramp) * rate)
    if not goes_on(track, start, start + whole, rate):
        return None
    return fall(track, start, rate, seconds, decibels, ramp), f"{seconds} s, {decibels} dB, ramp {ramp}"


def _sounds(track: np.ndarray, start: int, stop: int, rate: int) -> bool:
    side = int(0.1 * rate)
    sides = track[max(0, start - side) : start], track[stop : stop + side]
    parts = [level_db(one[at : at + side // 4]) for one in sides for at in range(0, len(one), side // 4)]
    return len(parts) >= 8 and min(parts) > -50


def zero_run(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """Exact zeros from 2 ms on."""
    length = int(np.ceil(0.002 * rate)) if dice.random() < 0.3 else int(
        rate * np.exp(dice.uniform(np.log(0.0021), np.log(0.3))))  # fmt: skip
    if not _sounds(track, start, start + length, rate):
        return None
    track[start : start + length] = 0
    return length, f"{length} zeros"


def near_zero_run(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """Zeros of less than 2 ms."""
    length = int(0.0017 * rate)
    if not _sounds(track, start, start + length, rate):
        return None
    track[start : start + length] = 0
    return length, f"{length} zeros"


def repeat(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """A block handed over twice."""
    length = int(dice.choice([256, 300, 441, 512, 1000, 1024, 2048, 4096]))
    if not _sounds(track, start - length, start + length, rate):
        return None
    track[start : start + length] = track[start - length : start].copy()
    return length, f"{length} frames"


def clipping(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """From 3 samples at full scale on, at the top or the bottom, in one run or some that are near."""
    length = int(dice.choice([3, 3, 4, 8, 30]))
    runs = int(dice.choice([1, 1, 3]))
    step = int(0.04 * rate)
    sign = 1.0 if dice.random() < 0.5 else -1.0
    for run in range(runs):
        track[start + run * step : start + run * step + length] = sign
    return (runs - 1) * step + length, f"{runs} of {length} samples"


def near_clipping(track: np.ndarray, start: int, rate: int, dice: Dice) -> tuple[int, str] | None:
    """Two samples at full scale."""
    track[start : start + 2] = 1.0
    return 2, "2 samples"


Putter = Callable[[np.ndarray, int, int, Dice], "tuple[int, str] | None"]
FAULTS: dict[str, Putter] = {"dropout": dropout, "zero run": zero_run, "repeat": repeat, "clipping": clipping}
DECOYS: dict[str, Putter] = {"dropout": near_dropout, "zero run": near_zero_run, "clipping": near_clipping}


def put_faults(track: np.ndarray, number: int, rate: int, every_seconds: float, dice: Dice,
               decoys: bool = True) -> list[Fault]:  # fmt: skip
    """Put one fault about every so many seconds into a track, each at least 1.2 s from the next."""
    put: list[Fault] = []
    at = 1.5
    while at < len(track) / rate - 2.5:
        decoy = decoys and dice.random() < 0.2
        table = DECOYS if decoy else FAULTS
        kind = list(table)[dice.integers(len(table))]
        start, length = int(at * rate), None
        for _ in range(8):
            start = int((at + dice.uniform(0, 0.6 * every_seconds)) * rate)
            if start + 1.5 * rate > len(track):
                break
            length = table[kind](track, start, rate, dice)
            if length:
                break
        if length:
            put.append(Fault(kind, number, start / rate, (start + length[0]) / rate, length[1], decoy))
        at = max(at + every_seconds, start / rate + APART_SECONDS)
    return put
