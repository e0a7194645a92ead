"""Why a track is used and not another, in words: how it was made, its places, the runner-up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.reels.reel import STAGES
from core.songs.heard import Heard
from core.songs.song import SheetRow
from core.songs.sources.weighed import Weighed
from core.words import listed, often


def on_paper_words(one: Weighed) -> str:
    """Why a track that a sheet tells of cannot be had."""
    row = one.carrier.rows[0]
    return f"{_named(one)}: {one.never}" if row.reel else f"loose sheet {row.sheet} alone tells of it"


def _named(one: Weighed) -> str:
    return one.carrier.label if one.carrier.reel else one.carrier.rows[0].label


def made_words(weighed: Sequence[Weighed]) -> str:
    """``first recording``, or how often it was copied."""
    copied = max(one.carrier.generation for one in weighed)
    if not copied:
        on_paper = all(one.carrier.written for one in weighed)
        return "first recording" if on_paper else "first recording, told by its copy alone: no sheet has it"
    unknown = any("?" in row.copied_from for one in weighed for row in one.carrier.rows)
    times = often(copied)
    return f"copied at least {times}, from what is not known" if unknown else f"copied {times}"


def found_words(weighed: Sequence[Weighed], rest: Sequence[Weighed]) -> Iterator[str]:
    """Places that the check tells of in the span, and a source that is clean there."""
    rows: list[tuple[SheetRow, Heard]] = [
        both for source in weighed for both in zip(source.carrier.rows, source.heard, strict=True)
    ]
    places = [(row, place) for row, heard in rows for place in heard.places]
    if not places:
        return
    row, (kind, start, _) = places[0]
    on = f" on {row.label}" if len(rows) > 1 else ""
    more = f" and {len(places) - 1} more" if len(places) > 1 else ""
    clean = next((one for one in rest if _mends(one, weighed)), None)
    mend = f", which {clean.carrier.label} has not: it can be mended from there" if clean else ""
    yield f"{kind}{on} at {int(start // 60)}:{start % 60:04.1f}{more}{mend}"


def _mends(one: Weighed, weighed: Sequence[Weighed]) -> bool:
    """True for a source that passed and holds the same playing and nothing else."""
    held = {atom.recording for used in weighed for atom in used.carrier.atoms}
    played = frozenset().union(*(used.carrier.playings for used in weighed))
    return (
        not one.never and not one.is_mix and one.verdict == "pass"
        and {atom.recording for atom in one.carrier.atoms} <= held and one.carrier.playings <= played
    )  # fmt: skip


def compared_words(weighed: Sequence[Weighed], other: Weighed, lost: Sequence[str]) -> str:
    """The runner-up beside what is used; ``lost`` are recordings that could not be had with it."""
    label = other.carrier.label
    if other.is_mix:
        return f"it may be in the mix {label} too" if other.carrier.of_unknown else f"in the mix {label} too"
    if other.carrier.in_doubt:
        return other.last
    copied = max(one.carrier.generation for one in weighed)
    gone = f"with {label} in its place {listed(lost)} could not be had" if lost else ""
    many = len({atom.recording for atom in other.carrier.atoms})
    if other.carrier.generation > copied:
        more = f"a bounce of {many} recordings, copied {often(other.carrier.generation)}"
        return f"{label} is {more if many > 1 else 'a later copy'}" + (f", and {gone}" if gone else "")
    in_one = f"{label} holds {many} recordings in one"
    alone = all(len({atom.recording for atom in one.carrier.atoms}) == 1 for one in weighed)
    return gone or (in_one if many > 1 and alone else _one_better(weighed, other))


def _one_better(weighed: Sequence[Weighed], other: Weighed) -> str:
    """What tells two apart that are as often copied."""
    label = other.carrier.label
    mine, theirs = (one.verdict or "nothing yet" for one in (max(weighed, key=lambda w: w.cost), other))
    if mine != theirs:
        return f"its check says {mine}, that of {label} {theirs}"
    stages = [one.stage for one in weighed]
    if other.stage in STAGES and all(one in STAGES for one in stages):
        least = min(stages, key=STAGES.index)
        if least != other.stage:
            return f"it is {least}, {label} is {other.stage}"
    return f"{label} is as good by what is known"
