"""The two faces: the command line and the full-screen program."""

import os

# Read when Textual is first loaded: how many pictures a second at most. A key waits for the next one, often for
# two, so that at the usual 60 it would wait longer than it works; a picture is drawn only where something changed.
os.environ.setdefault("TEXTUAL_FPS", "240")
