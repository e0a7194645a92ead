"""Every caution is there for its work: a word that only it says, by kind of step.

What must be said is usual care of warm appliances, mains, blades, solvents, magnets, noise, lifting, mould,
vinegar, as the sources beside the rows have it (food-drying and household-heat guidance, NIOSH pages on
isopropyl alcohol, noise and lifting, IASA-TC 05 on stray fields, Abbey Newsletter 21-7 on mould).
"""

import pytest

from core.tape.cautions import STEPS, cautions
from core.tape.tables import table

PERSON = {
    "condition": ("catch fire", "extension under load", "residual-current", "Few at a time"),
    "repair": ("Razor blades", "creeps along the floor", "400 ppm", "Trichloroethane"),
    "align": ("pacemaker", "400 ppm", "94 dB(A)", "carry mains", "hair, sleeves", "Two people",
              "Trichloroethane"),
    "transfer": ("hair, sleeves", "400 ppm"),
    "audition": ("94 dB(A)", "hair, sleeves"),
    "verify": ("85 dB(A)",),
    "identify": ("FFP2", "dried lubricant, or it is mould", "10 ppm", "Few at a time"),
    "mould": ("FFP2", "dried lubricant, or it is mould", "Trichloroethane"),
    "vinegar": ("10 ppm",),
    "lifting": ("23 kg", "hub and both flanges"),
    "service": ("one hand, someone else in the room", "carry mains", "23 kg"),
}  # fmt: skip
TAPE = {
    "condition": (
        "food dryer", "kitchen oven", "Only polyester that someone has held to the light",
        "second thermometer",
        "smooth pack", "as long as it was warmed", "plastic leaders off", "print-through",
    ),
    "repair": ("bleed adhesive", "plastic leaders off", "No fast winding", "Acetate is cleaned dry"),
    "align": (
        "Clean the whole path", "Isopropyl of 99 %", "never play it in record", "magnetised screwdriver",
        "record switches safe",
    ),
    "transfer": (
        "No fast winding", "hand near the stop key", "Stop, do not wind", "15 cm and more",
        "record switches safe", "Isopropyl of 99 %",
    ),
    "audition": ("No fast winding", "hand near the stop key", "Stop, do not wind", "record switches safe"),
    "verify": ("second copy in another place", "15 cm and more", "upright like a book"),
    "identify": ("held to the light", "upright like a book", "15 cm and more"),
    "mould": ("smearing is active", "Acetate is cleaned dry"),
    "vinegar": ("cold and aired",),
    "lifting": (),
    "service": ("magnetised screwdriver",),
}  # fmt: skip


@pytest.mark.parametrize("step", STEPS)
def test_what_may_hurt_is_said_with_its_work(step: str) -> None:
    there = [(one.weight == "person", f"{one.hazard} {one.usual}") for one in cautions(step)]
    for person, words in ((True, PERSON[step]), (False, TAPE[step])):
        told = [text for hurts, text in there if hurts is person]
        assert sorted(len([text for text in told if word in text]) for word in words) == [1] * len(told)


def test_no_caution_is_of_no_step() -> None:
    assert {key for step in STEPS for key in (one.key for one in cautions(step))} == set(table("cautions"))
