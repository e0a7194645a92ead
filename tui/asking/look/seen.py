"""What becomes of the answers of a look: the reel with what is seen of it, and the shelf it is written on."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from core.conditioning.box_asked import box_answered
from core.errors import Refused
from core.evening.answers import is_another_stock, plan_rests_on_base, stock_asked, with_box_word
from core.evening.mark import mark
from core.plan import Plan
from core.reels.looked_at import BY_THE_BOX, LOOKED_AT
from core.reels.needs import stays_closed
from core.reels.reel import Reel
from core.shelf import Shelf
from core.standing.gates import unmet
from core.store.exchange.edits import allowed
from core.store.rows.tables import REELS
from core.studio.studio import Studio
from core.values import dataclass
from tui.asking.form_lines import Values
from tui.board.fields import Field

LABELS = LOOKED_AT | BY_THE_BOX
FIELDS = {name: Field(name, REELS.columns[name]) for name in LABELS}
#: What goes into the same change as a look, as a step that is over.
Also = Callable[[Shelf], Shelf]


@dataclass(frozen=True, slots=True)
class Seen:
    """The answers of one look at a reel as it stood when the form was opened, at that moment."""

    reel: Reel
    values: Values
    studio: Studio
    at: datetime
    other_stock: bool = False  # its box's word is not the stock that it resembles
    box_word: str = ""  # for the stock that was told, where that is another
    answers_box: bool = False  # what its box warns of was asked, and this is the answer

    def answered(self) -> list[str]:
        """The lines that say something else than stood there when the form was opened."""
        return [n for n, text in self.values.items() if text.strip() != FIELDS[n].text(self.reel)]

    def of(self, tape: Reel) -> Reel:
        """That reel with what is seen of it; a line that nobody answered stays as it is on the shelf now."""
        for name in self.answered():
            if self.values[name].strip() != FIELDS[name].text(tape):
                tape = FIELDS[name].put(tape, self.values[name], self.studio)
        return tape

    def otherwise(self, there: Reel) -> list[str]:
        """Answered lines of which the shelf says by now something else than it did, and than the answer."""
        kept = {name: FIELDS[name].text(there) for name in self.answered()}
        return [
            f"{LABELS[name]} {text or 'emptied'}" for name, text in kept.items()
            if text not in (FIELDS[name].text(self.reel), self.values[name].strip())
        ]  # fmt: skip

    def stays_found(self, shelf: Shelf) -> str | None:
        """Why the reel is not identified by these answers; None where it is, or was before."""
        if self.reel.stage != "found":
            return None
        tape = self.of(self.reel)
        return unmet(shelf.with_reel(tape), tape, "identified", self.at)

    def written(self, shelf: Shelf, plan: Plan | None, also: Also | None) -> Shelf:
        """The shelf with the answers, the reel marked where that is met; Refused if it was changed."""
        there = shelf.reel(self.reel.key)
        otherwise = self.otherwise(there)
        if otherwise:
            raise Refused(f"{there.key} was changed by another program: {'; '.join(otherwise)}")
        now = with_box_word(self.of(there), self.box_word) if self.box_word else self.of(there)
        after = allowed(shelf, shelf.with_reel(now), by_the_field=True)
        after = plan_rests_on_base(shelf, after, now.key, self.at)
        after = box_answered(after, now.key) if self.answers_box else after
        if self.other_stock and stock_asked(after, now.key) is not None:
            after = is_another_stock(after, now.key)
        if now.stage != "found":  # it was identified without a condition: the look is over all the same
            return also(after) if also is not None else after
        if stays_closed(now) and also is not None:
            return also(after)  # what it found is mould: nothing more is looked at
        if unmet(after, now, "identified", self.at) is not None:
            return after
        after = mark(after, now.key, "identified", self.at)
        if also is not None:
            return also(after)
        from core.evening.afterwards.told_elsewhere import look_is_over

        return look_is_over(shelf, after, plan, now.key, self.at)
