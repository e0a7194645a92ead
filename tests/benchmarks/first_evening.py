"""How many keys it takes from no shelf to a printed evening of eight reels, at three keys a second, in tmux.

    python tests/benchmarks/first_evening.py

Answers the first questions, writes eight boxes down, looks at eight tapes, plans, keeps and prints; every
key is counted, those of the words too. Aims: under 400 keys and under
10 minutes; looking at twenty reels under 240.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

BOXES = ("Low Tide; 1", "Lamps", "Marram", "Causeway", "Sluice", "Pilot", "Tar", "Eel")
#: Looked at: ok; polyester, seen; tails; no stock written; 15 ips, as the deck has it; the next.
LOOK = ("Space", "1", "1", "1", "Enter", "1", "Enter", "Right", "Enter", "Down")
#: Every third: sticky, no other sign; polyester, seen; tails; a stock and a speed as they are written.
STICKY = ("Space", "2", "Enter", "Enter", "1", "1", "Enter", "1", *"456", "Enter", *"30", "Enter", "Down")
A_KEY = 1 / 3


class Hands:
    """One terminal of 80 by 24; presses keys at three a second and counts them."""

    def __init__(self, folder: Path) -> None:
        self.tmux = ["tmux", "-S", str(folder / "tmux"), "-f", "/dev/null"]
        self.keys = 0
        program = [sys.executable, "-m", "tui", "--shelf", str(folder / "own.json")]
        self._call("new-session", "-d", "-x", "80", "-y", "24", *program)

    def _call(self, *words: str) -> str:
        return subprocess.run([*self.tmux, *words], check=True, capture_output=True, text=True).stdout

    def press(self, *keys: str) -> None:
        """Presses keys by tmux's names."""
        for key in keys:
            self._call("send-keys", key)
            self.keys += 1
            time.sleep(A_KEY)

    def types(self, text: str) -> None:
        """Types a text; each letter is a key. tmux takes a lone semicolon for its own."""
        for letter in text:
            self._call("send-keys", "-l", "\\;" if letter == ";" else letter)
            self.keys += 1
            time.sleep(A_KEY)

    def until(self, words: str, seconds: float = 60) -> None:
        """Waits for these words on the screen."""
        end = time.monotonic() + seconds
        while words not in (screen := self._call("capture-pane", "-p")):
            if time.monotonic() > end:
                raise SystemExit(f"{words!r} never came; the screen:\n{screen}")
            time.sleep(0.1)

    def end(self) -> None:
        """Takes the terminal away."""
        subprocess.run([*self.tmux, "kill-server"], check=False, capture_output=True)


def main() -> None:
    """Runs it once and prints keys and seconds."""
    with tempfile.TemporaryDirectory() as name:
        folder, began = Path(name), time.monotonic()
        hands = Hands(folder)
        try:
            hands.until("Which? [1]")
            hands.press("Enter")
            for answer in ("Wharf", "", "4", "", "", "6", "", "", ""):
                hands.types(answer)
                hands.press("Enter")
            hands.until("No tape is on this shelf yet")
            hands.press("p", "1")
            for box in BOXES:
                hands.types(box)
                hands.press("Enter")
            hands.press("Escape", "Home")
            before = hands.keys
            for number in range(len(BOXES)):
                hands.press(*(STICKY if number % 3 == 2 else LOOK))
            looking = hands.keys - before
            hands.press("r")
            hands.until("K keeps")
            hands.press("k")
            hands.until("the new plan is kept")
            hands.press("o", "Enter")
            hands.until("printed into")
        finally:
            hands.end()
        orders = len(list((folder / "paper").glob("order-*.pdf")))
        print(f"from no shelf to {orders} printed: {hands.keys} keys, {time.monotonic() - began:.0f} s")
        print(f"looking at {len(BOXES)} reels: {looking} keys; at 20: {looking * 20 // len(BOXES)}")


if __name__ == "__main__":
    main()
