"""Captures tied by their sound: rough lags, nodes, followed curves, takes, what is left over."""
