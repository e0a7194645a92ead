"""``python -m tui`` is the same as ``reelturn``."""

from tui.cli import program

program()
