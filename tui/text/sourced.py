"""Figures with their sources, and what a reel's own figures rest on: as lines of (role, text)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from core.conditioning.loads.what_worked import Worked
from core.quantities import plain
from core.shelf import Shelf
from core.tape.told.glossary import TABLE, Entry
from core.tape.where import FOLLOWED, OwnFigures, Sourced, all_keys, source_of

Line = tuple[str, str]  # role ("head", "word", "dim", "bad"), text


#: No letter and no digit stands before a word, and none behind it.
_BEGINS, _ENDS = r"(?<![^\W_])", r"(?![^\W_])"


def own_figures(shelf: Shelf) -> OwnFigures:
    """The owner's figures that are followed in place of the tables'; any other one counts for nothing."""
    return {k: v for k, v in shelf.chosen.figures.items() if k in FOLLOWED}


def found_keys(words: str) -> tuple[str, ...]:
    """Keys of figures and rows that answer to the words: in the key, in what it says, in its values.

    First those in which each stands whole, then those in which each begins a word; one that
    merely lies inside another, as eel in reel, is no answer.
    """
    wanted = words.casefold().split()
    whole = [re.compile(rf"{_BEGINS}{re.escape(word)}{_ENDS}") for word in wanted]
    begun = [re.compile(rf"{_BEGINS}{re.escape(word)}") for word in wanted]
    searched = {key: _searched(key) for key in all_keys()}
    found = [key for key, text in searched.items() if all(one.search(text) for one in begun)]
    return tuple(sorted(found, key=lambda key: not all(one.search(searched[key]) for one in whole)))


def _searched(key: str) -> str:
    one = source_of(key)
    return f"{key} {one.says} {one.value} {one.row.note}".casefold()


def sourced_json(one: Sourced) -> dict[str, object]:
    """A figure as other programs read it."""
    return {
        "key": one.key,
        "value": one.value,
        "unit": one.unit,
        "says": one.says,
        "standing": one.row.standing,
        "source": [{"key": s.key, "title": s.title, "where": s.where} for s in one.row.source],
        "note": one.row.note,
    }


def sourced_lines(one: Sourced) -> tuple[str, ...]:
    """A figure or row with everything that is told of it."""
    lines = [f"{one.key}{': ' + one.says if one.says else ''}"]
    if isinstance(one.value, Mapping):
        lines += [f"  {name.replace('_', ' ')}: {_word(value)}" for name, value in one.value.items()]
    else:
        lines.append(f"  {_word(one.value)} {one.unit}".rstrip())
    if one.row.note:
        lines.append(f"  note: {one.row.note}")
    lines.append(f"  standing: {one.row.standing}")
    instead = "in place of: " if one.row.standing == "the owner's own" else "source: "
    return (*lines, *(f"  {instead}{cited}" for cited in one.row.source))


def word_lines(one: Entry) -> tuple[str, ...]:
    """A word of the glossary with what else is said for it and its source."""
    also = (f"  also: {', '.join(one.also)}",) if one.also else ()
    cited = "; ".join(str(source) for source in one.row.source)
    return (f"{one.word}: {one.says}", *also, f"  source: {cited}")


def sourced_line(one: Sourced) -> str:
    """A figure in one line, for a list."""
    if one.key.startswith(f"{TABLE}."):
        return f"{one.key:<34} {one.value['says']} ({one.row.standing})"
    what = one.says or "; ".join(f"{name} {_word(v)}" for name, v in one.value.items() if v not in ("", []))
    shown = "" if isinstance(one.value, Mapping) else f"{_word(one.value)} {one.unit}".strip() + "  "
    return f"{one.key:<34} {shown}{what} ({one.row.standing})"


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_word(one) for one in value)
    if isinstance(value, Mapping):
        return "; ".join(f"{name} {_word(one)}" for name, one in value.items())
    return str(value)


#: How a tape ran: the word that is kept, and what it means.
BEHAVED_CHOICES = (
    ("clean heads", "clean heads: nothing came off"),
    ("some shed", "some shed: it played, and left something on the heads"),
    ("stopped", "stopped: it could not be played through"),
)


def worked_words(rows: Sequence[Worked]) -> str:
    """Which programme worked on which stock of this shelf, a line each."""
    if not rows:
        return "Nothing is written down yet of how treated reels ran."
    lines = ["Which programme worked on which stock, here:"]
    for row in rows:
        warm = f"{row.celsius:g} °C" if row.celsius is not None else "?"
        hours = f"{plain(row.hours)} h" if row.hours is not None else "?"
        lines.append(
            f"{row.stock}, {warm} for {hours}: {row.clean_heads} clean heads, {row.some_shed} some shed, "
            f"{row.stopped} stopped"
        )
    return "\n".join(lines)


# A reel ---------------------------------------------------------------------------------------------------
