"""A run of reels with keys that count on, and the key that comes next."""

from __future__ import annotations

import re
from dataclasses import replace

from core.reels.box.words import called_calibration
from core.reels.reel import Reel
from core.shelf import Shelf
from core.store.rows.columns import read_key
from core.store.rows.tables import REELS
from core.studio.studio import Studio
from core.words import counted
from tui.board.fields import Field

SHARED = (
    "width", "tracks", "speed", "eq", "level", "noise_reduction", "stock", "base", "thickness", "reel_size",
    "length", "wind", "condition", "role", "location", "notes",
)  # fmt: skip


#: Numbers that lie no farther apart are of one run of keys; one that is farther off was put there apart.
_APART = 20


def next_reel(shelf: Shelf) -> str:
    """The key after the run in hand, of those that most reels have: T32 after T31; else R-001.

    In hand is the run of the reel that stands last on the shelf: one that has a far number since is another.
    A key that calls its tape one to calibrate with is only ever typed: the next box is a tape like the rest.
    """
    numbered: dict[str, list[str]] = {}
    for key in shelf.reels:
        if (match := re.fullmatch(r"(.*?)([0-9]+)", key)) and not called_calibration(key):
            numbered.setdefault(match[1], []).append(match[2])
    if not numbered:
        return "R-001"
    head = max(numbered, key=lambda one: (len(numbered[one]), one))
    last = numbered[head][-1]
    for number in sorted(numbered[head], key=int):
        if 0 < int(number) - int(last) <= _APART:
            last = number
    return f"{head}{int(last) + 1:0{len(last)}}"


def run_of_reels(texts: dict[str, str], studio: Studio) -> tuple[Reel, ...]:
    """The reels of a run, numbered on from the first key; ValueError says what would be right."""
    first = read_key(texts["first"].strip())
    match = re.fullmatch(r"(.*?)(\d+)", first)
    if not re.fullmatch(r"[1-9]\d{0,2}", texts["how many"].strip()):
        raise ValueError("how many: a whole number from 1 to 999")
    count = int(texts["how many"])
    if match is None and count > 1:
        raise ValueError(f"first key: {first} has no number at its end to count on from, such as R-001")
    boxes = [text.strip() for text in texts["boxes"].split("|")] if texts["boxes"].strip() else []
    if len(boxes) > count:
        raise ValueError(f"boxes say: {counted(len(boxes), 'label')} for {counted(count, 'reel')}")
    model = Reel(first)
    for name in SHARED:
        field = Field(name, REELS.columns[name])
        try:
            model = field.put(model, texts[name], studio)
        except ValueError as error:
            raise ValueError(f"{field.label} wants {error}") from error
    number, width = (int(match[2]), len(match[2])) if match else (0, 0)
    keys = [f"{match[1]}{number + i:0{width}}" if match else first for i in range(count)]
    return tuple(
        replace(model, key=key, box_label=boxes[i] if i < len(boxes) else "") for i, key in enumerate(keys)
    )
