"""Records beside reels and songs: kept as JSON text, read when looked at; the big ones in files beside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import orjson

from core.errors import Unusable

BESIDE_KINDS = ("strip",)  # pictures of levels and other curves: never in the shelf's own file
BESIDE_BYTES = 256_000
_MEND = "put it back from your own backup, or check the reel's files again"


class Lost:
    """Stands in a changed shelf for a record whose file beside cannot be read: it stays as it is there."""


class KindOfRecord(Mapping[str, object]):
    """The records of one kind by key; each value is read from its text when it is first asked for."""

    def __init__(self, documents: dict[str, dict[str, object]], shelf: Path) -> None:
        self.documents = documents
        self.shelf = shelf
        self._values: dict[str, object] = {}
        self._lost: dict[str, Lost] = {}

    def __contains__(self, key: object) -> bool:
        return key in self.documents

    def kept(self, key: str) -> object:
        """The value, or what stands for it where its file cannot be read, so that others can be changed."""
        try:
            return self[key]
        except Unusable:
            return self._lost.setdefault(key, Lost())

    def __getitem__(self, key: str) -> object:
        if key not in self._values:
            self._values[key] = _value(self.documents[key], self.shelf)
        return self._values[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.documents)

    def __len__(self) -> int:
        return len(self.documents)

    def __repr__(self) -> str:
        return repr(dict(self))

    def same(self, key: str, value: object) -> bool:
        """True if the value is the very one that was read here."""
        return any(key in there and there[key] is value for there in (self._values, self._lost))

    def __eq__(self, other: object) -> bool:
        if isinstance(other, KindOfRecord) and self.documents == other.documents:
            return True
        return isinstance(other, Mapping) and dict(self) == dict(other)

    __hash__ = None  # type: ignore[assignment]


def folder_beside(shelf: Path) -> Path:
    """The folder that holds the shelf's big results."""
    return shelf.with_name(f"{shelf.name}.d")


def document_of(kind: str, key: str, value: object, shelf: Path) -> dict[str, object]:
    """The record as the shelf keeps it; a big one is written beside first, under its own checksum's name."""
    text = orjson.dumps(value)
    if kind not in BESIDE_KINDS and len(text) <= BESIDE_BYTES:
        return {"kind": kind, "key": key, "text": text.decode()}
    name = _sum(text) + ".json"
    from core.store.disk.atomic import write_whole

    folder = folder_beside(shelf)
    if not (folder / name).exists():
        folder.mkdir(exist_ok=True)
        write_whole(folder / name, text)
    return {"kind": kind, "key": key, "beside": name}


def _value(document: dict[str, Any], shelf: Path) -> object:
    if "text" in document:
        return orjson.loads(document["text"])
    path = folder_beside(shelf) / document["beside"]
    try:
        content = path.read_bytes()
    except OSError as error:
        what = f"a result kept beside the shelf cannot be read: {error.strerror}"
        raise Unusable(f"{path}: {what}: {_MEND}") from error
    if document["beside"] != _sum(content) + ".json":
        raise Unusable(f"{path}: a result kept beside the shelf is damaged: {_MEND}")
    return orjson.loads(content)


def _sum(content: bytes) -> str:
    import hashlib

    return hashlib.sha256(content).hexdigest()[:40]
