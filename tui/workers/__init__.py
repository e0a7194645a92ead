"""Threads that only post messages."""
