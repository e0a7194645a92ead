"""The pass held against what the shelf knows: tracks, sheet, length, and the studio's format."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from core.capture.files.wave.header import Header
from core.capture.scan import Scan
from core.capture.weighing.facts import ReelFacts, StudioFacts, tracks_of_pass
from core.capture.weighing.places import PassMaker, clock
from core.findings import Finding
from core.words import counted


def track_findings(make: PassMaker, channels: int, wanted: tuple[int, ...] | None,
                   *, named: bool) -> list[Finding]:  # fmt: skip
    """Whether the files carry as many channels as the pass has tracks; `named` if those were given."""
    every = not named and channels == make.reel.tracks
    if wanted is None or channels == len(wanted) or every:
        return []
    has = f"{make.reel.key} has {counted(len(wanted), 'track')} in this pass"
    says = f"The files carry {counted(channels, 'channel')}, where {has}."
    return [make.whole("channels", None, says, size=abs(channels - len(wanted)))]


def format_findings(make: PassMaker, headers: Sequence[Header | None], studio: StudioFacts) -> list[Finding]:
    """Files of another sample rate or depth than the studio captures in; floating point has no depth."""
    found = []
    for at, header in enumerate(headers):
        if header is None:
            continue
        wrong = []
        if studio.sample_rate_hz and header.sample_rate != studio.sample_rate_hz:
            wrong.append(f"{header.sample_rate} Hz in place of {studio.sample_rate_hz} Hz")
        if studio.bit_depth and not header.is_float and header.depth != studio.bit_depth:
            wrong.append(f"{header.depth} bits in place of {studio.bit_depth}")
        if wrong:
            says = f"File {at + 1} was captured at {' and '.join(wrong)}."
            found.append(make.whole("format", None, says, file=at))
    return found


def length_findings(make: PassMaker) -> list[Finding]:
    """Whether the pass is shorter or longer than the reel's estimate."""
    expected = make.reel.expected_seconds
    if not expected or expected <= 0:
        return []
    off = make.seconds - expected
    if abs(off) <= expected * make.thresholds["length_percent"] / 100 + make.thresholds["length_seconds"]:
        return []
    kind = "short" if off < 0 else "long"
    rough = make.reel.length_is_rough
    by = make.reel.length_from.replace("_", " ")
    how = "" if not by else " by an assumed length" if "assume" in by else f" by its {by}"
    says = (f"The pass runs {clock(make.seconds)}, {abs(off) / expected * 100:.0f} % {kind}er than the "
            f"{clock(expected)} that {make.reel.key} should play{how}.")  # fmt: skip
    return [make.whole(kind, None, says, weight="note" if rough else None, size=abs(off))]


def sheet_findings(make: PassMaker, scan: Scan, code: Collection[int]) -> list[Finding]:
    """Tracks that are silent though the sheet gives them a part, and the reverse."""
    if not make.reel.sheet_tells:
        return []
    silent = 10 ** (make.thresholds["silent"] / 20)
    found = []
    for channel, loudest in enumerate(scan.loudness.loudest):
        part = make.reel.sheet.get(make.tracks[channel], "").strip()
        named = bool(part) or make.tracks[channel] == make.reel.timecode_track
        if named and loudest <= silent:
            says = f"{make.begin(channel)} is silent, though its sheet says that something plays."
            found.append(make.whole("silence", channel, says, size=60))
        elif not named and loudest > silent:
            says = f"{make.begin(channel)} sounds, though its sheet gives it no part."
            found.append(make.whole("sound", channel, says, size=60))
    return found


def wanted_tracks(reel: ReelFacts, studio: StudioFacts, pass_number: int,
                  tracks: tuple[int, ...] | None) -> tuple[int, ...] | None:  # fmt: skip
    """The tracks that the files of a pass should carry; none if nothing tells."""
    return tracks if tracks else tracks_of_pass(reel.tracks, studio, pass_number)


def named_tracks(channels: int, wanted: tuple[int, ...] | None, reel: ReelFacts) -> tuple[int, ...]:
    """A track number for every channel that was captured, whatever was wanted."""
    if wanted is not None and channels == reel.tracks and channels != len(wanted):
        return tuple(range(1, channels + 1))
    given = list(wanted or ())[:channels]
    following = max(given, default=0) + 1
    return tuple(given + list(range(following, following + channels - len(given))))
