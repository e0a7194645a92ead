"""A gap in a sound: its edges, what it holds, whether the sound goes on after it, whether it was played."""
