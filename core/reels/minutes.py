"""How long each step on a reel takes: exact minutes, and whole items rounded up to the grid."""

from __future__ import annotations

from fractions import Fraction

from core.reels.length import play_seconds
from core.reels.needs import NONE, OwnStocks, base_of, sticky
from core.reels.reel import Reel
from core.studio.setup import speed_key
from core.studio.studio import Deck, Studio
from core.tape.where import figure
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Left:
    """Seconds of tape that are still to be played and to be wound, and how often it is stopped to clean."""

    played: Fraction
    wound: Fraction
    stops: int = 0


def on_grid(minutes: Fraction, studio: Studio) -> int:
    """Whole minutes, rounded up to the studio's grid."""
    grid = studio.minutes.grid
    return int(-(-minutes // grid)) * grid


def passes(tracks: int, studio: Studio) -> int:
    """How often the tape must run for all its tracks to be captured."""
    capture = studio.capture
    inputs, guides = (capture.inputs, capture.guide_tracks) if capture else (tracks, 0)
    if tracks <= inputs:
        return 1
    return -(-(tracks - guides) // (inputs - guides))


def winds(reel: Reel, runs: int) -> int:
    """Winds from end to end: one a pass, less the first where the tape lies heads out."""
    return runs if reel.tails else runs - 1


def identify_minutes(studio: Studio) -> int:
    """Minutes at the desk to see what a tape at rest can tell."""
    return on_grid(studio.minutes.identify, studio)


def repair_minutes(reel: Reel, studio: Studio) -> int:
    """Minutes to remake its splices and leader joints, at least ten."""
    least = Fraction(figure("repair.least_minutes"))
    return on_grid(max(least, studio.minutes.splice * (reel.splices or 0)), studio)


def verify_minutes(reel: Reel, studio: Studio, play: Fraction | None = None) -> int:
    """Minutes to check the files, with spot listening over a share of ``play`` (seconds; the whole tape)."""
    seconds = play if play is not None else play_seconds(reel, studio)
    listening = studio.minutes.listen_share * (seconds or Fraction(0)) / 60
    return on_grid(studio.minutes.verify + listening, studio)


def transfer_minutes(
    reel: Reel,
    deck: Deck,
    studio: Studio,
    *,
    conditioned_in_plan: bool = False,
    own: OwnStocks = NONE,
    play: Fraction | None = None,
    left: int | None = None,
    begun: Left | None = None,
) -> int:
    """Minutes on that deck: threading, passes, winds, and cleaning after a treated reel.

    ``play`` (seconds) stands in for the whole tape's play time where only a part of it is captured. ``left``
    is how many passes are still to be played, all where it is not told; ``begun`` what of the tape is
    still to be run in these, where one was stopped on the way or is due once more from some minute on.
    Raises ValueError where the reel's tracks, speed or length are not known.
    """
    whole = play_seconds(reel, studio)
    if whole is None or reel.tracks is None or reel.speed is None:
        raise ValueError(f"{reel.key}: tracks, speed or length not known")
    runs = passes(reel.tracks, studio) if left is None else left
    wind = whole * (speed_key(reel.speed) or 0) / wind_speed(reel, deck, own)
    one = whole if play is None else play
    seconds = runs * one + winds(reel, runs) * wind
    if begun is not None:
        seconds = begun.played + begun.wound * wind / whole + begun.stops * studio.minutes.clean * 60
    cleaning = studio.minutes.clean if conditioned_in_plan or sticky(reel, own) else Fraction(0)
    return on_grid(studio.minutes.load + seconds / 60 + cleaning, studio)


def wind_speed(reel: Reel, deck: Deck, own: OwnStocks = NONE) -> Fraction:
    """Winding speed in ips: the deck's gentle one, where it names one, for tape that must not be flung."""
    gentle = deck.gentle_wind_speed
    if gentle is not None and wants_gentle_winding(reel, own):
        return gentle.number
    return deck.wind_speed.number


def wants_gentle_winding(reel: Reel, own: OwnStocks = NONE) -> bool:
    """Treated, spliced, thin or not polyester: common practice is to wind it slowly."""
    least = Fraction(str(figure("winding.thin_mil"))) / 1000
    thin = reel.thickness is not None and reel.thickness.number < least
    spliced = "splices" in reel.condition or bool(reel.splices)
    treated = sticky(reel, own) or reel.conditioned_at is not None
    return treated or spliced or thin or base_of(reel, own) != "polyester"


def audition_minutes(
    reel: Reel, studio: Studio, *, conditioned_in_plan: bool = False, own: OwnStocks = NONE
) -> int:
    """Minutes of a first hearing."""
    cleaning = studio.minutes.clean if conditioned_in_plan or sticky(reel, own) else Fraction(0)
    return on_grid(studio.minutes.load + studio.minutes.audition + cleaning, studio)
