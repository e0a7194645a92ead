"""Made-up sound of many kinds, as tracks of a tape may hold it: what a check must not take for a fault.

Every maker takes a generator, a sample rate and a number of frames, and gives mono sound of full scale 1
without hiss. Nothing here knows anything of `core`.
"""

from collections.abc import Callable

import numpy as np
from scipy.signal import lfilter

Sound = np.ndarray
Dice = np.random.Generator
Maker = Callable[[Dice, int, int], Sound]


def _seconds(rate: int, frames: int) -> Sound:
    return np.arange(frames, dtype=np.float64) / rate


def _tone(hertz: float, at: Sound, strengths: tuple[float, ...], dice: Dice) -> Sound:
    """A fundamental and its harmonics, each with a phase of its own."""
    out = np.zeros(len(at), np.float32)
    for number, strength in enumerate(strengths, 1):
        turns = hertz * number * at + dice.random()
        turns -= np.floor(turns)  # what % 1.0 gives, several times faster
        out += np.float32(strength) * np.sin(np.float32(2 * np.pi) * turns.astype(np.float32))
    return out


def _pitch(dice: Dice, low: float = 110.0, steps: int = 24) -> float:
    return float(low * 2 ** (dice.integers(0, steps) / 12))


def _edges(length: int, rise: float, fall: float, rate: int) -> Sound:
    """1 with a rise at its start and a fall at its end, in seconds."""
    shape = np.ones(length, np.float32)
    up, down = min(length // 2, int(rise * rate)), min(length // 2, int(fall * rate))
    if up:
        shape[:up] = np.sin(np.linspace(0, np.pi / 2, up, dtype=np.float32)) ** 2
    if down:
        shape[-down:] = np.cos(np.linspace(0, np.pi / 2, down, dtype=np.float32)) ** 2
    return shape


def _sequence(dice: Dice, rate: int, frames: int, gaps: Callable[[], float],
              note: Callable[[int], Sound]) -> Sound:  # fmt: skip
    """Notes laid one after another; `gaps` gives the seconds from one to the next."""
    out = np.zeros(frames, np.float32)
    at = int(0.05 * rate)
    while at < frames - 64:
        step = max(64, int(gaps() * rate))
        sound = note(step)
        use = min(len(sound), frames - at)
        out[at : at + use] += sound[:use]
        at += step
    return out


def chord(dice: Dice, rate: int, frames: int) -> Sound:
    """Strings: three voices with vibrato that change together every few seconds."""

    def note(step: int) -> Sound:
        at = _seconds(rate, step)
        root = _pitch(dice)
        sway = at + 0.0006 * np.sin(2 * np.pi * dice.uniform(4.5, 6) * at)
        voices = (_tone(root * ratio, sway, (1, 0.5, 0.3), dice) for ratio in (1, 1.26, 1.5))
        return 0.06 * sum(voices) * _edges(step, 0.05, 0.03, rate)

    return _sequence(dice, rate, frames, lambda: dice.uniform(2, 7), note)


def organ(dice: Dice, rate: int, frames: int) -> Sound:
    """Steady pipes, struck anew at once with the same or another pitch."""

    def note(step: int) -> Sound:
        return 0.1 * _tone(_pitch(dice, 130, 15), _seconds(rate, step), (1, 0.6, 0.2, 0.3), dice)

    return _sequence(dice, rate, frames, lambda: dice.uniform(0.4, 3), note)


def tremolo(dice: Dice, rate: int, frames: int) -> Sound:
    """A chord whose level swings smoothly, as deep as to nothing."""
    at = _seconds(rate, frames)
    depth = dice.uniform(0.6, 1.0)
    swing = 1 - depth * (0.5 + 0.5 * np.cos(2 * np.pi * dice.uniform(3.5, 9) * at))
    return chord(dice, rate, frames) * swing.astype(np.float32) * 1.5


def chopped(dice: Dice, rate: int, frames: int) -> Sound:
    """A chord switched on and off in time, as by a gate on a clock: the sound beneath goes on in phase."""
    at = _seconds(rate, frames)
    turns = at * dice.uniform(2, 10) % 1
    on = np.clip(np.minimum(turns, dice.uniform(0.45, 0.85) - turns) * 120, 0, 1)
    return chord(dice, rate, frames) * on.astype(np.float32)


def rough(dice: Dice, rate: int, frames: int) -> Sound:
    """A chord whose level wanders without rest, fast and deep."""
    slow = dice.standard_normal(frames // 64 + 2)
    blend = np.exp(-2 * np.pi * dice.uniform(6, 20) * 64 / rate)
    wander = lfilter([1 - blend], [1, -blend], slow)
    wander = np.abs(wander) / wander.std()
    level = np.interp(np.arange(frames), np.arange(len(wander)) * 64, wander)
    return chord(dice, rate, frames) * np.minimum(level, 2.5).astype(np.float32) * 0.8


def piano(dice: Dice, rate: int, frames: int) -> Sound:
    """Struck strings that decay and are damped; notes come again at the same pitch."""
    pitches = [_pitch(dice, 98, 28) for _ in range(5)]

    def note(step: int) -> Sound:
        length = int(step * dice.uniform(0.6, 1.2)) + rate // 20
        at = _seconds(rate, length)
        sound = _tone(pitches[dice.integers(5)], at, (1, 0.6, 0.35, 0.2, 0.1), dice)
        fade = np.exp(-dice.uniform(1.0, 4.0) * at).astype(np.float32)
        return 0.15 * dice.uniform(0.5, 1) * sound * fade * _edges(length, 0.003, 0.04, rate)

    return _sequence(dice, rate, frames, lambda: dice.choice([0.18, 0.36, 0.36, 0.72, 1.44]), note)


def plucks(dice: Dice, rate: int, frames: int) -> Sound:
    """Plucked strings that decay fast, some muted at once by the hand."""

    def note(step: int) -> Sound:
        at = _seconds(rate, step)
        sound = _tone(_pitch(dice, 147, 20), at, (1, 0.7, 0.5, 0.3, 0.2), dice)
        muted = dice.random() < 0.3
        fade = np.exp(-dice.uniform(3, 9) * at).astype(np.float32)
        hold = max(64, int(step * (dice.uniform(0.3, 0.7) if muted else 1)))
        fade[:hold] *= _edges(hold, 0.001, 0.006, rate)
        fade[hold:] = 0
        return 0.2 * sound * fade

    return _sequence(dice, rate, frames, lambda: dice.uniform(0.12, 0.7), note)


def gated(dice: Dice, rate: int, frames: int) -> Sound:
    """Held notes of like level, cut off and begun anew by a gate, often at the same pitch."""
    pitches = [_pitch(dice, 110, 20) for _ in range(3)]

    def note(step: int) -> Sound:
        hold = max(64, int(step - dice.uniform(0.02, 0.25) * rate))
        sound = _tone(pitches[dice.integers(3)], _seconds(rate, hold), (1, 0.5, 0.33, 0.2), dice)
        return 0.15 * sound * _edges(hold, 0.002, 0.002, rate)

    return _sequence(dice, rate, frames, lambda: dice.uniform(0.3, 1.1), note)


def one_note(dice: Dice, rate: int, frames: int) -> Sound:
    """One pitch struck again and again in time, held at one level with short rests."""
    pitch, step_seconds, rest = _pitch(dice, 82, 20), dice.uniform(0.2, 0.5), dice.uniform(0.03, 0.1)

    def note(step: int) -> Sound:
        hold = max(64, int(step - rest * rate))
        sound = _tone(pitch, _seconds(rate, hold), (1, 0.6, 0.4, 0.3), dice)
        return 0.15 * sound * _edges(hold, 0.003, 0.004, rate)

    return _sequence(dice, rate, frames, lambda: step_seconds, note)


def bass(dice: Dice, rate: int, frames: int) -> Sound:
    """A bass alone: low notes that decay slowly and end before the next."""

    def note(step: int) -> Sound:
        hold = max(64, int(step * dice.uniform(0.7, 1.0)))
        at = _seconds(rate, hold)
        sound = _tone(_pitch(dice, 41, 17), at, (1, 0.8, 0.3, 0.1), dice)
        return 0.2 * sound * np.exp(-1.2 * at).astype(np.float32) * _edges(hold, 0.006, 0.015, rate)

    return _sequence(dice, rate, frames, lambda: dice.choice([0.25, 0.5, 0.5, 1.0]), note)


def low_drone(dice: Dice, rate: int, frames: int) -> Sound:
    """One held low note with few harmonics."""
    hertz = dice.uniform(36, 70)
    # Held without end at the mains' frequency, with harmonics, it would be hum by what the word means.
    if min(abs(hertz / mains - 1) for mains in (50, 60)) < 0.015:
        hertz *= 1.03
    return 0.2 * _tone(hertz, _seconds(rate, frames), (1, 0.4, 0.15), dice)


def _hit(dice: Dice, rate: int, colour: str) -> Sound:
    length = int(rate * {"kick": 0.25, "snare": 0.3, "hat": 0.06, "tom": 0.5}[colour])
    at = _seconds(rate, length)
    noise = dice.standard_normal(length).astype(np.float32)
    if colour == "kick":
        return 0.4 * np.sin(2 * np.pi * (50 * at + 3 * (1 - np.exp(-40 * at)))) * np.exp(-14 * at)
    if colour == "snare":
        return 0.25 * (noise * 0.5 + np.sin(2 * np.pi * 190 * at)) * np.exp(-16 * at)
    if colour == "tom":
        return 0.3 * np.sin(2 * np.pi * 110 * at) * np.exp(-7 * at)
    return 0.1 * np.diff(noise, prepend=0) * np.exp(-70 * at)


def drums(dice: Dice, rate: int, frames: int) -> Sound:
    """A kit that plays a beat, with rests of some bars."""
    out = np.zeros(frames, np.float32)
    step = 60 / dice.uniform(80, 150) / 2
    at, count, rest = 0.05, 0, 0
    while at * rate < frames:
        if count % 16 == 0:
            rest = 16 if dice.random() < 0.15 else 0
        if rest == 0:
            for colour, chance in (
                ("hat", 0.85),
                (("kick", "snare")[count // 2 % 2], 0.8 - 0.5 * (count % 2)),
            ):
                if dice.random() < chance:
                    hit, start = _hit(dice, rate, colour), int((at + dice.uniform(0, 0.006)) * rate)
                    use = max(0, min(len(hit), frames - start))
                    out[start : start + use] += (dice.uniform(0.6, 1) * hit[:use]).astype(np.float32)
        rest = max(0, rest - 1)
        count += 1
        at += step
    return out


def sparse(dice: Dice, rate: int, frames: int) -> Sound:
    """Single hits, seconds apart."""
    colours = ("tom", "snare", "kick", "hat")
    return _sequence(dice, rate, frames, lambda: dice.uniform(0.3, 6),
                     lambda step: _hit(dice, rate, colours[dice.integers(4)]).astype(np.float32))  # fmt: skip


def voice(dice: Dice, rate: int, frames: int) -> Sound:
    """Speech-like: voiced syllables that glide, hissed sounds, stops, breaths and pauses."""

    def syllable(step: int) -> Sound:
        length = max(64, int(step * dice.uniform(0.6, 1.05)))
        at = _seconds(rate, length)
        if dice.random() < 0.25:
            noise = dice.standard_normal(length).astype(np.float32)
            return 0.04 * np.diff(noise, prepend=0) * _edges(length, 0.01, 0.01, rate)
        glide = 1 + 0.1 * dice.uniform(-1, 1) * at / max(at[-1], 1e-3)
        turns = np.cumsum(dice.uniform(100, 220) * glide) / rate
        strengths = dice.uniform(0.1, 1, 9) / np.arange(1, 10) ** 0.7
        sound = np.zeros(length, np.float32)
        for number, strength in enumerate(strengths, 1):
            part = turns * number
            part -= np.floor(part)
            sound += np.float32(strength) * np.sin(2 * np.pi * part).astype(np.float32)
        return (
            0.1 * dice.uniform(0.5, 1) * sound * _edges(length, 0.012, dice.choice([0.004, 0.02, 0.06]), rate)
        )

    return _sequence(dice, rate, frames, lambda: dice.choice([0.12, 0.18, 0.25, 0.35, 0.9]), syllable)


def bursts(dice: Dice, rate: int, frames: int) -> Sound:
    """Bursts of noise of one level with rests of any length."""

    def burst(step: int) -> Sound:
        hold = max(64, int(step * dice.uniform(0.4, 0.9)))
        return 0.08 * dice.standard_normal(hold).astype(np.float32) * _edges(hold, 0.002, 0.003, rate)

    return _sequence(dice, rate, frames, lambda: dice.uniform(0.2, 1.2), burst)


def hiss(dice: Dice, rate: int, frames: int) -> Sound:
    """A tape that runs with nothing on it."""
    return 10 ** (-52 / 20) * dice.standard_normal(frames, dtype=np.float32)


def hiss_fades(dice: Dice, rate: int, frames: int) -> Sound:
    """Noise that is faded in and out."""
    at = _seconds(rate, frames)
    level = np.clip(np.sin(2 * np.pi * at / dice.uniform(8, 20)), 0, 1).astype(np.float32)
    return 0.05 * level * dice.standard_normal(frames, dtype=np.float32)


def surf(dice: Dice, rate: int, frames: int) -> Sound:
    """Steady broad noise: a cymbal wash, applause, rain."""
    noise = dice.standard_normal(frames, dtype=np.float32)
    return 0.06 * lfilter([1, -0.7], [1, -0.2], noise).astype(np.float32)


def songs(dice: Dice, rate: int, frames: int) -> Sound:
    """Songs that fade out, with the noise of the desk between them."""
    level = np.zeros(frames, np.float32)
    at = 0
    while at < frames:
        length = min(frames - at, int(dice.uniform(12, 40) * rate))
        level[at : at + length] = _edges(length, 0.2, min(4.0, length / rate / 3), rate)
        at += length + int(dice.uniform(2, 5) * rate)
    noise = 10 ** (-58 / 20) * dice.standard_normal(frames, dtype=np.float32)
    return level * chord(dice, rate, frames) + noise


def crunch(dice: Dice, rate: int, frames: int) -> Sound:
    """An overdriven guitar: held chords and palm-muted strokes."""

    def stroke(step: int) -> Sound:
        muted = step < 0.3 * rate
        at = _seconds(rate, step)
        sound = _tone(_pitch(dice, 82, 12), at, (1, 0.8, 0.6), dice)
        sound = np.tanh(4 * sound + 0.3 * dice.standard_normal(step).astype(np.float32))
        fade = np.exp(-(18 if muted else 0.8) * at).astype(np.float32)
        return 0.15 * sound * fade * _edges(step, 0.002, 0.004, rate)

    sound = _sequence(dice, rate, frames, lambda: dice.choice([0.15, 0.15, 0.3, 1.2, 2.4]), stroke)
    keep = 1 - 2 * np.pi * 20 / rate
    # No line carries an offset.
    return lfilter([1, -1], [1, -keep], sound).astype(np.float32)


def full_mix(dice: Dice, rate: int, frames: int) -> Sound:
    """Several of these at once."""
    parts = (
        chord(dice, rate, frames),
        drums(dice, rate, frames),
        bass(dice, rate, frames),
        voice(dice, rate, frames),
    )
    return 0.6 * sum(parts)


MATERIAL: dict[str, Maker] = {
    maker.__name__: maker
    for maker in (
        chord, organ, tremolo, chopped, rough, piano, plucks, gated, one_note, bass, low_drone, drums,
        sparse, voice, bursts, hiss, hiss_fades, surf, songs, crunch, full_mix,
    )
}  # fmt: skip
