"""Every key of the screen, once: bindings, palette, the `?` page and docs/keys.md are made from this list.

The ``id`` never changes, so that keys bound anew by the owner stay bound. Letters work in either case.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from textual.binding import Binding, BindingType


@dataclass(frozen=True, slots=True)
class Key:
    """One thing a person can do with one key.

    ``keys`` is a comma-separated list in Textual's words, ``word`` what the foot of the screen says, ``says``
    the sentence of the `?` page. ``foot`` is its rank in the foot: lower ones stay longest, 0 is never there.
    """

    id: str
    keys: str
    action: str
    word: str
    says: str
    foot: int = 0

    @property
    def place(self) -> str:
        """Where it works: the part of the id before the dot."""
        return self.id.partition(".")[0]


#: What each place is called on the `?` page, in its order there.
PLACES = {
    "any": "Everywhere",
    "chart": "Chart",
    "reel": "On a reel (chart and reel card)",
    "tonight": "Tonight",
    "week": "Week",
    "wishes": "Wishes",
    "songs": "Songs",
    "studio": "Studio",
    "parts": "Parts of a song",
    "album": "The album",
    "loose": "Loose sheets",
    "time": "A song in time",
    "card": "A card",
    "song": "A song's card",
    "sheet": "Track sheet",
    "list": "In a list",
    "run": "New reels",
    "lineup": "Lining up",
    "capture": "Captures of a reel",
    "chamber": "Chamber",
    "loading": "Loading a chamber",
    "ticks": "Ticks",
    "ask": "A question",
    "look": "A look at files",
    "closing": "Before you leave",
    "learnt": "What steps really take",
    "keys": "The page of keys",
    "bell": "The chamber's bell",
}

KEYS: tuple[Key, ...] = (
    Key("any.chart", "c", "place('chart')", "chart", "Go to the chart: where does everything stand?", 20),
    Key("any.tonight", "t", "place('tonight')", "tonight", "Go to tonight: what do I do now?", 6),
    Key("any.week", "w", "place('week')", "week", "Go to the week: does it all fit?", 7),
    Key("any.songs", "s", "place('songs')", "songs", "Go to the songs: what will I have?", 8),
    Key("any.chamber", "f2", "place('chamber')", "chamber", "Go to the chamber: how does the load stand?"),
    Key("any.find", "slash", "find", "find", "Find as you type: reels, songs, boxes, players, notes.", 5),
    Key("any.plan", "r", "plan", "plan again", "Plan the evenings again, from now on.", 9),
    Key("any.print", "o", "print", "print", "Print work orders, box labels or cards.", 11),
    Key("any.undo", "u", "undo", "undo", "Take back the last change.", 10),
    Key("any.redo", "ctrl+y", "redo", "redo", "Do over again what was taken back last."),
    Key("any.stamp", "n", "stamp", "note", "Drop a note on the tape that plays, from any place."),
    Key("any.figures", "f3", "figures", "figures", "Where do the figures of this place come from?"),
    Key("any.loose", "f4", "loose_sheets", "loose sheets", "Loose sheets: which belongs to which tape?"),
    Key("any.studio", "f9", "place('studio')", "studio", "Go to the studio: decks, hours, minutes, comfort."),
    Key("any.album", "f11", "album", "album", "The album: is it full, does it fit, what is missing?"),
    Key("any.look", "f8", "look", "look", "Next look: dark, light, high contrast, no colour."),
    Key("any.signs", "f7", "signs", "plain signs", "Draw with plain letters only, or with signs again."),
    Key("any.units", "f6", "units", "units", "Show lengths, speeds and heat in other units."),
    Key("any.paper", "f5", "paper", "paper size", "Print on A4, or on Letter: kept on the shelf."),
    Key(
        "any.printer",
        "f12",
        "printer",
        "printer",
        "Print to the system's printer too, or not: kept on the shelf.",
    ),
    Key(
        "any.keys",
        "question_mark,f1",
        "keys",
        "keys",
        "Explain the keys and words of the place that is open.",
        1,
    ),
    Key(
        "any.palette",
        "colon,ctrl+p",
        "command_palette",
        "commands",
        "Type the name of anything that can be done.",
    ),
    Key("any.out", "escape", "out", "out", "One step out; what was typed stays."),
    Key("any.quit", "q,ctrl+q,ctrl+c", "quit", "quit", "Leave; everything is on the shelf already.", 13),
    Key("reel.done", "space", "done", "done", "The next step on this reel is done.", 2),
    Key("reel.back", "b", "back", "back", "Put the reel back a stage, with the reason.", 3),
    Key("reel.note", "n", "note", "note", "Add a note to the reel's history.", 3),
    Key("reel.stage", "m", "mark", "mark", "Mark the reel at any stage, at a time of your own."),
    Key("reel.load", "l", "load", "load", "Put reels into a chamber: its clock starts."),
    Key(
        "reel.aside",
        "x",
        "set_aside",
        "set aside",
        "Do not transfer this reel, with the reason; or take it up again.",
    ),
    Key("reel.sheet", "g", "sheet", "track sheet", "Open the reel's track sheet."),
    Key("reel.history", "h", "history", "history", "Show what happened to the reel, newest first."),
    Key("reel.lineup", "j", "lineup", "line up", "Line a deck up to the reel's set-up: targets, readings."),
    Key("reel.why", "y", "why", "why", "Say what to do with the reel and why: where each figure comes from."),
    Key(
        "reel.ran", "v", "ran", "how it ran", "Write down how the reel ran: clean heads, some shed, stopped."
    ),
    Key(
        "reel.heard",
        "e",
        "heard",
        "heard",
        "Write down what was heard: speed, set-up, contents, or leave it.",
    ),
    Key(
        "reel.capture",
        "d",
        "capture",
        "captures",
        "Check the reel's captured files, and listen to the worst places.",
    ),
    Key(
        "reel.key",
        "k",
        "key_acts",
        "its key",
        "Another key, off the shelf, the same tape, two in a box.",
    ),
    Key("chart.card", "enter", "card", "card", "Open the reel's card.", 4),
    Key("chart.filter", "f", "filter", "filter", "Show only some reels: stage, width, song, blocked, due."),
    Key("chart.order", "z", "order", "order", "Put the reels in another order."),
    Key("chart.add", "a", "add", "add reels", "Add a run of new reels in one go."),
    Key(
        "chart.boxes",
        "p",
        "boxes",
        "put in",
        "Put in what is there: box after box, what was seen, or from files.",
        10,
    ),
    Key("chart.song", "i", "song", "its song", "Open the card of the song that needs this reel."),
    Key("tonight.go", "space", "go", "start/finish", "Start the step under the cursor, or finish it.", 1),
    Key(
        "tonight.at",
        "a",
        "go_at",
        "at a time",
        "The same at a time that you tell, or at a place of the tape.",
        5,
    ),
    Key(
        "tonight.catch_up",
        "m",
        "catch_up",
        "catch up",
        "Mark many steps at once, their planned times filled in.",
    ),
    Key("tonight.begin", "b", "begin", "begin", "Before you begin: what to fetch, to switch on, who comes."),
    Key("tonight.problem", "p", "problem", "problem", "Something went wrong: a short list of what to do.", 2),
    Key(
        "tonight.note",
        "n",
        "drop",
        "note",
        "Drop a note at this moment of the tape; a digit names it, or does both.",
        2,
    ),
    Key("tonight.stop", "e", "halt", "stop tape", "The tape was stopped; then say why.", 3),
    Key("tonight.resume", "g", "resume", "go on", "Clean, then go on from before where the tape stopped.", 4),
    Key("tonight.skip", "k", "skip", "skip", "Leave this step out tonight, with the reason.", 4),
    Key("tonight.again", "y", "again", "repeat", "Do this step once more.", 12),
    Key(
        "tonight.words",
        "enter",
        "words",
        "words",
        "Words for this pass's notes, the line-up's sheet, else the reel's card.",
        8,
    ),
    Key("tonight.capture", "d", "capture", "captures", "Check the files of the step's reel.", 9),
    Key("tonight.card", "i", "card", "card", "Open the reel's card."),
    Key(
        "tonight.replan",
        "r",
        "replan",
        "plan again",
        "Plan again with few moves, saying what moves.",
        9,
    ),
    Key(
        "tonight.closing",
        "h",
        "closing",
        "going home",
        "Before you leave: put back, switch off, who stays home, what comes next.",
        10,
    ),
    Key("tonight.learnt", "l", "learnt", "learnt", "Show what steps really take, and take that in."),
    Key("tonight.kind_1", "1", "kind(1)", "dropout", "The last note is, or a new one: a dropout."),
    Key("tonight.kind_2", "2", "kind(2)", "squeal", "The last note is, or a new one: a squeal."),
    Key("tonight.kind_3", "3", "kind(3)", "splice", "The last note is, or a new one: a splice."),
    Key("tonight.kind_4", "4", "kind(4)", "print-through", "The last note is, or a new one: print-through."),
    Key("tonight.kind_5", "5", "kind(5)", "noise", "The last note is, or a new one: a noise."),
    Key(
        "tonight.kind_6", "6", "kind(6)", "song start", "The last note is, or a new one: where a song starts."
    ),
    Key("tonight.kind_7", "7", "kind(7)", "song end", "The last note is, or a new one: where a song ends."),
    Key("tonight.kind_8", "8", "kind(8)", "other", "The last note is, or a new one: something else."),
    Key("songs.card", "enter", "card", "card", "Open the song's card.", 2),
    Key("songs.add", "a", "add", "add song", "Add a song.", 6),
    Key("songs.time", "i", "time", "in time", "The song in time: how each capture lies, and how sure.", 3),
    Key("songs.wait", "v", "waits", "waiting", "Show only songs that are not ready, or all.", 3),
    Key("songs.parts", "p", "parts", "parts", "The parts of the song: which track is used for each.", 2),
    Key("songs.album", "b", "album", "album", "Its album: is it full, does it fit, what is missing?", 3),
    Key("songs.key", "k", "key_acts", "key", "Give the song another key, or take it off the shelf."),
    Key("songs.loose", "l", "loose", "loose sheets", "Loose sheets: which belongs to which tape?", 4),
    Key("parts.source", "enter", "source", "sheet", "Open the track sheet of the part's source.", 2),
    Key("parts.why", "y", "why", "why", "Why this source, and what else carries the part.", 2),
    Key("parts.choose", "e", "choose", "choose", "Choose another track for this part yourself.", 3),
    Key(
        "parts.same", "m", "same", "one part", "Two names are one part: say which other name this one is.", 5
    ),
    Key("parts.family", "f", "family", "family", "The song's tapes, and which was copied from which.", 3),
    Key("parts.time", "v", "time", "in time", "The song in time: how each capture lies, and how sure.", 3),
    Key("parts.loose", "l", "loose", "loose sheets", "Loose sheets: which belongs to which tape?", 4),
    Key("parts.reel", "i", "reel", "reel", "Open the card of the source's reel.", 5),
    Key("parts.pages", "p", "pages", "print", "Print the parts page and the family page.", 5),
    Key("album.card", "enter", "card", "card", "Open the song's card.", 9),
    Key("album.mix", "m", "mix_home", "mix", "A mix of the song came home: choose its file, measure it.", 1),
    Key("album.stands", "h", "stands", "stands", "Say how a mix stands: rough, to be approved, the one.", 2),
    Key("album.step", "a", "step", "step", "A step that is left to do on the song, in your own words.", 3),
    Key("album.done", "space", "step_done", "done", "A step of the song is done.", 3),
    Key("album.player", "n", "player", "player", "A player was asked, answered, or is named so.", 4),
    Key("album.earlier", "k,shift+up", "song_on(-1)", "earlier", "Move the song one place earlier.", 5),
    Key("album.later", "j,shift+down", "song_on(1)", "later", "Move the song one place later.", 5),
    Key(
        "album.without",
        "x",
        "left_out",
        "without",
        "See the album without the song; once more puts it back.",
        6,
    ),
    Key("album.carrier", "i", "carrier", "on what", "Choose what it is made for: disc, record, cassette.", 7),
    Key("album.free", "f", "free", "free sides", "Split the sides freely, or in the given order.", 8),
    Key("album.take_free", "l", "take_free", "keep order", "Make the freely split order the album's."),
    Key("album.gap", "g", "gap", "gap", "Seconds between two songs."),
    Key("album.wish", "y", "wish", "wish", "Wish for a date for the song, in the next plan."),
    Key("album.parts", "v", "parts", "parts", "The parts of the song: which track is used for each."),
    Key("album.pages", "p", "pages", "print", "Print the album sheet with its credits.", 4),
    Key(
        "album.bag",
        "d",
        "hand_over",
        "hand over",
        "Lay the album out as a BagIt folder, for handing over.",
        9,
    ),
    Key("album.next", "full_stop", "next_album", "next album", "The shelf's next album."),
    Key("album.stop", "e", "halt", "stop", "Stop what is being read; nothing is kept of it."),
    Key("loose.take", "space", "take", "it is", "The sheet is of the tape proposed; a stretch is a song.", 1),
    Key("loose.other", "e", "other", "another", "The sheet is of another tape: choose which.", 2),
    Key("loose.none", "x", "of_none", "of none", "The sheet is of no tape you have.", 3),
    Key("loose.part", "b", "part", "loose again", "The sheet is undecided again, parted from its tape.", 4),
    Key("loose.why", "y", "why", "why", "All the evidence, and the other tapes that it could be.", 3),
    Key("loose.rows", "enter", "rows", "sheet", "What is written on the sheet, track by track.", 2),
    Key(
        "loose.parts",
        "v",
        "parts",
        "parts",
        "The parts of the sheet's song: which track is used for each.",
        4,
    ),
    Key("loose.hear", "h", "hear", "hear", "Listen which song a stretch is, what shares sound; or stop.", 4),
    Key("loose.pages", "p", "pages", "print", "Print the list of loose sheets, and each of them.", 5),
    Key("time.find", "f", "find", "find", "Find by sound how this capture lies to that of the clock.", 1),
    Key("time.all", "a", "find_all", "find all", "Find every capture that nothing ties, hear every copy.", 3),
    Key("time.tap", "t", "tap", "tap", "Tell where the same is heard in both captures.", 2),
    Key("time.let_go", "delete,x", "let_go", "let go", "Let the ties of this capture go.", 4),
    Key("time.lay", "d", "lay", "lay copies", "Write copies of the used tracks in their places.", 2),
    Key("time.old_mix", "m", "old_mix", "old mix", "What does this mix hold that no captured track has?", 4),
    Key("time.stop", "e", "halt", "stop", "Stop what is being read.", 1),
    Key("week.card", "enter", "card", "card", "Open the card of the reel under the cursor.", 4),
    Key("week.left", "left", "along(-1)", "earlier", "The step before, on this evening or the one before."),
    Key("week.right", "right", "along(1)", "later", "The step after, on this evening or the next."),
    Key("week.pin", "p", "pin", "hold", "Hold this step on its date, or let go of it.", 2),
    Key("week.forbid", "x", "forbid", "keep off", "Keep this step off its date, or allow it again.", 3),
    Key("week.keep", "k", "keep", "keep", "Keep the new plan.", 2),
    Key("week.drop", "d", "drop", "drop", "Leave the new plan; the kept one stays.", 4),
    Key("week.stop", "e", "stop", "stop", "Stop planning here; the best plan so far is shown.", 1),
    Key("week.compare", "v", "compare", "compare", "Show the kept plan and the new one side by side."),
    Key(
        "week.free",
        "y",
        "free",
        "free time",
        "What is still free, what could fill it, what more would bring.",
        5,
    ),
    Key("week.hours", "h", "hours", "hours", "That day's hours: other, closed, away, the helper, usual.", 5),
    Key("week.wish", "a", "wish", "wish", "A wish for the next plan, in words.", 6),
    Key("week.wishes", "l", "wishes", "wishes", "List the wishes, each with whether the plan keeps it."),
    Key("week.because", "b", "because", "because", "Why a reel is left over, or a song is not sooner.", 5),
    Key("wishes.tell", "enter", "tell_wish", "tell", "Tell the whole of the wish under the cursor.", 3),
    Key("wishes.drop", "delete,d", "drop_wish", "let go", "Let go of the wish under the cursor.", 1),
    Key("wishes.add", "a", "add_wish", "wish", "Another wish.", 2),
    Key("studio.edit", "enter", "edit", "change", "Change the line under the cursor.", 1),
    Key(
        "studio.clear", "delete", "clear", "as usual", "Empty the line: what holds where nothing is said.", 3
    ),
    Key("studio.add", "a", "add", "add", "Add a deck, a chamber, or warmth for a width.", 2),
    Key("studio.take", "x", "take_away", "take away", "Take the deck, chamber or warmth away.", 4),
    Key("studio.hours", "h", "hours", "hours", "Hours of a date: other, closed, away, the helper, usual.", 3),
    Key("song.key", "k", "key_acts", "its key", "Give the song another key, or take it off the shelf.", 8),
    Key("song.parts", "p", "parts", "parts", "The parts of the song: which track is used for each.", 3),
    Key("card.edit", "enter", "edit", "change", "Change the field under the cursor.", 2),
    Key("card.clear", "delete", "clear", "clear", "Empty the field under the cursor."),
    Key("card.next", "full_stop", "next_one", "next", "The next card."),
    Key("card.before", "comma", "one_before", "before", "The card before."),
    Key("sheet.edit", "enter", "edit", "change", "Write in the cell: part, player, take, and so on.", 2),
    Key("sheet.clear", "delete", "clear", "clear", "Empty the cell under the cursor.", 3),
    Key("sheet.left", "left", "along(-1)", "left", "The cell at the left."),
    Key("sheet.right", "right", "along(1)", "right", "The cell at the right."),
    Key("sheet.add", "a", "add", "new sheet", "Begin another sheet of this reel.", 4),
    Key("sheet.next", "full_stop", "next_sheet", "next sheet", "The reel's next sheet.", 5),
    Key("lineup.tick", "space", "tick", "tick", "Tick the line, or let it go.", 2),
    Key("lineup.edit", "enter", "edit", "read", "Type the reading in; the next track follows.", 3),
    Key("lineup.clear", "delete", "clear", "clear", "Take the reading out."),
    Key("lineup.left", "left", "along(-1)", "left", "The track at the left."),
    Key("lineup.right", "right", "along(1)", "right", "The track at the right."),
    Key("lineup.found", "v", "found", "found/left", "Readings as found, or as left.", 4),
    Key(
        "lineup.choose",
        "i",
        "choose",
        "by what",
        "By which tape, by the reel's own tones, or as it stands.",
        5,
    ),
    Key(
        "lineup.picture",
        "h",
        "picture",
        "response",
        "The response before and after, and what has drifted.",
        5,
    ),
    Key("chamber.touched", "space", "touched", "done", "The turn or take-out that is next was done now.", 1),
    Key(
        "chamber.at",
        "a",
        "at_a_time",
        "at a time",
        "What happened here and was not told: a turn, a take-out, a break, a load, with its time.",
        3,
    ),
    Key("chamber.read", "enter", "read", "read", "Write a thermometer's reading down, with its place.", 2),
    Key("chamber.weigh", "k", "weigh", "weigh", "Weigh the reel under the cursor, before or after.", 3),
    Key("chamber.out", "x", "take_out", "take out", "Take the reel under the cursor out now.", 4),
    Key("chamber.off", "b", "broken_off", "broken off", "The load was broken off: power, or leaving.", 4),
    Key("chamber.on", "g", "go_on", "go on", "A load that was broken off goes on while it is warm.", 5),
    Key("chamber.load", "l", "load", "load", "Put reels into a chamber: its clock starts.", 5),
    Key(
        "chamber.empty", "e", "empty_run", "empty run", "Begin an empty run of the chamber, before loads.", 9
    ),
    Key("chamber.choose", "f", "choose_load", "loads", "Choose another load, running or past.", 6),
    Key("chamber.before", "comma", "other(-1)", "before", "The load before."),
    Key("chamber.next", "full_stop", "other(1)", "next", "The load after."),
    Key("chamber.ran", "v", "ran", "how it ran", "Write down how the reel under the cursor ran.", 9),
    Key("chamber.worked", "h", "worked", "what worked", "Which programme worked on which stock, here.", 9),
    Key("chamber.why", "y", "why", "why", "Why that reel is treated so, and by which figures."),
    Key("chamber.card", "i", "card", "card", "Open the card of the reel under the cursor."),
    Key(
        "capture.files", "f", "choose_files", "check files", "Choose the files of a pass and measure them.", 1
    ),
    Key("capture.stop", "e", "halt", "stop", "Stop what is being read; nothing is kept of it.", 1),
    Key("capture.fine", "space", "fine", "fine", "This place was listened to and is fine.", 2),
    Key("capture.again", "x", "again", "capture again", "This place is to be captured again.", 3),
    Key(
        "capture.hear",
        "h",
        "hear",
        "hear",
        "Hear this place; all places lie as short files in one folder.",
        2,
    ),
    Key("capture.next", "full_stop", "place_on(1)", "next", "The next place to listen to."),
    Key("capture.before", "comma", "place_on(-1)", "before", "The place before."),
    Key("capture.verified", "v", "verified", "verified", "Mark the reel verified, by this evidence.", 2),
    Key("capture.look", "l", "look", "look again", "Look whether the files are still what they were.", 4),
    Key(
        "capture.second",
        "d",
        "second",
        "second copy",
        "Compare a second copy in another place, by SHA-256.",
        3,
    ),
    Key("capture.report", "p", "report", "report", "Print the capture report.", 5),
    Key(
        "capture.bag",
        "g",
        "hand_over",
        "hand over",
        "Lay the files out as a BagIt folder, for handing over.",
        9,
    ),
    Key(
        "capture.manifest",
        "m",
        "manifest",
        "manifest",
        "Write the digests beside the files, for sha256sum -c.",
    ),
    Key(
        "capture.turn",
        "k",
        "turn_round",
        "turn round",
        "Turn the files of a pass round that was played backwards, beside the originals.",
        6,
    ),
    Key(
        "capture.to_tape",
        "b",
        "to_tape",
        "to the tape",
        "Add to the reel's history what the check tells of the tape itself.",
        9,
    ),
    Key("capture.pass_before", "left", "pass_on(-1)", "pass before", "The checked pass before."),
    Key("capture.pass_next", "right", "pass_on(1)", "next pass", "The next checked pass."),
    Key("run.edit", "enter", "edit", "change", "Change the field under the cursor.", 2),
    Key("run.clear", "delete", "clear", "clear", "Empty the field under the cursor.", 4),
    Key("run.add", "a", "add_all", "add them", "Add the whole run to the shelf.", 3),
    Key("loading.base", "b", "base", "base seen", "What the reel under the cursor was seen to be made of."),
    Key("ticks.tick", "space", "tick", "tick", "Tick the line, or let it go."),
    Key("look.bare", "space", "bare", "units", "Read bare numbers in the one unit that they can have."),
    Key("look.column", "c", "column", "a column", "Say which of ours a column of your own is."),
    Key("look.notes", "n", "to_notes", "to notes", "Leave out what cannot be read; the rows' notes keep it."),
    Key("ticks.none", "delete", "untick_all", "none", "Let everything go."),
    Key("list.up", "up", "move(-1)", "up", "The line above."),
    Key("list.down", "down", "move(1)", "down", "The line below."),
    Key("list.page_up", "pageup", "move(-1000)", "page up", "A page up."),
    Key("list.page_down", "pagedown", "move(1000)", "page down", "A page down."),
    Key("list.first", "home", "first", "first", "The first line."),
    Key("list.last", "end", "last", "last", "The last line."),
    Key(
        "closing.back",
        "space",
        "put_back",
        "put back",
        "The reels of this line are in their places, or not; on the heading: all of them.",
        1,
    ),
    Key(
        "learnt.back", "delete", "back", "give back", "Give this time back as it was before it was taken in."
    ),
    Key("keys.bind", "b", "bind", "bind", "Bind another key to this line, in place of the one that does it."),
    Key("keys.beside", "a", "beside", "beside", "Bind one more key to this line: a foot switch, say."),
    Key("keys.ours", "delete", "as_it_came", "as it came", "Give this line the key that it came with."),
    Key(
        "keys.all_ours", "x", "all_as_they_came", "all as they came", "Give every line the key it came with."
    ),
    Key("bell.touched", "space", "touched", "done", "The touch is done: log it with this moment.", 1),
    Key("bell.later", "l,escape", "later", "later", "Ring again in five minutes; the bar stays.", 2),
    Key("ask.yes", "enter", "yes", "go on", "Answer and go on.", 2),
    Key("ask.out", "escape", "out", "leave", "Leave the question; what was typed is there next time.", 1),
)


#: Those that stand in the head, since the foot of a place is full of the place's own.
HEAD_KEYS = tuple(key for key in KEYS if key.id in ("any.chamber", "any.figures"))


def bindings(*places: str) -> list[BindingType]:
    """The Textual bindings of these places, letters in both cases."""
    return [
        Binding(both_cases(key.keys), key.action, key.word, show=False, tooltip=key.says, id=key.id)
        for key in KEYS
        if key.place in places
    ]


def both_cases(keys: str) -> str:
    """The list of keys with each letter in both cases: caps lock must not take the keys away."""
    out: list[str] = []
    for key in keys.split(","):
        out.append(key)
        if len(key) == 1 and key.isalpha():
            out.append(key.swapcase())
    return ",".join(dict.fromkeys(out))


def keys_of(*places: str) -> tuple[Key, ...]:
    """The entries for these places, place by place in the order given."""
    return tuple(key for place in places for key in KEYS if key.place == place)


_SHOWN = {
    "space": "Space",
    "enter": "Enter",
    "escape": "Esc",
    "slash": "/",
    "question_mark": "?",
    "colon": ":",
    "delete": "Del",
    "full_stop": ".",
    "comma": ",",
    "up": "Up",
    "down": "Down",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "minus": "-",
    "plus": "+",
}


def shown(key: str) -> str:
    """How a key is called in words: ``Space``, ``B``, ``Ctrl+Q``."""
    if key in _SHOWN:
        return _SHOWN[key]
    return "+".join(part.upper() if len(part) == 1 else part.capitalize() for part in key.split("+"))


def shown_keys(key: Key, keymap: Mapping[str, str] | None = None) -> tuple[str, ...]:
    """The names of all keys that do this, the owner's own in place of ours."""
    keys = (keymap or {}).get(key.id, key.keys)
    return tuple(dict.fromkeys(shown(one.strip()) for one in keys.split(",")))


def called(name: str, keymap: Mapping[str, str] | None = None) -> str:
    """What the keys of that id are called in a sentence: ``L or Esc``, the owner's own in place of ours."""
    return " or ".join(shown_keys(next(key for key in KEYS if key.id == name), keymap))


def own_keymap(record: object) -> tuple[dict[str, str], tuple[str, ...]]:
    """The owner's own keys as (id -> keys), and a sentence for each entry that cannot be used.

    ``record`` is what the shelf keeps: a table of id to keys. A key taken twice in one place is refused.
    """
    wanted = {str(k): str(v) for k, v in record.items()} if isinstance(record, Mapping) else {}
    known = {key.id: key for key in KEYS}
    taken: dict[str, str] = {}
    out: dict[str, str] = {}
    troubles: list[str] = []
    for key in KEYS:
        if key.id not in wanted:
            taken |= {f"{key.place} {one}": key.id for one in both_cases(key.keys).split(",")}
    for name, keys in wanted.items():
        if name not in known:
            troubles.append(f"{name} is not the id of a key")
            continue
        listed = both_cases(",".join(one.strip() for one in keys.split(",") if one.strip()))
        places = [f"{known[name].place} {one}" for one in listed.split(",") if one]
        clash = next((taken[place] for place in places if place in taken), None)
        if clash or not places:
            troubles.append(f"{name}: {keys} is taken by {clash}" if clash else f"{name}: no key given")
            continue
        taken |= dict.fromkeys(places, name)
        out[name] = listed
    return out, tuple(troubles)


def key_table(keys: Iterable[Key] = KEYS) -> str:
    """The table of keys as docs/keys.md holds it."""
    lines: list[str] = []
    for place, title in PLACES.items():
        rows = [key for key in keys if key.place == place]
        if rows:
            lines += [f"## {title}", "", "| key | does | id |", "|---|---|---|"]
            for key in rows:
                names = " or ".join(f"`{one}`" for one in shown_keys(key))
                lines.append(f"| {names} | {key.says} | `{key.id}` |")
            lines.append("")
    return "\n".join(lines)
