"""Tells of a verb, or of all of them."""

from __future__ import annotations

import argparse


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("about", nargs="?", metavar="VERB", help="the verb to tell of; else all of them")


def run(given: argparse.Namespace) -> int:
    """The same as ``reelturn VERB --help``."""
    from tui.commands.command import call
    from tui.verbs import VERBS, help_text, unknown_verb

    if given.about is None:
        print(help_text())
        return 0
    if given.about not in VERBS:
        raise unknown_verb(given.about)
    return call(given.about, ["--help"], None)
