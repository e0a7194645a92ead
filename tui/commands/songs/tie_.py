"""How two captures lie to one another: found by sound, or told."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from core.capture.files.progress import Cancelled
from core.errors import Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.reading_files import told_on_terminal

if TYPE_CHECKING:
    from core.album.ties import Tie
    from core.workbook.workbook import Workbook


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("reels", nargs="*", metavar="REEL", help="two checked reels, or one with two passes")
    parser.add_argument(
        "--at",
        nargs=2,
        action="append",
        metavar=("A", "B"),
        help="what is heard at A of the first (seconds, m:ss.s) is at B of the second; twice tells speed too",
    )
    parser.add_argument("--pass", dest="passes", nargs=2, metavar=("N", "M"), help="which pass of each (1 1)")
    parser.add_argument("--song", metavar="SONG", help="look in that song's spans alone")
    parser.add_argument("--all", action="store_true", help="look for every capture that nothing ties yet")
    parser.add_argument(
        "--sharing", action="store_true", help="look which captures share sound, whatever the sheets say"
    )
    parser.add_argument(
        "--takes", action="store_true", help="look which stretches without a sheet are another take of a song"
    )
    parser.add_argument(
        "--buried", action="store_true", help="look for parts buried in a mix; takes far longer"
    )
    parser.add_argument("--let-go", action="store_true", help="forget the tie that is kept")
    add_json(parser)


def run(given: argparse.Namespace) -> int:
    """Finds or keeps a tie and says it; without reels, lists the ties. 1 where two share nothing."""
    from tui.text.songs.ties import tie_line

    workbook = opened(given)
    if given.sharing:
        return _sharing(workbook, given)
    if given.takes:
        return _takes(workbook, given)
    if not given.reels and (given.all or given.song):
        return _all(workbook, given)
    if not given.reels:
        ties = workbook.time.kept_ties()
        if given.json:
            print_json([tie.to_json() for tie in ties])
        else:
            print_lines([tie_line(tie) for tie in ties] or ["no two captures are tied yet"])
        return 0
    if len(given.reels) != 2:
        raise Unusable("tie: two reels are wanted: reelturn tie R-001 R-002")
    one, two = given.reels
    passes = None if given.passes is None else (_number(given.passes[0]), _number(given.passes[1]))
    if given.let_go:
        workbook.time.let_go(one, two, passes)
        return 0
    tie = _tied(workbook, given, one, two, passes)
    if given.json:
        print_json(tie.to_json())
    else:
        print_lines([tie_line(tie)])
    return 0


def _all(workbook: Workbook, given: argparse.Namespace) -> int:
    """Every capture of a song, or of all songs, that nothing ties yet; 1 where one stays without a place."""
    from core.workbook.songs import song_named

    shelf, said, left = workbook.shelf, [], False
    songs = [song_named(shelf, given.song)] if given.song else list(shelf.songs.values())
    for song in songs:
        told = workbook.claims.tie_all(song, progress=told_on_terminal("looked through"))
        said += [f"{song.key}: {line}" for line in told]
        left = left or any("share no sound" in line or "do not" in line for line in told)
    if given.json:
        print_json([tie.to_json() for tie in workbook.time.kept_ties()])
    else:
        print_lines(said or ["every capture has its place already, and every copy was heard"])
    return int(left)


def _sharing(workbook: Workbook, given: argparse.Namespace) -> int:
    """All captures of the shelf held against one another; what shares sound is kept and told."""
    from tui.commands.interrupting import Interrupting
    from tui.said import say
    from tui.text.songs.ties import sharing_lines

    if given.reels or given.at or given.song or given.let_go:
        raise Unusable("tie --sharing looks through the whole shelf: name no reel and no song with it")
    with Interrupting() as interrupting:
        try:
            shared = workbook.sharing.look(
                progress=told_on_terminal("held against one another", sized=False),
                cancelled=interrupting.asked,
            )
        except Cancelled:
            say("stopped: what was found so far is kept")
            return 130
    for line in shared.left_out:
        say(line)
    if given.json:
        print_json([tie.to_json() for tie in shared.found])
        return 0
    print_lines(sharing_lines(shared))
    return 0


def _takes(workbook: Workbook, given: argparse.Namespace) -> int:
    """Every stretch without a sheet held against every captured song; what sounds like one is kept."""
    from tui.commands.interrupting import Interrupting
    from tui.said import say
    from tui.text.songs.papers import takes_lines

    if given.reels or given.at or given.song or given.let_go:
        raise Unusable("tie --takes looks through the whole shelf: name no reel and no song with it")
    with Interrupting() as interrupting:
        try:
            looked = workbook.takes.look(
                progress=told_on_terminal("held against the songs", sized=False), cancelled=interrupting.asked
            )
        except Cancelled:
            say("stopped: what was found so far is kept")
            return 130
    for line in looked.left_out:
        say(line)
    if given.json:
        print_json([one.to_record() for one in looked.found])
        return 0
    print_lines(takes_lines(looked.found, looked.stretches, looked.songs, workbook.shelf))
    return 0


def _tied(
    workbook: Workbook, given: argparse.Namespace, one: str, two: str, passes: tuple[int, int] | None
) -> Tie:
    if given.at:
        at = [(_seconds(a), _seconds(b)) for a, b in given.at]
        return workbook.time.tie_said(one, two, at, passes)
    song = None
    if given.song:
        from core.workbook.songs import song_named

        song = song_named(workbook.shelf, given.song)
    return workbook.time.tie(
        one, two, passes=passes, song=song, buried=given.buried, progress=told_on_terminal("looked through")
    )


def _number(text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,3}", text) or not int(text):
        raise Unusable(f"--pass: {text!r} is not a whole number from 1")
    return int(text)


def _seconds(text: str) -> float:
    from tui.text.songs.ties import seconds_of

    try:
        return seconds_of(text)
    except ValueError as error:
        raise Unusable(f"--at: {error}") from error
