"""Reels: what each is, what it needs, how long it takes."""
