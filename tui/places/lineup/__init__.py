"""Lining a deck up, and how it stands."""
