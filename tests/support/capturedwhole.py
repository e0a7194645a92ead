"""Faults of whole tracks and of passes: hum, offset, like tracks, the sheet, joins, holes, timecode."""

from pathlib import Path

import numpy as np
from capturedfaults import Fault
from capturedmaterial import MATERIAL
from capturedscore import write

from core.capture.check import check_capture
from core.capture.files.wave.bext import write_bext
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import rate_named
from core.capture.weighing.facts import ReelFacts, StudioFacts
from core.findings import Finding

RATE = 48000
PLAIN = ("chord", "piano", "plucks", "surf", "songs", "organ", "voice", "crunch")


def sounding(name: str, dice: np.random.Generator, seconds: float) -> np.ndarray:
    """One track of a material over hiss."""
    frames = int(seconds * RATE)
    return (MATERIAL[name](dice, RATE, frames) + 10 ** (-68 / 20) * dice.standard_normal(frames)).astype(
        np.float32
    )


def whole_track_faults(seed: int, folder: Path) -> tuple[list[str], list[Fault], list[Finding], float]:
    """Sixteen tracks of half a minute, of which most have one fault or a decoy; what was put in and found."""
    dice = np.random.default_rng((seed, 77))
    seconds = 30.0
    names = [PLAIN[dice.integers(len(PLAIN))] for _ in range(16)]
    tracks = [sounding(name, np.random.default_rng((seed, at)), seconds) for at, name in enumerate(names)]
    at = np.arange(len(tracks[0])) / RATE
    faults: list[Fault] = []

    def put(kind: str, track: int, what: str, decoy: bool = False) -> None:
        faults.append(Fault(kind, track + 1, 0.0, seconds, what, decoy))

    for track, decoy in ((0, False), (1, False), (2, True)):
        mains = float(dice.choice([50, 60])) * (1 + dice.uniform(-0.0008, 0.0008))
        level = -68.0 if decoy else float(dice.uniform(-57, -35))
        strengths = np.array([1, *dice.uniform(0.2, 0.8, 3)])
        hum = sum(
            s * np.sin(2 * np.pi * mains * k * at + dice.uniform(0, 6)) for k, s in enumerate(strengths, 1)
        )
        tracks[track] += (10 ** (level / 20) * hum / np.sqrt(np.mean(hum**2))).astype(np.float32)
        put("hum", track, f"{mains:.1f} Hz, {level:.0f} dBFS", decoy)
    for track, percent in ((3, dice.uniform(0.11, 2)), (4, -dice.uniform(0.11, 2)), (5, 0.08)):
        tracks[track] += np.float32(percent / 100 - tracks[track].mean())
        put("dc", track, f"{percent:+.2f} %", percent == 0.08)
    for first, kind, sign in ((6, "copy", 1), (8, "polarity", -1)):
        lag, gain = int(dice.integers(-47, 48)), float(dice.uniform(0.05, 1.5))
        tracks[first + 1] = np.clip(sign * gain * np.roll(tracks[first], lag), -1, 1).astype(np.float32)
        put(kind, first, f"{1000 * lag / RATE:.2f} ms, gain {gain:.2f}")
    near = tracks[10] + 0.25 * tracks[10].std() * dice.standard_normal(len(at))
    tracks[11] = (0.5 * near).astype(np.float32)
    put("copy", 10, "correlation 0.97", True)
    tracks[12] = (10 ** (-66 / 20) * dice.standard_normal(len(at))).astype(np.float32)
    put("silence", 12, "-66 dBFS of noise")
    put("sound", 13, "no row on the sheet")
    sheet = {track: "part" for track in range(1, 17) if track != 14}
    path = write(folder / "whole.wav", np.stack(tracks), RATE, "PCM_24")
    found = check_capture(ReelFacts("R", 16, sheet=sheet), StudioFacts(), [path]).findings
    return names, faults, list(found), seconds


def joined_pieces(seed: int, folder: Path) -> tuple[str, bool, str]:
    """Two pieces that overlap, meet or leave a hole: what was put in, whether it was told, what was said."""
    import soundfile

    dice = np.random.default_rng((seed, 99))
    name = PLAIN[dice.integers(len(PLAIN))]
    sound = np.stack([sounding(name, dice, 50.0), sounding("chord", dice, 50.0)])
    kind = ("overlap", "hole", "meet")[seed % 3]
    cut, clock = int(dice.uniform(20, 30) * RATE), 10**9
    step = {
        "overlap": -int(dice.uniform(0.4, 15) * RATE),
        "hole": int(dice.uniform(0.01, 5) * RATE),
        "meet": 0,
    }[kind]
    pieces = sound[:, :cut], sound[:, cut + step :].copy()
    if kind == "overlap":
        # The second run has noise of its own.
        pieces[1][:] += (10 ** (-62 / 20) * dice.standard_normal(pieces[1].shape)).astype(np.float32)
    paths = [folder / f"piece{number}.wav" for number in (1, 2)]
    for path, piece in zip(paths, pieces, strict=True):
        soundfile.write(path, piece.T, RATE, subtype="PCM_24")
    if kind == "hole":
        for path, start in zip(paths, (clock, clock + cut + step), strict=True):
            _stamp(path, start)
    found = [
        one for one in check_capture(ReelFacts("R", 2), StudioFacts(), paths).findings if one.kind == "join"
    ]
    says = "; ".join(one.says for one in found) or "nothing"
    if kind == "meet":
        return f"{name}: meet", not found, says
    length = abs(step) / RATE
    right = len(found) == 1 and abs(found[0].end - found[0].start - length) < 0.002
    heavy = bool(found) and (found[0].weight == "fail") == (kind == "hole")
    return f"{name}: {kind} of {length:.3f} s", right and heavy, says


def _stamp(path: Path, start: int) -> None:
    """Put a `bext` chunk with a time reference before everything else in a WAV file."""
    content = write_bext(start)
    whole = path.read_bytes()
    chunk = b"bext" + len(content).to_bytes(4, "little") + content + b"\0" * (len(content) % 2)
    size = len(whole) - 8 + len(chunk)
    path.write_bytes(b"RIFF" + size.to_bytes(4, "little") + b"WAVE" + chunk + whole[12:])


def broken_code(seed: int, folder: Path) -> tuple[str, bool, str]:
    """Timecode with a gap or a jump at a known place: what was put in, whether it was told, what was said."""
    dice = np.random.default_rng((seed, 55))
    name = ("24", "25", "29.97", "29.97 DF", "30")[seed % 5]
    rate = rate_named(name)
    kind = "timecode gap" if seed % 2 else "timecode jump"
    frame = RATE / float(rate.frames_per_second)
    frames = int(dice.integers(200, 400))
    if kind == "timecode gap":
        code = timecode("01:00:10:00", 2 * frames, rate, RATE).copy()
        missing = int(dice.integers(3, 30))
        start, end = frames * frame, (frames + missing) * frame
        code[int(start) : int(end)] = 0
    else:
        code = np.concatenate(
            [timecode(first, frames, rate, RATE) for first in ("01:00:10:00", "01:03:10:00")]
        )
        start = end = frames * frame
    code = code + 10 ** (-50 / 20) * dice.standard_normal(len(code))
    path = write(folder / "code.wav", code[None].astype(np.float32), RATE, "PCM_24")
    facts = ReelFacts("R", 1, timecode_track=1, timecode_rate=name)
    found = check_capture(facts, StudioFacts(), [path]).findings
    here = [one for one in found if one.kind == kind and abs(one.start - start / RATE) < 0.1
            and abs(one.end - end / RATE) < 0.1]  # fmt: skip
    right = len(here) == 1 and len(found) == 1
    return f"{name}: {kind} at {start / RATE:.2f} s", right, "; ".join(one.says for one in found) or "nothing"
