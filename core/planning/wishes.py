"""What the owner wishes of a plan beyond the rules."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wishes:
    """Nothing wished for: the plan that scores best."""
