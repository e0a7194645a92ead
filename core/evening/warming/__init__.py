"""Loads as they are done: begun, broken off, taken out, and what is warm meanwhile."""
