"""Line-ups as the shelf keeps them: the sheet for a reel on a deck, records, drift."""

from collections.abc import Mapping
from datetime import datetime

from core.clock import evening_of, write_time
from core.errors import Refused
from core.lineup.calibration import calibration_tape
from core.lineup.drift import Drift, drift
from core.lineup.own_tones import with_own_part
from core.lineup.reach import reach
from core.lineup.record import LineupRecord, When, from_record, to_record
from core.lineup.sheet import Choice, LineupSheet, lineup_sheet
from core.lineup.tolerance import Tolerances, tolerances
from core.lineup.tones import Which
from core.lineup.verdict import turn_first
from core.quantities import read_quantity
from core.reels.assumed import with_setup
from core.shelf import Shelf
from core.studio.setup import Setup, blanks
from core.words import listed


def sheet_for(
    shelf: Shelf,
    deck: str,
    reel: str,
    calibration: str = "",
    *,
    choice: Choice | None = None,
    which: Which = "usual",
) -> LineupSheet:
    """The sheet for lining that deck up to a reel's set-up, the reel's own part behind it.

    `calibration` is the key of a calibration reel, empty for none. Refused, with what is missing, where a
    tape cannot be read for that set-up.
    """
    one = shelf.reel(reel)
    allowed = own_tolerances(shelf)
    try:
        by = shelf.reel(calibration) if calibration else None
        sheet = lineup_sheet(
            deck,
            with_setup(one, shelf.studio).setup,
            one.tracks or 1,
            calibration_tape(by) if by is not None else None,
            which=which,
            choice=choice,
            allowed=allowed,
            reaches=reach(by, [one]),
        )
    except ValueError as error:
        raise Refused(str(error)) from error
    return with_own_part(sheet, one, allowed)


def without_targets(shelf: Shelf, setup: Setup, calibration: str, why: str) -> tuple[Choice, str]:
    """How a deck is lined up where that calibration reel gives no targets for the set-up, and a sentence.

    By the tones of a reel of that set-up where one has any; else as it stands.
    """
    served = (one for one in shelf.reels.values() if with_setup(one, shelf.studio).setup.key == setup.key)
    tones = any(one.tones.strip() for one in served)
    blank = blanks(setup.words())
    if blank:
        why = (
            f"nothing tells its {listed(blank)}: read the tones of {calibration}, write them down, "
            "turn nothing but azimuth by them"
        )
    return ("by the reel's own tones" if tones else "as it stands"), f"No targets: {why}"


def setup_of_words(shelf: Shelf, told: Mapping[str, str]) -> Setup:
    """The set-up that kept words mean: that of a reel which says the same, else read from the words."""
    for reel in shelf.reels.values():
        if reel.setup.words() == dict(told):
            return reel.setup
    try:
        speed = read_quantity(told.get("speed", ""), "speed")
        level = read_quantity(told["level"], "flux") if told.get("level") else None
    except ValueError:
        return Setup(None, told.get("eq", ""), None, told.get("noise_reduction", ""))
    return Setup(speed, told.get("eq", ""), level, told.get("noise_reduction", ""))


def sheet_of(shelf: Shelf, record: LineupRecord) -> LineupSheet:
    """The sheet that a kept line-up was read from: its set-up, its tape, all the tones that were read.

    Without targets, by the reel's own tones, where the tape is not on the shelf or cannot be read any more.
    """
    allowed, setup = own_tolerances(shelf), setup_of_words(shelf, record.setup)
    reel, tape = shelf.reels.get(record.reel), shelf.reels.get(record.calibration)
    tracks = max(
        (one.track for one in record.readings), default=(reel.tracks if reel is not None else None) or 1
    )
    tracks = max(tracks, (reel.tracks if reel is not None else None) or 1)
    many = any(one.line.startswith("response-") for one in record.readings)
    which: Which = "many frequencies" if many else "usual"
    try:
        read = calibration_tape(tape) if tape is not None and record.choice == "calibration tape" else None
        choice = record.choice if read is not None or record.choice != "calibration tape" else None
        made = lineup_sheet(
            record.deck, setup, tracks, read, which=which, choice=choice, allowed=allowed,
            reaches=reach(tape, [reel]) if reel is not None and record.readings else None,
        )  # fmt: skip
    except ValueError:
        made = lineup_sheet(record.deck, setup, tracks, None, choice="by the reel's own tones")
    return made if reel is None else with_own_part(made, reel, allowed)


def own_tolerances(shelf: Shelf) -> Tolerances:
    """Tolerances with the owner's own figures."""
    return tolerances(shelf.chosen.numbers("lineup."))


def keep(shelf: Shelf, record: LineupRecord) -> Shelf:
    """The shelf with that line-up kept, in place of one of the same deck and moment."""
    return shelf.with_record("lineup", f"{record.deck} {write_time(record.at)}", to_record(record))


def lineups_of(shelf: Shelf) -> tuple[LineupRecord, ...]:
    """Every line-up kept, oldest first; a record that is none is passed over."""
    found = []
    for record in shelf.of_kind("lineup").values():
        try:
            found.append(from_record(record))
        except (KeyError, TypeError, ValueError, AttributeError):
            continue
    return tuple(sorted(found, key=lambda one: one.at))


def still_off(shelf: Shelf, deck: str, at: datetime) -> str:
    """What that deck's newest sheet of this evening leaves to be turned; empty where nothing was read too."""
    zone = shelf.studio.zone
    tonight = evening_of(at.astimezone(zone))
    mine = [
        one
        for one in lineups_of(shelf)
        if one.deck == deck and evening_of(one.at.astimezone(zone)) == tonight
    ]
    if not mine or not mine[-1].readings:
        return ""
    when: When = "after" if any(one.when == "after" for one in mine[-1].readings) else "before"
    off = next(iter(turn_first(sheet_of(shelf, mine[-1]), mine[-1], when, own_tolerances(shelf))), "")
    return f"{off}; nothing was read as left" if off and when == "before" else off


def drift_since_last(shelf: Shelf, record: LineupRecord) -> tuple[Drift, ...]:
    """What has moved since the deck was last lined up to that set-up."""
    return drift(record, lineups_of(shelf), own_tolerances(shelf))
