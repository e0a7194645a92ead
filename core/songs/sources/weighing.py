"""Every carrier weighed: can it be had, how good is it.

A track that cannot be had (not on the shelf, silent as measured, beyond the tape, recorded over) is never
used; one of a barred tape only where nothing else holds the recording; a mix only for what is nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence

from core.reels.reel import STAGES, Reel
from core.songs.heard import NOT_HEARD, Heard
from core.songs.song import Need
from core.songs.sources.recordings import Carrier
from core.songs.sources.weighed import Facts, Weighed
from core.words import counted


class Weighing:
    """Weighs carriers; what is true of a tape as a whole is asked once."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._tapes: dict[str, tuple[Reel | None, Need | None, str]] = {"": (None, None, "")}

    def _tape(self, key: str) -> tuple[Reel | None, Need | None, str]:
        """The reel, what the song needs of it, and why it is barred, if so."""
        if key not in self._tapes:
            reel = self.facts.reels.get(key)
            barred = self.facts.why_barred(reel) if reel is not None else None
            self._tapes[key] = reel, self.facts.song.span_on(key), barred or ""
        return self._tapes[key]

    def weighed(self, one: Carrier) -> Weighed:
        """What is known of the tracks of one carrier, in the song's span."""
        reel, need, barred = self._tape(one.reel)
        hearing = self.facts.hearing
        heard = (
            tuple(hearing.heard(one.reel, row.track, need) for row in one.rows)
            if hearing.has(one.reel) else (NOT_HEARD,) * len(one.rows)
        )  # fmt: skip
        together = len({atom.recording for atom in one.atoms})
        mixed = reel is not None and reel.role == "mix" and one.generation > 0 and together > 1
        is_mix = mixed or one.of_unknown
        doubt = f"what the sheets tell of {one.label} is not sure" if one.in_doubt else ""
        verdict = _worst(heard)
        return Weighed(
            one, heard, _never(one, reel, heard), "a mix" if is_mix else barred or doubt, is_mix, verdict,
            _cost(one, reel, verdict, together), reel.stage if reel is not None else "",
        )  # fmt: skip


def _worst(heard: Sequence[Heard]) -> str | None:
    verdicts = [one.verdict for one in heard]
    if None in verdicts:
        return None
    return max(verdicts, key=lambda one: ("pass", "remarks", "fail").index(one or ""))


def _never(one: Carrier, reel: Reel | None, heard: Sequence[Heard]) -> str:
    if not one.reel:
        return "a loose sheet: of which tape is not known"
    if reel is None:
        return f"{one.reel} is not on the shelf"
    if any(row.recorded_over for row in one.rows):
        return "recorded over"
    if one.elsewhere:
        return "its sheet gives it to another song"
    beyond = [track for track in one.tracks if reel.tracks and track > reel.tracks]
    if beyond:
        return f"{one.reel} has {counted(reel.tracks or 0, 'track')}"
    if not one.tracks:
        return "no track is told"
    return "silent as measured" if any(sound.silent for sound in heard) else ""


def _cost(one: Carrier, reel: Reel | None, heard: str | None, together: int) -> int:
    """Smaller is better: copyings, not captured, verdict, stage, recordings in one; the first counts most."""
    atoms = len(one.atoms)
    captured = heard is not None or (reel is not None and reel.past("transferred"))
    verdict = {"pass": 0, "remarks": 1, None: 2, "fail": 3}[heard]
    stage = len(STAGES) - STAGES.index(reel.stage) if reel is not None and reel.stage in STAGES else 9
    total = 0
    for step in (one.generation, 0 if captured else 1, verdict, stage):
        total = total * 1000 + step * atoms
    return total * 1000 + min(999, 10 * (together - 1) + 5 * max(0, atoms - len(one.rows)) + len(one.rows))
