"""Pictures on paper: a deck's response, the strip of a capture."""
