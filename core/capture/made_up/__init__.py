"""Captures and mixes for the made-up shelf: all of it computed, the same every time."""
