"""A chamber load: which reels go in. Those that must not are shown with the reason."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget
from textual.widgets import Static

from core.clock import evening_of
from core.conditioning.base_look import looks_asked
from core.conditioning.beyond_published import about_load
from core.conditioning.loads.trial import trial_words
from core.conditioning.spreading.shared_air import look_in_short
from core.errors import ReelturnError
from core.evening.playing.left_lying import on_two_reels
from core.evening.warming.load import at_home_already, cannot_go_in, reasons_asked
from core.reels.needs import needs_conditioning
from core.shelf import Shelf
from core.studio.studio import Chamber
from core.words import day_text, ended
from tui.asking.asking import Question
from tui.asking.reason import ask_reason, drop_reasons
from tui.asking.toggles import Tick, Toggles
from tui.keys.keys import bindings
from tui.safe_text import plain


class AskLoad(Question[None]):
    """Ticks for the chamber and for every reel that waits for warmth, and for the one under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("ask", "loading")
    FOOT = (
        "{ticks.tick} ticks   {loading.base} base seen   "
        "{ask.yes} starts the load: its clock runs from now   {ask.out} leaves"
    )

    def __init__(self, key: str = "", at: datetime | None = None) -> None:
        """``at``: the load went in then, and is told afterwards; else it begins now."""
        super().__init__(
            "Load a chamber",
            "Warm only what must be warmed; stay by it; a second thermometer at reel height.",
        )
        self.key, self.at = key, at
        if at is not None:
            told = f"the load began {day_text(at.date())} {at:%H:%M}"
            self.FOOT = (
                f"{{ticks.tick}} ticks   {{loading.base}} base seen   {{ask.yes}} {told}   {{ask.out}} leaves"
            )

    def answers(self) -> Iterable[Widget]:
        """The chambers where there are several, then the reels, then how many trays that takes."""
        shelf, chambers = self.home.shelf, self.home.shelf.studio.chambers
        ticks = self._ticks()
        first = next((c.id for c in chambers if not self._busy(shelf, c)), chambers[0].id)
        start = {f"chamber {first}"} | {t.key for t in ticks if t.key == f"reel {self.key}" and not t.why_not}
        toggles = Toggles(ticks, frozenset(start))
        toggles.styles.height = min(len(ticks), 10)
        yield toggles
        yield Static("", id="trays", markup=False)

    def _ticks(self) -> list[Tick]:
        shelf, now = self.home.shelf, self.at or self.home.now()
        own, chambers = shelf.own_stocks(), shelf.studio.chambers
        unseen = looks_asked(shelf, shelf.reels)
        ticks = [Tick("", "Chamber"), *(Tick(f"chamber {c.id}", c.id, "chamber") for c in chambers)]
        ticks.append(Tick("", "Reels"))
        waiting = [k for k, r in shelf.reels.items() if needs_conditioning(r, shelf.studio, now, own)]
        for key in dict.fromkeys((*([self.key] if self.key in shelf.reels else []), *waiting)):
            why = self._why_not(shelf, chambers[0], key)
            label = shelf.reel(key).box_label or shelf.reel(key).contents
            asked = "base not seen  " if key in unseen else ""
            near = look_in_short(shelf, key)
            asked += f"! {near}  " if near else ""
            asked += "! on two reels  " if on_two_reels(shelf, key) else ""
            ticks.append(Tick(f"reel {key}", f"{key}  {asked}{label}", why_not=why))
        return ticks

    def _busy(self, shelf: Shelf, chamber: Chamber) -> bool:
        return any(reel.chamber == chamber.id for reel in shelf.reels.values())

    def _why_not(self, shelf: Shelf, chamber: Chamber, key: str) -> str:
        """Why that reel alone could not go into the empty chamber, whatever reason were given."""
        return cannot_go_in(shelf, chamber, shelf.reel(key), self.at or self.home.now()) or ""

    def on_mount(self) -> None:
        """Says how many trays are taken."""
        self._ticked()

    @on(Toggles.Ticked)
    @on(Toggles.Moved)
    def _ticked(self) -> None:
        chamber, reels = self._chosen()
        shelf = self.home.shelf
        place = shelf.studio.chamber(chamber)
        taken = sum(place.trays_for(w) or 0 for key in reels if place and (w := shelf.reel(key).width))
        words = f"{taken} of {place.trays} trays" if place else "tick a chamber"
        trial = trial_words(shelf, chamber) if place else ""
        *before, last = (one for one in (words, trial, "; ".join(about_load(shelf, chamber, reels))) if one)
        words = " ".join((*(ended(one) for one in before), last))
        toggles = self.query_one(Toggles)
        line = toggles.lines[toggles.cursor] if toggles.cursor < len(toggles.lines) else None
        if line is not None and line.why_not:
            words = f"{line.key.removeprefix('reel ')} does not go in: {line.why_not}"
        self.query_one("#trays", Static).update(plain(words))

    def _chosen(self) -> tuple[str, list[str]]:
        toggles = self.query_one(Toggles)
        on = [line.key for line in toggles.lines if line.key in toggles.ticked]
        chamber = next((key.partition(" ")[2] for key in on if key.startswith("chamber ")), "")
        return chamber, [key.partition(" ")[2] for key in on if key.startswith("reel ")]

    def action_base(self) -> None:
        """Asks what the reel under the cursor was seen to be made of."""
        from tui.asking.about_tape import ask_base

        toggles = self.query_one(Toggles)
        key = toggles.lines[toggles.cursor].key if toggles.cursor < len(toggles.lines) else ""
        if key.startswith("reel "):
            ask_base(self.home, key.removeprefix("reel "), self._looked)
        else:
            self.trouble("the base is asked of a reel: put the cursor on one")

    def _looked(self) -> None:
        """The lines as they are now; what may not go in any more is let go."""
        toggles = self.query_one(Toggles)
        toggles.lines = tuple(self._ticks())
        toggles.ticked -= {line.key for line in toggles.lines if line.why_not}
        toggles.refresh()
        self._ticked()

    def action_yes(self) -> None:
        """Starts the load, or says why it cannot start; bases that nobody has seen are asked about once."""
        from tui.asking.about_tape import ask_load

        chamber, ticked = self._chosen()
        self._looked()  # another program may have changed what is ticked
        reels = self._chosen()[1]
        otherwise = [self._why_left(chamber, key) for key in ticked if key not in reels]
        if otherwise:
            self.trouble("; ".join(otherwise))
            return
        if not chamber or not reels:
            self.trouble("tick a chamber and at least one reel")
            return
        ask_load(self.home, chamber, reels, lambda: self._as_seen(chamber, reels))

    def _as_seen(self, chamber: str, reels: list[str]) -> None:
        """Begins with those reels, unless what was seen of one keeps it out."""
        self._looked()
        left = [self._why_left(chamber, key) for key in reels if key not in self._chosen()[1]]
        if left:
            self.trouble("; ".join(left))
        else:
            self._begin(chamber, reels)

    def _why_left(self, chamber: str, key: str) -> str:
        """Why a reel that was ticked is so no more."""
        shelf = self.home.shelf
        place = shelf.studio.chamber(chamber) or shelf.studio.chambers[0]
        if key not in shelf.reels:
            return f"{key} is not on the shelf any more, by that name"
        why = self._why_not(shelf, place, key) or "it needs no warmth any more"
        return f"{key} does not go into chamber {place.id}: {why}"

    def _begin(self, chamber: str, reels: list[str]) -> None:
        shelf, now = self.home.shelf, self.at or self.home.now()
        place = shelf.studio.chamber(chamber)
        asked = reasons_asked(shelf, place, [shelf.reel(key) for key in reels], now) if place else ()
        if not asked:
            self._load(chamber, reels, now, "")
            return
        evening = evening_of(now.astimezone(shelf.studio.zone))
        question = ask_reason(
            f"Load {chamber}: all the same?",
            f"{ended('; '.join(asked))} Say why; it is kept.",
            step=f"{_step(chamber)}of {', '.join(reels)}, {evening}",
            text=at_home_already(shelf, chamber, reels, now) if self.at is None else "",
        )
        self.app.push_screen(question, lambda why: self._load(chamber, reels, now, why) if why else None)

    def _load(self, chamber: str, reels: list[str], at: datetime, because: str) -> None:
        try:
            self.home.book.load(chamber, reels, at, because=because)
        except ReelturnError as error:
            self.home.drafts.back()
            self.trouble(str(error))
            return
        self.home.drafts.done()  # the reason is taken: leaving does not bring it back
        drop_reasons(self.home, _step(chamber))
        self.dismiss(None)
        self.home.took_over(self.home.undoable(f"{', '.join(reels)} went into {chamber}"))


def _step(chamber: str) -> str:
    """What the reasons for loading that chamber begin with."""
    return f"load {chamber} "
