"""What the sheets and the tapes leave open about a song: one line each, naming rows, with what would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from core.album.place import SongClock
from core.clock import clock_text
from core.songs.claims import sound_points
from core.songs.parts import Part, track_labels
from core.songs.sheets_open import sheets_open
from core.songs.song import Need
from core.songs.sources.goes_on import halves
from core.songs.sources.weighed import Facts
from core.songs.sources.what_to_use import Choice
from core.words import listed


def open_points(facts: Facts, choice: Choice, parts: Sequence[Part]) -> Iterator[str]:
    """Every open point, those of one reel and kind together."""
    yield from _needed(facts, choice)
    yield from _by_reel(facts, parts)
    yield from (f"{part.called}: {part.lost}" for part in parts if part.lost)
    yield from _several_takes(parts, choice, facts.clock)
    yield from _lapsed(facts, choice)
    mine = [row for row in facts.sheets if row.song == facts.song.key]
    yield from sheets_open(facts, choice)
    yield from _past_the_end(facts)
    yield from _without_paper(facts)
    yield from _same_sound(facts)
    if facts.sounded:
        yield from sound_points(mine, facts.sounded)
    yield from facts.takes
    yield from facts.same_span
    if facts.albums:
        yield facts.albums
    if facts.same_place:
        song = facts.song
        others = ", ".join(facts.same_place)
        yield f"{song.key} and {others} are both number {song.order} of {song.album}: give one another order"


def _needed(facts: Facts, choice: Choice) -> Iterator[str]:
    told = {carrier.reel for carrier in choice.recorded.carriers}
    needed = list(dict.fromkeys(need.reel for need in facts.song.needs))
    if not told:
        where = f"a track sheet of {needed[0]}" if needed else "its needs, then a track sheet of those reels"
        yield f"no sheet tells of a part of {facts.song.key}: write {where}, or place a loose sheet"
        needed = []
    for reel in needed:
        if reel not in told:
            yield f"{reel} is needed, and no sheet row of this song is on it"
    used = {choice.weighed[n].carrier.reel for n in choice.used}
    carry = [
        reel for reel in dict.fromkeys(one.reel for one in choice.recorded.carriers if one.written)
        if reel not in needed and reel in facts.reels
        and (reel in used or facts.reels[reel].role != "mix")  # what was mixed down long ago is not needed
    ]  # fmt: skip
    if carry:
        its = "carry the song by their sheets" if len(carry) > 1 else "carries the song by its sheet"
        them = "them: add them" if len(carry) > 1 else "it: add it"
        yield f"{listed(carry)} {its}, and the song does not need {them} to needs"
    if facts.song.clock_reel and facts.song.span_on(facts.song.clock_reel) is None:
        yield f"the clock is to be {facts.song.clock_reel}'s, which the song does not need: add it to needs"


def _by_reel(facts: Facts, parts: Sequence[Part]) -> Iterator[str]:
    """What is not to hand, once a reel."""
    waiting: dict[str, list[str]] = {}
    failed: dict[str, list[tuple[int, str]]] = {}
    for part in parts:
        for reel in dict.fromkeys(source.reel for source in part.use):
            there = facts.reels.get(reel)
            stage = there.stage if there is not None else ""
            if part.state == "not captured":
                barred = facts.why_barred(there) if there is not None else None
                why = f"{reel} is {stage}, not captured" if not barred else f"{reel} is barred, {barred}"
            elif part.state == "open" and any(one.verdict == "fail" for one in part.use):
                bad = [one.track or 0 for one in part.use if (one.reel, one.verdict) == (reel, "fail")]
                failed.setdefault(reel, []).extend((track, part.called) for track in bad)
                continue
            elif part.state == "open":
                why = f"{reel} is {stage}, its capture is not checked"
            else:
                continue
            waiting.setdefault(why, []).append(part.name)
        if part.state == "only on paper" or (not part.use and part.state in ("open", "only in a mix")):
            why = f"only on paper, {part.why}" if part.state == "only on paper" else part.why
            waiting.setdefault(why, []).append(part.called)
    for reel, mine in failed.items():
        tracks = track_labels(sorted((reel, track) for track, _ in mine))
        yield (
            f"{tracks} failed the check in this song's span, capture {reel} again or choose another track: "
            f"{', '.join(dict.fromkeys(name for _, name in mine))}"
        )
    for why, names in waiting.items():
        yield f"{why}: {', '.join(dict.fromkeys(names))}"


def _in_turn(parts: Sequence[Part], clock: SongClock) -> bool:
    """Whether what is used for these parts sounds one after another."""
    keys = [{(one.reel, one.pass_number or 0) for one in part.use} for part in parts]
    held = [[clock.stretches[key] for key in mine if key in clock.stretches] for mine in keys]
    return all(held) and all(halves(a, b) for one, two in combinations(held, 2) for a in one for b in two)


def _several_takes(parts: Sequence[Part], choice: Choice, clock: SongClock) -> Iterator[str]:
    takes: dict[str, list[Part]] = {}
    for part in parts:
        takes.setdefault(part.name.casefold(), []).append(part)
    for several in takes.values():
        if len(several) > 1 and not any(part.chosen for part in several) and not _in_turn(several, clock):
            told = ", ".join(f"take {part.take or 'not told'} ({part.labels})" for part in several)
            yield f"{several[0].name}: {told}: each is a recording of its own; choose which the mix takes"
    going_on = {(part.name, one.reel) for part in parts for one in part.goes_on}
    for recording, name in choice.recorded.names.items():
        first = dict.fromkeys(
            one.reel
            for one in (choice.weighed[n].carrier for n in choice.holding.get(recording, ()))
            if one.reel and not one.generation and (name, one.reel) not in going_on
        )
        if len(first) < 2:
            continue
        used = [choice.weighed[n].carrier for n in choice.holding[recording] if n in choice.used]
        sides = [one for one in used if one.playings]
        if len({one.reel for one in sides if not one.generation}) > 1:
            tracks = track_labels(sorted((one.reel, track) for one in sides for track in one.tracks))
            yield f"{name}: its sides are on two tapes, {tracks}: of two takes, give each its own"
        else:
            yield (
                f"{name}: {' and '.join(first)} both have it at first hand: where one is a copy write "
                "copied_from, where they are two takes give each its take"
            )


def _lapsed(facts: Facts, choice: Choice) -> Iterator[str]:
    """The owner's choices that do not count any more, each with why."""
    for recording, track in facts.own.items():
        mine = [
            n for n, one in enumerate(choice.weighed)
            if any((row.reel, row.track) == track for row in one.carrier.rows)
        ]  # fmt: skip
        holds = [n for n in mine if any(a.recording == recording for a in choice.weighed[n].carrier.atoms)]
        if any(n in choice.owners for n in holds):
            continue
        name, label = choice.recorded.names.get(recording, recording.part), f"{track[0]}:{track[1]}"
        why = next((choice.weighed[n].never for n in holds or mine if choice.weighed[n].never), "")
        why = why or ("a later choice of yours holds the same" if holds else f"no sheet has {name} there")
        take = f"/{recording.take}" if recording.take else ""
        yield (
            f"your choice {label} for {name} does not count: {why}; "
            f"reelturn use {facts.song.key} '{name}{take}' - lets it go"
        )


def _past_the_end(facts: Facts) -> Iterator[str]:
    for need in facts.song.needs:
        ends, known, instead = _end_of(facts, need)
        if need.end is not None and ends is not None and float(need.end) > ends + 1.0:
            yield (
                f"{need.reel}: the song goes on to {clock_text(need.end)}, and {known} at "
                f"{clock_text(round(ends))}: mend the span in needs, or {instead}"
            )


def _end_of(facts: Facts, need: Need) -> tuple[float | None, str, str]:
    """Where the capture, else the tape, ends; what tells so; and what would do beside another span."""
    check = facts.hearing.check(need.reel, None, need)
    if check is not None:
        ends = facts.hearing.heard(need.reel, next(iter(check.get("tracks", ())), 1), need).ends
        return ends, "the capture ends", "capture the rest"
    reel = facts.reels.get(need.reel)
    most = facts.longest(reel) if reel is not None and need.end is not None else None
    if most is None:
        return None, "", ""
    return float(most[0]), f"the tape (length: {most[1]}) ends", "its length"


def _without_paper(facts: Facts) -> Iterator[str]:
    """Tracks that sound and of which no row of any song on that tape tells, once a tape."""
    for reel in dict.fromkeys(need.reel for need in facts.song.needs):
        rows = {row.track for row in facts.sheets if row.reel == reel}
        check = facts.hearing.check(reel, None, facts.song.span_on(reel)) or {}
        code = {one.get("track") for one in check.get("timecode", ())}
        found = {one.get("track") for one in check.get("findings", ()) if one.get("kind") == "sound"}
        tracks = sorted(track for track in found - rows - code if track is not None)
        if tracks and rows:
            labels = track_labels([(reel, track) for track in tracks])
            yield (
                f"{labels} sound{'s' * (len(tracks) == 1)}, and no sheet row tells of "
                f"{'it' if len(tracks) == 1 else 'them'}: write on the sheet what it is"
            )


def _same_sound(facts: Facts) -> Iterator[str]:
    """Tracks of one tape that its check heard to be the same, or the same opposed, and no sheet says so."""
    for reel in dict.fromkeys(need.reel for need in facts.song.needs):
        rows = {row.track: row for row in facts.sheets if row.reel == reel and row.song == facts.song.key}
        check = facts.hearing.check(reel, None, facts.song.span_on(reel)) or {}
        for found in check.get("findings", ()):
            one, other = rows.get(found.get("track")), rows.get(found.get("other"))
            if found.get("kind") not in ("copy", "polarity") or one is None or other is None:
                continue
            labels = f"{one.label} {one.part} and {other.label} {other.part}"
            if found["kind"] == "polarity":
                yield f"{labels} are the same, opposed: turn one of the two before they are mixed"
            elif not one.copied_from and not other.copied_from:
                yield f"{labels} sound the same, and no sheet says so: where one is a copy write copied_from"
