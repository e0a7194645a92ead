"""The album: one clock for every capture of a song, and copies laid in their places."""
