"""Sending printed sheets to the system's printer, where it has one: the ``lp`` command of POSIX."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from core.errors import Refused

NO_PRINTER = "this system has no lp command: sheets go into the folder"
SECONDS = 30
"""How long the system may take to accept a job; a queue that hangs must not hold the evening up."""


def has_printer() -> bool:
    """True where the system has the command; whether a printer stands behind it is told when one prints."""
    return shutil.which("lp") is not None


def send(files: Sequence[Path], size: str = "A4", printer: str = "") -> str:
    """Hands the files to the printer (the system's own choice, or that of the name); what it said.

    Refused, with what the system said, where there is none or it takes nothing; the files stay as they are.
    """
    command = shutil.which("lp")
    if command is None:
        raise Refused("this system has no lp command: print the files from there by hand")
    to = ["-d", printer] if printer else []
    media = f"media={'Letter' if size == 'Letter' else 'A4'}"
    asked = [command, *to, "-o", media, "--", *(str(path.resolve()) for path in files)]
    try:
        done = subprocess.run(asked, capture_output=True, text=True, timeout=SECONDS, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise Refused(f"the printer took nothing: {error}") from None
    said = " ".join((done.stdout if done.returncode == 0 else done.stderr or done.stdout).split())
    if done.returncode != 0:
        raise Refused(f"the printer took nothing: {said or 'lp gave no reason'}")
    return said
