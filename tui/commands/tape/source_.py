"""Where a figure comes from, and what a word means."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from core.errors import Refused
from tui.commands.around import now, shelf_path
from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.shelf import Shelf
    from core.tape.where import OwnFigures


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument(
        "key",
        nargs="*",
        metavar="KEY",
        help="a word (tails, azimuth), a figure (heat.hard_stop_c), a row (equalisations.nab-15), "
        "a value of it, a reel of the shelf, a place or sheet (chart, work order), or words to search for; "
        "without one, all keys",
    )
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """The word or figure with its source and standing; a list where several answer to the words."""
    from core.tape.told.shown import shown
    from core.tape.where import source_of
    from tui.text.sourced import own_figures, sourced_json, sourced_lines

    shelf, words = _shelf(given), " ".join(given.key)
    own = own_figures(shelf) if shelf is not None else {}
    try:
        one = source_of(words, own) if words else None
    except KeyError:
        one = None
    if one is not None:
        if given.json:
            print_json(sourced_json(one))
        else:
            print_lines(sourced_lines(one))
        return 0
    if shelf is not None and words in shelf.reels:
        return _reel(shelf, words, json=given.json)
    if words in shown():
        return _place(words, shelf, json=given.json)
    if words.partition(".")[0] == "thresholds":
        return _thresholds(words.partition(".")[2], shelf, json=given.json)
    return _found(words, own, json=given.json)


def _found(words: str, own: OwnFigures, *, json: bool) -> int:
    """The word of the trade, then every figure and row that answers to the words."""
    from core.tape.told.glossary import TABLE, entry_of, nearest_word
    from core.tape.where import all_keys, source_of
    from tui.text.sourced import found_keys, sourced_json, sourced_line, word_lines

    word = entry_of(words)
    keys = found_keys(words) if words else all_keys()
    if word is not None:
        keys = (word.key, *(key for key in keys if not key.startswith(f"{TABLE}.")))
    if not keys:
        near = nearest_word(words)
        raise Refused(
            f"no word, figure, row or reel answers to {words!r}: "
            + (f"did you mean {near}?" if near else "reelturn source lists all keys")
        )
    found = [source_of(key, own) for key in keys]
    if json:
        print_json([sourced_json(one) for one in found])
    else:
        print_lines(() if word is None else word_lines(word))
        print_lines(sourced_line(one) for one in found[word is not None :])
    return 0


def _place(where: str, shelf: Shelf | None, *, json: bool) -> int:
    from tui.text.figures import figures_json, figures_lines

    if json:
        print_json(figures_json(where, shelf))
    else:
        print_lines(text if role == "head" else f"  {text}" for role, text in figures_lines(where, shelf))
    return 0


def _thresholds(name: str, shelf: Shelf | None, *, json: bool) -> int:
    """The table by which checks of captures are judged, or one row of it, each with its reason and source."""
    from core.capture.weighing.verdict import standard_thresholds, thresholds_with
    from tui.text.captures.thresholds import thresholds_json, thresholds_lines

    own = shelf.chosen.thresholds if shelf is not None else None
    table, one = thresholds_with(own), name or None
    if one is not None and one not in table.plain():
        raise Refused(f"there is no threshold {one!r}: reelturn source thresholds lists them")
    if json:
        print_json(thresholds_json(table, standard_thresholds(), one))
    else:
        print_lines(thresholds_lines(table, standard_thresholds(), one))
    return 0


def _reel(shelf: Shelf, key: str, *, json: bool) -> int:
    from tui.text.sourced_reel import reel_lines

    lines = reel_lines(shelf, key, now())
    if json:
        part = ""
        parts: dict[str, list[str]] = {}
        for role, text in lines:
            if role == "head":
                part = text
                parts[part] = []
            else:
                parts[part].append(text)
        print_json({"reel": key, "told": parts})
    else:
        print_lines(text if role == "head" else f"  {text}" for role, text in lines)
    return 0


def _shelf(given: argparse.Namespace) -> Shelf | None:
    """The shelf, whose owner's figures count; the tables alone where none was named and there is none."""
    named = given.shelf is not None or shelf_path(None).exists()
    return opened(given).shelf if named else None
