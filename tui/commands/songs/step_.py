"""What is left to do on a song after capture, in one's own words."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.dates import read_date

if TYPE_CHECKING:
    from core.release.steps import SongStep


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("song", metavar="SONG", help="its key or title")
    parser.add_argument("text", nargs="*", metavar="TEXT", help="what is to be done; or: N done")
    parser.add_argument("--who", default="", metavar="W", help="who does it")
    parser.add_argument("--by", default="", metavar="DATE", help="until when, as 2026-12-24")
    parser.add_argument("--after", default="", metavar="WHAT", help="a step's number, a reel, a person")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Keeps or ends a step and lists those that the song has."""
    release = opened(given).release
    words: list[str] = given.text
    if len(words) == 2 and words[0].isdigit() and words[1] == "done":
        release.step_done(given.song, int(words[0]))
    elif words:
        by = read_date("step: --by", given.by)
        release.step(given.song, " ".join(words), who=given.who, by=by, after=given.after)
    elif given.who or given.by or given.after:
        raise Unusable("step: say what is to be done: reelturn step SONG TEXT --who W --by DATE")
    steps = release.steps(given.song)
    if given.json:
        print_json([step.to_json() for step in steps])
    else:
        print_lines([step_line(step) for step in steps] or [f"{given.song}: no steps"])
    return 0


def step_line(step: SongStep) -> str:
    """Number, words, who, done or until when, after what."""
    who = f", {step.who}" if step.who else ""
    until = f", done {step.done_at[:10]}" if step.done else f", by {step.by}" if step.by else ""
    after = f", after {step.after}" if step.after and not step.done else ""
    return f"{step.number}  {step.text}{who}{until}{after}"
