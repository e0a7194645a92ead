"""Loose sheets and their proposals as lines of text."""

from __future__ import annotations

from collections.abc import Iterator

from core.sheets.papers import Stretch
from core.sheets.proposals import Papers, Proposal
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
    """A stretch without a sheet: ``K-106 0:04-3:12, 15 tracks sound``."""
    sound = f", {counted(len(place.sounding), 'track')} sound" if place.heard else ", not captured"
    return f"{place.label}{sound}{', ' + ', '.join(place.songs) if place.songs else ''}"


def papers_lines(found: Papers) -> Iterator[str]:
    """Every loose sheet with its proposal and the evidence; then the stretches without a sheet."""
    yield papers_head(found)
    for one in found.proposals:
        yield f"  {one.paper.key:<8} {one.paper.words}: {choice_words(one)}, {one.sure} ({one.margin:.1f})"
        yield f"           {because_words(one.because)}"
        for place, why in one.others:
            yield f"           else {place.label}: {because_words(why)}"
    for paper in found.of_no_tape:
        yield f"  {paper.key:<8} {paper.words}: of no tape we have"
    for paper, reel in found.elsewhere:
        yield f"  {paper.key:<8} {paper.words}: of {reel}, which is not on the shelf"
    sounding = [place for place in found.bare if place.heard]
    yield f"{counted(len(sounding), 'stretch', 'stretches')} that sound without a sheet"
    for place in sounding:
        yield f"  {stretch_words(place)}"
    if len(sounding) < len(found.bare):
        yield f"  {counted(len(found.bare) - len(sounding), 'place')} on tapes not captured yet"
    for line in found.lost:
        yield f"  open: {line}"
