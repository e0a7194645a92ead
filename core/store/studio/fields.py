"""The studio's file as one table of fields: reading, writing, the page and the first file all go by it.

A field says under which key it stands, how it is read, what is told of its owner, and what a person should
know of it. ``tell`` gives None where nothing is to be written.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from core.quantities import Kind, Quantity, plain
from core.store.studio import readers
from core.store.studio.toml_part import MISSING, Part
from core.studio.setup import Setup
from core.studio.studio import Comfort, Minutes
from core.values import dataclass

Read = Callable[[Part], Any]
Tell = Callable[[Any], object]


@dataclass(frozen=True, slots=True)
class Field:
    """One key of one table: what reads it, what is told of its owner, what it says, its default in words."""

    key: str
    attribute: str
    read: Read
    tell: Tell
    says: str
    default: str = ""


def toml_value(value: object) -> object:
    """A value as a plain TOML value: quantities as typed, exact numbers the short way."""
    if isinstance(value, Quantity):
        return value.text
    if isinstance(value, Fraction):
        return value.numerator if value.denominator == 1 else float(value)
    return value


def _field(
    key: str, read: Read, says: str, default: str = "", *, attribute: str = "", silent: object = None,
    write: Tell = toml_value,
) -> Field:  # fmt: skip
    name = attribute or key

    def tell(owner: object) -> object:
        value = getattr(owner, name)
        return None if value is None or value == silent else write(value)

    return Field(key, name, read, tell, says, default)


def _name(key: str, right: str, says: str) -> Field:
    return _field(key, lambda part: part.name(key, right), says)


def _text(key: str, right: str, says: str, default: str = "none", *, silent: object = None) -> Field:
    return _field(key, lambda part: part.text(key, right, ""), says, default, silent=silent)


def _quantity(key: str, kind: Kind, says: str, default: str | None = None, *, column: str = "") -> Field:
    needed = default is None
    return _field(
        key, lambda part: part.quantity(key, kind, needed=needed, column=column), says, default or ""
    )


def _quantities(key: str, kind: Kind, says: str, *, column: str) -> Field:
    def write(values: tuple[Quantity, ...]) -> list[str]:
        return [value.text for value in values]

    return _field(key, lambda part: part.quantities(key, kind, column), says, write=write)


def _whole(key: str, lowest: int, highest: int, says: str, default: int | None = None) -> Field:
    given = MISSING if default is None else default
    told = "" if default is None else str(default)
    return _field(key, lambda part: part.whole(key, lowest, highest, given), says, told)


def _flag(key: str, says: str, *, default: bool = False, silent: object = None) -> Field:
    return _field(
        key, lambda part: part.flag(key, default=default), says, str(default).lower(), silent=silent
    )


def _minutes(key: str, says: str) -> Field:
    default: Fraction = getattr(Minutes(), key)
    return _field(key, lambda part: part.number(key, "minutes, from 0", default, 1440), says, plain(default))


def _points(key: str, says: str) -> Field:
    default: Fraction = getattr(Comfort(), key)
    return _field(
        key, lambda part: part.number(key, "points of score, from 0", default, 1000), says, plain(default)
    )


STUDIO = (
    _name("name", 'the studio\'s name, such as "Harbour Lane"', "the studio's name"),
    _field(
        "timezone", readers.timezone,
        "an IANA zone name, such as `Europe/Lisbon`; all times are by its clock",
    ),
    _quantity(
        "assume_length", "length",
        "for a reel whose length nothing tells; said wherever it is used, and never more than its reel holds",
        "none", column="length",
    ),
    _text(
        "assume_eq", 'an equalisation such as "NAB"',
        "what a box that says no equalisation most likely means, such as `NAB`", "off", silent="",
    ),
    _quantity(
        "assume_level", "flux",
        "what a box that says no level most likely means, such as `250 nWb/m`", "off", column="level",
    ),
    _field(
        "assume_condition", readers.assumed_condition,
        "of a reel that nobody has inspected and whose stock is not known to become sticky: `ok` or `sticky`",
        "ok",
    ),
)  # fmt: skip

SETUP = (
    _quantity("speed", "speed", "tape speed", "not known", column="speed"),
    _text("eq", 'text such as "NAB"', "equalisation", "not known"),
    _quantity("level", "flux", "reference level", "not known", column="level"),
    _text("noise_reduction", "text", "noise reduction"),
)


def _lined_up(part: Part) -> Setup | None:
    """The set-up on which a deck stands."""
    setup = part.part("lined_up")
    if setup is None:
        return None
    found = Setup(**values_of(setup, SETUP))
    part.inner.append(setup)
    return found


DECK = (
    _name("id", 'the deck\'s id, such as "D1"', "what it is called, such as `D1`"),
    _quantities(
        "widths", "length", "the tape widths it takes, such as `[\"1/2 in\", \"1/4 in\"]`", column="width"
    ),
    _whole("tracks", 1, 1000, "the most tracks it plays"),
    _quantities(
        "speeds", "speed", "the speeds it plays, such as `[\"7.5 ips\", \"15 ips\"]`", column="speed"
    ),
    _quantity("wind_speed", "speed", "how fast it winds back, such as `180 ips`", column="wind_speed"),
    _flag("loud", "runs only until `loud_until`"),
    _whole("setup_minutes", 0, 10_000, "minutes for a full line-up to another set-up"),
    _whole("touch_up_minutes", 0, 10_000, "minutes for a line-up to the set-up on which it stands"),
    _flag("setup_needs_helper", "the helper is there for a full line-up"),
    _field(
        "lined_up", _lined_up,
        "how it stands now: `{ speed = \"15 ips\", eq = \"NAB\", level = \"250 nWb/m\" }`", "not known",
        write=lambda setup: told(setup, SETUP),
    ),
    _flag(
        "calibration_needed",
        "a line-up names a calibration reel where the shelf has one that fits; false: it may do without",
        default=True,
    ),
    _quantity(
        "gentle_wind_speed", "speed",
        "in place of `wind_speed` for tape that was treated, has splices, or is thin or not polyester",
        "off", column="wind_speed",
    ),
    _flag(
        "reverse_play",
        "true: it plays backwards too, so that a tape that lies tails out needs no wind before",
        silent=False,
    ),
)  # fmt: skip

CAPTURE = (
    _whole("inputs", 1, 1000, "tracks that are captured at once"),
    _quantity("sample_rate", "frequency", "of the converter, such as `96 kHz`", column="sample_rate"),
    _field("bit_depth", readers.bit_depth, "of the converter: 16, 24 or 32"),
    _field(
        "guide_tracks", readers.guide_tracks,
        "tracks that every pass repeats, so that passes can be laid together", "0",
    ),
    _text(
        "folder", "a folder's path", "where captures lie; its free space is looked at before a pass",
        "`captures` beside the shelf", silent="",
    ),
    _flag(
        "second_copy", "true: no reel is *verified* until a [second copy](fixity.md) was compared",
        silent=False,
    ),
    _text(
        "file_names", "a rule for file names",
        "your own rule for the names of captured files, see [checking](check.md)", "off", silent="",
    ),
)  # fmt: skip

CHAMBER = (
    _name("id", 'the chamber\'s id, such as "C1"', "what it is called, such as `C1`"),
    _whole("trays", 0, 1000, "how many trays it has"),
    _field(
        "trays_taken", readers.trays_taken,
        "how many a reel of each width takes: `{ \"1 in\" = 2, \"1/4 in\" = 1 }`",
        write=lambda pairs: {width.text: trays for width, trays in pairs},
    ),
    _field(
        "turn_every", lambda part: readers.on_grid(part, "turn_every", column="turn_every"),
        "time between two turns, such as `2 h`",
    ),
    _whole("touch_minutes", 0, 600, "minutes for loading, each turn and each take-out"),
    _field(
        "motor_below", lambda part: readers.told_or_not(part, "motor_below"),
        "true: the lowest tray lies over the fan's motor and is left empty; false: no tray does, or that one "
        "is not counted; not told: it is the last to be taken, and that is said",
        "not told",
    ),
)  # fmt: skip

TREATMENT = (
    _quantity("width", "length", "the tape width that it is for; one for each width", column="width"),
    _field("temperature", readers.temperature, "of the warmth, such as `54 degC`; 30 to 60 degC"),
    _field(
        "hours", lambda part: readers.on_grid(part, "hours", column="treatment_hours"),
        "hours of warmth, such as `8 h`",
    ),
    _field(
        "cool", lambda part: readers.on_grid(part, "cool", none_too=True, column="cool"),
        "hours of cooling before it may be played",
    ),
    _field(
        "playable_days", lambda part: part.number("playable_days", "a number of days", highest=3650),
        "days after take-out in which it plays",
    ),
)  # fmt: skip

HOURS = (
    _field("days", readers.days, "weekdays: `[\"mon\", \"tue\"]`", silent=(), write=list),
    _field(
        "dates", readers.dates,
        "or dates: `[\"2026-12-24\"]`; a date's own rows stand in place of its weekday's",
        silent=(), write=lambda dates: [day.isoformat() for day in dates],
    ),
    Field(
        "from", "from_minutes", readers.begins,
        lambda row: None if row.off and not row.to_minutes else readers.clock_words(row.from_minutes),
        "when it begins, by the studio's clock, such as `19:00`",
    ),
    Field(
        "to", "to_minutes", lambda part: readers.ends(part, "to") or 0,
        lambda row: None if row.off and not row.to_minutes else readers.clock_words(row.to_minutes),
        "when it ends; not after `from` is on the next day, at most 18 hours later",
    ),
    _flag("bench", "you are at work"),
    _flag("home", "someone is there and awake, to watch and turn the chamber"),
    _flag("helper", "the one who lines the deck up is there"),
    _field(
        "loud_until", lambda part: readers.ends(part, "loud_until"),
        "until when a loud deck may run", "`to`", attribute="loud_until_minutes", write=readers.clock_words,
    ),
    _flag("off", "true: nobody is there on these dates", silent=False),
)  # fmt: skip

MINUTES = (
    _field("grid", readers.grid, "work starts and ends on this grid; divides 30", "5"),
    _minutes("identify", "looking at a reel at the desk"),
    _minutes("audition", "listening to a reel nobody has heard, before its transfer; 0 is off"),
    _minutes("load", "threading a reel and labelling it"),
    _minutes("clean", "cleaning the path after a reel that was treated"),
    _minutes("splice", "for each splice or leader joint to remake, at least 10 in all"),
    _minutes("verify", "checking the files, besides listening"),
    _field(
        "listen_share",
        lambda part: part.number(
            "listen_share", "a share of play time, from 0 to 1", Minutes().listen_share, 1
        ),
        "spot listening while verifying, a share of the playing time", "0.1",
    ),
)  # fmt: skip

COMFORT = (
    _field(
        "count", readers.counted,
        "a song's date counts by the evening (`evenings`: up to the next 04:00) or to the minute (`hours`)",
        "evenings",
    ),
    _field(
        "slack", readers.slack, "the last part of every bench window that stays free", "10 %",
        write=lambda share: f"{plain(share * 100)} %",
    ),
    _points("line_up_hour", "points of score that an hour of lining up costs"),
    _points("tied_hour", "points that an hour costs in which a warm chamber ties someone to the house "
            "outside bench time"),
)  # fmt: skip

#: Every table of the file by its name, in the file's order; those in ARRAYS may stand several times.
TABLES: dict[str, tuple[Field, ...]] = {
    "studio": STUDIO,
    "deck": DECK,
    "capture": CAPTURE,
    "chamber": CHAMBER,
    "treatment": TREATMENT,
    "hours": HOURS,
    "minutes": MINUTES,
    "comfort": COMFORT,
}
ARRAYS = ("deck", "chamber", "treatment", "hours")


def values_of(part: Part, fields: tuple[Field, ...]) -> dict[str, Any]:
    """What a table of the file says, by attribute; what is wrong in it is noted in the part."""
    return {field.attribute: field.read(part) for field in fields}


def told(owner: object, fields: tuple[Field, ...]) -> dict[str, object]:
    """The inverse: the table from which the same is read again."""
    out = {field.key: field.tell(owner) for field in fields}
    return {key: value for key, value in out.items() if value is not None}
