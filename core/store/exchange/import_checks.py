"""What rows say about one another: needs that no reel answers, chambers that the studio does not have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from core.conditioning.loads.held_then import held_then, lay_then
from core.conditioning.loads.kept_loads import load_of, loads_of
from core.logbook.running import running
from core.reels.by_number import meant
from core.reels.reel import Reel, Segment
from core.shelf import Shelf
from core.store.intake.copies_in_rings import Touched, row_key
from core.store.rows.columns import shown
from core.words import listed

Places = Mapping[tuple[str, str], str]


def wrong_together(shelf: Shelf, places: Places, rows: Touched) -> Iterator[str]:
    """A line for all that does not go together; ``places`` and ``rows`` name the rows of this import."""
    yield from _needs(shelf, places)
    yield from _contradictions(shelf, places)
    yield from _chambers(shelf, places)
    yield from _treatment_hours(shelf, places)
    yield from _segments(shelf, rows)


def _at(places: Places, kind: str, key: str) -> str:
    return places.get((kind, key), f"{kind.rstrip('s')} {key}, on the shelf")


def _needs(shelf: Shelf, places: Places) -> Iterator[str]:
    music = [key for key, reel in shelf.reels.items() if not reel.calibration]
    for song in shelf.songs.values():
        for need in song.needs:
            reel = shelf.reels.get(need.reel)
            if reel is None or reel.calibration:
                what = (
                    "a reel on the shelf or in these files"
                    if reel is None
                    else "a reel to transfer: it calibrates"
                )
                hint = meant(need.reel, music) or ": give the key of a reel that holds the song"
                told = f"column needs: {shown(need.reel)} is not {what}{hint}"
                yield f"{_at(places, 'songs', song.key)}, {told}"


def _contradictions(shelf: Shelf, places: Places) -> Iterator[str]:
    for reel in shelf.reels.values():
        wrong = reel.contradiction()
        if wrong is not None:
            yield f"{_at(places, 'reels', reel.key)}, column {wrong[0]}: {wrong[1]}{_first(shelf, reel)}"


def _first(shelf: Shelf, reel: Reel) -> str:
    """What comes before any typing where the tape runs, or is in the heat, as it is said to be both."""
    tape = running(shelf).get(reel.key)
    if tape is not None:
        where = f" on {tape.deck}" if tape.deck else ""
        return f"; it runs{where}: if you saw {reel.signs[0]}, stop the tape now"
    return f"; if you saw {reel.signs[0]}, take it out of {reel.chamber} now" if reel.chamber else ""


def _chambers(shelf: Shelf, places: Places) -> Iterator[str]:
    known = ", ".join(chamber.id for chamber in shelf.studio.chambers) or "the studio has none"
    for reel in shelf.reels.values():
        if reel.chamber and shelf.studio.chamber(reel.chamber) is None:
            yield (
                f"{_at(places, 'reels', reel.key)}, column chamber: {shown(reel.chamber)} is not a "
                f"chamber of the studio ({known})"
            )
        chamber, told = shelf.studio.chamber(reel.chamber), ("reels", reel.key) in places
        if told and chamber is not None and reel.width is not None and not chamber.takes(reel.width):
            yield (
                f"{_at(places, 'reels', reel.key)}, column width: chamber {chamber.id} takes no "
                f"{reel.width}, and {reel.key} is in it: take it out first"
            )
        if bool(reel.chamber) != (reel.loaded_at is not None):
            missing, given = ("loaded_at", "chamber") if reel.chamber else ("chamber", "loaded_at")
            yield f"{_at(places, 'reels', reel.key)}, column {missing}: is missing: give it with {given}"


def two_loads(before: Shelf, after: Shelf, places: Places) -> Iterator[str]:
    """A line for each tape that is told into a chamber beside the load that runs there, or out of another.

    What was told so before is left alone, and so is what left that load by its log: an old list tells it so.
    """
    for key, reel in after.reels.items():
        was = before.reels.get(key)
        if was is reel or not reel.chamber or reel.loaded_at is None:
            continue
        if was is not None and (was.chamber, was.loaded_at) == (reel.chamber, reel.loaded_at):
            continue
        where = f"{_at(places, 'reels', key)}, column chamber: {shown(reel.chamber)} cannot be"
        if was is not None and was.chamber not in ("", reel.chamber):
            out = f"`chamber {was.chamber} --out {key}`"
            yield f"{where}: it is in {was.chamber}: take it out first, then say so ({out})"
            continue
        tape = running(after).get(key)
        if tape is not None:
            on = f" on {tape.deck}" if tape.deck else ""
            yield f"{where}: it runs{on}: end that first"
            continue
        mine = load_of(after, reel)
        log = loads_of(after).get(mine or "")
        member = log.member(key) if log is not None else None
        chamber = after.studio.chamber(reel.chamber)
        held = held_then(after, chamber, reel.loaded_at, apart=mine or "") if chamber and was else ""
        if held:
            yield f"{where}: {held}: it was not in it then"
        elif lay := lay_then(after, key, reel.loaded_at, apart=mine or ""):
            yield f"{where}: {lay}"
        if member is None or member.out is None:
            yield from (f"{where}: {told}" for told in _beside(after, reel, mine, new=was is None))


def _beside(shelf: Shelf, reel: Reel, load: str | None, *, new: bool) -> Iterator[str]:
    """That another load runs in the chamber of that tape; for a ``new`` one, a load that was logged."""
    others = [one for one in shelf.reels.values() if one.chamber == reel.chamber and one.key != reel.key]
    logged = shelf.of_kind("load")
    for runs in dict.fromkeys(load_of(shelf, one) for one in others):
        if runs is None or runs == load or (new and runs not in logged):
            continue
        since, them = loads_of(shelf)[runs].as_if_from, [one.key for one in others]
        yield (
            f"a load runs in it with {listed(them)}, one at a time: in it since then too, its loaded_at is "
            f"{since:%Y-%m-%dT%H:%M}"
        )


def _treatment_hours(shelf: Shelf, places: Places) -> Iterator[str]:
    grid = shelf.studio.minutes.grid
    for reel in shelf.reels.values():
        if reel.treatment_hours is not None and (reel.treatment_hours.number * 60) % grid:
            yield (
                f"{_at(places, 'reels', reel.key)}, column treatment_hours: "
                f"{shown(reel.treatment_hours.text)} is not a multiple of the grid of {grid} min"
            )


def _segments(shelf: Shelf, rows: Touched) -> Iterator[str]:
    """Of two parts that contradict one another the later is named."""
    by_reel: dict[str, list[tuple[int, Segment]]] = {}
    for numbered in sorted(enumerate(shelf.segments), key=lambda one: (one[1].reel, one[1].start)):
        segment = numbered[1]
        if segment.reel not in shelf.reels:
            yield (
                f"{_row(rows, segment)}, column reel: {shown(segment.reel)} is not a reel on the shelf or in "
                "these files"
            )
        if segment.start >= segment.end:
            yield f"{_row(rows, segment)}, column to: a part ends after it starts"
        before = by_reel.setdefault(segment.reel, [])
        if before and before[-1][1].end > segment.start:
            later = max(before[-1], numbered)[1]
            yield f"{_row(rows, later)}, column from: parts of one tape do not overlap"
        before.append(numbered)


def _row(rows: Touched, segment: Segment) -> str:
    return rows.get(("segments", row_key(segment)), f"segment {segment.reel}, on the shelf")
