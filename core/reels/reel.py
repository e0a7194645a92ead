"""One physical tape. Its key is written on the flange or leader and never moves to another tape."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Literal, get_args

from core.quantities import Quantity
from core.studio.setup import Setup
from core.values import dataclass

Stage = Literal["found", "identified", "conditioned", "aligned", "transferred", "verified"]
STAGES: tuple[Stage, ...] = get_args(Stage)
ROLES = ("multitrack", "mix", "calibration")
BASES = ("polyester", "acetate", "pvc", "paper", "unknown")
CONDITIONS = ("sticky", "squeal", "vinegar", "mould", "splices", "edge", "ok")
#: What an inspection may find beside a condition; with one of them a tape is not ``ok``.
SIGNS = ("vinegar", "mould", "layers adhere", "white powder", "loose oxide")
BACK_COATS = ("yes", "no", "unknown")
#: How the outermost turns ran when they were tried by hand.
TRIED = ("clean", "residue", "gum")
TIMECODE_RATES = ("24", "25", "29.97", "29.97 DF", "30")


@dataclass(frozen=True, slots=True)
class Segment:
    """A part of one tape with a set-up of its own; ``start`` and ``end`` in seconds of play time."""

    reel: str
    start: Fraction
    end: Fraction
    setup: Setup
    title: str = ""
    extra: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Reel:
    """What is known of a tape; blank means that nothing has told us.

    Units of the quantities' numbers: width, thickness, sizes, diameters and length in inches; speed in ips;
    level in nWb/m; ``treatment_hours`` in hours. ``varispeed`` in percent.
    """

    key: str
    box_label: str = ""
    contents: str = ""
    role: str = ""
    width: Quantity | None = None
    tracks: int | None = None
    speed: Quantity | None = None
    eq: str = ""
    level: Quantity | None = None
    noise_reduction: str = ""
    stock: str = ""
    base: str = ""
    thickness: Quantity | None = None
    reel_size: Quantity | None = None
    length: Quantity | None = None
    pack_diameter: Quantity | None = None
    hub_diameter: Quantity | None = None
    wind: str = ""
    splices: int | None = None
    condition: tuple[str, ...] = ()
    stage: Stage = "found"
    conditioned_at: datetime | None = None
    playable_until: datetime | None = None
    chamber: str = ""
    loaded_at: datetime | None = None
    treatment_hours: Quantity | None = None
    heard: datetime | None = None
    tones: str = ""
    decoded: str = ""
    varispeed: str = ""
    timecode_track: int | None = None
    timecode_rate: str = ""
    location: str = ""
    notes: str = ""
    signs: tuple[str, ...] = ()
    back_coat: str = ""
    year: str = ""  # of manufacture, as far as known: ``1979``, ``about 1979``
    storage: str = ""
    base_seen: str = ""  # the base as it was seen; ``yes``: it is what ``base`` says; ``no``: nobody looked
    photographs: str = ""  # paths of pictures of box and label, joined by ``;``
    tried: str = ""  # how the outermost turns ran by hand; blank: not tried
    set_aside: str = ""  # why this tape is not to be transferred, or went to a specialist
    extra: tuple[tuple[str, str], ...] = ()

    @property
    def calibration(self) -> bool:
        """True for a tape that lines up a deck."""
        return self.role == "calibration"

    @property
    def on_box(self) -> str:
        """What its box says: the label, or where none is written down, what it is said to hold."""
        return self.box_label or self.contents

    @property
    def troubles(self) -> frozenset[str]:
        """All that was seen, smelled or heard of it, in its condition or among its signs.

        Residue that its outermost turns left by hand, or gum on a swab, is a sick binder's.
        """
        felt = ("sticky",) if self.tried in ("residue", "gum") else ()
        return frozenset((*self.condition, *self.signs, *felt)) - {"ok"}

    @property
    def setup(self) -> Setup:
        """What a deck must be lined up to for it."""
        return Setup(self.speed, self.eq, self.level, self.noise_reduction)

    @property
    def tails(self) -> bool:
        """True if it is wound tails out and must be wound back before a pass."""
        return self.wind != "heads"

    def contradiction(self) -> tuple[str, str] | None:
        """The column and a sentence where two things that are told of it cannot both be so; None if none."""
        if "ok" in self.condition and self.signs:
            seen = ";".join(self.signs)
            told = f"'ok' is not so beside the sign {self.signs[0]!r}: take one of them away"
            return "condition", f"{told} (seen: condition= signs={seen})"
        return None

    def past(self, stage: Stage) -> bool:
        """True if the tape has reached that stage."""
        return STAGES.index(self.stage) >= STAGES.index(stage)
