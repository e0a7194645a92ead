"""Every key of the screen, once: bindings, palette, the `?` page and docs/keys.md are made from this list.

The ``id`` never changes, so that keys bound anew by the owner stay bound. Letters work in either case.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from textual.binding import Binding, BindingType

from tui.keys.at_the_tape import AT_THE_TAPE
from tui.keys.in_general import IN_GENERAL
from tui.keys.key import PLACES, Key
from tui.keys.with_songs import WITH_SONGS

KEYS: tuple[Key, ...] = (*IN_GENERAL, *AT_THE_TAPE, *WITH_SONGS)


#: Those that stand in the head, since the foot of a place is full of the place's own.
HEAD_KEYS = tuple(key for key in KEYS if key.id in ("any.chamber", "any.figures"))


def bindings(*places: str) -> list[BindingType]:
    """The Textual bindings of these places, letters in both cases."""
    return [
        Binding(both_cases(key.keys), key.action, key.word, show=False, tooltip=key.says, id=key.id)
        for key in KEYS
        if key.place in places
    ]


def both_cases(keys: str) -> str:
    """The list of keys with each letter in both cases: caps lock must not take the keys away."""
    out: list[str] = []
    for key in keys.split(","):
        out.append(key)
        if len(key) == 1 and key.isalpha():
            out.append(key.swapcase())
    return ",".join(dict.fromkeys(out))


def keys_of(*places: str) -> tuple[Key, ...]:
    """The entries for these places, place by place in the order given."""
    return tuple(key for place in places for key in KEYS if key.place == place)


_SHOWN = {
    "space": "Space",
    "enter": "Enter",
    "escape": "Esc",
    "slash": "/",
    "question_mark": "?",
    "colon": ":",
    "delete": "Del",
    "full_stop": ".",
    "comma": ",",
    "up": "Up",
    "down": "Down",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "minus": "-",
    "plus": "+",
}


def shown(key: str) -> str:
    """How a key is called in words: ``Space``, ``B``, ``Ctrl+Q``."""
    if key in _SHOWN:
        return _SHOWN[key]
    return "+".join(part.upper() if len(part) == 1 else part.capitalize() for part in key.split("+"))


def shown_keys(key: Key, keymap: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """The names of all keys that do this, the owner's own in place of ours."""
    keys = (keymap or {}).get(key.id, key.keys)
    return tuple(dict.fromkeys(shown(one.strip()) for one in keys.split(",")))


def called(name: str, keymap: Mapping[str, str] | None = None) -> str:
    """What the keys of that id are called in a sentence: ``L or Esc``, the owner's own in place of ours."""
    return " or ".join(shown_keys(next(key for key in KEYS if key.id == name), keymap))


def own_keymap(record: object) -> tuple[dict[str, str], tuple[str, ...]]:
    """The owner's own keys as (id -> keys), and a sentence for each entry that cannot be used.

    ``record`` is what the shelf keeps: a table of id to keys. A key taken twice in one place is refused.
    """
    wanted = {str(k): str(v) for k, v in record.items()} if isinstance(record, Mapping) else {}
    known = {key.id: key for key in KEYS}
    taken: dict[str, str] = {}
    out: dict[str, str] = {}
    troubles: list[str] = []
    for key in KEYS:
        if key.id not in wanted:
            taken |= {f"{key.place} {one}": key.id for one in both_cases(key.keys).split(",")}
    for name, keys in wanted.items():
        if name not in known:
            troubles.append(f"{name} is not the id of a key")
            continue
        listed = both_cases(",".join(one.strip() for one in keys.split(",") if one.strip()))
        places = [f"{known[name].place} {one}" for one in listed.split(",") if one]
        clash = next((taken[place] for place in places if place in taken), None)
        if clash or not places:
            troubles.append(f"{name}: {keys} is taken by {clash}" if clash else f"{name}: no key given")
            continue
        taken |= dict.fromkeys(places, name)
        out[name] = listed
    return out, tuple(troubles)


def key_table(keys: Iterable[Key] = KEYS) -> str:
    """The table of keys as docs/keys.md holds it."""
    lines: list[str] = []
    for place, title in PLACES.items():
        rows = [key for key in keys if key.place == place]
        if rows:
            lines += [f"## {title}", "", "| key | does | id |", "|---|---|---|"]
            for key in rows:
                names = " or ".join(f"`{one}`" for one in shown_keys(key))
                lines.append(f"| {names} | {key.says} | `{key.id}` |")
            lines.append("")
    return "\n".join(lines)
