"""Copies of used tracks laid in their places, and what goes with them; originals are never touched."""
