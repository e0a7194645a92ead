"""Captures of a tape that was played backwards, turned round: written beside, the originals untouched.

Every sample is written as it was read, the last one first. Common practice: played backwards by the deck's
own transport a tape keeps its tracks; where the reel was turned over instead, its edges change places: the
first track comes on the last channel, and the channels are turned too.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np

from core.capture.files.layout import lay_out
from core.capture.files.progress import Asked, Cancelled
from core.capture.files.wave.header import Header
from core.capture.files.wave.opened import read_header
from core.capture.written.wav_out import WavOut, sample_bytes, wav_head
from core.values import dataclass

SUFFIX = "turned round"
BLOCK_FRAMES = 65_536


@dataclass(frozen=True, slots=True)
class Turned:
    """One file that was turned round: where it was read, where it lies now, and its SHA-256."""

    source: Path
    path: Path
    sha256: str


def turned_order(paths: Sequence[Path], tracks: int | None, *, turned_over: bool = False) -> tuple[Path, ...]:
    """The files in the order in which a check takes them once they are turned: the last piece first.

    ``tracks`` is how many the pass carries; ``turned_over``: files of one track each change places too.
    """
    headers = [read_header(path) for path in paths]
    layout = lay_out(headers, tracks)
    if layout is None or all(len(piece.columns) > 1 for piece in layout.pieces) or len(paths) == 1:
        return tuple(reversed(paths))
    across = len(layout.pieces[0].columns)
    count = len(paths) // across
    by_track = [list(reversed(paths[track * count : (track + 1) * count])) for track in range(across)]
    return tuple(path for files in (reversed(by_track) if turned_over else by_track) for path in files)


def turned_names(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Where the turned files lie, in that order: numbered where their own names tell another."""
    stems = [path.stem for path in paths]
    numbered = stems != sorted(stems)
    return tuple(
        path.with_name(f"{stems[-1] if numbered else path.stem} {SUFFIX}{f' {n}' if numbered else ''}.wav")
        for n, path in enumerate(paths, 1)
    )


def turn_round(
    paths: Sequence[Path],
    names: Sequence[Path],
    *,
    turned_over: bool = False,
    told: Callable[[int], object] = lambda count: None,
    cancelled: Asked | None = None,
) -> tuple[Turned, ...]:
    """Writes each file backwards under its new name; a name that is taken, or too little room, is an OSError.

    ``turned_over`` turns the channels of files with several too. ``told`` hears of every so many bytes.
    Interrupted, what was not whole is taken away; Unreadable for a file that is no sound.
    """
    headers = [read_header(path) for path in paths]
    taken = next((name for name in names if name.exists()), None)
    if taken is not None:
        raise FileExistsError(17, "is there already, and was not touched", str(taken))
    wanted = sum(header.frames * header.frame_bytes for header in headers)
    if wanted > shutil.disk_usage(names[0].parent).free:
        raise OSError(28, f"no room for {wanted / 1e9:.1f} GB", str(names[0].parent))
    out = []
    for path, header, name in zip(paths, headers, names, strict=True):
        head = wav_head(
            header.channels,
            header.sample_rate,
            header.sample_bytes * 8,
            is_float=header.is_float,
            frames=header.frames,
            bext=b"",
        )
        file = WavOut(name, head, header.frame_bytes, header.frames)
        try:
            for content in _backwards(path, header, turned_over=turned_over):
                if cancelled is not None and cancelled():
                    raise Cancelled
                file.write(content)
                told(len(content))
            out.append(Turned(path, name, file.finish()))
        except BaseException:
            file.abandon()
            raise
    return tuple(out)


def _backwards(path: Path, header: Header, *, turned_over: bool) -> Iterator[bytes]:
    """The samples from the last frame on, in blocks, as they lie in a WAV file."""
    starts = range((header.frames - 1) // BLOCK_FRAMES * BLOCK_FRAMES, -1, -BLOCK_FRAMES)
    spans = ((start, min(BLOCK_FRAMES, header.frames - start)) for start in starts)
    if header.raw:
        with open(path, "rb") as file:
            for start, frames in spans:
                file.seek(header.sound_start + start * header.frame_bytes)
                block = np.frombuffer(file.read(frames * header.frame_bytes), np.uint8)
                whole = block.reshape(frames, header.channels, header.sample_bytes)[::-1]
                yield np.ascontiguousarray(whole[:, ::-1] if turned_over else whole).tobytes()
        return
    import soundfile

    with soundfile.SoundFile(path) as sound:
        for start, frames in spans:
            sound.seek(start)
            block = sound.read(frames, dtype="float64" if header.is_float else "int32", always_2d=True)[::-1]
            block = block if header.is_float else block >> (32 - 8 * header.sample_bytes)
            turned = block[:, ::-1] if turned_over else block
            yield sample_bytes(turned.T, header.sample_bytes * 8, is_float=header.is_float)
