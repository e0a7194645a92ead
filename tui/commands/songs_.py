"""Readiness of every song."""

from __future__ import annotations

import argparse
from typing import Any

from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """State, what it waits for, and the date that the kept plan promises."""
    from core.clock import write_time

    workbook = opened(given)
    stale = workbook.plans.plan_is_stale()
    promises, promise_from = workbook.plans.promises()
    on_time, evenings = workbook.plans.on_time()
    documents: list[dict[str, Any]] = []
    for told in workbook.songs.readiness():
        promised = promises.get(told.song.key)
        one: dict[str, Any] = {
            "song": told.song.key,
            "title": told.song.title,
            "album": told.song.album,
            "state": told.state,
            "waits_for": list(told.waits_for),
            "promised": write_time(promised) if promised else None,
            "promise_from": promise_from,
            "barred_by": dict(told.barred_by),
        }
        if told.song.key in on_time:
            one |= {"on_time": on_time[told.song.key], "simulated_evenings": evenings}
        documents.append(one | ({"stale": True} if stale else {}))
    if given.json:
        print_json(documents)
        return 0
    if stale:
        from tui.cli import say

        say(stale)
    print_lines(_line(one) for one in documents)
    return 0


def _line(one: dict[str, Any]) -> str:
    name = f"{one['song']}  {one['title']}" + (f" ({one['album']})" if one["album"] else "")
    waits = f"; waits for {', '.join(one['waits_for'])}" if one["waits_for"] else ""
    promised = f"; promised {one['promised'][:16].replace('T', ' ')}" if one["promised"] else ""
    if "on_time" in one:
        runs = one["simulated_evenings"]
        promised += f" (on its planned date in {round(one['on_time'] * runs)} of {runs} simulated runs)"
    why = "".join(f"; {reel}: {why}" for reel, why in one["barred_by"].items())
    return f"{name}: {one['state']}{waits}{promised}{why}"
