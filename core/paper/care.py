"""The cautions that an evening's own work calls for, and no others."""

from __future__ import annotations

from collections.abc import Iterator

from core.paper.evenings import Evening
from core.reels.reel import Reel
from core.shelf import Shelf

_SAYS = {
    "heat": "Heat: the chamber stands on a solid surface with room around it, clean, away from solvents, and is never "
    "left running with nobody in the house. Trust the second thermometer, not the dial; above the limit on the log: "
    "switch off, door open. Let tape cool in its box; hot flanges burn fingers and bend.",
    "mains": "Mains: deck and chamber are earthed. Switch off and unplug before a cover comes off; what is inside can hold "
    "a charge. Work inside is for someone qualified.",
    "solvents": "Solvents: isopropyl alcohol burns, and its vapour travels. Small amounts, lid on, air moving, gloves; "
    "no flame, no hot chamber and no switching near by; deck off and heads cold while they are wiped. None on acetate tape.",
    "mould": "Mould: do not open the bag, do not sniff, do not play. Gloves and a fitted particle mask; keep it sealed and away "
    "from the other tapes. Cleaning is a specialist's work.",
    "unknown box": "Boxes not yet looked at: open them away from your face. Powder, fluff or a smell of vinegar: close the box, bag it, "
    "write it down, wash hands.",
    "vinegar": "Vinegar smell: acetic acid stings eyes and airways. Air the room, keep that tape apart, never warm it.",
    "blade": "Splices: cut away from the hand, single-edged blade, block on the table. Blades go into a tin, not into the bin.",
    "lifting": "Lifting: a boxed 1-inch reel weighs about 3 kg, a deck far more than one person may lift. Carry few reels at a time, "
    "from knee to chest height, and move machines with two people and a trolley.",
    "hearing": "Hearing: turn the monitors down before tones are played and before winding with the tape on the heads; "
    "keep the evening's level below what you must shout over.",
}

_LAST = (
    "These notes are the usual cautions, not instructions for your house: local codes, the appliance's own "
    "instructions and licensed practice come first. When in doubt, stop."
)


def care_for(shelf: Shelf, evening: Evening) -> tuple[str, ...]:
    """The cautions for what is planned that evening, in order, the last one saying what comes before them all."""
    topics = dict.fromkeys(_topics(shelf, evening))
    return (*(_SAYS[topic] for topic in _SAYS if topic in topics), _LAST)


def _topics(shelf: Shelf, evening: Evening) -> Iterator[str]:
    for step in evening.steps:
        reels = [shelf.reels[key] for key in step.reels if key in shelf.reels]
        if step.touch:
            yield from ("heat", "mains")
        elif step.kind in ("align", "transfer", "audition"):
            yield from ("mains", "solvents", "hearing")
        elif step.kind == "repair":
            yield from ("blade", "solvents")
        elif step.kind == "identify":
            yield "unknown box"
        elif step.kind == "verify":
            yield "hearing"
        for reel in reels:
            yield from _of_reel(reel, handled=step.kind != "verify")


def _of_reel(reel: Reel, handled: bool) -> Iterator[str]:
    if handled and reel.width is not None and reel.width.number >= 1:
        yield "lifting"
    for trouble in ("mould", "vinegar"):
        if handled and trouble in reel.condition:
            yield trouble
