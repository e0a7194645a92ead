"""The guide for whoever carries this on speaks of the house as it stands."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
NAMED = re.findall(r"`((?:core|tui|tests|docs|demo)/[^`]*|\.ci/run)`", GUIDE)


def test_every_path_in_the_guide_is_there() -> None:
    assert len(NAMED) > 40
    gone = [name for name in NAMED if "<" not in name and not list(ROOT.glob(name.rstrip("/")))]
    assert gone == []


def test_every_room_of_core_is_in_the_guide() -> None:
    rooms = {f"core/{path.name}/" for path in (ROOT / "core").iterdir() if (path / "__init__.py").exists()}
    told = "\n".join(line for line in GUIDE.splitlines() if line.startswith("| `core/"))
    assert [room for room in sorted(rooms) if room.rstrip("/") not in told] == []
