"""Evenings: planned, printed, worked through, closed."""
