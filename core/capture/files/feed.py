"""One captured file as it is read: its samples in blocks, and the digest of all its bytes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from core.capture.files.hashed import HashedFile
from core.capture.files.samples import body
from core.capture.files.wave.header import Header
from core.capture.files.wave.library import decoder


class Feed:
    """One file, read from its first byte to its last, hashed as it goes by."""

    def __init__(self, path: Path, header: Header | None) -> None:
        self.path, self.header = path, header
        self.sha256: str | None = None
        self.trouble: str | None = None
        """Why reading stopped before the end, if it did."""
        self.read_frames = 0
        self._file: HashedFile | None = None
        self._sound: Any = None

    def open(self) -> None:
        """Open the file and pass its header by; trouble is kept and not raised."""
        try:
            self._file = HashedFile(self.path)
            if self.header is not None and self.header.raw:
                self._file.hash_bytes(self.header.sound_start)
            elif self.header is not None:
                self._sound = decoder(self._file)
        except (OSError, RuntimeError) as error:
            self._stop(error)

    def _stop(self, error: Exception) -> None:
        self.trouble = str(getattr(error, "strerror", None) or error)

    def next_block(self, buffer: Any, frames: int) -> object:
        """The next frames as they lie: `buffer` filled, or an array decoded by libsndfile."""
        if self.trouble or self.header is None:
            return None
        left = min(frames, self.header.frames - self.read_frames)
        try:
            if self.header.raw:
                got = self._fill(body(buffer, left * self.header.frame_bytes)) // self.header.frame_bytes
            else:
                kind = "float64" if self.header.is_float else "int32"
                buffer = self._sound.read(left, dtype=kind, always_2d=True)
                got = len(buffer)
        except (OSError, RuntimeError) as error:
            self._stop(error)
            return None
        self.read_frames += got
        if got < left:
            self.trouble = f"it ended after {self.read_frames} of {self.header.frames} frames"
        return buffer

    def _fill(self, view: memoryview) -> int:
        assert self._file is not None
        done = 0
        while done < len(view):
            got = self._file.readinto(view[done:])
            if not got:
                view[done:] = bytes(len(view) - done)
                break
            done += got
        return done

    def finish(self) -> None:
        """Hash what is left of the file and close it."""
        try:
            if self._file is not None:
                self.sha256 = self._file.hash_rest()
        except OSError as error:
            self._stop(error)
        self.close()

    def close(self) -> None:
        """Let go of the file, read to its end or not."""
        for opened in (self._sound, self._file):
            if opened is not None:
                opened.close()
        self._file = self._sound = None
