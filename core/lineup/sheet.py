"""A line-up sheet: its lines in order, by a calibration tape or without one."""

from typing import Literal

from core.lineup.calibration import CalibrationTape
from core.lineup.line import Line
from core.lineup.reach import Reach
from core.lineup.tolerance import Tolerances, tolerances
from core.lineup.tone_lines import tone_lines
from core.lineup.tones import Which
from core.studio.setup import Setup
from core.values import dataclass

Choice = Literal["calibration tape", "by the reel's own tones", "as it stands"]
CHOICES: tuple[Choice, ...] = ("calibration tape", "by the reel's own tones", "as it stands")


def choice_of(calibration: str, by: str = "") -> Choice:
    """With a calibration tape where there is one, else as it was planned: by its tones, or as it stands."""
    if calibration:
        return "calibration tape"
    return "as it stands" if by == "as it stands" else "by the reel's own tones"


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
#: What must be ticked before a tape is threaded: a dirty path harms it, an armed track erases it.
BEFORE_A_TAPE = ("clean", "demagnetise", "safe")
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
    reaches: Reach | None = None,
) -> LineupSheet:
    """The sheet for a set-up on a deck of so many tracks.

    `reaches` tells what a tape of another width does not read. Without a calibration tape the choice is the
    reel's own tones, unless `choice` says "as it stands".
    ValueError where the set-up has no speed, or a calibration tape no level or standard to be read by.
    """
    made = choice or ("calibration tape" if tape else "by the reel's own tones")
    if made == "calibration tape" and tape is not None:
        over = reaches or Reach(tracks)
        lines = tone_lines(setup, over, tape, which, allowed or tolerances())
        unset = [Line("other-width", f"{over.unset}.")] if over.unset else []
        return LineupSheet(deck, setup, tracks, made, tape.name, (*FIRST, *unset, *lines, *LAST))
    if made == "calibration tape":
        raise ValueError("a line-up by a calibration tape names the tape")
    says = {
        "by the reel's own tones": "Set level, treble and azimuth by the tones at the reel's own head.",
        "as it stands": "The deck is used as it stands: level and treble stay, and that is written down.",
    }[made]
    return LineupSheet(deck, setup, tracks, made, "", (*FIRST, Line("choice", says)))
