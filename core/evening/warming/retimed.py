"""What a change of the studio does to loads that run: said at once, since tape is in the heat by then."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.clock import Span, clipped, later
from core.conditioning.loads.kept_loads import loads_of, running_load
from core.shelf import Shelf
from core.studio.opening import opening
from core.studio.studio import Chamber
from core.words import day_text


def retimed(before: Shelf, after: Shelf) -> Iterator[str]:
    """A sentence for every reel in a chamber that comes out at another time, and for other turns."""
    for chamber in before.studio.chambers:
        key, now = running_load(before, chamber.id), after.studio.chamber(chamber.id)
        if key is None or now is None:
            continue
        was, log = loads_of(before)[key], loads_of(after)[key]
        for member in log.members:
            old = was.member(member.reel)
            first, out = was.planned_out(old) if old is not None else None, log.planned_out(member)
            if member.out is None and first is not None and out is not None and first != out:
                yield f"{member.reel}, in {chamber.id} now, comes out {_when(after, now, out, first)}"
        if now.turn_every.number != chamber.turn_every.number:
            yield f"the load in {chamber.id} now is turned every {now.turn_every} from here on"


def _when(shelf: Shelf, chamber: Chamber, out: datetime, first: datetime) -> str:
    touch = Span(out, later(out, minutes=max(chamber.touch_minutes, 1)))
    home = clipped(opening(shelf.studio, "home", touch.start, touch.end), touch.start, touch.end)
    alone = "" if touch in home else ", and by the hours nobody is home then"
    here = shelf.studio.zone
    there, then = out.astimezone(here), first.astimezone(here)
    return f"{day_text(there.date())} {there:%H:%M} in place of {then:%H:%M}{alone}"
