"""One reel: its card, its track sheet, what was done to it, and what can be."""
