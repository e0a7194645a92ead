"""The lines of a line-up sheet that have a tone: what each must read and how far off it may be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from core.lineup.calibration import CalibrationTape, bass_misleads, expected_db
from core.lineup.line import Line
from core.lineup.reach import Reach
from core.lineup.tolerance import Tolerances
from core.lineup.tones import Tone, Which, tones
from core.studio.setup import Setup
from core.tape.physics.equalisation import find_equalisation


def tone_lines(
    setup: Setup, over: Reach, tape: CalibrationTape, which: Which, allowed: Tolerances
) -> Iterator[Line]:
    """The lines with a tone, in order; ValueError without speed, level or a known standard."""
    if setup.speed is None or setup.level is None:
        raise ValueError("a line-up by a calibration tape needs the reel's speed and level")
    eq = find_equalisation(setup.eq, setup.speed.number)
    if eq is None:
        raise ValueError(
            f"no standard {setup.eq!r} at {setup.speed} in the table: line up by the reel's own tones"
        )
    level = float(setup.level.number)
    for tone in tones(setup.speed.number, which):
        if tone.use == "azimuth":
            if over.azimuth:
                yield _azimuth_line(tone, over.tracks, allowed)
        else:
            expected = expected_db(tape, eq, level, tone.hz)
            misleads = bass_misleads(tape, over.tracks, tone.hz)
            line = _level_line(tone, expected, misleads=misleads, allowed=allowed)
            yield replace(line, tracks=over.tracks)
    yield Line("level-again", "Read 1 kHz once more: treble and bass move the level a little.")


def _azimuth_line(tone: Tone, tracks: int, allowed: Tolerances) -> Line:
    within = allowed.phase_at(tone.hz)
    edges = f"tracks 1 and {tracks}" if tracks > 1 else "the track: highest output"
    says = f"Azimuth at {tone.name.split(' az')[0]}: phase between {edges}, from low to high."
    return Line(
        tone.key,
        says,
        "°" if tracks > 1 else "",
        tone.hz,
        0.0,
        -within,
        within,
        per_track=False,
        judged=tracks > 1,
    )


def _level_line(tone: Tone, expected: float, *, misleads: bool, allowed: Tolerances) -> Line:
    level = tone.use == "level"
    low, high = (-allowed.level_db, allowed.level_db) if level else allowed.band_db(tone.hz)
    says = tone.name[0].upper() + tone.name[1:]
    if misleads:
        says += ": too loud on narrow tracks, only written down; set bass by a sweep of the reel's machine"
    return Line(
        tone.key,
        says,
        "dB",
        tone.hz,
        expected,
        expected + low,
        expected + high,
        per_track=True,
        judged=not misleads,
    )
