"""Within the evening: when in it a thing is done, where that costs nothing."""
