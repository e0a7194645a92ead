"""Puts the support folder on the path: the judge, the exhaustive search and the writers of shelf folders."""

import sys
from pathlib import Path

SUPPORT = str(Path(__file__).resolve().parent.parent / "support")
if SUPPORT not in sys.path:
    sys.path.insert(0, SUPPORT)
