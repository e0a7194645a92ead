"""The few questions whose answers make a studio that plans: one list for every face that asks them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from core.quantities import read_quantity
from core.store.studio.hours_words import hours_set
from core.store.studio.studio_toml import read_studio
from core.store.studio.text import studio_tables
from core.studio.studio import HoursRow, Studio
from core.tape.tables import Values, table
from core.tape.treatments import house_programme

Answers = Mapping[str, str]
WARMTH = "54 degC"  # what the careful sources and the makers' papers agree on: about 130 degF
_A_DAY = date(2026, 1, 1)  # weekdays alone are read here: any date serves
SHORT_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its name, the words, the default, what checks an answer, and what more there is to know.

    ``check`` raises ValueError with what would be right.
    """

    name: str
    words: str
    default: str
    check: Callable[[str], object]
    more: tuple[str, ...] = ()


def questions(answers: Answers, zone: str = "UTC") -> tuple[Question, ...]:
    """The questions in their order; what comes later may rest on what was answered."""
    decks = deck_kinds()
    asked = [
        Question("name", "What is the place called?", "My studio", _name),
        Question("timezone", "Which time zone is it in?", zone, _zone),
        Question(
            "decks", "Which decks are there? Numbers, joined by commas.", "1", _decks,
            (
                *(f"{number}  {kind['what']}, {_speeds(kind)}" for number, kind in enumerate(decks, 1)),
                "Other tracks or speeds: take the nearest, and change it in the studio later.",
            ),
        ),
        Question("helper_lines_up", "Does someone else come to line a deck up? yes or no", "no", _yes_or_no),
        Question(
            "inputs", "How many tracks can be captured at once?", _most_tracks(answers), _whole(1, 1000)
        ),
        Question(
            "trays", "How many trays has the warm-air chamber for sticky tape? 0: there is none.", "0",
            _whole(0, 1000),
        ),
        Question(
            "hours", "When are you at the bench?", "mon-thu 19:00-22:30; sat 09:00-19:00", _hours,
            ("Days and hours, several joined by `;`. Nothing is planned outside them;",
             "warming a reel takes up to 8 h in one go, in which someone is there."),
        ),
        Question(
            "loud", "Until when may a loud deck run?", "22:00", _clock,
            ("`never` where the walls are thick: then it may always run.",),
        ),
    ]  # fmt: skip
    if answers.get("helper_lines_up", "no").casefold().startswith("y"):
        when = answers.get("hours", "tue 19:00-22:30").partition(";")[0].strip()
        asked.append(Question("helper", "When does that person come?", when, _hours))
    return tuple(asked)


def studio_of(answers: Answers, zone: str = "UTC") -> Studio:
    """The studio that the answers make; a question without an answer has its default."""
    asked = questions(answers, zone)
    told = {one.name: answers.get(one.name, "").strip() or one.default for one in asked}
    decks = [deck_kinds()[number - 1] for number in _decks(told["decks"])]
    helped = _yes_or_no(told["helper_lines_up"])
    loud = "" if told["loud"].casefold() == "never" else _clock(told["loud"])
    widths = list(dict.fromkeys(width for kind in decks for width in kind["widths_in"]))
    trays = _whole(0, 1000)(told["trays"])
    tables: dict[str, object] = {
        "studio": {"name": told["name"], "timezone": told["timezone"], "assume_length": "2500 ft"},
        "deck": [
            deck_like(number, kind, loud=bool(loud), helped=helped) for number, kind in enumerate(decks, 1)
        ],
        "capture": {
            "inputs": _whole(1, 1000)(told["inputs"]), "sample_rate": "96 kHz", "bit_depth": 24,
        },
    }  # fmt: skip
    if trays:
        tables["chamber"] = [chamber_like(1, trays, widths)]
        tables["treatment"] = [one for width in widths if (one := treatment_like(width)) is not None]
    studio = read_studio(tables, read_quantity, "studio")
    rows = studio_tables(_with_hours(studio, told["hours"], loud, ("bench", "home")))["hours"]
    if helped:
        rows += studio_tables(_with_hours(studio, told["helper"], "", ("helper",)))["hours"]
    return read_studio(tables | {"hours": rows}, read_quantity, "studio")


def deck_kinds() -> list[Values]:
    """The kinds of deck of the table, by width and tracks."""
    return [row.values for row in table("presets").values()]


def treatments_told(studio: Studio) -> list[str]:
    """The treatments that were taken from the table, in words, with where they come from."""
    lines = []
    for one in studio.treatments:
        found = house_programme(float(one.width.number))
        row = table("treatments").get(found.source.partition(".")[2]) if found else None
        told = f" ({'; '.join(one.title for one in row.source)})" if row is not None else ""
        lines.append(f"{one.width}: {one.hours} at {one.temperature}, {one.cool} of cooling{told}")
    return lines


def _speeds(kind: Values) -> str:
    return ", ".join(f"{speed:g}" for speed in kind["speeds_ips"]) + " ips"


def _most_tracks(answers: Answers) -> str:
    try:
        return str(max(deck_kinds()[number - 1]["tracks"] for number in _decks(answers.get("decks", "1"))))
    except ValueError:
        return "2"


def deck_like(number: int, kind: Values, *, loud: bool = False, helped: bool = False) -> dict[str, object]:
    """A deck of that kind of the table, as a table of the file."""
    return {
        "id": f"D{number}", "widths": [_inches(width) for width in kind["widths_in"]],
        "tracks": kind["tracks"], "speeds": [f"{speed:g} ips" for speed in kind["speeds_ips"]],
        "wind_speed": f"{kind['wind_ips']:g} ips", "loud": loud, "setup_minutes": kind["setup_minutes"],
        "touch_up_minutes": kind["touch_up_minutes"], "setup_needs_helper": helped,
    }  # fmt: skip


def _inches(width: float) -> str:
    return {0.25: "1/4 in", 0.5: "1/2 in"}.get(width, f"{width:g} in")


def chamber_like(number: int, trays: int, widths: list[float]) -> dict[str, object]:
    """A chamber as a table of the file; a tray holds half an inch of tape. Widths in inches."""
    taken = {_inches(width): max(1, round(width * 2)) for width in widths}
    return {
        "id": f"C{number}",
        "trays": trays,
        "trays_taken": taken,
        "turn_every": "2 h",
        "touch_minutes": 10,
    }


def treatment_like(width: float) -> dict[str, object] | None:
    """The house programme for a width in inches as a table of the file; None where the table has none."""
    found = house_programme(width)
    if found is None:
        return None
    return {
        "width": _inches(width), "temperature": WARMTH, "hours": f"{float(found.hours):g} h",
        "cool": f"{float(found.cool_hours):g} h", "playable_days": int(found.playable_days),
    }  # fmt: skip


def _with_hours(studio: Studio, text: str, loud: str, flags: tuple[str, ...]) -> Studio:
    """The studio with those hours of the week; a loud deck stops at its time, where that lies in them."""
    rows: dict[tuple[int, int], HoursRow] = {}
    for part in text.split(";"):
        days, times = _day_and_times(part)
        made, _ = hours_set(replace(studio, hours=()), [days[0], times, *flags], _A_DAY)
        row = made.hours[0]
        key = (row.from_minutes, row.to_minutes)
        before = rows.get(key)
        rows[key] = replace(row, days=tuple(dict.fromkeys((*(before.days if before else ()), *days))))
    if loud:
        limit = int(loud[:2]) * 60 + int(loud[3:])
        rows = {
            key: replace(row, loud_until_minutes=limit) if row.from_minutes < limit < row.to_minutes else row
            for key, row in rows.items()
        }
    return replace(studio, hours=tuple(rows.values()))


def _day_and_times(text: str) -> tuple[list[str], str]:
    """``mon-thu 19:00-22:30`` or ``tue, sat 10-18`` as its weekdays and its hours."""
    match = re.fullmatch(r"(.*?)\s+(\d{1,2}(?::\d\d)?\s*[-\u2013]\s*\d{1,2}(?::\d\d)?)", text.strip())
    if match is None:
        raise ValueError(_HOURS_RIGHT)
    days: list[str] = []
    for part in re.split(r"[,\s]+", match[1].strip()):
        ends = [_weekday(one) for one in re.split(r"[-\u2013]", part)]
        first, last = SHORT_DAYS.index(ends[0]), SHORT_DAYS.index(ends[-1])
        span = range(first, last + 1 if last >= first else last + 8)
        days += [SHORT_DAYS[number % 7] for number in span]
    return list(dict.fromkeys(days)), "".join(match[2].split())


def _weekday(word: str) -> str:
    plain = word.strip().casefold()[:3]
    if plain not in SHORT_DAYS:
        raise ValueError(_HOURS_RIGHT)
    return plain


_HOURS_RIGHT = "days and hours such as mon-thu 19:00-22:30; sat 10:00-18:00"


def _hours(text: str) -> str:
    from core.errors import ReelturnError

    for part in text.split(";"):
        days, times = _day_and_times(part)
        empty = Studio("", "UTC")
        try:
            hours_set(empty, [days[0], times], _A_DAY)
        except ReelturnError as error:
            raise ValueError(f"{_HOURS_RIGHT} ({error})") from None
    return text


def _name(text: str) -> str:
    if not (0 < len(text.strip()) <= 40 and text.isprintable()):
        raise ValueError("a name of at most 40 characters")
    return text


def _zone(text: str) -> str:
    from core.clock import zone
    from core.errors import Unusable

    try:
        zone(text)
    except Unusable:
        raise ValueError("an IANA zone name, such as Europe/Lisbon") from None
    return text


def _decks(text: str) -> list[int]:
    most = len(deck_kinds())
    found = [one for one in re.split(r"[,;\s]+", text.strip()) if one]
    if not found or not all(one.isdigit() and 1 <= int(one) <= most for one in found):
        raise ValueError(f"numbers from 1 to {most}, joined by commas")
    return [int(one) for one in found]


def _yes_or_no(text: str) -> bool:
    plain = text.strip().casefold()
    if plain not in ("y", "yes", "n", "no"):
        raise ValueError("yes or no")
    return plain.startswith("y")


def _whole(lowest: int, highest: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,4}", text.strip()) or not lowest <= int(text) <= highest:
            raise ValueError(f"a whole number from {lowest} to {highest}")
        return int(text)

    return read


def _clock(text: str) -> str:
    match = re.fullmatch(r"(\d{1,2})(?::(\d\d))?", text.strip())
    if text.strip().casefold() == "never":
        return "never"
    if match is None or int(match[1]) > 24 or int(match[2] or 0) > 59:
        raise ValueError("a time of day such as 22:00, or never")
    return f"{int(match[1]):02}:{match[2] or '00'}"
