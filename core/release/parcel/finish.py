"""Lists of a parcel that tell of finishing: mixes, steps, credits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from core.release.mixes import SAID, Mix
from core.release.parcel.lists import Rows
from core.release.people.credits import Credit
from core.release.steps import SongStep


def mix_rows(mixes: Iterable[Mix], files: Mapping[int, str]) -> Rows:
    """The mixes as they were measured, with the file of each that is handed over, by number."""
    rows: Rows = [(
        "mix", "stands", "file", "came", "by", "seconds", "channels", "sample_rate", "peak_dbfs",
        "true_peak_dbtp", "loudness_lufs", "sha256", "note",
    )]  # fmt: skip
    rows += [
        (one.number, SAID[one.stands], files.get(one.number, ""), one.at, one.by, float(one.seconds),
         one.channels, one.sample_rate, _level(one.peak_dbfs), _level(one.true_peak_dbtp),
         _level(one.loudness_lufs), one.sha256, one.note)
        for one in mixes
    ]  # fmt: skip
    return rows


def _level(value: float | None) -> object:
    return "" if value is None else round(value, 2)


def step_rows(steps: Iterable[SongStep]) -> Rows:
    """What is left to do, and what was done."""
    rows: Rows = [("step", "text", "who", "by", "after", "done_at")]
    rows += [(one.number, one.text, one.who, one.by, one.after, one.done_at) for one in steps]
    return rows


def credit_rows(credits: Iterable[Credit]) -> Rows:
    """Who plays what, a row a player and song, and how the asking stands."""
    rows: Rows = [("player", "on_the_sleeve", "song", "plays", "asked", "answered", "agreed")]
    rows += [
        (one.player, one.name, song, ", ".join(parts), one.asked.asked, one.asked.answered,
         ("yes" if one.asked.agreed else "no") if one.asked.answered else "")
        for one in credits for song, parts in one.plays
    ]  # fmt: skip
    return rows
