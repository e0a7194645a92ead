"""A tape that lies on a deck, on both its reels or run out: what is so of it, and what is to be done."""

from __future__ import annotations

from datetime import datetime

from core.clock import clock_text
from core.values import dataclass

ONTO_ONE = "by hand, slowly, onto one reel before it is warmed; where it clings, warm both as they are"
"""What is done with a tape on two reels before a heat: common practice, since half of it would stay cold."""


@dataclass(frozen=True, slots=True)
class LeftLying:
    """A tape that lies on both reels, or ran out: since when, at which second of it, and why.

    ``deck`` is empty where that is not kept; ``goes_on`` is true of one that is played on from there.
    ``barred`` is why it must not run any more, neither on nor back, and ``apart`` where it is laid then;
    ``warm`` is true of one that does not run before it was warmed; ``out`` is how one lies that ran out,
    ``wind`` what became of a slow wind that is not over.
    """

    reel: str
    deck: str
    since: datetime
    seconds: float
    why: str
    goes_on: bool = False
    barred: str = ""
    apart: str = ""
    warm: bool = False
    out: str = ""
    wind: str = ""
    stands: bool = False
    """True of one that lies so since an earlier evening: nothing of it is to be stopped."""

    @property
    def says(self) -> str:
        """What is so and what to do, in one line."""
        if self.out:
            lay = f", and lay it {self.apart}" if self.apart else ""
            ran = f"{self.reel} ran out on {self.deck or 'its deck'} {self.since:%a %H:%M}"
            return f"{ran}: lift it off, {self.out}{lay}"
        on = f"both reels of {self.deck}" if self.deck else "both reels"
        at = f" at {clock_text(int(self.seconds))}"
        where = f", {self.wind} {self.since:%a %H:%M}" if self.wind else at
        stands = f"{self.reel} lies on {on}{where}"
        if self.barred:
            lay = f", and lay them {self.apart}" if self.apart else ""
            return f"{stands}: it must not run any more ({self.barred}): lift both reels off together{lay}"
        if self.warm:
            return f"{stands}: it does not run before it is warmed: lift both reels off together; {ONTO_ONE}"
        if self.wind:
            return f"{stands}: wind it on to its head, as slowly, or lift both reels off together"
        if self.goes_on:
            return f"{stands}: it goes on from there; for anything else lift both reels off together"
        stop = "stop it, and " if self.deck and not self.stands else ""
        return f"{stands} ({self.why}): {stop}wind it back before it plays again"

    @property
    def done(self) -> str:
        """What is so once it is done: ``lifted off`` or ``wound back``."""
        return "lifted off" if self.lifted else "wound to its head" if self.wind else "wound back"

    @property
    def lifted(self) -> bool:
        """Whether both its reels are lifted off as they are: it goes on later, or must not run."""
        return self.goes_on or self.warm or bool(self.barred or self.out)

    @property
    def told_by(self) -> str:
        """How one says that it is done."""
        act = "lifted" if self.lifted else "wound"
        return f"`reelturn tonight {act} {self.reel}` when it is; --because begins all the same"
