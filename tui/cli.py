"""The command line: finds verb and shelf, runs it, turns errors into one line and an exit status."""

from __future__ import annotations

import errno
import io
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import NoReturn

from core.errors import ReelturnError, Unusable
from tui.said import say
from tui.verbs import VERBS, help_text, unknown_verb


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command line; the exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    _let_any_text_out()
    try:
        status = _run(words)
        sys.stdout.flush()  # what cannot be written is met here, not when the interpreter is gone
        return status
    except ReelturnError as error:
        say(str(error))
        return error.exit_status
    except KeyboardInterrupt:
        say("interrupted")
        return 130
    except BrokenPipeError:
        # Whoever read our output has enough of it; nothing more can be said there.
        _let_go_of_output()
        return 0
    except OSError as error:
        say(f"{error.filename or 'standard output'}: {error.strerror or error}")
        if error.filename is None:
            _let_go_of_output()
        return 2
    except Exception as error:
        if os.environ.get("REELTURN_DEBUG"):
            raise
        say(f"a fault in reelturn ({type(error).__name__}: {error}): REELTURN_DEBUG=1 shows where")
        return 2


def _run(words: list[str]) -> int:
    shelf, rest = _shelf_before(words)
    if rest and rest[0] in ("-h", "--help"):
        print(help_text())
        return 0
    if rest and rest[0] in ("-V", "--version"):
        from importlib.metadata import version

        print(f"reelturn {version('reelturn')}")
        return 0
    if not rest:
        return int(import_module("tui.commands.open_screen").run(shelf))
    verb, given = rest[0], rest[1:]
    if verb not in VERBS:
        raise unknown_verb(verb)
    from tui.commands.command import call

    return call(verb, given, shelf)


def _shelf_before(words: list[str]) -> tuple[str | None, list[str]]:
    """The shelf that is named before the verb, and what is left of the command line."""
    shelf = None
    while words and words[0].startswith("--shelf"):
        if words[0].startswith("--shelf="):
            shelf, words = words[0].partition("=")[2], words[1:]
        elif words[0] == "--shelf" and len(words) > 1:
            shelf, words = words[1], words[2:]
        else:
            break
    if words and words[0] == "--shelf":
        raise Unusable("--shelf needs a file: reelturn --shelf my-tapes.json")
    return shelf, words


class _Closed(io.TextIOBase):
    """Standard output that was closed before the program began: whoever prints hears of it."""

    def write(self, text: str, /) -> int:
        """Always an error, as the system would tell it."""
        raise OSError(errno.EBADF, os.strerror(errno.EBADF))


def _let_go_of_output() -> None:
    """What still waits to be written goes nowhere, so that nothing is said of it when the program ends."""
    if not isinstance(sys.stdout, _Closed):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _let_any_text_out() -> None:
    """A title in any script is printed, with marks in place of letters that the terminal's encoding lacks."""
    if sys.stdout is None:
        sys.stdout = _Closed()
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def program() -> NoReturn:
    """The program itself. With a solver still at work it ends at once: Python's own end would abort it."""
    status = main()
    if _solver_works():
        for stream in (sys.stdout, sys.stderr):
            with suppress(OSError, ValueError):
                stream.flush()
        os._exit(status)
    sys.exit(status)


def _solver_works() -> bool:
    """True where somebody said stop and a solver has not heard of it: all that it was asked for is saved."""
    bound = sys.modules.get("core.planning.bounds.whole_bound")
    return bound is not None and bound.left_behind()


if __name__ == "__main__":
    program()
