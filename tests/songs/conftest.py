"""The fixture that tells what is used of a made-up family of tracks."""

from songfamilies import facts, kin, told

__all__ = ["facts", "kin", "told"]
