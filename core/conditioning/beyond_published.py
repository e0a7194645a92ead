"""What of a load lies outside what is published and practised: its set point, its hours, its lowest place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from core.conditioning.loads.degrees import degrees_of
from core.conditioning.loads.kept_loads import loads_of
from core.conditioning.spreading.shared_air import mouldy_chamber, to_be_looked_at
from core.quantities import plain
from core.reels.needs import heated_hours
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.studio import Chamber, Studio, Treatment
from core.tape.treatments import published_hours, temperature_trouble
from core.tape.where import figure
from core.words import day_text, hours_text


def beyond_published(shelf: Shelf, keys: Iterable[str]) -> tuple[str, ...]:
    """A sentence for every set point and all hours of these reels that no careful source gives; none else."""
    reels = [shelf.reels[key] for key in keys if key in shelf.reels]
    return tuple(dict.fromkeys(says for reel in reels for says in _of(shelf, reel)))


def over_the_motor(chamber: Chamber, reels: Sequence[Reel]) -> str:
    """That a load takes the lowest place too, which is to stay empty; empty where a tray is to spare."""
    taken = sum(chamber.trays_for(reel.width) or 0 for reel in reels if reel.width is not None)
    if not taken or taken < chamber.trays or chamber.motor_below is False:
        return ""
    where = (
        "a reel lies in place 1, over the fan motor: leave"
        if chamber.motor_below
        else "a reel lies in place 1: if the fan's motor is under it, leave"
    )
    told = "" if chamber.motor_below else " (say in the studio, at motor below, whether it is)"
    return (
        f"all {chamber.trays} trays of {chamber.id} are taken, {where} one reel for another load, unless a "
        f"scrap recording came unharmed through an empty run there; read the thermometer there, too{told}"
    )


def about_load(shelf: Shelf, chamber_id: str, keys: Sequence[str]) -> tuple[str, ...]:
    """Everything of that load that is outside what is usual, a sentence each."""
    chamber = shelf.studio.chamber(chamber_id)
    reels = [shelf.reels[key] for key in keys if key in shelf.reels]
    motor = over_the_motor(chamber, reels) if chamber is not None else ""
    hot = was_too_hot(shelf, chamber_id)
    mould = mouldy_chamber(shelf, chamber_id)
    unseen = [f"{one.key} {air}" for one in reels if (air := to_be_looked_at(shelf, one))]
    return tuple(one for one in (mould, *unseen, hot, *beyond_published(shelf, keys), motor) if one)


def chamber_first(shelf: Shelf, chamber_id: str) -> tuple[str, ...]:
    """What is to be done about that chamber before anything goes in: mould that lay there, too much heat."""
    return tuple(one for one in (mouldy_chamber(shelf, chamber_id), was_too_hot(shelf, chamber_id)) if one)


def was_too_hot(shelf: Shelf, chamber_id: str) -> str:
    """That the chamber came to the hard stop and was not run empty since; empty for any other."""
    stop, told = figure("heat.hard_stop_c"), degrees_of(shelf)
    says = ""
    for log in loads_of(shelf).values():
        hot = [one for one in log.readings if one.celsius >= stop]
        if log.chamber == chamber_id and hot:
            worst = max(hot, key=lambda one: one.celsius)
            at = worst.at.astimezone(log.at.tzinfo)
            says = (
                f"{chamber_id} read {told.text(worst.celsius)} on {day_text(at.date())} {at:%H:%M}: warm "
                "nothing there until a second thermometer agrees in an empty run"
            )
        elif log.chamber == chamber_id and log.trial and log.readings:
            says = ""
    return says


def beyond_in_studio(studio: Studio) -> tuple[str, ...]:
    """The same of every treatment and chamber of the studio, for whoever changes them."""
    says = [one for course in studio.treatments for one in _of_course(course)]
    usual = figure("heat.turn_hours")
    for chamber in studio.chambers:
        if chamber.turn_every.number > 2 * usual:
            says.append(
                f"{chamber.id}: turned every {chamber.turn_every}: usual is every {usual:g} h, else one side "
                "of a reel gets warmer than the other"
            )
    return tuple(dict.fromkeys(says))


def _of(shelf: Shelf, reel: Reel) -> Iterator[str]:
    course = shelf.studio.treatment(reel.width)
    if course is None or reel.width is None:
        return
    own = (reel.key, heated_hours(reel, course)) if reel.treatment_hours else None
    yield from _of_course(course, own)


def _of_course(course: Treatment, own: tuple[str, Fraction] | None = None) -> Iterator[str]:
    """What of a treatment no source gives; ``own`` is a reel whose hours stand in place of the width's."""
    degrees = temperature_trouble(course.temperature.number)
    if degrees is not None:
        yield f"{course.width}: {degrees}"
    whose, hours = own or (str(course.width), course.hours.number)
    known = published_hours(course.width.number)
    if known is not None and not known[0] <= hours <= known[1]:
        yield (
            f"{whose}: {plain(hours)} h is outside the {known[0]:g} to {known[1]:g} h that sources give "
            f"{course.width}"
        )
    cool, warm = (hours_text(round(one.number * 60)) for one in (course.cool, course.hours))
    if course.cool.number < course.hours.number:
        yield (
            f"{course.width}: {cool} of cooling after {warm} of warmth: usual is to leave it in the room "
            "as long as it was warm; hot tape sticks and is squeezed"
        )
    if course.playable_days > figure("heat.playable_days_most"):
        yield (
            f"{course.width}: playable for {plain(course.playable_days)} days: sources say one or two weeks, "
            "some a month"
        )
    if course.playable_days < 1:
        days = plain(course.playable_days)
        yield f"{course.width}: playable for {days} days: nothing that is warmed can be played"
