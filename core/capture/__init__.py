"""Audio files of a pass: read once, measured, and held against the reel."""
