"""Catching up as one form: a line a step, its planned times filled in; Enter at the last takes them all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, tzinfo

from core.clock import evening_of, later
from core.errors import ReelturnError
from core.evening.afterwards.catch_up import Caught, How, reasons_wanted
from core.evening.afterwards.unmarked_words import unmarked_words
from core.evening.playing.when import of_evening, start_and_end
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import words
from core.logbook.passes import played_of
from core.shelf import Shelf
from core.words import counted
from tui.asking.form import FormPage
from tui.asking.form_lines import FormLine, Values

_SAID: tuple[How, ...] = ("moved", "left")
#: Each of them by as many of its letters as were typed.
_WORDS: Mapping[str, How] = {one[:count]: one for one in _SAID for count in range(1, len(one) + 1)}
#: What waits for a tape's warmth.
_RESTS = ("repair", "transfer", "verify", "audition")


def catch_form(shelf: Shelf, steps: Sequence[Step], now: datetime, *, earlier: bool) -> FormPage:
    """The form for these steps; ``earlier``: each line names its day, and no load is taken as done."""
    where = shelf.studio.zone

    def lines(values: Values) -> tuple[FormLine, ...]:
        return tuple(
            FormLine(
                step.key,
                _label(step, earlier=earlier),
                _as_before_it(step, steps, values)
                or _as_its_load(step, steps, values, earlier=earlier)
                or _filled(step, shelf, now, earlier=earlier),
                _hint(step),
                lambda text, step=step: _wrong(text, step, where, now),  # type: ignore[misc]
            )
            for step in steps
        )

    def wrong(values: Values) -> str | None:
        told = told_by(values, steps, where, now)
        if not told:
            return "nothing is told of any step"
        try:
            reasons_wanted(shelf, told)
        except ReelturnError as error:
            return str(error)
        return None

    words_of = (
        "When each really began and ended; moved (m): not done, to be planned again; left (l): not done, and "
        "not before tomorrow. An empty line stays open."
    )
    return FormPage(title(steps, earlier=earlier), words_of, lines, draft="catch up", wrong=wrong)


def _as_before_it(step: Step, steps: Sequence[Step], values: Values) -> str:
    """``moved`` or ``left`` where that was typed of an earlier step of the same reel; else nothing."""
    before = (one for one in steps if one.subject == step.subject and one.planned.start < step.planned.start)
    typed = [values.get(one.key, "").strip() for one in before if not one.touch and one.kind != "align"]
    told = [text for text in typed if text.casefold() in _WORDS]
    return told[-1] if told and not step.touch and step.kind != "align" else ""


def _as_its_load(step: Step, steps: Sequence[Step], values: Values, *, earlier: bool) -> str:
    """``moved`` or ``left`` where the load that was to warm its tape stands so; else nothing."""
    if step.kind not in _RESTS:
        return ""
    before = (one for one in steps if one.kind == "load" and one.planned.start < step.planned.start)
    loads = [one for one in before if step.subject in one.reels]
    never = [values.get(one.key, "").strip() or ("moved" if earlier else "") for one in loads]
    told = [text for text, one in zip(never, loads, strict=True) if one.state != "running"]
    return told[-1] if told and told[-1].casefold() in _WORDS else ""


def title(steps: Sequence[Step], *, earlier: bool) -> str:
    """``6 steps of Wed 2 Dec not marked``, or ``Catching up: 4 steps until now``."""
    return unmarked_words(steps) if earlier else f"Catching up: {counted(len(steps), 'step')} until now"


def told_by(values: Values, steps: Sequence[Step], where: tzinfo, now: datetime) -> list[Caught]:
    """What the form tells of each step, those apart of which it tells nothing."""
    read = (_read(values.get(step.key, ""), step, where, now) for step in steps)
    return [one for one in read if one is not None]


def _hint(step: Step) -> str:
    """What an emptied line takes: times such as its own, or one of the words."""
    first, last = f"{step.planned.start:%H:%M}", f"{step.planned.end:%H:%M}"
    return f"{first if step.touch else f'{first}-{last}'}, or moved, or left"


def _label(step: Step, *, earlier: bool) -> str:
    plain = f"line up {step.subject}" if step.kind == "align" else words(step).replace(" chamber ", " ")
    return f"{step.planned.start:%a} {plain}" if earlier else plain


def _filled(step: Step, shelf: Shelf, now: datetime, *, earlier: bool) -> str:
    """Its planned times; a load of another evening is never taken as begun, nor a tape as run, unasked.

    What was begun lasted from then on as long as it was planned, a tape as long as it plays.
    """
    if step.state == "running" and step.started is not None:
        return _begun(step, shelf, now)
    if earlier and step.kind == "load":
        return "moved"
    if step.touch:
        return f"{step.planned.start:%H:%M}"
    return f"{step.planned.start:%H:%M}-{step.planned.end:%H:%M}"


def _begun(step: Step, shelf: Shelf, now: datetime) -> str:
    began, ends = step.started or now, later(step.started or now, minutes=step.planned.minutes)
    mine = played_of(shelf, step.subject) if step.kind == "transfer" else ()
    tape = next((one for one in mine if one.state != "done"), None)
    if tape is not None and tape.state == "stopped":
        return "moved"  # it goes on from where it stands
    if tape is not None and tape.due is not None:
        ends = tape.due.astimezone(began.tzinfo)
    return f"{began:%H:%M}-{min(ends, now):%H:%M}"


def _read(text: str, step: Step, where: tzinfo, now: datetime) -> Caught | None:
    typed = text.strip().casefold()
    if not typed:
        return None
    if typed in _WORDS:
        return Caught(step, _WORDS[typed])
    day = evening_of(step.planned.start)
    if step.touch and "-" not in typed:
        at = of_evening(typed, day, where)
        if at > now:
            raise ValueError("a time that is over: this is still to come")
        return Caught(step, "done", at, at)
    started, finished = start_and_end(typed, day, where, now)
    return Caught(step, "done", started, finished)


def _wrong(text: str, step: Step, where: tzinfo, now: datetime) -> str | None:
    try:
        _read(text, step, where, now)
    except ValueError as error:
        return f"wants {error}, moved, or left"
    return None
