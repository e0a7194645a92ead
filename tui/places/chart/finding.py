"""Find as you type: over reels, songs, box labels, players and notes, telling where it was found."""

from __future__ import annotations

from core.logbook.noted import in_force
from core.shelf import Shelf
from core.values import dataclass
from tui.board.events import reel_events


@dataclass(frozen=True, slots=True)
class Found:
    """A reel that answers, and where the words were found."""

    reel: str
    where: str


class Finder:
    """Everything on one shelf that can be searched, folded once so that each key only compares."""

    def __init__(self, shelf: Shelf) -> None:
        self._texts: dict[str, list[tuple[str, str, str]]] = {key: [] for key in shelf.reels}
        self._fields(shelf)
        self._songs(shelf)
        self._sheets(shelf)
        self._loose = _loose_texts(shelf)
        for event in in_force(reel_events(shelf, "stage", "note")):
            self._add(event.key, "note", event.note)
        self._joined = {key: "\n".join(t[2] for t in texts) for key, texts in self._texts.items()}

    def _add(self, reel: str, where: str, text: str) -> None:
        if text and reel in self._texts:
            self._texts[reel].append((where, text, text.casefold()))

    def _fields(self, shelf: Shelf) -> None:
        for key, reel in shelf.reels.items():
            for where, text in (
                ("reel", key),
                ("box", reel.box_label),
                ("contents", reel.contents),
                ("stock", reel.stock),
                ("place", reel.location),
                ("note", reel.notes),
            ):
                self._add(key, where, text)

    def _songs(self, shelf: Shelf) -> None:
        for song in shelf.songs.values():
            text = " ".join(part for part in (song.title or song.key, song.artist) if part)
            for need in song.needs:
                self._add(need.reel, "song", text)
                self._add(need.reel, "song", song.key)

    def _sheets(self, shelf: Shelf) -> None:
        for row in shelf.sheets:
            where = f"track {row.track}" if row.track is not None else f"sheet {row.sheet}"
            for text in (row.player, row.part, row.notes, row.sheet):
                self._add(row.reel, where, text)
            song = shelf.songs.get(row.song)
            self._add(row.reel, "song", song.title if song else row.song)

    def find(self, typed: str) -> tuple[Found, ...]:
        """The reels in which every typed word is found somewhere, in the shelf's order."""
        words = typed.casefold().split()
        if not words:
            return tuple(Found(key, "") for key in self._texts)
        return tuple(
            Found(key, self._where(key, words[0]))
            for key, joined in self._joined.items()
            if all(word in joined for word in words)
        )

    def find_loose(self, typed: str) -> tuple[str, ...]:
        """The loose sheets, and those of tapes not on the shelf, in which every typed word is found."""
        words = typed.casefold().split()
        return tuple(k for k, text in self._loose.items() if words and all(word in text for word in words))

    def _where(self, key: str, word: str) -> str:
        for where, text, folded in self._texts[key]:
            if word in folded:
                return "" if where in ("reel", "box") else f"{where}: {text}"
        return ""


def _loose_texts(shelf: Shelf) -> dict[str, str]:
    """All that is written on each sheet that is on no reel of the shelf, folded."""
    out: dict[str, str] = {}
    for row in shelf.sheets:
        if row.reel not in shelf.reels:
            song = shelf.songs.get(row.song)
            told = (row.sheet, row.reel, row.song, song.title if song else "", row.date, row.part, row.player,
                    row.notes, row.found_in)  # fmt: skip
            out[row.sheet] = f"{out.get(row.sheet, '')}\n{' '.join(told).casefold()}"
    return out
