"""What to look at before one leaves."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Put back, leave, home, files, moved, next: by what was really done tonight."""
    from tui.board.closing import closing_of

    workbook = opened(given)
    now = workbook.now().astimezone(workbook.shelf.studio.zone)
    look = closing_of(workbook.shelf, workbook.plans.kept_plan(), now)
    if given.json:
        print_json({name.casefold(): list(lines) for name, lines in look.sections()})
    else:
        print_lines(f"{name}: {line}" for name, lines in look.sections() for line in lines)
    return 0
