"""What one key does, and what the places are called in which keys work."""

from __future__ import annotations

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Key:
    """One thing a person can do with one key.

    ``keys`` is a comma-separated list in Textual's words, ``word`` what the foot of the screen says, ``says``
    the sentence of the `?` page. ``foot`` is its rank in the foot: lower ones stay longest, 0 is never there.
    """

    id: str
    keys: str
    action: str
    word: str
    says: str
    foot: int = 0

    @property
    def place(self) -> str:
        """Where it works: the part of the id before the dot."""
        return self.id.partition(".")[0]


#: What each place is called on the `?` page, in its order there.
PLACES = {
    "any": "Everywhere",
    "chart": "Chart",
    "reel": "On a reel (chart and reel card)",
    "tonight": "Tonight",
    "week": "Week",
    "wishes": "Wishes",
    "songs": "Songs",
    "studio": "Studio",
    "parts": "Parts of a song",
    "album": "The album",
    "loose": "Loose sheets",
    "time": "A song in time",
    "card": "A card",
    "song": "A song's card",
    "sheet": "Track sheet",
    "list": "In a list",
    "history": "What happened to a reel or song",
    "run": "New reels",
    "boxes": "Box after box",
    "lineup": "Lining up",
    "capture": "Captures of a reel",
    "chamber": "Chamber",
    "loading": "Loading a chamber",
    "ticks": "Ticks",
    "ask": "A question",
    "look": "A look at files",
    "notes": "Notes of a pass",
    "closing": "Before you leave",
    "learnt": "What steps really take",
    "keys": "The page of keys",
    "bell": "The chamber's bell",
}
