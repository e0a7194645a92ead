"""Dips in the level: found, followed, graded."""
