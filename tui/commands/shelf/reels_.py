"""Lists the reels."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.command import add_json, opened, print_json, print_lines

if TYPE_CHECKING:
    from core.reels.reel import Reel
    from core.shelf import Event
    from core.workbook.workbook import Workbook
    from tui.board.rows import Board


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: the alarms stand above the list."""
    return not given.json


def run(given: argparse.Namespace) -> int:
    """Every reel with its stage, play time, what is next and what blocks it."""
    from tui.board.rows import Board

    workbook = opened(given)
    board = Board(workbook.shelf, workbook.now())
    if given.json:
        print_json(documents(workbook, board))
        return 0
    from tui.text.reels import reel_lines

    print_lines(reel_lines(board))
    return 0


def documents(workbook: Workbook, board: Board) -> list[dict[str, object]]:
    """The reels as other programs read them."""
    from core.clock import write_time
    from core.conditioning.advisor import advice_of
    from core.conditioning.alarms import alarm_of
    from core.reels.length import play_seconds
    from core.reels.needs import playable_until

    shelf = workbook.shelf
    told = _history(workbook)
    out: list[dict[str, object]] = []
    for row in board.rows():
        seconds = play_seconds(row.reel, shelf.studio)
        until = playable_until(row.reel, shelf.studio)
        out.append(
            {
                "reel": row.key,
                "stage": row.stage,
                "play_seconds": round(float(seconds), 3) if seconds is not None else None,
                "machine_minutes": _machine_minutes(board, row.reel),
                "next": row.step.words,
                "blocked": row.blocked,
                "alarm": alarm_of(shelf, row.key),
                "advice": advice_of(shelf, row.reel, board.at).word,
                "playable_until": write_time(until) if until else None,
                "history": told.get(row.key, []),
            }
        )
    return out


def _machine_minutes(board: Board, reel: Reel) -> int | None:
    """Deck time of its transfer, whether that lies ahead or behind; None where no deck plays it."""
    from core.reels.minutes import transfer_minutes

    _, deck = board.decks(reel)
    try:
        return (
            transfer_minutes(reel, deck, board.shelf.studio, own=board.shelf.own_stocks()) if deck else None
        )
    except ValueError:
        return None


def _history(workbook: Workbook) -> dict[str, list[dict[str, object]]]:
    """By reel, when it came to which stage and what was noted, in the order of time."""
    from core.clock import write_time

    events: dict[str, list[Event]] = {}
    for event in workbook.reel_history():
        events.setdefault(event.key, []).append(event)
    out: dict[str, list[dict[str, object]]] = {}
    for key, mine in events.items():
        mine.sort(key=lambda one: one.at)
        reel = workbook.shelf.reels.get(key)
        first = next((event.old for event in mine if event.field == "stage"), reel.stage if reel else "")
        stage = first or "found"
        for event in mine:
            stage = event.new if event.field == "stage" else stage
            out.setdefault(key, []).append(
                {"at": write_time(event.at), "stage": stage, "note": event.note, "because": event.because}
            )
    return out
