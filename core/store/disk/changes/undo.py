"""Which change is next to take back, or to do again: told from the history alone, also after a restart."""

from __future__ import annotations

from collections.abc import Iterator

from core.logbook.noted import NOTE, TAKES_BACK, TAKES_OFF
from core.shelf import Event
from core.store.disk.changes.difference import can_be_undone
from core.store.disk.changes.history import History
from core.store.disk.changes.rows_changed import Row
from core.values import dataclass

#: Further cell of an event: the act in a few words.
ACT = "act"
#: The further cells of history that the shelf itself writes.
WRITTEN = (ACT, TAKES_BACK, TAKES_OFF)


@dataclass(frozen=True, slots=True)
class Change:
    """The rows of one change; ``takes_back`` is the number of the change that it undid, 0 for any other."""

    number: int
    rows: tuple[Row, ...]
    act: str
    takes_back: int

    @property
    def words(self) -> str:
        """What it did, in a few words."""
        if self.act:
            return self.act
        first = self.rows[0]
        return f"{first.kind} {first.key}: {first.field} {first.new}".strip()


def changes_backwards(history: History) -> Iterator[Change]:
    """The changes of this shelf, the last first; rows without a change's number are passed over."""
    group: list[Event] = []
    for event in reversed(history):
        if group and event.change != group[0].change:
            yield _change(group)
            group = []
        if event.change:
            group.append(event)
    if group:
        yield _change(group)


def _change(events: list[Event]) -> Change:
    told = {name: text for event in events for name, text in event.extra}
    rows = tuple(Row(e.kind, e.key, e.field, e.old, e.new or _noted(e)) for e in reversed(events))
    takes_back = told.get(TAKES_BACK, "0")
    return Change(events[0].change, rows, told.get(ACT, ""), int(takes_back) if takes_back.isdigit() else 0)


def _noted(event: Event) -> str:
    return event.note if event.field == NOTE else ""


def to_take_back(history: History) -> Change | None:
    """The last change that is not taken back yet and can be; None if there is none."""
    gone: set[int] = set()
    for change in changes_backwards(history):
        if change.number in gone:
            continue
        if change.takes_back:
            gone.add(change.takes_back)
        elif any(can_be_undone(row) for row in change.rows):
            return change
    return None


def to_do_again(history: History) -> Change | None:
    """The last taking back, where nothing else was changed since; None otherwise."""
    gone: set[int] = set()
    took_back = {change.number: change.takes_back for change in changes_backwards(history)}
    for change in changes_backwards(history):
        if change.number in gone:
            continue
        if not change.takes_back:
            if any(can_be_undone(row) for row in change.rows):
                return None
            continue
        if took_back.get(change.takes_back):  # it did a taking back over again
            gone.add(change.takes_back)
            continue
        return change
    return None
