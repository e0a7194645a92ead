"""What-ifs as a table: the change, the score with it, what it saves, reels more, songs sooner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from textwrap import wrap
from typing import TYPE_CHECKING

from core.planning.answers.whatif import days_of
from core.words import counted, day_text

if TYPE_CHECKING:
    from core.plan import Plan
    from core.planning.answers.whatif import WhatIf
    from core.shelf import Shelf


def supposed_lines(shelf: Shelf, tried: Sequence[WhatIf], width: int = 78) -> Iterator[str]:
    """A heading, then for each change a line of figures and below it the songs that it brings forward."""
    name = min(max([len(one.name) for one in tried] + [8]), width - 30)
    yield f"{'change':<{name}}  {'score':>9}  {'less by':>8}  {'reels':>6}"
    if tried:
        yield f"{'as it is':<{name}}  {tried[0].plan.score + tried[0].saved:>9.1f}"
    for one in tried:
        count = len(one.no_longer_left) - len(one.now_left)
        more = f"{abs(count)} {'more' if count > 0 else 'less'}" if count else "same"
        yield f"{one.name:<{name}}  {one.plan.score:>9.1f}  {one.saved:>8.1f}  {more:>6}"
        yield from (f"    {line}" for line in wrap(reels, width - 4)) if (reels := reels_in_out(one)) else ()
        songs = songs_sooner(shelf, one)
        yield from (f"    {line}" for line in wrap(songs, width - 4)) if songs else ()


def reels_in_out(one: WhatIf) -> str:
    """``in: R-009 and R-011; out: R-004``: reels that find a place with the change, and that lose theirs."""
    told = (("in", one.no_longer_left), ("out", one.now_left))
    return "; ".join(f"{word}: {', '.join(reels)}" for word, reels in told if reels)


def songs_sooner(shelf: Shelf, one: WhatIf) -> str:
    """``Low Tide 3 days, Marram 2 h sooner; Lanterns ready too; Shingle not ready any more``."""
    sooner = ", ".join(f"{_title(shelf, song)} {gain_words(gain)}" for song, gain in one.sooner)
    ready = ", ".join(_title(shelf, song) for song in one.now_ready)
    lost = ", ".join(_title(shelf, song) for song in one.not_ready)
    told = [f"{sooner} sooner" if sooner else "", f"{ready} ready too" if ready else ""]
    told += [f"{lost} not ready any more"] if lost else []
    return "; ".join(part for part in told if part)


def gain_words(gain: timedelta) -> str:
    """A gain in days where it is half a day or more, else in hours or minutes."""
    days = days_of(gain)
    if days:
        return counted(days, "day")
    minutes = round(gain / timedelta(minutes=1))
    return f"{minutes / 60:.0f} h" if minutes >= 60 else f"{minutes} min"


def _title(shelf: Shelf, key: str) -> str:
    song = shelf.songs.get(key)
    return (song.title if song else "") or key


def song_moved(new: Plan, was: datetime | None, now: datetime | None) -> str:
    """How another plan moves a song, in words; empty where it is not moved, or ready as the new one begins.

    What is ready before the new plan begins was made so by work, and is no news of that plan.
    """
    if was == now or (now is not None and now <= new.start):
        return ""
    if now is None:
        return "not ready any more"
    if was is None:
        return "ready too"
    return f"{gain_words(abs(was - now))} {'sooner' if now < was else 'later'}"


def songs_compared(shelf: Shelf, kept: Plan, new: Plan) -> list[str]:
    """A line for each song whose time another plan moves: ``Low Tide: 2 days later, Wed 9 Dec``."""
    then = {one.song: one.ready for one in kept.songs}
    out = []
    for one in new.songs:
        how = song_moved(new, then.get(one.song), one.ready)
        when = f", {day_text(one.ready.date())}" if one.ready is not None and how != "ready" else ""
        out += [f"{_title(shelf, one.song)}: {how}{when}"] if how else []
    return out
