"""How the files of one pass lie: side by side as tracks, and one after another as pieces."""

from __future__ import annotations

from collections.abc import Sequence

from core.capture.files.wave.header import Header
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """Where one track of a piece comes from."""

    file: int
    channel: int


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the pass that was captured in one go."""

    columns: tuple[Column, ...]
    """One for every track, in track order."""
    frames: int

    @property
    def files(self) -> tuple[int, ...]:
        """The files that it is read from, each once."""
        return tuple(dict.fromkeys(column.file for column in self.columns))


@dataclass(frozen=True, slots=True)
class Layout:
    """The pieces of a pass in order, and the files that do not fit in."""

    pieces: tuple[Piece, ...]
    sample_rate: int
    channels: int
    left_out: tuple[int, ...] = ()
    """Files of another rate, depth or channel count than the first, which could not be laid with the rest."""
    uneven: tuple[int, ...] = ()
    """Mono files that are shorter or longer than the others of their piece."""


def lay_out(headers: Sequence[Header | None], tracks: int | None) -> Layout | None:
    """The pieces of a pass; none if there is nothing to measure.

    `headers` stand in the order of the files, none for an unreadable one; `tracks` is the number of
    tracks that the pass should carry. Mono files of a pass of several tracks are taken as all pieces
    of the first track, then of the second, and so on; anything else as one interleaved piece a file.
    """
    good = [at for at, header in enumerate(headers) if header is not None and header.frames > 0]
    if not good:
        return None
    first = headers[good[0]]
    assert first is not None
    fits = [at for at in good if _like(headers[at], first)]
    left = tuple(at for at in range(len(headers)) if at in good and at not in fits)
    mono = all(header is None or header.channels == 1 for header in headers)
    if first.channels > 1 or tracks == 1 or not mono or len(headers) == 1:
        pieces = tuple(_interleaved(at, headers[at]) for at in fits)
        return Layout(pieces, first.sample_rate, first.channels, left)
    return _side_by_side(headers, fits, left, tracks or len(headers), first.sample_rate)


def _like(header: Header | None, first: Header) -> bool:
    return header is not None and _form(header) == _form(first)


def _form(header: Header) -> tuple[int, int, str, int]:
    return header.sample_rate, header.channels, header.encoding, header.depth


def _interleaved(at: int, header: Header | None) -> Piece:
    assert header is not None
    return Piece(tuple(Column(at, channel) for channel in range(header.channels)), header.frames)


def _side_by_side(headers: Sequence[Header | None], fits: Sequence[int], left: tuple[int, ...],
                  tracks: int, rate: int) -> Layout:  # fmt: skip
    """One mono file a track, each cut into the same number of pieces."""
    count = len(headers) // tracks if len(headers) % tracks == 0 else 1
    across = len(headers) // count
    pieces: list[Piece] = []
    uneven: list[int] = []
    for piece in range(count):
        files = [at for at in (track * count + piece for track in range(across)) if at in fits]
        lengths = {at: _frames(headers[at]) for at in files}
        if not files:
            continue
        longest = max(lengths.values())
        uneven += [at for at, frames in lengths.items() if frames < longest]
        columns = tuple(Column(track * count + piece, 0) for track in range(across))
        pieces.append(Piece(columns, longest))
    return Layout(tuple(pieces), rate, across, left, tuple(uneven))


def _frames(header: Header | None) -> int:
    return 0 if header is None else header.frames
