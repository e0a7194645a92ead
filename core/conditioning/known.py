"""What is known of a tape when one decides how to treat it."""

from dataclasses import field
from fractions import Fraction
from typing import Literal

from core.tape.stock import BackCoat, Base, Stickiness
from core.values import dataclass

StockWord = Stickiness | Literal["unknown"]
Storage = Literal["dry", "damp", "unknown"]

#: What may be seen, smelled or heard. The last three are signs that an inspection may add.
SYMPTOMS = (
    "sticky",
    "squeal",
    "vinegar",
    "mould",
    "splices",
    "edge",
    "layers adhere",
    "white powder",
    "loose oxide",
)
BASES: tuple[Base, ...] = ("polyester", "acetate", "pvc", "paper", "unknown")
STOCK_WORDS: tuple[StockWord, ...] = ("yes", "test first", "no", "unknown")
ROUTES = ("", "heat", "none", "cold", "fast play", "slow unwind", "wipe")
BACK_COATS: tuple[BackCoat, ...] = ("yes", "no", "unknown")
STORAGES: tuple[Storage, ...] = ("dry", "damp", "unknown")


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of one tape; every field has a word for not known.

    `stock` is whether its stock becomes sticky, `route` what its stock's reports say helps. `width_in` in
    inches, `year` of manufacture. `playable` inside the playable time of a treatment, `undated` by its stage
    alone, `treated` how often it was treated, `failed` how often that did not help. `own_hours` hours of
    warmth set for this tape alone. `like` is the suspect stock that its box only resembles, `stock_base` what
    its stock's row says of the base, `base_seen` whether someone saw the base, `seen_otherwise` polyester
    where its box says another, `tried` whether the outermost turns ran clean by hand, `gum` whether a dry
    swab took brown gum off them, `set_aside` the owner's reason for leaving it out.
    ValueError for a word that is none of those listed in this module.
    """

    base: Base = "unknown"
    stock: StockWord = "unknown"
    route: str = ""
    width_in: Fraction | None = None
    back_coat: BackCoat = "unknown"
    year: int | None = None
    symptoms: frozenset[str] = field(default_factory=frozenset)
    inspected: bool = True
    storage: Storage = "unknown"
    playable: bool = False
    undated: bool = False
    treated: int = 0
    failed: int = 0
    splices: int = 0
    own_hours: Fraction | None = None
    like: str = ""
    stock_base: Base = "unknown"
    base_seen: bool = False
    seen_otherwise: bool = False
    tried: bool = False
    gum: bool = False
    set_aside: str = ""

    def __post_init__(self) -> None:
        for word, words, what in (
            (self.base, BASES, "base"),
            (self.stock_base, BASES, "the stock's base"),
            (self.stock, STOCK_WORDS, "stock"),
            (self.route, ROUTES, "route"),
            (self.back_coat, BACK_COATS, "back coat"),
            (self.storage, STORAGES, "storage"),
        ):
            if word not in words:
                raise ValueError(f"{what} is one of {', '.join(filter(None, words))}, not {word!r}")
        odd = self.symptoms - set(SYMPTOMS)
        if odd:
            raise ValueError(f"symptoms are {', '.join(SYMPTOMS)}, not {', '.join(sorted(odd))}")
        if self.treated < 0 or self.failed < 0 or self.splices < 0:
            raise ValueError("treatments and splices are counted from nothing up")

    @property
    def sick(self) -> bool:
        """Sticky as seen, or of a stock known to become so."""
        return "sticky" in self.symptoms or self.stock == "yes"

    @property
    def base_doubt(self) -> bool:
        """Its base as written and as its stock's row has it are two, and nobody has seen which it is."""
        told = self.stock_base not in ("unknown", self.base)
        return self.base == "polyester" and told and not self.base_seen

    @property
    def never_heat(self) -> str | None:
        """Why this tape never goes into heat; None where it may. The last word, whatever a table says."""
        if "mould" in self.symptoms:
            return "mould must never be warmed"
        if "vinegar" in self.symptoms:
            return "vinegar syndrome must never be warmed"
        if self.base == "unknown":
            return "nobody knows what the base is: only polyester may be warmed"
        if self.base != "polyester":
            return f"{self.base} must never be warmed"
        return None

    @property
    def unknown(self) -> tuple[str, ...]:
        """What nobody has told, that would bear on the decision."""
        facts = (
            ("base", self.base == "unknown"),
            ("stock", self.stock == "unknown"),
            ("width", self.width_in is None),
            ("back coat", self.back_coat == "unknown"),
            ("year", self.year is None),
            ("condition", not self.inspected),
            ("storage", self.storage == "unknown"),
        )
        return tuple(name for name, missing in facts if missing)
