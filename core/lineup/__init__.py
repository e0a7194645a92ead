"""Lining a deck up: tones, what each must read, what it read, and what has drifted."""
