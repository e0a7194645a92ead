"""What can be wrong with the sound itself, a kind a file or two."""
