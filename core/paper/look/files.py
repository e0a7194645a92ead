"""Putting printed sheets into a folder: whole or not at all, under names that no text can bend."""

from __future__ import annotations

import hashlib
import os
import re
import tempfile
from itertools import count
from pathlib import Path

from core.errors import Unusable


def put(folder: Path, name: str, content: bytes) -> Path:
    """Writes one file whole or not at all, in place of one of the same name; its path."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".printing-", dir=folder)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(temporary, 0o644)
            os.replace(temporary, folder / name)
        except OSError:
            os.unlink(temporary)
            raise
    except OSError as error:
        raise Unusable(f"cannot print into {folder}: {error.strerror or error}") from error
    return folder / name


def put_beside(folder: Path, name: str, content: bytes) -> Path:
    """As ``put``, but a file of that name with other content stays: the new one takes the next number."""
    stem, dot, ending = name.rpartition(".")
    for number in count(2):
        if not os.path.lexists(folder / name) or _holds(folder / name, content):
            break
        name = f"{stem}-{number}{dot}{ending}"
    return put(folder, name, content)


def _holds(path: Path, content: bytes) -> bool:
    try:
        return path.read_bytes() == content
    except OSError:
        return False


def safe_name(text: str) -> str:
    """A person's word in a file's name: plain letters, digits and hyphens, never empty, never alike."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")[:30]
    if plain == text and plain:
        return plain
    return f"{plain or 'x'}-{hashlib.sha256(text.encode('utf-8', 'replace')).hexdigest()[:6]}"
