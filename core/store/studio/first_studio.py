"""The few questions whose answers make a studio that plans: one list for every face that asks them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from core.quantities import read_quantity
from core.store.studio.first_answers import (
    _clock,
    _count,
    _decks,
    _name,
    _yes_or_no,
    _zone,
    deck_kinds,
)
from core.store.studio.first_hours import SAME, hours_answer, hours_rows
from core.store.studio.studio_toml import read_studio
from core.store.studio.text import studio_tables
from core.studio.studio import HoursRow, Studio
from core.tape.tables import Values, table
from core.tape.treatments import house_programme
from core.values import dataclass

Answers = Mapping[str, str]
_BENCH = "mon-thu 19:00-22:30; sat 09:00-19:00"
WARMTH = "54 degC"  # what the careful sources and the makers' papers agree on: about 130 degF


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
            "inputs", "How many tracks can be captured at once?", _most_tracks(answers), _count("inputs")
        ),
        Question(
            "trays", "Trays of the warm-air chamber for sticky tape? 0: none.", "0", _count("trays"),
            ("Those that tape may lie on: not the lowest, where the fan's motor is under it.",),
        ),
        Question(
            "hours", "When are you at the bench?", _BENCH, hours_answer(),
            ("Days and hours, several joined by `;`. No deck runs outside them.",),
        ),
        Question(
            "loud", "Until when may a loud deck run?", "22:00", _clock,
            ("`never` where the walls are thick: then it may always run.",),
        ),
    ]  # fmt: skip
    return (*asked, *_asked_of_the_week(answers))


def _asked_of_the_week(answers: Answers) -> Iterator[Question]:
    """When else someone is home, where there is a chamber to look after; and when the helper comes."""
    bench = answers.get("hours", "").strip() or _BENCH
    if answers.get("trays", "0").strip().strip("0"):
        more = "Warming takes up to 8 h in one go with someone there; bench hours count already."
        yield Question("home", "When is someone home and awake?", SAME, hours_answer(bench), (more,))
    if answers.get("helper_lines_up", "no").casefold().startswith("y"):
        first = bench.partition(";")[0].strip()
        yield Question("helper", "When does that person come?", first, hours_answer(bench))


def studio_of(answers: Answers, zone: str = "UTC") -> Studio:
    """The studio that the answers make; a question without an answer has its default."""
    asked = questions(answers, zone)
    told = {one.name: answers.get(one.name, "").strip() or one.default for one in asked}
    decks = [deck_kinds()[number - 1] for number in _decks(told["decks"])]
    helped = _yes_or_no(told["helper_lines_up"])
    loud = "" if told["loud"].casefold() == "never" else _clock(told["loud"])
    widths = list(dict.fromkeys(width for kind in decks for width in kind["widths_in"]))
    trays = _count("trays")(told["trays"])
    tables: dict[str, object] = {
        "studio": {"name": told["name"], "timezone": told["timezone"], "assume_length": "2500 ft"},
        "deck": [
            deck_like(number, kind, loud=bool(loud), helped=helped) for number, kind in enumerate(decks, 1)
        ],
        "capture": {
            "inputs": _count("inputs")(told["inputs"]), "sample_rate": "96 kHz", "bit_depth": 24,
        },
    }  # fmt: skip
    if trays:
        tables["chamber"] = [chamber_like(1, trays, widths) | {"motor_below": False}]
        tables["treatment"] = [one for width in widths if (one := treatment_like(width)) is not None]
    studio = read_studio(tables, read_quantity, "studio")
    week = studio_tables(replace(studio, hours=_week(told, loud)))["hours"]
    return read_studio(tables | {"hours": week}, read_quantity, "studio")


def _week(told: Answers, loud: str) -> tuple[HoursRow, ...]:
    """The rows of the week: at the bench, home besides, the helper; a loud deck stops at its time."""
    limit = int(loud[:2]) * 60 + int(loud[3:]) if loud else 0
    bench = tuple(
        replace(row, loud_until_minutes=limit) if row.from_minutes < limit < row.to_minutes else row
        for row in hours_rows(told["hours"], ("bench", "home"))
    )
    home = () if told.get("home", SAME) == SAME else hours_rows(told["home"], ("home",), told["hours"])
    helper = hours_rows(told["helper"], ("helper",), told["hours"]) if "helper" in told else ()
    return (*bench, *home, *helper)


def warmth_told(answers: Answers) -> list[str]:
    """The treatments that are taken from the table for these decks, in words, with where they come from."""
    treatments = studio_of(answers).treatments
    if not treatments:
        return []
    lines = ["Warmth, from the table; the tape's and the chamber's own papers come first:"]
    for one in treatments:
        found = house_programme(float(one.width.number))
        row = table("treatments").get(found.source.partition(".")[2]) if found else None
        told = f" ({'; '.join(one.title for one in row.source)})" if row is not None else ""
        lines.append(f"{one.width}: {one.hours} at {one.temperature}, {one.cool} of cooling{told}.")
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
        "wind_speed": f"{kind['wind_ips']:g} ips",
        "gentle_wind_speed": f"{max(kind['speeds_ips']):g} ips",  # what is treated or spliced is never flung
        "loud": loud, "setup_minutes": kind["setup_minutes"],
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
