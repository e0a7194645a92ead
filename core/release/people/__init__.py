"""The people of an album: who plays on it, and whether they were asked."""
