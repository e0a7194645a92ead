"""Where a reel stands: gates, what is left to play, what is proved, whether the kept plan still fits."""
