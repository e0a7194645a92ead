"""Writes copies: all of one capture in one read, each beside its place first, hashed and read again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from core.album.copies.folder import CopyFolder, not_written
from core.album.copies.listing import history_line
from core.album.copies.plan import AS_CAPTURED, Copy
from core.album.copies.sounding import blocks_of, depth_of
from core.capture.files.wave.bext import write_bext
from core.capture.pieces.pass_sound import NotThere, PassSound
from core.capture.written.wav_out import WavOut, sample_bytes, wav_head
from core.errors import Unusable

Went = Callable[[int], None]
"""Told of bytes written; raises where the person wants to stop."""


def size_of(sound: PassSound, copy: Copy) -> int:
    """Bytes that a copy takes."""
    bits, _ = depth_of(sound, copy)
    return copy.frames * len(copy.used.tracks) * bits // 8 + 2048


def read_alike(copies: Sequence[Copy]) -> list[list[Copy]]:
    """Copies in groups that are read in one go: of one capture, over one stretch, in one way."""
    groups: dict[object, list[Copy]] = {}
    for copy in copies:
        key = copy.used.key, copy.method, copy.start, copy.frames, copy.from_seconds
        groups.setdefault(key, []).append(copy)
    return list(groups.values())


def write_group(
    folder: CopyFolder, sound: PassSound, group: Sequence[Copy], song: str, at: datetime, program: str,
    went: Went, kept: Callable[[Copy, str], None],
) -> None:  # fmt: skip
    """Writes the files of one group; `kept` is told of each that is whole, with its SHA-256."""
    bits, is_float = depth_of(sound, group[0])
    tracks = [track for copy in group for track in copy.used.tracks]
    outs: list[WavOut] = []
    try:
        for copy in group:
            outs.append(
                _begin(folder.folder, sound, copy, bits, is_float=is_float, song=song, at=at, program=program)
            )
        for block in blocks_of(sound, group[0], tracks):
            row = 0
            for copy, out in zip(group, outs, strict=True):
                channels = len(copy.used.tracks)
                content = sample_bytes(block[row : row + channels], bits, is_float=is_float)
                row += channels
                out.write(content)
                went(len(content))
        for copy, out in zip(group, outs, strict=True):
            kept(copy, out.finish())
    except NotThere as error:
        _abandon(outs)
        raise Unusable(f"{error}; nothing of it was laid: put it back, or check the reel anew") from error
    except OSError as error:
        _abandon(outs)
        raise not_written(folder.folder / f"{group[0].name}.wav", error) from error
    except BaseException:
        _abandon(outs)
        raise


def _abandon(outs: Sequence[WavOut]) -> None:
    for out in outs:
        out.abandon()


def _begin(
    folder: Path,
    sound: PassSound,
    copy: Copy,
    bits: int,
    *,
    is_float: bool,
    song: str,
    at: datetime,
    program: str,
) -> WavOut:
    channels = len(copy.used.tracks)
    before = str((sound.header.bext or {}).get("coding_history", ""))
    bext = write_bext(
        copy.time_reference, description=f"{song}: {copy.used.part}", originator=program,
        reference=f"{copy.used.key[0]}:{'+'.join(map(str, copy.used.tracks))}", date=f"{at:%Y-%m-%d}",
        time=f"{at:%H:%M:%S}",
        coding_history=history_line(
            copy, bits, is_float=is_float, channels=channels, before=before, program=program
        ),
    )  # fmt: skip
    head = wav_head(channels, copy.rate, bits, is_float=is_float, frames=copy.frames, bext=bext)
    return WavOut(folder / f"{copy.name}.wav", head, channels * bits // 8, copy.frames)


def recipe(copy: Copy, sound: PassSound, sums: Sequence[str]) -> dict[str, object]:
    """All that a copy is made from: the same recipe gives the same sound."""
    nodes = [] if copy.method == AS_CAPTURED else [list(node) for node in copy.curve.nodes]
    return {
        "of": list(sums), "tracks": list(copy.used.tracks), "method": copy.method, "start": copy.start,
        "frames": copy.frames, "from": copy.from_seconds, "time_reference": copy.time_reference,
        "curve": nodes, "depth": list(depth_of(sound, copy)), "form": 1,
    }  # fmt: skip
