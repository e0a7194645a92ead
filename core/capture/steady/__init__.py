"""Tones that stand still in a pass: squeal of the tape, and whines that come from elsewhere."""
