"""A capture as lanes of text: a line a track with its level along the tape, letters where something is."""

from __future__ import annotations

from collections.abc import Iterable

from core.findings import WEIGHTS, Finding, Strip
from core.standing.proof import NEVER_BY_ITSELF
from tui.places.captures.lane_levels import Lanes, Part, level_signs
from tui.safe_text import fit

#: One letter a kind; capitals where it is to be captured again. Any other kind is an x.
LETTERS = {
    "clipping": "c", "dropout": "d", "zero run": "z", "repeat": "r", "join": "j", "timecode gap": "g",
    "timecode jump": "t", "silence": "s", "sound": "n", "hum": "h", "dc": "o", "copy": "y", "polarity": "p",
    "speed": "v", "short": "l", "long": "l", "format": "f", "flat tops": "b",
    "dull": "u", "one side": "e", "sag": "w", "splice": "k", "click": "i", "stop": "a", "askew": "m",
    "print-through": "q", "wow": "w", "squeal": "w", "whine": "h", "hiss": "h",
}  # fmt: skip
_LABEL = 6  # the track's number, then two letters about the whole of it


def letter(finding: Finding) -> str:
    """The finding's letter."""
    one = LETTERS.get(finding.kind, "x")
    return one.upper() if finding.weight == "fail" else one


def shuts_first(finding: Finding) -> tuple[int, bool]:
    """What keeps the tape from being verified before what only weighs, and notes last."""
    return -WEIGHTS.index(finding.weight), finding.kind not in NEVER_BY_ITSELF


def across(tracks: int, height: int) -> int:
    """How many lanes stand side by side, so that no more than so many lines are taken."""
    return max(1, min(4, -(-tracks // max(1, height))))


def lane_lines(view: Lanes, width: int, height: int) -> list[list[Part]]:
    """The lanes and below them the clock, in at most ``height`` lines where four side by side do for that."""
    tracks = view.strip.tracks
    beside = across(len(tracks), height - 1)
    rows = -(-len(tracks) // beside)
    room = width // beside
    lines: list[list[Part]] = []
    for row in range(rows):
        numbers = range(row, len(tracks), rows)
        lines.append([part for number in numbers for part in _lane(view, number, room)])
    block = next((tracks.index(view.here.track) // rows for _ in (0,)
                  if view.here is not None and view.here.track in tracks), 0)  # fmt: skip
    lines.append(
        [part for number in range(beside) for part in _clock(view, room, with_place=number == block)]
    )
    return lines


def _lane(view: Lanes, number: int, room: int) -> list[Part]:
    track = view.strip.tracks[number]
    columns = max(1, room - _LABEL - 1)
    mine = [one for one in view.findings if track in (one.track, one.other)]
    whole = _whole(view, mine)
    cells = [(sign, "dim") for sign in level_signs(view, number, columns)]
    for one in _light_first(one for one in mine if not _is_whole(one, view.strip)):
        at = _column(one.start, view.strip.seconds, columns)
        cells[at] = (letter(one), "bad" if one.weight == "fail" else "next")
    here = view.here
    if here is not None and here.track == track and not _is_whole(here, view.strip):
        cells[_column(here.start, view.strip.seconds, columns)] = (letter(here), "cursor")
    label = fit(f"{track:>3}", 3) + fit(f"{whole[:2]}", _LABEL - 4, right=True) + "|"
    return [(label, "word"), *_joined(cells), (" ", "dim")]


def _joined(cells: Iterable[Part]) -> list[Part]:
    out: list[Part] = []
    for text, role in cells:
        if out and out[-1][1] == role:
            out[-1] = (out[-1][0] + text, role)
        else:
            out.append((text, role))
    return out


def _whole(view: Lanes, findings: Iterable[Finding]) -> str:
    """The letters of what is so throughout, the gravest first."""
    mine = sorted((one for one in findings if _is_whole(one, view.strip)), key=shuts_first)
    return "".join(dict.fromkeys(map(letter, mine)))


def _light_first(findings: Iterable[Finding]) -> list[Finding]:
    order = {"note": 0, "remark": 1, "fail": 2}
    return sorted(findings, key=lambda one: (order[one.weight], one.size))


def _is_whole(finding: Finding, strip: Strip) -> bool:
    return finding.start <= 0 and finding.end >= strip.seconds - 1e-6


def _column(seconds: float, total: float, columns: int) -> int:
    return max(0, min(columns - 1, int(seconds / total * columns))) if total > 0 else 0


def _clock(view: Lanes, room: int, *, with_place: bool) -> list[Part]:
    columns = max(1, room - _LABEL - 1)
    seconds = view.strip.seconds
    start, end = "0:00", f"{int(seconds // 60)}:{int(seconds % 60):02d}"
    cells = [
        (one, "dim") for one in fit(start, max(0, columns - len(end))) + fit(end, min(columns, len(end)))
    ]
    for one in _light_first(one for one in view.findings if one.track is None):
        if not _is_whole(one, view.strip):
            cells[_column(one.start, seconds, columns)] = (
                letter(one),
                "bad" if one.weight == "fail" else "next",
            )
    if with_place and view.here is not None and not _is_whole(view.here, view.strip):
        cells[_column(view.here.start, seconds, columns)] = ("^", "next")
    every = _whole(view, (one for one in view.findings if one.track is None))
    return [(fit(fit(f"{every[:2]}", _LABEL - 1, right=True), _LABEL), "word"), *_joined(cells), (" ", "dim")]
