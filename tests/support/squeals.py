"""Tape that squeals, made up by the physics of it.

Tape that sticks to a head and slips off it swings lengthwise between two points that hold it, as a bowed
string does: at c / 2 L, where sound runs along polyester at some 1800 m/s (from memory) and L is a free
length of 10 to 30 cm, that is 3 to 9 kHz; a saw-toothed motion. It does not stand quite still: rollers and
reels sway its pitch and its strength. What is played is read at that swaying speed: the phase of a tone of
f Hz is turned by m f / s, which gives it sidebands s Hz to either side (frequency modulation, closed form).
"""

from __future__ import annotations

import numpy as np
from scipy.signal import butter, sosfiltfilt


def pitch(seconds: float, rate: int, hertz: float, dice: np.random.Generator) -> np.ndarray:
    """Its phase in radians: drift of up to 1 % in all, 0.3 % with the reel, 0.2 % at random to 20 Hz."""
    at = np.arange(int(seconds * rate)) / rate
    knots = np.cumsum(dice.uniform(-0.003, 0.003, int(seconds / 20) + 3))
    slow = np.clip(np.interp(at / 20, np.arange(len(knots)), knots), -0.01, 0.01)
    low = butter(2, 20, fs=1000, output="sos")
    random = sosfiltfilt(low, dice.standard_normal(int(seconds * 1000) + 2))
    random *= 0.002 / max(float(random.std()), 1e-9)
    sway = np.interp(at * 1000, np.arange(len(random)), random)
    turn = dice.uniform(0.4, 2.0)
    ratio = 1 + slow + 0.003 * np.sin(2 * np.pi * turn * at) + sway
    return 2 * np.pi * hertz * np.cumsum(ratio) / rate


def voice(phase: np.ndarray, rate: int, dbfs: float, dice: np.random.Generator) -> np.ndarray:
    """The tone itself at so many dBFS RMS: three partials of a saw, its strength swaying by 30 %."""
    at = np.arange(len(phase)) / rate
    tone = sum(np.sin(k * phase) / k**1.5 for k in (1, 2, 3))
    strength = 1 + 0.3 * np.sin(2 * np.pi * dice.uniform(0.5, 6) * at)
    made = np.asarray(tone) * strength
    return (10 ** (dbfs / 20) / made.std() * made).astype(np.float32)


def lateness(phase: np.ndarray, rate: int, depth: float) -> np.ndarray:
    """Seconds by which sound comes late at a speed that sways with that phase by a part (0.01 for 1 %)."""
    turned = np.gradient(phase) * rate  # radians a second
    late: np.ndarray = depth * np.sin(phase) / turned
    return late


def swayed(sound: np.ndarray, late: np.ndarray, rate: int) -> np.ndarray:
    """The sound so late, to the first order."""
    return (sound - late * np.gradient(sound) * rate).astype(np.float32)
