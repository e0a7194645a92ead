"""The columns of reels, songs, track sheets, segments and history, and how a row becomes a value and back."""

from __future__ import annotations

from core.reels.reel import (
    BACK_COATS,
    BASES,
    CONDITIONS,
    ROLES,
    SIGNS,
    STAGES,
    TIMECODE_RATES,
    TRIED,
    Reel,
    Segment,
)
from core.release.codes import isrc_trouble, iswc_trouble
from core.shelf import Event
from core.songs.song import SheetRow, Song
from core.songs.written.clock_speed import read_clock_speed
from core.store.rows.columns import (
    Column,
    curve,
    key,
    moment,
    one_of,
    percent,
    play_length,
    reason,
    reference,
    some_of,
    whole,
    word,
    words,
)
from core.store.rows.figures import quantity, such_as_were
from core.store.rows.song_cells import code, needs_text, read_copied_from, read_needs
from core.store.rows.table import Rowed, Table


def _by_name(*columns: Column) -> dict[str, Column]:
    return {column.name: column for column in columns}


REELS = Table("reels", ("reel",), _by_name(
    key("reel", "key"), words("box_label"), words("contents"), one_of("role", ROLES),
    quantity("width", "length"), such_as_were(whole("tracks", 1, 1000)), quantity("speed", "speed"),
    curve("eq"), quantity("level", "flux"), word("noise_reduction"), word("stock"), one_of("base", BASES),
    quantity("thickness", "length"), quantity("reel_size", "length"), quantity("length", "length"),
    quantity("pack_diameter", "length"), quantity("hub_diameter", "length"),
    one_of("wind", ("tails", "heads")), such_as_were(whole("splices", 0, 10_000)),
    some_of("condition", CONDITIONS, ("signs", SIGNS)),
    one_of("stage", STAGES), moment("conditioned_at"), moment("playable_until"), word("chamber"),
    moment("loaded_at"), quantity("treatment_hours", "time"), moment("heard"),
    words("tones"), words("decoded"), such_as_were(percent("varispeed")),
    such_as_were(whole("timecode_track", 1, 1000)), one_of("timecode_rate", TIMECODE_RATES),
    words("location"), words("notes"), reason("set_aside"),
    some_of("signs", SIGNS, ("condition", CONDITIONS)),
    one_of("back_coat", BACK_COATS), such_as_were(word("year")), words("storage"),
    one_of("base_seen", (*BASES, "yes", "no")), one_of("tried", TRIED),
    words("photographs"),
), Reel, ("reel",))  # fmt: skip

SONGS = Table("songs", ("song",), _by_name(
    key("song", "key"), words("title"), words("artist"), word("album"), whole("order", -10**6),
    whole("priority", 1, 9), play_length("target_length"), Column("needs", "needs", read_needs, needs_text),
    words("todo"), words("notes"), reference("clock_reel"),
    Column("clock_speed", "clock_speed", lambda text, _: read_clock_speed(text), str),
    words("writers"), code("isrc", isrc_trouble), code("iswc", iswc_trouble),
), Song, ("song",))  # fmt: skip

SHEETS = Table("sheets", ("sheet",), _by_name(
    key("sheet", "sheet"), reference("reel"), reference("song"), words("date"),
    such_as_were(whole("track", 1, 1000)), words("part"), words("player"), words("take"),
    Column("copied_from", "copied_from", read_copied_from, str), words("notes"),
    words("found_in"), words("wiped"),
), SheetRow, ("sheet",))  # fmt: skip

SEGMENTS = Table("segments", ("reel", "from", "to"), _by_name(
    key("reel", "reel"), play_length("from", "start"), play_length("to", "end"), quantity("speed", "speed"),
    curve("eq"), quantity("level", "flux"), word("noise_reduction"), words("title"),
), Segment, ("reel", "from", "to"))  # fmt: skip

HISTORY = Table("history", ("at", "kind", "key"), _by_name(
    moment("at"), word("kind"), words("key"), words("field"), words("old"), words("new"), words("note"),
    words("because"), whole("change", 0, 10**9, blank=0),
), Event, ("at", "kind"))  # fmt: skip

#: The kind of file is told by the header, the most telling first.
TABLES: tuple[Table[Rowed], ...] = (HISTORY, SHEETS, SEGMENTS, SONGS, REELS)
