"""One lane as signs: levels or treble along the tape."""

from __future__ import annotations

from collections.abc import Sequence

from core.findings import Finding, Strip
from core.values import dataclass

_SIGNS = " ▁▂▃▄▅▆▇█"
_PLAIN = " ..::--=="
_FLOOR_DB = -60.0
Part = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Lanes:
    """What is drawn: a pass's strip, what was found in it, and the place one stands on."""

    strip: Strip
    findings: Sequence[Finding]
    here: Finding | None = None
    plain: bool = False
    treble: bool = False
    """Treble against the middle in place of the level."""


def level_signs(view: Lanes, number: int, columns: int) -> str:
    """A sign a column: the loudest of it, from -60 dB up; the treble where that is asked for."""
    if view.treble and view.strip.treble:
        return _trebles(view, number, columns)
    signs = _PLAIN if view.plain else _SIGNS
    levels = view.strip.levels(view.strip.rms[number])
    out = []
    for column in range(columns):
        first = column * len(levels) // columns
        last = max(first + 1, (column + 1) * len(levels) // columns)
        loudest = max((one for one in levels[first:last] if one is not None), default=_FLOOR_DB)
        share = max(0.0, min(1.0, (loudest - _FLOOR_DB) / -_FLOOR_DB))
        out.append(signs[round(share * (len(signs) - 1))])
    return "".join(out)


def _trebles(view: Lanes, number: int, columns: int) -> str:
    """Treble from 12 dB below what is usual of the track to 6 above; blank in pauses."""
    signs, row, out = (_PLAIN if view.plain else _SIGNS), view.strip.treble[number], []
    for column in range(columns):
        first = column * len(row) // columns
        heard = sorted(
            one for one in row[first : max(first + 1, (column + 1) * len(row) // columns)] if one < 255
        )
        share = ((heard[len(heard) // 2] - 128) / 2 + 12) / 18 if heard else 0.0
        out.append(signs[max(bool(heard), round(max(0.0, min(1.0, share)) * (len(signs) - 1)))])
    return "".join(out)
