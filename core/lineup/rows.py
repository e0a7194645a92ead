"""A line-up sheet as rows of words, for a screen or a printed sheet."""

from core.lineup.line import Line
from core.lineup.record import LineupRecord, When
from core.lineup.sheet import LineupSheet
from core.lineup.verdict import Verdict, judge
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line in words: a tick, what to do, what it must read, and a cell for each track.

    `must` is empty for a line without a reading. `cells` are blank where nothing is written down; `verdicts`
    go with them.
    """

    key: str
    ticked: bool
    says: str
    must: str
    cells: tuple[str, ...]
    verdicts: tuple[Verdict, ...]


def sheet_rows(
    sheet: LineupSheet, record: LineupRecord | None = None, when: When = "after"
) -> tuple[SheetRow, ...]:
    """Every line of a sheet in order; without a record all cells are blanks to write in."""
    judged = {} if record is None else {(one.line.key, one.track): one for one in judge(sheet, record, when)}
    rows = []
    for line in sheet.lines:
        found = [judged.get((line.key, track)) for track in line.over(sheet.tracks)]
        cells = tuple(
            "" if one is None or one.value is None else reading_text(line, one.value) for one in found
        )
        verdicts: tuple[Verdict, ...] = tuple("blank" if one is None else one.verdict for one in found)
        ticked = record is not None and line.key in record.ticked
        rows.append(SheetRow(line.key, ticked, line.says, must_read(line), cells, verdicts))
    return tuple(rows)


def must_read(line: Line) -> str:
    """What a line must read, with its tolerance: `-2.1 dB (-3.1 to -1.1)`."""
    if not line.unit or line.expected is None:
        return ""
    expected = reading_text(line, line.expected)
    if not line.judged or line.low is None or line.high is None:
        return f"{expected} (only written down)"
    return f"{expected} ({_number(line, line.low)} to {_number(line, line.high)})"


def reading_text(line: Line, value: float) -> str:
    """A reading with its unit and a sign: `+0.3 dB`, `-12°`."""
    return f"{_number(line, value)}{'°' if line.unit == '°' else ' dB'}"


def _number(line: Line, value: float) -> str:
    places = 0 if line.unit == "°" else 1
    shown = f"{value:+.{places}f}"
    return shown[1:] if float(shown) == 0 else shown
