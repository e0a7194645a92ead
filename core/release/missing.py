"""What a song still lacks, each in one sentence, with what it waits for: tapes, a person, you, a player."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from core.release.mix_words import mix_remarks
from core.release.mixes import Mix, the_one
from core.release.steps import SongStep, waits_on
from core.release.waits import TAPES, YOU, Missing
from core.shelf import Shelf
from core.songs.song import Song
from core.songs.when import SongDate
from core.words import day_text


def of_song(
    shelf: Shelf,
    song: Song,
    state: str,
    when: SongDate,
    seconds: Fraction | None,
    mixes: tuple[Mix, ...],
    steps: Sequence[SongStep],
    today: date,
    wished: date | None = None,
    captured: Fraction | None = None,
) -> tuple[Missing, ...]:
    """What one song lacks, what comes next first; ``captured`` is how long it is on its tapes, in seconds."""
    said: list[tuple[str, str]] = []
    if state == "nothing known":
        said.append((YOU, "nothing is known of it: which reel is it on?"))
    elif when.state == "waiting" and state in ("waiting", "in work"):
        waits = f"; waits for {', '.join(when.waits_for)}" if when.waits_for else ""
        wish = f"; wished by {day_text(wished)}" if wished else ""
        said.append((TAPES, when.words + wish + waits))
    elif when.state == "barred":
        why = "; ".join(f"{reel}: {says}" for reel, says in when.told.barred_by)
        said.append((YOU, f"barred by {why}"))
    by_number = {step.number: step for step in steps}
    said += [
        (_for(shelf, step, by_number), _step_words(shelf, step, by_number, today))
        for step in steps if not step.done
    ]  # fmt: skip
    one = the_one(mixes)
    if one is not None:
        said += [(YOU, f"mix {one.number} is the one, but {odd}")
                 for odd in mix_remarks(one, None, song.target_length, captured)]  # fmt: skip
    if one is None:
        waiting = [mix for mix in mixes if mix.stands == "to-approve"]
        if waiting:
            said.append((YOU, f"mix {waiting[-1].number} is to be approved"))
        elif state in ("captured", "in work"):
            said.append((YOU, "no mix is the one yet"))
    if seconds is None:
        said.append((YOU, "its length is not known"))
    return tuple(Missing(who, says, song.key, song.title) for who, says in said)


def _for(shelf: Shelf, step: SongStep, steps: Mapping[int, SongStep], passed: tuple[int, ...] = ()) -> str:
    """Who or what a step waits for at last: through the steps before it, a reel, a person, who does it."""
    waits = waits_on(shelf, step, steps)
    if waits and step.after.isdigit() and step.number not in passed:
        return _for(shelf, steps[int(step.after)], steps, (*passed, step.number))
    if waits and not step.after.isdigit():
        return TAPES if step.after in shelf.reels else waits
    return step.who or YOU


def _step_words(shelf: Shelf, step: SongStep, steps: Mapping[int, SongStep], today: date) -> str:
    waits = waits_on(shelf, step, steps)
    who = f", {step.who}" if step.who else ""
    late = " (late)" if step.due is not None and step.due < today else ""
    until = f", by {step.by}{late}" if step.by else ""
    return f"{step.text}{who}{until}" + (f"; waits for {waits}" if waits else "")
