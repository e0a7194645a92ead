"""What is looked at in a tape before it is played, in one order: on the screen, on the order, on the list."""

from __future__ import annotations

from core.reels.reel import BASES, SIGNS, Reel

#: The fields in their order, and what each is called where it is asked.
LOOKED_AT = {
    "width": "width", "tracks": "tracks", "condition": "condition", "signs": "signs", "base": "base",
    "base_seen": "base was seen", "splices": "splices", "wind": "wind", "stock": "stock", "speed": "speed",
}  # fmt: skip
#: What nobody sees in a tape: asked at a look only where the box tells it; and behind which line it stands.
BY_THE_BOX = {
    "role": "role", "eq": "equalisation", "level": "level", "noise_reduction": "noise reduction",
    "tones": "tones",
}  # fmt: skip
BY_THE_BOX_BEHIND = "tracks"
#: The answers that are the same for every tape, the likely ones first; on paper and screen by these digits.
ANSWERS: dict[str, tuple[str, ...]] = {
    "condition": ("ok", "sticky", "squeal", "vinegar", "mould", "splices", "edge"),
    "signs": SIGNS,
    "base": BASES,
    "base_seen": ("yes", "no"),
    "wind": ("tails", "heads"),
}
#: Fields of which several answers may hold together.
SEVERAL = ("condition", "signs")
LOOK = "To identify is to look, not to play."
BASE_SEEN = "yes: held to the light; no: by its box"


def wanted(reel: Reel) -> tuple[str, ...]:
    """The fields of a look that nothing answers yet, in their order."""
    return tuple(name for name in LOOKED_AT if getattr(reel, name) in (None, "", ()))
