"""What is half typed and not taken yet, in a small file beside the shelf, until it was taken or dropped.

The file belongs to the program that has it open; a second program on the same shelf has one of its own. What
a program that died left behind is taken up by the next one.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Mapping
from pathlib import Path
from time import monotonic

from core.store.disk.lock import taken

#: Seconds after which an answer was for nothing that is still under way.
_FRESH_SECONDS = 5.0
MOST_PROGRAMS = 9  # programs on one shelf at a time that keep what is typed in them


class HalfTyped:
    """The file of one program. Where it cannot be written, nothing is kept and nothing is said."""

    def __init__(self, shelf: Path) -> None:
        numbers = ("", *(f"-{number}" for number in range(2, MOST_PROGRAMS + 1)))
        self._paths = tuple(shelf.with_name(f".{shelf.name}.typed{number}") for number in numbers)
        self._held: tuple[Path, int] | None = None
        self._kept: dict[str, str] = {}

    def found(self) -> dict[str, str]:
        """What programs that are gone left behind; from now on it is this program's."""
        held = [one for path in self._paths if path.exists() and (one := _hold(path)) is not None]
        texts: dict[str, str] = {}
        for _, descriptor in reversed(held):
            texts |= _read(descriptor)
        if held:
            self._held = held[0]
        self.keep(texts)
        for path, descriptor in held[1:]:
            _let_go(path, descriptor)
        return texts

    def keep(self, texts: Mapping[str, str]) -> None:
        """Keeps these texts by their names in place of those before; without any the file goes."""
        if texts == self._kept and (texts or self._held is None):
            return
        self._kept = dict(texts)
        if not texts:
            self._drop()
            return
        if self._held is None:
            self._held = next((one for path in self._paths if (one := _hold(path)) is not None), None)
        if self._held is not None:
            _write(self._held[1], json.dumps(self._kept, ensure_ascii=False).encode("utf-8", "replace"))

    def leave(self, texts: Mapping[str, str]) -> None:
        """Keeps these for the program that is opened next, and lets go of the file."""
        self.keep(texts)
        if self._held is not None:
            os.close(self._held[1])
            self._held = None

    def _drop(self) -> None:
        if self._held is not None:
            _let_go(*self._held)
            self._held = None


def _hold(path: Path) -> tuple[Path, int] | None:
    """The file, opened and locked; None where another program has it, or it cannot be."""
    try:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError:
        return None
    try:
        if taken(descriptor) and os.path.samestat(os.fstat(descriptor), os.stat(path)):
            return path, descriptor
    except OSError:  # a folder that knows no locks, or the file was taken away meanwhile
        pass
    os.close(descriptor)
    return None


def _read(descriptor: int) -> dict[str, str]:
    try:
        os.lseek(descriptor, 0, os.SEEK_SET)
        text = os.read(descriptor, os.fstat(descriptor).st_size)
        found = json.loads(text.decode("utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(name): str(text) for name, text in found.items()} if isinstance(found, dict) else {}


def _write(descriptor: int, text: bytes) -> None:
    try:
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.write(descriptor, text)
        os.ftruncate(descriptor, len(text))
    except OSError:
        return


def _let_go(path: Path, descriptor: int) -> None:
    with contextlib.suppress(OSError):
        path.unlink(missing_ok=True)
    os.close(descriptor)


class Drafts(dict[str, str]):
    """Texts by the name of where they are typed; what was answered comes back where it was refused.

    An answer is taken out when it is given. Where what it was for is refused then, or the next question about
    it is left, all that was typed stands in its places again.
    """

    def __init__(self) -> None:
        super().__init__()
        self._given: dict[str, str] = {}
        self._wrong: dict[str, str] = {}
        self._at = 0.0

    def will_not_do(self, name: str) -> None:
        """What stands there was given for an answer, and is none."""
        self._wrong[name] = self.get(name, "")

    def is_wrong(self, name: str) -> bool:
        """True where what stands there is still what was none: the next key is for another answer."""
        return name in self and self[name] == self._wrong.get(name)

    def give(self, *names: str) -> None:
        """These are an answer now, of which nothing has come yet."""
        self._given |= {name: self.pop(name) for name in names if name in self}
        self._at = monotonic()

    def follow(self) -> None:
        """A question opens: one that comes at once belongs to the answers before it, any other does not."""
        if monotonic() - self._at > _FRESH_SECONDS:
            self._given.clear()

    def back(self) -> None:
        """Nothing came of the answers: they are half typed again."""
        for name, text in self._given.items():
            self.setdefault(name, text)
        self._given.clear()

    def refused(self) -> None:
        """What was to be done was not: it was by the answers given just now, if any were."""
        self.follow()
        self.back()

    def done(self) -> None:
        """What they were for is done."""
        self._given.clear()
