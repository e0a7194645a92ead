"""Tonight's steps: the run sheet, and what happens to each step."""
