"""A file that is hashed as it goes by, whoever reads it and in whatever order."""

from __future__ import annotations

import errno
import hashlib
import io
import os
import stat
from pathlib import Path
from typing import Any

_BYTES = 1 << 20


def only_a_file(path: Path) -> None:
    """Raise OSError for what is no plain file: reading a pipe or a device could last for ever."""
    mode = os.stat(path).st_mode
    if stat.S_ISDIR(mode):
        raise OSError(errno.EISDIR, "it is a folder")
    if not stat.S_ISREG(mode):
        raise OSError(errno.EINVAL, "it is a pipe or a device, and no file")


class HashedFile(io.RawIOBase):
    """A file opened for reading; every byte that is read in turn goes to SHA-256.

    A library that decodes a file looks at its end or goes back to its beginning now and then. Bytes that were
    hashed before are not hashed again, and what was skipped is read for the digest in `hash_rest`.
    """

    def __init__(self, path: Path) -> None:
        only_a_file(path)
        self._file = open(path, "rb", buffering=0)  # noqa: SIM115
        self._digest = hashlib.sha256()
        self._at = 0
        self.hashed = 0
        """Bytes from the start of the file that the digest holds."""

    def readable(self) -> bool:
        """Always."""
        return True

    def seekable(self) -> bool:
        """Always."""
        return True

    def seek(self, offset: int, whence: int = os.SEEK_SET) -> int:
        """Go elsewhere."""
        self._at = self._file.seek(offset, whence)
        return self._at

    def tell(self) -> int:
        """Where the next byte is read."""
        return self._at

    def readinto(self, buffer: Any) -> int:
        """Fill a buffer as far as one read does."""
        got = self._file.readinto(buffer) or 0
        fresh = self._at + got - self.hashed
        if 0 < fresh <= got:
            self._digest.update(memoryview(buffer).cast("B")[got - fresh : got])
            self.hashed += fresh
        self._at += got
        return got

    def hash_bytes(self, count: int) -> None:
        """Read so many bytes for the digest alone, from where it stands."""
        piece = bytearray(min(_BYTES, count))
        self.seek(self.hashed)
        while count > 0 and (got := self.readinto(memoryview(piece)[: min(_BYTES, count)])):
            count -= got

    def hash_rest(self) -> str:
        """The digest of the whole file, after reading for it what was not read yet."""
        before = -1
        while before != self.hashed:
            before = self.hashed
            self.hash_bytes(_BYTES)
        return self._digest.hexdigest()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()
        super().close()
