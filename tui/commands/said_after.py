"""What a command says beside its own output: alarms, steps struck out, a plan that is stale."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from core.shelf import RecordKind, Shelf
    from core.workbook.workbook import Workbook


#: The alarms that this command said or printed already; the workbooks that it opened, each as it was then.
alarms_told: set[str] = set()


def say_alarms(shelf: Shelf) -> None:
    """Says every alarm of the shelf that was not told yet; nothing where nothing is warm and no tape runs."""
    run: tuple[RecordKind, ...] = ("pass", "actual")
    moves = (one.get("state") for kind in run for one in shelf.of_kind(kind).values())
    broken_off = any("broken_off" in one for one in shelf.of_kind("load").values())
    warm = broken_off or any(reel.chamber for reel in shelf.reels.values())
    if not warm and "running" not in moves:
        return
    from core.conditioning.alarms import alarms
    from tui.said import say

    for alarm in alarms(shelf):
        if alarm.says not in alarms_told:
            alarms_told.add(alarm.says)
            say(f"! {alarm.says}")


def say_struck(workbook: Workbook, found: Shelf) -> None:
    """Says in one line which steps the command struck out of the kept plan; nothing where it struck none."""
    if workbook.shelf is found or "kept" not in found.of_kind("plan"):
        return
    from core.standing.of_plan.struck_since import struck_since
    from tui.said import say

    plan = workbook.plans.kept_plan()
    told = struck_since(found, workbook.shelf, plan, workbook.now()) if plan is not None else ""
    if told:
        say(told)


def say_boxes(shelf: Shelf, found: Shelf) -> None:
    """Says what a box warns of whose tape is in the heat or runs, where the command found or began it."""
    if shelf is found:
        return
    from core.conditioning.alarms import alarm_of
    from core.conditioning.box_asked import boxes_meanwhile
    from tui.said import say

    before = boxes_meanwhile(found)
    for key, says in boxes_meanwhile(shelf).items():
        if before.get(key) != says and alarm_of(shelf, key) is None:
            say(f"! {says}")


def say_stale(workbook: Workbook) -> None:
    """Says in one line that the kept plan does not fit the shelf any more; nothing where it does."""
    from tui.said import say

    stale = workbook.plans.plan_is_stale()
    if stale:
        say(stale)
