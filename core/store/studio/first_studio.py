"""The few questions whose answers make a studio that plans: one list for every face that asks them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from core.clock import at_wall
from core.quantities import read_quantity
from core.store.studio.first_answers import (
    _clock,
    _count,
    _decks,
    _name,
    _yes_or_no,
    _zone,
    deck_kinds,
    decks_meant,
    loud_answer,
    loud_until,
    no_summer_time,
)
from core.store.studio.first_hours import NOBODY, SAME, helper_answer, hours_answer, hours_rows, is_nobody
from core.store.studio.studio_toml import read_studio
from core.store.studio.text import studio_tables
from core.studio.opening import opening
from core.studio.spoken import said_yes
from core.studio.studio import HoursRow, Studio
from core.tape.tables import Values, table
from core.tape.treatments import house_programme
from core.values import dataclass
from core.words import hours_text
from core.zones import zone_of_town

Answers = Mapping[str, str]
_BENCH = "mon-thu 19:00-22:30; sat 09:00-19:00"
_LOUD = "22:00"
_TOUCH_MINUTES = 10
_MONDAY = date(2026, 1, 5)  # of any week: weekdays alone are answered
WARMTH = "54 degC"  # what the careful sources and the makers' papers agree on: about 130 degF


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its name, the words, the default, what checks an answer, and what more there is to know.

    ``check`` raises ValueError with what would be right; ``doubt`` tells what an answer leaves out; ``meant``
    is what an answer stands for.
    """

    name: str
    words: str
    default: str
    check: Callable[[str], object]
    more: tuple[str, ...] = ()
    doubt: Callable[[Answers], Sequence[str]] = lambda answers: ()
    meant: Callable[[str], str] = lambda text: text


def questions(answers: Answers, zone: str = "UTC") -> tuple[Question, ...]:
    """The questions in their order; what comes later may rest on what was answered."""
    decks = deck_kinds()
    asked = [
        Question("name", "What is the place called?", "My studio", _name),
        Question(
            "timezone", "Which time zone is it in?", zone, _zone,
            doubt=lambda told: _of_no_place(told, zone), meant=zone_of_town,
        ),
        Question(
            "decks", "Which decks are there? Numbers, joined by commas.", "1", _decks,
            (
                *(f"{number}  {kind['what']}, {_speeds(kind)}" for number, kind in enumerate(decks, 1)),
                "Other tracks or speeds: take the nearest, and change it in the studio later.",
            ),
            meant=decks_meant,
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
            ("Days and hours, several joined by `;` or a comma. No deck runs outside them.",),
        ),
        Question(
            "loud", "Until when may a loud deck run?", _usual_loud(answers),
            loud_answer(_bench_rows(answers)),
            ("`never` where the walls are thick: then it may always run.",),
        ),
    ]  # fmt: skip
    return (*asked, *_asked_of_the_week(answers))


def _of_no_place(answers: Answers, machine: str) -> tuple[str, ...]:
    """What is said of a zone that is no place's, unless it is the one of this machine's clock."""
    name = answers.get("timezone", machine)
    told = no_summer_time(name) if name != machine else ""
    return (told,) if told else ()


def _bench_rows(answers: Answers) -> tuple[HoursRow, ...]:
    try:
        return hours_rows(answers.get("hours", "").strip() or _BENCH, ("bench",))
    except ValueError:  # its own question says so
        return ()


def _usual_loud(answers: Answers) -> str:
    """Ten in the evening; where the bench begins no sooner, no such hour is proposed."""
    late = any(loud_until(row, _LOUD) == row.from_minutes for row in _bench_rows(answers))
    return "never" if late else _LOUD


def _asked_of_the_week(answers: Answers) -> Iterator[Question]:
    """When else someone is home, where there is a chamber to look after; and when the helper comes."""
    bench = answers.get("hours", "").strip() or _BENCH
    if _count("trays")(answers.get("trays", "") or "0"):
        wanted = max(_at_home(answers).values(), default=0)
        up_to = f"Warming takes up to {hours_text(wanted)} in one go with someone there; "
        more = (f"{up_to}bench hours count already.",) if wanted else ()
        yield Question(
            "home",
            "When is someone home and awake, for the chamber?",
            SAME,
            hours_answer(bench),
            more,
            home_too_short,
        )
    if said_yes(answers.get("helper_lines_up", "no")):
        more = (f"`{SAME}`: whenever you are at the bench. A day alone has its bench hours.",)
        words = "When does the person come who lines decks up?"
        yield Question("helper", words, NOBODY, helper_answer(bench), more, nobody_lines_up)


def studio_of(answers: Answers, zone: str = "UTC") -> Studio:
    """The studio that the answers make; a question without an answer has its default."""
    asked = questions(answers, zone)
    told = {one.name: answers.get(one.name, "").strip() or one.default for one in asked}
    numbers = _decks(told["decks"])
    decks, widths = [deck_kinds()[number - 1] for number in numbers], _widths(numbers)
    helped = _yes_or_no(told["helper_lines_up"])
    loud = _clock(told["loud"]).removeprefix("never")
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
    rows = hours_rows(told["hours"], ("bench", "home"))
    bench = tuple(replace(row, loud_until_minutes=loud_until(row, loud) if loud else None) for row in rows)
    home = () if told.get("home", SAME) == SAME else hours_rows(told["home"], ("home",), told["hours"])
    comes = not is_nobody(told.get("helper", NOBODY))
    helper = hours_rows(told["helper"], ("helper",), told["hours"]) if comes else ()
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


def _at_home(answers: Answers) -> dict[str, int]:
    """By width, for how many minutes in one go its warming, take-out and all, asks somebody to be home."""
    widths = _widths(_decks(answers.get("decks", "").strip() or "1"))
    hours = {_inches(width): found.hours for width in widths if (found := house_programme(width)) is not None}
    return {width: int(one * 60) + _TOUCH_MINUTES for width, one in hours.items()}


def _widths(decks: Sequence[int]) -> list[float]:
    """The widths in inches that those decks of the table take."""
    return list(dict.fromkeys(width for number in decks for width in deck_kinds()[number - 1]["widths_in"]))


def nobody_lines_up(answers: Answers) -> tuple[str, ...]:
    """What is left out where no hours of the person who lines up are told; empty where they are."""
    if not is_nobody(answers.get("helper", "").strip() or NOBODY):
        return ()
    return (
        "No deck is lined up in your plan before those hours are told: here, or later in the studio. "
        "Enter takes it so.",
    )


def home_too_short(answers: Answers) -> tuple[str, ...]:
    """What the hours at home leave unwarmed, and which would do; empty where they are long enough."""
    studio = studio_of(answers)
    week = at_wall(_MONDAY, 0, studio.zone), at_wall(_MONDAY, 7 * 24 * 60, studio.zone)
    runs = opening(studio, "home", *week)
    longest = max((int(span.minutes) for span in runs), default=0)
    short = {width: wanted for width, wanted in _at_home(answers).items() if wanted > longest}
    if not short:
        return ()
    wanted = max(short.values())
    told = ", ".join(f"{width} asks for {hours_text(one)}" for width, one in short.items())
    best = next((span.start for span in runs if span.minutes == longest), week[0])
    begins = best.hour * 60 + best.minute
    ends = begins + -(-wanted // 30) * 30
    day = f"{best:%a}".casefold() if ends <= 24 * 60 else "sun"
    if ends > 24 * 60:
        begins, ends = 9 * 60, 9 * 60 + -(-wanted // 30) * 30
    given = answers.get("home", "").strip()
    enough = f"{day} {_clock_words(begins)}-{_clock_words(ends)}"
    enough = enough if given in ("", SAME) else f"{given}; {enough}"
    return (
        f"{told} in one go, take-out and all, and nobody is home longer than {hours_text(longest)}: "
        "what is sticky of it would not be warmed.",
        f"`{enough}` would do. Enter takes the hours as they are.",
    )


def _clock_words(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


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
        "touch_minutes": _TOUCH_MINUTES,
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
