"""What the shelf knows that a capture is held against, handed over as plain facts."""

from __future__ import annotations

from core.capture.weighing.facts import EarlierPass, ReelFacts, StudioFacts, TimedNote
from core.logbook.passes import noted
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.kept_checks import checks_of
from core.standing.left_to_play import transfers
from core.standing.pass_length import expected_length
from core.studio.studio import Studio


def reel_facts(shelf: Shelf, key: str, pass_number: int = 1) -> ReelFacts:
    """One reel as far as a capture of that pass can be held against it; Refused if there is no such reel."""
    reel = shelf.reel(key)
    expected, length_from = expected_length(shelf, reel, pass_number)
    part = next((one for one in transfers(shelf, reel) if pass_number in one.numbers and one.span), None)
    speed = part.reel.speed if part is not None else reel.speed
    rows = shelf.sheets_of(key)
    parts: dict[int, list[str]] = {}
    for row in rows:
        if row.track is not None and row.part.strip():
            parts.setdefault(row.track, []).append(row.part.strip())
    return ReelFacts(
        key=key,
        tracks=reel.tracks,
        speed_ips=float(speed.number) if speed else None,
        width_inches=float(reel.width.number) if reel.width else None,
        pack_inches=_pack(reel),
        expected_seconds=expected,
        length_from=length_from,
        sheet={track: " / ".join(dict.fromkeys(names)) for track, names in parts.items()},
        has_sheet=bool(rows),
        timecode_track=reel.timecode_track,
        timecode_rate=reel.timecode_rate or None,
        notes=tuple(_notes(shelf, key, pass_number)),
        earlier=_earlier(shelf, key, pass_number),
    )


def _pack(reel: Reel) -> tuple[float, float] | None:
    """Between which diameters the pack lies: a hub that is told may be no more than its hole."""
    if reel.reel_size is None:
        return None
    wide = float(reel.reel_size.number)
    narrow = 1.75 if wide < 7 else 2.25
    return (narrow, wide) if wide > narrow else None


def studio_facts(studio: Studio) -> StudioFacts:
    """The studio's capture set-up."""
    capture = studio.capture
    if capture is None:
        return StudioFacts()
    rate = round(capture.sample_rate.number)
    return StudioFacts(rate, capture.bit_depth, capture.inputs, capture.guide_tracks, capture.file_names)


def _notes(shelf: Shelf, key: str, pass_number: int) -> list[TimedNote]:
    notes = noted(shelf).values()
    mine = (note for note in notes if (note.reel, note.number) == (key, pass_number))
    return [TimedNote(note.seconds, note.told) for note in mine]


def _earlier(shelf: Shelf, key: str, pass_number: int) -> tuple[EarlierPass, ...]:
    """The first pass of the reel that was checked, for a later one to be laid to by the guide tracks."""
    before = {number: check for number, check in checks_of(shelf, key).items() if number < pass_number}
    if not before:
        return ()
    number, check = min(before.items())
    files = tuple(str(file["path"]) for file in check.get("files", ()))
    return (EarlierPass(number, tuple(int(track) for track in check.get("tracks", ())), files),)
