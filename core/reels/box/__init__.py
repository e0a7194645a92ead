"""What stands on a box: what it tells of its tape, and what it warns of."""
