"""Loose sheets and their proposals as lines of text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.clock import clock_text
from core.sheets.papers import Paper
from core.sheets.places import PLACES
from core.sheets.proposals import Papers, Placed, Proposal
from core.sheets.stretch import Stretch
from core.shelf import Shelf
from core.standing.of_songs.other_takes import OtherTake
from core.words import counted


def papers_head(found: Papers) -> str:
    """``4 loose sheets, decided together: 1 sure, 2 likely, 1 open``."""
    tally = {word: sum(one.sure == word for one in found.proposals) for word in ("sure", "likely", "open")}
    told = ", ".join(f"{many} {word}" for word, many in tally.items() if many)
    count = counted(len(found.proposals), "loose sheet")
    return f"{count}, decided together: {told}" if told else count


def choice_words(one: Proposal) -> str:
    """The place that is proposed, or where an open one lies between: ``K-110 or K-107``."""
    if one.choice is None:
        return "none of the tapes" if one.sure != "open" else "none, or not told"
    if one.sure == "open" and one.others:
        return f"{one.choice.label} or {one.others[0][0].label}"
    return one.choice.label


def because_words(because: tuple[str, ...]) -> str:
    """The evidence in one sentence."""
    return "; ".join(because) or "nothing is known of either"


def stretch_words(place: Stretch) -> str:
    """A stretch without a sheet: ``K-106 0:04-3:12, 3:08 long, 15 tracks sound``."""
    long = f", {clock_text(round(place.seconds))} long" if place.seconds is not None else ""
    sound = f", {counted(len(place.sounding), 'track')} sound" if place.heard else ", not captured"
    return f"{place.label}{long}{sound}{', ' + ', '.join(place.songs) if place.songs else ''}"


def papers_lines(found: Papers) -> Iterator[str]:
    """Every loose sheet with its proposal and the evidence; then the stretches without a sheet."""
    yield papers_head(found)
    for one in found.proposals:
        yield f"  {one.paper.key:<8} {one.paper.words}: {choice_words(one)}, {one.sure} ({one.margin:.1f})"
        yield f"           {because_words(one.because)}"
        for place, why in one.others:
            yield f"           else {place.label}: {because_words(why)}"
    for placed in found.placed:
        because = f" ({placed.because})" if placed.because else ""
        yield f"  {placed.sheet:<8} {placed.words}, as you decided{because}"
    for paper in found.of_no_tape:
        yield f"  {paper.key:<8} {paper.words}: of no tape we have"
    for paper, reel in found.elsewhere:
        yield f"  {paper.key:<8} {paper.words}: of {reel}, which is not on the shelf"
    sounding = [place for place in found.bare if place.heard]
    yield f"{counted(len(sounding), 'stretch', 'stretches')} that sound without a sheet"
    for place in sounding:
        yield f"  {stretch_words(place)}" + (f"; {place.take}" if place.take else "")
    if found.unspanned:
        yield f"{counted(len(found.unspanned), 'stretch', 'stretches')} of which no song has its span"
    for place in found.unspanned:
        yield f"  {stretch_words(place)}" + (f"; {place.take}" if place.take else "")
    if len(sounding) < len(found.bare):
        yield f"  {counted(len(found.bare) - len(sounding), 'place')} on tapes not captured yet"
    for line in (*found.contradictions, *found.lost):
        yield f"  open: {line}"


def sheet_lines(shelf: Shelf, paper: Paper) -> Iterator[tuple[str, str]]:
    """One sheet as lines with their roles: where it belongs, its box, its date as read, and its rows."""
    kept = shelf.of_kind(PLACES).get(paper.key) or {}
    reel = next((row.reel for row in paper.rows if row.reel), "")
    if reel and kept.get("reel") == reel:
        where = f"{Placed.of(paper.key, kept).words}, as you decided"
    elif reel:
        where = f"belongs to {reel}" + ("" if reel in shelf.reels else ", which is not on the shelf")
    else:
        where = "of no tape we have" if kept.get("none") else "loose"
    yield "head", f"{paper.key} {paper.words}: {where}"
    if kept.get("because"):
        yield "dim", f"because: {kept['because']}"
    if paper.found_in:
        yield "dim", f"found in the box of {paper.found_in}"
    if paper.date:
        read = " or ".join(one.edtf for one in paper.dates)
        yield (
            "dim",
            f"dated {paper.date}, " + (f"read as {read}" if read else "which is no date that we can read"),
        )
    if paper.contradicts:
        yield "next", f"open: {paper.contradicts}"
    for row in paper.rows:
        song = row.song if len(paper.songs) > 1 else ""
        words = (row.part or "(not named)", song, row.player, f"take {row.take}" if row.take else "",
                 f"from {row.copied_from}" if row.copied_from else "",
                 "recorded over" if row.recorded_over else "", row.notes)  # fmt: skip
        yield "word", f"{row.track or '?':>3}  {', '.join(word for word in words if word)}"


def takes_lines(found: Sequence[OtherTake], stretches: int, songs: int, shelf: Shelf) -> Iterator[str]:
    """What sounds like a song though no sheet tells of it; last how much was held against how much."""
    yield from (f"{one.label} {one.words(shelf.songs.get(one.song))}" for one in found)
    if not stretches:
        yield "of every stretch that sounds the song is told: nothing was left to hold against the songs"
    elif not songs:
        yield "no song is captured yet: nothing to hold the stretches against"
    else:
        bare = counted(stretches, "stretch", "stretches")
        like = f"{len(found)} sound{'' if len(found) != 1 else 's'} like one"
        yield f"{bare} of no known song, {counted(songs, 'captured song')}: {like}"
