"""Kept pictures whose file names every file system and shell takes: no brackets, no spaces."""

from __future__ import annotations

from typing import Any

import pytest_textual_snapshot
from syrupy.extensions.single_file import SingleFileSnapshotExtension


class PlainlyNamed(pytest_textual_snapshot.SVGImageExtension):
    """The plugin's own pictures; what a test names ``test_x[80x24]`` is kept as ``test_x.80x24``."""

    @classmethod
    def get_snapshot_name(cls, **where: Any) -> str:
        """The file's name without its end."""
        name = SingleFileSnapshotExtension.get_snapshot_name(**where)
        return name.replace("[", ".").replace("]", "").replace(" ", "-")


def name_plainly() -> None:
    """Pictures are kept under plain names from here on."""
    pytest_textual_snapshot.SVGImageExtension = PlainlyNamed
