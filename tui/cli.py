"""The command line: finds verb and shelf, runs it, turns errors into one line and an exit status."""

from __future__ import annotations

import errno
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from core.errors import ReelturnError, Unusable

VERBS = {
    "demo": "lay out a made-up shelf, plan it, print its work orders, open it",
    "new": "start an empty shelf from a studio.toml",
    "import": "add reels, songs, track sheets, history from CSV files",
    "export": "write the shelf as studio.toml, CSV files and records.json",
    "restore": "list the shelf's backups, or put one in its place",
    "reels": "list the reels with stage, play time and what blocks them",
    "estimate": "length, play time, passes, machine time, capture size of a reel",
    "mark": "move a reel to a stage",
    "load": "a chamber load has started",
    "chamber": "a chamber load: temperatures, turns, weights, hours, what is next",
    "note": "add to a reel's history",
    "set": "set fields of a reel, song or sheet",
    "rename": "put a reel, song or sheet under another key, everywhere it is named",
    "remove": "take reels, songs or sheets off the shelf, with what hangs on them",
    "merge": "make one reel of two keys that are one tape",
    "split": "make two reels of a box that held two tapes",
    "hours": "the hours of the next 14 days, or set those of a date or weekday",
    "undo": "take back the last change, or with --redo do it again",
    "plan": "plan the evenings and keep the plan",
    "wish": "hold a reel on a date, close a date, a song by a date; list and let go of wishes",
    "why": "why the kept plan leaves a reel over, or has a song no sooner",
    "suppose": "what another evening, a tray or the helper on one more day would bring",
    "orders": "print the kept plan as PDF work orders",
    "print": "print chamber logs and line-ups as kept, cards, labels, track sheets, slips",
    "calendar": "write the kept plan as iCalendar",
    "check": "measure captured files against a reel; without files, look at them again",
    "copies": "compare a second copy of a reel's checked files",
    "manifest": "the checked files' digests, for sha256sum -c",
    "bag": "lay checked files out as a BagIt folder, for handing over",
    "report": "print capture reports",
    "thresholds": "the table by which checks are judged, and your own values in it",
    "lineup": "measure a deck's line-up from a captured calibration tape",
    "songs": "readiness of every song, and what it waits for",
    "parts": "what to use for every recording of a song, nothing missing and nothing twice",
    "papers": "loose sheets and stretches without one: which belongs to which, and your decisions",
    "lay": "write copies of a song's used tracks in their places, for any music program",
    "tie": "how two captures lie to one another: found by sound, or told",
    "use": "your own choice of a track for a part of a song",
    "mix": "a mix comes home: measured, and how it stands",
    "step": "what is left to do on a song after capture",
    "credit": "a player: asked, answered, named on the sleeve",
    "album": "order, lengths, whether it fits, credits, what is missing",
    "stocks": "the table of tape stocks with the owner's own rows",
    "source": "where any figure comes from, and what is told of a reel with its reasons",
    "completion": "what a shell needs to complete verbs, options and files",
    "help": "tell of a verb, with an example",
}

USAGE = "usage: reelturn [--shelf FILE] [VERB ...]"


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


def unknown_verb(verb: str) -> Unusable:
    """What is said of a verb that there is not, with the nearest one."""
    from difflib import get_close_matches

    near = get_close_matches(verb, VERBS, 1)
    what = "no option" if verb.startswith("-") else "no verb"
    hint = f": did you mean {near[0]}?" if near else f": there are {', '.join(VERBS)}"
    return Unusable(f"{what} {verb!r}{hint}")


def help_text() -> str:
    """What ``reelturn --help`` prints."""
    lines = [
        USAGE,
        "",
        "Plans and carries the return of a shelf of tapes: restore, transfer, remix.",
        "Without a verb it opens the full-screen program on the shelf.",
        "",
        *(f"  {verb:<10} {what}" for verb, what in VERBS.items()),
        "",
        "  --shelf FILE   the shelf, before or after the verb; else REELTURN_SHELF, else your data folder",
        "  --version      the version",
        "",
        "reelturn help VERB tells more of a verb, with an example. Exit status: 0 done, 1 the work found",
        "something wrong, 2 the command line, a file or the shelf cannot be used, 130 interrupted.",
    ]
    return "\n".join(lines)


def say(text: str) -> None:
    """Tells the person something, a line at a time, on standard error."""
    for line in text.splitlines() or [""]:
        print(f"reelturn: {line}", file=sys.stderr)


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


if __name__ == "__main__":
    sys.exit(main())
