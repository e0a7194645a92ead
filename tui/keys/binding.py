"""Binding a key anew: what else it would mean in the same places, and the owner's keys with one changed."""

from __future__ import annotations

from collections.abc import Mapping

from tui.keys.key import Key
from tui.keys.keys import KEYS, both_cases

#: Places whose keys are heard at once, beside those that work everywhere and in every list.
_TOGETHER = (("chart", "reel"), ("card", "reel"))
#: Escape is one step out, always.
NEVER = ("escape",)


def keys_here(key: Key, own: Mapping[str, str]) -> tuple[str, ...]:
    """The keys that do this now, in Textual's words."""
    return tuple(one.strip() for one in own.get(key.id, both_cases(key.keys)).split(",") if one.strip())


def heard_with(key: Key, other: Key) -> bool:
    """True if both may be heard in one place."""
    if key.place == other.place or "any" in (key.place, other.place):
        return True
    if "list" in (key.place, other.place):
        return not {"bell", "ask"} & {key.place, other.place}
    return any({key.place, other.place} <= set(places) for places in _TOGETHER)


def taken_by(key: Key, pressed: str, own: Mapping[str, str]) -> Key | None:
    """What else that key means in the places where ``key`` works; None if nothing."""
    for other in KEYS:
        if other.id != key.id and heard_with(key, other) and pressed in keys_here(other, own):
            return other
    return None


def why_not(key: Key, pressed: str, own: Mapping[str, str]) -> str | None:
    """Why that key cannot be bound to it, as one line; None if it can."""
    from tui.keys.key import PLACES
    from tui.keys.keys import shown

    if pressed in NEVER:
        return "Esc is one step out, always"
    other = taken_by(key, pressed, own)
    if other is None:
        return None
    where = PLACES[other.place].lower()
    return f"{shown(pressed)} is taken ({where}: {other.word}): press another, or free it first"


def bound(own: Mapping[str, str], key: Key, pressed: str, *, beside: bool) -> dict[str, str]:
    """The owner's keys with that one in place of those that did it, or before them."""
    wanted = [*both_cases(pressed).split(","), *(keys_here(key, own) if beside else ())]
    return {**own, key.id: ",".join(dict.fromkeys(wanted))}


def as_ours(own: Mapping[str, str], key: Key) -> dict[str, str]:
    """The owner's keys with that one as it came."""
    return {name: keys for name, keys in own.items() if name != key.id}
