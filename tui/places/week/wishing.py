"""On the week: holding steps, closing dates, wishes as one types them, the list of them, and reasons."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, ClassVar, Protocol

from textual.binding import BindingType

from core.errors import ReelturnError, Refused
from core.plan import Item, LeftOver
from core.planning.wishes.wish_words import HOW, read_day, read_wish
from core.planning.wishes.wishes import Wish, wished_on
from core.reels.by_number import by_number
from core.shelf import Shelf
from core.words import day_text
from tui.asking.asking import AskText
from tui.frame.acts.held import Acts, Here
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.place import Place
from tui.frame.text_page import TextPage
from tui.keys.keys import bindings
from tui.keys.words import Told, keyed
from tui.safe_text import fit

if TYPE_CHECKING:
    from tui.home import Home

SHOWN = 0.5
"""Effort that goes into trying what would do, on a screen that waits for it; `why` tries for longer."""


class OnWeek(Here, Protocol):
    """The week, with a step or a reel that is left over under its cursor."""

    @property
    def item(self) -> Item | None:
        """The step under the cursor."""

    @property
    def left_over(self) -> LeftOver | None:
        """The reel under the cursor that no evening has."""

    @property
    def is_on_top(self) -> bool:
        """True while no question and no card lies above it."""


class WishingActs(Acts[OnWeek]):
    """What a person can wish of the next plan, and ask of this one."""

    def mark_of(self, item: Item) -> str:
        """``#`` for a step that is held on its date, ``!`` for one that is to go from it."""
        found = [wish for wish in wished_on(self.home.shelf).values() if _about(wish, item)]
        if any(wish.kind in ("on", "warm") and wish.day == item.start.date() for wish in found):
            return "#"
        return "!" if any(wish.kind not in ("on", "warm") for wish in found) else ""

    def held_words(self, item: Item) -> str:
        """The wishes about a step, in words."""
        found = [wish.words for wish in wished_on(self.home.shelf).values() if _about(wish, item)]
        return f"   wished: {', '.join(found)}" if found else ""

    def action_pin(self) -> None:
        """Holds the transfer, or the reels of the load, on this date in the next plan; or lets them go."""
        item = self.here.item
        if item is not None:
            kind = "on" if item.kind == "transfer" else "warm"
            self._turn([Wish(kind, reel, item.start.date()) for reel in item.reels], "held on", item)  # type: ignore[arg-type]

    def action_forbid(self) -> None:
        """Keeps the step off this date in the next plan, or allows it again."""
        item = self.here.item
        if item is None:
            return
        day = item.start.date()
        wish = {
            "transfer": Wish("off", item.reel, day),
            "condition": Wish("no chamber", "", day),
            "align": Wish("no deck", item.deck, day),
        }[item.kind]
        self._turn([wish], "kept off", item)

    def _turn(self, wishes: Sequence[Wish], verb: str, item: Item) -> None:
        """Makes these wishes, or lets go of them where all are there."""
        there = wished_on(self.home.shelf)
        release = all(there.get(wish.key) == wish for wish in wishes)

        def act(shelf: Shelf) -> Shelf:
            for wish in wishes:
                shelf = shelf.with_record("pin", wish.key, None if release else wish.to_record())
            return shelf

        name = {"condition": "the load", "align": f"{item.deck}"}.get(item.kind, f"{item.kind} {item.reel}")
        when = day_text(item.start.date())
        around = self.home.keyed("{any.plan} plans around it")
        said = f"{name} is free again" if release else f"{name} is {verb} {when}; {around}"
        self.home.do(lambda: self.home.book.change(act, what=f"wish {wishes[0].words}"), said)

    def action_wish(self) -> None:
        """Asks for a wish in words."""
        today = self.home.now().date()
        question = AskText(
            "A wish for the next plan", f"As {HOW}.", draft="wish", check=_check(self.home.shelf, today)
        )
        self.home.push_screen(question, self._wished)

    def _wished(self, text: str | None) -> None:
        if text:
            wish = self.home.do(lambda: self.home.book.plans.wish(text))
            if wish is not None:
                then = "{any.plan} plans for it, {week.wishes} lists all wishes"
                said, bad = _wished_told(self.home, wish, then)
                self.home.say(said, bad=bad)

    def action_wishes(self) -> None:
        """Opens the list of wishes."""
        self.home.push_screen(WishesPage())

    def action_because(self) -> None:
        """Why the reel under the cursor is left over; else asks about which reel or song."""
        left: LeftOver | None = self.here.left_over
        if left is not None:
            self._because(left.reel)
            return
        words = "A reel that is left over, or a song, with `by DATE` or without."
        today = self.home.now().date()
        question = AskText(
            "Why not sooner?",
            words,
            draft="because",
            hint="S-01 by sat",
            check=lambda text: _not_asked(self.home.shelf, text, today),
        )
        self.home.push_screen(question, self._because)

    def _because(self, text: str | None) -> None:
        """Looks for the reasons in a thread, for seconds; what is pressed meanwhile is for this place."""
        if not text:
            return
        what, day = _asked_of(self.home.shelf, text)
        until = read_day(day, self.home.now().date()) if day else None
        self.home.say(f"looking for what stands in the way of {what} ...")
        head = f"{what}{f' by {day_text(until)}' if until else ''}"
        home, show = self.home, self._show_because

        def look() -> None:
            try:
                reasons = home.book.plans.why(what, until, effort=SHOWN)
            except ReelturnError as error:
                home.call_from_thread(home.say, home.by_keys(str(error)), bad=True)
                return
            told = [("word", f"{one.what}: {one.says}" if one.rule else one.why) for one in reasons]
            home.call_from_thread(show, [("head", head), *(told or [("good", "nothing stands in its way")])])

        home.run_worker(look, thread=True, exclusive=True, group="because", exit_on_error=False)

    def _show_because(self, lines: list[tuple[str, str]]) -> None:
        """The reasons on a page; in a line where the person went on to something else meanwhile."""
        self.home.say(f"{lines[0][1]}: {lines[1][1]}")
        if self.here.is_on_top:
            self.home.push_screen(TextPage("Because", lambda: lines))


def _asked_of(shelf: Shelf, text: str) -> tuple[str, str]:
    """The song or reel that is asked about, and by when where that is told: ``S-01 by sat``, or ``8``."""
    what, by, day = text.strip().rpartition(" by ")
    what = what.strip() if by else text.strip()
    named = what if what in shelf.songs else by_number(what, shelf.reels) or what
    return named, day if by else ""


def _not_asked(shelf: Shelf, text: str, today: date) -> str | None:
    """What is wrong with such a question while it is typed."""
    what, day = _asked_of(shelf, text)
    if what not in shelf.songs and what not in shelf.reels:
        return f"no reel or song {what!r} on this shelf"
    try:
        if day:
            read_day(day, today)
    except Refused as error:
        return str(error)
    return None


def _wished_told(home: Home, wish: Wish, then: str) -> tuple[Told, bool]:
    """What is said of a wish that was made: what stands in its way as the shelf is, else which keys go on."""
    against = home.book.plans.stands_against(wish)
    if not against:
        return Told(f"wished: {wish.words}; {home.keyed(then)}"), False
    back = home.keyed("{any.undo} takes it back")
    said = f"wished: {wish.words}; in its way as it is: {against}; {back}"
    return Told(said, undoes=True), True


def _about(wish: Wish, item: Item) -> bool:
    if wish.kind in ("on", "off", "by"):
        return item.kind == "transfer" and wish.about == item.reel
    if wish.kind == "warm":
        return item.kind == "condition" and wish.about in item.reels
    if wish.kind == "from":
        return wish.about in item.reels
    on_it = wish.day is not None and item.start.date() <= wish.day <= item.end.date()
    if wish.kind == "no chamber":
        return item.kind == "condition" and on_it
    return wish.kind == "no deck" and bool(item.deck) and wish.about in ("", item.deck) and on_it


def _check(shelf: Shelf, today: date) -> Callable[[str], str | None]:
    def check(text: str) -> str | None:
        try:
            read_wish(text, shelf, today)
        except Refused as error:
            return str(error)
        return None

    return check


class WishList(LineList):
    """A wish a line: how it stands, then why not."""

    def __init__(self) -> None:
        super().__init__()
        self.told: tuple[tuple[str, str], ...] = ()

    def show(self, told: Sequence[tuple[str, str]]) -> None:
        """Shows these wishes, each with its state."""
        self.told = tuple(told)
        self.lay(max(1, len(self.told)))

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """The state, and the wish in words."""
        if not self.told:
            adds = keyed("  nothing is wished: {wishes.add} adds a wish", getattr(self.app, "own_keys", {}))
            return [(fit(adds, width), "dim")]
        state, words = self.told[index]
        role = {"kept": "good", "not kept": "bad"}.get(state, "dim")
        return [(fit(f"{self.sign_at(index)} {state}", 12), role), (fit(words, width - 12), "word")]


class WishesPage(Place):
    """All wishes with whether the plan keeps them; Delete lets go of the one under the cursor."""

    PLACES: ClassVar[tuple[str, ...]] = ("wishes", "list")
    BINDINGS: ClassVar[list[BindingType]] = bindings("wishes", "list")

    def heading(self) -> str:
        """What the page is about."""
        return "Wishes"

    def body(self) -> Sequence[WishList]:
        """The list; the line that says tells the whole of what the cursor is on."""
        return (WishList(),)

    def laid(self) -> None:
        """Tells how every wish stands now."""
        self.wishes = self.home.book.plans.wishes_told()
        listed = self.query_one(WishList)
        listed.show(
            [(one.state, f"{one.wish.words}{f': {one.why}' if one.why else ''}") for one in self.wishes]
        )

    def reason_not(self, action: str) -> str | None:
        """Without a wish there is none to let go of."""
        if action in ("drop_wish", "tell_wish") and not self.query_one(WishList).told:
            return "nothing is wished"
        return super().reason_not(action)

    def action_tell_wish(self) -> None:
        """Opens the whole sentence of the wish under the cursor."""
        one = self.wishes[self.query_one(WishList).cursor]
        role = "good" if one.state == "kept" else "word"
        lines = [("head", one.wish.words), (role, one.state), *([("word", one.why)] if one.why else [])]
        self.app.push_screen(TextPage("A wish", lambda: lines))

    def action_drop_wish(self) -> None:
        """Lets go of the wish under the cursor."""
        number = self.query_one(WishList).cursor + 1
        wish = self.home.do(lambda: self.home.book.plans.drop_wish(number))
        if wish is not None:
            self.say(f"let go of: {wish.words}; {self.home.keyed('{any.undo} brings it back')}")

    def action_add_wish(self) -> None:
        """Asks for another wish."""
        today = self.home.now().date()
        check = _check(self.home.shelf, today)
        question = AskText("A wish for the next plan", f"As {HOW}.", draft="wish", check=check)
        self.app.push_screen(question, self._add)

    def _add(self, text: str | None) -> None:
        wish = self.home.do(lambda: self.home.book.plans.wish(text)) if text else None
        if wish is not None:
            said, bad = _wished_told(self.home, wish, "{any.week}, then {any.plan} plans for it")
            self.say(said, bad=bad)
