"""How long a tape really ran against what was reckoned, and taking that as its length."""

from __future__ import annotations

from dataclasses import replace

from core.clock import clock_text, minutes_between
from core.errors import Refused
from core.logbook.passes import PlayedPass, played_of
from core.quantities import read_quantity
from core.reels.length import play_seconds
from core.reels.minutes import verify_minutes
from core.shelf import Shelf
from core.standing.of_plan.made_from import taken_in
from core.studio.setup import speed_key
from core.values import dataclass

#: A pass that differs by less from what was reckoned tells nothing new: the key was pressed by hand.
LEAST_SECONDS, LEAST_SHARE = 15.0, 0.01
#: On paper a run's times are written by the minute.
PAPER_SECONDS = 120.0
#: Lengths are told in steps of so many feet; a key at the end of a tape is no finer.
STEP_FEET = 10


@dataclass(frozen=True, slots=True)
class RealLength:
    """A tape that ran ``seconds`` where ``reckoned`` were thought, and the length that this makes."""

    reel: str
    seconds: float
    reckoned: float
    feet: int

    @property
    def words(self) -> str:
        """``it ran 40:40, reckoned 33:20: take 3050 ft?``."""
        ran, thought = clock_text(int(self.seconds)), clock_text(int(self.reckoned))
        return f"it ran {ran}, reckoned {thought}: take {self.feet} ft?"


def real_length(shelf: Shelf, key: str, *, by_paper: bool = False) -> RealLength | None:
    """What the newest whole pass of that tape tells of its length; None where that is nothing new.

    Only a pass from the tape's head to its end tells; one of a part or a span does not, nor one by paper
    unless ``by_paper``: then the times of its runs were told, by the minute.
    """
    reel = shelf.reels.get(key)
    speed = speed_key(reel.speed) if reel is not None else None
    whole = [one for one in played_of(shelf, key) if _whole(one, by_paper=by_paper)]
    if reel is None or not speed or not whole:
        return None
    newest = max(whole, key=lambda one: one.last.stopped or one.last.started)
    last, least = newest.last, PAPER_SECONDS if newest.by_paper else LEAST_SECONDS
    seconds = float(last.to or 0.0)
    if newest.by_paper and last.stopped is not None:
        seconds = last.start + float(minutes_between(last.started, last.stopped)) * 60
    told = play_seconds(reel, shelf.studio)
    reckoned = float(told) if told is not None else 0.0
    if abs(seconds - reckoned) <= max(least, reckoned * LEAST_SHARE):
        return None
    feet = round(seconds * float(speed) / 12 / STEP_FEET) * STEP_FEET
    return RealLength(key, seconds, reckoned, feet) if feet > 0 else None


def take_length(shelf: Shelf, one: RealLength) -> Shelf:
    """The shelf with that length as the reel's own; Refused where a reel of its size cannot hold it.

    The plan goes on resting on it where all of it is played and verifying takes as long as before.
    """
    from core.tape.physics.length import longest_on_reel

    reel = shelf.reel(one.reel)
    if reel.reel_size is not None:
        most = longest_on_reel(reel.reel_size.number)
        if most is not None and one.feet * 12 > most:
            raise Refused(f"{one.feet} ft is more than a {reel.reel_size} reel holds: was the key late?")
    told = replace(reel, length=read_quantity(f"{one.feet} ft", "length"))
    after, studio = shelf.with_reel(told), shelf.studio
    same = reel.past("transferred") and verify_minutes(reel, studio) == verify_minutes(told, studio)
    return taken_in(shelf, after, one.reel) if same else after


def _whole(one: PlayedPass, *, by_paper: bool) -> bool:
    told = one.state == "done" and one.span is None and (by_paper or not one.by_paper)
    return told and one.pieces[0].start == 0.0 and one.last.to is not None
