"""The questions that are asked at a chamber, and how what is typed there reads."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.conditioning.load_state import LoadState
from core.conditioning.loads.limits import NOT_TREATED, early_by
from core.errors import ReelturnError
from core.tape.cautions import DEFERS, cautions
from core.tape.where import figure
from core.words import hours_text, listed
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.reading_typed import read_reading, read_set_point, read_weight

if TYPE_CHECKING:
    from tui.board.chamber import NextTouch
    from tui.places.chamber.on_chamber import OnChamber


def early_words(touch: NextTouch, now: datetime) -> str:
    """What is said of a touch that comes much too early; empty for one in time."""
    early = early_by(touch.due, now, out=touch.do == "take out")
    if early is None:
        return ""
    means = NOT_TREATED if touch.do == "take out" else ""
    return f"It is due at {touch.due:%H:%M}, in {hours_text(early)}{means}. Enter logs it all the same."


def ask_reading(place: OnChamber, state: LoadState, answered: Callable[[tuple[float, str]], None]) -> None:
    """Asks for a reading: the limits stand above it, and what to do at the hard stop."""
    from tui.text.chamber import limits

    degrees = place.degrees
    words = f"{limits(state, degrees)} A bare number is {degrees.sign}; words behind it name the place."
    question = AskText(
        "What does the thermometer show?",
        words,
        draft=f"reading {state.key}",
        hint=f"{degrees.text(54)} top",
        check=lambda text: _wrong(lambda: read_reading(text, degrees)),
    )
    place.home.push_screen(question, lambda text: answered(read_reading(text, degrees)) if text else None)


def ask_weight(place: OnChamber, reel: str, *, after: bool, answered: Callable[[float], None]) -> None:
    """Asks for a reel's weight."""
    when = "after" if after else "before"
    question = AskText(
        f"{reel}: its weight {when}",
        "In grams, or with kg, lb, oz. The same scale both times, the reel without its box.",
        draft=f"weight {when} {reel}",
        hint="1502 g",
        check=lambda text: _wrong(lambda: read_weight(text)),
    )
    place.home.push_screen(question, lambda text: answered(read_weight(text)) if text else None)


def ask_out_first(
    place: OnChamber, load: str, chamber: str, at: datetime, then: Callable[[tuple[str, ...]], None]
) -> None:
    """Asks whether what must not be warmed any more is out of a chamber; then goes on without it.

    Nothing is asked where nothing such lies there.
    """
    from core.evening.warming.load_broken import to_come_out

    lies = place.home.do(lambda: to_come_out(place.home.shelf, load, at))
    if lies is None:
        return
    if not lies:
        then(())
        return
    why = "; ".join(f"{key}: {one}" for key, one in lies.items())
    words = f"{why}. Take out of {chamber} what is named here before it is warm again, then say so."
    choices = (
        ("not", "not yet: the chamber stays off"),
        ("out", f"{listed([*lies])}: out of the chamber now"),
    )
    title = f"Is {listed([*lies])} out of {chamber}?"

    def answered(chosen: str | None) -> None:
        if chosen == "out":
            then(tuple(lies))

    place.home.push_screen(AskChoice(title, choices, words=words), answered)


def ask_empty_run(place: OnChamber, chamber: str, answered: Callable[[float], None]) -> None:
    """Asks for the set point of an empty run; what may hurt at a warm appliance stands above it."""
    degrees, treatments = place.degrees, place.shelf.studio.treatments
    warm = float(treatments[0].temperature.number) if treatments else float(figure("heat.band_high_c"))
    people = [f"{one.hazard} {one.usual}" for one in cautions("condition") if one.weight == "person"]
    words = " ".join(
        (
            "No reel goes in. A second thermometer in two places, as long as a load would take.",
            *people,
            DEFERS,
        )
    )

    def read(text: str) -> float:
        return read_set_point(text, degrees)

    question = AskText(
        f"Empty run of {chamber}: set to?",
        words,
        draft=f"empty run {chamber}",
        text=degrees.text(warm),
        over=True,
        check=lambda text: _wrong(lambda: read(text)),
    )
    place.home.push_screen(question, lambda text: answered(read(text)) if text else None)


def _wrong(work: Callable[[], object]) -> str | None:
    try:
        work()
    except (ValueError, ReelturnError) as error:
        return str(error)
    return None
