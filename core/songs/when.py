"""When a song will be there: planned, chance and promised, and the one wording of them for every face."""

from __future__ import annotations

from datetime import UTC, datetime
from math import floor

from core.clock import evening_of
from core.songs.readiness import Readiness, State
from core.values import dataclass
from core.words import day_text


@dataclass(frozen=True, slots=True)
class SongDate:
    """A song's state now, and its dates by the kept plan.

    ``planned`` is when its last reel is verified by the plan; ``chance`` (0 to 1) the share of the simulated
    evenings by which it is there on that evening; ``promised`` the earliest time that holds in four of five.
    None: not in the plan, not simulated, nothing holds. Chance is 0.8 or more exactly where promised is no
    later than planned. ``kept`` is false where no plan is kept; ``over`` true where the evening is past.
    """

    told: Readiness
    planned: datetime | None = None
    chance: float | None = None
    promised: datetime | None = None
    kept: bool = True
    over: bool = False

    @property
    def state(self) -> State:
        """Ready, waiting, barred, or no reels."""
        return self.told.state

    @property
    def waits_for(self) -> tuple[str, ...]:
        """The reels that it waits for now."""
        return self.told.waits_for

    @property
    def ahead(self) -> bool:
        """True where it waits and the plan has it on an evening that is not over."""
        return self.state == "waiting" and self.planned is not None and not self.over

    @property
    def words(self) -> str:
        """What every face says of it: ``planned Thu 3 Dec, 24 in 100; promised Sun 6 Dec``.

        Where the planned evening is promised too, it is not said twice.
        """
        if self.state != "waiting":
            return self.state
        if self.planned is None:
            return "not in this plan" if self.kept else "not planned yet"
        day = day_text(evening_of(self.planned))
        if self.over:
            return f"was planned {day}"
        words = f"planned {day}" + ("" if self.chance is None else f", {in_hundred(self.chance)}")
        if self.promised is None:
            return words if self.chance is None else f"{words}; nothing promised"
        promised = day_text(evening_of(self.promised))
        return words if promised == day else f"{words}; promised {promised}"


def song_line(date: SongDate) -> str:
    """``Eel Weir: planned Thu 3 Dec, 24 in 100; promised Sun 6 Dec``; else what it waits for."""
    song, waits = date.told.song, ""
    if date.waits_for and not date.ahead:
        waits = f"; waits for {', '.join(date.waits_for)}"
    return f"{song.title or song.key}: {date.words}{waits}"


def soonest(date: SongDate) -> tuple[bool, str, str]:
    """A key that sorts songs by their planned time, those without one last."""
    planned = "" if date.planned is None else date.planned.astimezone(UTC).isoformat()
    return date.planned is None, planned, date.told.song.key


def in_hundred(chance: float) -> str:
    """``24 in 100``; rounded down, so that 80 stands only where four of five hold."""
    return f"{floor(chance * 100 + 1e-9)} in 100"


def song_date(
    told: Readiness,
    planned: datetime | None,
    chance: float | None,
    promised: datetime | None,
    now: datetime,
    *,
    kept: bool = True,
) -> SongDate:
    """The song's dates at ``now``: what is there has none to come, what is past is promised no more."""
    if told.state != "waiting":
        return SongDate(told, kept=kept)
    if planned is not None and evening_of(planned) < evening_of(now):
        still = promised if promised is not None and promised > now else None
        return SongDate(told, planned, 0.0, still, kept, over=True)
    return SongDate(told, planned, chance, promised, kept)
