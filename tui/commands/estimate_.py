"""What one reel will take."""

from __future__ import annotations

import argparse

from tui.commands.command import add_json, opened, print_json, print_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reel", metavar="REEL")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Every figure with how it was got."""
    document = opened(given).estimate(given.reel).to_json()
    if given.json:
        print_json(document)
        return 0
    how = document["from"]
    lines = [f"{given.reel}: {document['sure']}"]
    for name, told in how.items():
        value = document[name]
        lines.append(f"  {name.replace('_', ' '):<16} {'?' if value is None else value:>14}  {told}")
    print_lines(lines)
    return 0
