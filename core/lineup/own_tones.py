"""The reel's own part of a line-up: what is recorded at its head outranks any calibration tape."""

import re
from dataclasses import replace

from core.lineup.line import Line
from core.lineup.sheet import LineupSheet
from core.lineup.tolerance import Tolerances, tolerances
from core.reels.reel import Reel
from core.tape.where import figure
from core.values import dataclass

_HZ = re.compile(r"(\d+(?:[.,]\d+)?)\s*(k?)\s*hz\b", re.IGNORECASE)
_LEVEL = re.compile(r"([+\-−]?\s*\d+(?:[.,]\d+)?)\s*(?:db|vu)\b", re.IGNORECASE)
_YES = {"yes", "true", "1", "decoded", "y"}


@dataclass(frozen=True, slots=True)
class OwnTone:
    """A tone at a reel's head: Hz, and its level in dB over the reel's operating level where it is told."""

    hz: float
    db: float | None = None


def own_tones(text: str) -> tuple[OwnTone, ...]:
    """The tones that a reel's `tones` speak of, as `1 kHz 0 VU; 10 kHz; 100 Hz -10 dB`.

    A level stands for the tone before it, up to the next one.
    """
    found = list(_HZ.finditer(text))
    tones = []
    for place, match in enumerate(found):
        ends = found[place + 1].start() if place + 1 < len(found) else len(text)
        level = _LEVEL.search(text, match.end(), ends)
        hz = float(match[1].replace(",", ".")) * (1000 if match[2] else 1)
        if 10 <= hz <= 30_000:
            tones.append(OwnTone(hz, _db(level[1]) if level else None))
    return tuple(tones)


def captured_undecoded(reel: Reel) -> bool:
    """True unless the reel says that noise reduction is undone in the capture: undecoded is the default."""
    return reel.decoded.strip().casefold() not in _YES


def own_part(reel: Reel, allowed: Tolerances | None = None) -> tuple[Line, ...]:
    """The lines of the reel's part: varispeed, azimuth, its tones, noise reduction, azimuth back."""
    tones = own_tones(reel.tones)
    return (
        Line("own-varispeed", _varispeed(reel)),
        Line("own-azimuth-mark", "Write down where the azimuth screw stands before it is touched."),
        _azimuth(tones, reel.tracks or 1),
        *(_tone(tone, allowed or tolerances()) for tone in tones),
        *_noise_reduction(reel),
        Line("own-azimuth-back", "Put azimuth back by the mark after this reel, and tick it."),
    )


def with_own_part(sheet: LineupSheet, reel: Reel, allowed: Tolerances | None = None) -> LineupSheet:
    """The sheet with the reel's own part behind it; on a deck used as it stands its tones are only read."""
    own = own_part(reel, allowed)
    if sheet.choice == "as it stands":
        own = tuple(replace(line, judged=False) for line in own)
    return replace(sheet, lines=(*sheet.lines, *own))


def _varispeed(reel: Reel) -> str:
    told = reel.varispeed.strip()
    if told in ("", "0", "0 %", "none", "off"):
        return "Varispeed off."
    return f"Varispeed off, nominal speed: it was recorded with varispeed {told}; correct that in the file."


def _azimuth(tones: tuple[OwnTone, ...], tracks: int) -> Line:
    least = figure("lineup.azimuth_from_hz")
    high = [tone.hz for tone in tones if tone.hz >= least]
    if not high:
        how = "the sharpest treble, or least phase between edge tracks"
        return Line("own-azimuth", f"Azimuth by programme, as no high tone is told: {how}.")
    low = "its low tones first, then " if any(tone.hz < least for tone in tones) else ""
    says = f"Azimuth by its own tone: {low}{max(high):g} Hz; the programme has the last word."
    return Line("own-azimuth", says, "°" if tracks > 1 else "", max(high), 0.0)


def _tone(tone: OwnTone, allowed: Tolerances) -> Line:
    db = tone.db or 0.0
    at = f"{db:+g} dB from its operating level" if db else "its operating level"
    level = abs(tone.hz / figure("lineup.level_hz") - 1) <= 0.1
    low, high = (-allowed.level_db, allowed.level_db) if level else allowed.band_db(tone.hz)
    says = f"Its own {tone.hz:g} Hz reads {at}; it outranks the calibration tape."
    return Line(f"own-{tone.hz:g}", says, "dB", tone.hz, db, db + low, db + high, per_track=True, judged=True)


def _noise_reduction(reel: Reel) -> tuple[Line, ...]:
    name = reel.noise_reduction.strip()
    if name.casefold() in ("", "none"):
        return ()
    level = f"{name}: set level by its reference tone at the reel's head, on every track."
    if captured_undecoded(reel):
        how = f"{name}: captured undecoded, as is usual; capture its reference tone too."
    else:
        how = f"{name}: decoded in the capture; check each card, and capture its reference tone."
    return (Line("own-nr-level", level, "dB", per_track=True), Line("own-nr", how))


def _db(text: str) -> float:
    return float(text.replace("−", "-").replace(",", ".").replace(" ", ""))
