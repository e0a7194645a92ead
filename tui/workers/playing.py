"""Playing a short file from within, where the system can: by the optional library sounddevice."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any


class Player:
    """Plays one file at a time; a new one stops the one before."""

    def __init__(self) -> None:
        self._device: Any = None
        self.why_not = ""

    @property
    def can(self) -> bool:
        """True where sound can be played; else ``why_not`` says why."""
        if self._device is None and not self.why_not:
            try:
                import sounddevice
            except ImportError:
                self.why_not = "to hear it from here: pip install 'reelturn[listening]'"
            except OSError as error:  # the library is there, the system's sound is not
                self.why_not = f"no sound here: {error}"
            else:
                self._device = sounddevice
        return self._device is not None

    def play(self, path: Path) -> str:
        """Begins to play that file; a sentence where it cannot be played."""
        if not self.can:
            return self.why_not
        import soundfile

        try:
            sound, rate = soundfile.read(path, dtype="float32", always_2d=True)
            self._device.play(sound, rate)
        except Exception as error:  # the library has errors of its own for a device that is not there
            return f"cannot be played here: {error}"
        return ""

    def wait(self) -> None:
        """Until what plays is over."""
        if self._device is not None:
            self._device.wait()

    def stop(self) -> None:
        """Silence."""
        if self._device is not None:
            self._device.stop()


def show_folder(folder: Path) -> bool:
    """Opens the folder in the system's own way; False where there is no desktop to open it on."""
    opener = "open" if sys.platform == "darwin" else "xdg-open"
    desktop = sys.platform == "darwin" or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    command = shutil.which(opener)
    if command is None or not desktop:
        return False
    try:
        subprocess.Popen(
            [command, str(folder)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError:
        return False
    return True
