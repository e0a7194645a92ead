"""A line-up sheet: the ordered lines, what each must read and how far off it may be."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from core.lineup.calibration import CalibrationTape, bass_misleads, expected_db
from core.lineup.tolerance import Tolerances, tolerances
from core.lineup.tones import Tone, Which, tones
from core.studio.setup import Setup
from core.tape.physics.equalisation import find_equalisation

Choice = Literal["calibration tape", "by the reel's own tones", "as it stands"]
CHOICES: tuple[Choice, ...] = ("calibration tape", "by the reel's own tones", "as it stands")


def choice_of(calibration: str, by: str = "") -> Choice:
    """With a calibration tape where there is one, else as it was planned: by its tones, or as it stands."""
    if calibration:
        return "calibration tape"
    return "as it stands" if by == "as it stands" else "by the reel's own tones"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a sheet: something to do, or a tone with its expected reading in `unit`.

    `per_track` lines have a reading for each track, others one (as track 0). Without `judged` a reading is
    only written down. `low` and `high` bound what passes.
    """

    key: str
    says: str
    unit: Literal["", "dB", "°"] = ""
    hz: float | None = None
    expected: float | None = None
    low: float | None = None
    high: float | None = None
    per_track: bool = False
    judged: bool = False


@dataclass(frozen=True, slots=True)
class LineupSheet:
    """A line-up for one set-up on one deck, in order; `calibration` names the tape, empty without one."""

    deck: str
    setup: Setup
    tracks: int
    choice: Choice
    calibration: str
    lines: tuple[Line, ...]

    def line(self, key: str) -> Line | None:
        """The line of that key."""
        return next((line for line in self.lines if line.key == key), None)

    @property
    def tones(self) -> tuple[Line, ...]:
        """The lines that have a reading in decibels, in order."""
        return tuple(line for line in self.lines if line.unit == "dB")


FIRST = (
    Line(
        "clean", "Clean heads, guides and capstan; let them dry. No calibration tape goes over a dirty path."
    ),
    Line("demagnetise", "Demagnetise heads and guides, machine off, every tape well away."),
    Line("safe", "All tracks safe, record and erase off, varispeed off, before any tape is threaded."),
    Line("monitors", "Monitors down: the tones are steady and loud."),
)
LAST = (
    Line("put-away", "Wind the calibration tape at play speed, tails out, and put it away from magnets."),
)


def lineup_sheet(
    deck: str,
    setup: Setup,
    tracks: int,
    tape: CalibrationTape | None,
    *,
    which: Which = "usual",
    choice: Choice | None = None,
    allowed: Tolerances | None = None,
) -> LineupSheet:
    """The sheet for a set-up on a deck of so many tracks.

    Without a calibration tape the choice is the reel's own tones, unless `choice` says "as it stands".
    ValueError where the set-up has no speed, or a calibration tape no level or standard to be read by.
    """
    made = choice or ("calibration tape" if tape else "by the reel's own tones")
    if made == "calibration tape" and tape is not None:
        lines = tuple(_tone_lines(setup, tracks, tape, which, allowed or tolerances()))
        return LineupSheet(deck, setup, tracks, made, tape.name, (*FIRST, *lines, *LAST))
    if made == "calibration tape":
        raise ValueError("a line-up by a calibration tape names the tape")
    says = {
        "by the reel's own tones": "Set level, treble and azimuth by the tones at the reel's own head.",
        "as it stands": "The deck is used as it stands: level and treble stay, and that is written down.",
    }[made]
    return LineupSheet(deck, setup, tracks, made, "", (*FIRST, Line("choice", says)))


def _tone_lines(
    setup: Setup, tracks: int, tape: CalibrationTape, which: Which, allowed: Tolerances
) -> Iterator[Line]:
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
            yield _azimuth_line(tone, tracks, allowed)
        else:
            expected = expected_db(tape, eq, level, tone.hz)
            yield _level_line(tone, expected, misleads=bass_misleads(tape, tracks, tone.hz), allowed=allowed)
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
