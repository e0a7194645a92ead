"""The run sheet as a value: the evening's steps in order, each with its state and where it now falls."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Literal

from core.clock import Span, evening_of
from core.plan import Do, Item, Kind, StepKind
from core.values import dataclass

State = Literal["waiting", "running", "done", "skipped", "struck", "moved", "offered"]

#: States in which nothing is left to do on a step tonight.
OVER: tuple[State, ...] = ("done", "skipped", "struck", "moved")
#: The state of a step of this evening that a plan made in the midst of it has elsewhere.
MOVED: State = "moved"
#: The state of a step of a later evening that would still fit into the slack of this one.
OFFERED: State = "offered"

TOUCHES: dict[StepKind, Do] = {"load": "load", "turn": "turn", "take out": "take out"}
PLAYS: tuple[Kind, ...] = ("transfer", "audition")
"""Steps in which a tape plays."""
WIND: Literal["wind"] = "wind"
"""A slow wind of its own: no plan holds it, and nothing plays in it."""
ON_A_DECK: tuple[Kind, ...] = (*PLAYS, WIND)
"""Steps of one tape that run on a deck."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the evening. ``state``: waiting, running, done, skipped, struck (never to be done now),
    moved (elsewhere by now), or offered (of a later evening, and it would still fit into this one's slack).

    ``expected`` is where it now falls, given how late the evening runs; ``fits`` is false where that is past
    the bench window or the loud time it needs.
    """

    key: str
    kind: StepKind
    subject: str  # the reel, the deck of an align, the chamber of a touch
    planned: Span
    state: State = "waiting"
    started: datetime | None = None
    finished: datetime | None = None
    because: str = ""
    expected: Span | None = None
    fits: bool = True
    item: Item | None = None
    reels: tuple[str, ...] = ()
    urgent: bool = False  # an alarm: it comes before everything that waits

    @property
    def handled(self) -> bool:
        """True once it was begun, or is over though nobody told its beginning."""
        return self.started is not None or (self.state == "done" and self.finished is not None)

    @property
    def ahead(self) -> bool:
        """True for one that was done before its time came."""
        return self.state == "done" and self.finished is not None and self.finished <= self.planned.start

    @property
    def what(self) -> tuple[object, ...]:
        """What a step is, wherever it stands: a line-up is another one with another set-up."""
        item = self.item
        return self.kind, self.subject, item.segment if item else "", tuple(item.setup) if item else ()

    @property
    def late_touch(self) -> bool:
        """True for a turn or a take-out of a load that runs, once its moment is over."""
        due = self.expected.start if self.expected is not None else self.planned.start
        return self.kind in ("turn", "take out") and self.item is None and due > self.planned.start

    @property
    def touch(self) -> bool:
        """True for a visit to a chamber: it is bound to its moment."""
        return self.kind in TOUCHES


@dataclass(frozen=True, slots=True)
class RunSheet:
    """The evening's steps in order.

    ``late_minutes`` is by how much all the work that is left ends later than the evening's work was to end;
    ``spare_minutes`` what then is left of the bench window, below nought where it does not suffice; None
    where there is no work or no window. ``wind_minutes``: slow winds before tapes that wait, in no plan.
    ``standing``: when the plan has line-ups of decks that stand so already; what follows comes sooner.
    """

    day: date
    steps: tuple[Step, ...]
    bench: tuple[Span, ...]
    loud: tuple[Span, ...]
    standing: tuple[Span, ...] = ()
    late_minutes: int = 0
    spare_minutes: int | None = None
    wind_minutes: int = 0

    @property
    def current(self) -> Step | None:
        """The step that is running, a tape before all else; else the next that waits, else one offered.

        A tape that stands until what is done at the table is over comes behind that.
        """
        running = [step for step in self.steps if step.state == "running"]
        running = [step for step in running if not _stands_until(step, running)] or running
        tapes = [step for step in running if step.kind in PLAYS]
        return next(iter(tapes or running or self.waiting or self.offered), None)

    @property
    def numbers(self) -> dict[str, int]:
        """By key, the number by which a step is called at the command line: it stays while steps come and go.

        In the order of their planned times, so that one that begins out of its turn takes no other's; those
        of another evening come last.
        """

        def place(step: Step) -> tuple[bool, datetime]:
            return evening_of(step.planned.start) != self.day, step.planned.start

        return {step.key: number for number, step in enumerate(sorted(self.steps, key=place), 1)}

    @property
    def waiting(self) -> tuple[Step, ...]:
        """The steps still to be started."""
        return tuple(step for step in self.steps if step.state == "waiting")

    @property
    def offered(self) -> tuple[Step, ...]:
        """Steps of later evenings that would still fit into this one's slack."""
        return tuple(step for step in self.steps if step.state == OFFERED)

    def after(self, key: str) -> Step | None:
        """The step to work when that one is over: what runs, else what waits behind it, else any.

        A turn or a take-out rings by itself, and goes before all else once it is late. A step of another
        evening, and one that is over before its time came, has the current one after it. What has no room is
        passed over as long as anything has.
        """
        late = next((step for step in self.waiting if step.late_touch and step.key != key), None)
        if late is not None:
            return late
        here = next((step for step in self.steps if step.key == key), None)
        if here is None or here.ahead:
            return self.current
        running, current = next((step for step in self.steps if step.state == "running"), None), self.current
        behind = [
            step
            for step in self.waiting
            if step.kind not in ("turn", "take out")
            and step.key != key
            and step.planned.start >= here.planned.start
        ]
        room = [step for step in behind if step.fits]
        if not room and current is not None and current.fits:
            return running or current
        return running or min(room or behind, key=lambda step: step.planned.start, default=current)

    def transfer_begun(self, reel: str) -> Step | None:
        """The step with which a stopped pass of that reel goes on: the one that runs, else the last left."""
        mine = [one for one in self.steps if (one.kind, one.subject) == ("transfer", reel) and one.started]
        runs = [one for one in mine if one.state == "running"]
        return next(iter(runs or mine[-1:]), None)

    @property
    def next_touch(self) -> Step | None:
        """The next visit to a chamber."""
        return next((step for step in self.waiting if step.touch), None)

    @property
    def will_not_fit(self) -> tuple[Step, ...]:
        """The steps that will not fit any more tonight."""
        return tuple(step for step in self.waiting if not step.fits)


def _stands_until(tape: Step, running: Sequence[Step]) -> bool:
    """Whether that tape goes on only behind another step that runs."""
    falls = tape.expected
    if tape.kind not in PLAYS or falls is None or tape.started in (None, falls.start):
        return False  # it runs since it began
    others = (one.expected for one in running if one is not tape)
    return any(other is not None and other.end <= falls.start for other in others)


def in_order(step: Step, now: datetime) -> tuple[datetime, bool, bool, datetime, bool, datetime]:
    """As the evening goes: what was begun at its true time, what waits behind it where it now falls.

    What was done before its time, without a beginning, stands where it was done. An alarm comes before
    everything else that waits.
    """
    waits, planned = step.state == "waiting", step.planned.start
    if step.ahead and step.finished is not None:
        planned = step.finished
    falls = step.expected.start if step.expected is not None else planned
    moment = step.started or (max(falls, now) if waits else planned)
    return moment, waits, not step.urgent, planned, not step.touch, step.planned.end


def hour_of(step: Step, now: datetime) -> datetime | None:
    """The hour in its row: when it began, or falls; the planned one without room, none once that is past."""
    if step.started is not None:
        return step.started
    if step.state == "waiting" and not step.fits:
        return step.planned.start if step.planned.start >= now else None
    return step.expected.start if step.expected is not None else step.planned.start
