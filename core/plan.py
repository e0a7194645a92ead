"""A plan and its items, as handed from the planner to screen, paper and shelf; read from and written to JSON.

The JSON is the one that ``reelturn plan --json`` prints; the shelf keeps the same.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import field
from datetime import datetime, tzinfo
from typing import Any, Literal

from core.clock import write_time
from core.reels.reel import Stage
from core.studio.setup import lined_up_told
from core.values import dataclass
from core.words import above_best

Status = Literal["optimal", "feasible", "nothing to do"]
Kind = Literal["identify", "condition", "repair", "align", "audition", "transfer", "verify", "wind"]
"""What an item is; no plan holds a slow wind, only the run sheet."""
Do = Literal["load", "turn", "take out"]
"""What is done at a chamber."""
StepKind = Kind | Do | Literal["stop"]
"""What a step of an evening is: an item's kind, a visit to a chamber, or to stop a tape at once."""
MoveKind = Kind | Literal["warming"]
"""What a step is called that a new plan has elsewhere."""

REACHES: Mapping[StepKind, Stage] = {
    "identify": "identified",
    "condition": "conditioned",
    "transfer": "transferred",
    "verify": "verified",
}
"""The stage that a reel is at once such a step is done."""


@dataclass(frozen=True, slots=True)
class Touch:
    """A visit to a chamber."""

    do: Do
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class Member:
    """A reel in a chamber load: when it comes out, has cooled, and stops being playable.

    ``assumes`` says what its entry rests on that nobody has told, as ``condition sticky``.
    """

    reel: str
    out: datetime
    cool_until: datetime
    playable_until: datetime
    assumes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to do.

    Which other fields count depends on the kind: ``reel`` for work on one reel, ``deck`` for align, audition
    and transfer, ``chamber``, ``members`` and ``touches`` for condition, ``setup`` as words for align.
    ``segment`` names the part of a tape that a transfer takes where the tape has parts of its own. ``by``
    says how an align without a calibration reel is made: ``tones`` or ``as it stands``. ``assumes`` says what
    a repair or transfer rests on that nobody has told, as ``condition ok`` or ``level 250 nWb/m``.
    """

    kind: Kind
    start: datetime
    end: datetime
    reel: str = ""
    deck: str = ""
    passes: int = 0
    segment: str = ""
    setup: tuple[tuple[str, str], ...] = ()
    calibration: str = ""
    full: bool = False
    chamber: str = ""
    temperature: str = ""
    members: tuple[Member, ...] = ()
    touches: tuple[Touch, ...] = ()
    by: str = ""
    assumes: tuple[str, ...] = ()

    @property
    def reels(self) -> tuple[str, ...]:
        """Every reel it has to do with, the calibration reel apart."""
        return tuple(m.reel for m in self.members) if self.members else (self.reel,) if self.reel else ()

    @property
    def setup_text(self) -> str:
        """The set-up in words, for an align."""
        return " ".join(word for _, word in self.setup if word and word.casefold() != "none")

    @property
    def setup_told(self) -> str:
        """The same with what of it is not known, which is left as the deck stands."""
        return lined_up_told(dict(self.setup)) if self.setup else ""


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A reel with work left after the plan, and why, in the trade's words."""

    reel: str
    why: str
    barred_by: str = ""


@dataclass(frozen=True, slots=True)
class SongReady:
    """When a song is ready by the plan; ``ready`` is None where it waits for reels."""

    song: str
    ready: datetime | None
    waits_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Move:
    """A step that is elsewhere than in the plan before: new where ``was`` is None, gone where ``now`` is."""

    kind: MoveKind
    reel: str
    was: datetime | None
    now: datetime | None
    why: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan of the evenings from ``start`` to ``until``, its score and the proven bound on it."""

    shelf: str
    start: datetime
    until: datetime
    made_in_seconds: float
    status: Status
    score: float
    bound: float
    gap: float
    items: tuple[Item, ...] = ()
    left_over: tuple[LeftOver, ...] = ()
    songs: tuple[SongReady, ...] = ()
    number: int = 0
    made_at: datetime | None = None
    effort: str = ""
    slack: float | None = None  # share of every bench window that stays free; None: as the studio says
    searched: float = 0.0  # seconds or effort that were asked for
    moved: tuple[str, ...] = field(default=())  # sentences: what moved against the plan before, and why
    moves: tuple[Move, ...] = field(default=())  # the same as values
    spares: tuple[tuple[str, str], ...] = ()  # reels warmed though playable, and what may spare each
    rests_on: Mapping[str, object] | None = field(default=None, compare=False, repr=False)
    """What the shelf was that it was made from, in short; kept beside the plan and no part of the JSON."""

    @property
    def how_good(self) -> str:
        """Its score, and how far that may be above the least that is possible."""
        return f"score {self.score:.1f}, {above_best(self.gap)}"

    def to_json(self) -> dict[str, object]:
        """The plan as the document that other programs read."""
        extra: dict[str, object] = {"number": self.number, "effort": self.effort, "moved": list(self.moved)}
        slack = {} if self.slack is None else {"slack": self.slack}
        extra |= {"searched": self.searched, "moves": [move_json(move) for move in self.moves]}
        extra["second_treatments"] = [{"reel": reel, "may_spare": words} for reel, words in self.spares]
        extra["made_at"] = write_time(self.made_at) if self.made_at else None
        return {
            "shelf": self.shelf,
            "from": write_time(self.start),
            "until": write_time(self.until),
            "made_in_seconds": self.made_in_seconds,
            "status": self.status,
            "score": self.score,
            "bound": self.bound,
            "gap": self.gap,
            "items": [_item_json(item) for item in self.items],
            "left_over": [
                {"reel": one.reel, "why": one.why} | ({"barred_by": one.barred_by} if one.barred_by else {})
                for one in self.left_over
            ],
            "songs": [
                {
                    "song": song.song,
                    "ready": write_time(song.ready) if song.ready else None,
                    "waits_for": list(song.waits_for),
                }
                for song in self.songs
            ],
            **slack,
            **{key: value for key, value in extra.items() if value},
        }


#: The records that were read last, each with its zone and the plan that it is.
_read: deque[tuple[dict[str, Any], tzinfo, Plan]] = deque(maxlen=4)


def plan_of(record: dict[str, Any], where: tzinfo) -> Plan:
    """The plan that a record of the shelf is: read once, and the same value whoever asks of that record."""
    for known, zone, plan in tuple(_read):  # a search may read meanwhile
        if known is record and zone is where:
            return plan
    plan = plan_from_json(record, where)
    _read.append((record, where, plan))
    return plan


def plan_from_json(document: dict[str, Any], where: tzinfo) -> Plan:
    """The plan that such a document tells of, its times in the studio's zone."""

    def time(text: str) -> datetime:
        return datetime.fromisoformat(text).astimezone(where)

    return Plan(
        shelf=document["shelf"],
        start=time(document["from"]),
        until=time(document["until"]),
        made_in_seconds=document["made_in_seconds"],
        status=document["status"],
        score=document["score"],
        bound=document["bound"],
        gap=document["gap"],
        items=tuple(_read_item(item, where) for item in document["items"]),
        left_over=tuple(
            LeftOver(one["reel"], one["why"], one.get("barred_by", "")) for one in document["left_over"]
        ),
        songs=tuple(
            SongReady(s["song"], time(s["ready"]) if s["ready"] else None, tuple(s["waits_for"]))
            for s in document["songs"]
        ),
        number=document.get("number", 0),
        made_at=time(document["made_at"]) if document.get("made_at") else None,
        effort=document.get("effort", ""),
        slack=document.get("slack"),
        searched=document.get("searched", 0.0),
        moves=tuple(read_move(one, where) for one in document.get("moves", ())),
        moved=tuple(document.get("moved", ())),
        spares=tuple((one["reel"], one["may_spare"]) for one in document.get("second_treatments", ())),
    )


def read_move(raw: Mapping[str, Any], where: tzinfo) -> Move:
    """The move that such a record tells of, its times in that zone."""
    was, now = (raw[name] and datetime.fromisoformat(raw[name]).astimezone(where) for name in ("was", "now"))
    return Move(raw["kind"], raw["reel"], was, now, raw["why"])


def move_json(move: Move) -> dict[str, object]:
    """The move as a record."""
    times = {"was": move.was and write_time(move.was), "now": move.now and write_time(move.now)}
    return {"kind": move.kind, "reel": move.reel, **times, "why": move.why}


def _item_json(item: Item) -> dict[str, object]:
    out: dict[str, object] = {"kind": item.kind}
    if item.kind == "condition":
        out["chamber"] = item.chamber
    if item.kind in ("align", "transfer", "audition"):
        out["deck"] = item.deck
    if item.kind == "align":
        out |= {"setup": dict(item.setup), "calibration": item.calibration or None, "full": item.full}
        if item.by:
            out["by"] = item.by
    elif item.kind != "condition":
        out["reel"] = item.reel
    if item.kind == "transfer":
        out["passes"] = item.passes
    if item.segment:
        out["segment"] = item.segment
    if item.assumes:
        out["assumes"] = list(item.assumes)
    out |= {"start": write_time(item.start), "end": write_time(item.end)}
    if item.kind == "condition":
        out["temperature"] = item.temperature
        out["reels"] = [
            {
                "reel": m.reel,
                "out": write_time(m.out),
                "cool_until": write_time(m.cool_until),
                "playable_until": write_time(m.playable_until),
            }
            | ({"assumes": list(m.assumes)} if m.assumes else {})
            for m in item.members
        ]
        out["touches"] = [
            {"do": t.do, "start": write_time(t.start), "end": write_time(t.end)} for t in item.touches
        ]
    return out


def _read_item(raw: dict[str, Any], where: tzinfo) -> Item:
    def time(text: str) -> datetime:
        return datetime.fromisoformat(text).astimezone(where)

    return Item(
        kind=raw["kind"],
        start=time(raw["start"]),
        end=time(raw["end"]),
        reel=raw.get("reel", ""),
        deck=raw.get("deck", ""),
        passes=raw.get("passes", 0),
        segment=raw.get("segment", ""),
        setup=tuple(raw.get("setup", {}).items()),
        calibration=raw.get("calibration") or "",
        full=raw.get("full", False),
        chamber=raw.get("chamber", ""),
        temperature=raw.get("temperature", ""),
        members=tuple(
            Member(
                m["reel"],
                time(m["out"]),
                time(m["cool_until"]),
                time(m["playable_until"]),
                tuple(m.get("assumes", ())),
            )
            for m in raw.get("reels", ())
        ),
        touches=tuple(Touch(t["do"], time(t["start"]), time(t["end"])) for t in raw.get("touches", ())),
        by=raw.get("by") or "",
        assumes=tuple(raw.get("assumes", ())),
    )
