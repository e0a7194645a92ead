"""Does a kept plan still fit the shelf: what it was made from, and which of its steps may still be done."""
