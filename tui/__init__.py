"""The two faces: the command line and the full-screen program."""

import os

# How many pictures a second at most, read when Textual is first loaded. A key waits for one or two of them,
# at the usual 60 longer than it works. Pictures are drawn only where something changed.
os.environ.setdefault("TEXTUAL_FPS", "240")
