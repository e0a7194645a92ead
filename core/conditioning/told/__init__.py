"""What was said of tapes, and of their take-outs, elsewhere than in their own cells."""
