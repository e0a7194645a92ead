"""What the check of a capture says of one track within one song's span: a verdict of its own, or silence.

A place on another track, or outside the song, is none of this part's business. Places in a check are seconds
of the captured pass; a pass over a part of a tape begins where that part does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, TypeAlias

from core.songs.song import Need
from core.values import dataclass

if TYPE_CHECKING:
    from core.raw import RawCheck, RawFinding

Check: TypeAlias = "RawCheck"
_WEIGHTS = {"note": "pass", "remark": "remarks", "fail": "fail"}
_ORDER = ("note", "remark", "fail")
SILENT_DBFS = -60.0
"""A track whose highest sample is no higher is silent, as the check's own finding has it."""


@dataclass(frozen=True, slots=True)
class Heard:
    """One track of one pass as far as it carries the song; all blank where nothing is captured."""

    pass_number: int | None = None
    verdict: str | None = None
    """pass, remarks or fail, of that track in that span; None without a check."""
    files: tuple[str, ...] = ()
    silent: bool = False
    places: tuple[tuple[str, float, float], ...] = ()
    """Kind, start and end of what was found in the span, in seconds of the pass; no kinds about all of it."""
    ends: float | None = None
    """Play time at which the capture ends, where the whole pass is known."""


NOT_HEARD = Heard()


class Hearing:
    """The newest checks of every pass, asked about tracks; ``begins`` tells at what play time each begins."""

    def __init__(
        self, checks: Iterable[Check], begins: Mapping[tuple[str, int], float] | None = None
    ) -> None:
        self.begins = begins or {}
        self._checks: dict[str, list[Check]] = {}
        for check in checks:
            self._checks.setdefault(str(check.get("reel")), []).append(check)
        for mine in self._checks.values():
            mine.sort(key=lambda check: str(check.get("at") or ""))

    def has(self, reel: str) -> bool:
        """True where anything of the reel is captured and checked."""
        return reel in self._checks

    def check(self, reel: str, track: int | None, need: Need | None = None) -> Check | None:
        """The newest check of the pass that carries that track and, where several do, the song's span."""
        mine = [one for one in self._checks.get(reel, ()) if track is None or _carries(one, track)]
        if need is not None and need.start is not None:
            mine = [one for one in mine if self._holds(one, float(need.start))] or mine
        return mine[-1] if mine else None

    def _holds(self, check: Check, start: float) -> bool:
        begins = self.begin(check)
        return begins <= start < begins + _seconds(check)

    def begin(self, check: Check) -> float:
        """Play time of the reel at which that pass begins."""
        return self.begins.get((str(check.get("reel")), int(check.get("pass", 1))), 0.0)

    def heard(self, reel: str, track: int | None, need: Need | None) -> Heard:
        """What is known of that track in that span."""
        check = self.check(reel, track, need)
        if check is None or track is None:
            return NOT_HEARD
        begins, length = self.begin(check), _seconds(check)
        start = float(need.start) - begins if need is not None and need.start is not None else 0.0
        end = float(need.end) - begins if need is not None and need.end is not None else length
        found = [one for one in check.get("findings", ()) if _meant(one, track) and _within(one, start, end)]
        weight = max((str(one.get("weight")) for one in found), key=_ORDER.index, default="note")
        places = tuple(
            (str(one["kind"]), float(one["start"]), float(one["end"]))
            for one in found
            if one.get("weight") != "note" and not (one["start"] <= 0 and one["end"] >= length)
        )
        files = tuple(str(file.get("path", "")) for file in check.get("files", ()))
        silent = any(one.get("kind") == "silence" for one in found) or _quiet(check, track)
        return Heard(int(check.get("pass", 1)), _WEIGHTS[weight], files, silent, places, begins + length)


def _carries(check: Check, track: int) -> bool:
    return not check.get("tracks") or track in check["tracks"]


def _seconds(check: Check) -> float:
    files = [float(file.get("seconds") or 0) for file in check.get("files", ())]
    return float(check.get("seconds") or 0) or max(files, default=0.0)


def _meant(finding: RawFinding, track: int) -> bool:
    return finding.get("track") is None or track in (finding.get("track"), finding.get("other"))


def _within(finding: RawFinding, start: float, end: float) -> bool:
    return float(finding["start"]) < end and float(finding["end"]) >= start


def _quiet(check: Check, track: int) -> bool:
    for channel in check.get("channels", ()):
        if channel.get("track") == track:
            peak = channel.get("peak_dbfs", 0.0)
            return peak is None or float(peak) <= SILENT_DBFS
    return False
