"""The fixture that tells what is used of a made-up family of tracks."""

from songfamilies import told

__all__ = ["told"]
