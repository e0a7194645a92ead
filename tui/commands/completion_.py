"""Prints what a shell needs to complete verbs, options and file names; made once, at no cost."""

from __future__ import annotations

import argparse

SHELLS = ("bash", "zsh", "fish")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("shell", choices=SHELLS, help="the shell that is to complete")


def run(given: argparse.Namespace) -> int:
    """One script on standard output."""
    import shtab

    print(shtab.complete(whole_parser(), given.shell))
    return 0


def whole_parser() -> argparse.ArgumentParser:
    """One parser that knows every verb with its options."""
    from importlib import import_module

    from tui.verbs import VERBS, module_of

    parser = argparse.ArgumentParser(prog="reelturn", description="Plans and carries the return of tapes.")
    parser.add_argument("--shelf", metavar="FILE", help="the shelf")
    parser.add_argument("--version", action="store_true", help="the version")
    verbs = parser.add_subparsers(dest="verb")
    for verb, what in VERBS.items():
        one = verbs.add_parser(verb, help=what.replace("%", "%%"))
        import_module(module_of(verb)).arguments(one)
        _complete_words(one, verb)
        _complete_paths(one)
    _complete_paths(parser)
    return parser


def _complete_words(parser: argparse.ArgumentParser, verb: str) -> None:
    """Where one of a list of words stands behind a verb, they are completed."""
    from core.reels.reel import STAGES
    from core.workbook.papers import PRINTABLE
    from tui.verbs import VERBS

    words = {
        ("print", "what"): tuple(PRINTABLE),
        ("help", "about"): tuple(VERBS),
        ("mark", "stage"): STAGES,
    }
    for action in parser._actions:
        action.choices = words.get((verb, action.dest), action.choices)


def _complete_paths(parser: argparse.ArgumentParser) -> None:
    """Files and folders are completed where a word stands for one."""
    import shtab

    for action in parser._actions:
        shown = str(action.metavar or "")
        if shown in ("DIR",):
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        elif shown in ("FILE", "studio.toml") or shown.endswith((".ics", ".csv")):
            action.complete = shtab.FILE  # type: ignore[attr-defined]
