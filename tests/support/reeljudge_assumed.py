"""What a plan rests on without knowing it: looks in an earlier bench window, and `assumes`."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import reeljudge_units as units
from reeljudge_case import Case
from reeljudge_shelf import Reel


def looks(case: Case) -> Iterator[str]:
    """An uninspected reel is looked at first, and its next step waits till that bench window is over."""
    for reel in case.shelf.reels.values():
        if not reel.uninspected:
            continue
        seen = case.of("identify", reel)
        over = None
        if seen:
            window = case.window(seen[0].start, seen[0].end)
            over = window[1] if window else seen[0].end
        steps = [
            (item.start, str(item))
            for kind in ("repair", "audition", "transfer")
            for item in case.of(kind, reel)
        ]
        steps += [
            (load.start, f"{load}") for load in case.loads if reel.name in load.outs and not load.running
        ]
        for start, what in steps:
            if over is None:
                yield f"9: {what}, but nobody looks at {reel.name} before"
            elif start < over:
                yield f"9: {what} in the bench window in which {reel.name} is first looked at"


def assumes(case: Case) -> Iterator[str]:
    """Repairs, transfers and entries of a load say what they rest on, and nothing else."""
    for item in case.items:
        if item.kind in ("repair", "transfer"):
            yield from _said(case, str(item), case.shelf.reels[item.reel], item.raw, item.kind == "transfer")
    for load in case.loads:
        for row in (load.raw or {}).get("reels", ()):
            if row["reel"] in load.outs:
                reel = case.shelf.reels[row["reel"]]
                yield from _said(case, f"{load}, {reel.name},", reel, row, False)


def _said(case: Case, what: str, reel: Reel, raw: dict[str, Any], on_deck: bool) -> Iterator[str]:
    told = {_plain(text) for text in raw.get("assumes") or ()}
    condition = case.assumed_condition(reel)
    may = {_plain(condition)} if condition else set()
    must = set(may)
    sets = [{_plain(text) for text in part.assumed} for part in reel.parts]
    may = may.union(*sets)
    if on_deck:
        must |= set.intersection(*sets)
    for text in sorted(must - told, key=str):
        yield f"4: {what} does not say that it assumes {_words(text)}"
    for text in sorted(told - may, key=str):
        yield f"4: {what} says that it assumes {_words(text)}"


def _plain(text: str) -> tuple[str, Fraction | str]:
    """What is assumed and its value, in the form in which two sayings are compared."""
    key, _, value = " ".join(text.split()).partition(" ")
    return key.casefold(), units.level(value) if key.casefold() == "level" else value.casefold()


def _words(said: tuple[str, Fraction | str]) -> str:
    return f"{said[0]} {said[1]}"


ALL = (looks, assumes)
