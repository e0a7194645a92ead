"""Which tracks a pass carries, and how their numbers are written."""

from __future__ import annotations

from core.studio.studio import Studio


def tracks_by_pass(tracks: int, studio: Studio) -> tuple[tuple[int, ...], ...]:
    """The tracks of every pass, counted from 1; the first ``guide_tracks`` of them are in each."""
    capture = studio.capture
    if capture is None or tracks <= capture.inputs:
        return (tuple(range(1, tracks + 1)),)
    guides = tuple(range(1, capture.guide_tracks + 1))
    rest = list(range(capture.guide_tracks + 1, tracks + 1))
    room = capture.inputs - capture.guide_tracks
    return tuple((*guides, *rest[at : at + room]) for at in range(0, len(rest), room))


def ranges(numbers: tuple[int, ...]) -> str:
    """``1-8, 10``."""
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and number == parts[-1][1] + 1:
            parts[-1][1] = number
        else:
            parts.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in parts)
