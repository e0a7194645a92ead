"""The published sources that the tables name, and how well each figure stands."""

from functools import cache
from typing import Literal

from core.tape.table_files import read_toml
from core.values import dataclass

Standing = Literal["verified", "reported", "derived", "from memory", "common practice", "the owner's own"]

STANDINGS: dict[str, str] = {
    "verified": "read in the source named",
    "reported": "read in a page that reports another document or another body's practice",
    "derived": "worked out here from figures and a formula that are themselves in the tables",
    "from memory": "not found in a copy that can be cited; check before relying on it",
    "common practice": "what the trade usually does; no single authority",
    "the owner's own": "entered on this shelf by its owner",
}


@dataclass(frozen=True, slots=True)
class Source:
    """One published source: `title` says what was read, `where` how to find it again."""

    key: str
    title: str
    where: str

    def __str__(self) -> str:
        return f"{self.title} ({self.where})" if self.where else self.title


@cache
def sources() -> dict[str, Source]:
    """Every source by its key."""
    return {key: Source(key, row["title"], row["where"]) for key, row in read_toml("sources").items()}


def source(key: str) -> Source:
    """The source with this key; KeyError names an unknown one."""
    return sources()[key]
