"""What to do at the deck before a pass runs: what to patch, to wind first or not, what the file is called."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from core.clock import clock_text, minutes_between
from core.evening.tonight.backwards import may_run_backwards
from core.evening.tonight.sheet import Step
from core.evening.tonight.transfer import transfer_of
from core.logbook.steps import slowly_wound
from core.reels.length import play_seconds
from core.reels.minutes import transfer_minutes, wind_speed
from core.reels.needs import sticky
from core.reels.pass_tracks import ranges, tracks_by_pass
from core.reels.winding import all_slow_minutes, no_fast_wind, slow_minutes
from core.shelf import Shelf
from core.standing.left_to_play import Transfer
from core.studio.setup import speed_key
from core.words import listed


def next_pass(shelf: Shelf, step: Step) -> tuple[int, tuple[int, ...]]:
    """The number of the pass of that transfer that runs next, and the tracks that it carries."""
    part = transfer_of(shelf, step)
    left = part.left or part.numbers
    carried = tracks_by_pass(part.reel.tracks, shelf.studio) if part.reel.tracks else ((),)
    place = part.numbers.index(left[0])
    return left[0], carried[min(place, len(carried) - 1)]


def patching(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """``patch tracks 1, 9-15, pass 2 of 2; track 1 in every pass``, and whether to wind first."""
    part = transfer_of(shelf, step)
    number, tracks = next_pass(shelf, step)
    said = f"patch tracks {ranges(tracks)}" if tracks else "its tracks are not known"
    guides = shelf.studio.capture.guide_tracks if shelf.studio.capture else 0
    if len(part.numbers) > 1:
        said += f", pass {part.numbers.index(number) + 1} of {len(part.numbers)}"
    if part.again is not None:
        said += f", from {clock_text(int(part.again))} to the end, as a file of its own"
    if guides and len(part.numbers) > 1:
        said += f"; {'track' if guides == 1 else 'tracks'} {ranges(tuple(range(1, guides + 1)))} in each"
    return (said, *_wind(shelf, step))


def minutes_to_run(shelf: Shelf, step: Step, now: datetime) -> Fraction | None:
    """Minutes of tape and winding that are left of a transfer that was begun; None for any other step."""
    if step.kind != "transfer" or step.state != "running" or step.subject not in shelf.reels:
        return None
    return _of_passes(shelf, step, now)


def tape_minutes(shelf: Shelf, step: Step, at: datetime) -> Fraction | None:
    """Minutes for which a transfer's deck runs once its tape does: its passes, and the winds between them.

    None where nothing tells it.
    """
    return _of_passes(shelf, step, at, first=False) if step.subject in shelf.reels else None


def _of_passes(shelf: Shelf, step: Step, at: datetime, *, first: bool = True) -> Fraction | None:
    """Minutes of the passes that are left and of their winds; ``first``: with that before the first."""
    part = transfer_of(shelf, step)
    reel, whole, speed = part.reel, play_seconds(part.reel, shelf.studio), speed_key(part.reel.speed)
    deck = shelf.studio.deck(step.item.deck) if step.item is not None else None
    if whole is None or speed is None or deck is None:
        return None
    left = list(part.passes_left(whole, at))
    winds = sum((one.wound for one in left if first or one is not left[0]), start=Fraction(0)) * speed
    seconds = sum((one.runs for one in left), start=winds / wind_speed(reel, deck, shelf.own_stocks()))
    return seconds / 60


def handling_after(shelf: Shelf, step: Step) -> Fraction:
    """Minutes of cleaning behind a tape that is sticky or was treated; nought behind any other."""
    reel = shelf.reels.get(step.subject)
    treated = reel is not None and (sticky(reel, shelf.own_stocks()) or reel.conditioned_at is not None)
    return shelf.studio.minutes.clean if treated else Fraction(0)


def minutes_of(shelf: Shelf, step: Step) -> Fraction:
    """Minutes that a step takes: as planned, but for the wind of a tape that was wound to its head since.

    So while that wind runs as a step of its own.
    """
    planned = minutes_between(step.planned.start, step.planned.end)
    deck = shelf.studio.deck(step.item.deck) if step.item is not None else None
    if deck is None or step.kind != "transfer" or step.state != "waiting" or step.subject not in shelf.reels:
        return planned
    reel, part = shelf.reel(step.subject), transfer_of(shelf, step)
    wound = reel.wind == "heads" or slowly_wound(shelf, step.subject, "running")
    if not wound or part.stands is not None or part.span is not None:
        return planned
    try:
        lies = replace(part.reel, wind="heads")
        treated, left = reel.conditioned_at is not None, len(part.left)
        minutes = transfer_minutes(
            lies, deck, shelf.studio, conditioned_in_plan=treated, own=shelf.own_stocks(), left=left
        )
    except ValueError:
        return planned
    return min(planned, Fraction(minutes))


def wind_minutes(shelf: Shelf, step: Step) -> int:
    """Minutes of a slow wind that comes first and stands in no plan; nought where there is none."""
    if not wound_first(shelf, step):
        return 0
    return slow_minutes(shelf.reel(step.subject), shelf.studio, shelf.own_stocks())


def slow_first(shelf: Shelf, step: Step) -> int:
    """Minutes of a slow wind that comes before that step's next pass, be it planned or not."""
    if not wound_first(shelf, step):
        return 0
    return all_slow_minutes(shelf.reel(step.subject), shelf.studio, shelf.own_stocks())


def wound_first(shelf: Shelf, step: Step) -> bool:
    """Whether a transfer's tape is wound before it plays: not one that lies heads out, or stands on the way.

    One of which nobody wrote down how it lies counts as tails out; one that is wound now is not wound again.
    """
    if step.kind != "transfer" or step.subject not in shelf.reels:
        return False
    if slowly_wound(shelf, step.subject, "running"):
        return False
    part, reel = transfer_of(shelf, step), shelf.reel(step.subject)
    return part.stands is None and part.span is None and reel.wind != "heads"


def _to_clean(part: Transfer) -> tuple[str, ...]:
    """Where on the tape a pass is stopped to clean its path; nothing where that is not asked for."""
    stops = part.stands.to_clean if part.stands is not None else ()
    return (f"stop and clean at {listed([clock_text(int(one)) for one in stops])}",) if stops else ()


def _wind(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """Whether the tape is wound before it plays; nothing for one that stands on the way, or plays a part."""
    part, reel = transfer_of(shelf, step), shelf.reel(step.subject)
    if part.again is not None:
        slowly = no_fast_wind(reel, shelf.studio, shelf.own_stocks())
        return (f"wind it to {clock_text(int(part.again))}{', slowly' if slowly else ''}", *_to_clean(part))
    if part.stands is not None or part.span is not None:
        return ()
    if reel.wind == "heads":
        return ("heads out: no wind first",)
    slowly = no_fast_wind(reel, shelf.studio, shelf.own_stocks())
    more = (slowly,) if slowly else ()
    if not reel.wind:
        return ("wind not known: look; if tails out, wind it first", *more)
    either = "; or play it backwards" if may_run_backwards(shelf, step) else ""
    return (f"tails out: wind it first{either}", *more)
