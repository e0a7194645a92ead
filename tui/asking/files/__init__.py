"""Questions that are answered with files or a folder."""
