"""``python -m tui`` is the same as ``reelturn``."""

import sys

from tui.cli import main

sys.exit(main())
