"""Tones that stay, as findings: a tape that squeals, and a whine that is none of the tape's."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np

from core.capture.pieces.again import Again
from core.capture.scan import Scan
from core.capture.steady.squeal import Steady, looked_at, steady_tones
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding

_MOST = 6
"""More of them on a pass are told in one line."""


def squeal_findings(scan: Scan, make: PassMaker, again: Again, code: Collection[int]) -> list[Finding]:
    """Where the tape squeals; `again` reads what it must be told by, `code` are channels with timecode."""
    lines, seconds = scan.steady_lines.found(), scan.steady_lines.block_seconds

    def read(channel: int, first: int, last: int) -> np.ndarray | None:
        sound = again.slow(first, last, 1, [channel])
        return None if sound is None else sound[0]

    tones = [looked_at(one, read, make.sample_rate) for one in steady_tones(lines, seconds, sorted(code))]
    whines = [_whine(one, make) for one in tones if one.still]
    squeals = [one for one in tones if not one.still]
    if len(squeals) > _MOST:
        return [*whines, _many(squeals, make)]
    return [*whines, *(_squeal(one, make) for one in squeals)]


def _squeal(one: Steady, make: PassMaker) -> Finding:
    pauses = ", in the pauses too" if one.paused else ""
    says = (f"From {clock(one.start)} to {clock(_end(one, make))} {_on(one, make)} a squeal near "
            f"{one.hertz:.0f} Hz, {_weak(one)}{pauses}: the tape sticks and slips. Stop there, look for the "
            "cause, and play that stretch again.")  # fmt: skip
    return _finding("squeal", one, make, says if one.sure else f"{says[:-1]}, if it is no note that is held.",
                    weight=None if one.sure else "note")  # fmt: skip


def _whine(one: Steady, make: PassMaker) -> Finding:
    says = (f"From {clock(one.start)} to {clock(_end(one, make))} {_on(one, make)} a whine at "
            f"{one.hertz:.0f} Hz, {_weak(one)}, too still for tape: from a screen, a supply or the "
            "interface, or it was played.")  # fmt: skip
    return _finding("whine", one, make, says)


def _many(found: list[Steady], make: PassMaker) -> Finding:
    worst = max(found, key=lambda one: one.dbfs)
    says = (f"Tones stay {len(found)} times, first from {clock(found[0].start)}, most near "
            f"{worst.hertz:.0f} Hz at {clock(worst.start)}: a squeal, or notes that are held.")  # fmt: skip
    whole = [value for one in found for value in (one.start, _end(one, make))]
    return make.at("squeal", None, min(whole) * make.sample_rate, max(whole) * make.sample_rate, says,
                   weight="note", size=100 + worst.dbfs)  # fmt: skip


def _finding(kind: str, one: Steady, make: PassMaker, says: str, weight: str | None = None) -> Finding:
    channel = one.channels[0] if len(one.channels) == 1 else None
    return make.at(kind, channel, one.start * make.sample_rate, _end(one, make) * make.sample_rate, says,
                   weight=weight, size=max(0.0, 100 + one.dbfs))  # fmt: skip


def _end(one: Steady, make: PassMaker) -> float:
    return min(one.stop, make.seconds)


def _on(one: Steady, make: PassMaker) -> str:
    tracks = [make.tracks[channel] for channel in one.channels]
    if len(tracks) == 1:
        return f"track {tracks[0]} has"
    together = tracks[-1] - tracks[0] == len(tracks) - 1
    named = f"{tracks[0]} to {tracks[-1]}" if together and len(tracks) > 2 else ", ".join(map(str, tracks))
    return f"tracks {named} have"


def _weak(one: Steady) -> str:
    return f"{-one.dbfs:.0f} dB below full scale"
