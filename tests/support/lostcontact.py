"""Lost contact put into a sound: dropouts as loss of level, or as spacing by Wallace's law; and a tape askew.

Spacing loss in dB is 54.6 d/λ (R. L. Wallace, Bell System Technical Journal 30, 1951).
Nothing here knows anything of `core`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.signal import firwin2, oaconvolve

MICROMETRES_AN_INCH = 25400.0


@dataclass(frozen=True, slots=True)
class Lost:
    """One place where contact was lost, in seconds of the sound."""

    start: float
    end: float
    depth_db: float
    how: str


def spacing_loss_db(hertz: np.ndarray, micrometres: float, speed_ips: float = 15.0) -> np.ndarray:
    """54.6 d/λ, with λ = speed / frequency."""
    loss: np.ndarray = 54.6 * micrometres * hertz / (speed_ips * MICROMETRES_AN_INCH)
    return loss


def spaced(
    sound: np.ndarray, rate: int, micrometres: float, even_db: float = 0.0, speed_ips: float = 15.0
) -> np.ndarray:
    """The sound through a spacing, and weaker by so much besides."""
    hertz = np.linspace(0, rate / 2, 129)
    loss = np.minimum(even_db + spacing_loss_db(hertz, micrometres, speed_ips), 70.0)
    taps = firwin2(255, hertz, 10 ** (-loss / 20), fs=rate)
    weaker: np.ndarray = oaconvolve(sound, taps, "same")
    return weaker


def late_seconds(minutes: float, apart_inches: float, speed_ips: float = 15.0) -> float:
    """How much later one of two tracks has a sound on a tape turned by minutes of arc: s tan(a) / v."""
    return float(apart_inches * np.tan(np.radians(minutes / 60)) / speed_ips)


def apart(sound: np.ndarray, rate: int, seconds: float) -> np.ndarray:
    """The sound so much later, between samples too: every frequency turned by its share."""
    bins = np.fft.rfft(sound)
    hertz = np.fft.rfftfreq(len(sound), 1 / rate)
    later: np.ndarray = np.fft.irfft(bins * np.exp(-2j * np.pi * hertz * seconds), len(sound))
    return later


def goes_on(sound: np.ndarray, start: int, stop: int, rate: int) -> bool:
    """Whether a sound goes on: parts of 20 ms, and 60 ms on either side, within 10 dB, above -45 dB."""
    side, part = int(0.06 * rate), int(0.02 * rate)
    if start < side or stop + side > len(sound):
        return False
    around = sound[start - side : stop + side].astype(np.float64)
    count = len(around) // part
    levels = 10 * np.log10((around[: count * part].reshape(count, part) ** 2).mean(axis=1) + 1e-20)
    return bool(levels.min() > -45 and np.ptp(levels) <= 10)


def lose_contact(sound: np.ndarray, rate: int, dice: np.random.Generator, every: float = 2.0,
                 lengths: tuple[float, float] = (0.010, 0.2)) -> tuple[np.ndarray, list[Lost]]:  # fmt: skip
    """The sound with a dropout every so many seconds where it goes on: 13 to 36 dB, edges of 0.7 to 5 ms."""
    out, lost, at = sound.copy(), [], 0.5
    while at < len(sound) / rate - 1:
        for _ in range(10):
            seconds = float(np.exp(dice.uniform(*np.log(lengths))))
            ramp = float(np.exp(dice.uniform(np.log(0.0007), np.log(0.005))))
            start = int((at + dice.uniform(0, every * 0.6)) * rate)
            stop = start + int((seconds + ramp) * rate)
            if stop + rate * 0.3 < len(sound) and goes_on(sound, start, stop, rate):
                break
        else:
            at += every
            continue
        lost.append(_lose(out, start, stop, int(ramp * rate), rate, dice))
        at = max(at + every, start / rate + 1.2)
    return out, lost


def _lose(out: np.ndarray, start: int, stop: int, ramp: int, rate: int, dice: np.random.Generator) -> Lost:
    edge = 0.5 - 0.5 * np.cos(np.linspace(0, np.pi, max(2, ramp)))
    part = np.ones(stop - start)
    part[: len(edge)], part[-len(edge) :] = edge, edge[::-1]
    depth, here = float(dice.uniform(13, 36)), out[start:stop].astype(np.float64)
    way = ("gain", "decibels", "spacing", "spacing")[dice.integers(4)]
    if way == "spacing":
        first = max(0, start - 512)
        weaker = spaced(out[first : stop + 512], rate, float(dice.uniform(2, 30)), max(0.0, depth - 8))
        weaker = weaker[start - first : stop - first]
        depth = float(10 * np.log10((here**2).mean() / ((weaker**2).mean() + 1e-20)))
        if depth < 13:
            weaker, depth = weaker * 10 ** ((depth - 13) / 20), 13.0
        out[start:stop] = here * (1 - part) + weaker * part
    elif way == "gain":
        out[start:stop] = here * (1 - part * (1 - 10 ** (-depth / 20)))
    else:
        out[start:stop] = here * 10 ** (-depth * part / 20)
    return Lost(start / rate, stop / rate, depth, way)
