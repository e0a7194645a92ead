"""The verbs of the command line by room, and what is said of one that there is not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from core.errors import Unusable

#: By the room of `tui/commands` that holds them (the first are its own), each with what it does.
BY_ROOM: Mapping[str, Mapping[str, str]] = {
    "": {
        "demo": "lay out a made-up shelf, plan it, print its work orders, open it",
        "completion": "what a shell needs to complete verbs, options and files",
        "help": "tell of a verb, with an example",
    },
    "shelf": {
        "new": "begin a shelf: by a few questions, or from a studio.toml",
        "import": "add reels, songs, track sheets, history, a studio from CSV, xlsx, ods or toml files",
        "export": "write the shelf as studio.toml, CSV files and records.json",
        "restore": "list the shelf's backups, or put one in its place",
        "reels": "list the reels with stage, play time and what blocks them",
        "note": "add to a reel's history",
        "set": "set fields of a reel, song or sheet",
        "rename": "put a reel, song or sheet under another key, everywhere it is named",
        "remove": "take reels, songs or sheets off the shelf, with what hangs on them",
        "merge": "make one reel of two keys that are one tape",
        "split": "make two reels of a box that held two tapes",
        "undo": "take back the last change",
        "redo": "do over again what was taken back last",
    },
    "tape": {
        "estimate": "length, play time, passes, machine time, capture size of a reel",
        "stocks": "the table of tape stocks with the owner's own rows",
        "source": "where any figure comes from, and what is told of a reel with its reasons",
    },
    "evenings": {
        "plan": "plan the evenings and keep the plan",
        "wish": "hold a reel on a date, close a date, a song by a date; list and let go of wishes",
        "why": "why the kept plan leaves a reel over, or has a song no sooner",
        "suppose": "what another evening, a tray or the helper on one more day would bring",
        "hours": "the hours of the next 14 days, or set those of a date or weekday",
        "orders": "print the kept plan as PDF work orders",
        "calendar": "write the kept plan as iCalendar",
        "print": "print chamber logs and line-ups as kept, cards, labels, track sheets, slips",
        "tonight": "tonight's steps; begin, end, stop, go on, note or skip one at its true time",
        "mark": "move a reel to a stage",
        "load": "a chamber load has started",
        "chamber": "a chamber load: temperatures, turns, weights, hours, what is next",
        "closing": "what to look at before you leave: put back, switch off, who stays home, what is next",
    },
    "captures": {
        "check": "measure captured files against a reel; without files, look at them again",
        "again": "plan a tape that shed to be played again, from the minute that its check tells",
        "listen": "the worst places and your notes as short files; play them, say what you heard",
        "turn": "captures of a tape that was played backwards, turned round beside the originals",
        "copies": "compare a second copy of a reel's checked files",
        "manifest": "the checked files' digests, for sha256sum -c",
        "bag": "lay checked files, a song or an album out as a BagIt folder, for handing over",
        "report": "print capture reports",
        "thresholds": "the table by which checks are judged, and your own values in it",
        "lineup": "measure a deck's line-up from a captured calibration tape",
    },
    "songs": {
        "songs": "readiness of every song, and what it waits for",
        "papers": "loose sheets and stretches without one: which belongs to which, and your decisions",
        "parts": "what to use for every recording of a song, nothing missing and nothing twice",
        "use": "your own choice of a track for a part of a song",
        "tie": "how two captures lie to one another: found by sound, or told",
        "oldmix": "where an old mix holds something that no captured track has: remarks to listen to",
        "lay": "write copies of a song's used tracks in their places, for any music program",
        "mix": "a mix comes home: measured, and how it stands",
        "step": "what is left to do on a song after capture",
        "credit": "a player: asked, answered, named on the sleeve",
        "album": "order, lengths, whether it fits, credits, what is missing",
    },
}
VERBS: Mapping[str, str] = {verb: what for room in BY_ROOM.values() for verb, what in room.items()}


def module_of(verb: str) -> str:
    """The module that carries a verb out."""
    room = next(room for room, verbs in BY_ROOM.items() if verb in verbs)
    return ".".join(filter(None, ("tui.commands", room, f"{verb}_")))


USAGE = "usage: reelturn [--shelf FILE] [VERB ...]"


def unknown_verb(verb: str) -> Unusable:
    """What is said of a verb that there is not, with the nearest one."""
    from difflib import get_close_matches

    near = get_close_matches(verb, VERBS, 1)
    what = "no option" if verb.startswith("-") else "no verb"
    hint = f": did you mean {near[0]}?" if near else f": there are {', '.join(VERBS)}"
    return Unusable(f"{what} {verb!r}{hint}")


def _listed() -> Iterator[str]:
    for room, verbs in BY_ROOM.items():
        if room:
            yield from ("", f"{room.capitalize()}:")
        yield from (f"  {verb:<10} {what}" for verb, what in verbs.items())


def help_text() -> str:
    """What ``reelturn --help`` prints."""
    lines = [
        USAGE,
        "",
        "Plans and carries the return of a shelf of tapes: restore, transfer, remix.",
        "Without a verb it opens the full-screen program on the shelf.",
        "",
        *_listed(),
        "",
        "  --shelf FILE   the shelf, before or after the verb; else REELTURN_SHELF, else your data folder",
        "  --version      the version",
        "",
        "reelturn help VERB tells more of a verb, with an example. Exit status: 0 done, 1 the work found",
        "something wrong, 2 the command line, a file or the shelf cannot be used, 130 interrupted.",
    ]
    return "\n".join(lines)
