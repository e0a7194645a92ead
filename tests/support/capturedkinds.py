"""For every kind of finding one small capture that truly has it, with what the shelf must say beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import soundfile
from capturedwhole import _stamp, sounding
from lostcontact import apart, late_seconds, spaced
from squeals import pitch, voice

from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import rate_named

RATE = 48000
SECONDS = 6.0
FRAMES = int(RATE * SECONDS)
AT = 3 * RATE


@dataclass(frozen=True)
class Take:
    """The files of one pass, and what the shelf knows of its reel."""

    files: list[Path]
    fields: dict[str, str] = field(default_factory=dict)
    """Columns of the reel's row that are not as usual."""
    sheet: dict[int, str] = field(default_factory=dict)
    """Parts by track, where the reel has a sheet."""


def hiss(number: int, frames: int = FRAMES) -> np.ndarray:
    """One track of steady noise, another for each number."""
    return 0.05 * np.random.default_rng(number).standard_normal(frames)


def played(number: int, at: np.ndarray) -> np.ndarray:
    """Levels of notes a quarter of a second long, 0 to 30 dB down: no hiss is as lively."""
    notes = np.random.default_rng((number, 3)).uniform(-30, 0, int(at[-1] * 4) + 2)
    decibels = np.interp(at * 4, np.arange(len(notes)), notes).astype(at.dtype)
    return np.asarray(10 ** (decibels / 20))


def chord(number: int, seconds: float = SECONDS) -> np.ndarray:
    """One track of a held chord."""
    return sounding("chord", np.random.default_rng(number), seconds).astype(np.float64)


def write(path: Path, *tracks: np.ndarray, subtype: str = "PCM_24", rate: int = RATE) -> Path:
    """A WAV file of those tracks."""
    sound = np.clip(np.column_stack(tracks), -1, 1 - 2**-23)
    soundfile.write(path, sound, rate, subtype=subtype)
    return path


def _one(change: Callable[[np.ndarray], np.ndarray | None], make: Callable[[int], np.ndarray] = chord):  # type: ignore[no-untyped-def]
    def take(folder: Path) -> Take:
        track = make(1)
        changed = change(track)
        return Take([write(folder / "a.wav", track if changed is None else changed, hiss(2))])

    return take


def _clipping(track: np.ndarray) -> None:
    track[AT : AT + 8] = 1.0


def _dropout(track: np.ndarray) -> None:
    track[AT : AT + RATE // 20] *= 10 ** (-30 / 20)


def _zeros(track: np.ndarray) -> None:
    track[AT : AT + 400] = 0.0


def _repeat(track: np.ndarray) -> None:
    track[AT : AT + 1024] = track[AT - 1024 : AT].copy()


def _hum(track: np.ndarray) -> np.ndarray:
    times = np.arange(len(track)) / RATE
    waves = (np.sin(2 * np.pi * 50 * k * times + k) / k for k in (1, 2, 3, 4))
    return track + 10 ** (-40 / 20) * sum(waves)


def _offset(track: np.ndarray) -> np.ndarray:
    return track - track.mean() + 0.01


def _flat(track: np.ndarray) -> np.ndarray:
    return np.clip(6 * track, -0.4, 0.4)


def _like(sign: int) -> Callable[[Path], Take]:
    def take(folder: Path) -> Take:
        track = chord(1)
        return Take([write(folder / "a.wav", track, sign * 0.7 * np.roll(track, 11))])

    return take


def _silence(folder: Path) -> Take:
    return Take([write(folder / "a.wav", hiss(1), 1e-5 * hiss(2))], sheet={1: "bass", 2: "voice"})


def _sound(folder: Path) -> Take:
    return Take([write(folder / "a.wav", hiss(1), hiss(2))], sheet={1: "bass"})


def _length(feet: str) -> Callable[[Path], Take]:
    return lambda folder: Take([write(folder / "a.wav", hiss(1), hiss(2))], {"length": feet})


def _channels(folder: Path) -> Take:
    return Take([write(folder / "a.wav", hiss(1), hiss(2))], {"tracks": "4"})


def _format(folder: Path) -> Take:
    return Take([write(folder / "a.wav", hiss(1), hiss(2), subtype="PCM_16")])


def _join(folder: Path) -> Take:
    whole, cut, step = np.stack([chord(1), chord(2)]), 4 * RATE, RATE
    noise = 10 ** (-60 / 20) * np.random.default_rng(5).standard_normal((2, FRAMES - cut + step))
    late = whole[:, cut - step :] + noise
    return Take([write(folder / "a.wav", *whole[:, :cut]), write(folder / "b.wav", *late)])


def _cut_short(folder: Path) -> Take:
    path = write(folder / "a.wav", hiss(1), hiss(2))
    path.write_bytes(path.read_bytes()[: -RATE * 3])
    return Take([path])


def _size_field(folder: Path) -> Take:
    path = write(folder / "a.wav", hiss(1), hiss(2))
    whole = bytearray(path.read_bytes())
    at = whole.index(b"data") + 4
    whole[at : at + 4] = b"\0\0\0\0"
    path.write_bytes(bytes(whole))
    return Take([path])


def _code(kind: str) -> Callable[[Path], Take]:
    def take(folder: Path) -> Take:
        rate, frames = rate_named("25"), 75
        if kind == "timecode jump":
            labels = ("01:00:10:00", "01:03:10:00")
            code = np.concatenate([timecode(first, frames, rate, RATE) for first in labels])
        else:
            code = timecode("01:00:10:00", 2 * frames, rate, RATE).copy()
        if kind == "timecode gap":
            code[frames * RATE // 25 : (frames + 10) * RATE // 25] = 0
        if kind == "reversed":
            code = code[::-1]
        if kind == "timecode":
            code = np.zeros_like(code)
        if kind == "speed":
            times = np.arange(0, len(code) - 1, 1.01)
            code = np.interp(times, np.arange(len(code)), code)
        noise = 10 ** (-50 / 20) * np.random.default_rng(3).standard_normal(len(code))
        fields = {"timecode_track": "1", "timecode_rate": "25"}
        return Take([write(folder / "a.wav", code + noise, hiss(2, len(code)))], fields)

    return take


def _unreadable(folder: Path) -> Take:
    (folder / "b.wav").write_bytes(b"no sound at all")
    return Take([write(folder / "a.wav", hiss(1), hiss(2)), folder / "b.wav"])


def _same_file(folder: Path) -> Take:
    one = write(folder / "a.wav", hiss(1), hiss(2))
    (folder / "b.wav").write_bytes(one.read_bytes())
    return Take([one, folder / "b.wav"])


def _depth(folder: Path) -> Take:
    coarse = [np.round(hiss(n) * 2**15) / 2**15 for n in (1, 2)]
    return Take([write(folder / "a.wav", *coarse)])


def _header(folder: Path) -> Take:
    path = write(folder / "a.wav", hiss(1), hiss(2))
    _stamp(path, 48000)
    whole = bytearray(path.read_bytes())
    whole[4:8] = (len(whole) // 2).to_bytes(4, "little")
    path.write_bytes(bytes(whole))
    return Take([path])


def _plain(folder: Path) -> Take:
    return Take([write(folder / "a.wav", hiss(1), hiss(2))])


def _through_dirt(count: int, dirty: tuple[int, ...]) -> Callable[[Path], Take]:
    """Tracks of two minutes; on some of them a spacing grows to 4 micrometres from 30 s on."""

    def take(folder: Path) -> Take:
        part, seconds = 10, 120
        at = np.arange(seconds * RATE, dtype=np.float32) / RATE
        share = np.clip((at - 30) / 60, 0, 1)
        sound = np.empty((len(at), count), np.float32)
        for number in range(count):
            noise, other = (hiss(number + more, part * RATE).astype(np.float32) for more in (0, 50))
            lost = spaced(noise, RATE, 4.0, speed_ips=7.5) - noise if number in dirty else 0 * noise
            track = np.tile(lost, seconds // part) * share
            track += np.tile(noise, seconds // part)
            track *= 4 * played(number, at)
            track += 0.01 * np.tile(other, seconds // part)
            sound[:, number] = track
        return Take([write(folder / "a.wav", sound)], {"tracks": str(count), "length": "75 ft"})

    return take


def _sag(folder: Path) -> Take:
    """A minute of code on a tape that sags by 0.3 % for two seconds."""
    code = timecode("01:00:10:00", 1500, rate_named("25"), RATE)
    at = np.arange(58 * RATE) / RATE
    place = np.cumsum(1 - 0.003 * ((at >= 30) & (at < 32)))
    sound = np.interp(place, np.arange(len(code)), code) * 0.5
    fields = {"timecode_track": "1", "timecode_rate": "25", "length": "36.25 ft"}
    return Take([write(folder / "a.wav", sound, hiss(2, len(sound)))], fields)


def _wow(folder: Path) -> Take:
    """A minute of code whose speed sways once a second, from 30 s on more and more, to 0.4 % at the end."""
    code = timecode("01:00:10:00", 1500, rate_named("25"), RATE)
    at = np.arange(58 * RATE) / RATE
    place = np.cumsum(1 + 0.004 * np.clip((at - 30) / 28, 0, 1) * np.sin(2 * np.pi * at))
    sound = np.interp(place, np.arange(len(code)), code) * 0.5
    fields = {"timecode_track": "1", "timecode_rate": "25", "length": "36.25 ft"}
    return Take([write(folder / "a.wav", sound, hiss(2, len(sound)))], fields)


def _splice(folder: Path) -> Take:
    """Six tracks of other music each, cut and laid together at one place."""
    tracks = [chord(number) for number in range(6)]
    cut = [np.where(np.arange(FRAMES) < AT, track, np.roll(track, RATE + 77)) for track in tracks]
    return Take([write(folder / "a.wav", *cut)], {"tracks": "6"})


def _click(track: np.ndarray) -> None:
    track[AT : AT + 12] += 0.4 * np.hanning(12)


def _stop(folder: Path) -> Take:
    """Two tracks through 3 micrometres of dirt, cleaned at a stop, and run on from three seconds before."""
    clear, cut, step = np.stack([chord(1) + hiss(11), chord(2) + hiss(12)]), 4 * RATE, 3 * RATE
    dirty = [spaced(track, RATE, 3.0, speed_ips=7.5) for track in clear]
    late = clear[:, cut - step :]
    return Take([write(folder / "a.wav", *(track[:cut] for track in dirty)), write(folder / "b.wav", *late)])


def _askew(folder: Path) -> Take:
    """Two tracks that share most of their sound; from 25 to 40 s the tape turns by 4 minutes of arc."""
    shared, seconds = hiss(1, 60 * RATE) * 0.9, (25, 40)
    other = apart(shared, RATE, late_seconds(4.0, 0.25 / 2, 7.5))
    at = np.arange(shared.size) / RATE
    share = ((at >= seconds[0]) & (at < seconds[1])).astype(float)
    second = shared * (1 - share) + other * share + 0.3 * hiss(2, shared.size)
    first = shared + 0.3 * hiss(3, shared.size)
    return Take([write(folder / "a.wav", first, 0.7 * second)], {"length": "37.5 ft"})


def _print_through(folder: Path) -> Take:
    """Two tracks that begin at 4 s; what comes 1.5 s later is heard before it, 45 dB weaker."""
    seconds = 10
    at = np.arange(seconds * RATE) / RATE
    tracks = [4 * hiss(number, at.size) * played(number, at) ** 0.5 * (at >= 4) for number in (1, 2)]
    early = [track + 10 ** (-45 / 20) * np.roll(track, -int(1.5 * RATE)) for track in tracks]
    noise = [10 ** (-64 / 20) / 0.05 * hiss(number, at.size) for number in (7, 8)]
    whole = [track + one for track, one in zip(early, noise, strict=True)]
    return Take([write(folder / "a.wav", *whole)], {"length": "6.25 ft"})


def _tone_that_stays(*, still: bool) -> Callable[[Path], Take]:
    """Four tracks of a minute of other music each, with a tone near 3 kHz over all of them from 15 s on."""

    def take(folder: Path) -> Take:
        seconds, first = 64, 15 * RATE
        at = np.arange(seconds * RATE) / RATE
        dice = np.random.default_rng(8)
        phase = pitch(seconds, RATE, 3000.0, dice) if not still else 2 * np.pi * 3000.0 * at
        tracks = []
        for number in range(4):
            track = 2 * hiss(number, at.size) * played(number, at) * (np.abs(at - 32) > 2)
            track += 0.01 * hiss(number + 9, at.size)
            track[first:] += (
                voice(phase, RATE, -45.0, dice)[first:] if not still else (0.01 * np.sin(phase[first:]))
            )
            tracks.append(track)
        return Take([write(folder / "a.wav", *tracks)], {"tracks": "4", "length": "40 ft"})

    return take


def _hisses(folder: Path) -> Take:
    """Five tracks with pauses of 10 s; on the third hiss is 12 dB louder."""
    at = np.arange(40 * RATE) / RATE
    tracks = [hiss(number, at.size) * played(number, at) * (np.abs(at - 20) > 5) for number in range(5)]
    over = [(0.08 if number == 2 else 0.02) * hiss(number + 9, at.size) for number in range(5)]
    whole = [track + one for track, one in zip(tracks, over, strict=True)]
    return Take([write(folder / "a.wav", *whole)], {"tracks": "5", "length": "25 ft"})


TAKES: dict[str, Callable[[Path], Take]] = {
    "clipping": _one(_clipping), "dropout": _one(_dropout), "zero run": _one(_zeros),
    "repeat": _one(_repeat), "silence": _silence, "sound": _sound, "hum": _one(_hum, hiss),
    "dc": _one(_offset, hiss), "copy": _like(1), "polarity": _like(-1), "short": _length("20 ft"),
    "long": _length("2 ft"), "channels": _channels, "format": _format, "join": _join,
    "cut short": _cut_short, "size field": _size_field, "timecode gap": _code("timecode gap"),
    "timecode jump": _code("timecode jump"), "speed": _code("speed"), "unreadable": _unreadable,
    "flat tops": _one(_flat), "reversed": _code("reversed"), "same file": _same_file, "depth": _depth,
    "timecode": _code("timecode"), "name": _plain, "header": _header,
    "dull": _through_dirt(4, (0, 1, 2, 3)), "one side": _through_dirt(8, (6, 7)), "sag": _sag,
    "splice": _splice, "click": _one(_click), "stop": _stop, "askew": _askew,
    "print-through": _print_through, "wow": _wow,
    "squeal": _tone_that_stays(still=False), "whine": _tone_that_stays(still=True),
    "hiss": _hisses,
}  # fmt: skip
"""By kind, except for `guide`, which needs two passes and a studio with guide tracks."""
