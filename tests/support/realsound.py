"""Recordings of real music and speech that packages of the distribution carry; nothing of it is kept here.

Debian: sonic-pi-samples, lmms-common, gcompris-qt-data, klettres-data, extremetuxracer-data. What is not
installed is left out. Limits are set on `set`, and reported on `held`; they share no recording. `more` is
what else there is, in neither of them.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import suppress
from math import gcd
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly

RATE = 48000
LOOPS = Path("/usr/share/sonic-pi/samples")
BEATS = Path("/usr/share/lmms/samples")
SONGS = Path("/usr/share/games/etr/music")
WORLD = Path("/usr/share/gcompris-qt/rcc/explore_world_music.rcc")
SPOKEN = Path("/usr/share/klettres")

Sound = np.ndarray

_LOOPS = {
    "set": {
        "tabla": "loop_tabla", "drums": "loop_amen_full", "synth": "loop_garzul", "rattle": "loop_safari",
        "slide guitar": "guit_e_slide", "guitar chord": "guit_em9", "piano": "ambi_piano",
        "choir": "ambi_choir", "glass": "ambi_glass_hum", "bass": "bass_voxy_c", "bell": "perc_bell",
        "mix": "loop_mika",
    },
    "held": {
        "fifths": "guit_e_fifths", "harmonics": "guit_harmonics", "swell": "ambi_lunar_land",
        "steam": "ambi_sauna", "drone": "ambi_drone", "odd loop": "loop_weirdo",
        "breakbeat": "loop_breakbeat", "machine": "loop_industrial", "drum roll": "drum_roll",
        "bass guitar": "bass_woodsy_c", "thick bass": "bass_thick_c", "tabla stroke": "tabla_ghe5",
        "drone loop": "loop_drone_g_97", "motor": "loop_3d_printer", "hum": "ambi_haunted_hum",
        "electro": "loop_compus",
    },
}  # fmt: skip
_BEATS = {
    "set": (
        "beats/break01", "beats/jungle01", "latin/latin_guitar01", "latin/latin_brass01",
        "stringsnpads/strings01", "stringsnpads/bell_choir01", "beats/electro_beat01",
    ),
    "held": (
        "beats/break02", "beats/break03", "latin/latin_guitar02", "latin/latin_guitar03",
        "stringsnpads/orion_string01", "stringsnpads/rave_choir01", "beats/909beat01",
    ),
}  # fmt: skip
_SONGS = {
    "set": ("start1-jt", "spunkyrace-ks", "calmrace-ks"),
    "held": ("race1-jt", "credits1-cp", "freezingpoint"),
    "more": ("lostrace-ks", "wonrace1-jt", "raceintro-ks", "options1-jt"),
}
_SPOKEN = {"set": ("es", "pt_BR"), "held": ("it", "uk"), "more": ("de", "fr", "en")}
_NO_MUSIC = ("vinyl", "misc", "perc_swoosh", "ambi_swoosh", "effects", "shapes")
_LONG_ENOUGH = 1.4
"""Seconds; what is shorter is a stroke."""


def recordings(part: str, seconds: float = 40.0) -> Iterator[tuple[str, str, Sound]]:
    """Kind, name and sound of every recording of a part that is installed, at 48 kHz.

    Loops and strokes are laid one after another for so many seconds; songs are as long as they are.
    """
    for name, stem in (_others(LOOPS, ".flac", _LOOPS) if part == "more" else _LOOPS[part]).items():
        yield from _loop("loops", name, LOOPS / f"{stem}.flac", seconds)
    for stem in _others(BEATS, ".ogg", _BEATS) if part == "more" else _BEATS[part]:
        yield from _loop("loops", stem.split("/")[1], BEATS / f"{stem}.ogg", seconds)
    for stem in _SONGS[part]:
        if (SONGS / f"{stem}.ogg").exists():
            yield (
                "songs",
                stem,
                _even(*_read(SONGS / f"{stem}.ogg")),
            )
    if WORLD.exists() and part != "more":
        for number, (sound, rate) in enumerate(_in_resource(WORLD)):
            if (number % 2 == 0) == (part == "set"):
                yield "world", f"world {number}", _even(sound, rate)
    for language in _SPOKEN[part]:
        if (SPOKEN / language).exists():
            yield "speech", f"speech {language}", _spoken(language, 2.2 * seconds)


def _others(
    folder: Path, ending: str, parts: dict[str, dict[str, str]] | dict[str, tuple[str, ...]]
) -> dict[str, str]:
    """The recordings of a folder that are in no part, by name."""
    named = {stem for part in parts.values() for stem in (part.values() if isinstance(part, dict) else part)}
    found = {}
    for path in sorted(folder.rglob(f"*{ending}")):
        stem = str(path.relative_to(folder).with_suffix(""))
        if stem in named or stem.startswith(_NO_MUSIC):
            continue
        with suppress(soundfile.LibsndfileError):  # some hold files of another kind under that name
            about = soundfile.info(path)
            if about.frames > _LONG_ENOUGH * about.samplerate:
                found[stem] = stem
    return found


def installed() -> bool:
    """Whether any of the recordings are here."""
    return LOOPS.exists() or SONGS.exists() or WORLD.exists()


def _loop(kind: str, name: str, path: Path, seconds: float) -> Iterator[tuple[str, str, Sound]]:
    if path.exists():
        sound = _even(*_read(path))
        size = int(seconds * RATE)
        yield kind, name, np.tile(sound, -(-size // len(sound)))[:size]


def _read(file: Path | io.BytesIO) -> tuple[Sound, int]:
    sound, rate = soundfile.read(file, dtype="float32", always_2d=True)
    return sound, rate


def _even(sound: Sound, rate: int) -> Sound:
    """One track at 48 kHz, its peaks at half of full scale."""
    one = sound.mean(axis=1) if sound.ndim > 1 else sound
    if rate != RATE:
        common = gcd(rate, RATE)
        one = resample_poly(one, RATE // common, rate // common)
    return (0.5 / max(float(np.abs(one).max()), 1e-9) * one).astype(np.float32)


def _in_resource(path: Path) -> Iterator[tuple[Sound, int]]:
    """The Ogg files in a resource file (RFC 3533: pages begin with OggS; bit 4 of the flags is the last)."""
    whole = path.read_bytes()
    first = whole.find(b"OggS")
    while first >= 0:
        at, last = first, False
        while whole[at : at + 4] == b"OggS" and not last:
            last = bool(whole[at + 5] & 4)
            at += 27 + whole[at + 26] + sum(whole[at + 27 : at + 27 + whole[at + 26]])
        with suppress(soundfile.LibsndfileError):
            yield _read(io.BytesIO(whole[first:at]))
        first = whole.find(b"OggS", max(at, first + 4))


def _spoken(language: str, seconds: float) -> Sound:
    """Syllables and letters one after another, with short rests."""
    dice = np.random.default_rng(sum(language.encode()))
    paths = sorted((SPOKEN / language).rglob("*.ogg"))
    parts: list[Sound] = []
    while sum(map(len, parts)) < seconds * RATE:
        try:
            sound = _read(paths[dice.integers(len(paths))])
        except soundfile.LibsndfileError:
            continue
        parts += [
            _even(*sound) * dice.uniform(0.4, 1),
            np.zeros(int(RATE * dice.uniform(0, 0.4)), np.float32),
        ]
    return np.concatenate(parts)[: int(seconds * RATE)]


def with_hiss(sound: Sound, dbfs: float, seed: int) -> Sound:
    """Over white noise of so many dBFS RMS."""
    noise = np.random.default_rng((seed, 7)).standard_normal(len(sound))
    return (sound + 10 ** (dbfs / 20) * noise).astype(np.float32)
