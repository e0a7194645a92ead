"""Which programme worked on which stock, as this shelf's own tapes behaved."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from core.conditioning.loads.chamber_log import ChamberLog
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Worked:
    """How tapes of one stock ran after one programme: counts of reels for each way to behave."""

    stock: str
    celsius: float | None
    hours: Fraction | None
    clean_heads: int
    some_shed: int
    stopped: int

    @property
    def tried(self) -> int:
        """Reels of which it is written down how they ran."""
        return self.clean_heads + self.some_shed + self.stopped


def what_worked(logs: Iterable[ChamberLog], stocks: Mapping[str, str]) -> tuple[Worked, ...]:
    """A row for each stock and programme, by stock; `stocks` is the stock's name for each reel."""
    counts: dict[tuple[str, float | None, Fraction | None], dict[str, int]] = {}
    for log in logs:
        for member in log.members:
            if not member.behaved:
                continue
            key = (stocks.get(member.reel, "") or "unknown stock", log.celsius, member.hours)
            seen = counts.setdefault(key, {"clean heads": 0, "some shed": 0, "stopped": 0})
            seen[member.behaved] += 1
    rows = [
        Worked(*key, seen["clean heads"], seen["some shed"], seen["stopped"]) for key, seen in counts.items()
    ]
    return tuple(sorted(rows, key=lambda row: (row.stock.casefold(), row.celsius or 0, row.hours or 0)))
