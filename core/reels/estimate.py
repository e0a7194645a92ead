"""What a reel will take: length, time, passes, winds, capture size, each with how it was got."""

from __future__ import annotations

from fractions import Fraction

from core.clock import clock_text
from core.quantities import plain
from core.reels.length import Length, length_of, play_seconds
from core.reels.minutes import passes, transfer_minutes, wind_speed, winds
from core.reels.needs import NONE, OwnStocks
from core.reels.reel import Reel
from core.studio.studio import Deck, Studio
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Estimate:
    """Figures of one reel; None where nothing tells. ``how`` says how each was got, ``sure`` how sure."""

    reel: str
    length_feet: float | None
    play_seconds: float | None
    passes: int | None
    winds: int | None
    machine_minutes: int | None
    capture_bytes: int | None
    how: tuple[tuple[str, str], ...]
    sure: str

    def to_json(self) -> dict[str, object]:
        """The document that other programs read."""
        figures = ("length_feet", "play_seconds", "passes", "winds", "machine_minutes", "capture_bytes")
        out: dict[str, object] = {"reel": self.reel}
        out |= {name: getattr(self, name) for name in figures}
        return out | {"from": dict(self.how), "sure": self.sure}


def deck_for(reel: Reel, studio: Studio) -> Deck | None:
    """The first deck of the studio that plays it; None if none does or its width or tracks are not known."""
    return next(iter(decks_for(reel, studio)), None)


def decks_for(reel: Reel, studio: Studio) -> tuple[Deck, ...]:
    """Every deck that plays it; none while its width, tracks or speed are not known."""
    if reel.width is None or reel.tracks is None or reel.speed is None:
        return ()
    width, tracks, speed = reel.width, reel.tracks, reel.speed
    return tuple(deck for deck in studio.decks if deck.takes(width, tracks, speed))


def estimate(reel: Reel, studio: Studio, own: OwnStocks = NONE) -> Estimate:
    """Everything that can be told of a reel before it is played."""
    length = length_of(reel, studio)
    seconds = play_seconds(reel, studio)
    runs = passes(reel.tracks, studio) if reel.tracks else None
    deck = deck_for(reel, studio)
    minutes = None
    if deck is not None and seconds is not None:
        minutes = transfer_minutes(reel, deck, studio, own=own)
    return Estimate(
        reel=reel.key,
        length_feet=round(float(length.inches / 12), 3) if length else None,
        play_seconds=round(float(seconds), 3) if seconds is not None else None,
        passes=runs,
        winds=winds(reel, runs) if runs else None,
        machine_minutes=minutes,
        capture_bytes=capture_bytes(reel, studio, seconds),
        how=tuple(_how(reel, studio, length, seconds, deck, own).items()),
        sure=_sure(length),
    )


def capture_bytes(reel: Reel, studio: Studio, seconds: Fraction | None) -> int | None:
    """Bytes of sound that all its passes make, headers apart: every pass carries its guide tracks."""
    capture = studio.capture
    if capture is None or seconds is None or not reel.tracks:
        return None
    tracks = reel.tracks + (passes(reel.tracks, studio) - 1) * capture.guide_tracks
    return round(tracks * (capture.bit_depth // 8) * capture.sample_rate.number * seconds)


def _sure(length: Length | None) -> str:
    if length is None:
        return "not known"
    if length.source == "assumed":
        return "a guess: nothing tells its length"
    return f"within about {length.share:.0%}"


def _at_once(tracks: int, inputs: int, guides: str) -> str:
    if tracks <= inputs:
        return f"all {tracks} tracks at once" if tracks > 1 else "its one track"
    return f"{tracks} tracks, {inputs} at a time{guides}"


def _wound(reel: Reel) -> str:
    if not reel.wind:
        return "wind not known: counted as tails out, wound back before every pass"
    return "tails out: wound back before every pass" if reel.tails else "heads out: wound back between passes"


def _how(
    reel: Reel,
    studio: Studio,
    length: Length | None,
    seconds: Fraction | None,
    deck: Deck | None,
    own: OwnStocks,
) -> dict[str, str]:
    unknown = "not known"
    capture = studio.capture
    out = {"length_feet": length.how if length else "nothing tells its length"}
    speed = f"{reel.speed}, {'heard' if reel.heard else 'not heard yet'}" if reel.speed else "speed not known"
    out["play_seconds"] = f"length at {speed}" if seconds is not None else speed
    if reel.tracks and capture:
        guides = f", {capture.guide_tracks} of them guide tracks" if capture.guide_tracks else ""
        out["passes"] = _at_once(reel.tracks, capture.inputs, guides)
    else:
        out["passes"] = f"tracks {unknown}" if not reel.tracks else "one: no capture in the studio's file"
    out["winds"] = _wound(reel) if reel.tracks else unknown
    if deck is None or seconds is None:
        out["machine_minutes"] = "no deck plays it" if seconds is not None else unknown
    else:
        wind = plain(wind_speed(reel, deck, own))
        out["machine_minutes"] = (
            f"on {deck.id}: threading, {clock_text(Fraction(round(seconds)))} a pass, winding at {wind} ips, "
            f"rounded up to {studio.minutes.grid} min"
        )
    size = capture is not None and seconds is not None and reel.tracks
    out["capture_bytes"] = f"{capture.sample_rate}, {capture.bit_depth} bit" if capture and size else unknown
    return out
