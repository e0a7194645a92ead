"""What the sheets and the tapes leave open about a song: one line each, naming rows, with what would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.clock import clock_text
from core.songs.claims import sound_points
from core.songs.copies import Tracks, copied_tracks, copies_that_cannot_be, row_words
from core.songs.dates import certainly_before, several_dates
from core.songs.part_names import folded, folded_take, is_timecode, likely_equal
from core.songs.parts import Part, track_labels
from core.songs.song import Need, SheetRow
from core.songs.weighing import Facts
from core.songs.what_to_use import Choice
from core.words import listed

_MOST_ALIKE = 8


def open_points(facts: Facts, choice: Choice, parts: Sequence[Part]) -> Iterator[str]:
    """Every open point, those of one reel and kind together."""
    yield from _needed(facts, choice)
    yield from _by_reel(facts, parts)
    yield from (f"{part.called}: {part.lost}" for part in parts if part.lost)
    yield from _several_takes(parts, choice)
    yield from _no_song(facts)
    for row in choice.recorded.nameless:
        yield f"{row_words(row)}: nobody named the part: write it on the sheet"
    mine = [row for row in facts.sheets if row.song == facts.song.key]
    for _, words in copies_that_cannot_be(mine, facts.reels):
        yield words
    yield from _told_twice(mine)
    yield from _sources_elsewhere(facts)
    yield from _older_copies(facts)
    yield from _past_the_end(facts)
    yield from _alike(facts)
    yield from _without_paper(facts)
    yield from _same_sound(facts)
    if facts.sounded:
        yield from sound_points(mine, facts.sounded)
    yield from facts.takes
    yield from facts.same_span
    yield from _several_dates(mine)
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
        reel for reel in dict.fromkeys(one.reel for one in choice.recorded.carriers)
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


def _several_takes(parts: Sequence[Part], choice: Choice) -> Iterator[str]:
    takes: dict[str, list[Part]] = {}
    for part in parts:
        takes.setdefault(part.name.casefold(), []).append(part)
    for several in takes.values():
        if len(several) > 1 and not any(part.chosen for part in several):
            told = ", ".join(f"take {part.take or 'not told'} ({part.labels})" for part in several)
            yield f"{several[0].name}: {told}: each is a recording of its own; choose which the mix takes"
    for recording, name in choice.recorded.names.items():
        first = dict.fromkeys(
            one.reel
            for one in (choice.weighed[n].carrier for n in choice.holding.get(recording, ()))
            if one.reel and not one.generation
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


def _no_song(facts: Facts) -> Iterator[str]:
    """Sheets of the song's tapes that name no song, once a sheet: what they tell is on no parts list."""
    needed = {need.reel for need in facts.song.needs}
    sheets: dict[str, list[SheetRow]] = {}
    for row in facts.sheets:
        if not row.song and row.reel in needed and row.part.strip() and not is_timecode(row.part):
            sheets.setdefault(row.sheet, []).append(row)
    for sheet, rows in sheets.items():
        parts = ", ".join(dict.fromkeys(" ".join(row.part.split()) for row in rows))
        yield (
            f"sheet {sheet} on {rows[0].reel} names no song ({parts}): where it is this one, "
            f"reelturn set {sheet} song={facts.song.key}"
        )


def _told_twice(rows: Sequence[SheetRow]) -> Iterator[str]:
    """Tracks of which two sheets tell different things: one track sounds one thing."""
    by_track: dict[tuple[str, int], list[SheetRow]] = {}
    for row in rows:
        if row.reel and row.track is not None and not row.recorded_over:
            by_track.setdefault((row.reel, row.track), []).append(row)
    for (reel, track), told in by_track.items():
        says = {
            (folded(row.part), folded_take(row.take), row.copied_from.replace(" ", "")): row for row in told
        }
        if len({row.sheet for row in told}) > 1 and len(says) > 1:
            what = "; ".join(
                f"sheet {row.sheet}: {row.part or 'not named'}"
                + (f", take {row.take}" if row.take else "")
                + (f", copied from {row.copied_from}" if row.copied_from else "")
                for row in says.values()
            )
            yield f"{reel}:{track} is told in two ways ({what}): mend the sheet that is wrong"


def _sources_elsewhere(facts: Facts) -> Iterator[str]:
    """Copies of tapes that are not on the shelf, once a tape."""
    rows: dict[str, list[str]] = {}
    for row in facts.sheets:
        if row.song == facts.song.key:
            for reel, _ in copied_tracks(row.copied_from):
                if reel not in facts.reels:
                    rows.setdefault(reel, []).append(row.label)
    for reel, labels in rows.items():
        yield f"{', '.join(dict.fromkeys(labels))}: copied from {reel}, which is not on the shelf"


def _older_copies(facts: Facts) -> Iterator[str]:
    tracks = Tracks(facts.sheets)
    told: set[tuple[str, str]] = set()
    for row in facts.sheets:
        if row.song != facts.song.key or not row.date or not row.copied_from:
            continue
        for found in tracks.sources(row).values():
            for source in found:
                pair = (row.sheet, source.sheet)
                if source.date and pair not in told and certainly_before(row.date, source.date):
                    told.add(pair)
                    yield (
                        f"{row_words(row)} of {row.date} is a copy of {row_words(source)} of {source.date}: "
                        "a copy is not older than its source, mend a date or copied_from"
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


def _several_dates(rows: Sequence[SheetRow]) -> Iterator[str]:
    """Sheets whose rows tell several dates."""
    sheets: dict[str, dict[str, None]] = {}
    for row in rows:
        if row.date.strip():
            sheets.setdefault(row.sheet, {})[" ".join(row.date.split())] = None
    for sheet, dates in sheets.items():
        if len(dates) > 1:
            yield several_dates(sheet, tuple(dates))


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


def _alike(facts: Facts) -> Iterator[str]:
    """Names that may be one part: of different sheets, since two names on one sheet are two parts."""
    rows = [
        row for row in facts.sheets if row.song == facts.song.key and row.part.strip() and not row.copied_from
    ]
    sheets: dict[str, set[str]] = {}
    for row in rows:
        sheets.setdefault(" ".join(row.part.split()), set()).add(row.sheet)
    found = list(likely_equal(sheets, facts.equals))
    for one, other in found[:_MOST_ALIKE]:
        yield f"{one!r} and {other!r} may be one part: reelturn use {facts.song.key} --same says so"
    if len(found) > _MOST_ALIKE:
        yield f"{len(found) - _MOST_ALIKE} more pairs of names may be one part each: mend these first"
